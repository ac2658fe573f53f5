"""The coldest night and the hottest day, from the climate, a weather file, or both."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from solarsim.electrical.check import check_van, stop_warnings
from solarsim.electrical.site import site_extremes
from solarsim.errors import InputError
from solarsim.weather.climate.bundle import load_site_climate
from tests.electrical.vans import HERE, checked, people, van


@dataclasses.dataclass(frozen=True)
class Year:
    """As much of a weather file as is looked at."""

    temp_air_c: np.ndarray


def test_record_of_the_climate():
    climate = load_site_climate(HERE)
    extremes = site_extremes(HERE, climate)
    assert (extremes.low_c, extremes.high_c) == (climate.temp_low_c, climate.temp_high_c)
    assert extremes == site_extremes(HERE)
    assert extremes.low_c < -15.0 < 30.0 < extremes.high_c


@pytest.mark.parametrize(("low_c", "high_c"), [(-5.0, 30.0), (-50.0, 48.0)])
def test_a_weather_file_only_widens_it(low_c, high_c):
    record = site_extremes(HERE)
    both = site_extremes(HERE, series=Year(np.array([low_c, 10.0, high_c])))
    assert both.low_c == min(record.low_c, low_c)
    assert both.high_c == max(record.high_c, high_c)
    assert "weather file" in both.source


def test_a_place_without_climate_data():
    ocean = dataclasses.replace(HERE, name="ocean", latitude_deg=-45.0, longitude_deg=-120.0)
    with pytest.raises(InputError):
        site_extremes(ocean)
    alone = site_extremes(ocean, series=Year(np.array([2.0, 20.0])))
    assert (alone.low_c, alone.high_c, alone.source) == (2.0, 20.0, "weather file")


def test_the_same_string_passes_in_the_tropics_and_not_in_the_alps():
    """Singapore's and Salzburg's record lows: 1.04 and 1.20 of 48.6 V."""
    string = van("panels.series=2", "controller.max_input_v=55")
    tropics = dataclasses.replace(HERE, name="Singapore", latitude_deg=1.35, longitude_deg=103.8)
    assert stop_warnings(string, people(), tropics) == ()
    (line,) = stop_warnings(string, people(), HERE)
    assert line.startswith("array: at -")
    assert "58.3 V" in line
    assert "NEC 690.7(A)(2)" in line


def test_the_coldest_of_all_places_counts():
    """A sheet's van is sold for all its places: the tropics' string must hold in the Alps too."""
    string = van("panels.series=2", "controller.max_input_v=55")
    tropics = dataclasses.replace(HERE, name="Singapore", latitude_deg=1.35, longitude_deg=103.8)
    alone, both = (check_van(string, people(), tropics, also=more) for more in ((), (HERE,)))
    assert not any(finding.id == "array-voltage-cold" for finding in alone.findings)
    (finding,) = (one for one in both.findings if one.id == "array-voltage-cold")
    assert both.extremes.low_c == site_extremes(HERE).low_c
    assert "the cold of Salzburg" in both.extremes.source
    # 55 V / 48.6 V = 1.132: the factor is 1.12 to -5 C and 1.14 from -6 C on (NEC 690.7(A)).
    assert "it holds down to -5 C" in finding.message


def test_warm_lithium_outside_is_no_finding():
    tropics = dataclasses.replace(HERE, name="Singapore", latitude_deg=1.35, longitude_deg=103.8)
    outside = van("battery.location=outside", "battery.bms_cold_cutoff=false")
    assert check_van(outside, people(), tropics).findings == ()


def test_stop_warnings_leave_out_what_does_not_stop():
    some = van("shore.breaker_a=25", "alternator.rating_a=70", "battery.bms_cold_cutoff=false")
    lines = stop_warnings(some, people(), HERE)
    assert len(lines) == 1
    assert lines[0].startswith("bank: ")
    assert stop_warnings(some, people(), HERE, leave_out=["bank-cold-unprotected"]) == ()


def test_defaults_that_were_used_are_told():
    told = " ".join(checked().assumed)
    for words in ("lengths one way", "105 C", "short-circuited bank", "alternator of 150 A"):
        assert words in told
    given = [
        "battery.bms_discharge_a=100",
        "battery.bms_charge_a=60",
        "battery.short_circuit_a=4000",
        "battery.charger_absorption_v=14.4",
        "alternator.rating_a=180",
        "inverter.transfer_a=16",
    ]
    told = " ".join(checked(*given).assumed)
    for words in (
        "usual current limits",
        "short-circuited",
        "alternator",
        "a transfer switch",
        "voltage",
    ):
        assert words not in told
