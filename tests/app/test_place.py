"""What the place's components send back, and the small map."""

from __future__ import annotations

import random

import pytest

from solarsim.app import place
from solarsim.app.place import spot_of, text_of
from solarsim.app.place.small_map import LEVELS, map_data
from solarsim.errors import InputError
from tests.app.conftest import take

ODD = [None, True, "1", "", [], {}, float("nan"), float("inf"), -1e400, 1e308, 10**400, 91, -541.0]


def test_text_is_bounded_and_on_one_line():
    assert text_of("Salz\nburg\0") == "Salz burg"
    assert text_of("\ud800x") == "?x"
    for value in (*ODD, "x" * 101):
        assert len(text_of(value)) <= 100
        assert isinstance(text_of(value), str)


def test_a_spot_is_what_can_be_typed():
    assert spot_of([47.8, 13.05]) == "47.80, 13.05"
    assert spot_of([-33, 190]) == "-33.00, -170.00"


def test_anything_else_is_one_line():
    chance = random.Random(1)
    values = [*ODD, [1], [1, 2, 3], {"0": 1, "1": 2}]
    values += [[chance.choice(ODD), chance.choice([*ODD, 5.0])] for _ in range(200)]
    for value in values:
        with pytest.raises(InputError, match="got no spot on the map"):
            spot_of(value)


@pytest.mark.slow
def test_a_click_and_the_levels_are_taken_within_bounds(app):
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(place, "_MAP_KEY", "sent")
        for by in (1, 1, 1, 1, 1, 5, "1", None, True):
            app.session_state["sent"] = {"zoom": by}
            take(app, place._zoom)
        assert app.session_state["place_level"] == len(LEVELS) - 1
        app.session_state["sent"] = {"spot": [60.39, 5.32]}
        take(app, place._take_spot)
        app.session_state["sent"] = {"spot": ["a", 5.32]}
        take(app, place._take_spot)
    assert app.session_state["notices"][-1].text == "the map: got no spot on the map"
    app.run()
    assert app.text_input(key="in_stay.place").value == "60.39, 5.32"
    assert app.session_state["design"].van.stay.place == "60.39, 5.32"


@pytest.mark.parametrize("where", [(47.8, 13.05), (-17.8, 178.0), (71.5, -179.9)])
@pytest.mark.parametrize("level", [2, *(pytest.param(n, marks=pytest.mark.slow) for n in (1, 3))])
def test_the_place_lies_in_the_map_s_middle(where, level):
    found = map_data(*where, level)
    x, y = found["here"]
    assert (x, y) == pytest.approx((found["width"] / 2, found["height"] / 2), abs=0.2)
    north = found["north"] - y / found["per_deg"]
    assert north == pytest.approx(where[0], abs=0.01)
    assert set(found["coast"] + found["border"]) <= set("ML0123456789.- ")
    for town in found["towns"]:
        assert 0 <= town["x"] <= found["width"]
        assert 0 <= town["y"] <= found["height"]


@pytest.mark.slow
def test_the_whole_world_is_one_of_the_levels():
    found = map_data(47.8, 13.05, 0)
    assert found["furthest"]
    assert found["here"][0] == pytest.approx(found["width"] * (180.0 + 13.05) / 360.0, abs=0.2)
    assert len(found["coast"]) > 10_000
