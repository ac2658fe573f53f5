"""The converter to 12 V in the electrical check: its run, its branches, its rating."""

from __future__ import annotations

import pytest

from solarsim.electrical.circuit.dc_runs import circuits_of
from solarsim.electrical.converter import converter_findings, converter_load
from solarsim.electrical.rule_set import rule_set
from solarsim.inputs.files.van import read_van
from solarsim.inputs.profile import profile_from_data

LAMPS = {"name": "lamps", "power_w": 24.0, "hours_per_day": 4.0}
HEATER = {"name": "pump", "power_w": 60.0, "hours_per_day": 1.0}
FRIDGE = {"name": "fridge", "power_w": 48.0, "hours_per_day": 8.0, "runs_on_v": [12, 24]}


def people(*loads):
    return profile_from_data({"profile": {"name": "x"}, "appliances": list(loads)}, source="x")


def bus(*settings):
    return read_van("long-stayer", settings=settings)


def test_run_and_branches_by_hand():
    van = bus("converter.efficiency=0.9", "converter.idle_w=2")
    found = {
        circuit.name: circuit
        for circuit in circuits_of(van, people(LAMPS, HEATER, FRIDGE), rule_set("us-rv"))
    }
    # 84 W at 12 V are 93.3 W and 2 W idle from the bank; IEEE 1013: at 95 % of 24 V.
    assert found["fuse block to converter"].current_a == pytest.approx(95.33 / 22.8, rel=1e-3)
    assert found["fuse block to converter"].running_v == 24.0
    assert (found["pump"].current_a, found["pump"].running_v) == (5.0, 12.0)
    assert (found["small 12 V loads"].current_a, found["small 12 V loads"].running_v) == (2.0, 12.0)
    assert found["fridge"].current_a == pytest.approx(48.0 / 22.8)
    assert "converter's output" in found["pump"].fuse_place


def test_a_small_converter_is_found():
    loads = people(LAMPS, HEATER)
    (finding,) = converter_findings(bus("converter.power_w=80"), loads)
    assert (finding.id, finding.compared) == ("converter-rating", (84.0, 80.0, "W"))
    assert not list(converter_findings(bus("converter.power_w=84"), loads))
    assert not list(converter_findings(bus(), loads))


def test_nothing_hangs_on_it_in_a_van_of_12_v():
    load = converter_load(read_van("weekender"), people(LAMPS))
    assert (load.names, load.from_bank_w) == (frozenset(), 0.0)
