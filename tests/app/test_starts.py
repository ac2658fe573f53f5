"""Every class to begin with passes our own checks, wherever it stands."""

from __future__ import annotations

import dataclasses

import pytest

from solarsim.answers.question import ask
from solarsim.answers.roof import roof
from solarsim.app.draft import draft_key, example
from solarsim.app.starts import STARTS, start_from, start_line
from solarsim.electrical.check import check_van
from solarsim.weather.places import find_place


def said_of(name, place):
    found = start_from(name, example())
    stay = found.van.stay.model_copy(update={"place": place})
    van = found.van.model_copy(update={"stay": stay})
    check = check_van(van, found.profile, find_place(place))
    return [one.message for one in check.findings if one.severity != "note"]


@pytest.mark.parametrize("name", STARTS)
def test_it_passes_the_electrical_check_and_the_roof_s(name):
    # That panels fit is among what the check looks at.
    assert said_of(name, "Salzburg, AT") == []


@pytest.mark.slow
@pytest.mark.parametrize("name", STARTS)
def test_it_passes_in_the_cold_and_the_heat_and_by_other_rules(name):
    for place in ("Fairbanks, AK, US", "Phoenix, AZ, US", "Tromsø, NO", "Sydney, AU"):
        assert said_of(name, place) == [], place
    found = start_from(name, example())
    answer = roof(ask(found.van, profile=found.profile, runs=1))
    assert answer.own_layout is not None
    assert answer.own_count == found.van.panels.count


def test_place_dates_and_what_hides_the_sky_stay():
    stay = example().van.stay.model_copy(update={"place": "Bergen, NO", "month": 11, "days": 3})
    design = dataclasses.replace(example(), van=example().van.model_copy(update={"stay": stay}))
    found = start_from("Full bus", design)
    assert (found.van.stay.place, found.van.stay.month, found.van.stay.days) == (
        "Bergen, NO",
        11,
        3,
    )
    assert found.van.stay.profile == "remote-workers"
    assert found.profile.profile.name == "Remote workers"
    assert (found.van.van.name, found.van.battery.part) == ("Full bus", "100 Ah LFP 48 V")


def test_classes_differ_and_say_what_they_bring():
    keys = {draft_key(start_from(name, example())) for name in STARTS}
    assert len(keys) == len(STARTS)
    assert start_line("Compact van") == (
        "Roof 2.3 x 1.3 m, 1 x 200 W rigid, 1 x 100 Ah LFP, crew: Light"
    )
