"""Cables in hot air against the codes: the factor of the air, and an array's conductors in it."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solarsim.data.accuracy.electrical import van_with_strings
from solarsim.electrical.ampacity import INSULATIONS_C, air_share
from solarsim.electrical.cables import cables_of
from solarsim.electrical.rule_set import rule_set
from solarsim.electrical.rules import read_table
from solarsim.inputs.base import parse_record
from solarsim.inputs.profile import profile_from_data
from solarsim.inputs.wiring import Wiring

# NEC (NFPA 70) table 310.15(B)(1)(1), from memory: upper end of each range of the air, C, and the
# factors of 60, 75 and 90 C insulation; blank where none may lie.
NEC_AMBIENT = [
    *((30, 1.00, 1.00, 1.00), (35, 0.91, 0.94, 0.96), (40, 0.82, 0.88, 0.91)),
    *((45, 0.71, 0.82, 0.87), (50, 0.58, 0.75, 0.82), (55, 0.41, 0.67, 0.76)),
    *((60, None, 0.58, 0.71), (65, None, 0.47, 0.65), (70, None, 0.33, 0.58)),
    *((75, None, None, 0.50), (80, None, None, 0.41), (85, None, None, 0.29)),
]

LAMP = {"name": "lamp", "power_w": 10.0, "hours_per_day": 24.0}
LIT = profile_from_data({"profile": {"name": "x"}, "appliances": [LAMP]}, source="x")


@pytest.mark.parametrize(("ambient_c", "of_60", "of_75", "of_90"), NEC_AMBIENT)
def test_hot_air_by_the_code_s_table(ambient_c, of_60, of_75, of_90):
    for insulation_c, published in ((60, of_60), (75, of_75), (90, of_90)):
        factor = air_share(insulation_c, float(ambient_c))
        assert factor == pytest.approx(published or 0.0, abs=0.006)


@pytest.mark.parametrize(
    ("ambient_c", "factor"),
    # BS 7671 table 4B1, 90 C thermosetting, from memory.
    [
        *((30, 1.0), (35, 0.96), (40, 0.91), (45, 0.87), (50, 0.82), (55, 0.76), (60, 0.71)),
        *((65, 0.65), (70, 0.58), (75, 0.50), (80, 0.41), (85, 0.29)),
    ],
)
def test_hot_air_by_the_british_table(ambient_c, factor):
    assert air_share(90, float(ambient_c)) == pytest.approx(factor, abs=0.006)


@given(st.sampled_from(INSULATIONS_C), st.floats(-40.0, 130.0), st.booleans())
def test_hotter_air_never_leaves_more(insulation_c, ambient_c, engine):
    factor = air_share(insulation_c, ambient_c, boat_engine=engine)
    assert 0.0 <= air_share(insulation_c, ambient_c + 1.0, boat_engine=engine) <= factor <= 1
    assert factor <= air_share(insulation_c, ambient_c) + 0.01 or insulation_c == 200
    if ambient_c <= 30.0:
        assert air_share(insulation_c, ambient_c) == 1.0


@pytest.mark.parametrize("ambient_c", [30.0, 55.0, 64.0, 73.0, 82.0])
@pytest.mark.parametrize("insulation_c", [90, 105])
@pytest.mark.parametrize("bundled", [2, 6, 9])
def test_the_array_s_factors_never_count_twice(ambient_c, insulation_c, bundled):
    """NEC 690.8(B), from memory: 156 % of Isc before the factors or 125 % after them.

    The smallest gauge is that of the rule as it stands in the code, worked out here.
    """
    run = {"length_m": 0.1, "ambient_c": ambient_c, "insulation_c": insulation_c}
    van = van_with_strings(10.07, 2)
    wiring = parse_record(
        Wiring, {"panels_controller": run | {"bundled": bundled}}, source="worked example"
    )
    van = van.model_copy(update={"wiring": wiring})
    cable = next(
        c for c in cables_of(van, LIT, rule_set("boat")) if c.circuit.key == "panels_controller"
    )
    heat = math.sqrt((insulation_c - ambient_c) / (insulation_c - 30.0))
    kept = heat * {2: 1.0, 6: 0.6, 9: 0.5}[bundled]
    table_a = {
        f"{row['awg']} AWG": float(row[str(insulation_c)])
        for row in read_table("cfr183_425_table5")
    }
    least_a = max(1.5625 * 20.14, 1.25 * 20.14 / kept)
    expected = next(name for name, row_a in table_a.items() if row_a >= least_a)
    assert cable.wire.name == expected
    assert cable.heat_share == pytest.approx(heat)
    assert cable.ampacity_a == pytest.approx(kept * table_a[expected])
