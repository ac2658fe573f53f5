"""Numbers in both spellings, or refused; never multiplied."""

from __future__ import annotations

import pytest

from solarsim.app.widgets.cells import RefusedCell, cells_that_fit
from solarsim.app.widgets.numbers import number_of, number_text
from solarsim.errors import InputError


@pytest.mark.parametrize(
    ("text", "number"),
    [
        *[("0,5", 0.5), ("0.5", 0.5), ("8,5", 8.5), ("45,5", 45.5), (",5", 0.5), ("5,", 5.0)],
        *[("-33,9", -33.9), ("\N{MINUS SIGN}2", -2.0), (" 20 000 ", 20000.0), ("1.5805", 1.5805)],
        *[("0,035", 0.035), ("+3", 3.0), ("1234,567", 1234.567), ("12,50", 12.5)],
    ],
)
def test_both_spellings_are_read(text, number):
    assert number_of(text) == number


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "is empty"),
        ("  ", "is empty"),
        ("1,200", "write .1.200. or .1200."),
        *[(text, "must be a number") for text in ("1.234,5", "1,234.5", "1,2,3", "abc", "nan")],
        *[(text, "must be a number") for text in ("inf", "1e5", "0x10", "5 W", "-", ".", "9" * 31)],
    ],
)
def test_what_could_be_read_in_two_ways_or_none_is_refused(text, words):
    with pytest.raises(InputError, match=words):
        number_of(text)


def test_a_whole_number_is_one():
    assert number_of("3,0", whole=True) == 3.0
    with pytest.raises(InputError, match="whole number"):
        number_of("2,5", whole=True)


@pytest.mark.parametrize("number", [0.0, 0.5, 12.0, 1.5805, 20000.0, 0.000001, -0.29])
def test_what_is_shown_is_read_back(number):
    assert number_of(number_text(number, 2)) == number


def test_a_refused_cell_keeps_what_it_held_and_holds_no_other_back():
    def take(cells):
        for row, each in cells.items():
            if each.get("W", 0) < 0:
                raise InputError("must not be negative", field=f"row {row}")
        return {row: dict(each) for row, each in cells.items()}

    edits = {0: {"W": -1, "h": 2}, 1: {"W": 7}}
    found, held, refused = cells_that_fit(edits, {0: {"W": 5}}, take)
    assert found == held == {0: {"W": 5, "h": 2}, 1: {"W": 7}}
    assert refused == (RefusedCell(0, "W", -1, "row 0: must not be negative"),)
    assert cells_that_fit({0: {"W": 1}}, held, take)[2] == ()
