"""An offer's sums, by hand and against whole cents; what may be given for labour and tax."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solarsim.answers.offer.money import checked_amounts, checked_tax, price_of
from solarsim.errors import InputError

CENTS = st.integers(0, 10**8)


def test_a_sum_by_hand():
    """1,465.00 + 3,000.00 = 4,465.00; 20 % of it 893.00; 5,358.00."""
    found = price_of(1465.0, labour=3000.0, tax_pct=20.0, unpriced=2, lines=9)
    assert (found.net, found.tax, found.gross) == (4465.0, 893.0, 5358.0)


@settings(max_examples=30)
@given(parts=CENTS, labour=CENTS, tenths_pct=st.integers(0, 1000))
def test_sums_add_up_to_the_cent(parts, labour, tenths_pct):
    """In whole cents, half a cent of tax rounded up."""
    found = price_of(parts / 100, labour=labour / 100, tax_pct=tenths_pct / 10, unpriced=0, lines=1)
    tax = math.floor(Fraction((parts + labour) * tenths_pct, 1000) + Fraction(1, 2))
    assert [round(100 * x) for x in (found.parts, found.net, found.tax, found.gross)] == [
        *(parts, parts + labour, tax),
        parts + labour + tax,
    ]


def test_what_was_not_said_is_not_in_it():
    found = price_of(10.0, labour=None, tax_pct=None, unpriced=0, lines=1)
    assert (found.labour, found.tax, found.net, found.gross) == (None, None, 10.0, 10.0)


@pytest.mark.parametrize("wrong", [-0.01, 1.1e7, math.nan, math.inf, "12", True])
def test_no_such_amount_is_taken(wrong):
    with pytest.raises(InputError, match=r"--labour: got .*; must be 0 to 10,000,000"):
        checked_amounts([wrong], field="--labour")


@pytest.mark.parametrize("wrong", [-1, 100.5, math.nan, "19"])
def test_no_such_tax_is_taken(wrong):
    with pytest.raises(InputError, match=r"--tax: got .*; must be 0 to 100 percent"):
        checked_tax(wrong, field="--tax")
