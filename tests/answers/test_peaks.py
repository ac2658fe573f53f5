"""Pulses that trip what the hour's mean hides: by hand, in minute steps, and in words."""

from __future__ import annotations

import dataclasses

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solarsim.answers.peaks import (
    bank_gives,
    find_peaks,
    join_peaks,
    peak_warnings,
    scheduled_loads,
)
from solarsim.answers.question import ask
from solarsim.answers.simulation.run import simulate
from solarsim.answers.stay import stay
from solarsim.inputs.inverter import Inverter
from solarsim.inputs.profile import profile_from_data
from solarsim.power.chemistry import CHEMISTRY_NAMES, load_chemistry
from solarsim.power.demand_record import Demand
from solarsim.power.design import Design, design_of
from solarsim.power.inverter import loss_coefficients
from tests.power.twin import twin

INVERTER = Inverter(power_w=2000.0, idle_w=8.0)
WARM = np.array([[25.0]])


def design(chemistry="lfp", capacity_ah=100.0, system_voltage_v=12.0):
    floor = load_chemistry(chemistry).floor_soc
    return Design(chemistry, capacity_ah, system_voltage_v, 0, 30.0, floor)


def hob_profile(*more, **changes):
    hob = {"part": "induction hob", "power_w": 1800.0, "minutes_per_day": 20.0} | changes
    hob = {"windows": [[18, 19]], "variation_share": 0.0} | hob
    light = {"name": "light", "power_w": 10.0, "hours_per_day": 24.0}
    data = {"profile": {"name": "hob"}, "appliances": [light, hob, *more]}
    return profile_from_data(data, source="hob.toml")


def question(*settings_, profile=None, runs=20, **changes):
    more = ["inverter.power_w=2000", "inverter.surge_w=4000", *settings_]
    return ask("weekender", profile=profile or hob_profile(), settings=more, runs=runs, **changes)


def test_the_limit_by_hand(monkeypatch):
    """A line from 10 V when empty to 13 V when full, 10 milliohm, 100 A, cut off at 10.5 V."""
    line = dataclasses.replace(
        load_chemistry("lfp"),
        open_circuit_soc=np.array([0.0, 1.0]),
        open_circuit_v=np.array([10.0, 13.0]),
        discharge_ohm_ah=1.0,
        discharge_c_rate=1.0,
        cutoff_v=10.5,
        capacity_temp_c=np.array([-10.0, 25.0]),
        capacity_share=np.array([0.8, 1.0]),
    )
    monkeypatch.setattr("solarsim.answers.peaks.load_chemistry", lambda _name: line)
    soc = np.array([[1.0, 0.5, 0.3, 0.1]])
    power_w, by_voltage = bank_gives(design(), soc, WARM)
    # 13.0 and 11.5 V at 100 A; 10.9 V sag to 10.5 V at 40 A; 10.3 V lie below the cut-off.
    assert power_w[0] == pytest.approx([1200.0, 1050.0, 10.5 * 40.0, 0.0])
    assert by_voltage[0].tolist() == [False, False, True, True]
    # At -10 C 80 % of the capacity are left: half of it drawn is a depth of 0.625, 11.125 V.
    power_w, by_voltage = bank_gives(design(), np.array([[0.5]]), np.array([[-10.0]]))
    assert power_w[0, 0] == pytest.approx(10.5 * 62.5)
    assert by_voltage[0, 0]


@pytest.mark.slow
@given(
    chemistry=st.sampled_from(CHEMISTRY_NAMES),
    soc=st.floats(0.0, 1.0),
    temp_c=st.floats(-25.0, 40.0),
    capacity_ah=st.floats(20.0, 2000.0),
    volts=st.sampled_from([12.0, 24.0, 48.0]),
)
@settings(max_examples=150, deadline=None)
def test_more_charge_warmth_or_bank_never_gives_less(chemistry, soc, temp_c, capacity_ah, volts):
    def gives(soc=soc, temp_c=temp_c, **changes):
        one = design(chemistry, **{"capacity_ah": capacity_ah, "system_voltage_v": volts} | changes)
        return bank_gives(one, np.array([[soc]]), np.array([[temp_c]]))[0][0, 0]

    assert gives() >= 0.0
    slack = 1.0 - 1e-9
    assert gives(soc=min(soc + 0.1, 1.0)) >= slack * gives()
    assert gives(temp_c=temp_c + 5.0) >= slack * gives()
    assert gives(capacity_ah=2.0 * capacity_ah) == pytest.approx(2.0 * gives())
    assert gives(system_voltage_v=2.0 * volts) == pytest.approx(2.0 * gives())


def one_run(profile, soc, *, first_cut_h=np.inf, temp_c=25.0, shore=False, one=None):
    """A day from midnight; the bank holds `soc` throughout."""
    question_ = question(profile=profile)
    times = pd.date_range("2026-01-12", periods=24, freq="h", tz="Etc/GMT-1")
    loads = scheduled_loads(profile, INVERTER, times, "Etc/GMT-1")
    dc = sum(load.may_run * load.power_w for load in loads if load.current == "dc")
    ac = sum(load.may_run * load.power_w for load in loads if load.current == "ac")
    third = np.asarray(ac / 3.0)[np.newaxis]
    demand = Demand(
        dc_w=dc[np.newaxis],
        ac_w=third,
        ac_square_w2=third * ac,
        ac_on_share=(third > 0) / 3.0,
        dc_peak_w=dc[np.newaxis],
        ac_peak_w=ac[np.newaxis],
        wh_per_day={},
        cabin_temp_c=np.zeros((1, 24)),
    )
    return find_peaks(
        loads=loads,
        demand=demand,
        shore_ac_w=third if shore else np.zeros((1, 24)),
        inverter=INVERTER,
        design=one or design_of(question_.van, units=1),
        soc=np.broadcast_to(np.asarray(soc, dtype=float), (1, 25)),
        bank_temp_c=np.full((1, 24), temp_c),
        first_cut_h=np.array([first_cut_h]),
    )


def test_a_hob_of_1800_w_trips_100_a_in_its_own_hour():
    peaks = one_run(hob_profile(), 0.5)
    a, b, c = loss_coefficients(INVERTER)
    assert peaks.alone.first_h[0] == 18.0
    assert peaks.alone.asked_w[0] == pytest.approx(10.0 + 1800.0 + a + b * 1800.0 + c * 1800.0**2)
    lfp = load_chemistry("lfp")
    half_full_v = np.interp(0.5, lfp.open_circuit_soc, lfp.open_circuit_v)
    assert peaks.alone.given_w[0] == pytest.approx(100.0 * (half_full_v - lfp.discharge_ohm_ah))
    # The hour's mean, a third of it, would pass.
    assert peaks.alone.asked_w[0] / 3.0 < peaks.alone.given_w[0]
    assert peaks.inverter.share == 0.0


def test_a_trip_knows_the_charge_at_its_hour_s_start_and_what_is_left_of_it():
    """The stamps of 18:00 and 19:00; what the bank gives follows from the lower of them."""
    falling = np.linspace(1.0, 0.28, 25)
    peaks = one_run(hob_profile(), falling)
    assert peaks.alone.first_h[0] == 18.0
    assert peaks.alone.soc[0] == pytest.approx(falling[18])
    assert peaks.alone.lower_soc[0] == pytest.approx(falling[19])
    steady = one_run(hob_profile(), falling[19])
    assert peaks.alone.given_w[0] == pytest.approx(steady.alone.given_w[0])
    profile = hob_profile()
    times = pd.date_range("2026-01-12", periods=24, freq="h", tz="Etc/GMT-1")
    loads = scheduled_loads(profile, INVERTER, times, "Etc/GMT-1")
    van = question(profile=profile).van
    said = " ".join(peak_warnings(van, profile, peaks, loads, times, "Etc/GMT-1"))
    assert "at 18:00" in said
    assert "the bank, then 46 % full and 43 % within the hour, gives" in said


def test_nothing_trips_after_the_cut_off_or_on_the_post():
    assert one_run(hob_profile(), 0.5, first_cut_h=18.9).together.share == 0.0
    assert one_run(hob_profile(), 0.5, first_cut_h=19.0).together.share == 1.0
    assert one_run(hob_profile(), 0.5, shore=True).together.share == 0.0


def test_two_that_may_meet_overload_the_inverter_only_together():
    kettle = {"part": "kettle", "power_w": 500.0, "windows": [[18, 20]], "minutes_per_day": 10.0}
    peaks = one_run(hob_profile(kettle), 1.0, one=design(capacity_ah=400.0))
    assert peaks.inverter.first_h[0] == 18.0
    assert peaks.inverter.asked_w[0] == 2300.0
    assert peaks.together.share == 0.0


def test_cold_lead_acid_gives_way_sooner():
    bank = design("agm", capacity_ah=60.0)
    hob = hob_profile(power_w=1000.0)
    assert one_run(hob, 0.55, one=bank, temp_c=25.0).alone.share == 0.0
    assert one_run(hob, 0.55, one=bank, temp_c=-5.0).alone.share == 1.0


@pytest.mark.parametrize("chemistry", CHEMISTRY_NAMES)
@pytest.mark.parametrize("factor", [0.98, 1.02])
@pytest.mark.parametrize("soc", [0.55, 0.8, 0.98])
def test_the_limit_is_that_of_the_bank_in_minute_steps(chemistry, factor, soc):
    """One minute a little below the limit runs, a little above cuts off."""
    one = design(chemistry)
    limit_w, _ = bank_gives(one, np.array([[soc]]), WARM)
    minutes = np.zeros(3)
    pulse = np.array([0.0, factor * limit_w[0, 0], 0.0])
    _, cut_h, _, _ = twin(
        one, minutes, pulse, minutes, minutes, minutes, minutes,
        minutes + 1.0, minutes + 1.0, minutes, start_soc=soc, ledger_hours=0, step_h=1 / 60,
    )  # fmt: skip
    assert (cut_h < 3 / 60) == (factor > 1.0)


def test_answer_does_not_depend_on_chunks(monkeypatch):
    asked = question("battery.units=1", "panels.count=3", runs=31, month=4)
    designs = [design_of(asked.van)]
    whole = simulate(asked, designs).conditions.peaks
    monkeypatch.setattr("solarsim.answers.simulation.run.CHUNK_RUNS", 7)
    parts = simulate(asked, designs).conditions.peaks
    for kind in ("alone", "together", "inverter"):
        for field in dataclasses.fields(getattr(whole, kind)):
            np.testing.assert_array_equal(
                getattr(getattr(whole, kind), field.name),
                getattr(getattr(parts, kind), field.name),
            )


def test_join_keeps_the_runs_in_order():
    first, second = one_run(hob_profile(), 0.5), one_run(hob_profile(), 0.5, first_cut_h=2.0)
    joined = join_peaks([first, second])
    assert joined.alone.first_h.tolist() == [18.0, np.inf]
    assert joined.alone.share == 0.5
    assert joined.alone.earliest == 0


def said(answer, word):
    return [line for line in answer.warnings if word in line]


def test_the_warning_names_hob_share_hour_and_both_powers():
    answer = stay(question("battery.units=1", "panels.count=4", month=7))
    (line,) = said(answer, "trip the bank")
    assert line.startswith("'induction hob' would trip the bank in 100 % of runs")
    # Arrival at 17:00; the hob's window opens at 18:00 on the same day.
    assert "July at 18:00" in line
    peaks = answer.conditions.peaks.alone
    assert f"{peaks.asked_w[peaks.earliest]:,.0f} W" in line
    assert f"gives {peaks.given_w[peaks.earliest]:,.0f} W at its limit of 100 A" in line


def test_no_warning_where_the_bank_carries_it():
    assert not said(stay(question("battery.units=4", month=7)), "trip")


def test_an_appliance_that_only_meets_another_is_named_with_it():
    kettle = {"part": "kettle", "windows": [[18, 19]]}
    profile = hob_profile(kettle)
    answer = stay(question("battery.units=2", profile=profile, month=7))
    (line,) = said(answer, "overload")
    assert line.startswith("'induction hob' and 'kettle' at once would overload the inverter")
    assert "3,300 W" in line
    (line,) = said(answer, "trip the bank")
    assert line.startswith("'induction hob' and 'kettle' at once")
