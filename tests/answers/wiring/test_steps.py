"""The test sheet: what is expected is that of the van, worked out here by hand."""

from __future__ import annotations

import pytest

from solarsim.answers.question import ask
from solarsim.answers.wiring.wiring import wiring


def sheet(van="weekender", *settings):
    answer = wiring(ask(van, settings=settings))
    return answer, answer.steps


def lines(steps, text):
    return [step for step in steps if text in step.what]


def test_lines_are_numbered_in_order_and_mains_work_is_for_the_licensed():
    _, steps = sheet()
    assert [step.number for step in steps] == list(range(1, len(steps) + 1))
    stages = [step.stage for step in steps]
    assert list(dict.fromkeys(stages)) == ["seen", "dead", "solar", "bank", "load", "mains"]
    assert {step.stage for step in steps if step.licensed} == {"mains"}
    assert all(step.licensed for step in steps if step.stage == "mains")
    assert all(step.source for step in steps)


def test_each_string_has_its_cold_voltage_and_current():
    """Two strings of one 200 W panel: Voc 24.3 V, -0.29 %/K: 0.07 V a kelvin; Isc 10.4 A."""
    _, steps = sheet()
    strings = lines(steps, "open-circuit voltage")
    assert len(strings) == 2
    for step in strings:
        assert "24.3 V at 25 C cells, 0.07 V more for each kelvin below" in step.expected
        assert "the controller bears 100 V" in step.expected
    (current,) = lines(steps, "short-circuit current")
    assert "10.40 A x W/m2 / 1000" in current.expected


def test_strings_in_series_add_up():
    """Long-stayer: two 220 W panels of Voc 24.7 V in series."""
    answer, steps = sheet("long-stayer")
    voc_v = answer.check.van.panels.voc_v
    strings = lines(steps, "open-circuit voltage")
    assert len(strings) == 3
    assert f"{2 * voc_v:.1f} V at 25 C" in strings[0].expected


def test_every_fuse_is_seen_and_every_loaded_run_measured():
    answer, steps = sheet()
    runs = answer.check.topology.runs
    fused = {run.number for run in runs if run.protection and run.side != "mains"}
    assert fused == {n for step in lines(steps, "Every fuse") for n in step.runs}
    pairs = {run.number for run in runs if run.drop_v and len(run.poles) == 2}
    assert pairs == {n for step in lines(steps, "volts lost") for n in step.runs}


def test_volts_lost_are_those_of_the_run():
    """1 m of 50 mm2 there and back at 129.9 A: ABYC's 10.75 ohm CM/ft gives 0.09 V."""
    _, steps = sheet()
    (inverter,) = lines(steps, "positive bus to inverter: volts lost")
    circular_mils = 50.0 / 0.000506707
    assert 10.75 * 129.9 * 2.0 / 0.3048 / circular_mils == pytest.approx(0.09, abs=0.005)
    assert inverter.expected.startswith("0.09 V at most in the run")
    assert "129.9 A" in inverter.what


def test_resistance_of_the_protective_conductor_is_that_of_its_copper():
    """2 + 1 + 5 m of 2.5 mm2: 0.017241 x 8 / 2.5 = 0.055 ohm, and 0.1 ohm of contacts."""
    _, steps = sheet()
    (step,) = lines(steps, "Protective conductor")
    assert step.expected.startswith("at most 0.16 ohm: 0.06 ohm of copper")


def test_an_outlet_s_least_voltage_is_that_of_the_cables():
    """2 + 1 + 5 m of 2.5 mm2 at 16 A: 2 x 0.0225 x 8 x 16 / 2.5 = 2.3 V of 230 V."""
    (step,) = lines(sheet()[1], "Voltage at every outlet")
    assert "at most 2.3 V less than at the shore inlet" in step.expected
    assert "at least 227.7 V where 230 V come in" in step.expected
    # 30 A over 2 m and 1 m of 10 AWG (5.261 mm2), 20 A over 5 m of 12 AWG (3.309 mm2), 120 V:
    # 2 x 0.0225 x (90 / 5.261 + 100 / 3.309) = 0.770 + 1.360 = 2.1 V.
    (step,) = lines(sheet("long-stayer")[1], "Voltage at every outlet")
    assert "at most 2.1 V less" in step.expected
    assert "at least 117.9 V where 120 V come in" in step.expected


def test_residual_current_devices_are_tested_by_their_own_standard():
    _, european = sheet()
    (step,) = lines(european, "test button")
    assert step.expected == "no trip at 15 mA; within 300 ms at 30 mA and 40 ms at 150 mA"
    _, american = sheet("long-stayer")
    (step,) = lines(american, "test button")
    assert "trips at 4 to 6 mA" in step.expected
    assert lines(sheet("weekender", "wiring.rcd=false")[1], "test button") == []


def test_like_batteries_are_compared_before_they_are_joined():
    assert lines(sheet()[1], "Every battery by itself")
    assert not lines(sheet("weekender", "battery.units=1")[1], "Every battery by itself")
