"""Profiles from TOML: what is accepted, filled in and refused."""

from __future__ import annotations

import pytest

from solarsim.errors import InputError
from solarsim.inputs.parts import part_tables
from solarsim.inputs.profile import Profile, profile_from_data, read_profile

HEAD = '[profile]\nname = "test"\n'
SHIPPED = ("weekend-couple", "remote-workers", "ski-trip")


def read(tmp_path, text, *, settings=()):
    path = tmp_path / "loads.toml"
    path.write_text(HEAD + text, encoding="utf-8")
    return read_profile("loads.toml", beside=tmp_path, settings=settings)


def refusal(tmp_path, text, *, settings=()):
    with pytest.raises(InputError) as caught:
        read(tmp_path, text, settings=settings)
    return caught.value


@pytest.mark.parametrize("name", SHIPPED)
def test_shipped_profiles_read(name):
    profile = read_profile(name)
    assert len(profile.appliances) > 5
    assert profile.profile.description


def test_a_part_fills_what_the_profile_leaves_out(tmp_path):
    profile = read(tmp_path, '[[appliances]]\npart = "kettle"\npower_w = 900\n')
    kettle = profile.appliances[0]
    assert kettle.name == "kettle"
    assert kettle.power_w == 900.0
    assert kettle.current == "ac"
    assert kettle.use_h == pytest.approx(
        part_tables("appliances")["kettle"]["minutes_per_day"] / 60
    )


def test_hours_of_the_profile_replace_minutes_of_the_part(tmp_path):
    text = '[[appliances]]\npart = "kettle"\nhours_per_day = 0.5\n'
    kettle = read(tmp_path, text).appliances[0]
    assert kettle.minutes_per_day is None
    assert kettle.use_h == 0.5


def test_a_profile_is_hashable(tmp_path):
    assert hash(read_profile("ski-trip")) == hash(read_profile("ski-trip"))


@pytest.mark.parametrize(
    ("text", "field", "words"),
    [
        ('[[appliances]]\npart = "ketle"\n', "appliances.0.part", "'kettle'"),
        ('[[appliances]]\npart = "kettle"\npower = 3\n', "appliances.0.power", "'power_w'"),
        ('[[appliances]]\npart = "kettle"\npower_w = -5\n', "appliances.0.power_w", "-5"),
        ('[[appliances]]\npart = "kettle"\npower_w = 21000\n', "appliances.0.power_w", "20000"),
        ('[[appliances]]\nname = "x"\npower_w = 5\n', "appliances.0", "hours_per_day"),
        (
            '[[appliances]]\nname = "x"\npower_w = 5\nhours_per_day = 1\nminutes_per_day = 3\n',
            "appliances.0",
            "not both",
        ),
        (
            '[[appliances]]\nname = "x"\npower_w = 5\nhours_per_day = 3\nwindows = [[7, 9]]\n',
            "appliances.0",
            "3 hours a day do not fit into windows of 2 hours",
        ),
        (
            '[[appliances]]\nname = "x"\npower_w = 5\nhours_per_day = 1\nwindows = [[7, 25]]\n',
            "appliances.0.windows.0.1",
            "24",
        ),
        (
            '[[appliances]]\nname = "x"\npower_w = 5\nhours_per_day = 1\n'
            "windows = [[22, 8], [7, 9]]\n",
            "appliances.0",
            "overlap at 7",
        ),
        (
            '[[appliances]]\nname = "x"\npower_w = 5\nhours_per_day = 1\nwindows = [[24, 2]]\n',
            "appliances.0.windows.0.0",
            "less than 24",
        ),
        (
            '[[appliances]]\nname = "x"\npower_w = 5\nhours_per_day = 1\nwindows = [[7, 7]]\n',
            "appliances.0",
            "empty",
        ),
        (
            '[[appliances]]\nname = "x"\npower_w = 5\nhours_per_day = 1\nglow_w = 3\n',
            "appliances.0",
            "glow_w belongs to response = 'heater'",
        ),
        (
            '[[appliances]]\npart = "roof fan"\nfull_at_c = 20\n',
            "appliances.0",
            "full_at_c (20.0) must be above start_above_c (24.0)",
        ),
        ('[[appliances]]\npart = "roof fan"\nhours_per_day = 3\n', "appliances.0", "leave out"),
        ('[[appliances]]\npart = "diesel heater 2 kW"\n', "", "cabin.heater_set_point_c"),
        (
            '[cabin]\nheater_set_point_c = 18\n[[appliances]]\npart = "kettle"\n',
            "",
            "response = 'heater'",
        ),
        ('[cabin]\ninsulatoin = "good"\n', "cabin.insulatoin", "'insulation'"),
        ('[[appliances]]\npart = "kettle"\n[[appliances]]\npart = "kettle"\n', "", "own name"),
        (
            '[[appliances]]\nname = "x"\npower_w = 5\nhours_per_day = 1\nweekdays = ["monday"]\n',
            "appliances.0.weekdays.0",
            "'mon'",
        ),
    ],
)
def test_faults_name_file_field_and_what_is_allowed(tmp_path, text, field, words):
    error = refusal(tmp_path, text)
    assert error.source.endswith("loads.toml")
    assert error.field == field
    assert words in error.message


@pytest.mark.parametrize(
    "text",
    [
        "",
        '[[appliances]]\nname = "x"\npower_w = 0\nhours_per_day = 5\n',
        '[[appliances]]\nname = "x"\npower_w = 10\nhours_per_day = 0\n',
        '[[appliances]]\npart = "kettle"\nenabled = false\n',
        "[hourly]\ndc_w = [0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0]\n",
    ],
)
def test_a_profile_without_load_is_refused(tmp_path, text):
    assert "no load" in refusal(tmp_path, text).message


def test_settings_reach_the_cabin_and_an_appliance_by_name_or_position(tmp_path):
    text = '[[appliances]]\npart = "kettle"\n[[appliances]]\npart = "router"\n'
    changes = ["cabin.people=1", "appliances.kettle.enabled=false", "appliances.1.power_w=7"]
    profile = read(tmp_path, text, settings=changes)
    assert profile.cabin.people == 1
    assert not profile.appliances[0].enabled
    assert profile.appliances[1].power_w == 7.0


def test_a_part_of_a_setting_is_looked_up(tmp_path):
    text = '[[appliances]]\nname = "cold"\npart = "compressor fridge 40 L"\n'
    profile = read(tmp_path, text, settings=["appliances.cold.part=compressor fridge 90 L"])
    assert profile.appliances[0].power_w == 55.0


def test_a_setting_of_an_unknown_appliance_lists_the_known(tmp_path):
    text = '[[appliances]]\npart = "kettle"\n'
    assert "'kettle'" in refusal(tmp_path, text, settings=["appliances.ketle.count=2"]).message
    assert "NAME.FIELD" in refusal(tmp_path, text, settings=["appliances.kettle=2"]).message


def test_reading_does_not_change_the_data():
    data = {"profile": {"name": "x"}, "appliances": [{"part": "kettle"}]}
    profile_from_data(data, source="x", settings=["appliances.kettle.count=2"])
    assert data == {"profile": {"name": "x"}, "appliances": [{"part": "kettle"}]}


@pytest.mark.parametrize("heading", ["", "watts\n"])
def test_a_csv_of_a_day(tmp_path, heading):
    rows = "".join(f"{hour}\n" for hour in range(24))
    (tmp_path / "watts.csv").write_text(heading + rows, encoding="utf-8")
    hourly = read(tmp_path, '[hourly]\nfile = "watts.csv"\ncurrent = "ac"\n').hourly
    assert hourly.ac_w == tuple(float(hour) for hour in range(24))
    assert hourly.dc_w == ()


def test_a_csv_alone_is_a_profile(tmp_path):
    (tmp_path / "metered.csv").write_text("5\n" * 24, encoding="utf-8")
    profile = read_profile("metered.csv", beside=tmp_path)
    assert profile.profile.name == "metered"
    assert profile.hourly.dc_w == (5.0,) * 24


def test_a_csv_of_a_year_with_both_currents(tmp_path):
    rows = "".join(f"{hour},10,{hour % 24}\n" for hour in range(8760))
    (tmp_path / "watts.csv").write_text("hour,dc_w,AC_W\n" + rows, encoding="utf-8")
    hourly = read(tmp_path, '[hourly]\nfile = "watts.csv"\n').hourly
    assert set(hourly.dc_w) == {10.0}
    assert hourly.ac_w[:3] == (0.0, 1.0, 2.0)
    assert len(hourly.ac_w) == 8760


@pytest.mark.parametrize(
    ("content", "words"),
    [
        ("1\n" * 23, "holds 23 hours; 24, 8760 or 8784"),
        ("", "holds 0 hours"),
        ("1\n" * 10 + "-4\n" + "1\n" * 13, "line 11: got -4"),
        ("1\n" * 10 + "many\n" + "1\n" * 13, "line 11: got 'many'"),
        ("1\n" * 10 + "nan\n" + "1\n" * 13, "line 11: got nan"),
        ("watts\n" + "1\n" * 23 + "30000\n", "line 25: got 30000"),
        ("1;2\n" * 24, "commas"),
        ("1,2\n" * 24, "dc_w, ac_w"),
    ],
)
def test_a_csv_that_cannot_be_used(tmp_path, content, words):
    (tmp_path / "watts.csv").write_text(content, encoding="utf-8")
    error = refusal(tmp_path, '[hourly]\nfile = "watts.csv"\n')
    assert error.source.endswith("watts.csv")
    assert words in error.message


def test_a_csv_that_is_missing(tmp_path):
    assert refusal(tmp_path, '[hourly]\nfile = "no.csv"\n').source.endswith("no.csv")


def test_every_part_has_a_source_and_makes_a_valid_appliance():
    parts = part_tables("appliances")
    for name, part in parts.items():
        assert part["source"], name
        data = {"profile": {"name": "x"}, "appliances": [{"part": name}]}
        if part.get("response") == "heater":
            data["cabin"] = {"heater_set_point_c": 18.0}
        assert isinstance(profile_from_data(data, source=name), Profile)


@pytest.mark.parametrize(
    "words",
    [
        "fridge",
        "roof fan",
        "LED",
        "USB",
        "water pump",
        "diesel heater",
        "heat-exchange water heater",
        "microwave",
        "induction",
        "kettle",
        "evaporative cooler",
        "laptop",
        "router",
        "shower light",
        "shower thermostat",
        "battery monitor",
        "CO and propane alarm",
    ],
)
def test_the_library_holds_what_the_trade_fits(words):
    assert any(words in name for name in part_tables("appliances"))


@pytest.mark.parametrize(
    ("appliance", "hourly", "fault"),
    [
        ('name = "pump"\npower_w = 5\nhours_per_day = 1', "", "'device' must be an appliance"),
        ('name = "device"\npower_w = 5\nhours_per_day = 1\nenabled = false', "", "that is on"),
        ('name = "device"\npower_w = 5\nhours_per_day = 1', "", None),
        ("", "[hourly]\ndc_w = [" + "1, " * 24 + "]", None),
    ],
)
def test_what_health_depends_on_is_aboard_and_on(tmp_path, appliance, hourly, fault):
    path = tmp_path / "p.toml"
    tables = f"[[appliances]]\n{appliance}\n" if appliance else ""
    path.write_text(f'[profile]\nname = "x"\nmedical = ["device"]\n{hourly}\n{tables}')
    if fault is None:
        assert read_profile(str(path)).medical == ("device",)
    else:
        with pytest.raises(InputError, match=fault):
            read_profile(str(path))
