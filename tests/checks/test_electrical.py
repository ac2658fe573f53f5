"""Voltages, currents, wires and fuses against the codes and standards, table by table."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solarsim.data.accuracy.electrical import COMPARISONS, van_with_strings
from solarsim.electrical.ampacity import INSULATIONS_C, air_share, ampacity_of
from solarsim.electrical.cables import cables_of
from solarsim.electrical.circuit.dc_runs import interrupting_a
from solarsim.electrical.currents import array_short_circuit_a
from solarsim.electrical.rule_set import rule_set
from solarsim.electrical.rules import read_table, rule
from solarsim.electrical.string_voltage import coefficient_voc_v, cold_string_v, cold_voc_factor
from solarsim.electrical.wire import (
    awg,
    awg_sizes,
    drop_v,
    metric,
    pair,
    parse_wire,
    resistance_ohm_m,
)
from solarsim.electrical.wired_arrays import arrays_by_controller
from solarsim.inputs.files.van import van_from_data
from solarsim.inputs.profile import profile_from_data
from tests.checks.agree import assert_agrees, name_of

# NEC (NFPA 70) table 690.7(A): ranges of the lowest air temperature, C, and the factor on Voc.
NEC_ROWS = [
    *((20, 24, 1.02), (15, 19, 1.04), (10, 14, 1.06), (5, 9, 1.08), (0, 4, 1.10)),
    *((-5, -1, 1.12), (-10, -6, 1.14), (-15, -11, 1.16), (-20, -16, 1.18), (-25, -21, 1.20)),
    *((-30, -26, 1.21), (-35, -31, 1.23), (-40, -36, 1.25)),
]
SIZES = ["18", "16", "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0"]
# 33 CFR 183.425 table 5, 105 C insulation, and the trade's rounded engine-space column.
OUTSIDE_A = [20, 25, 35, 45, 60, 80, 120, 160, 180, 210, 245, 285, 330, 385, 445]
ENGINE_A = [17, 21, 30, 38, 51, 68, 102, 136, 153, 178, 208, 242, 280, 327, 378]


BOAT = rule_set("boat")


def boat_a(wire, insulation_c, **where):
    return ampacity_of(BOAT, wire, insulation_c, **where).ampacity_a


@pytest.mark.parametrize("comparison", COMPARISONS, ids=name_of)
def test_published(comparison):
    assert_agrees(comparison)


# --- array ---


@pytest.mark.parametrize(("lowest_c", "highest_c", "factor"), NEC_ROWS)
def test_cold_factor_of_the_code(lowest_c, highest_c, factor):
    assert cold_voc_factor(float(highest_c)) == factor
    assert cold_voc_factor(float(lowest_c)) == factor
    # What lies between two rows takes the colder one.
    assert cold_voc_factor(highest_c + 0.5) == factor


def test_cold_factor_beyond_the_table():
    assert cold_voc_factor(25.0) == 1.0
    assert cold_voc_factor(40.0) == 1.0
    assert cold_voc_factor(-40.0) == 1.25
    assert cold_voc_factor(-40.1) is None


def cold_panels(series, beta=-0.27):
    panels = van_with_strings(10.07, series).panels
    return panels.model_copy(update={"series": series, "beta_voc_pct_k": beta})


def test_the_larger_of_coefficient_and_table_counts():
    by_table_v, source = cold_string_v(cold_panels(2), -10.0)
    assert by_table_v == pytest.approx(2 * 56.43)
    assert "690.7(A)(2)" in source
    by_slope_v, source = cold_string_v(cold_panels(2, beta=-0.45), -10.0)
    assert by_slope_v == pytest.approx(2 * 49.5 * (1 + 0.0045 * 35))
    assert "690.7(A)(1)" in source
    # Below -40 C there is no table.
    below_v, source = cold_string_v(cold_panels(2), -50.0)
    assert below_v == pytest.approx(2 * 49.5 * (1 + 0.0027 * 75))
    assert "690.7(A)(1)" in source


@given(st.floats(-60.0, 45.0), st.floats(0.0, 30.0))
def test_colder_is_never_less_voltage_within_the_table(temp_c, colder_k):
    panels = cold_panels(1)
    warm_v, _ = cold_string_v(panels, temp_c)
    assert warm_v >= panels.voc_v
    if temp_c - colder_k >= -40.0:
        assert cold_string_v(panels, temp_c - colder_k)[0] >= warm_v
    assert warm_v >= coefficient_voc_v(panels.voc_v, -0.27, min(temp_c, 25.0)) - 1e-9


def test_conductors_of_the_array_bear_1_56_times_its_short_circuit():
    van = van_with_strings(10.07, 3)
    cable = next(
        c for c in cables_of(van, steady(10.0), BOAT) if c.circuit.key == "panels_controller"
    )
    assert cable.circuit.current_a == pytest.approx(37.76, abs=0.01)
    assert cable.circuit.design_a == pytest.approx(1.5625 * 30.21)
    ((array,),) = arrays_by_controller(van)
    assert array_short_circuit_a(array) * 1.25 == pytest.approx(cable.circuit.design_a)


# --- conductors ---


@pytest.mark.parametrize("insulation_c", [c for c in INSULATIONS_C if c < 200])
def test_engine_space_is_air_of_50_c(insulation_c):
    """NEC 310.15(B), equation of the ambient correction, from the table's 30 C to 50 C.

    For 200 C the law's note leaves the whole current, which that equation does not.
    """
    by_heat = math.sqrt((insulation_c - 50.0) / (insulation_c - 30.0))
    assert air_share(insulation_c, boat_engine=True) == pytest.approx(by_heat, abs=0.007)


@pytest.mark.parametrize(
    ("rules", "shares"),
    [
        # NEC table 310.15(C)(1), from memory.
        (
            "us-rv",
            [
                *((2, 1.0), (3, 1.0), (4, 0.8), (6, 0.8), (7, 0.7), (9, 0.7), (10, 0.5)),
                *((20, 0.5), (21, 0.45), (30, 0.45), (31, 0.4), (40, 0.4), (41, 0.35)),
            ],
        ),
        # BS 7671 table 4C1, circuits bunched in air, two conductors each, from memory.
        (
            "eu-caravan",
            [
                *((2, 1.0), (3, 0.8), (4, 0.8), (6, 0.7), (8, 0.65), (10, 0.6), (12, 0.57)),
                *((14, 0.54), (16, 0.52), (18, 0.5)),
            ],
        ),
        # ABYC E-11, from memory.
        ("boat", [(2, 1.0), (3, 0.7), (4, 0.6), (6, 0.6), (7, 0.5), (24, 0.5), (25, 0.4)]),
    ],
)
def test_bundles_of_the_table_s_own_kind(rules, shares):
    for bundled, share in shares:
        found = ampacity_of(rule_set(rules), awg("2"), 90, bundled=bundled)
        assert found.bundle_share == share
        assert found.ampacity_a == min(found.table_a * share, found.terminal_a)


def test_two_in_parallel():
    """Twice the copper; four conductors lie together, which bear 60 % (ABYC E-11, from memory)."""
    two = pair(awg("4/0"))
    assert two.area_mm2 == pytest.approx(2.0 * 107.219, rel=1e-3)
    assert boat_a(two, 105) == pytest.approx(2.0 * 445.0 * 0.6)
    assert drop_v(two, 400.0, 2.0) == pytest.approx(drop_v(awg("4/0"), 200.0, 2.0))
    assert resistance_ohm_m(two, 75.0) == pytest.approx(resistance_ohm_m(awg("4/0"), 75.0) / 2.0)


def test_two_in_parallel_each_beside_its_own_return():
    """No factor for a bundle: table 310.16 at 75 C, 2 x 230 A of 4/0 AWG (NEC, from memory)."""
    together, apart = pair(awg("4/0")), pair(awg("4/0"), apart=True)
    american = rule_set("us-rv")
    assert ampacity_of(american, together, 90).ampacity_a == pytest.approx(2.0 * 260.0 * 0.8)
    assert ampacity_of(american, apart, 90).ampacity_a == pytest.approx(2.0 * 230.0)
    assert ampacity_of(american, apart, 90, bundled=4).bundle_share == 0.8


def test_areas_of_the_gauges():
    """ASTM B258, mm2."""
    areas = [
        *(0.823, 1.309, 2.081, 3.309, 5.261, 8.366, 13.302, 21.151, 26.67, 33.631, 42.408),
        *(53.475, 67.431, 85.029, 107.219),
    ]
    assert [wire.name for wire in awg_sizes()] == [f"{size} AWG" for size in SIZES]
    for wire, area_mm2 in zip(awg_sizes(), areas, strict=True):
        assert wire.area_mm2 == pytest.approx(area_mm2, rel=1e-3)
    assert awg("36").diameter_mm == pytest.approx(0.127)
    assert awg("4/0").diameter_mm == pytest.approx(11.684, rel=1e-6)


@pytest.mark.parametrize(
    ("size", "mohm_m"),
    # 100 % IACS at 20 C.
    [
        *(("14", 8.285), ("12", 5.211), ("10", 3.277), ("8", 2.061), ("6", 1.296)),
        *(("4", 0.815), ("2", 0.513), ("1/0", 0.322), ("2/0", 0.256), ("4/0", 0.161)),
    ],
)
def test_resistance_at_20_c(size, mohm_m):
    assert 1e3 * resistance_ohm_m(awg(size), 20.0) == pytest.approx(mohm_m, rel=2e-3)


@pytest.mark.parametrize(
    ("size", "solid_ohm_kft"), [("14", 3.07), ("12", 1.93), ("10", 1.21), ("8", 0.764)]
)
def test_resistance_at_75_c_is_that_of_the_code(size, solid_ohm_kft):
    """NEC chapter 9, table 8."""
    got = 304.8 * resistance_ohm_m(awg(size), 75.0)
    assert got == pytest.approx(solid_ohm_kft, rel=0.01)


@pytest.mark.parametrize(
    ("size", "stranded_ohm_kft"),
    [("14", 3.14), ("10", 1.24), ("6", 0.491), ("3", 0.245), ("1/0", 0.122), ("4/0", 0.0608)],
)
def test_stranding_adds_two_to_three_percent(size, stranded_ohm_kft):
    """NEC chapter 9, table 8, uncoated stranded: the strands are longer than the cable."""
    ratio = stranded_ohm_kft / (304.8 * resistance_ohm_m(awg(size), 75.0))
    assert 1.0 < ratio < 1.04


def test_warm_copper():
    """1 + 0.00393 x 55 = 1.216."""
    ratio = resistance_ohm_m(awg("8"), 75.0) / resistance_ohm_m(awg("8"), 20.0)
    assert ratio == pytest.approx(1.216, rel=1e-3)


@pytest.mark.parametrize(
    ("size", "outside_a", "engine_a"), list(zip(SIZES, OUTSIDE_A, ENGINE_A, strict=True))
)
def test_ampacity_of_the_law(size, outside_a, engine_a):
    assert boat_a(awg(size), 105) == outside_a
    assert boat_a(awg(size), 105, engine_space=True) == pytest.approx(0.85 * outside_a)
    assert boat_a(awg(size), 105, engine_space=True) == pytest.approx(engine_a, abs=0.51)


def test_ampacity_between_and_beyond_the_sizes():
    assert boat_a(metric(0.5), 105) == 0.0
    assert boat_a(metric(35.0), 105) == 210.0
    assert boat_a(metric(33.0), 105) == 180.0
    assert boat_a(metric(240.0), 105) == 445.0


@pytest.mark.parametrize("insulation_c", INSULATIONS_C)
def test_ampacity_rises_with_size_and_insulation(insulation_c):
    amperes = [boat_a(wire, insulation_c) for wire in awg_sizes()]
    assert amperes == sorted(amperes)
    if insulation_c > 60:
        cooler_c = INSULATIONS_C[INSULATIONS_C.index(insulation_c) - 1]
        assert all(
            a >= boat_a(wire, cooler_c) for a, wire in zip(amperes, awg_sizes(), strict=True)
        )


@pytest.mark.parametrize(
    ("area_mm2", "of_90_a", "of_70_a"),
    # BS 7671 tables 4E1A (90 C) and 4D1A (70 C, from memory), method C, two cables.
    [
        *((2.5, 34, 27), (4, 46, 37), (6, 59, 47), (10, 81, 65), (16, 109, 87)),
        *((25, 143, 114), (35, 176, 141), (50, 228, 182), (70, 293, 234), (95, 355, 284)),
    ],
)
def test_european_cable(area_mm2, of_90_a, of_70_a):
    """90 C insulation at terminals of 70 C bears what 70 C insulation does (BS 7671 512.1.5)."""
    european = rule_set("eu-caravan")
    wire = metric(area_mm2)
    assert ampacity_of(european, wire, 90).table_a == of_90_a
    assert ampacity_of(european, wire, 90).ampacity_a == of_70_a
    assert ampacity_of(european, wire, 90, terminal_c=90).ampacity_a == of_90_a
    assert ampacity_of(european, wire, 70).ampacity_a == of_70_a
    # Method C allows for wall and cable beside it: 0.7 to 1.15 of the law's 105 C free air.
    assert 0.7 < of_90_a / boat_a(wire, 105) < 1.15


@pytest.mark.parametrize(
    ("size", "alone_75_a", "alone_90_a", "raceway_75_a"),
    # NEC tables 310.17 and 310.16, from memory.
    [
        *(("10", 50, 55, 35), ("6", 95, 105, 65), ("4", 125, 140, 85), ("2", 170, 190, 115)),
        *(("1/0", 230, 260, 150), ("2/0", 265, 300, 175), ("4/0", 360, 405, 230)),
    ],
)
def test_american_cable(size, alone_75_a, alone_90_a, raceway_75_a):
    """Lugs for 75 C hold 90 C insulation to the 75 C column of table 310.16, alone or bundled.

    NEC 110.14(C)(1), from memory: that table's, wherever the conductor lies.
    """
    american = rule_set("us-rv")
    alone = ampacity_of(american, awg(size), 90)
    assert (alone.table_a, alone.ampacity_a) == (alone_90_a, raceway_75_a)
    unheld = ampacity_of(american, awg(size), 75, terminal_c=75.0)
    assert unheld.ampacity_a == alone_75_a
    assert ampacity_of(american, awg(size), 90, bundled=3).ampacity_a == raceway_75_a


@pytest.mark.parametrize(
    ("text", "area_mm2"),
    [
        *(("4 AWG", 21.151), ("AWG 4", 21.151), ("2/0 AWG", 67.431), ("awg 4/0", 107.219)),
        *(("35 mm2", 35.0), ("2.5mm2", 2.5)),
    ],
)
def test_wire_names(text, area_mm2):
    assert parse_wire(text).area_mm2 == pytest.approx(area_mm2, rel=1e-3)


# --- fuses ---


def steady(power_w):
    load = {"name": "steady", "power_w": power_w, "hours_per_day": 24.0}
    return profile_from_data({"profile": {"name": "x"}, "appliances": [load]}, source="x")


def bank(chemistry, units):
    data = {
        "van": {"name": "x"},
        "panels": {"part": "200 W rigid", "count": 2},
        "battery": {"chemistry": chemistry, "unit_capacity_ah": 100.0, "units": units},
    }
    return van_from_data(data, source="x")


@pytest.mark.slow
@given(
    power_w=st.floats(1.0, 3000.0),
    units=st.integers(1, 4),
    dcdc_a=st.floats(5.0, 80.0),
    inverter_w=st.floats(200.0, 3500.0),
    engine=st.booleans(),
    insulation_c=st.sampled_from(INSULATIONS_C),
    rules=st.sampled_from(["us-rv", "eu-caravan", "boat"]),
)
def test_every_chosen_wire_and_fuse_keeps_the_rules(
    power_w, units, dcdc_a, inverter_w, engine, insulation_c, rules
):
    data = {
        "van": {"name": "x"},
        "panels": {"part": "200 W rigid", "count": 2},
        "battery": {"part": "100 Ah LFP", "units": units},
        "inverter": {"power_w": inverter_w},
        "alternator": {"dcdc_a": dcdc_a},
        "wiring": {
            run: {"insulation_c": insulation_c, "engine_space": engine}
            for run in ("bank_inverter", "bank_bus", "dcdc_in", "dcdc_out")
        },
    }
    for cable in cables_of(van_from_data(data, source="x"), steady(power_w), rule_set(rules)):
        if cable.wire is None:
            continue
        circuit = cable.circuit
        assert cable.ampacity_a >= circuit.corrected_a * (1.0 - 1e-9)
        if circuit.fused_at_source:
            assert circuit.corrected_a == circuit.design_a >= 1.25 * circuit.running_a * 0.999
            # 125 % of the current (NEC 210/215) to what the conductor bears; boat law: 150 %.
            ratio = 1.5 if rules == "boat" else 1.0
            assert circuit.design_a <= cable.fuse_a * (1.0 + 1e-9)
            assert cable.fuse_a <= ratio * cable.ampacity_a * (1.0 + 1e-9)
        # What is shared takes 1 %, so that a third of what is allowed is left for what follows.
        assert cable.drop_end_share <= 4 / 3 * cable.drop_limit_share * (1.0 + 1e-9)
        assert cable.drop_share <= cable.drop_limit_share * (1.0 + 1e-9)
        assert cable.wire.area_mm2 >= rule_set(rules).rule("least_area_mm2").value * 0.999


def test_places_of_fuses_are_the_law_s():
    """7 and 40 inches."""
    assert rule("fuse_place_m").value == pytest.approx(7 * 0.0254, abs=5e-4)
    assert rule("fuse_place_sheathed_m").value == pytest.approx(40 * 0.0254, abs=5e-4)


def test_interrupting_ratings():
    """ABYC E-11.10.1.3: above 500 Ah and for lithium the bank's own, of which 20 kA are enough.

    Below, by cold-cranking amperes (from memory): 1,500 A to 650, 3,000 A to 1,100, then 5,000 A;
    at some 7 A an Ah 100 Ah have 700.
    """
    assert [interrupting_a(bank("agm", units)) for units in (1, 2, 5)] == [3000.0, 5000.0, 5000.0]
    assert interrupting_a(bank("agm", 6)) == pytest.approx(15_000.0)
    assert interrupting_a(bank("agm", 12)) == 20_000.0
    assert interrupting_a(bank("lfp", 1)) == pytest.approx(5_000.0)


def test_tables_name_their_sources():
    for name in (
        "nec_690_7a",
        "cfr183_425_table5",
        "bs7671_method_c",
        "fuse_sizes",
        "metric_sizes",
    ):
        assert len(read_table(name)) >= 10
