"""What fits, why no more, and what each thing on the roof costs."""

from __future__ import annotations

import dataclasses

import pytest

from solarsim.answers.question import ask
from solarsim.answers.roof import roof
from solarsim.answers.simulation.roof_shade_months import shade_by_month
from solarsim.errors import InputError
from solarsim.inputs.files.van import read_van
from solarsim.inputs.panels import FurtherArray
from solarsim.inputs.parts import part_table, part_tables
from solarsim.inputs.roof import Roof
from solarsim.packing.fit import _by_count
from solarsim.packing.layout import panel_size


def van_with(roof_data, *settings):
    van = read_van("weekender", settings=settings)
    return van.model_copy(update={"roof": Roof.model_validate(roof_data)})


def box(name, x_m, y_m, length_m, width_m):
    return {
        "name": name,
        "x_m": x_m,
        "y_m": y_m,
        "length_m": length_m,
        "width_m": width_m,
        "clearance_m": 0.0,
    }


@pytest.fixture(scope="module")
def bus():
    """The shipped bus and what fits on it."""
    question = ask("long-stayer", runs=1)
    return question, roof(question)


def test_a_question_adds_nothing_but_the_shade(bus):
    question, asked = bus
    bare = roof(question.van)
    assert bare.shade_share_by_month is None
    assert all(cost.shade_wh_per_day is None for cost in bare.costs)
    nothing = {"shade_wh_per_day": None, "month_shade_wh_per_day": None, "move": None}
    costs = tuple(dataclasses.replace(cost, **nothing) for cost in asked.costs)
    unshaded = {"shade_share_by_month": None, "month": None, "panel_shade_share": {}}
    assert dataclasses.replace(asked, **unshaded, costs=costs) == bare


@pytest.mark.slow
def test_shade_is_that_of_the_tall_and_more_under_a_low_sun(bus):
    question, answer = bus
    months = answer.shade_share_by_month
    assert len(months) == 12
    # At 36 N the sun stands low in December and high in June.
    assert 0.0 < months[5] < months[11] < 0.5
    cooler, vent = (
        next(cost.shade_wh_per_day for cost in answer.costs if cost.name == name)
        for name in ("air cooler", "vent")
    )
    assert cooler > vent >= 0.0
    flat = tuple(o.model_copy(update={"height_m": 0.0}) for o in question.van.roof.obstacles)
    level = question.van.roof.model_copy(update={"obstacles": flat})
    van = question.van.model_copy(update={"roof": level})
    none = roof(dataclasses.replace(question, van=van))
    assert none.shade_share_by_month == (0.0,) * 12


def test_panels_lie_where_they_lose_far_less_than_in_the_simplest_rows(bus):
    question, answer = bus
    panels = question.van.panels
    count, lost = panels.count, answer.shade_share_by_month
    simple = dict(_by_count(question.van.roof, panel_size(panels), panels.series))[count]
    assert simple.power_w == answer.own_layout.power_w
    before, _ = shade_by_month(question, simple, simple)
    # The whole chain, with panels two by two in strings and real months.
    assert all(now < 0.6 * then for now, then in zip(lost, before.shade_share, strict=True))


def test_shade_is_left_out_for_other_parts():
    answer = roof(ask("weekender", runs=1), parts=["100 W rigid"])
    assert answer.shade_share_by_month is None


def test_the_shipped_weekender_by_hand():
    answer = roof(read_van("weekender"))
    # Ahead of the fan with its clearance, 0.85 to 3.35 m hold three panels crosswise, and a third
    # of a metre is left to keep off the fan: 3.35 - 3 x 0.71 - 2 x 0.02 = 1.18.
    assert [panel.x_m for panel in answer.layout.panels] == pytest.approx([1.18, 1.91, 2.64])
    assert answer.layout.power_w == 600.0
    assert answer.own_count == 2
    assert answer.own_layout is not None
    assert len(answer.own_layout.panels) == 2
    assert list(answer.by_count) == [1, 2, 3]
    assert answer.roof_m2 == pytest.approx(3.4 * 1.6)
    assert answer.free_m2 == pytest.approx(3.4 * 1.6 - 0.16)
    assert answer.panels_m2 == pytest.approx(3 * 1.49 * 0.71)
    assert answer.warnings == ()


def test_what_an_obstacle_costs():
    # A vent in the middle of a roof for two panels keeps both off, a knob in the corner neither.
    boxes = [box("vent", 0.65, 0.7, 0.1, 0.1), box("knob", 2.05, 0.0, 0.1, 0.1)]
    data = {"length_m": 2.2, "width_m": 1.42, "margin_m": 0.0, "gap_m": 0.0, "obstacles": boxes}
    answer = roof(van_with(data))
    assert answer.layout.panels == ()
    assert [(cost.name, cost.panels_gained, cost.gained_w) for cost in answer.costs] == [
        ("vent", 2, 400.0),
        ("knob", 0, 0.0),
    ]


def test_what_the_walkway_costs():
    data = {"length_m": 1.49, "width_m": 1.42, "margin_m": 0.0, "gap_m": 0.0, "walkway_m": 0.5}
    answer = roof(van_with(data | {"walkway": "right"}))
    assert len(answer.layout.panels) == 1
    assert [(cost.name, cost.panels_gained) for cost in answer.costs] == [("walkway", 1)]


def test_why_no_more_fit_is_measured():
    data = {"length_m": 2.8, "width_m": 0.8, "margin_m": 0.0, "gap_m": 0.0}
    answer = roof(van_with(data))
    assert len(answer.layout.panels) == 1
    free = answer.nearest_free
    assert free is not None
    assert free.length_m == pytest.approx(2.8 - 1.49)
    assert free.width_m == pytest.approx(0.8)
    assert "proved" in answer.reasons[0]
    assert "1.31 x 0.80 m" in answer.reasons[1]
    assert "0.18 m too short" in answer.reasons[1]
    assert "lengthwise (1.49 x 0.71 m)" in answer.reasons[1]


def test_nothing_free_is_said():
    data = {"length_m": 1.49, "width_m": 0.71, "margin_m": 0.0, "gap_m": 0.0}
    answer = roof(van_with(data))
    assert answer.nearest_free is None
    assert "nothing free" in answer.reasons[1]


def test_a_claim_that_does_not_fit_is_told():
    answer = roof(van_with({"length_m": 1.6, "width_m": 0.9}))
    assert answer.own_layout is None
    assert any("claims 2 panels, but 1 fit" in warning for warning in answer.warnings)


def test_half_a_string_is_told():
    answer = roof(read_van("long-stayer"))
    assert len(answer.layout.panels) == 7
    assert list(answer.by_count) == [2, 4, 6]
    assert any("whole strings of 2" in warning for warning in answer.warnings)


def test_other_panels_are_all_of_the_library_but_the_van_s():
    answer = roof(read_van("weekender"))
    assert {other.part for other in answer.others} == set(part_tables("panels")) - {"200 W rigid"}
    watts = [other.power_w for other in answer.others]
    assert watts == sorted(watts, reverse=True)
    for other in answer.others:
        assert other.power_w == other.count * part_tables("panels")[other.part]["power_w"]


@pytest.mark.slow
def test_mixed_parts_hold_at_least_what_one_of_them_does():
    van = read_van("long-stayer")
    both = roof(van, parts=["200 W rigid", "100 W rigid"])
    alone = [roof(van, parts=[part]).layout.power_w for part in ("200 W rigid", "100 W rigid")]
    assert both.layout.power_w >= max(alone)
    assert {panel.part for panel in both.layout.panels} == {"200 W rigid", "100 W rigid"}
    assert both.by_count == {}
    assert any("different sizes" in warning for warning in both.warnings)


def test_further_roof_arrays_are_said_to_be_left_out():
    more = {"name": "second row", "part": "100 W rigid", "count": 2}
    out = {"name": "suitcase", "kind": "ground", "part": "100 W rigid", "count": 1}
    van = read_van("weekender")
    arrays = tuple(
        FurtherArray.model_validate(part_table("panels", "100 W rigid") | one)
        for one in (more, out)
    )
    told = [w for w in roof(van.model_copy(update={"arrays": arrays})).warnings if "array" in w]
    assert len(told) == 1
    assert "'second row'" in told[0]
    assert "neither drawn nor" in told[0]
    assert not any("array" in warning for warning in roof(van).warnings)


def test_refusals():
    with pytest.raises(InputError, match="no such part"):
        roof(read_van("weekender"), parts=["200 W rigi"])
    bare = read_van("weekender").model_copy(update={"roof": None})
    with pytest.raises(InputError, match=r"no \[roof\]"):
        roof(bare)


@pytest.mark.slow
def test_what_a_move_gains_is_what_the_moved_obstacle_takes_less(bus):
    question, answer = bus
    cooler = next(cost for cost in answer.costs if cost.name == "air cooler")
    move = cooler.move
    assert move is not None
    assert cooler.shade_wh_per_day == pytest.approx(sum(cooler.month_shade_wh_per_day) / 12.0)
    assert move.gained_wh_per_day == pytest.approx(sum(move.month_gained_wh_per_day) / 12.0)
    boxes = tuple(
        o.model_copy(update={"x_m": move.x_m, "y_m": move.y_m}) if o.name == "air cooler" else o
        for o in question.van.roof.obstacles
    )
    place = question.van.roof.model_copy(update={"obstacles": boxes})
    # The panels stay where they lie now, and lie there still.
    moved = dataclasses.replace(question, van=question.van.model_copy(update={"roof": place}))
    after, _ = shade_by_month(moved, answer.own_layout, answer.own_layout)
    gained = after.unshaded_wh_per_day * (answer.shade_share_by_month - after.shade_share)
    assert gained == pytest.approx(move.month_gained_wh_per_day, rel=1e-6)
    assert gained.mean() > 0.1 * cooler.shade_wh_per_day


def test_the_plan_s_panels_carry_their_own_shade(bus):
    _, answer = bus
    assert answer.month == 5
    assert set(answer.panel_shade_share) == {answer.layout, answer.own_layout}
    for layout, shares in answer.panel_shade_share.items():
        assert len(shares) == len(layout.panels)
        assert all(len(row) == 12 for row in shares)
        # Next to the cooler more is lost than far from it.
        near, far = (
            sum(shares[pick(range(len(shares)), key=lambda i: gap(layout.panels[i]))])
            for pick in (min, max)
        )
        assert near > 2.0 * far


def gap(panel):
    """Way along the van from a panel to the air cooler of the shipped bus."""
    return max(4.6 - panel.x_m - panel.length_m, panel.x_m - 5.4)
