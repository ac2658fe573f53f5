"""Twelve sums of a van's wiring by hand: the arithmetic stands here, the check must give the same.

The van is that of `tests/electrical/vans.py`: two panels of 20.4 V, 9.8 A, Voc 24.3 V and
Isc 10.4 A, 200 Ah of LFP at 12 V, 1,200 W of inverter, 30 A from the engine, 20 A from shore.
"""

from __future__ import annotations

import math

import pytest

from solarsim.electrical.currents import back_current_a, strings_need_fuses
from solarsim.electrical.string_voltage import cold_string_v, holds_down_to_c
from solarsim.inputs.profile import profile_from_data
from tests.electrical.vans import checked, van

US, EU = {"rules": "us-rv"}, {"rules": "eu-caravan"}


def runs(*settings, wiring=US, **tables):
    """Cables by their key; the last of several of one key."""
    check = checked(*settings, wiring=wiring, **tables)
    return {cable.circuit.key: cable for cable in check.cables}


def test_1_cold_voltage_of_a_string():
    """NEC 690.7(A)(2): at -24 C the factor is 1.20; the coefficient says less (690.7(A)(1))."""
    panels = van("panels.series=2").panels
    by_table_v = 2 * 24.3 * 1.20
    by_slope_v = 2 * 24.3 * (1 + 0.0029 * 49)
    assert by_slope_v < by_table_v
    assert cold_string_v(panels, -24.0)[0] == pytest.approx(by_table_v)
    # 57 V / 48.6 V = 1.173: the factor is 1.16 to -15 C and 1.18 from -16 C on.
    assert holds_down_to_c(panels, 57.0) == -15.0


def test_2_conductor_of_an_array():
    """NEC 690.8: 1.25 x 1.25 = 1.5625 of Isc before the factors; HD 60364-7-712: 1.25."""
    assert runs()["panels_controller"].circuit.design_a == pytest.approx(2 * 10.4 * 1.5625)
    european = runs(wiring=EU)["panels_controller"].circuit
    assert european.design_a == pytest.approx(2 * 10.4 * 1.25)


def test_3_ampacity_on_a_hot_roof():
    """NEC 310.15(B)(1): 40 C and 33 K are 73 C; 90 C insulation keeps sqrt(17 / 60) = 0.532.

    10 AWG: 55 A (table 310.17) x 0.532 = 29.3 A, above 125 % of 20.8 A = 26 A; 12 AWG: 21.3 A.
    """
    cable = runs(wiring=US | {"panels_controller": {"wire": "10 AWG", "length_m": 3.0}})
    found = cable["panels_controller"]
    assert found.bears.table_a == 55.0
    assert found.ampacity_a == pytest.approx(55.0 * math.sqrt(17.0 / 60.0))
    assert found.ampacity_a > 2 * 10.4 * 1.25 > 40.0 * math.sqrt(17.0 / 60.0)


@pytest.mark.parametrize(
    ("wiring", "wire", "ampacity_a"),
    [
        # Table 310.16, 90 C: 170 A x 0.80 for six conductors = 136 A.
        (US, "1/0 AWG", 170.0 * 0.80),
        # Table 4D1A: 182 A of 50 mm2 x 0.70 for three circuits = 127 A.
        (EU, "50 mm2", 182.0 * 0.70),
        # 33 CFR 183.425: 285 A of 1/0 AWG x 0.60 for six conductors = 171 A.
        ({"rules": "boat"}, "1/0 AWG", 285.0 * 0.60),
    ],
)
def test_4_ampacity_in_a_bundle(wiring, wire, ampacity_a):
    run = {"wire": wire, "bundled": 6, "terminal_c": 90}
    # 105 C insulation is looked up in the 90 C column.
    found = runs(wiring=wiring | {"bank_inverter": run})["bank_inverter"]
    assert found.ampacity_a == pytest.approx(ampacity_a)


def test_5_voltage_drop_of_3_percent():
    """ABYC E-11: CM = 10.75 x I x L / E. Engine run: 40 A, 5 m one way are 32.8 ft, 3 % of 12 V.

    10.75 x 40 x 32.81 / 0.36 = 39,188 CM = 19.86 mm2: 4 AWG (21.15 mm2), 25 mm2.
    """
    mils = 10.75 * 40.0 * (10.0 / 0.3048) / 0.36
    assert mils == pytest.approx(39_188, abs=2)
    assert mils * math.pi / 4 * 0.0254**2 == pytest.approx(19.86, abs=0.01)
    cable = runs()["dcdc_in"]
    assert (cable.gauge.name, cable.metric.name) == ("4 AWG", "25 mm2")
    assert cable.drop_share == pytest.approx(0.03 * 19.86 / 21.15, rel=1e-3)


def test_6_inverter_at_its_lowest_voltage():
    """2,000 W / 0.88 / 10.5 V = 216.5 A; x 1.25 = 270.6 A: fuse 300 A.

    US: 2 x 2/0 AWG, 2 x 195 A (table 310.16, 90 C) x 0.8 = 312 A.
    PVC of 70 C (4D1A): 120 mm2, 330 A.
    """
    large = ["inverter.power_w=2000", "inverter.surge_w=4000", "battery.units=4"]
    cable = runs(*large)["bank_inverter"]
    assert cable.circuit.current_a == pytest.approx(216.45, abs=0.01)
    assert cable.circuit.design_a == pytest.approx(270.6, abs=0.05)
    assert (cable.fuse_a, cable.wire.name, cable.ampacity_a) == (300.0, "2 x 2/0 AWG", 312.0)
    european = runs(*large, wiring=EU)["bank_inverter"]
    assert (european.fuse_a, european.wire.name, european.ampacity_a) == (300.0, "120 mm2", 330.0)


def test_7_main_feeder_of_160_a():
    """Inverter 129.9 A and DC loads of 346.6 W / (0.95 x 12 V) = 30.4 A: 160.3 A.

    x 1.25 = 200.3 A: fuse 225 A (NEC 240.6). US: lugs of 75 C let 4/0 AWG bear 230 A
    (table 310.16). PVC: 70 mm2, 234 A.
    """
    check = checked(wiring=US, profile=_drawing(346.6))
    main = next(c for c in check.cables if c.circuit.key == "main")
    assert main.circuit.current_a == pytest.approx(1200 / 0.88 / 10.5 + 346.6 / 11.4)
    assert main.circuit.current_a == pytest.approx(160.3, abs=0.05)
    assert (main.fuse_a, main.wire.name, main.ampacity_a) == (225.0, "4/0 AWG", 230.0)
    european = checked(wiring=EU, profile=_drawing(346.6))
    main = next(c for c in european.cables if c.circuit.key == "main")
    assert (main.fuse_a, main.wire.name, main.ampacity_a) == (225.0, "70 mm2", 234.0)


def test_8_both_ends_of_the_dc_dc_charger():
    """Out: 30 A x 1.25 = 37.5 A: 40 A. In: 30 A x 14.4 V / 0.9 / 12 V = 40 A x 1.25: 50 A.

    In the engine space, 50 C: PVC keeps sqrt(20 / 40) = 0.707; 25 mm2 bear 114 x 0.707 = 80.6 A.
    """
    found = runs(wiring=EU)
    assert found["dcdc_out"].fuse_a == 40.0
    into = found["dcdc_in"]
    assert into.circuit.current_a == pytest.approx(30.0 * 14.4 / 0.9 / 12.0)
    assert into.fuse_a == 50.0
    assert into.ampacity_a == pytest.approx(114.0 * math.sqrt(0.5))


def test_9_fuses_of_thin_branches():
    """NEC 551.10(E)(1): 16 AWG 8 A, 14 AWG 15 A, 12 AWG 20 A, 10 AWG 30 A (from memory)."""
    for size, most_a in (("16", 8.0), ("14", 15.0), ("12", 20.0), ("10", 30.0)):
        branch = {"name": "x", "current_a": 4.0, "length_m": 0.5, "wire": f"{size} AWG"}
        found = runs(wiring=US | {"branches": [branch]})["branches"]
        assert found.fuse_most_a == most_a


def test_10_three_strings_that_need_no_fuses():
    """Two others drive 2 x 1.25 x 5.76 A = 14.4 A into a faulty one that may have 15 A."""
    panels = van().panels.model_copy(
        update={"isc_a": 5.76, "imp_a": 5.4, "power_w": 110.0, "max_series_fuse_a": 15.0}
    )
    assert back_current_a(panels, 3) == pytest.approx(14.4)
    assert not strings_need_fuses(panels, 3)
    # A fourth would drive 21.6 A; and what is not known is taken to bear one other string's.
    assert strings_need_fuses(panels, 4)
    assert strings_need_fuses(panels.model_copy(update={"max_series_fuse_a": None}), 3)


def test_11_drop_from_the_bank_to_the_fridge():
    """Main, fuse block's feeder and branch add up, each at the current that it carries.

    10.75 x I x ft / CM: 0.147 mm2 V/A/m there and back is 2 x 0.01787 ohm mm2/m.
    """
    check = checked(wiring=US)
    found = {cable.circuit.name: cable for cable in check.cables}
    lost_v = 0.0
    for name in ("bank to positive bus", "positive bus to fuse block", "fridge"):
        cable = found[name]
        ohm = 2 * 0.017872 * cable.circuit.length_m / cable.wire.area_mm2
        lost_v += ohm * cable.circuit.current_a
    assert found["fridge"].drop_end_share == pytest.approx(lost_v / 12.0, rel=2e-3)
    assert found["fridge"].drop_end_share <= 0.03 * (1 + 1e-9)


def test_12_charging_at_once_and_what_the_bank_takes():
    """Sun 30 A and the engine's 30 A, not shore's 20 A too: 60 A; two units take 2 x 50 A / 1.1."""
    (finding,) = checked("alternator.dcdc_a=62", wiring=US, alternator=_STRONG).findings
    assert finding.id == "bank-charge"
    assert finding.compared.value == pytest.approx(30.0 + 62.0, abs=0.1)
    assert finding.compared.limit == pytest.approx(2 * 50.0 / 1.1)
    assert checked("alternator.dcdc_a=60", wiring=US, alternator=_STRONG).findings == ()


_STRONG = {"dcdc_a": 30.0, "rating_a": 300.0}


def _drawing(power_w):
    """People whose DC loads draw so much at once."""
    load = {"name": "loads", "power_w": power_w, "hours_per_day": 1.0}
    data = {"profile": {"name": "x"}, "appliances": [load]}
    return profile_from_data(data, source="x")
