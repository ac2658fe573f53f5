"""What obstacles cost, against the whole chain run without them."""

import numpy as np
import pytest

from solarsim.inputs.panels import Controller
from solarsim.inputs.roof import Obstacle
from solarsim.packing.obstacle_costs import obstacle_costs
from solarsim.solar.output import panel_output, shaded_power_w
from solarsim.solar.shade.geometry import PanelPlace
from solarsim.solar.shade.roof_shade import panel_places, roof_shade
from solarsim.solar.shade.table import group_cells, roof_shadows, shade_table, table_without

SETTINGS = {"bus_voltage_v": 13.5, "parking": "open field", "brush_snow": "never"}
# Two panels along the left side, and room along the right.
RECTANGLES = (PanelPlace(0.1, 0.1, 1.49, 0.67), PanelPlace(1.9, 0.1, 1.49, 0.67))
FAN = Obstacle(name="fan", x_m=1.62, y_m=0.3, length_m=0.2, width_m=0.4, height_m=0.3)
COOLER = Obstacle(name="cooler", x_m=0.5, y_m=0.85, length_m=0.6, width_m=0.6, height_m=0.35)
HATCH = Obstacle(name="hatch", x_m=2.5, y_m=1.0, length_m=0.5, width_m=0.5, height_m=0.0)


@pytest.fixture
def months(make_weather):
    return [make_weather(month=month, days=2) for month in (1, 6)]


def costs(months, panels, obstacles, **changes):
    options = SETTINGS | {"heading_deg": None} | changes
    places = panel_places(RECTANGLES, panels)
    return obstacle_costs(months, places, obstacles, panels, Controller(), **options)


@pytest.mark.slow
@pytest.mark.parametrize("heading_deg", [None, 130.0])
def test_cost_is_the_difference_of_the_chain_with_and_without(heading_deg, months, make_panels):
    panels = make_panels(count=2)
    places = panel_places(RECTANGLES, panels)
    found = costs(months, panels, (FAN, COOLER, HATCH), heading_deg=heading_deg)

    def energy(obstacles):
        table = shade_table(places, obstacles, cells=group_cells(panels))
        bank = {"bus_voltage_v": 13.5, "heading_deg": heading_deg}
        shade = roof_shade(table, places, panels, Controller(), **bank)
        outputs = [panel_output(w, panels, Controller(), **SETTINGS) for w in months]
        power = [shaded_power_w(o, w, shade) for o, w in zip(outputs, months, strict=True)]
        return np.array([2.0 * 24.0 * power_w.mean() for power_w in power])

    whole = energy((FAN, COOLER, HATCH))
    np.testing.assert_allclose(found.shaded_wh_per_day, whole, rtol=1e-9)
    np.testing.assert_allclose(found.unshaded_wh_per_day, energy(()), rtol=1e-9)
    np.testing.assert_allclose(found.shade_share, 1.0 - whole / energy(()), rtol=1e-9)
    by_name = {cost.name: cost.month_wh_per_day for cost in found.obstacles}
    np.testing.assert_allclose(by_name["fan"], energy((COOLER, HATCH)) - whole, rtol=1e-6)
    np.testing.assert_allclose(by_name["cooler"], energy((FAN, HATCH)) - whole, rtol=1e-6)
    assert (by_name["hatch"] == 0.0).all()
    assert (by_name["fan"] > 1.0).all()
    assert all(cost.move is None for cost in found.obstacles)


@pytest.mark.slow
def test_suggests_a_free_place_that_saves_what_it_says(months, make_panels):
    panels = make_panels(count=2)
    found = costs(months, panels, (FAN, COOLER, HATCH), roof_size_m=(4.4, 1.6))
    fan, cooler, hatch = found.obstacles
    assert hatch.move is None
    assert fan.move is not None
    moved = FAN.model_copy(update={"x_m": fan.move.x_m, "y_m": fan.move.y_m})
    for other in (*RECTANGLES, COOLER, HATCH):
        apart_x = max(moved.x_m - other.x_m - other.length_m, other.x_m - moved.x_m - 0.2)
        apart_y = max(moved.y_m - other.y_m - other.width_m, other.y_m - moved.y_m - 0.4)
        assert max(apart_x, apart_y) >= 0.03 - 1e-9
    assert 0.0 <= fan.move.x_m <= 4.2
    assert 0.0 <= fan.move.y_m <= 1.2
    again = costs(months, panels, (moved, COOLER, HATCH))
    saved = (again.shaded_wh_per_day - found.shaded_wh_per_day).mean()
    assert fan.move.saved_wh_per_day == pytest.approx(saved, rel=1e-9)
    assert saved > 0.1 * fan.month_wh_per_day.mean()
    assert cooler.name == "cooler"


@pytest.mark.slow
def test_only_places_that_the_roof_allows(months, make_panels):
    panels = make_panels(count=2)
    nowhere = costs(months, panels, (FAN,), roof_size_m=(4.4, 1.6), inside=lambda spot: False)
    assert nowhere.obstacles[0].move is None
    rear = costs(months, panels, (FAN,), roof_size_m=(4.4, 1.6), inside=lambda spot: spot.x_m < 1.0)
    assert rear.obstacles[0].move.x_m < 1.0
    too_small = costs(months, panels, (FAN,), roof_size_m=(0.1, 1.6))
    assert too_small.obstacles[0].move is None


def test_each_panel_s_own_loss_and_the_costs_left_out(months, make_panels):
    panels = make_panels(count=2)
    whole = costs(months, panels, (FAN, COOLER, HATCH))
    quick = costs(months, panels, (FAN, COOLER, HATCH), one_by_one=False)
    assert quick.obstacles == ()
    np.testing.assert_array_equal(quick.panel_shade_share, whole.panel_shade_share)
    assert whole.panel_shade_share.shape == (2, 2)
    # In parallel the array loses what its panels lose.
    np.testing.assert_allclose(whole.panel_shade_share.mean(axis=0), whole.shade_share, atol=0.002)
    # The cooler stands beside the first panel.
    assert (whole.panel_shade_share[0] > whole.panel_shade_share[1]).all()


def test_a_table_without_or_with_another_is_the_table_made_anew(make_panels):
    panels = make_panels(count=2)
    places = panel_places(RECTANGLES, panels)
    grid = {"cells": 4, "azimuth_step_deg": 15.0}
    shadows = roof_shadows(places, (FAN, COOLER), **grid)
    moved = COOLER.model_copy(update={"x_m": 2.4})
    for found, expected in (
        (table_without(shadows, 0), shade_table(places, (COOLER,), **grid)),
        (table_without(shadows, 1, moved), shade_table(places, (FAN, moved), **grid)),
    ):
        for name in ("group_share", "cell_share", "hidden_sky_share"):
            got, wanted = getattr(found, name), getattr(expected, name)
            np.testing.assert_allclose(got, wanted, atol=1e-12)
    assert shadows.table.cell_share.max() == 1.0
