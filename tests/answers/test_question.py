"""What `ask` and `Question.replace` take, what they write into the stay, and what they refuse."""

import dataclasses
from pathlib import Path

import numpy as np
import pvlib
import pytest

from solarsim.answers.question import ask
from solarsim.answers.roof import roof
from solarsim.answers.stay import stay
from solarsim.errors import InputError, PlaceError
from solarsim.inputs.files.toml import shipped_folder
from solarsim.inputs.files.van import read_van
from solarsim.inputs.profile import read_profile
from solarsim.weather.places import find_place

TMY3 = Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"
VAN = read_van("weekender")
NO_INVERTER = read_van("long-stayer").model_copy(update={"inverter": None})


def changed(table, **update):
    """The shipped van with one table changed and nothing checked."""
    return VAN.model_copy(update={table: getattr(VAN, table).model_copy(update=update)})


def one_of_each(question):
    """What the stay says of what the question says as well."""
    said = question.van.stay
    return said.place, said.profile, said.month, said.days


# --- one place, one profile, one month ---


def test_what_is_given_stands_in_the_stay():
    question = ask(VAN, place="Bergen, NO", profile="ski-trip", month=3, days=5)
    assert one_of_each(question) == ("Bergen, NO", "ski-trip", 3, 5)
    assert question.place == find_place("Bergen, NO")
    assert question.profile == read_profile("ski-trip")
    by_name = ask("weekender", place="Bergen, NO", profile="ski-trip", month=3, days=5)
    assert by_name.van == question.van


def test_a_record_and_a_weather_file_stand_in_the_stay_by_what_finds_them():
    bergen = find_place("Bergen, NO")
    ski = read_profile("ski-trip")
    question = ask(VAN, place=bergen, profile=ski)
    assert question.van.stay.profile == ski.profile.name
    found = find_place(question.van.stay.place)
    assert (found.latitude_deg, found.longitude_deg) == pytest.approx(
        (bergen.latitude_deg, bergen.longitude_deg), abs=1e-6
    )
    from_file = ask(VAN, weather=TMY3)
    found = find_place(from_file.van.stay.place)
    assert found.latitude_deg == pytest.approx(from_file.place.latitude_deg, abs=1e-6)


def test_settings_reach_a_record_as_they_reach_its_file():
    settings = ['battery.part="100 Ah AGM"', "battery.units=3", "stay.days=9", "cabin.people=3"]
    question = ask(VAN, profile=read_profile("weekend-couple"), settings=settings)
    by_name = ask("weekender", settings=settings)
    assert question.van.battery == by_name.van.battery
    assert question.van.battery.chemistry == "agm"
    assert question.profile == by_name.profile
    assert (question.profile.cabin.people, question.van.stay.days) == (3, 9)


@pytest.mark.parametrize("table", ["appliances.laptop", "appliances.0"])
def test_settings_reach_an_appliance_of_a_record(table):
    profile = read_profile("weekend-couple")
    names = [appliance.name for appliance in profile.appliances]
    path = table if table.endswith("0") else f"appliances.{names[1]}"
    setting = f"{path}.count=2"
    assert (
        ask(VAN, profile=profile, settings=[setting]).profile
        == ask("weekender", settings=[setting]).profile
    )


# --- records are checked like files ---


@pytest.mark.parametrize(
    ("van", "field"),
    [
        (changed("battery", units=-2), "battery.units"),
        (changed("stay", month=13), "stay.month"),
        (changed("stay", start_soc=float("nan")), "stay.start_soc"),
        (changed("panels", power_w=900.0), "panels"),
        (changed("panels", powerw=210.0), "panels.powerw"),
        (changed("van", system_voltage_v=24), ""),
        (VAN.model_copy(update={"battery": {"units": 2}}), "battery.chemistry"),
        (VAN.model_copy(update={"battery": None}), "battery"),
    ],
)
def test_a_changed_van_is_checked(van, field):
    with pytest.raises(InputError) as caught:
        ask(van)
    assert (caught.value.source, caught.value.field) == ("van", field)
    with pytest.raises(InputError):
        ask().replace(van=van)


def test_a_rating_that_the_datasheet_does_not_bear_out_is_told():
    with pytest.raises(InputError, match=r"power_w \(900\.0\) must agree with vmp_v x imp_a"):
        ask(changed("panels", power_w=900.0))


def test_a_changed_profile_is_checked():
    profile = read_profile("weekend-couple")
    worse = profile.appliances[0].model_copy(update={"power_w": -5.0})
    changes = [
        ({"appliances": (worse, *profile.appliances[1:])}, "appliances.0.power_w"),
        ({"cabin": profile.cabin.model_copy(update={"people": 99})}, "cabin.people"),
    ]
    for update, field in changes:
        with pytest.raises(InputError) as caught:
            ask(profile=profile.model_copy(update=update))
        assert (caught.value.source, caught.value.field) == ("profile", field)


def test_a_sound_change_is_taken():
    question = ask(changed("battery", units=np.int64(3)))
    assert question.van.battery.units == 3
    assert ask(VAN).van == VAN


# --- what is welcome, and what is refused ---


def test_paths_pairs_and_numpy_numbers_are_welcome():
    folder = shipped_folder("vans").parent
    question = ask(
        folder / "vans" / "weekender.toml",
        profile=folder / "loads" / "ski-trip.toml",
        place=(47.8, np.float64(13.05)),
        month=np.int8(4),
        days=np.int64(3),
        runs=np.int32(20),
        seed=np.uint8(3),
        follow_days=np.int64(9),
        settings=(np.str_("battery.units=3"),),
    )
    assert (question.place.latitude_deg, question.place.longitude_deg) == (47.8, 13.05)
    assert (question.van.stay.month, question.van.stay.days, question.runs) == (4, 3, 20)
    assert (question.seed, question.follow_days, question.van.battery.units) == (3, 9, 3)
    assert type(question.runs) is type(question.van.stay.month) is int


NAN = float("nan")
REFUSED = [
    *(("van", value) for value in (None, [1], 3, b"weekender")),
    *(("profile", value) for value in ([1], 3, b"ski-trip")),
    *(("place", value) for value in ([47.8, 13.0], (1.0,), (NAN, 2.0), ("a", "b"), 3.5, b"x")),
    *(("month", value) for value in (0, 13, 1.5, NAN, [3], "May", True)),
    *(("days", value) for value in (0, 366, 1.5, NAN, [3], "7")),
    *(("runs", value) for value in (0, 1.5, NAN, [3], "7", True)),
    *(("seed", value) for value in (-1, 2**63, None, 1.5, NAN, "7")),
    *(("follow_days", value) for value in (0, 366, None, 1.5, NAN, "7")),
    *(("settings", value) for value in (None, 3, "battery.units=3", [3])),
    *(("weather", value) for value in (3, [1], b"x")),
    *(("site_uncertainty", value) for value in (None, 1, "yes")),
]


@pytest.mark.parametrize(("name", "value"), REFUSED)
def test_what_cannot_be_used_is_named(name, value):
    with pytest.raises(InputError) as caught:
        ask(**{name: value})
    assert caught.value.field == name


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"latitude_deg": 95.0}, "latitude 95"),
        ({"latitude_deg": NAN}, "got"),
        ({"elevation_m": NAN}, "must be numbers"),
        ({"elevation_m": 9000.0}, "elevation_m"),
        ({"timezone": "Nowhere/None"}, "no such time zone"),
    ],
)
def test_a_place_by_record_is_checked(change, message):
    place = dataclasses.replace(find_place("Bergen, NO"), **change)
    with pytest.raises(InputError, match=message):
        ask(place=place)


# --- the same of something else ---


def test_replace_keeps_what_is_not_given():
    bergen = ask(place="Bergen, NO", month=3, days=5, runs=20, seed=4, follow_days=9)
    other = bergen.replace(van="long-stayer")
    assert other.van.van == read_van("long-stayer").van
    assert one_of_each(other) == one_of_each(bergen)
    assert other.climate is bergen.climate
    assert other.profile == bergen.profile
    assert (other.runs, other.seed, other.follow_days) == (20, 4, 9)


def test_replace_answers_as_ask_does():
    question = ask(month=3, runs=10)
    moved = question.replace(place="Lisbon", profile="ski-trip", month=7, days=4, settings=())
    asked = ask(place="Lisbon", profile="ski-trip", month=7, days=4, runs=10)
    assert (moved.van, moved.profile, moved.place) == (asked.van, asked.profile, asked.place)
    assert stay(moved).days == stay(asked).days


def test_replace_takes_settings_last_and_finds_what_they_name():
    question = ask(place="Bergen, NO", month=3)
    moved = question.replace(settings=["stay.place=Lisbon", "stay.profile=ski-trip"])
    assert moved.place == find_place("Lisbon")
    assert moved.profile == read_profile("ski-trip")
    assert moved.van.stay.month == 3
    assert question.replace(place=question.place).van == question.van


def test_a_month_takes_the_place_of_a_first_day():
    dated = ask(settings=["stay.start=2026-08-20"])
    moved = dated.replace(month=3)
    assert (moved.van.stay.month, moved.van.stay.start) == (3, None)
    assert dated.replace(days=3).van.stay.start == dated.van.stay.start
    with pytest.raises(InputError, match=r"stay\.start \(2026-05-01\) sets the dates"):
        dated.replace(month=3, settings=["stay.start=2026-05-01"])


def test_a_weather_file_keeps_its_place():
    question = ask(weather=TMY3)
    again = question.replace(month=7)
    assert again.series is question.series
    assert again.place == question.place
    with pytest.raises(InputError, match="has its own place"):
        question.replace(place="Bergen, NO")
    with pytest.raises(InputError, match="has its own place"):
        question.replace(settings=["stay.place=Bergen"])


def test_replace_checks_as_ask_does():
    question = ask()
    for name, value in (("month", 13), ("runs", 0), ("follow_days", 0), ("place", [1])):
        with pytest.raises(InputError) as caught:
            question.replace(**{name: value})
        assert caught.value.field == name
    with pytest.raises(PlaceError):
        question.replace(place="Xyzzyville")


# --- loads without an inverter ---


@pytest.mark.slow
def test_mains_loads_need_an_inverter_but_for_what_does_not_depend_on_them():
    with pytest.raises(InputError, match="AC loads need an"):
        ask(NO_INVERTER)
    with pytest.raises(InputError, match="AC loads need an"):
        ask("long-stayer").replace(van=NO_INVERTER)
    question = ask(NO_INVERTER, with_loads=False, runs=1)
    assert any("AC loads need" in warning for warning in roof(question).warnings)
    with pytest.raises(InputError, match="AC loads need an"):
        stay(question)
