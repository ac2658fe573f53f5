"""The roof's record: rectangle, template, outline, and what is refused."""

from __future__ import annotations

import pytest

from solarsim.errors import InputError
from solarsim.inputs.base import parse_record
from solarsim.inputs.files.van import van_from_data
from solarsim.inputs.roof import ROOF_TEMPLATES, Roof

FAN = {"name": "fan", "x_m": 0.4, "y_m": 0.6, "length_m": 0.4, "width_m": 0.4}
SQUARE = [[0, 0], [2, 0], [2, 1.5], [0, 1.5]]


def read(**data):
    return parse_record(Roof, data, source="van.toml")


@pytest.mark.parametrize("name", ROOF_TEMPLATES)
def test_a_template_gives_the_size(name):
    roof = read(template=name)
    assert (roof.length_m, roof.width_m) == ROOF_TEMPLATES[name]
    # A builder's own measure beats it.
    assert read(template=name, width_m=1.55).width_m == 1.55
    assert read(template=name, width_m=1.55).length_m == roof.length_m


def test_an_outline_gives_the_size():
    roof = read(outline=SQUARE)
    assert (roof.length_m, roof.width_m) == (2.0, 1.5)
    assert roof.corners_m == tuple((float(x), float(y)) for x, y in SQUARE)
    assert read(length_m=2.0, width_m=1.5).corners_m == roof.corners_m
    assert read(outline=[{"x_m": x, "y_m": y} for x, y in SQUARE]) == roof


def test_feet_and_inches_reach_every_length():
    fan = FAN | {"x_m": "1ft", "clearance_m": "2 in"}
    roof = read(length_m="11ft 2in", width_m="5' 3\"", margin_m="5 cm", obstacles=[fan])
    assert roof.length_m == pytest.approx(3.4036)
    assert roof.width_m == pytest.approx(1.6002)
    assert roof.margin_m == 0.05
    assert roof.obstacles[0].x_m == pytest.approx(0.3048)
    assert roof.obstacles[0].clearance_m == pytest.approx(0.0508)
    corners = read(outline=[[0, 0], ["10ft", 0], ["10ft", "5ft"], [0, "5ft"]])
    assert corners.length_m == pytest.approx(3.048)


def test_a_panel_s_size_and_a_setting_too():
    data = {
        "van": {"name": "x"},
        "panels": {"part": "200 W rigid", "length_m": "58.7 in"},
        "battery": {"part": "100 Ah LFP"},
    }
    van = van_from_data(data, source="van.toml", settings=["panels.width_m=28in"])
    assert van.panels.length_m == pytest.approx(58.7 * 0.0254)
    assert van.panels.width_m == pytest.approx(28 * 0.0254)


def test_a_record_reads_its_own_dump():
    for roof in (read(template="long van", obstacles=[FAN]), read(outline=SQUARE, walkway_m=0.3)):
        assert Roof.model_validate(roof.model_dump()) == roof
        assert hash(Roof.model_validate(roof.model_dump())) == hash(roof)


@pytest.mark.parametrize(
    ("walkway", "strip"), [("left", (0.0, 0.4)), ("middle", (0.6, 1.0)), ("right", (1.2, 1.6))]
)
def test_where_the_walkway_runs(walkway, strip):
    roof = read(length_m=3.0, width_m=1.6, walkway_m=0.4, walkway=walkway)
    assert roof.walkway_y_m == pytest.approx(strip)
    assert read(length_m=3.0, width_m=1.6).walkway_y_m is None


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ({"length_m": 3.0}, ["width_m", "required"]),
        ({"template": "medium vam"}, ["template", "'medium vam'", "'medium van'"]),
        ({"template": "long van", "outline": SQUARE}, ["template or an outline"]),
        ({"length_m": "3,4 m", "width_m": 1.6}, ["length_m", "3,4 m", "11ft 2in"]),
        ({"length_m": 3.0, "width_m": 1.6, "margin_m": -0.1}, ["margin_m", "-0.1", "0"]),
        ({"outline": SQUARE, "length_m": 3.0}, ["length_m (3)", "outline's (2)"]),
        ({"outline": SQUARE[1:3]}, ["three corners"]),
        ({"outline": [[0, 0], [2, 1.5], [2, 0], [0, 1.5]]}, ["crosses itself"]),
        ({"outline": [[0, 0], [0, 0], [2, 0], [2, 1]]}, ["twice"]),
        ({"outline": [[0, 0], [1, 0], [2, 0]]}, ["outline"]),
        ({"outline": [[0, 0, 1], [2, 0], [2, 1]]}, ["outline.0", "[x, y]"]),
        ({"outline": [[0, 0], ["2 yards", 0], [2, 1]]}, ["outline.1", "2 yards"]),
        ({"length_m": 3.0, "width_m": 1.6, "obstacles": [FAN | {"x_m": 3.5}]}, ["'fan'", "3.5"]),
        ({"length_m": 3.0, "width_m": 1.6, "walkway_m": 1.7}, ["walkway_m", "1.7", "1.6"]),
        ({"length_m": 3.0, "width_m": 1.6, "walkway": "centre"}, ["walkway", "'middle'"]),
        ({"length_m": 3.0, "width_m": 1.6, "margn_m": 0.1}, ["margn_m", "'margin_m'"]),
    ],
)
def test_refused(data, words):
    with pytest.raises(InputError) as caught:
        read(**data)
    message = str(caught.value)
    assert message.startswith("van.toml: ")
    for word in words:
        assert word in message, (word, message)
