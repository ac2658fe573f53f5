"""Lists as people type them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solarsim.errors import InputError
from solarsim.inputs.lists import read_counts, read_names, read_numbers

KNOWN = ("lfp", "agm", "gel", "flooded")


@pytest.mark.parametrize(
    ("text", "counts"),
    [
        ("0-8", [0, 1, 2, 3, 4, 5, 6, 7, 8]),
        ("2,4,6", [2, 4, 6]),
        (" 6 , 0-2,1 ", [0, 1, 2, 6]),
        ("3 - 3", [3]),
        ("007", [7]),
    ],
)
def test_counts_and_ranges(text, counts):
    assert read_counts(text, field="--panels", least=0, most=60) == counts


@given(st.lists(st.integers(0, 60), min_size=1))
def test_any_counts_come_back_sorted_and_once(counts):
    text = ",".join(map(str, counts))
    assert read_counts(text, field="x", least=0, most=60) == sorted(set(counts))


@pytest.mark.parametrize(
    "text", ["", " ", ",", "1,", "a", "1.5", "1;2", "-1", "1-", "-", "1--3", "1-2-3", "0x2", "1e1"]
)
def test_what_is_no_list_of_counts(text):
    with pytest.raises(InputError, match="must look like '0-8'") as caught:
        read_counts(text, field="--panels", least=0, most=60)
    assert caught.value.field == "--panels"
    assert repr(text) in str(caught.value)


@pytest.mark.parametrize("text", ["61", "0-61", "9999", "5-3"])
def test_counts_out_of_range(text):
    with pytest.raises(InputError, match="0 to 60"):
        read_counts(text, field="--panels", least=0, most=60)
    with pytest.raises(InputError, match="1 to 96"):
        read_counts("0", field="--strings", least=1, most=96)


def test_numbers():
    assert read_numbers("60, 30,30.5", field="--dcdc", least=0.0, most=400.0) == [30.0, 30.5, 60.0]
    assert read_numbers("0", field="--tilt", least=0.0, most=90.0) == [0.0]


@pytest.mark.parametrize("text", ["", "a", "1;2", "30,", "30 60", "1-2"])
def test_what_is_no_list_of_numbers(text):
    with pytest.raises(InputError, match="must look like '30,60'") as caught:
        read_numbers(text, field="--dcdc", least=0.0, most=400.0)
    assert repr(text) in str(caught.value)


@pytest.mark.parametrize("text", ["-1", "401", "nan", "inf", "-inf", "1e9", "30,nan"])
def test_numbers_out_of_range(text):
    with pytest.raises(InputError, match="0 to 400") as caught:
        read_numbers(text, field="--dcdc", least=0.0, most=400.0)
    assert caught.value.field == "--dcdc"


@pytest.mark.slow
@given(st.text(max_size=12))
def test_any_text_gives_numbers_in_range_or_a_refusal(text):
    for reader in (read_counts, read_numbers):
        try:
            found = reader(text, field="x", least=0, most=60)
        except InputError:
            continue
        assert found
        assert all(0 <= number <= 60 for number in found)


def test_names():
    assert read_names("AGM, lfp,agm", field="--chemistry", known=KNOWN) == ["agm", "lfp"]


@pytest.mark.parametrize("text", ["", "lfp,", "lead", "lfp;agm"])
def test_unknown_names_are_told_the_known_ones(text):
    with pytest.raises(InputError, match="known: lfp, agm, gel, flooded") as caught:
        read_names(text, field="--chemistry", known=KNOWN)
    assert caught.value.field == "--chemistry"


def test_nothing_stays_nothing():
    assert read_counts(None, field="x", least=0, most=1) is None
    assert read_numbers(None, field="x", least=0.0, most=1.0) is None
    assert read_names(None, field="x", known=KNOWN) is None
