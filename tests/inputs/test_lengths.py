"""Lengths as text."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solarsim.inputs.lengths import feet_text, read_length_m


@pytest.mark.parametrize(
    ("text", "length_m"),
    [
        ("3.4 m", 3.4),
        ("340cm", 3.4),
        (" 3400 MM ", 3.4),
        ("1in", 0.0254),
        ("1 ft", 0.3048),
        ("11ft 2in", 11 * 0.3048 + 2 * 0.0254),
        ("5' 3\"", 63 * 0.0254),
        ("5' 3", 63 * 0.0254),
        ("5'3''", 63 * 0.0254),
        ("5’ 3”", 63 * 0.0254),
        ("6 feet", 72 * 0.0254),
        ("62 1/2 in", 62.5 * 0.0254),
        ("5' 3 1/4\"", 63.25 * 0.0254),
        ("3/4 in", 0.75 * 0.0254),
        ("58.7 inches", 58.7 * 0.0254),
    ],
)
def test_read(text, length_m):
    assert read_length_m(text) == pytest.approx(length_m, abs=1e-7)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "3.4",
        "0,05",
        "3,4 m",
        "ft",
        "in",
        "-3 m",
        "5 3",
        "3 m 2",
        "5ft 4/3in",
        "1/0 in",
        "1e3 m",
    ],
)
def test_refuse(text):
    with pytest.raises(ValueError, match="11ft 2in"):
        read_length_m(text)


@given(st.text(alphabet="0123456789./'\" ftincm", max_size=14))
def test_anything_is_a_length_or_a_value_error(text):
    try:
        length_m = read_length_m(text)
    except ValueError:
        return
    assert length_m >= 0.0


@given(st.floats(0.001, 20.0))
def test_feet_and_back(length_m):
    # A sixteenth of an inch is half of the steps of an eighth.
    assert read_length_m(feet_text(length_m)) == pytest.approx(length_m, abs=0.0254 / 16 + 1e-6)
