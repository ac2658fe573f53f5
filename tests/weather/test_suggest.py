"""Towns while their names are typed."""

from __future__ import annotations

import random

import pytest

from solarsim.errors import PlaceError
from solarsim.weather.outlines import Box
from solarsim.weather.places import find_place, suggest_places
from solarsim.weather.towns import towns_in

WORLD = Box(-90.0, -180.0, 90.0, 180.0)


@pytest.mark.parametrize(
    ("text", "choice"),
    [
        ("salz", "Salzburg, AT"),
        ("münch", "Munich, DE"),
        ("моск", "Moscow, RU"),
        ("bath", "Bath, ENG, GB"),
        ("portland, or", "Portland, OR, US"),
        ("portland, maine", "Portland, ME, US"),
        ("SALZBURG, aus", "Salzburg, AT"),
    ],
)
def test_the_likeliest_stands_first(text, choice):
    assert suggest_places(text)[0].choice == choice


@pytest.mark.parametrize(
    "text", ["", "s", " ", ",", "47.8, 13.05", "qqqqq", "\0\0", "|", "\n\n", "é" * 99]
)
def test_nothing_is_offered_for_what_begins_no_name(text):
    assert suggest_places(text) == ()


def test_words_say_where_a_town_lies():
    assert suggest_places("portland, o")[0].words.startswith("Portland, OR, United States, 65")


def test_as_many_as_asked_for():
    assert len(suggest_places("san", most=3)) == 3
    assert len(suggest_places("san")) == 8


@pytest.mark.slow
def test_what_is_offered_finds_the_town_or_lets_it_be_chosen():
    towns = random.Random(1).sample(towns_in(WORLD), 40)
    known = {(one.name, f"{one.population:,}"): one for one in towns_in(WORLD)}
    looked_at, ambiguous = 0, []
    for town in towns:
        for offered in suggest_places(town.name[:6]):
            name, population = offered.words.split(", ")[0], offered.words.split(", ")[-1]
            meant = known[name, population.removesuffix(" people")]
            try:
                found = find_place(offered.choice)
            except PlaceError as error:
                ambiguous += [error.choices]
                continue
            looked_at += 1
            where = (meant.latitude_deg, meant.longitude_deg)
            assert (found.latitude_deg, found.longitude_deg) == pytest.approx(where, abs=0.006)
    assert looked_at > 100
    # Then the page asks which one is meant.
    assert all(ambiguous)
    assert len(ambiguous) < 0.05 * looked_at
