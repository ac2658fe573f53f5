"""Whatever the roof: panels lie on it, clear of everything, with shapely as the referee."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon, box

from solarsim.inputs.files.van import read_van
from solarsim.inputs.roof import Roof
from solarsim.packing.fit import best_layouts, fit_roof
from solarsim.packing.free import nearest_free
from solarsim.packing.layout import PanelSize

# A micrometre in binary metres.
TINY_M = 2e-6

lengths_m = st.floats(1.0, 5.0).map(lambda m: round(m, 3))
sizes = st.builds(
    lambda long, short, power: PanelSize(
        f"{long} x {short}", max(long, short), min(long, short), power
    ),
    st.floats(0.7, 1.8).map(lambda m: round(m, 4)),
    st.floats(0.5, 1.2).map(lambda m: round(m, 4)),
    st.floats(50.0, 400.0),
)
obstacles = st.builds(
    lambda x, y, length, width, height, clearance: {
        "name": "box",
        "x_m": x,
        "y_m": y,
        "length_m": length,
        "width_m": width,
        "height_m": height,
        "clearance_m": clearance,
    },
    st.floats(0.0, 0.99),
    st.floats(0.0, 0.99),
    st.floats(0.05, 1.0),
    st.floats(0.05, 0.8),
    st.floats(0.0, 0.5),
    st.floats(0.0, 0.2),
)


@st.composite
def roofs(draw):
    length_m, width_m = draw(lengths_m), round(draw(st.floats(0.8, 2.4)), 3)
    data = {
        "margin_m": draw(st.floats(0.0, 0.1)),
        "gap_m": draw(st.floats(0.0, 0.06)),
        "walkway": draw(st.sampled_from(["left", "middle", "right"])),
        "walkway_m": draw(st.one_of(st.just(0.0), st.floats(0.0, 0.4))),
        "obstacles": [
            each | {"x_m": each["x_m"] * length_m, "y_m": each["y_m"] * width_m}
            for each in draw(st.lists(obstacles, max_size=4))
        ],
    }
    shape = draw(st.sampled_from(["rectangle", "rounded", "notched"]))
    cut_m = draw(st.floats(0.05, 0.45))
    if shape == "rounded":
        data["outline"] = [
            *([0.0, 0.0], [length_m - cut_m, 0.0], [length_m, 0.4 * width_m]),
            *([length_m, 0.6 * width_m], [length_m - cut_m, width_m], [0.0, width_m]),
        ]
    elif shape == "notched":
        data["outline"] = [
            *([0.0, 0.0], [length_m, 0.0], [length_m, width_m], [length_m / 2.0, width_m]),
            *([length_m / 2.0, width_m - cut_m], [0.0, width_m - cut_m]),
        ]
    else:
        data |= {"length_m": length_m, "width_m": width_m}
    return Roof.model_validate(data)


def footprint(panel):
    return box(panel.x_m, panel.y_m, panel.x_m + panel.length_m, panel.y_m + panel.width_m)


def check(layout, roof):
    outline = Polygon(roof.corners_m)
    shapes = [footprint(panel) for panel in layout.panels]
    for shape in shapes:
        assert shape.difference(outline.buffer(TINY_M)).is_empty
        assert shape.distance(outline.exterior) >= roof.margin_m - TINY_M
        for obstacle in roof.obstacles:
            there = box(
                obstacle.x_m - obstacle.clearance_m,
                obstacle.y_m - obstacle.clearance_m,
                obstacle.x_m + obstacle.length_m + obstacle.clearance_m,
                obstacle.y_m + obstacle.width_m + obstacle.clearance_m,
            )
            assert not shape.buffer(-TINY_M).intersects(there)
        if roof.walkway_y_m is not None:
            strip = box(0.0, roof.walkway_y_m[0], roof.length_m, roof.walkway_y_m[1])
            assert not shape.buffer(-TINY_M).intersects(strip)
    for index, shape in enumerate(shapes):
        for other in shapes[index + 1 :]:
            assert shape.distance(other) >= roof.gap_m - TINY_M
            assert shape.intersection(other).area < 1e-5
    assert math.isclose(layout.power_w, sum(p.power_w for p in layout.panels), abs_tol=1e-6)
    assert layout.power_w <= layout.bound_w + 1e-6


@pytest.mark.slow
@settings(max_examples=80, deadline=None)
@given(roofs(), st.lists(sizes, min_size=1, max_size=2))
def test_panels_lie_on_the_roof_and_clear_of_everything(roof, panels):
    layout = fit_roof(roof, panels)
    check(layout, roof)
    for placed in layout.panels:
        size = next(
            s for s in panels if s.part == placed.part and abs(s.power_w - placed.power_w) < 1
        )
        sides = sorted((placed.length_m, placed.width_m))
        assert abs(sides[1] - size.length_m) < TINY_M
        assert abs(sides[0] - size.width_m) < TINY_M


@settings(max_examples=40, deadline=None)
@given(roofs(), sizes)
def test_taking_an_obstacle_away_never_costs_a_panel(roof, size):
    layout = fit_roof(roof, [size])
    for index in range(len(roof.obstacles)):
        rest = roof.obstacles[:index] + roof.obstacles[index + 1 :]
        freed = fit_roof(roof.model_copy(update={"obstacles": rest}), [size])
        assert freed.power_w >= layout.power_w or not freed.proved
        assert freed.bound_w >= layout.power_w


@pytest.mark.slow
@settings(max_examples=40, deadline=None)
@given(roofs(), sizes)
def test_a_mirrored_roof_holds_as_much(roof, size):
    """The search goes from the rear left; nothing may depend on it."""
    mirrored = Roof.model_validate(
        roof.model_dump()
        | {
            "outline": [[roof.length_m - x, roof.width_m - y] for x, y in roof.corners_m],
            "walkway": {"left": "right", "right": "left", "middle": "middle"}[roof.walkway],
            "obstacles": [
                o.model_dump()
                | {
                    "x_m": roof.length_m - o.x_m - o.length_m,
                    "y_m": roof.width_m - o.y_m - o.width_m,
                }
                for o in roof.obstacles
                if o.x_m + o.length_m < roof.length_m and o.y_m + o.width_m < roof.width_m
            ],
        }
    )
    kept = tuple(
        o
        for o in roof.obstacles
        if o.x_m + o.length_m < roof.length_m and o.y_m + o.width_m < roof.width_m
    )
    one = fit_roof(roof.model_copy(update={"obstacles": kept}), [size])
    other = fit_roof(mirrored, [size])
    # Edges of the mirror image may be a micrometre off, which can cost a panel that just fits.
    smaller = PanelSize(size.part, size.length_m - 1e-5, size.width_m - 1e-5, size.power_w)
    if one.proved and other.proved:
        assert (
            other.power_w
            <= fit_roof(roof.model_copy(update={"obstacles": kept}), [smaller]).bound_w
        )
        assert one.power_w <= fit_roof(mirrored, [smaller]).bound_w


@pytest.mark.slow
@settings(max_examples=40, deadline=None)
@given(roofs())
def test_layouts_of_every_count_are_legal(roof):
    van = read_van("weekender").model_copy(update={"roof": roof})
    for count, layout in best_layouts(van).items():
        assert len(layout.panels) == count
        check(layout, roof)


@pytest.mark.slow
@settings(max_examples=60, deadline=None)
@given(roofs(), sizes)
def test_what_is_left_free_is_free_and_holds_no_panel(roof, size):
    layout = fit_roof(roof, [size])
    free = nearest_free(roof, layout, [size])
    if free is None:
        return
    shape = box(free.x_m, free.y_m, free.x_m + free.length_m, free.y_m + free.width_m)
    for panel in layout.panels:
        assert shape.distance(footprint(panel)) >= roof.gap_m - TINY_M
    assert shape.difference(Polygon(roof.corners_m).buffer(TINY_M)).is_empty
    fits = free.length_m >= free.needs_length_m and free.width_m >= free.needs_width_m
    assert not (fits and layout.proved)
