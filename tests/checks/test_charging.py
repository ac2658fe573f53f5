"""Charging: acceptance, hours to full, the tail, and what a cycle returns."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solarsim.data.accuracy import battery
from solarsim.data.accuracy.battery import half_cycle
from solarsim.data.accuracy.bench import RATED_AH, charge, constant_current_w, round_trip, run_bank
from solarsim.power.chemistry import CHEMISTRY_NAMES, load_chemistry, tank_total_ah
from solarsim.power.design import Design
from solarsim.power.ledger import Term
from tests.checks.agree import assert_agrees, name_of
from tests.power.twin import twin

LEAD = ("agm", "gel", "flooded")
STEPS_PER_H = 60
SUBJECTS = ("bank, charging", "bank, round trip")


@pytest.mark.parametrize(
    "comparison", [c for c in battery.COMPARISONS if c.subject in SUBJECTS], ids=name_of
)
def test_published_figure(comparison):
    assert_agrees(comparison)


def charge_in_minutes(name, current_a, *, start_soc, hours):
    """State of charge minute by minute under the same charger, by the readable twin."""
    offered_w = constant_current_w(
        name, current_a, hours, start_soc=start_soc, steps_per_h=STEPS_PER_H
    )
    none, one = np.zeros(offered_w.size), np.ones(offered_w.size)
    _, _, _, soc = twin(
        Design(name, RATED_AH, 12.0, 1, 1e4, floor_soc=0.0),
        *(offered_w, none, none, none, none, none, one, one, none),
        start_soc=start_soc,
        ledger_hours=hours,
        step_h=1.0 / STEPS_PER_H,
    )
    return soc


def hours_to(soc, level):
    return float(np.argmax(soc >= level)) / STEPS_PER_H if (soc >= level).any() else np.inf


# --- acceptance ---


def test_agm_at_90_percent_takes_what_its_resistance_allows():
    """At once (V_absorb - OCV) / R, less than the charger's 30 A; over the hour far less."""
    curves = load_chemistry("agm")
    rest_v = float(np.interp(0.9, curves.open_circuit_soc, curves.open_circuit_v))
    allowed_a = (curves.absorption_v - rest_v) / (curves.charge_ohm_ah / RATED_AH)
    assert 15.0 < allowed_a < 25.0
    soc = charge_in_minutes("agm", 30.0, start_soc=0.9, hours=1)
    eta = float(np.interp(0.9, curves.coulombic_soc, curves.coulombic_share))
    stored_a = (soc[1] - soc[0]) * STEPS_PER_H * tank_total_ah(curves, RATED_AH)
    # The step reads its efficiency where the charger's whole 30 A would have brought the bank.
    assert stored_a / eta == pytest.approx(allowed_a, rel=1e-2)
    over_the_hour_a = charge("agm", 30.0, start_soc=0.9, hours=1).current_a[0]
    assert 5.0 < over_the_hour_a < 0.5 * allowed_a


@pytest.mark.parametrize("name", CHEMISTRY_NAMES)
def test_the_bulk_takes_the_whole_current(name):
    found = charge(name, 20.0, start_soc=0.3, hours=2)
    np.testing.assert_allclose(found.current_a, 20.0, rtol=0.005)


@given(
    name=st.sampled_from(CHEMISTRY_NAMES),
    start_soc=st.floats(0.0, 0.99),
    current_a=st.floats(1.0, 80.0),
)
@settings(max_examples=80, deadline=None)
def test_current_stays_under_its_limit_and_tapers_steadily(name, start_soc, current_a):
    found = charge(name, current_a, start_soc=start_soc, hours=30)
    limit_a = min(current_a, load_chemistry(name).charge_c_rate * RATED_AH)
    # The offered power is laid out for the full current: under a limit the voltage is lower, and
    # the power is worth a little more.
    assert found.current_a.max() <= max(limit_a * 1.05, 0.0)
    assert (np.diff(found.soc) >= -1e-4).all()
    peak = int(np.argmax(found.current_a))
    taper_a = found.current_a[peak:]
    # Near full what is left is self-discharge being made up, 0.02 A at most.
    assert (np.diff(taper_a) <= 0.02 + 0.01 * taper_a[:-1]).all()


# --- hours ---


@pytest.mark.parametrize("name", LEAD)
def test_lead_from_half_to_98_percent_takes_6_to_10_hours_at_a_fifth(name):
    """Common practice, no source. In minutes and in hours alike, within a quarter of an hour."""
    soc = charge_in_minutes(name, 20.0, start_soc=0.5, hours=14)
    by_minute_h = hours_to(soc, 0.98)
    assert 6.0 <= by_minute_h <= 10.0
    by_hour_h = charge(name, 20.0, start_soc=0.5, hours=14).hours_to(0.98)
    assert by_hour_h == pytest.approx(by_minute_h, abs=0.25)


def test_lithium_from_empty_takes_2_5_to_3_5_hours_at_0_4c():
    soc = charge_in_minutes("lfp", 40.0, start_soc=0.0, hours=4)
    # 100 Ah over 40 A and a coulombic efficiency of 99.5 % are 2.51 h.
    assert 2.5 <= hours_to(soc, 0.999) <= 3.5


@pytest.mark.parametrize("name", LEAD)
def test_tail_at_98_percent_is_half_to_two_percent_of_the_capacity(name):
    """A tail of 0.5 to 2 % of the 20-hour capacity means full: common practice, no source."""
    found = charge(name, 20.0, start_soc=0.5, hours=24)
    current_a = np.interp(found.hours_to(0.98), np.arange(24) + 0.5, found.current_a)
    assert 0.005 <= current_a / RATED_AH <= 0.02
    # It halves in two to three hours: an exponential tail, not a cliff and not a plateau.
    tail_a = found.current_a[5:15]
    halving_h = np.log(0.5) / np.log(tail_a[1:] / tail_a[:-1])
    assert (halving_h > 1.5).all()
    assert (halving_h < 3.5).all()


@pytest.mark.parametrize("name", CHEMISTRY_NAMES)
def test_a_week_on_float_costs_next_to_nothing(name):
    """A full bank under a charger takes its self-discharge: below 1 mA per Ah, common practice."""
    hours = 24 * 7
    found = run_bank(name, dc_w=np.zeros(hours), panel_w=np.full(hours, 300.0))
    ledger_wh = found.ledger_wh[0, :, 0]
    assert found.soc[0, -1, 0] > 0.999
    mean_a = ledger_wh[Term.SOLAR_USED] / hours / load_chemistry(name).absorption_v
    assert 0.0 < mean_a < 1e-3 * RATED_AH
    refused = ledger_wh[Term.SOLAR_REFUSED_FULL] / ledger_wh[Term.SOLAR_AVAILABLE]
    assert refused == pytest.approx(1.0, abs=0.01)


# --- round trip ---


@pytest.mark.parametrize(
    ("name", "coulombic", "energy"),
    [
        ("agm", (0.80, 0.95), (0.65, 0.85)),
        ("gel", (0.80, 0.95), (0.65, 0.85)),
        ("flooded", (0.80, 0.95), (0.65, 0.85)),
        # From memory.
        ("lfp", (0.99, 1.0), (0.92, 0.98)),
    ],
)
def test_a_half_cycle_returns_what_the_class_does(name, coulombic, energy):
    cycle = half_cycle(name)
    assert coulombic[0] <= cycle.coulombic_share <= coulombic[1]
    assert energy[0] <= cycle.energy_share <= energy[1]
    assert cycle.highest_soc > 0.98


@pytest.mark.parametrize("name", LEAD)
def test_lead_stores_nearly_all_when_low_and_less_near_full(name):
    """Stevens & Corey 1996 (25th IEEE PVSC): above 95 % when low, falling near full.

    From memory they find less than half above 90 %, for flooded cells that gas freely; ours store
    some 70 % there, as a whole cycle could not return 80 % of its charge otherwise.
    """
    total_ah = tank_total_ah(load_chemistry(name), RATED_AH)

    def stored_share(start_soc, current_a, hours):
        soc = charge(name, current_a, start_soc=start_soc, hours=hours).soc
        return (soc[-1] - soc[0]) * total_ah / (current_a * hours)

    low, high = stored_share(0.1, 5.0, 5), stored_share(0.9, 1.5, 3)
    assert 0.95 < low < 1.0
    assert 0.6 < high < low - 0.08


@pytest.mark.parametrize("name", CHEMISTRY_NAMES)
def test_a_gentler_cycle_returns_more(name):
    gentle = round_trip(name, draw_a=5.0, draw_h=6, charge_a=5.0, charge_h=20)
    hard = round_trip(name, draw_a=20.0, draw_h=2, charge_a=20.0, charge_h=20)
    assert gentle.energy_share > hard.energy_share


# --- bookkeeping ---


@pytest.mark.parametrize("name", CHEMISTRY_NAMES)
def test_charge_held_is_current_in_less_current_out_less_leak(name):
    """Ten hours at 4 A out, by hand: 40 Ah, and the self-discharge of what is left."""
    dc_w = constant_current_w(name, -4.0, 10, start_soc=0.9)
    soc = run_bank(name, dc_w=dc_w, start_soc=0.9).soc[0, :, 0]
    curves = load_chemistry(name)
    kept = (1.0 - curves.self_discharge_share_per_month) ** (1.0 / 730.5)
    held_ah = 0.9 * tank_total_ah(curves, RATED_AH)
    for _ in range(10):
        held_ah = (held_ah - 4.0) * kept
    # The powers were laid out without the self-discharge: the currents differ by 1e-5.
    assert soc[-1] * tank_total_ah(curves, RATED_AH) == pytest.approx(held_ah, abs=2e-3)
