"""Panels laid out by hand: room by the rules of a search, and one layout for every answer."""

from __future__ import annotations

import random

import pytest
from shapely.geometry import box

from solarsim.answers.roof import roof
from solarsim.inputs.files.van import read_van, van_from_data
from solarsim.inputs.roof import Roof
from solarsim.packing.by_hand import lies_by_hand, room_faults
from solarsim.packing.fit import best_layouts, fit_roof, fitting_counts
from solarsim.packing.layout import PanelSize, panel_size

SIZE = PanelSize("200 W", 1.49, 0.71, 200.0)


def placed(van, *places):
    rows = [dict(zip(("x_m", "y_m", "lies"), place, strict=True)) for place in places]
    tables = van.model_dump(exclude_unset=True)
    return van_from_data(tables | {"roof": tables["roof"] | {"panels": rows}}, source="test")


def test_panels_lie_where_they_are_put_in_every_count_but_theirs():
    van = read_van("weekender")
    put = placed(van, (1.5, 0.05, "crosswise"), (2.4, 0.06, "crosswise"))
    assert lies_by_hand(put)
    assert fitting_counts(put) == fitting_counts(van)
    before, after = best_layouts(van), best_layouts(put)
    assert [(p.x_m, p.y_m, p.lengthwise) for p in after[2].panels] == [
        (1.5, 0.05, False),
        (2.4, 0.06, False),
    ]
    assert after[2].bound_w == before[2].bound_w
    assert {n: after[n] for n in (1, 3)} == {n: before[n] for n in (1, 3)}


@pytest.mark.parametrize(
    ("places", "said"),
    [
        ([(1.5, 0.04, "crosswise"), (2.4, 0.05, "crosswise")], "panel 1 at x 1.50, y 0.04 m"),
        ([(0.5, 0.05, "crosswise"), (2.4, 0.05, "crosswise")], "panel 1 at x 0.50"),
        ([(1.5, 0.05, "crosswise"), (2.22, 0.05, "crosswise")], "closer than 0.02 m"),
        ([(1.5, 0.05, "crosswise"), (2.4, 0.05, "lengthwise")], "panel 2 at x 2.40"),
    ],
)
def test_what_has_no_room_is_named_and_laid_out_anew(places, said):
    van = read_van("weekender")
    put = placed(van, *places)
    faults = room_faults(put.roof, panel_size(put.panels))
    assert len(faults) == 1
    assert said in faults[0]
    assert not lies_by_hand(put)
    assert best_layouts(put) == best_layouts(van)


def free_by_shapely(roof, panel):
    """Room by plane geometry of another library, for roofs that are rectangles."""
    x, y, length, width = panel
    margin = roof.margin_m
    inside = box(margin, margin, roof.length_m - margin, roof.width_m - margin)
    mine = box(x, y, x + length, y + width)
    blocks = [
        box(
            one.x_m - one.clearance_m,
            one.y_m - one.clearance_m,
            one.x_m + one.length_m + one.clearance_m,
            one.y_m + one.width_m + one.clearance_m,
        )
        for one in roof.obstacles
    ]
    if roof.walkway_y_m:
        start, end = roof.walkway_y_m
        blocks.append(box(0, start, roof.length_m, end))
    outside = mine.difference(inside.buffer(1e-9)).area > 1e-9
    return not outside and all(mine.intersection(block).area < 1e-9 for block in blocks)


def test_room_is_what_another_library_s_geometry_says():
    draw, seen = random.Random(3), set()
    for _ in range(200):
        fan = {"name": "fan", "x_m": draw.randrange(3) * 0.7, "y_m": 0.4}
        fan |= {"length_m": 0.4, "width_m": 0.4, "clearance_m": draw.choice([0.0, 0.05])}
        x, y = draw.randrange(0, 300) / 100, draw.randrange(0, 120) / 100
        lies = draw.choice(["lengthwise", "crosswise"])
        tables = {"length_m": 3.4, "width_m": 1.6, "margin_m": draw.choice([0.0, 0.05])}
        tables |= {"walkway_m": draw.choice([0.0, 0.0, 0.3]), "walkway": "right"}
        tables |= {"obstacles": [fan], "panels": [{"x_m": x, "y_m": y, "lies": lies}]}
        roof = Roof.model_validate(tables)
        sides = (1.49, 0.71) if lies == "lengthwise" else (0.71, 1.49)
        free = free_by_shapely(roof, (x, y, *sides))
        assert (room_faults(roof, SIZE) == ()) == free, tables
        seen.add(free)
    assert seen == {True, False}


@pytest.mark.parametrize("number", range(3))
def test_what_a_search_lays_out_has_room_by_hand(number):
    roof = Roof.model_validate(
        {
            "length_m": 5.0 + number / 3.0,
            "width_m": 1.9,
            "obstacles": [{"name": "fan", "x_m": 1.0, "y_m": 0.7, "length_m": 0.4, "width_m": 0.4}],
        }
    )
    layout = fit_roof(roof, [SIZE])
    places = [
        {
            "x_m": round(panel.x_m, 6),
            "y_m": round(panel.y_m, 6),
            "lies": "lengthwise" if panel.lengthwise else "crosswise",
        }
        for panel in layout.panels
    ]
    assert len(places) >= 4
    tables = roof.model_dump(exclude_unset=True) | {"panels": places}
    assert room_faults(Roof.model_validate(tables), SIZE) == ()


def test_the_roof_s_answer_draws_them_where_they_were_put():
    van = placed(read_van("weekender"), (1.5, 0.05, "crosswise"), (2.4, 0.06, "crosswise"))
    answer = roof(van)
    assert answer.own_layout.panels[1].x_m == 2.4
    assert len(answer.layout.panels) == 3
    assert answer.reasons[-1] == "the van's own 2 panels lie where roof.panels puts them"
    assert roof(read_van("weekender")).reasons == answer.reasons[:-1]
    # As many as fit at all: the most is then what was laid out.
    places = [(0.05, 0.05, "crosswise"), (0.79, 0.05, "crosswise"), (1.55, 0.06, "crosswise")]
    full = placed(read_van("weekender", settings=["panels.count=3"]), *places)
    bare = full.roof.model_copy(update={"obstacles": ()})
    full = full.model_copy(update={"roof": bare})
    best = roof(full.model_copy(update={"roof": bare.model_copy(update={"panels": ()})}))
    assert len(best.layout.panels) == 4
    assert roof(full).layout == best.layout
    short = bare.model_copy(update={"length_m": 2.4})
    assert roof(full.model_copy(update={"roof": short})).layout.panels[2].y_m == 0.06
