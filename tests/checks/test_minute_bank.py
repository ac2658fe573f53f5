"""The hourly dispatch against one-minute steps with a voltage of their own, charger by charger.

Energies are means over the runs of the stay's week. Each source's energy used, what the bank loses
and what stays unserved may differ by 1 % of the demand. Days unplugged are compared by run: at the
floor before dawn a few watt-hours decide whether a run goes on for a day, so that the runs on such
an edge are counted, and the quantiles compared over the others.
"""

from __future__ import annotations

import functools

import numpy as np
import pytest

from solarsim.answers.simulation.run import simulate
from solarsim.power.design import design_of
from solarsim.power.ledger import Term
from tests.checks.minute_bank import minute_answer
from tests.checks.minute_cases import CASES, FOLLOW_DAYS

RUNS, QUICK_RUNS = 40, 20
ENERGY_SHARE = 0.01
DAYS = 0.1
EDGE_DAYS, EDGE_SHARE = 0.25, 0.125
COMPARED = (Term.SOLAR_USED, Term.ALTERNATOR, Term.SHORE, Term.BATTERY_LOSS, Term.UNSERVED)
LOADS = (Term.LOAD_DC, Term.LOAD_AC, Term.INVERTER_LOSS, Term.UNSERVED)


@functools.cache
def both_ways(case, runs):
    """Energies by the hour and by the minute, and days unplugged of each run."""
    question = case.question(runs=runs)
    outcome = simulate(question, [design_of(question.van)]).outcome
    fine = minute_answer(question)
    hourly_days = np.minimum(outcome.first_cut_h[:, 0] / 24.0, FOLLOW_DAYS)
    fine_days = np.minimum(fine.cut_h / 24.0, FOLLOW_DAYS)
    return (
        outcome.ledger_wh[:, :, 0].mean(axis=0),
        fine.ledger_wh.mean(axis=0),
        hourly_days,
        fine_days,
    )


def assert_agrees(case, runs, capsys):
    hourly_wh, fine_wh, hourly_days, fine_days = both_ways(case, runs)
    demand_wh = fine_wh[list(LOADS)].sum()
    shares = {term: (hourly_wh[term] - fine_wh[term]) / demand_wh for term in COMPARED}
    edge = np.abs(hourly_days - fine_days) > EDGE_DAYS
    chances = (0.1, 0.5, 0.9)
    quantiles = [np.quantile(days[~edge], chances) for days in (hourly_days, fine_days)]
    with capsys.disabled():
        energies = ", ".join(f"{term.name.lower()} {share:+.2%}" for term, share in shares.items())
        by_hour, by_minute = (" ".join(f"{day:.2f}" for day in days) for days in quantiles)
        print(
            f"\n{case.name}: {energies} of the demand; P10/P50/P90 {by_hour} by the hour, "
            f"{by_minute} by the minute, {edge.sum()} of {runs} runs on an edge"
        )
    assert max(map(abs, shares.values())) < ENERGY_SHARE
    assert np.abs(quantiles[0] - quantiles[1]).max() < DAYS
    assert edge.mean() <= EDGE_SHARE


@pytest.mark.slow
@pytest.mark.parametrize("case", [c for c in CASES if c.quick], ids=lambda case: case.name)
def test_a_charger_of_each_kind(case, capsys):
    assert_agrees(case, QUICK_RUNS, capsys)


@pytest.mark.slow
@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_all_cases(case, capsys):
    assert_agrees(case, RUNS, capsys)
