"""Mains cables by hand: breaker, ampacity and drop, against the tables of the rules in force."""

from __future__ import annotations

import json

import pytest

from solarsim.electrical.ampacity import mains_ampacity
from solarsim.electrical.check import check_van
from solarsim.electrical.circuit.mains_cables import mains_cables, mains_drop_v, mains_most_a
from solarsim.electrical.circuit.mains_legs import inverter_breaker_a
from solarsim.electrical.rule_set import rule_set
from solarsim.electrical.wire import awg, metric, parse_wire
from solarsim.present.check.documents import check_document
from tests.electrical.vans import HERE, checked, people, van

US, EU, BOAT = (rule_set(name) for name in ("us-rv", "eu-caravan", "boat"))
AMERICAN = ("shore.mains_voltage_v=120", "shore.breaker_a=30", "inverter.output_v=120")


def by_key(*settings, rules="eu-caravan", **wiring):
    one = van(*settings, wiring={"rules": rules} | wiring)
    return {cable.leg.key: cable for cable in mains_cables(one, rule_set(rules))}


def found(*settings, rules="eu-caravan", **wiring):
    one = van(*settings, wiring={"rules": rules} | wiring)
    findings = check_van(one, people(), HERE).findings
    return {f.where: f for f in findings if f.id in {"mains-ampacity", "mains-cable", "mains-drop"}}


@pytest.mark.parametrize(
    ("rules", "wire", "ampacity_a"),
    [
        # NEC table 310.16, 60 C column (from memory): 15, 20, 30, 40, 55 A.
        *[(US, awg(n), a) for n, a in (("14", 15), ("12", 20), ("10", 30), ("8", 40), ("6", 55))],
        # 2.5 mm2 lies between 14 AWG (2.08 mm2) and 12 AWG (3.31 mm2): it counts as 14 AWG.
        (US, metric(2.5), 15),
        # BS 7671 table 4F3A, flexible cable (from memory): 10, 16, 25, 32 A.
        *[(EU, metric(area), a) for area, a in ((1, 10), (1.5, 16), (2.5, 25), (4, 32))],
        # BS 7671 table 4D2A, method C; IEC 60364-5-52 table B.52.2 (from memory): 46, 63, 85 A.
        *[(EU, metric(area), a) for area, a in ((6, 46), (10, 63), (16, 85))],
        # 33 CFR 183.425, table 5, 60 C column: 20, 25, 40 A.
        *[(BOAT, awg(number), a) for number, a in (("14", 20), ("12", 25), ("10", 40))],
        # Thinner than its table: nothing.
        *((EU, metric(0.5), 0), (US, awg("20"), 0)),
    ],
)
def test_ampacity_is_that_of_the_table(rules, wire, ampacity_a):
    assert mains_ampacity(rules, wire).ampacity_a == ampacity_a


@pytest.mark.parametrize("rules", [US, EU, BOAT], ids=lambda rules: rules.name)
def test_the_smallest_size_of_every_breaker_bears_it(rules):
    for breaker_a in rules.ac.breakers:
        _, gauge, size = next(row for row in rules.ac.conductors if breaker_a <= row[0])
        for name in (gauge, size):
            assert mains_most_a(rules, parse_wire(name)) >= breaker_a, (breaker_a, name)


def test_thicker_than_the_list_is_held_to_its_ampacity():
    """1 AWG bears 110 A, 2/0 AWG 145 A (NEC table 310.16, 60 C); 10 AWG has 30 A by 240.4(D)."""
    most = [mains_most_a(US, awg(name)) for name in ("10", "1", "2/0")]
    assert most == [30.0, 110.0, 145.0]


@pytest.mark.parametrize(
    ("area_mm2", "mv"),
    # BS 7671 table 4D2B (from memory), mV/A/m, two-core, single phase, 70 C.
    [(1, 44), (1.5, 29), (2.5, 18), (4, 11), (6, 7.3), (10, 4.4), (16, 2.8)],
)
def test_drop_is_near_the_table_s(area_mm2, mv):
    assert 1000.0 * mains_drop_v(metric(area_mm2), 1.0, 1.0) == pytest.approx(mv, rel=0.04)


def test_drop_is_not_below_that_of_stranded_copper_at_75_c():
    """12 AWG: 1.98 ohm per 1,000 ft (NEC chapter 9, table 8, stranded, from memory).

    20 A over 10 m there and back: 20 x 20 / 304.8 x 1.98 = 2.60 V; rho 0.0225 gives 5 % more.
    """
    table_v = 20.0 * 20.0 / 304.8 * 1.98
    assert table_v == pytest.approx(2.60, abs=0.005)
    assert mains_drop_v(awg("12"), 20.0, 10.0) == pytest.approx(1.046 * table_v, rel=0.003)


def test_drop_adds_up_from_the_inlet_to_the_outlets():
    """Each run at its own 16 A through 2.5 mm2, 2 rho L I / S: 2 m, 1 m and 5 m.

    2 x 0.0225 x 16 / 2.5 = 0.288 V a metre: 0.576, 0.288 and 1.44 V, 2.304 V in all: 1.00 % of
    230 V. From the inverter's 10 A breaker (1,200 W / 230 V x 1.25 = 6.5 A) on 1.5 mm2 it is less:
    2 x 0.0225 x 10 / 1.5 = 0.30 V, and the outlets' 1.44 V.
    """
    cables = by_key()
    shares = {key: cable.drop_end_share for key, cable in cables.items()}
    assert shares["ac_inlet"] == pytest.approx(0.576 / 230.0)
    assert shares["ac_transfer"] == pytest.approx(0.864 / 230.0)
    assert shares["ac_inverter"] == pytest.approx(0.30 / 230.0)
    assert shares["ac_outlets"] == pytest.approx(2.304 / 230.0)
    # A long run from the inverter loses more than the inlet's side: 10 x 0.30 + 1.44 V.
    longer = by_key(ac_inverter={"length_m": 10.0})
    assert longer["ac_outlets"].drop_end_share == pytest.approx(4.44 / 230.0)


def test_the_circuit_tells_what_a_mains_run_bears_and_loses():
    circuit = check_document(checked(wiring={"rules": "eu-caravan"}))["circuit"]
    json.dumps(circuit, allow_nan=False)
    runs = {run["key"]: run for run in circuit["runs"] if run["side"] == "mains"}
    assert len(runs) == 5
    outlets = runs["ac_outlets"]
    assert (outlets["wire"], outlets["ampacity_a"]) == ("2.5 mm2", 25.0)
    assert outlets["drop_v"] == pytest.approx(1.44)
    assert outlets["drop_end_share"] == pytest.approx(2.304 / 230.0)
    assert outlets["drop_limit_share"] == 0.05
    assert outlets["protection"]["at_most_a"] == 16.0
    assert any("4F3A" in rule["source"] for rule in outlets["rules"])


def test_a_breaker_above_the_ampacity_stops():
    """1 mm2 of flexible cable bears 10 A (BS 7671 table 4F3A, from memory), the post lets 16 A."""
    (finding,) = found(ac_inlet={"wire": "1 mm2"}).values()
    assert (finding.id, finding.severity) == ("mains-ampacity", "stop")
    assert finding.compared == (16.0, 10.0, "A")
    assert finding.advice.startswith("2.5 mm2 or 12 AWG at least")
    # 1.5 mm2 bears 16 A, but the list of sizes has 10 A for it: EN 60309-2 inlets are on 2.5 mm2.
    (finding,) = found(ac_inlet={"wire": "1.5 mm2"}).values()
    assert (finding.id, finding.compared) == ("mains-cable", (16.0, 10.0, "A"))
    assert not found(ac_inlet={"wire": "2.5 mm2"})
    # 1 mm2 would bear a breaker of 6 A, but the list begins with 1.5 mm2.
    (finding,) = found("shore.breaker_a=6", ac_transfer={"wire": "1 mm2"}).values()
    assert "thinner than any of the rules' list" in finding.message
    assert finding.advice.startswith("1.5 mm2 or 14 AWG at least")


def test_a_long_run_is_warned_of_and_the_advice_mends_it():
    """12 AWG (3.31 mm2), 20 A, 15 m at 120 V: 2 x 0.0225 x 15 x 20 / 3.309 = 4.08 V, 3.4 %."""
    wiring = {"ac_outlets": {"wire": "12 AWG", "length_m": 15.0}}
    (finding,) = found(*AMERICAN, rules="us-rv", **wiring).values()
    assert (finding.id, finding.severity) == ("mains-drop", "warn")
    # 3 % in the branch (NEC 210.19(A), informational note, from memory).
    assert finding.compared == (pytest.approx(3.40, abs=0.005), 3.0, "%")
    assert "advised and not asked for" in finding.source
    assert finding.advice.startswith("10 AWG or 4 mm2 at least")
    mended = {"ac_outlets": {"wire": "10 AWG", "length_m": 15.0}}
    assert not found(*AMERICAN, rules="us-rv", **mended)


def test_what_is_lost_before_a_run_counts_with_it():
    """European, 16 A on 2.5 mm2: 0.288 V a metre. 32 + 1 + 5 m are 10.94 V, 4.8 %: kept.

    34 + 1 + 5 m are 11.52 V, 5.01 % of 230 V, above the 5 % of table 4Ab (from memory).
    """
    assert not found(ac_inlet={"length_m": 32.0})
    (finding,) = found(ac_inlet={"length_m": 34.0}).values()
    assert finding.where == "transfer switch to outlets"
    assert finding.compared == (pytest.approx(100.0 * 11.52 / 230.0), 5.0, "%")


@pytest.mark.parametrize(
    ("rules", "power_w", "breaker_a"),
    [
        # 125 % of the rated output: 3,000 W / 120 V = 25 A, 31.25 A: 40 A, no longer 25 A.
        ("us-rv", 3000.0, 40.0),
        # 2,400 W / 120 V = 20 A, 25 A: a breaker of just that.
        ("us-rv", 2400.0, 25.0),
    ],
)
def test_the_inverter_s_breaker_carries_its_output_for_hours(rules, power_w, breaker_a):
    """NEC 690.9(B), from memory: 125 % of a continuous output."""
    one = van(*AMERICAN, f"inverter.power_w={power_w}", "inverter.surge_w=9000")
    assert inverter_breaker_a(rule_set(rules), one) == (breaker_a, True)


def test_an_inverter_beyond_every_breaker_stops_and_gets_none():
    """14,000 W / 120 V = 116.7 A, 125 % 145.8 A; the largest breaker has 100 A. A wire is no help.

    Before, a breaker of 116.667 A was drawn and bought, and a given wire was not looked at.
    """
    big = (*AMERICAN, "inverter.power_w=14000", "inverter.surge_w=28000")
    for wiring in ({}, {"ac_inverter": {"wire": "14 AWG"}}):
        one = van(*big, wiring={"rules": "us-rv"} | wiring)
        check = check_van(one, people(), HERE)
        (finding,) = (f for f in check.findings if f.id == "mains-breaker")
        assert (finding.severity, finding.where) == ("stop", "inverter to transfer switch")
        assert finding.compared == (pytest.approx(145.83, abs=0.01), 100.0, "A")
        (run,) = (run for run in check.topology.runs if run.key == "ac_inverter")
        assert run.protection is None
        assert run.unprotected_why == "no breaker is large enough"
