"""The plan is to scale, numbers the panels and names the obstacles."""

from __future__ import annotations

import dataclasses
import re
import struct
import xml.etree.ElementTree as ET

import pytest

from solarsim.answers.question import ask
from solarsim.answers.roof import roof
from solarsim.inputs.files.van import read_van
from solarsim.inputs.panels import FurtherArray
from solarsim.inputs.parts import part_table
from solarsim.inputs.percent import percent
from solarsim.inputs.roof import Roof
from solarsim.present.roof.plan import roof_figure, roof_plan_bytes
from solarsim.present.roof.text import roof_headline


@pytest.fixture(scope="module")
def answer():
    van = read_van("long-stayer")
    walked = van.roof.model_dump() | {"walkway_m": 0.3, "walkway": "right"}
    return roof(van.model_copy(update={"roof": Roof.model_validate(walked)}))


@pytest.fixture(scope="module")
def figure(answer):
    return roof_figure(answer)


def solid(figure):
    return [shape for shape in figure.layout.shapes if shape.fillcolor is not None]


def test_every_box_is_drawn_where_it_lies(answer, figure):
    drawn = {shape.name: (shape.x0, shape.y0, shape.x1, shape.y1) for shape in solid(figure)}
    for number, panel in enumerate(answer.layout.panels, start=1):
        ends = panel.x_m + panel.length_m, panel.y_m + panel.width_m
        assert drawn[str(number)] == (panel.x_m, panel.y_m, *ends)
    for obstacle in answer.roof.obstacles:
        ends = obstacle.x_m + obstacle.length_m, obstacle.y_m + obstacle.width_m
        assert drawn[obstacle.name] == (obstacle.x_m, obstacle.y_m, *ends)
    start, end = answer.roof.walkway_y_m
    assert drawn["walkway"][1::2] == pytest.approx((start, end))
    assert len(drawn) == len(answer.layout.panels) + len(answer.roof.obstacles) + 1


def test_labels_stand_in_the_middle_of_their_boxes(figure):
    words = next(trace for trace in figure.data if trace.mode == "text")
    middles = {
        shape.name: ((shape.x0 + shape.x1) / 2, (shape.y0 + shape.y1) / 2)
        for shape in solid(figure)
    }
    for text, x, y in zip(words.text, words.x, words.y, strict=True):
        assert (x, y) == pytest.approx(middles[text])


def test_arrays_that_are_not_drawn_are_named_below(answer):
    more = part_table("panels", "100 W rigid") | {"name": "rear", "count": 2}
    arrays = (
        FurtherArray.model_validate(more),
        FurtherArray.model_validate(more | {"name": "suitcase", "kind": "ground"}),
    )
    van = answer.van.model_copy(update={"arrays": arrays})
    below = roof_figure(dataclasses.replace(answer, van=van)).layout.xaxis.title.text
    assert below.endswith("not drawn: 200 W in further arrays")
    assert "drawn" not in roof_figure(answer).layout.xaxis.title.text


def test_it_is_to_scale_with_its_dimensions_and_the_front_named(answer, figure):
    assert figure.layout.yaxis.scaleanchor == "x"
    # The left side is on top where the front is to the right.
    assert figure.layout.yaxis.range[0] > figure.layout.yaxis.range[1]
    texts = {note.text for note in figure.layout.annotations}
    assert {f"{answer.roof.length_m:.2f} m", f"{answer.roof.width_m:.2f} m", "front"} <= texts


def test_panels_and_obstacles_differ_by_more_than_colour(figure):
    labels = [shape.name for shape in solid(figure)]
    panels = [label for label in labels if label.isdecimal()]
    assert panels == [str(number) for number in range(1, len(panels) + 1)]
    assert all(not label.isdecimal() for label in labels[1 + len(panels) :])


def test_svg_is_xml_to_scale_and_the_same_each_time(answer):
    content = roof_plan_bytes(answer, ".svg")
    assert roof_plan_bytes(answer, ".svg") == content
    space = "{http://www.w3.org/2000/svg}"
    boxes = []
    for path in ET.fromstring(content).iter(f"{space}path"):
        points = re.findall(r"[ML] (-?[\d.]+) (-?[\d.]+)", path.get("d", ""))
        xs, ys = ({round(float(point[axis]), 2) for point in points} for axis in (0, 1))
        if len(xs) == len(ys) == 2:
            boxes.append(((max(xs) - min(xs)), (max(ys) - min(ys))))
    roof_box = answer.roof.length_m / answer.roof.width_m
    panel = answer.layout.panels[0]
    for ratio in (roof_box, panel.length_m / panel.width_m):
        assert any(wide / high == pytest.approx(ratio, rel=2e-3) for wide, high in boxes)


def test_png_and_html(answer):
    png = roof_plan_bytes(answer, ".png")
    width, height = struct.unpack(">II", png[16:24])
    assert width > 800
    assert height > 300
    page = roof_plan_bytes(answer, ".html").decode()
    assert "Plotly.newPlot" in page
    assert roof_headline(answer).split(":")[1] in page


def test_a_name_is_no_markup_and_no_formula():
    van = read_van("weekender")
    fan = van.roof.obstacles[0].model_copy(update={"name": "<b>$x_1$</b> fan" + "y" * 40})
    evil = van.model_copy(update={"roof": van.roof.model_copy(update={"obstacles": (fan,)})})
    answer = roof(evil)
    words = next(trace for trace in roof_figure(answer).data if trace.mode == "text")
    assert not any("<" in text for text in (*words.text, *words.hovertext))
    assert b"<b>" not in roof_plan_bytes(answer, ".svg").split(b"</metadata>")[-1]


def test_a_roof_that_holds_nothing_is_drawn():
    van = read_van("weekender", settings=["roof.length_m=0.9"])
    answer = roof(van)
    assert roof_headline(answer).startswith("No 200 W rigid")
    assert roof_plan_bytes(answer, ".svg")
    assert len(solid(roof_figure(answer))) == 1


@pytest.mark.slow
def test_shade_is_written_on_each_panel_and_darkens_it():
    answer = roof(ask("long-stayer", runs=1))
    figure = roof_figure(answer)
    words = next(trace for trace in figure.data if trace.mode == "text")
    shares = [row[answer.month - 1] for row in answer.panel_shade_share[answer.layout]]
    expected = [f"{at}<br>{percent(share)}" for at, share in enumerate(shares, start=1)]
    assert list(words.text[: len(shares)]) == expected
    fills = {shape.name: shape.fillcolor for shape in solid(figure)}
    light = [sum(int(fills[str(at + 1)][i : i + 2], 16) for i in (1, 3, 5)) for at in range(7)]
    order = sorted(range(7), key=lambda at: shares[at])
    assert [light[at] for at in order] == sorted(light, reverse=True)
    assert light[order[0]] > light[order[-1]]
    assert "in May" in figure.layout.xaxis.title.text
    assert b"in May" in roof_plan_bytes(answer, ".svg")
