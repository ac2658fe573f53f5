"""Vans and profiles from keywords equal those from files, and every fault is named."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import solarsim
from solarsim import InputError, Profile, Van
from solarsim.inputs.files.toml import read_toml, shipped_folder

PARTS = {"panels": "200 W rigid", "battery": "100 Ah LFP"}
FRIDGE = {"power_w": 45.0, "response": "fridge"}


@pytest.mark.parametrize("name", ["weekender", "long-stayer"])
def test_tables_of_a_file_build_the_same_van(name):
    tables = read_toml(shipped_folder("vans") / f"{name}.toml")
    head = tables.pop("van")
    built = Van.build(
        head.pop("name"), van=head, **tables, system_voltage_v=head.pop("system_voltage_v")
    )
    assert built == solarsim.read_van(name)


def test_keywords_build_what_settings_build():
    built = Van.build(
        "Weekender",
        **PARTS,
        panel_count=2,
        battery_units=3,
        inverter_w=1500.0,
        dcdc_a=30,
        drive_h=1.5,
        shore_charger_a=20,
        controller_a=40,
        tilt_deg=20,
        place="Bergen, NO",
        month=4,
        days=9,
        profile="ski-trip",
    )
    assert (built.panels.count, built.panels.tilt_deg, built.panels.power_w) == (2, 20.0, 200.0)
    assert (built.battery.units, built.bank_capacity_ah) == (3, 300.0)
    assert (built.inverter.power_w, built.controller.max_output_a) == (1500.0, 40.0)
    assert (built.alternator.dcdc_a, built.alternator.drive_h) == (30.0, 1.5)
    assert built.shore.charger_a == 20.0
    stay = built.stay
    assert (stay.place, stay.month, stay.days, stay.profile) == ("Bergen, NO", 4, 9, "ski-trip")


def test_series_and_voltage_are_checked_together():
    built = Van.build(
        "Big",
        **PARTS,
        panel_count=4,
        panels_in_series=2,
        battery_units=4,
        system_voltage_v=24,
    )
    assert (built.units_in_series, built.bank_capacity_ah) == (2, 200.0)


def test_numpy_numbers_paths_tuples_and_pairs_are_welcome():
    built = Van.build(
        np.str_("Lark"),
        panels={"part": "200 W rigid", "count": np.int64(2)},
        battery=PARTS["battery"],
        battery_units=np.int32(2),
        dcdc_a=np.float64(30.0),
        place=(47.8, np.float64(13.05)),
        profile=Path("loads.toml"),
        roof={"length_m": 3.4, "width_m": 1.6, "outline": ((0, 0), (3.4, 0), (3.4, 1.6))},
    )
    assert built.stay.place == "47.800000, 13.050000"
    assert built.stay.profile == "loads.toml"
    assert (built.panels.count, built.battery.units, built.alternator.dcdc_a) == (2, 2, 30.0)
    assert type(built.panels.count) is int


@pytest.mark.parametrize("left_out", ["name", "panels", "battery"])
def test_what_a_van_must_have_is_named_where_it_is_left_out(left_out):
    keywords = {"name": "Lark", "panels": "200 W rigid", "battery": "100 Ah LFP"}
    del keywords[left_out]
    with pytest.raises(InputError, match="is required and was not given") as caught:
        Van.build(**keywords)
    assert caught.value.field == left_out


VAN_FAULTS = [
    ({"battery_units": -2}, "battery.units", "greater than or equal to 1"),
    ({"battery_units": 2.5}, "battery.units", "valid integer"),
    ({"battery": "100 Ah LPF"}, "battery.part", "near: '100 Ah LFP'"),
    ({"battery": 3}, "battery", "got 3"),
    ({"panels": None}, "panels", "is required"),
    ({"panels": "200 W rigid", "panel_count": "2"}, "panels.count", "got '2'"),
    ({"panels": {"part": "200 W rigid", "power_w": 900.0}}, "panels", "agree with vmp_v x imp_a"),
    ({"panels": {"part": "200 W rigid", "powr_w": 9.0}}, "panels.powr_w", "did you mean 'power_w'"),
    ({"panels": {"part": "200 W rigid", "count": 2}, "panel_count": 2}, "panels.count", "twice"),
    ({"panel_count": 3, "panels_in_series": 2}, "panels", "multiple of series"),
    ({"system_voltage_v": 24}, "", "multiple of 2"),
    ({"system_voltage_v": 13}, "van.system_voltage_v", "got 13"),
    ({"inverter_w": float("nan")}, "inverter.power_w", "finite"),
    ({"inverter_w": [1200]}, "inverter.power_w", "valid number"),
    ({"inverter": "big", "inverter_w": 1200}, "inverter", "must be a table"),
    ({"invertr": {}}, "invertr", "did you mean 'inverter'"),
    ({"zzz": {}}, "zzz", "known: "),
    ({"roof": 3}, "roof", "got 3"),
    ({"arrays": {"name": "x"}}, "arrays", ""),
    ({"month": 13}, "stay.month", "less than or equal to 12"),
    ({"days": 0}, "stay.days", "greater than or equal to 1"),
    ({"place": (1.0,)}, "stay.place", "as a pair"),
    ({"place": ("a", "b")}, "stay.place", "as a pair"),
    ({"place": 3}, "stay.place", "got 3"),
    ({"name": ""}, "van.name", "at least 1 character"),
    ({"name": 3}, "van.name", "got 3"),
]


@pytest.mark.parametrize(("change", "field", "part"), VAN_FAULTS)
def test_a_fault_in_a_van_is_named(change, field, part):
    with pytest.raises(InputError) as caught:
        Van.build(**({"name": "Lark"} | PARTS | change))
    assert caught.value.source == "Van.build"
    assert caught.value.field == field
    assert part in str(caught.value)


@pytest.mark.parametrize("name", ["weekend-couple", "heavy", "remote-workers"])
def test_tables_of_a_file_build_the_same_profile(name):
    tables = read_toml(shipped_folder("loads") / f"{name}.toml")
    head = tables.pop("profile")
    built = Profile.build(head["name"], description=head.get("description"), **tables)
    assert built == solarsim.read_profile(name)


def test_appliances_come_by_name_by_table_and_by_both():
    by_name = Profile.build("Two", ["compressor fridge 65 L", {"part": "kettle"}])
    assert [a.name for a in by_name.appliances] == ["compressor fridge 65 L", "kettle"]
    own = Profile.build(
        "Two",
        {"cool box": "compressor fridge 65 L", "fridge": FRIDGE, "lamp": {"part": "reading light"}},
        people=np.int64(3),
        insulation="good",
    )
    assert [a.name for a in own.appliances] == ["cool box", "fridge", "lamp"]
    assert own.appliances[0].response == own.appliances[1].response == "fridge"
    assert (own.cabin.people, own.cabin.insulation) == (3, "good")


def test_a_heater_comes_with_its_set_point():
    built = Profile.build("Warm", ["diesel heater 2 kW"], heater_set_point_c=19)
    assert built.cabin.heater_set_point_c == 19.0
    with pytest.raises(InputError, match=r"needs cabin\.heater_set_point_c"):
        Profile.build("Cold", ["diesel heater 2 kW"])


def test_watts_by_the_hour_are_a_profile():
    built = Profile.build("Metered", hourly={"dc_w": np.full(24, 30.0).tolist()})
    assert sum(built.hourly.dc_w) == 720.0
    assert "watts of 24 hours" in repr(built)


PROFILE_FAULTS = [
    ({"appliances": "kettle"}, "appliances", "must be a list"),
    ({"appliances": 3}, "appliances", "must be a list"),
    ({"appliances": [3]}, "appliances.0", "got 3"),
    ({"appliances": ["kettel"]}, "appliances.0.part", "near: 'kettle'"),
    ({"appliances": {"fridge": 3}}, "appliances.fridge", "must be a table"),
    ({"appliances": {"fridge": {"power_w": -1.0}}}, "appliances.0.power_w", "got -1.0"),
    ({"appliances": {"lamp": {"power_w": 5.0}}}, "appliances.0", "hours_per_day"),
    ({"appliances": {3: FRIDGE}}, "appliances.0.name", "got 3"),
    ({"appliances": ()}, "", "no load"),
    ({"people": 99}, "cabin.people", "less than or equal to 12"),
    ({"people": 2, "cabin": {"people": 3}}, "cabin.people", "twice"),
    ({"insulation": "thick"}, "cabin.insulation", "got 'thick'"),
    ({"cabn": {}}, "cabn", "did you mean 'cabin'"),
    ({"description": 3}, "profile.description", "got 3"),
    ({"hourly": {"file": "/nowhere.csv"}}, "", "/nowhere.csv"),
    ({"name": None}, "name", "is required"),
]


@pytest.mark.parametrize(("change", "field", "part"), PROFILE_FAULTS)
def test_a_fault_in_a_profile_is_named(change, field, part):
    with pytest.raises(InputError) as caught:
        Profile.build(**({"name": "Two", "appliances": {"fridge": FRIDGE}} | change))
    assert caught.value.field == field
    assert part in str(caught.value)


def test_records_show_a_card():
    van, profile = solarsim.read_van("weekender"), solarsim.read_profile("weekend-couple")
    for record in (van, profile, solarsim.ask(van), solarsim.find_place("Salzburg, AT")):
        assert len(repr(record).splitlines()) <= 12
        assert len(repr(record)) < 1200
    assert repr(van).startswith("Van 'Weekender', 12 V\n  panels      2 x 200 W, flat")
    assert "2 x 100 Ah LFP of 12 V: 200 Ah" in str(van)
    assert "2 people, light insulation, heated to 19 C" in repr(profile)
    assert "<table" in van._repr_html_()


def test_a_changed_record_that_cannot_be_says_so():
    van = solarsim.read_van("weekender").model_copy(update={"battery": None})
    assert repr(van).startswith("A van that cannot be")
    assert "battery" in repr(van)
    profile = solarsim.read_profile("heavy").model_copy(update={"cabin": 3})
    assert repr(profile).startswith("A profile that cannot be")


def test_a_year_of_watts_prints_short():
    hourly = Profile.build("Metered", hourly={"dc_w": [30.0] * 8760}).hourly
    assert len(repr(hourly)) <= 600
