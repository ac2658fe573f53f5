"""The whole circuit of vans of every make hangs together, and can be written down."""

from __future__ import annotations

import itertools
import json
import random
import re

import pytest

from solarsim.electrical.check import check_van
from solarsim.errors import InputError
from solarsim.present.check.documents import check_document
from tests.electrical.vans import HERE, checked, people, van

CHANGES = [
    ["van.system_voltage_v=24", "panels.series=2", "battery.units=4"],
    ["van.system_voltage_v=48", "battery.units=8", "controller.max_input_v=250"],
    *(["panels.count=0"], ["panels.count=6"], ["battery.units=1"], ["battery.units=7"]),
    *(["alternator.dcdc_a=0"], ["shore.charger_a=0"], ["alternator.coupling=split relay"]),
    ["inverter.power_w=20000", "inverter.surge_w=40000"],
    ["wiring.main.insulation_c=60", "wiring.main.ambient_c=90"],
    *(["wiring.main.fused=false"], ["wiring.dcdc_in.fused=false"], ["wiring.bank_bus.fused=false"]),
    *(["wiring.controller_bank.fused=false"], ["wiring.bank_inverter.fused=false"]),
    *(["wiring.main_switch=false"], ["wiring.shunt=false"], ["wiring.rcd=false"]),
    *(["wiring.chassis_return=true"], ["wiring.chassis_bond=false"]),
    *(["wiring.bank_fuses=0"], ["wiring.bank_fuses=2"], ["wiring.string_fuse_a=30"]),
    *(["wiring.main.wire=18 AWG"], ["wiring.main.length_m=0.1"]),
    *(["wiring.main.fuse_from_source_m=5"], ["wiring.alternator.wire=16 mm2"]),
]
BRANCH = {"name": "x", "current_a": 5.0}


def some_van(dice):
    """A van of a few changes, without some of its machines, or None where they do not agree."""
    settings = itertools.chain(*dice.sample(CHANGES, dice.randint(1, 5)))
    wiring = {"rules": dice.choice(["us-rv", "eu-caravan", "boat"])}
    if dice.random() < 0.3:
        wiring["branches"] = [BRANCH | {"unswitched": dice.random() < 0.5}]
    try:
        found = van(*settings, wiring=wiring)
    except InputError:
        return None
    left_out = [name for name in ("inverter", "shore", "alternator") if dice.random() < 0.2]
    return found.model_copy(update=dict.fromkeys(left_out))


@pytest.mark.parametrize(("power_w", "rated"), [(1200.0, "30 A"), (5500.0, "60 A")])
def test_a_planned_transfer_switch_carries_what_either_side_may_send(power_w, rated):
    """30 A from the post's breaker; 5,500 W of 120 V are 45.8 A, 125 % 57.3 A."""
    one = van(f"inverter.power_w={power_w}", "inverter.surge_w=12000", wiring={"rules": "us-rv"})
    shore = one.shore.model_copy(update={"breaker_a": 30.0, "mains_voltage_v": 120.0})
    check = check_van(one.model_copy(update={"shore": shore}), people(), HERE)
    nodes = {node.id: node for node in check.topology.nodes}
    assert nodes["transfer switch"].rating == rated


def test_ratings_on_the_roof_are_never_rounded_down():
    check = check_van(van(), people(), HERE)
    nodes = {node.kind: node for node in check.topology.nodes}
    cold_v = float(nodes["array"].rating.split()[0])
    least_v = float(re.search(r"at least ([\d.]+) V", nodes["isolator"].rating)[1])
    assert cold_v <= least_v < cold_v + 1.0


@pytest.mark.one_plain
@pytest.mark.parametrize("seed", range(4))
def test_every_circuit_hangs_together(seed):
    dice = random.Random(seed)
    vans = [one for one in (some_van(dice) for _ in range(20)) if one is not None]
    assert len(vans) > 10
    for one in vans:
        check = check_van(one, people(), HERE)
        circuit = check_document(check)["circuit"]
        json.dumps(circuit, allow_nan=False)
        nodes = [node["id"] for node in circuit["nodes"]]
        assert len(nodes) == len(set(nodes))
        for run in circuit["runs"]:
            assert {run["start"], run["end"]} | ({run["return_end"]} - {""}) <= set(nodes)
            assert run["length_m"] > 0.0
            assert (run["protection"] is None) == bool(run["unprotected_why"])


def test_the_bank_s_run_is_cut_where_something_stands_in_it():
    """Positive: fuse, switch, bus; negative: shunt, bus; each pole as long as the run."""
    topology = checked("wiring.main.length_m=1.5", "wiring.main.fuse_from_source_m=0.1").topology
    main = [run for run in topology.runs if run.key == "main"]
    ends = [(run.start, run.end) for run in main]
    assert ends == [
        *(("bank", "main fuse"), ("main fuse", "main switch"), ("main switch", "positive bus")),
        *(("bank", "shunt"), ("shunt", "negative bus")),
    ]
    plus = [run.length_m for run in main if run.poles == ("+",)]
    assert plus == pytest.approx([0.1, 0.7, 0.7])
    assert sum(run.length_m for run in main if run.poles == ("-",)) == pytest.approx(1.5)
    # The loss of its parts is that of the whole, there and back.
    whole = next(c for c in checked("wiring.main.length_m=1.5").cables if c.circuit.key == "main")
    assert sum(run.drop_v for run in main) == pytest.approx(whole.drop_v)


def test_what_the_switch_leaves_on():
    alarm = {"name": "alarm", "current_a": 0.2, "unswitched": True}
    rest = {"name": "rest", "current_a": 40.0}
    topology = checked(wiring={"branches": [alarm, rest]}).topology
    feeds = {run.name: run.start for run in topology.runs if run.key == "branches"}
    assert feeds == {"alarm": "main fuse", "rest": "fuse block"}
    assert topology.stays_on == ("alarm",)
    assert checked("wiring.main_switch=false").topology.switched_off == ()
    with pytest.raises(KeyError):
        topology.node("nothing")
    assert topology.node("main switch").planned


def test_what_no_fuse_is_made_for_says_so():
    topology = checked("inverter.power_w=20000", "inverter.surge_w=40000").topology
    run = next(run for run in topology.runs if run.key == "bank_inverter")
    assert (run.wire, run.protection) == ("none fits", None)
    assert run.unprotected_why == "no fuse is large enough"
