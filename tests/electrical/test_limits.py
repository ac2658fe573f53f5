"""Where each limit lies: one step within it nothing is found, one step beyond it is."""

from __future__ import annotations

import pytest

from solarsim.electrical.placement import placement_findings
from solarsim.electrical.string_voltage import hot_string_v
from solarsim.inputs.files.van import read_van
from tests.electrical.vans import checked, people, van

LEAD = {"chemistry": "agm", "unit_capacity_ah": 100.0, "units": 4, "location": "outside"}


def lead(chemistry, *settings):
    # Gel takes the least: 0.2 C, shared within 10 %.
    gentle = ["shore.charger_a=5", *settings]
    return checked(*gentle, battery=LEAD | {"chemistry": chemistry}).findings


def branch(length_m, *, critical):
    fields = {"name": "x", "current_a": 5.0, "wire": "16 AWG", "critical": critical}
    short = {"length_m": 1e-4}
    rest = {"name": "rest", "current_a": 40.0}
    branches = [fields | {"length_m": length_m}, rest]
    runs = {"main": short, "bank_bus": short, "branches": branches}
    return checked(wiring=runs).findings


def drill(surge_w):
    tool = {
        "name": "drill",
        "current": "ac",
        "power_w": 700.0,
        "surge_w": surge_w,
        "minutes_per_day": 5.0,
        "windows": [[14, 15]],
    }
    return checked(inverter={"power_w": 1200.0}, profile=people(tool)).findings


def ids(findings):
    return [finding.id for finding in findings]


@pytest.mark.parametrize(
    ("field", "within", "beyond", "identity"),
    [
        # 24.3 V x 1.20 at -24 C (NEC 690.7).
        ("controller.max_input_v", 29.2, 29.1, "array-voltage-cold"),
        # 2 x 10.4 A x 1.25 (NEC 690.8) as advice.
        ("controller.max_input_a", 26.0, 25.9, "array-current-input"),
        # 30 A x 14.4 V / 0.9 / 12 V are 40 A, at most half of the rating.
        ("alternator.rating_a", 80.0, 79.0, "alternator-load"),
        # A post's 16 A through the switch.
        ("inverter.transfer_a", 16.0, 15.9, "transfer-switch"),
        # 30 A of sun and 30 A of engine, more than of shore, on two units that share within 10 %.
        ("battery.bms_charge_a", 33.1, 32.9, "bank-charge"),
        # 1200 W / 0.88 / 10.5 V and 95 W / 11.4 V, likewise.
        ("battery.bms_discharge_a", 76.1, 75.9, "bank-discharge"),
        # Twice 100 A from each of two, within 10 %: 3283 W with the DC loads.
        ("inverter.surge_w", 3270.0, 3295.0, "bank-surge"),
        ("battery.charger_absorption_v", 14.6, 14.7, "charger-absorption-high"),
        ("battery.charger_absorption_v", 14.0, 13.9, "charger-absorption-low"),
        ("battery.charger_float_v", 13.8, 13.9, "charger-float-high"),
        # 7 inches (33 CFR 183.455).
        ("wiring.bank_inverter.fuse_from_source_m", 0.177, 0.179, "cable-fuse-place"),
        # Two units of 5 kA each.
        ("wiring.bank_bus.fuse_interrupts_a", 10_000.0, 9_990.0, "cable-fuse-interrupting"),
        # 125 % of 129.9 A (NEC 210/215).
        ("wiring.bank_inverter.fuse_a", 163.0, 162.0, "cable-fuse-small"),
    ],
)
def test_one_number(field, within, beyond, identity):
    assert ids(checked(f"{field}={within}").findings) == []
    assert ids(checked(f"{field}={beyond}").findings) == [identity]


@pytest.mark.parametrize(
    ("chemistry", "field", "within", "beyond", "identity"),
    [
        *(
            (kind, "battery.charger_absorption_v", 14.8, 14.9, "charger-absorption-high")
            for kind in ("agm", "flooded")
        ),
        *(
            (kind, "battery.charger_absorption_v", 14.1, 14.0, "charger-absorption-low")
            for kind in ("agm", "flooded")
        ),
        ("gel", "battery.charger_absorption_v", 14.4, 14.5, "charger-absorption-high"),
        ("gel", "battery.charger_absorption_v", 14.0, 13.9, "charger-absorption-low"),
        # 2.30 V a cell.
        ("agm", "battery.charger_float_v", 13.8, 13.9, "charger-float-high"),
        ("flooded", "battery.floor_soc", 0.5, 0.49, "bank-floor"),
    ],
)
def test_lead_acid(chemistry, field, within, beyond, identity):
    assert ids(lead(chemistry, f"{field}={within}")) == []
    assert ids(lead(chemistry, f"{field}={beyond}")) == [identity]


def test_only_flooded_is_equalised():
    assert ids(lead("flooded", "battery.charger_equalize_v=15.5")) == []
    assert ids(lead("agm", "battery.charger_equalize_v=15.5")) == ["charger-equalize"]


def test_flooded_inside_needs_a_vent():
    assert ids(lead("flooded", "battery.location=inside")) == ["bank-gas"]
    assert ids(lead("flooded", "battery.location=inside", "battery.vented=true")) == []


def test_set_points_scale_with_the_system():
    doubled = ["van.system_voltage_v=24", "panels.series=2", "battery.units=4"]
    doubled.append("alternator.dcdc_a=20")
    assert ids(checked(*doubled, "battery.charger_absorption_v=29.2").findings) == []
    assert ids(checked(*doubled, "battery.charger_absorption_v=29.4").findings) == [
        "charger-absorption-high"
    ]


@pytest.mark.parametrize(
    ("critical", "within_m", "beyond_m"),
    # 10.75 x 5 A x 2 x 3.281 ft over 2583 circular mils is 0.1366 V a metre (ABYC E-11).
    [(True, 2.63, 2.64), (False, 8.78, 8.79)],
)
def test_voltage_drop(critical, within_m, beyond_m):
    assert ids(branch(within_m, critical=critical)) == []
    assert ids(branch(beyond_m, critical=critical)) == ["cable-drop"]


def test_surge_without_a_datasheet_s():
    """1.5 x 1200 W."""
    assert ids(drill(1800.0)) == []
    assert ids(drill(1801.0)) == ["inverter-surge"]


def test_idle_draw_against_the_bank():
    """A tenth of some 13.1 V x 200 Ah x 0.9."""
    assert ids(checked("inverter.always_on=true", "inverter.idle_w=9.5").findings) == []
    assert ids(checked("inverter.always_on=true", "inverter.idle_w=10").findings) == [
        "inverter-idle"
    ]


def test_an_alternator_of_unknown_size_is_taken_as_150_a():
    small = "shore.charger_a=1"
    assert ids(checked(small, "alternator.dcdc_a=56").findings) == []
    assert ids(checked(small, "alternator.dcdc_a=57").findings) == ["alternator-load"]


def test_two_strings_need_no_fuses():
    assert ids(checked("wiring.string_fused=false").findings) == []


def test_a_hot_string_by_the_datasheet_s_slopes():
    """Close mount, 1000 W/m2, 25 C, 1 m/s: a cell of 74.46 C (SAND2004-3535).

    Vmp falls by the slope of the power, for the current at that point hardly changes.
    """
    close = van("panels.mounting=close", "panels.series=2").panels
    by_slopes_v = 2 * 20.4 * (1.0 - 0.35 / 100.0 * 49.46)
    assert hot_string_v(close, 25.0) == pytest.approx(by_slopes_v, rel=0.02)
    assert hot_string_v(close, 40.0) < hot_string_v(close, 25.0)


def test_panels_that_do_not_fit_must_not_be_built():
    van = read_van("weekender", settings=["panels.count=4"])
    (finding,) = placement_findings(van)
    # The roof of 3.4 x 1.6 m with its fan holds three of 1.5 x 0.7 m (`tests/packing`).
    assert (finding.severity, finding.compared) == ("stop", (4.0, 3.0, "panels"))
    assert not list(placement_findings(read_van("weekender", settings=["panels.count=3"])))
    assert not list(placement_findings(read_van("weekender", settings=["panels.count=0"])))


def test_a_roof_for_pairs_names_whole_pairs():
    pairs = ["panels.series=2", "panels.count=4", "controller.max_input_v=150"]
    (finding,) = placement_findings(read_van("weekender", settings=pairs))
    assert finding.message.endswith("2 fit in whole strings of 2")
    assert finding.advice.startswith("take 2 panels")


def test_without_a_roof_nothing_is_said_of_room():
    van = read_van("weekender", settings=["panels.count=9"])
    assert not list(placement_findings(van.model_copy(update={"roof": None})))
