"""Figures worked out by hand from outcomes that are written down."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solarsim.answers.simulation.run import Simulation
from solarsim.answers.simulation.summary import (
    chance_lasts,
    days_unplugged,
    ledger_wh_per_day,
    soc_bands,
    standard_errors,
    stay_dates,
)
from solarsim.power.dispatch import Outcome
from solarsim.power.ledger import Term

STAY_H = 7 * 24
HOURS = 30 * 24


def simulation(first_cut_h, *, stay_hours=STAY_H, soc=None, ledger_wh=None, hours=HOURS, years=()):
    cut = np.asarray(first_cut_h, dtype=float).reshape(len(first_cut_h), -1)
    runs, designs = cut.shape
    if soc is None:
        soc = np.ones((runs, hours + 1, 1))
    if ledger_wh is None:
        ledger_wh = np.zeros((runs, len(Term), designs))
    times = pd.date_range("2026-01-12T17:00+01:00", periods=hours, freq="h", unit="us")
    outcome = Outcome(ledger_wh, cut, np.zeros((runs, designs)), soc)
    lowest_soc = soc[:, : stay_hours + 1, 0].min(axis=1)
    return Simulation(times, stay_hours, outcome, SimpleNamespace(run_years=years), lowest_soc)


def test_a_cut_in_the_last_hour_does_not_last_and_one_after_it_does():
    cuts_h = [STAY_H - 0.01, STAY_H, STAY_H + 0.01, HOURS, 3.0]
    assert chance_lasts(simulation(cuts_h), 0) == pytest.approx(3 / 5)


def test_percentiles_by_hand():
    """Eleven runs, cut on day 0 to 10: each tenth is one of them."""
    days = days_unplugged(simulation([24.0 * day for day in range(11)]), 0)
    assert (days.p10, days.p50, days.p90, days.mean, days.follow_days) == (1.0, 5.0, 9.0, 5.0, 30)


def test_each_design_has_its_own():
    both = simulation([[24.0, 240.0], [48.0, 480.0]])
    assert days_unplugged(both, 0).mean == 1.5
    assert days_unplugged(both, 1).mean == 15.0
    assert chance_lasts(both, 0) == 0.0
    assert chance_lasts(both, 1) == 1.0


@pytest.mark.slow
@given(st.lists(st.floats(0.0, HOURS), min_size=1, max_size=60))
def test_percentiles_are_ordered_and_agree_with_the_chance(cuts_h):
    given_runs = simulation(cuts_h)
    days = days_unplugged(given_runs, 0)
    chance = chance_lasts(given_runs, 0)
    assert 0.0 <= days.p10 <= days.p50 <= days.p90 <= 30.0
    # To within the one run that a percentile stands between.
    if days.p50 >= 7.0:
        assert chance >= 0.5 - 1.0 / len(cuts_h)
    else:
        assert chance <= 0.5 + 1.0 / len(cuts_h)


def test_ledger_is_a_mean_over_runs_and_days():
    ledger_wh = np.zeros((2, len(Term), 1))
    ledger_wh[:, Term.LOAD_DC, 0] = [700.0, 1400.0]
    ledger = ledger_wh_per_day(simulation([0.0, 0.0], ledger_wh=ledger_wh), 0)
    assert ledger["load_dc"] == pytest.approx(150.0)
    assert sum(ledger.values()) == pytest.approx(150.0)


def test_bands_by_hand():
    soc = np.linspace(0.0, 1.0, 11)[:, np.newaxis, np.newaxis] * np.ones((11, HOURS + 1, 1))
    bands = soc_bands(simulation([HOURS] * 11, soc=soc))
    assert len(bands.times) == STAY_H + 1
    for band, share in ((bands.p10, 0.1), (bands.p50, 0.5), (bands.p90, 0.9), (bands.worst, 0.0)):
        np.testing.assert_allclose(band, share, atol=1e-12)
    assert str(bands.times[-1]) == "2026-01-19 17:00:00+01:00"


def test_worst_run_is_the_one_cut_first():
    soc = np.ones((3, HOURS + 1, 1))
    soc[0] = 0.3
    soc[1] = 0.4
    soc[2] = 0.2
    assert soc_bands(simulation([60.0, 50.0, 70.0], soc=soc)).worst[5] == 0.4


def test_worst_of_those_that_last_is_the_one_that_comes_lowest_in_the_stay():
    """What happens after the stay plays no part."""
    soc = np.ones((3, HOURS + 1, 1))
    soc[0, 100] = 0.5
    soc[1, 100] = 0.4
    soc[2, STAY_H + 50] = 0.1
    worst = soc_bands(simulation([STAY_H + 40.0, HOURS, STAY_H + 55.0], soc=soc)).worst
    assert worst[100] == 0.4


def test_standard_errors_shrink_with_the_root_of_the_runs():
    rng = np.random.default_rng(3)
    few, many = (
        standard_errors(simulation(rng.normal(168.0, 24.0, runs)), 0) for runs in (100, 1600)
    )
    for name in ("p10", "p50", "p90", "mean", "chance_lasts"):
        assert 2.0 < getattr(few, name) / getattr(many, name) < 8.0, name
    # Of a mean: sd / sqrt(n), 1 day over the root of 1600; of the chance: half over the root.
    assert many.mean == pytest.approx(1.0 / 40.0, rel=0.2)
    assert many.chance_lasts == pytest.approx(0.5 / 40.0, rel=0.05)


def test_windows_of_a_year_are_hardly_more_than_one_sample():
    rng = np.random.default_rng(4)
    of_year = rng.normal(168.0, 48.0, 20)
    cuts_h = np.repeat(of_year, 31) + rng.normal(0.0, 5.0, 620)
    alone = standard_errors(simulation(cuts_h), 0)
    years = standard_errors(simulation(cuts_h, years=tuple(np.repeat(np.arange(20), 31))), 0)
    # Of a mean of 20 years that differ by 2 days.
    assert years.mean == pytest.approx(of_year.std() / 24.0 / np.sqrt(20.0), rel=0.2)
    assert years.mean > 4.0 * alone.mean
    assert 0.08 < years.chance_lasts < 0.12
    few = standard_errors(simulation(cuts_h[:62], years=(1,) * 31 + (2,) * 31), 0)
    assert few == standard_errors(simulation(cuts_h[:62]), 0)


def test_no_run_of_few_is_certain():
    assert standard_errors(simulation([HOURS] * 20), 0).chance_lasts > 0.03


def test_dates_of_a_question():
    from solarsim.answers.question import ask

    dates = stay_dates(ask(runs=1, settings=["stay.start=2026-12-28"], days=10))
    assert (dates.start.isoformat(), dates.days, dates.month) == ("2026-12-28", 10, 1)
