"""Panels kept out of the shade: against geometry by hand, finer tables, and every place tried."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from solarsim.inputs.files.van import read_van
from solarsim.inputs.roof import Obstacle, Roof
from solarsim.packing.fit import _by_count, best_layouts, fit_roof
from solarsim.packing.layout import PanelSize, panel_size
from solarsim.packing.least_shade import layouts_with_fewer, least_shaded_flat, light_lost
from solarsim.solar.shade.geometry import PanelPlace
from solarsim.solar.shade.table import roof_shadows

GLASS_M = 0.06
W200 = PanelSize("200 W rigid", 1.49, 0.71, 200.0)
# As good as equal: two steps of the search.
WORTH = 0.004


def obstacle(x_m, y_m, length_m, width_m, height_m):
    sides = {"x_m": x_m, "y_m": y_m, "length_m": length_m, "width_m": width_m}
    return Obstacle(name=f"box {x_m:g}", height_m=height_m, clearance_m=0.05, **sides)


def lost(panels, obstacles):
    places = [
        tuple(round(1e6 * side) for side in (p.x_m, p.y_m, p.length_m, p.width_m)) for p in panels
    ]
    return light_lost(places, obstacles, glass_m=GLASS_M)


def roof_with(length_m, width_m, *obstacles):
    return Roof(length_m=length_m, width_m=width_m, margin_m=0.0, gap_m=0.0, obstacles=obstacles)


def test_limits_by_hand():
    panel = PanelPlace(0.0, 1.0, 1.49, 0.71)
    nothing = lost([panel], [obstacle(2.0, 1.0, 0.4, 0.4, GLASS_M)])
    assert nothing.tolist() == [0.0]
    # A wall without end in height and length takes half of the directions and nothing else.
    wall = Obstacle.model_construct(
        name="wall", x_m=1.5, y_m=-5e3, length_m=1.0, width_m=1e4, height_m=1e5, clearance_m=0.0
    )
    assert lost([panel], [wall])[0] == pytest.approx(0.5, abs=0.01)
    low, high = (lost([panel], [obstacle(2.0, 1.0, 0.4, 0.4, height)])[0] for height in (0.2, 0.4))
    assert 0.0 < low < high
    near, far = (lost([panel], [obstacle(x, 1.0, 0.4, 0.4, 0.3)])[0] for x in (1.6, 3.0))
    assert near > 2.0 * far > 0.0


def test_a_mirrored_roof_loses_as_much():
    boxes = (obstacle(0.5, 0.3, 0.4, 0.2, 0.3), obstacle(2.6, 1.3, 0.3, 0.3, 0.2))
    panels = (PanelPlace(1.0, 0.2, 1.49, 0.71), PanelPlace(1.5, 0.1, 0.71, 1.49))

    def mirrored(one):
        return (4.0 - one.x_m - one.length_m, 2.0 - one.y_m - one.width_m)

    turned = [PanelPlace(*mirrored(p), p.length_m, p.width_m) for p in panels]
    others = [obstacle(*mirrored(b), b.length_m, b.width_m, b.height_m) for b in boxes]
    np.testing.assert_allclose(lost(turned, others), lost(panels, boxes), rtol=1e-6)


def test_ranks_places_as_the_full_shadows_do():
    """Beam and sky hidden by `shade_table`, whose shadows are polygons on 36 cells a panel."""
    boxes = (obstacle(1.6, 0.8, 0.4, 0.4, 0.25), obstacle(4.0, 0.4, 0.8, 0.8, 0.35))
    panels = [
        PanelPlace(x_m, y_m, 0.71, 1.49, GLASS_M)
        for x_m, y_m in itertools.product((0.0, 0.4, 0.8, 2.1, 2.6, 3.2, 4.9, 5.8), (0.0, 0.6))
    ]
    table = roof_shadows(panels, boxes, azimuth_step_deg=15.0).table
    # A day's arc weighs low suns less than high ones; the very weights are the rough measure's own.
    weight = np.sin(np.radians(table.elevation_deg)) * np.gradient(table.elevation_deg)
    beam = (table.cell_share.mean(axis=(1, 2)) * weight).sum(axis=1) / weight.sum()
    full = 0.5 * beam + 0.5 * table.hidden_sky_share.mean(axis=1)
    rough = lost(panels, boxes)
    assert np.corrcoef(np.argsort(np.argsort(full)), np.argsort(np.argsort(rough)))[0, 1] > 0.95
    # Of a clearly brighter and a darker place it never takes the darker for the brighter.
    for one, other in itertools.combinations(range(len(panels)), 2):
        if full[one] > 1.5 * full[other] + 0.01:
            assert rough[one] > rough[other]


@pytest.mark.parametrize(
    ("boxes", "count"),
    [
        ((obstacle(0.0, 0.5, 0.5, 0.5, 0.4),), 1),
        ((obstacle(1.4, 0.5, 0.5, 0.5, 0.4),), 2),
        ((obstacle(0.9, 0.0, 0.3, 0.3, 0.3), obstacle(2.3, 1.0, 0.4, 0.4, 0.4)), 2),
    ],
)
def test_as_good_as_every_place_tried_out(boxes, count):
    roof = roof_with(3.2, 1.5, *boxes)
    van = read_van("weekender").model_copy(update={"roof": roof})
    found = lost(best_layouts(van, [count])[count].panels, boxes).mean()
    free = []
    for length_m, width_m in ((1.49, 0.71), (0.71, 1.49)):
        for x_m in np.arange(0.0, 3.2 - length_m + 1e-9, 0.05):
            for y_m in np.arange(0.0, 1.5 - width_m + 1e-9, 0.05):
                panel = PanelPlace(float(x_m), float(y_m), length_m, width_m)
                if not any(overlap(panel, box, box.clearance_m) for box in boxes):
                    free.append(panel)
    alone = lost(free, boxes)
    best = min(
        alone[list(some)].mean()
        for some in itertools.combinations(np.argsort(alone)[:400].tolist(), count)
        if not any(overlap(free[a], free[b], 0.0) for a, b in itertools.combinations(some, 2))
    )
    assert found <= best + WORTH


def overlap(one, other, around_m):
    return (
        one.x_m < other.x_m + other.length_m + around_m - 1e-9
        and other.x_m < one.x_m + one.length_m + around_m - 1e-9
        and one.y_m < other.y_m + other.width_m + around_m - 1e-9
        and other.y_m < one.y_m + one.width_m + around_m - 1e-9
    )


def test_nothing_tall_leaves_the_simplest_rows_alone():
    roof = roof_with(4.0, 1.5, obstacle(1.0, 0.5, 0.3, 0.3, 0.05))
    layout = fit_roof(roof, [W200])
    assert fit_roof(roof, [W200], quick=True) == layout
    assert least_shaded_flat([layout], roof, glass_m=GLASS_M) is layout
    # A flexible panel that is glued on lies lower than that.
    assert lost(layout.panels, roof.obstacles).max() == 0.0
    low = [tuple(round(1e6 * v) for v in (0.0, 0.0, 0.71, 1.49))]
    assert light_lost(low, roof.obstacles, glass_m=0.003)[0] > 0.0


def test_moving_never_costs_a_panel_nor_light():
    for x_m, height_m in itertools.product((0.6, 1.7, 3.1), (0.15, 0.4)):
        roof = roof_with(5.0, 1.9, obstacle(x_m, 0.7, 0.4, 0.5, height_m))
        simple, moved = fit_roof(roof, [W200], quick=True), fit_roof(roof, [W200])
        assert (moved.power_w, moved.bound_w) == (simple.power_w, simple.bound_w)
        assert lost(moved.panels, roof.obstacles).mean() <= (
            lost(simple.panels, roof.obstacles).mean() + 1e-12
        )


def test_thinned_takes_out_the_darkest_and_each_in_turn():
    roof = roof_with(4.0, 1.5, obstacle(0.0, 0.5, 0.4, 0.5, 0.4))
    whole = fit_roof(roof, [W200])
    parts = layouts_with_fewer([whole], roof, 2, glass_m=GLASS_M)
    assert all(len(part.panels) == 2 for part in parts)
    dark = lost(whole.panels, roof.obstacles)
    least = min(lost(part.panels, roof.obstacles).sum() for part in parts)
    assert least == pytest.approx(np.sort(dark)[:2].sum())
    assert layouts_with_fewer([whole], roof, len(whole.panels), glass_m=GLASS_M) == []


@pytest.mark.slow
def test_tilted_panels_that_face_along_the_van_keep_apart():
    van = read_van("long-stayer", settings=["panels.tilt_deg=30", "panels.facing='front'"])
    two = sorted(panel.x_m for panel in best_layouts(van, [2])[2].panels)
    # In the simplest rows they lie side by side, the one behind in the shade of the other.
    simple = sorted(p.x_m for p in dict(_by_count(van.roof, panel_size(van.panels), 2))[2].panels)
    assert simple[1] - simple[0] < 1.0
    # A high edge of 0.71 m sin 30 deg = 0.36 m shades at most 0.36 m / tan 15 deg = 1.3 m behind it
    # but for the lowest suns.
    assert two[1] - two[0] > 0.71 + 1.3
    # Facing sideways one row along the van is dark to nobody.
    side = read_van("long-stayer", settings=["panels.tilt_deg=30", "panels.facing='right'"])
    assert len({panel.y_m for panel in best_layouts(side, [4])[4].panels}) == 1


def test_needs_a_layout():
    with pytest.raises(ValueError, match="layout"):
        least_shaded_flat([], roof_with(3.0, 1.5), glass_m=GLASS_M)
