"""Capacity against rate: the kernel in whole hours, and its readable twin in steps of a minute.

The kernel shares out the hour in which a bank runs out, which lets the slow tank give more than it
would: by up to six and a half points of the capacity. Whole hours at the largest current that lasts
them, and the twin in minutes, are free of it; the last test bounds it.
"""

import functools

import numpy as np
import pytest

from solarsim.data.accuracy import battery
from solarsim.data.accuracy.battery import PEUKERT_EXPONENT, peukert_share, rate_share
from solarsim.data.accuracy.bench import (
    RATED_AH,
    capacity_held_ah,
    constant_current_w,
    discharge,
    run_bank,
)
from solarsim.power.chemistry import CHEMISTRY_NAMES, load_chemistry, tank_total_ah
from solarsim.power.design import Design
from tests.checks.agree import assert_agrees, name_of
from tests.power.twin import twin

LEAD = tuple(PEUKERT_EXPONENT)
STEPS_PER_H = 60


@pytest.mark.parametrize(
    "comparison", [c for c in battery.COMPARISONS if c.subject == "bank, rate"], ids=name_of
)
def test_published_figure(comparison):
    assert_agrees(comparison)


@functools.cache
def delivered_in_minutes_ah(name, rated_h):
    """Charge from full to the cut-off at C / `rated_h`, by the twin in steps of a minute."""
    hours = int(1.4 * rated_h) + 1
    dc_w = constant_current_w(
        name, -RATED_AH / rated_h, hours, start_soc=1.0, steps_per_h=STEPS_PER_H
    )
    none, one = np.zeros(dc_w.size), np.ones(dc_w.size)
    _, cut_h, _, _ = twin(
        Design(name, RATED_AH, 12.0, 0, 30.0, floor_soc=0.0),
        *(none, dc_w, none, none, none, none, one, one, none),
        start_soc=1.0,
        ledger_hours=hours,
        step_h=1.0 / STEPS_PER_H,
    )
    assert cut_h < hours
    return cut_h * RATED_AH / rated_h


@pytest.mark.parametrize("rated_h", [10.0, 5.0, 3.0, 1.001])
@pytest.mark.parametrize("name", LEAD)
def test_share_of_the_20_hour_capacity_at_a_current(name, rated_h):
    """Peukert for a capacity rated at 20 h: ``(20 I / C) ** (1 - n)``. C/1 stays below 1C."""
    share = delivered_in_minutes_ah(name, rated_h) / delivered_in_minutes_ah(name, 20.0)
    peukert = (20.0 / rated_h) ** (1.0 - PEUKERT_EXPONENT[name])
    assert 100.0 * share == pytest.approx(100.0 * peukert, abs=5.0)


@pytest.mark.parametrize("hours", [15, 10, 5, 3, 2, 1])
@pytest.mark.parametrize("name", LEAD)
def test_capacity_at_whole_hours(name, hours):
    peukert = peukert_share(PEUKERT_EXPONENT[name], hours)
    assert 100.0 * rate_share(name, hours) == pytest.approx(100.0 * peukert, abs=4.0)


def test_the_law_of_the_reference():
    """100 Ah at 20 h with n 1.2 lasts 3.789 h at 20 A, and 20 h at 5 A; both forms are one law."""
    hours = 20.0 * (100.0 / (20.0 * 20.0)) ** 1.2
    assert hours == pytest.approx(3.789, abs=1e-3)
    assert peukert_share(1.2, hours) == pytest.approx(20.0 * hours / 100.0, rel=1e-12)
    assert peukert_share(1.2, 20.0) == 1.0


@pytest.mark.parametrize("name", LEAD)
def test_exponent_from_two_tests_is_the_class_s(name):
    """Two discharges of the kernel, ``n = ln(t1 / t2) / ln(I2 / I1)``: 1.05 to 1.3 by class."""
    slow_a, fast_a = capacity_held_ah(name, 20) / 20.0, capacity_held_ah(name, 2) / 2.0
    exponent = np.log(20.0 / 2.0) / np.log(fast_a / slow_a)
    assert exponent == pytest.approx(PEUKERT_EXPONENT[name], abs=0.025)


@pytest.mark.parametrize("name", CHEMISTRY_NAMES)
def test_20_hours_deliver_the_rated_capacity(name):
    assert capacity_held_ah(name, 20) == pytest.approx(RATED_AH, rel=2e-3)


def test_lithium_gives_95_percent_at_1c():
    assert delivered_in_minutes_ah("lfp", 1.001) > 95.0
    assert capacity_held_ah("lfp", 1) > 95.0


@pytest.mark.parametrize("name", CHEMISTRY_NAMES)
def test_less_at_higher_currents(name):
    capacities_ah = [capacity_held_ah(name, hours) for hours in (40, 20, 10, 5, 3, 2, 1)]
    # Lithium knows no rate but its resistance: an hour's step errs by 0.1 Ah at its steep end.
    assert (np.diff(capacities_ah) <= 0.1).all()
    assert capacities_ah[0] <= tank_total_ah(load_chemistry(name), RATED_AH)


@pytest.mark.parametrize("rest_h", [1, 4, 12])
@pytest.mark.parametrize("name", LEAD)
def test_recovery_after_rest(name, rest_h):
    """A bank that C/3 has emptied gives again after a rest, and the more the longer it rested."""
    first = int(np.ceil(discharge(name, 3.0).duration_h))
    load_w = constant_current_w(name, -RATED_AH / 3.0, first, start_soc=1.0)

    def regained_ah(hours):
        dc_w = np.concatenate([load_w, np.zeros(hours), load_w[-1:]])
        soc = run_bank(name, dc_w=dc_w).soc[0, :, 0]
        total_ah = tank_total_ah(load_chemistry(name), RATED_AH)
        return (soc[-2] - soc[-1]) * total_ah

    assert regained_ah(rest_h) > regained_ah(rest_h - 1)
    assert regained_ah(rest_h) > 4.0
    # What came back is no more than was left.
    left_ah = capacity_held_ah(name, 40) - discharge(name, 3.0).delivered_ah
    assert regained_ah(rest_h) < left_ah + 5.0


@pytest.mark.parametrize("rated_h", [10.0, 5.0, 3.0])
@pytest.mark.parametrize("name", CHEMISTRY_NAMES)
def test_hour_of_the_cut_off_adds_at_most_six_and_a_half_points(name, rated_h):
    by_hour_ah = discharge(name, rated_h).delivered_ah
    by_minute_ah = delivered_in_minutes_ah(name, rated_h)
    assert by_minute_ah - 0.2 <= by_hour_ah <= by_minute_ah + 6.5
