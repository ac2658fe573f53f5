"""Cell temperature against King et al. 2004 (SAND2004-3535): coefficients, cases, properties."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solarsim.data.accuracy.module import COMPARISONS, OPEN_RACK_GLASS, cell_c
from solarsim.solar.cell_temperature import MOUNTINGS, OPEN_RACK, Mounting
from tests.checks.agree import assert_agrees, name_of

# Table 1 of the report, as pvlib carries it.
TABLE_1 = {
    "open rack, glass and glass": (OPEN_RACK_GLASS, (-3.47, -0.0594, 3.0)),
    "close mount, glass and glass": (MOUNTINGS["close"], (-2.98, -0.0471, 1.0)),
    "open rack, glass and polymer": (OPEN_RACK, (-3.56, -0.0750, 3.0)),
    "insulated back, glass and polymer": (MOUNTINGS["glued"], (-2.81, -0.0455, 0.0)),
}


@pytest.mark.parametrize(
    "comparison", [c for c in COMPARISONS if c.subject == "cell temperature"], ids=name_of
)
def test_published_figure(comparison):
    assert_agrees(comparison)


@pytest.mark.parametrize("case", TABLE_1)
def test_coefficients_of_table_1(case):
    mounting, expected = TABLE_1[case]
    assert (mounting.intercept, mounting.wind_slope, mounting.rise_c) == expected


def test_back_of_the_panel():
    """The module's own temperature is the cell's less its rise: 40.809 C in pvlib's test."""
    back = Mounting(OPEN_RACK_GLASS.intercept, OPEN_RACK_GLASS.wind_slope, rise_c=0.0)
    assert cell_c(900.0, 20.0, 5.0, back) == pytest.approx(40.809, abs=1e-3)


@pytest.mark.parametrize(
    ("mounting", "wind_m_s", "expected_c"),
    [
        (MOUNTINGS["close"], 0.0, 76.79),
        (MOUNTINGS["close"], 1.0, 74.46),
        (MOUNTINGS["close"], 5.0, 66.14),
        (MOUNTINGS["glued"], 0.0, 85.20),
        (MOUNTINGS["glued"], 1.0, 82.53),
        (MOUNTINGS["glued"], 5.0, 72.95),
        (OPEN_RACK, 0.0, 56.44),
        (OPEN_RACK, 1.0, 54.38),
        (OPEN_RACK, 5.0, 47.55),
    ],
)
def test_full_sun_and_25_c(mounting, wind_m_s, expected_c):
    """Worked out from the report's equations 11 and 12, rounded to 0.01 C."""
    assert cell_c(1000.0, 25.0, wind_m_s, mounting) == pytest.approx(expected_c, abs=0.01)


def test_operating_temperature_of_an_open_rack():
    """45 to 50 C at 800 W/m2, 20 C and 1 m/s (conditions of IEC 61215): makers' sheets, memory.

    King's open rack with a polymer back comes out 2 K below the lower end.
    """
    assert 43.0 <= cell_c(800.0, 20.0, 1.0, OPEN_RACK) <= 50.0


@given(
    poa_w_m2=st.floats(0.0, 1300.0),
    air_c=st.floats(-40.0, 50.0),
    wind_m_s=st.floats(0.0, 25.0),
    more=st.floats(0.1, 10.0),
)
def test_hotter_with_more_glue_more_sun_and_less_wind(poa_w_m2, air_c, wind_m_s, more):
    in_order = [OPEN_RACK, MOUNTINGS["gap"], MOUNTINGS["close"], MOUNTINGS["glued"]]
    cells_c = [cell_c(poa_w_m2, air_c, wind_m_s, mounting) for mounting in in_order]
    assert cells_c[0] >= air_c
    # In a strong wind the steeper wind slope of the open rack changes nothing in the order.
    assert all(cooler <= hotter + 1e-9 for cooler, hotter in itertools.pairwise(cells_c))
    for mounting, now_c in zip(in_order, cells_c, strict=True):
        assert cell_c(poa_w_m2, air_c, wind_m_s + more, mounting) <= now_c
        assert cell_c(poa_w_m2 + more, air_c, wind_m_s, mounting) > now_c
        shifted_c = cell_c(poa_w_m2, air_c + more, wind_m_s, mounting)
        assert shifted_c - now_c == pytest.approx(more, abs=1e-9)
