"""The bar of a state of charge and what a name may do to a terminal."""

from __future__ import annotations

import io
import json
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.console import Console

from solarsim.answers.bank import bank
from solarsim.answers.question import ask
from solarsim.answers.stay import stay
from solarsim.present.stay.documents import bank_document, stay_document, to_json
from solarsim.present.stay.text import _bar, plain, print_bank, print_stay

SHARES = st.lists(st.floats(0.0, 1.0), min_size=3, max_size=3).map(sorted)


@given(SHARES)
def test_bar_runs_from_low_to_high_with_the_middle_marked(shares):
    low, middle, high = shares
    bar = _bar(low, middle, high)
    assert len(bar) == 25
    assert bar.count("#") == 1
    assert set(bar) <= set(" -#")
    drawn = bar.strip()
    assert " " not in drawn
    assert bar.index("#") == round(24 * middle)
    assert bar.index(drawn) == round(24 * low)


@given(st.text(max_size=40))
def test_text_holds_no_control_characters(content):
    shown = plain(content).plain
    assert len(shown) == len(content)
    assert shown.isprintable() or not shown
    assert [c for c in content if c.isprintable()] == [
        c for c, given in zip(shown, content, strict=True) if given.isprintable()
    ]


@pytest.mark.parametrize("width", [60, 80, 200])
def test_prints_at_any_width(width):
    out = io.StringIO()
    console = Console(file=out, width=width, highlight=False)
    print_stay(stay(ask(runs=10)), console)
    print_bank(bank(ask(runs=10, settings=["stay.start_soc=0"], month=12)), console)
    assert max(map(len, out.getvalue().splitlines())) <= width


def test_a_value_that_is_no_number_never_gets_into_json():
    with pytest.raises(ValueError, match="not JSON compliant"):
        to_json({"x": float("nan")})
    with pytest.raises(ValueError, match="not JSON compliant"):
        to_json({"x": float("inf")})


def test_json_of_a_bank_that_nothing_is_asked_of():
    """A load of next to nothing: the days by hand are many, and still a number."""
    from solarsim.inputs.profile import profile_from_data

    tiny = profile_from_data(
        {
            "profile": {"name": "tiny"},
            "appliances": [{"name": "x", "power_w": 1e-6, "hours_per_day": 1.0}],
        },
        source="x",
    )
    question = ask(runs=5, profile=tiny)
    assert to_json(bank_document(bank(question)))
    assert to_json(stay_document(stay(question)))


@pytest.mark.parametrize("answer", ["stay", "bank"])
def test_nobody_aboard_asks_for_anything(answer):
    """A fan that has nothing to do in January: no load at all, and an answer still."""
    from solarsim.inputs.profile import profile_from_data

    fan = {"profile": {"name": "fan"}, "appliances": [{"part": "roof fan"}]}
    question = ask(runs=5, profile=profile_from_data(fan, source="x"))
    out = io.StringIO()
    console = Console(file=out, width=80, highlight=False)
    if answer == "bank":
        given = bank(question)
        print_bank(given, console)
        assert json.loads(to_json(bank_document(given)))["by_hand"]["days"] is None
    else:
        given = stay(question)
        print_stay(given, console)
        assert json.loads(to_json(stay_document(given)))["days_unplugged"]["p10"] == 30.0
    assert not re.search(r"\b(inf|nan)\b", out.getvalue())


def test_json_keeps_letters_as_they_are():
    assert "Tromsø" in to_json(stay_document(stay(ask(runs=3, place="Tromso"))))
