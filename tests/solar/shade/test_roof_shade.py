"""Shade on the roof: plane geometry by hand, rays cast by other code, and symmetry."""

import dataclasses

import numpy as np
import pytest

from solarsim.errors import InputError
from solarsim.inputs.panels import Controller
from solarsim.inputs.roof import Obstacle
from solarsim.solar.output import panel_output, shaded_power_w
from solarsim.solar.shade.geometry import PanelPlace
from solarsim.solar.shade.roof_shade import (
    panel_places,
    power_weights,
    roof_shade,
    shade_factor,
)
from solarsim.solar.shade.table import ELEVATION_DEG, shade_table
from tests.solar.shade.shade_by_rays import shaded_points
from tests.solar.shade.shade_lookup import shade_lookup


def box(x_m, y_m, length_m, width_m, height_m, name="box"):
    return Obstacle(
        name=name, x_m=x_m, y_m=y_m, length_m=length_m, width_m=width_m, height_m=height_m
    )


PANELS = (
    PanelPlace(0.1, 0.1, 1.49, 0.67, 0.06),
    PanelPlace(1.8, 0.1, 1.49, 0.67, 0.06),
    PanelPlace(0.9, 0.9, 0.67, 1.0, 0.06),
)
OBSTACLES = (
    box(1.62, 0.2, 0.15, 0.4, 0.3, "vent"),
    box(0.2, 0.9, 0.4, 0.4, 0.12, "fan"),
    box(1.7, 0.95, 0.7, 0.6, 0.35, "cooler"),
    box(1.75, 1.0, 0.3, 0.3, 0.5, "chimney"),
)


def areas(panels):
    return np.array([panel.length_m * panel.width_m for panel in panels])


def shade_of(panels, places, obstacles, *, heading_deg, controller=None, bus_voltage_v=13.5):
    return roof_shade(
        shade_table(places, obstacles),
        places,
        panels,
        controller or Controller(),
        bus_voltage_v=bus_voltage_v,
        heading_deg=heading_deg,
    )


@pytest.mark.parametrize("elevation_deg", [4.0, 11.0, 22.5, 35.0, 50.0])
@pytest.mark.parametrize("height_m", [0.16, 0.36, 0.86])
def test_wall_shades_a_strip_as_long_as_its_height_over_the_tangent(elevation_deg, height_m):
    panel = PanelPlace(0.5, 0.0, 1.5, 0.6, z_m=0.06)
    # The wall stands 0.1 m ahead of the panel, far wider than it; the sun is straight ahead.
    wall = box(2.1, 0.0, 0.02, 5.0, height_m)
    aside = PanelPlace(0.5, 2.2, 1.5, 0.6, z_m=0.06)
    table = shade_table([panel, aside], [wall], elevation_deg=(elevation_deg, 90.0))
    strip_m = (height_m - 0.06) / np.tan(np.radians(elevation_deg))
    share = np.clip((strip_m - 0.1) / 1.5, 0.0, 1.0)
    np.testing.assert_allclose(table.group_share[1, :, 0, 0], share, atol=1e-9)
    np.testing.assert_allclose(table.group_share[:, :, 36], 0.0, atol=0.0)


def test_look_up_between_the_directions_of_the_table():
    table = shade_table(
        [PanelPlace(0.5, 2.2, 1.5, 0.6, z_m=0.06)], [box(2.1, 0.0, 0.02, 5.0, 0.36)]
    )
    elevation = np.linspace(3.0, 60.0, 400)
    found = shade_lookup(table, 90.0 - elevation, np.array([77.0]), 77.0)[0].mean(axis=0)
    share = np.clip((0.3 / np.tan(np.radians(elevation)) - 0.1) / 1.5, 0.0, 1.0)
    beam = np.sin(np.radians(elevation))
    assert (found * beam).sum() == pytest.approx((share * beam).sum(), rel=0.01)
    # At worst, where the shadow leaves the panel between two directions.
    np.testing.assert_allclose(found, share, atol=0.03)


@pytest.mark.parametrize("azimuth_deg", [0.0, 20.0, 45.0, 115.0, 300.0])
@pytest.mark.parametrize("elevation_deg", [20.0, 42.0, 72.0])
def test_box_shades_its_footprint_and_its_width_times_its_length(azimuth_deg, elevation_deg):
    sheet = PanelPlace(0.0, 0.0, 4.0, 4.0)
    table = shade_table([sheet], [box(1.8, 1.8, 0.5, 0.3, 0.4)])
    found = shade_lookup(table, 90.0 - elevation_deg, azimuth_deg, 0.0).mean() * 16.0
    turn = np.radians(azimuth_deg)
    across_m = 0.5 * abs(np.sin(turn)) + 0.3 * abs(np.cos(turn))
    expected_m2 = 0.5 * 0.3 + across_m * 0.4 / np.tan(np.radians(elevation_deg))
    assert found == pytest.approx(expected_m2, rel=0.01)


def sun_path(latitude_deg, declination_deg, per_hour=2):
    """Sun above the horizon through a day, zenith and azimuth, by the triangle of the sphere."""
    hour_angle = np.radians(np.arange(-180.0, 180.0, 15.0 / per_hour) + 7.5 / per_hour)
    latitude, declination = np.radians([latitude_deg, declination_deg])
    up = np.sin(latitude) * np.sin(declination)
    up = up + np.cos(latitude) * np.cos(declination) * np.cos(hour_angle)
    east = -np.cos(declination) * np.sin(hour_angle)
    north = np.cos(latitude) * np.sin(declination)
    north = north - np.sin(latitude) * np.cos(declination) * np.cos(hour_angle)
    lit = up > np.sin(np.radians(1.0))
    return np.degrees(np.arccos(up[lit])), np.degrees(np.arctan2(east, north))[lit] % 360.0


@pytest.mark.one_plain
@pytest.mark.parametrize(
    ("declination_deg", "heading_deg"), [(-20.0, 30.0), (0.0, 255.0), (20.0, 110.0)]
)
def test_beam_lost_on_a_flat_roof_is_what_rays_count(declination_deg, heading_deg):
    zenith, azimuth = sun_path(47.8, declination_deg)
    beam = np.cos(np.radians(zenith))
    shares = shade_lookup(shade_table(PANELS, OBSTACLES), zenith, azimuth, heading_deg)
    found = shares.mean(axis=1) @ beam * areas(PANELS)
    counted = [
        sum(
            shaded_points(panel, OBSTACLES, turn, 90.0 - z).mean() * weight
            for z, turn, weight in zip(zenith, azimuth - heading_deg, beam, strict=True)
        )
        * panel.length_m
        * panel.width_m
        for panel in PANELS
    ]
    assert found.sum() == pytest.approx(sum(counted), rel=0.02)
    assert found.sum() > 0.05 * beam.sum() * areas(PANELS).sum()
    np.testing.assert_allclose(found, counted, rtol=0.06)


def test_groups_and_cells_are_strips_along_the_long_side():
    # A wall along the right side, the sun from there: the shadow covers the right group only.
    strip_m = 0.6 / 3.0
    wall = box(0.0, 0.6, 5.0, 0.02, strip_m)
    along = PanelPlace(1.0, 0.0, 1.5, 0.6)
    table = shade_table([along], [wall], elevation_deg=(45.0, 90.0))
    np.testing.assert_allclose(table.group_share[0, :, 18, 0], [0.0, 0.0, 1.0], atol=1e-9)
    np.testing.assert_allclose(table.cell_share[0, :, 18, 0], [0.0, 0.0, 1.0], atol=1e-9)
    across = PanelPlace(1.0, 0.0, 0.5, 0.6)  # its long side lies across the van
    table = shade_table([across], [wall], elevation_deg=(45.0, 90.0))
    np.testing.assert_allclose(table.group_share[0, :, 18, 0], 1.0 / 3.0, atol=1e-9)
    np.testing.assert_allclose(table.cell_share[0, :, 18, 0], 1.0, atol=1e-9)


@pytest.mark.parametrize("elevation_deg", [10.0, 15.0, 20.0, 25.0, 30.0])
def test_tilted_row_shades_the_row_behind(elevation_deg):
    tilt = np.radians(30.0)
    row_m, pitch_m = 1.0, 1.5
    ahead = PanelPlace(pitch_m, 0.0, row_m, 9.0, tilt_deg=30.0, facing="front")
    behind = PanelPlace(0.0, 4.0, row_m, 1.0, tilt_deg=30.0, facing="front")
    table = shade_table([ahead, behind], [], elevation_deg=(elevation_deg, 90.0))
    # The ray over the upper edge of the row ahead, met with the slope of the row behind.
    tan_e = np.tan(np.radians(elevation_deg))
    clear_m = pitch_m - row_m * np.cos(tilt)
    hit_m = (row_m * np.sin(tilt) - clear_m * tan_e) / (np.sin(tilt) + np.cos(tilt) * tan_e)
    share = np.clip(hit_m / row_m, 0.0, 1.0)
    assert table.group_share[1, :, 0, 0].mean() == pytest.approx(share, abs=1e-9)
    assert (table.group_share[0, :, 0, 0] == 0.0).all()
    assert 0.0 < share < 0.6 or elevation_deg >= 30.0


def test_what_has_no_height_or_lies_below_the_glass_costs_exactly_nothing(
    make_weather, make_panels
):
    panels, weather = make_panels(count=3), make_weather()
    places = panel_places(PANELS, panels)
    low = [of_height(o, 0.0) for o in OBSTACLES] + [of_height(OBSTACLES[0], 0.06)]
    table = shade_table(places, low)
    assert not table.group_share.any()
    assert not table.hidden_sky_share.any()
    free = panel_output(weather, panels, Controller(), **SETTINGS)
    for heading_deg in (None, 40.0):
        shade = shade_of(panels, places, low, heading_deg=heading_deg)
        assert (shade.power_share == 1.0).all()
        np.testing.assert_array_equal(shaded_power_w(free, weather, shade), free.power_w)
        assert shade.note is None


SETTINGS = {"bus_voltage_v": 13.5, "parking": "open field", "brush_snow": "never"}


def of_height(obstacle, height_m):
    return obstacle.model_copy(update={"height_m": height_m})


def test_symmetric_obstacle_costs_its_two_neighbours_the_same():
    left, right = PanelPlace(0.5, 0.0, 1.5, 0.6), PanelPlace(0.5, 1.0, 1.5, 0.6)
    table = shade_table([left, right], [box(1.0, 0.7, 0.5, 0.2, 0.4)])
    assert table.group_share.max() > 0.4
    # Left and right change places, and so do the groups and the sun's azimuth.
    mirrored = np.roll(table.group_share[1, ::-1, ::-1], 1, axis=1)
    np.testing.assert_allclose(table.group_share[0], mirrored, atol=1e-9)
    cells = np.roll(table.cell_share[1, ::-1, ::-1], 1, axis=1)
    np.testing.assert_allclose(table.cell_share[0], cells, atol=1e-9)
    np.testing.assert_allclose(
        table.hidden_sky_share[0], table.hidden_sky_share[1, ::-1], rtol=1e-9
    )


def test_a_van_that_turns_under_the_sun_sees_only_the_angle_between():
    table = shade_table(PANELS, OBSTACLES)
    zenith, azimuth = np.linspace(5.0, 88.0, 50), np.linspace(0.0, 350.0, 50)
    one = shade_lookup(table, zenith, azimuth, 20.0)
    np.testing.assert_allclose(
        shade_lookup(table, zenith, azimuth + 133.0, 153.0), one, rtol=1e-9, atol=1e-12
    )
    unknown = shade_lookup(table, zenith, azimuth, None)
    mean = np.mean([shade_lookup(table, zenith, azimuth, h) for h in range(0, 360, 5)], axis=0)
    np.testing.assert_allclose(unknown, mean, atol=1e-9)
    each = [shade_lookup(table, z, a, 20.0) for z, a in zip(zenith, azimuth, strict=True)]
    np.testing.assert_allclose(np.stack(each, axis=-1), one, rtol=1e-12)
    assert (shade_lookup(table, np.array([90.0, 120.0]), np.zeros(2), 0.0) == 0.0).all()


@pytest.mark.parametrize("far_m", [0.1, 0.5, 2.0])
def test_a_long_wall_hides_its_part_of_the_sky(far_m):
    # Of a line at distance x from an endless wall of height H: (1 - cos f) / 2 with tan f = H / x.
    wall = dataclasses.replace(PanelPlace(0.0, 0.0, 200.0, 0.01), z_m=0.0)
    table = shade_table([PanelPlace(100.0, far_m - 0.01, 0.06, 0.02)], [tall(wall, 1.0)])
    expected = (1.0 - np.cos(np.arctan2(1.0, far_m - 0.01))) / 2.0
    assert table.hidden_sky_share.mean() == pytest.approx(expected, rel=0.03)


@dataclasses.dataclass(frozen=True)
class _Wall:
    x_m: float
    y_m: float
    length_m: float
    width_m: float
    height_m: float


def tall(place, height_m):
    return _Wall(place.x_m, place.y_m, place.length_m, place.width_m, height_m)


@pytest.mark.slow
def test_shade_leaves_between_the_darkest_light_and_all(make_weather, make_panels):
    weather, panels = make_weather(), make_panels(count=3)
    places = panel_places(PANELS, panels)
    free = panel_output(weather, panels, Controller(), **SETTINGS)
    for heading_deg in (None, 40.0):
        shade = shade_of(panels, places, OBSTACLES, heading_deg=heading_deg)
        found_w = shaded_power_w(free, weather, shade)
        assert (found_w <= free.power_w).all()
        lit = free.power_w > 0.0
        hidden = float(shade_table(places, OBSTACLES).hidden_sky_share.max())
        least = (1.0 - free.beam_share) * (1.0 - hidden)
        assert (found_w[lit] >= (least * free.power_w)[lit] - 1e-9).all()
        assert 0.6 < found_w.sum() / free.power_w.sum() < 0.98
        assert "roof" in shade.note


@pytest.mark.slow
@pytest.mark.parametrize("tilt_deg", [0.0, 25.0])
def test_unknown_heading_is_the_mean_power_over_headings(tilt_deg, make_weather, make_panels):
    weather = make_weather(month=3)
    unknown = make_panels(count=3, tilt_deg=tilt_deg)
    places = panel_places(PANELS, unknown)
    table = shade_table(places, OBSTACLES)
    common = {"controller": Controller(), "bus_voltage_v": 13.5}
    each = []
    for heading in range(0, 360, 15):
        panels = unknown.model_copy(update={"azimuth_deg": (heading + 90.0) % 360.0})
        shade = roof_shade(table, places, panels, heading_deg=float(heading), **common)
        out = panel_output(weather, panels, Controller(), **SETTINGS)
        each.append([shaded_power_w(out, weather, shade).sum(), out.power_w.sum()])
    shaded, free = np.mean(each, axis=0)
    shade = roof_shade(table, places, unknown, heading_deg=None, **common)
    out = panel_output(weather, unknown, Controller(), **SETTINGS)
    lost = 1.0 - shaded_power_w(out, weather, shade).sum() / out.power_w.sum()
    assert lost == pytest.approx(1.0 - shaded / free, abs=0.004)
    assert lost > 0.03


@pytest.mark.slow
def test_weights_on_the_grid_give_the_same_energy(make_weather, make_panels):
    weather, panels = make_weather(), make_panels(count=3)
    places = panel_places(PANELS, panels)
    for heading_deg in (None, 200.0):
        shade = shade_of(panels, places, OBSTACLES, heading_deg=heading_deg)
        out = panel_output(weather, panels, Controller(), **SETTINGS)
        found_w = shaded_power_w(out, weather, shade)
        sun = (weather.zenith_deg, weather.azimuth_deg, out.beam_share)
        weights = power_weights(shade, *sun, out.power_w)
        assert weights.sum() == pytest.approx(out.power_w.sum(), rel=1e-12)
        assert (weights * shade.power_share).sum() == pytest.approx(found_w.sum(), rel=1e-12)
        np.testing.assert_allclose(found_w, out.power_w * shade_factor(shade, *sun), rtol=1e-12)


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"z_m": -0.01}, "panel.z_m"),
        ({"tilt_deg": 90.1}, "panel.tilt_deg"),
        ({"length_m": 0.0}, "panel.length_m"),
        ({"width_m": float("nan")}, "panel.width_m"),
        ({"facing": "up"}, "panel.facing"),
    ],
)
def test_refuses_what_is_no_panel(change, field):
    with pytest.raises(InputError) as caught:
        dataclasses.replace(PANELS[0], **change)
    assert caught.value.field == field


def test_refuses_what_does_not_belong_together(make_panels):
    table = shade_table(PANELS, OBSTACLES, azimuth_step_deg=30.0)
    common = {"controller": Controller(), "bus_voltage_v": 13.5, "heading_deg": None}
    with pytest.raises(InputError, match="holds 3"):
        roof_shade(table, PANELS[:2], make_panels(), **common)
    mixed = [PANELS[0], PANELS[1], dataclasses.replace(PANELS[2], tilt_deg=10.0)]
    with pytest.raises(InputError, match="one tilt"):
        roof_shade(table, mixed, make_panels(), **common)
    with pytest.raises(InputError, match="whole strings"):
        roof_shade(table, PANELS, make_panels(count=2, series=2), **common)
    for step in (0.0, 7.0, -5.0):
        with pytest.raises(InputError, match="divide"):
            shade_table(PANELS, OBSTACLES, azimuth_step_deg=step)
    for elevations in ((), (30.0,), (0.0, 90.0), (30.0, 20.0), (30.0, 91.0)):
        with pytest.raises(InputError, match="rise"):
            shade_table(PANELS, OBSTACLES, elevation_deg=elevations)


def test_no_panels_are_never_shaded(make_panels):
    shade = shade_of(make_panels(count=0), [], OBSTACLES, heading_deg=None)
    assert (shade.power_share == 1.0).all()
    assert shade.power_share.shape[1] == len(ELEVATION_DEG)


@pytest.mark.parametrize("elevation_deg", [10.0, 25.0, 40.0])
def test_an_upright_panel_is_shaded_and_shades_as_a_wall(elevation_deg):
    upright = PanelPlace(1.0, 0.0, 1.2, 1.0, tilt_deg=90.0, facing="front")
    behind = PanelPlace(0.5, 0.0, 1.5, 1.0, facing="front")
    # Far wider than both, 0.5 m ahead of the upright glass at x = 2.2 m.
    wall = box(2.7, 0.0, 0.1, 1.0, 0.8)
    tangent = np.tan(np.radians(elevation_deg))
    table = shade_table([upright, behind], [wall], elevation_deg=(elevation_deg, 90.0))
    ahead = shade_lookup(table, np.array([90.0 - elevation_deg]), np.zeros(1), 0.0)
    on_upright, on_behind = ahead.mean(axis=(1, 2))
    assert on_upright == pytest.approx(max(0.8 - 0.5 * tangent, 0.0) / 1.2, abs=0.01)
    # The glass stands on the front edge; its shadow reaches 1.2 m over the tangent to the rear.
    assert on_behind == pytest.approx(min((1.2 / tangent - 0.2) / 1.5, 1.0), abs=0.01)
    # From behind the sun does not light the glass, which has nothing to lose.
    rear = shade_lookup(table, np.array([90.0 - elevation_deg]), np.full(1, 180.0), 0.0)
    assert (rear[0] == 0.0).all()


@pytest.mark.parametrize("heading_deg", [None, 90.0])
def test_upright_panels_give_power_with_the_shade_of_a_roof(heading_deg, make_weather, make_panels):
    turned = None if heading_deg is None else 180.0
    panels = make_panels(count=3, tilt_deg=90.0, azimuth_deg=turned)
    shade = shade_of(panels, panel_places(PANELS, panels), OBSTACLES, heading_deg=heading_deg)
    out = panel_output(
        make_weather(month=1, days=2),
        panels,
        Controller(),
        bus_voltage_v=13.5,
        parking="open field",
        brush_snow="never",
    )
    power_w = shaded_power_w(out, make_weather(month=1, days=2), shade)
    assert np.isfinite(shade.power_share).all()
    assert 0.0 < power_w.sum() < out.power_w.sum()


def test_a_tilt_of_next_to_nothing_is_flat():
    """Numbers this small overflow in the geometry library."""
    tilted = [
        PanelPlace(1.435, 0.0, 0.3, 0.3, tilt_deg=1.0, facing="left"),
        PanelPlace(1.439, 0.0, 0.3, 0.3, tilt_deg=2.2e-309),
    ]
    flat = [tilted[0], dataclasses.replace(tilted[1], tilt_deg=0.0)]
    grid = {"azimuth_step_deg": 30.0, "cells": 4}
    found, expected = shade_table(tilted, [], **grid), shade_table(flat, [], **grid)
    np.testing.assert_array_equal(found.cell_share, expected.cell_share)
    assert found.cell_share.max() > 0.0
