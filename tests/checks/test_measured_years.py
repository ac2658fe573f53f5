"""Real years: days to empty and dull spells, beside drawn ones."""

import numpy as np
import pytest

from solarsim.data.accuracy.measured_years import (
    COMPARISONS,
    MONTHS,
    day_ranks,
    drawn_days,
    drawn_spells,
    real_days,
    share_of_at_least,
    spell_counts,
    spells,
)
from solarsim.data.accuracy.regions import region_of
from tests.checks.agree import assert_agrees, name_of


def test_spells_are_counted():
    ranks = np.array([0.1, 0.2, 0.5, 0.1, np.nan, 0.3, *[0.0] * 9, 0.9])
    assert spell_counts(ranks, "dark").tolist() == [1, 1, 0, 0, 0, 0, 1]
    assert spell_counts(ranks, "bright").tolist() == [1, 0, 0, 0, 0, 0, 0]
    days = np.array([3.0, 1.0, np.nan, 2.0, 5.0, 4.0])
    month = np.array([1, 1, 1, 1, 2, 2])
    assert day_ranks(days, month)[[0, 1, 3, 4, 5]] == pytest.approx([5 / 6, 1 / 6, 0.5, 0.75, 0.25])


def test_the_tables_hold_single_years():
    assert len(real_days()) == 5 * len(MONTHS)
    assert {row.site for row in real_days()} == {"Golden", "Craig"}
    assert all(len(row.days) in (28, 30, 31) and row.days.max() <= 30.0 for row in real_days())
    assert {kind for kind, _ in spells()} == {
        "typical years", "single years", "measured 2019-2023",
    }  # fmt: skip


def test_typical_years_leave_out_dull_weeks_and_ours_do_not():
    typical = spells()["typical years", "dark"]
    # 7 of 1,792 would be ours.
    assert typical[-1] == 0
    assert 0.002 < share_of_at_least(drawn_spells("dark"), 7) < 0.006


@pytest.mark.slow
@pytest.mark.parametrize("comparison", COMPARISONS, ids=name_of)
def test_real_years(comparison):
    assert_agrees(comparison)


@pytest.mark.slow
def test_the_share_of_stays_that_last_a_week():
    for site in ("Golden", "Craig"):
        real = np.concatenate([row.days for row in real_days() if row.site == site])
        ours = drawn_days(site, matched=True)
        # Three and two winters by chance.
        assert (ours >= 7.0).mean() == pytest.approx((real >= 7.0).mean(), abs=0.1)


def test_a_point_lies_in_the_first_region_that_holds_it():
    assert region_of(47.8, 13.0) == "central Europe (the satellite's grid)"
    assert region_of(60.0, 10.7) == "northern Europe"
    assert region_of(-27.2, -109.4) == "islands elsewhere"
