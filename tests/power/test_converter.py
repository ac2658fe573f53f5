"""Appliances of 12 V in a van of 24 or 48 V."""

from __future__ import annotations

import pytest

from solarsim.errors import InputError
from solarsim.inputs.files.van import read_van
from solarsim.inputs.profile import Profile, profile_from_data
from solarsim.power.demand import build_demand
from solarsim.power.uses import CONVERTER, behind_converter
from tests.power.weather_by_hand import weather_by_hand


def profile(**light) -> Profile:
    lamp = {"name": "light", "power_w": 20.0, "hours_per_day": 24.0} | light
    return profile_from_data({"profile": {"name": "x"}, "appliances": [lamp]}, source="x")


def van(*settings, shipped="long-stayer"):
    return read_van(shipped, settings=settings)


def demand(people, of_van):
    return build_demand(people, weather_by_hand(hours=48), seed=1, van=of_van)


def test_loss_and_idle_draw_come_on_top():
    got = demand(profile(), van("converter.efficiency=0.8", "converter.idle_w=3"))
    # 20 W at 12 V are 25 W at the bank, and the converter's own 3 W.
    assert got.dc_w == pytest.approx(28.0)
    assert got.dc_peak_w == pytest.approx(28.0)
    assert dict(got.wh_per_day) == pytest.approx({"light": 480.0, CONVERTER: 8.0 * 24})
    assert not [note for note in got.notes if "assumed" in note]


def test_an_assumed_converter_is_said():
    got = demand(profile(), van())
    assert got.dc_w == pytest.approx(20.0 / 0.92 + 1.0)
    (note,) = [note for note in got.notes if "converter" in note]
    assert "light taken to run on 12 V" in note
    assert "92 %" in note


def test_what_takes_the_bank_s_voltage_needs_none():
    people = profile(runs_on_v=[12, 24])
    assert not behind_converter(van(), people.appliances)
    assert demand(people, van()).dc_w == pytest.approx(20.0)
    # At 48 V the same lamp is behind the converter again.
    bus = van("van.system_voltage_v=48", "panels.series=3", "battery.units=4")
    assert behind_converter(bus, people.appliances)


def test_twelve_volts_and_mains_are_untouched():
    small = van(shipped="weekender")
    assert demand(profile(), small).dc_w == pytest.approx(20.0)
    ac = profile(current="ac")
    assert demand(ac, van()).ac_w == pytest.approx(20.0)
    assert demand(ac, van()).dc_w == pytest.approx(0.0)


def test_a_converter_in_a_van_of_12_v_is_refused():
    with pytest.raises(InputError, match="converter"):
        van("converter.efficiency=0.9", shipped="weekender")
