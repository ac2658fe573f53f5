"""Fields, changes, appliances, differences: the steps between widgets and designs."""

from __future__ import annotations

import dataclasses

import pytest

from solarsim.app.answering import seasons_answer, stay_answer
from solarsim.app.differences import differences, same_weather
from solarsim.app.draft import Draft, draft_key, example, shipped_profile
from solarsim.app.widgets.appliance_table import (
    OWN_APPLIANCE,
    appliance_frame,
    library,
    with_appliance,
    with_edits,
)
from solarsim.app.widgets.building import built
from solarsim.app.widgets.field import limits_of, value_of
from solarsim.app.widgets.fields import FIELDS, GROUPS, field_label, group_of
from solarsim.errors import InputError
from solarsim.inputs.crew import EACH_FOR_THEMSELVES
from solarsim.inputs.files.van import read_van

BUS = Draft(read_van("long-stayer"), shipped_profile("remote-workers"))


def test_every_field_has_words_and_a_place():
    assert len({field.path for field in FIELDS}) == len(FIELDS)
    for field in FIELDS:
        assert field.group in GROUPS
        assert len(field.help) > 20
        limits_of(field.path)


def test_limits_are_the_records_own():
    assert limits_of("battery.units").least == 1
    assert limits_of("battery.units").most == 96
    assert limits_of("van.system_voltage_v").choices == (12, 24, 48)
    assert limits_of("panels.azimuth_deg").most == 360.0
    assert limits_of("inverter.always_on").kind is bool


@pytest.mark.parametrize(
    ("text", "group"),
    [
        ("stay.days", "where"),
        ("inverter", "bank"),
        ("panels.vmp_v x panels.series (20.0 V) is below", "roof"),
        ("appliances.3.power_w", "people"),
        ("nothing that is known", None),
    ],
)
def test_groups_of_messages(text, group):
    assert group_of(text) == group


def test_changes_make_the_next_design():
    changes = {"panels.count": 3, "battery.units": 4, "cabin.people": 3, "stay.place": "Bergen, NO"}
    found, problems = built(example(), changes, None, None)
    assert not problems
    assert (found.van.panels.count, found.van.battery.units) == (3, 4)
    assert found.profile.cabin.people == 3
    assert found.van.stay.place == "Bergen, NO"


@pytest.mark.parametrize(
    ("changes", "group", "words"),
    [
        ({"battery.units": 0}, "bank", "Batteries: got 0"),
        ({"van.system_voltage_v": 24}, "roof", "more panels in series"),
        ({"van.system_voltage_v": 24, "panels.series": 2, "battery.units": 3}, "bank", "multiple"),
        ({"stay.place": "Springfield"}, "where", "choose by name"),
        ({"stay.place": "0, -30"}, "where", "within 100 km"),
        ({"stay.days": 200}, "where", "up to 120 days"),
        ({"cabin.heater_set_point_c": None}, "people", "heater"),
        ({"stay.target_chance": 1.0}, "where", "Chance wanted, %: got 1.0"),
        ({"panels.count": 3, "panels.series": 2}, "roof", "multiple of series"),
    ],
)
def test_what_does_not_fit_is_said_in_its_group_and_not_taken(changes, group, words):
    found, problems = built(example(), changes, None, None)
    assert any(value_of(found, path) != value for path, value in changes.items())
    assert len(changes) > 1 or found == example()
    assert [problem.group for problem in problems] == [group]
    assert words in problems[0].message
    assert "input:" not in problems[0].message


def test_two_faults_are_both_said():
    _, problems = built(example(), {"battery.units": 0, "cabin.people": 99}, None, None)
    assert [problem.group for problem in problems] == ["bank", "people"]


def test_a_fault_found_early_hides_none_found_late():
    changes = {"van.system_voltage_v": 48, "stay.place": "Xyzzy"}
    _, problems = built(example(), changes, None, None)
    assert [problem.group for problem in problems] == ["bank", "where"]
    assert "Xyzzy" in problems[1].message


def test_one_refused_change_holds_no_other_back():
    changes = {"panels.count": 3, "stay.days": 500, "cabin.people": 4, "stay.place": "Xyzzy"}
    found, problems = built(example(), changes, None, None)
    assert found.van.panels.count == 3
    assert found.profile.cabin.people == 4
    assert (found.van.stay.days, found.van.stay.place) == (7, example().van.stay.place)
    assert {problem.group for problem in problems} == {"where"}


def test_changes_that_fit_only_together_are_taken_whatever_their_order():
    changes = {"van.system_voltage_v": 24, "stay.days": 500, "panels.series": 2}
    found, problems = built(example(), changes, None, None)
    assert (found.van.van.system_voltage_v, found.van.panels.series) == (24, 2)
    assert len(problems) == 1


@pytest.mark.parametrize("people", [1, 3, 4, 6, 12])
def test_what_each_uses_for_themselves_goes_with_the_people(people):
    before = example().profile
    found, problems = built(example(), {"cabin.people": people}, None, None)
    assert not problems
    for old, new in zip(before.appliances, found.profile.appliances, strict=True):
        share = people / 2 if old.part in EACH_FOR_THEMSELVES else 1.0
        assert new.use_h * new.count == pytest.approx(share * old.use_h * old.count), old.name
    back, _ = built(found, {"cabin.people": 2}, None, None)
    for old, new in zip(before.appliances, back.profile.appliances, strict=True):
        assert new.use_h * new.count == pytest.approx(old.use_h * old.count)


def test_every_part_that_scales_is_in_the_library():
    assert set(library()) >= EACH_FOR_THEMSELVES


def test_ac_loads_need_an_inverter():
    found, problems = built(BUS, {"inverter": None}, None, None)
    assert found == BUS
    assert problems[0].group == "bank"
    assert "AC loads" in problems[0].message


def test_equal_designs_share_a_key_and_others_do_not():
    changed, _ = built(example(), {"battery.units": 3}, None, None)
    assert draft_key(example()) == draft_key(example())
    keys = {draft_key(each) for each in (example(), changed, BUS)}
    assert len(keys) == 3


# --- appliances ---


def test_rows_are_the_profile_s():
    profile = shipped_profile("weekend-couple")
    frame = appliance_frame(profile)
    assert list(frame["appliance"]) == [each.name for each in profile.appliances]
    fridge = frame[frame["appliance"] == "compressor fridge 65 L"]
    assert fridge["h a day"].isna().all()
    heater_pump = frame[frame["appliance"] == "heat-exchange water heater pump"]
    assert list(heater_pump["h a day"]) == ["0.5"]


def test_cells_typed_over():
    profile = shipped_profile("weekend-couple")
    row = [each.name for each in profile.appliances].index("heat-exchange water heater pump")
    found = with_edits(profile, {row: {"h a day": 2.0, "W": 25.0}, 0: {"on": False}})
    assert (found.appliances[row].use_h, found.appliances[row].power_w) == (2.0, 25.0)
    assert not found.appliances[0].enabled
    assert found.appliances[1] == profile.appliances[1]


@pytest.mark.parametrize("power_w", [0.0, 5.0, 150.0, 400.0])
def test_what_the_table_does_not_show_follows_the_watts(power_w):
    profile = shipped_profile("weekend-couple")
    for row, before in enumerate(profile.appliances):
        after = with_edits(profile, {row: {"W": power_w}}).appliances[row]
        assert after.power_w == power_w
        for name in ("surge_w", "low_power_w", "standby_w"):
            if getattr(before, name):
                share = getattr(before, name) / before.power_w
                assert getattr(after, name) == pytest.approx(share * power_w)


@pytest.mark.parametrize(
    ("cells", "words"),
    [
        ({"W": -1.0}, "greater than or equal to 0"),
        ({"W": None}, "W is empty"),
        ({"h a day": 3.0}, "sets its hours"),
        ({"pieces": 0}, "greater than or equal to 1"),
        ({"appliance": ""}, "appliance is empty"),
        ({"appliance": "laptop"}, "two appliances"),
    ],
)
def test_bad_cells_name_the_appliance(cells, words):
    profile = shipped_profile("weekend-couple")
    with pytest.raises(InputError, match=words):
        with_edits(profile, {0: cells})


@pytest.mark.parametrize("part", library())
def test_every_appliance_of_the_library_can_be_added(part):
    profile = shipped_profile("weekend-couple")
    twice = with_appliance(with_appliance(profile, part), part)
    assert len(twice.appliances) == len(profile.appliances) + 2
    assert len({each.name for each in twice.appliances}) == len(twice.appliances)
    if part != OWN_APPLIANCE:
        assert twice.appliances[-1].part == part


# --- differences ---


def test_no_difference_to_itself():
    assert differences(example(), example()) == ()


def test_differences_are_named_in_the_page_s_words():
    changed, _ = built(
        example(),
        {
            "panels.count": 3,
            "battery.part": "100 Ah AGM",
            "inverter": None,
            "cabin.insulation": "good",
        },
        None,
        None,
    )
    first = changed.profile.appliances[0]
    profile = with_edits(changed.profile, {0: {"W": first.power_w + 5.0}})
    found = differences(example(), dataclasses.replace(changed, profile=profile))
    assert f"{field_label('panels.count')}: 2 → 3" in found
    assert "Battery: 100 Ah LFP → 100 Ah AGM" in found
    assert "without inverter" in found
    assert "Insulation: light → good" in found
    assert "compressor fridge 65 L, power w: 50 → 55" in found
    assert "compressor fridge 65 L, surge w: 140 → 154" in found
    assert len(found) == 6


def test_same_weather_moves_place_and_dates_alone():
    moved = same_weather(BUS, example())
    assert moved.van.stay.place == example().van.stay.place
    assert moved.van.stay.days == example().van.stay.days
    assert moved.van.panels == BUS.van.panels
    assert moved.profile == BUS.profile
    said = differences(example(), moved)
    assert not [line for line in said if line.startswith(("Place", "Month", "Days without"))]


def test_the_answer_and_its_month_of_the_seasons_give_one_figure():
    asked = example()
    own = seasons_answer(asked).months[asked.van.stay.month - 1]
    answer = stay_answer(asked)
    assert own.chance_lasts == answer.chance_lasts
    assert own.days == answer.days


def test_all_towns_of_a_name_are_offered():
    _, problems = built(example(), {"stay.place": "Springfield"}, None, None)
    assert len(problems[0].choices) >= 12
