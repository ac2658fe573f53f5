"""What fits on a roof: against every way tried out, and by hand."""

from __future__ import annotations

import random

import pytest

from solarsim.errors import InputError
from solarsim.inputs.files.toml import shipped_folder
from solarsim.inputs.files.van import read_van
from solarsim.inputs.roof import Roof
from solarsim.packing import fit as roof_fit
from solarsim.packing.fit import best_layouts, fit_roof, fitting_counts
from solarsim.packing.geometry import free_space, free_spans
from solarsim.packing.layout import PanelSize, panel_size
from solarsim.packing.positions import Kind, find_positions
from solarsim.packing.search import search
from tests.packing.exhaustive_roof import most_watts

CELL_M = 0.25
W200 = PanelSize("200 W rigid", 1.49, 0.71, 200.0)
W100 = PanelSize("100 W rigid", 1.05, 0.54, 100.0)
SHIPPED = sorted(path.stem for path in shipped_folder("vans").glob("*.toml"))


def roof_of(length_m, width_m, *boxes, **more):
    obstacles = [
        {"name": f"no {n}", "x_m": x, "y_m": y, "length_m": a, "width_m": b, "clearance_m": 0.0}
        for n, (x, y, a, b) in enumerate(boxes)
    ]
    data = {"length_m": length_m, "width_m": width_m, "margin_m": 0.0, "gap_m": 0.0}
    return Roof.model_validate(data | {"obstacles": obstacles} | more)


def random_case(number):
    draw = random.Random(number)
    length, width = draw.randint(4, 11), draw.randint(3, 7)
    gap, margin = draw.choice([0, 0, 1]), draw.choice([0, 0, 1])
    sizes = []
    for _ in range(draw.choice([1, 1, 2])):
        sides = sorted((draw.randint(1, 4), draw.randint(1, 3)))
        # Single cells would make every layout right and the trying endless.
        sizes.append((max(sides[1], 2), sides[0], draw.choice([100, 150, 175])))
    blocks = []
    for _ in range(draw.randint(0, 3)):
        x, y = draw.randrange(length), draw.randrange(width)
        blocks.append((x, y, x + draw.randint(1, 3), y + draw.randint(1, 2)))
    return length, width, gap, margin, sizes, blocks


@pytest.mark.parametrize("hundred", [0, pytest.param(100, marks=pytest.mark.slow)])
def test_equals_every_way_tried_out_on_200_small_roofs(hundred):
    seen = set()
    for number in range(hundred, hundred + 100):
        length, width, gap, margin, sizes, blocks = random_case(number)
        kinds = [way for a, b, w in sizes for way in ((a, b, w), (b, a, w))]
        want = most_watts(length, width, blocks, kinds, gap=gap, margin=margin)
        roof = roof_of(
            length * CELL_M,
            width * CELL_M,
            *(
                (x0 * CELL_M, y0 * CELL_M, (x1 - x0) * CELL_M, (y1 - y0) * CELL_M)
                for x0, y0, x1, y1 in blocks
            ),
            margin_m=margin * CELL_M,
            gap_m=gap * CELL_M,
        )
        panels = [
            PanelSize(f"{n}", a * CELL_M, b * CELL_M, float(w)) for n, (a, b, w) in enumerate(sizes)
        ]
        layout = fit_roof(roof, panels)
        assert layout.power_w == want, number
        assert layout.bound_w >= want, number
        # A roof this small is always proved where all panels are alike.
        assert layout.proved or len(sizes) > 1, number
        seen.add(want)
    assert len(seen) > 20


def test_a_narrow_search_never_claims_what_it_did_not_prove():
    for number in range(60):
        length, width, gap, margin, sizes, blocks = random_case(number)
        kinds = [way for a, b, w in sizes for way in ((a, b, w), (b, a, w))]
        want = most_watts(length, width, blocks, kinds, gap=gap, margin=margin)
        unit = 10**5
        space = free_space(
            roof_of(
                length / 10,
                width / 10,
                *((x0 / 10, y0 / 10, (x1 - x0) / 10, (y1 - y0) / 10) for x0, y0, x1, y1 in blocks),
                margin_m=margin / 10,
                gap_m=gap / 10,
            )
        )
        there = find_positions(space, [Kind(0, a * unit, b * unit, float(w)) for a, b, w in kinds])
        found = search(there, width=1)
        assert found.power_w <= want <= found.bound_w


@pytest.mark.parametrize(
    ("roof", "sizes", "count"),
    [
        # Two across, two along: 1.42 x 2.98 m, to the millimetre.
        (roof_of(2.98, 1.42), [W200], 4),
        (roof_of(2.979, 1.42), [W200], 2),
        (roof_of(2.98, 1.419), [W200], 2),
        # Four panels around a square hole of the difference of the sides, a pinwheel.
        (roof_of(2.2, 2.2, (0.71, 0.71, 0.78, 0.78)), [W200], 4),
        (roof_of(2.2, 2.2, (0.70, 0.71, 0.78, 0.78)), [W200], 3),
        # The margin takes from both sides, the gap only between.
        (roof_of(1.52, 0.73, margin_m=0.01), [W200], 1),
        (roof_of(1.52, 0.73, margin_m=0.02), [W200], 0),
        (roof_of(3.0, 0.71, gap_m=0.02), [W200], 2),
        (roof_of(2.99, 0.71, gap_m=0.02), [W200], 1),
        # A walkway in the middle, and the same at a side.
        (roof_of(1.49, 1.82, walkway_m=0.4), [W200], 2),
        (roof_of(1.49, 1.81, walkway_m=0.4), [W200], 0),
        (roof_of(1.49, 1.82, walkway_m=0.4, walkway="left"), [W200], 2),
        (roof_of(1.49, 1.82, walkway_m=0.4, walkway="right"), [W200], 2),
    ],
)
def test_by_hand(roof, sizes, count):
    layout = fit_roof(roof, sizes)
    assert len(layout.panels) == count
    assert layout.proved


def test_the_more_watts_win_over_the_more_panels():
    # Two of the small ones fit as well, but 180 W are less than 200.
    w90 = PanelSize("90 W", 1.05, 0.54, 90.0)
    layout = fit_roof(roof_of(2.1, 0.71), [w90, W200])
    assert [panel.part for panel in layout.panels] == ["200 W rigid"]
    # Here none of the large fits.
    assert fit_roof(roof_of(1.08, 1.05), [W100, W200]).power_w == 200.0


@pytest.mark.parametrize("power_w", [51.4375, 50.4375])
def test_watts_between_thousandths_do_not_pass_their_own_bound(power_w):
    roof = roof_of(
        3.188, 2.0, outline=[[0, 0], [3.063, 0], [3.188, 0.8], [3.188, 1.2], [3.063, 2], [0, 2]],
        margin_m=0.09375, gap_m=0.046875,
    )  # fmt: skip
    layout = fit_roof(roof, [PanelSize("odd", 1.49999, 0.68749, power_w)])
    assert len(layout.panels) == 4
    assert layout.power_w <= layout.bound_w + 1e-6
    assert layout.proved


def test_equal_watts_go_to_one_row():
    layout = fit_roof(roof_of(4.6, 1.5), [W200])
    assert len(layout.panels) == 6
    assert len({panel.lengthwise for panel in layout.panels}) == 1


def test_a_rounded_front_keeps_panels_off_its_corners():
    corners = [[0, 0], [3.0, 0], [3.4, 0.5], [3.4, 1.1], [3.0, 1.6], [0, 1.6]]
    rounded = Roof.model_validate({"outline": corners, "margin_m": 0.0, "gap_m": 0.0})
    whole = roof_of(3.4, 1.6)
    # Behind x = 3 the roof is as wide as a whole one.
    assert fit_roof(rounded, [W200]).power_w == fit_roof(whole, [W200]).power_w == 800.0
    # A panel across the front's middle reaches to where the slant is a panel's width apart.
    spans = free_spans(free_space(rounded), 710_000, 600_000, 500_000)
    assert spans == [(0, 3_400_000 - 710_000)]
    # At y = 0.25 the slant stands at x = 3.2 m.
    assert free_spans(free_space(rounded), 710_000, 600_000, 250_000) == [(0, 3_200_000 - 710_000)]


def test_an_outline_with_a_notch():
    notch = [[0, 0], [3, 0], [3, 1.5], [2, 1.5], [2, 0.8], [1, 0.8], [1, 1.5], [0, 1.5]]
    roof = Roof.model_validate({"outline": notch, "margin_m": 0.0, "gap_m": 0.0})
    blocked = roof_of(3.0, 1.5, (1.0, 0.8, 1.0, 0.7))
    layout = fit_roof(roof, [W200])
    assert layout.proved
    assert layout.power_w == fit_roof(blocked, [W200]).power_w


def test_a_roof_of_nothing_but_obstacles_holds_none():
    layout = fit_roof(roof_of(3.0, 1.5, (0.0, 0.0, 3.0, 1.5)), [W200])
    assert layout.panels == ()
    assert layout.power_w == 0.0
    assert layout.proved
    tiny = fit_roof(roof_of(0.3, 0.3, margin_m=0.2), [W200])
    assert tiny.panels == ()
    assert tiny.proved


def test_needs_a_size():
    with pytest.raises(ValueError, match="size"):
        fit_roof(roof_of(3.0, 1.5), [])


def bus(seed):
    """A 12 m bus with 15 obstacles."""
    draw = random.Random(seed)
    boxes = [
        (
            round(draw.uniform(0.2, 11.3), 2),
            round(draw.uniform(0.1, 1.9), 2),
            round(draw.uniform(0.1, 0.7), 2),
            round(draw.uniform(0.1, 0.4), 2),
        )
        for _ in range(15)
    ]
    return roof_of(12.0, 2.3, *boxes, margin_m=0.05, gap_m=0.02)


@pytest.mark.slow
@pytest.mark.parametrize("size", [W200, W100], ids=lambda size: size.part)
def test_a_bus_with_fifteen_obstacles_is_proved(size):
    layout = fit_roof(bus(1), [size])
    assert layout.proved
    assert len(layout.panels) >= 10


@pytest.mark.parametrize("name", SHIPPED)
def test_shipped_vans_fit_the_panels_that_they_claim(name):
    van = read_van(name)
    assert van.panels.count in fitting_counts(van)


@pytest.mark.parametrize("name", SHIPPED)
def test_every_count_has_a_layout_of_its_own(name):
    van = read_van(name)
    layouts = best_layouts(van)
    most = fit_roof(van.roof, [panel_size(van.panels)])
    counts = list(layouts)
    series = van.panels.series
    assert counts == list(range(series, len(most.panels) + 1, series))
    assert fitting_counts(van) == [0, *counts]
    for count, layout in layouts.items():
        assert len(layout.panels) == count
        assert layout.power_w == pytest.approx(count * van.panels.power_w)


def test_few_panels_keep_away_from_a_tall_box():
    box = {"name": "cooler", "x_m": 0.0, "y_m": 0.0, "length_m": 0.5, "width_m": 1.5}
    roof = {
        "length_m": 4.0,
        "width_m": 1.5,
        "margin_m": 0.0,
        "obstacles": [box | {"height_m": 0.4}],
    }
    van = read_van("weekender").model_copy(update={"roof": Roof.model_validate(roof)})
    one = best_layouts(van, [1])[1].panels[0]
    # Beyond the box and a panel's width of nothing.
    assert one.x_m > 0.55 + 2 * 0.71
    # Four take the whole length that is left between the box's clearance and the front.
    four = best_layouts(van)[4].panels
    assert max(panel.x_m + panel.length_m for panel in four) == pytest.approx(4.0)


def test_a_second_call_searches_no_more(monkeypatch):
    van = read_van("long-stayer")
    first = best_layouts(van)

    def searched(*_given, **_more):
        raise AssertionError("the layouts are kept")

    monkeypatch.setattr(roof_fit, "search", searched)
    assert best_layouts(van) == first


def test_no_roof_is_said():
    bare = read_van("weekender").model_copy(update={"roof": None})
    with pytest.raises(InputError, match=r"no \[roof\]"):
        fitting_counts(bare)
