"""A second alternator at the bank's voltage: its run, its rating, and both engines' sum."""

from __future__ import annotations

import pytest

from solarsim.electrical.bank import charge_limit_a
from solarsim.electrical.currents import sum_of_chargers_a
from solarsim.inputs.chargers import Alternator, SecondAlternator
from solarsim.power.sources import plan_share
from tests.electrical.vans import checked, van
from tests.power.test_sources import UTC, chargers_of, demand, stamps

LARGE = ("battery.units=4",)


def found(*settings):
    check = checked(*LARGE, *settings)
    return {finding.id: finding for finding in check.findings}, check


def test_its_run_bears_its_current_and_has_its_fuse():
    findings, check = found("alternator.second.charging_a=40")
    assert findings == {}
    (cable,) = (one for one in check.cables if one.circuit.key == "second_alternator")
    assert cable.circuit.current_a == 40.0
    assert cable.circuit.engine_space
    assert cable.fuse_a >= 1.25 * 40.0
    node = check.topology.node("second alternator")
    assert (node.kind, node.side) == ("alternator", "engine")
    assert any("rating" in text for text in check.not_looked_at)
    without = found()[1]
    assert all(one.circuit.key != "second_alternator" for one in without.cables)


def test_a_thin_wire_is_stopped():
    findings, _ = found("alternator.second.charging_a=80", 'wiring.second_alternator.wire="4 mm2"')
    assert findings["cable-ampacity"].severity == "stop"
    assert findings["cable-ampacity"].where == "second alternator to positive bus"


def test_both_together_are_held_to_what_the_bank_takes():
    alone, both = van(), van("alternator.second.charging_a=100")
    assert sum_of_chargers_a(both) == sum_of_chargers_a(alone) + 100.0
    assert sum_of_chargers_a(alone) < charge_limit_a(alone) < sum_of_chargers_a(both)
    assert "bank-charge" in {f.id for f in checked("alternator.second.charging_a=100").findings}


@pytest.mark.parametrize(
    ("settings", "said"),
    [
        (["alternator.second.rating_a=50"], "second-alternator-load"),
        (["alternator.second.regulated=false"], "second-alternator-regulator"),
        (["alternator.second.rating_a=90"], None),
    ],
)
def test_what_overheats_it_is_warned_of(settings, said):
    findings, _ = found("alternator.second.charging_a=40", *settings)
    assert set(findings) == ({said} if said else set())
    assert all(finding.severity == "warn" for finding in findings.values())


def test_both_charge_in_the_hours_that_are_driven():
    times = stamps()
    plan = {"drive_h": 2.0, "every_days": 1}
    second = SecondAlternator(charging_a=100.0, output_share=0.5)
    alternator = Alternator(dcdc_a=30.0, output_share=0.8, second=second, **plan)
    chargers, _ = chargers_of(alternator, None, demand(0.0), times, UTC, absorption_v=14.2)
    driving = plan_share(times, UTC, start_hour=10.0, duration_h=2.0, every_days=1)
    # 24 A of the one and 50 A of the other.
    assert chargers.alternator_a[0].tolist() == pytest.approx((74.0 * driving).tolist())
    assert alternator.rated_a == 130.0
    assert alternator.driven_share == pytest.approx(74.0 / 130.0)
