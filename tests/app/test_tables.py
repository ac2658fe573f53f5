"""Tables and records are two sides of one thing; a changed part brings its own numbers."""

from __future__ import annotations

import pytest

from solarsim.app.tables import profile_tables, van_tables, with_changes
from solarsim.inputs.files.van import read_van, van_from_data
from solarsim.inputs.parts import part_table, part_tables
from solarsim.inputs.profile import profile_from_data, read_profile


@pytest.mark.parametrize("name", ["weekender", "long-stayer"])
def test_a_van_and_its_tables(name):
    van = read_van(name)
    assert van_from_data(van_tables(van), source="t") == van


@pytest.mark.parametrize("name", ["weekend-couple", "remote-workers", "ski-trip"])
def test_a_profile_and_its_tables(name):
    profile = read_profile(name)
    assert profile_from_data(profile_tables(profile), source="t") == profile


@pytest.mark.parametrize("part", list(part_tables("panels")))
def test_a_panel_brings_all_its_numbers(part):
    tables = van_tables(read_van("weekender"))
    changed = with_changes(tables, {"panels.part": part, "panels.series": 2})
    panels = van_from_data(changed, source="t").panels
    assert panels.count == 2
    for field, value in part_table("panels", part).items():
        assert getattr(panels, field) == value


def test_a_battery_that_heats_itself_and_back():
    tables = van_tables(read_van("weekender"))
    heated = with_changes(tables, {"battery.part": "100 Ah LFP self-heating"})
    assert van_from_data(heated, source="t").battery.self_heating
    again = van_tables(van_from_data(heated, source="t"))
    plain = with_changes(again, {"battery.part": "100 Ah AGM"})
    battery = van_from_data(plain, source="t").battery
    assert (battery.self_heating, battery.chemistry, battery.units) == (False, "agm", 2)


def test_tables_come_and_go():
    tables = van_tables(read_van("weekender"))
    without = with_changes(tables, {"inverter": None})
    assert van_from_data(without, source="t").inverter is None
    changes = {"inverter": {"power_w": 900.0}, "inverter.idle_w": 5.0}
    inverter = van_from_data(with_changes(without, changes), source="t").inverter
    assert inverter is not None
    assert (inverter.power_w, inverter.idle_w) == (900.0, 5.0)
    assert "inverter" in tables
