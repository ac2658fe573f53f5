"""What must hold for shade on every roof."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solarsim.inputs.roof import Obstacle
from solarsim.solar.shade.bypass import array_factor, group_light
from solarsim.solar.shade.geometry import PanelPlace
from solarsim.solar.shade.table import shade_table
from tests.solar.shade.shade_by_rays import shaded_points
from tests.solar.shade.shade_lookup import shade_lookup

COARSE = {"azimuth_step_deg": 30.0, "elevation_deg": (3.0, 10.0, 25.0, 50.0, 90.0), "cells": 6}
# Millimetres: what no tape shows is no property of a roof.
metres = lambda low, high: st.integers(round(low * 1000), round(high * 1000)).map(  # noqa: E731
    lambda n: n / 1000.0
)
boxes = st.builds(
    Obstacle,
    name=st.just("box"),
    x_m=metres(0.0, 4.0),
    y_m=metres(0.0, 1.8),
    length_m=metres(0.02, 1.5),
    width_m=metres(0.02, 1.0),
    height_m=metres(0.0, 1.5),
)
panels = st.builds(
    PanelPlace,
    x_m=metres(0.0, 3.0),
    y_m=metres(0.0, 1.5),
    length_m=metres(0.3, 2.0),
    width_m=metres(0.3, 1.2),
    z_m=metres(0.0, 0.2),
)
tilted = st.builds(
    dataclasses.replace,
    panels,
    tilt_deg=st.floats(0.0, 60.0),
    facing=st.sampled_from(["front", "right", "rear", "left"]),
)
lights = st.lists(st.floats(0.0, 1.0), min_size=18, max_size=18).map(
    lambda values: np.array(values).reshape(6, 3)
)


@given(st.lists(tilted, min_size=1, max_size=3), st.lists(boxes, max_size=3), boxes)
@settings(max_examples=30, deadline=None)
def test_one_more_obstacle_only_takes(places, obstacles, more):
    table = shade_table(places, obstacles, **COARSE)
    fuller = shade_table(places, [*obstacles, more], **COARSE)
    for found in (table, fuller):
        for shares in (found.group_share, found.cell_share, found.hidden_sky_share):
            assert (shares >= 0.0).all()
            assert (shares <= 1.0 + 1e-12).all()
        assert (found.cell_share >= found.group_share - 1e-12).all()
    assert (fuller.group_share >= table.group_share - 1e-9).all()
    assert (fuller.cell_share >= table.cell_share - 1e-9).all()
    assert (fuller.hidden_sky_share >= table.hidden_sky_share - 1e-9).all()


@given(panels, boxes, metres(0.0, 1.0))
@settings(max_examples=30, deadline=None)
def test_a_higher_obstacle_and_a_lower_panel_get_more_shade(panel, obstacle, more_m):
    here = shade_table([panel], [obstacle], **COARSE).group_share
    taller = obstacle.model_copy(update={"height_m": obstacle.height_m + more_m})
    assert (shade_table([panel], [taller], **COARSE).group_share >= here - 1e-9).all()
    raised = dataclasses.replace(panel, z_m=panel.z_m + more_m)
    assert (shade_table([raised], [obstacle], **COARSE).group_share <= here + 1e-9).all()


@given(st.lists(tilted, min_size=1, max_size=3), st.lists(boxes, max_size=3))
@settings(max_examples=30, deadline=None)
def test_obstacles_no_higher_than_flat_glass_cost_exactly_nothing(places, obstacles):
    flat = [dataclasses.replace(place, tilt_deg=0.0, z_m=0.1) for place in places]
    low = [o.model_copy(update={"height_m": min(o.height_m, 0.1)}) for o in obstacles]
    table = shade_table(flat, low, **COARSE)
    assert not table.group_share.any()
    assert not table.cell_share.any()
    assert not table.hidden_sky_share.any()


@given(panels, st.lists(boxes, min_size=1, max_size=3), st.floats(0.0, 360.0), st.floats(3.0, 89.0))
@settings(max_examples=40, deadline=None)
def test_shadows_are_what_rays_find(panel, obstacles, azimuth_deg, elevation_deg):
    # One direction, turned into the table's first.
    grid = {"azimuth_step_deg": 360.0, "elevation_deg": (elevation_deg, 90.0)}
    found = shade_table([panel], obstacles, **grid).group_share[0, :, 0, 0].mean()
    counted = shaded_points(panel, obstacles, 0.0, elevation_deg, per_m=100).mean()
    edge = 2.0 * (panel.length_m + panel.width_m) / (panel.length_m * panel.width_m)
    assert found == pytest.approx(counted, abs=0.01 * edge)
    # And in any direction of the look-up between two directions of the table.
    table = shade_table([panel], obstacles, azimuth_step_deg=90.0)
    share = shade_lookup(table, np.array([90.0 - elevation_deg]), np.array([azimuth_deg]), 0.0)
    assert (share >= 0.0).all()
    assert (share <= 1.0 + 1e-12).all()


@given(tilted, st.lists(boxes, min_size=1, max_size=3))
@settings(max_examples=30, deadline=None)
def test_a_mirrored_roof_has_mirrored_shade(place, obstacles):
    width_m = 3.0
    swap = {"front": "front", "rear": "rear", "left": "right", "right": "left"}

    def mirrored_y(thing):
        return width_m - thing.y_m - thing.width_m

    other = dataclasses.replace(place, y_m=mirrored_y(place), facing=swap[place.facing])
    flipped = [o.model_copy(update={"y_m": mirrored_y(o)}) for o in obstacles]
    here = shade_table([place], obstacles, **COARSE).group_share[0].mean(axis=0)
    there = shade_table([other], flipped, **COARSE).group_share[0].mean(axis=0)
    np.testing.assert_allclose(here, np.roll(there[::-1], 1, axis=0), atol=1e-7)


@given(lights, st.sampled_from([1, 2, 3, 6]), st.integers(1, 18), st.booleans(), st.floats(0, 0.1))
@settings(max_examples=150, deadline=None)
def test_array_lies_between_its_darkest_and_its_mean_light(light, series, least, fixed, drop):
    found = float(
        array_factor(light, series=series, least=least, fixed_voltage=fixed, drop_share=drop)
    )
    assert light.min() - 1e-12 <= found <= 1.0
    if not fixed:
        assert found <= light.mean() + 1e-12


@given(lights, lights, st.sampled_from([1, 2, 3, 6]), st.integers(1, 9), st.booleans())
@settings(max_examples=150, deadline=None)
def test_more_light_on_any_group_never_gives_less(light, other, series, least, fixed):
    brighter = np.maximum(light, other)
    factors = [
        float(array_factor(each, series=series, least=least, fixed_voltage=fixed, drop_share=0.05))
        for each in (light, brighter)
    ]
    assert factors[1] >= factors[0] - 1e-12


@given(lights, st.sampled_from([1, 2, 3]), st.randoms())
@settings(max_examples=60, deadline=None)
def test_order_of_panels_in_a_string_and_of_strings_plays_no_part(light, series, random):
    strings = [list(range(i, i + series)) for i in range(0, 6, series)]
    for string in strings:
        random.shuffle(string)
    random.shuffle(strings)
    turned = light[[panel for string in strings for panel in string]]
    assert float(array_factor(turned, series=series)) == pytest.approx(
        float(array_factor(light, series=series)), rel=1e-12
    )


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_light_of_a_group_is_a_share(cell, hidden, beam):
    found = float(group_light(np.array(cell), np.array(hidden), np.array(beam)))
    assert -1e-12 <= found <= 1.0
    assert float(group_light(np.array(0.0), np.array(0.0), np.array(beam))) == 1.0
