"""Deliberately wrong vans: each raises exactly the findings that it should, and right ones none."""

from __future__ import annotations

import pytest

from solarsim.answers.question import ask
from solarsim.electrical.bank import bank_findings
from solarsim.electrical.check import check_van
from solarsim.electrical.currents import sum_of_chargers_a
from solarsim.electrical.site import Extremes
from solarsim.inputs.files.toml import shipped_folder
from solarsim.inputs.files.van import van_from_data
from solarsim.inputs.profile import profile_from_data
from tests.electrical.vans import HERE, VAN, checked, people, van
from tests.electrical.wrong_vans import COLD_CABIN, OUTSIDE, PORTABLE, SMALL, WRONG


@pytest.mark.parametrize("name", WRONG)
def test_a_wrong_van_raises_exactly_its_findings(name):
    (settings, tables, *loads), expected = WRONG[name]
    profile = people(*loads, heated=name != COLD_CABIN)
    findings = checked(*settings, profile=profile, **tables).findings
    assert {finding.id: finding.severity for finding in findings} == expected
    for finding in findings:
        value, limit, unit = finding.compared
        assert value != limit
        assert unit
        assert finding.source
        assert finding.message
        assert finding.advice


def test_the_matrix_is_wide():
    ids = {identity for _, findings in WRONG.values() for identity in findings}
    assert len(WRONG) >= 25
    assert len(ids) >= 40


def test_the_plain_van_is_right():
    assert checked().findings == ()


@pytest.mark.parametrize(
    "name", sorted(path.stem for path in shipped_folder("vans").glob("*.toml"))
)
def test_shipped_vans_are_right(name):
    question = ask(name)
    check = check_van(question.van, question.profile, question.place, climate=question.climate)
    assert check.findings == ()
    assert check.cables


@pytest.mark.parametrize(
    "settings",
    [
        [OUTSIDE, "battery.self_heating=true"],
        ["battery.charger_absorption_v=14.2", "battery.charger_float_v=13.5"],
        ["alternator.rating_a=80"],
        ["inverter.transfer_a=16"],
        ["controller.max_input_a=26"],
        ["wiring.bank_inverter.fuse_interrupts_a=10000"],
        ["wiring.bank_inverter.fuse_from_source_m=0.178"],
        ["wiring.bank_inverter.fuse_from_source_m=1.0", "wiring.bank_inverter.sheathed=true"],
        ['wiring.bank_inverter.wire="35 mm2"', "wiring.bank_inverter.fuse_a=175"],
        ['wiring.bank_inverter.wire="2/0 AWG"', "wiring.bank_inverter.fuse_a=200"],
        # 55 A x 0.53 are above 125 % of 2 x 10.4 A, and 55 A above 156 % (NEC 690.8).
        ['wiring.panels_controller.wire="10 AWG"', "wiring.panels_controller.length_m=3"],
        # 40 A are above 156 %, and 40 A x 0.7 above 125 %: never both at once.
        [
            'wiring.panels_controller.wire="12 AWG"',
            "wiring.panels_controller.length_m=2",
            "wiring.panels_controller.ambient_c=30",
            "wiring.panels_controller.bundled=3",
        ],
        ["panels.count=0"],
    ],
    ids=str,
)
def test_what_stays_within_its_limit_raises_nothing(settings):
    assert checked(*settings).findings == ()


def test_a_further_array_has_its_own_runs():
    portable = PORTABLE | {"controller": SMALL | {"max_output_a": 20.0}}
    less = "shore.charger_a=10"
    check = checked(less, arrays=[portable])
    assert check.findings == ()
    runs = {cable.circuit.name: cable.circuit for cable in check.cables}
    assert runs["portable: solar controller to positive bus"].current_a == 20.0
    # 125 % of 10.4 A of one string (NEC 690.8).
    assert runs["portable: panels to controller"].current_a == pytest.approx(13.0)
    assert runs["panels to controller"].current_a == pytest.approx(26.0)
    # Its 200 W at some 13.5 V come to what charges at once.
    more_a = sum_of_chargers_a(check.van) - sum_of_chargers_a(checked(less).van)
    assert more_a == pytest.approx(200.0 / 13.3, rel=0.02)


def test_an_array_on_the_van_s_controller_counts_with_it():
    """What the controller's 30 A into the bank cap: no more current with more panels."""
    together = {c.circuit.name: c.circuit for c in checked(arrays=[PORTABLE]).cables}
    assert "portable: solar controller to positive bus" not in together
    assert together["solar controller to positive bus"].current_a == 30.0
    assert together["portable: panels to controller"].string_fuse_a == 20.0
    assert together["panels to controller"].string_fuse_a == 20.0


def test_no_inverter_no_engine_no_shore():
    few = {name: VAN[name] for name in ("van", "panels", "controller", "battery")}
    lamp = {"name": "lamp", "power_w": 20.0, "hours_per_day": 4.0}
    dark = {"profile": {"name": "dark"}, "appliances": [lamp]}
    check = check_van(van_from_data(few, source="x"), profile_from_data(dark, source="x"), HERE)
    assert [finding.id for finding in check.findings] == ["bank-cold-charging"]
    runs = [cable.circuit.key for cable in check.cables]
    assert runs == [
        *("bank_string", "main", "bank_bus", "controller_bank", "panels_string"),
        *("panels_controller", "branches"),
    ]


def test_findings_come_worst_first():
    findings = checked(
        "shore.breaker_a=25", "alternator.rating_a=70", "controller.max_input_v=25"
    ).findings
    assert [finding.severity for finding in findings] == ["stop", "warn", "note"]


LEAD_OUTSIDE = {"vented": True, "chemistry": "agm", "unit_capacity_ah": 100.0, "units": 4}


@pytest.mark.parametrize(
    ("settings", "heated", "found"),
    [
        # The record of -24.7 C at Salzburg: a bank at half its charge freezes at -25 C.
        (["battery.location=outside"], True, False),
        (["battery.location=outside", "battery.floor_soc=0.4"], True, True),
        (["battery.floor_soc=0.4"], True, False),
        (["battery.floor_soc=0.4"], False, True),
        (
            ["battery.floor_soc=0.4", "battery.chemistry=lfp", "battery.location=outside"],
            True,
            False,
        ),
    ],
)
def test_a_discharged_bank_that_would_freeze_is_stopped(settings, heated, found):
    check = checked(*settings, profile=people(heated=heated), battery=LEAD_OUTSIDE)
    assert -25.0 < check.extremes.low_c < -23.0
    freezing = [finding for finding in check.findings if finding.id == "bank-freezing"]
    assert bool(freezing) is found
    for finding in freezing:
        assert finding.severity == "stop"
        # 1.178 lies 0.56 of the way from 1.150 (-15 C) to 1.200 (-27 C).
        assert finding.compared.limit == pytest.approx(-21.72, abs=0.01)
        assert finding.compared.value == check.extremes.low_c
        # -24.7 C is gravity 1.1906 by the same two rows: 0.487 of the way from 1.120 to 1.265.
        assert "keep it charged above 49 %" in finding.advice
        assert "inside" in finding.advice
        assert "from memory" in finding.source


def test_no_charge_keeps_a_bank_from_the_hardest_frost():
    extremes = Extremes(low_c=-60.0, high_c=35.0, source="by hand")
    frozen = van("battery.location=outside", battery=LEAD_OUTSIDE)
    findings = bank_findings(frozen, people(), extremes)
    (finding,) = (one for one in findings if one.id == "bank-freezing")
    assert "no charge keeps it from freezing" in finding.advice
