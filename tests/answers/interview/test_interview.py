"""From answers to a profile: what follows from which, and what is asked next."""

from __future__ import annotations

import pytest

from solarsim.answers.interview.interview import PET_CAUTION, interview
from solarsim.answers.interview.questions import (
    QUESTIONS,
    allowed_choices,
    answer_text,
    typed_answer,
)
from solarsim.errors import InputError
from solarsim.inputs.interview import ClientAnswers, interview_from_data
from solarsim.inputs.parts import part_tables


def asked(**given):
    return interview(interview_from_data({"answers": {"people": 2} | given}, source=""))


def names(key, **given):
    return [one.name for one in asked(**given).appliances if one.key == key]


def test_there_are_twelve_questions_and_every_answer_belongs_to_one():
    assert len(QUESTIONS) == 12
    keys = [key for one in QUESTIONS for key in one.keys]
    assert sorted([*keys, "name"]) == sorted(ClientAnswers.model_fields)


@pytest.mark.parametrize(
    ("key", "choice"),
    [(key, choice) for key in ClientAnswers.model_fields for choice in allowed_choices(key)],
)
def test_every_choice_makes_a_profile_and_says_itself_in_words(key, choice):
    several = isinstance(ClientAnswers.model_fields[key].default, tuple)
    answer = asked(**{key: [choice] if several else choice})
    assert answer.profile.appliances
    assert answer_text(key, choice)
    for one in answer.appliances:
        assert one.source
        assert one.key in ClientAnswers.model_fields
    # As in a file: a part's numbers are the library's, with their source.
    for one in answer.appliances:
        if "part" in one.table:
            assert one.source == part_tables("appliances")[one.table["part"]]["source"]


def test_each_appliance_goes_with_its_answer():
    assert names("fridge", fridge="none") == []
    assert names("fridge", fridge="medium and freezer") == [
        "compressor fridge 65 L",
        "compressor freezer 40 L",
    ]
    assert names("cooking", cooking=["gas"]) == names("cooking", cooking=[]) == []
    assert names("cooking", cooking=["kettle", "gas"]) == ["kettle"]
    assert names("internet", internet="phone") == []
    assert names("heater", heater="stove") == ["stove without electricity"]
    assert names("water", water="sink") == ["water pump"]
    assert names("extras", extras=["e-bike"]) == ["e-bike charger"]


def test_a_van_without_heater_heats_nothing_and_a_stove_takes_no_electricity():
    assert asked(heater="none").profile.cabin.heater_set_point_c is None
    (stove,) = [a for a in asked(heater="stove").profile.appliances if a.response == "heater"]
    assert (stove.power_w, stove.glow_w, stove.standby_w) == (0.0, 0.0, 0.0)


def test_everyone_works_at_a_laptop_of_their_own():
    one, all_three = (
        next(a for a in asked(people=3, work=work).profile.appliances if a.name == "laptop")
        for work in ("one works", "everyone works")
    )
    assert (one.count, all_three.count) == (1, 3)
    assert one.use_h == all_three.use_h == 7.0


def test_what_people_use_grows_with_them_and_what_they_share_does_not():
    two, five = (
        {a.name: a.power_w * a.count * a.use_h for a in asked(people=n).profile.appliances}
        for n in (2, 5)
    )
    for name in ("USB charging", "water pump", "shower light"):
        assert five[name] == pytest.approx(2.5 * two[name])
    assert five["LED lights, dimmable"] == two["LED lights, dimmable"]


def test_an_animal_left_alone_keeps_the_heater_on_and_brings_its_caution():
    away = asked(pets="none")
    alone = asked(pets="alone by day")
    heater = {
        one: next(a for a in one.profile.appliances if a.response == "heater").window_h
        for one in (away, alone)
    }
    assert heater[away] < 24.0 == heater[alone]
    assert alone.cautions == (PET_CAUTION,)
    assert "circulation fan" in names("pets", pets="alone by day")


def test_a_medical_device_marks_the_profile():
    answer = asked(medical=["breathing device", "medicine fridge"])
    assert answer.profile.medical == ("breathing device", "medicine fridge")
    running = {a.name: a for a in answer.profile.appliances}
    assert set(answer.profile.medical) <= set(running)
    assert running["medicine fridge"].set_point_c == 5.0
    assert "never rely on this alone" in answer.cautions[0]
    assert asked().profile.medical == ()


def test_the_hardest_month_comes_first_on_either_half_of_the_earth():
    assert asked(months=[6, 11, 1, 12, 7]).months == (12, 1, 11, 7, 6)
    south = asked(months=[6, 12, 7, 5], place="-43.53, 172.63")
    assert south.months == (6, 7, 5, 12)


def test_driving_and_plugging_in_are_said_to_the_van():
    burnt = ("fuel.heat=diesel", "fuel.hot_water=diesel", "fuel.cooking=propane")
    assert asked().settings == burnt
    assert asked(heater="none", cooking=[]).settings == ()
    # Where the engine runs, it warms the showers.
    assert asked(moves_every_days=3, plugs_in_every_days=1).settings == (
        "fuel.heat=diesel",
        "fuel.cooking=propane",
        "alternator.drive_h=1",
        "alternator.every_days=3",
        "shore.plugged_h=8",
        "shore.every_days=1",
    )
    said = " ".join(asked(moves_every_days=3).notes)
    assert "Driven for an hour every 3 days" in said
    assert "Never plugged in" in said


def test_what_was_not_answered_is_named():
    answer = asked(fridge="small", heater="none")
    assert "fridge" not in answer.not_answered
    assert "warmth" not in answer.not_answered
    assert {"months", "cooking", "medical"} <= set(answer.not_answered)


def test_what_needs_mains_sockets_is_said():
    assert "an inverter in the van: kettle" in " ".join(asked(cooking=["kettle"]).notes)
    assert "inverter" not in " ".join(asked().notes)


def test_an_unknown_place_is_refused():
    with pytest.raises(InputError, match="Nowhereville"):
        asked(place="Nowhereville")


@pytest.mark.parametrize(
    ("key", "text", "value"),
    [
        ("people", " 3 ", 3),
        ("months", "10-2", (10, 11, 12, 1, 2)),
        ("months", "5", (5,)),
        ("cooking", "none", ()),
        ("cooking", "2, gas", ("induction", "gas")),
        ("inside", "ALL DAY", "all day"),
        ("place", "Bergen, NO", "Bergen, NO"),
        ("fridge", "", None),
    ],
)
def test_answers_are_typed_by_word_or_number(key, text, value):
    assert typed_answer(key, text) == value


@pytest.mark.parametrize(
    ("key", "text", "said"),
    [
        ("people", "two", "whole number"),
        ("people", "0", "people"),
        ("people", "1_0", "whole number"),
        ("people", "9" * 5000, "whole number"),
        ("months", "13", "months"),
        ("months", "0-3", "months are 1 to 12"),
        ("months", "none", "whole number"),
        ("fridge", "6", "choose of 1 none, 2 small"),
        ("fridge", "1, 2", "one answer alone"),
        ("cooking", "1, 1", "twice"),
        ("cooking", ",", "choose of"),
        ("place", "x" * 300, "place"),
    ],
)
def test_what_was_mistyped_is_refused_in_one_line(key, text, said):
    with pytest.raises(InputError) as refused:
        typed_answer(key, text)
    assert said in str(refused.value)
