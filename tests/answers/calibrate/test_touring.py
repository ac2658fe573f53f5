"""Logs of vans that drive, stand on shore power, and whose appliances follow the weather."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from solarsim.answers.calibrate.calibrate import calibrate
from solarsim.answers.calibrate.log import read_log
from solarsim.answers.question import ask
from solarsim.present.calibrate.text import calibrate_headline
from solarsim.weather.readers.file import read_weather_file
from tests.answers.calibrate.log_by_hand import make_log
from tests.weather.readers.epw_by_hand import GREENSBORO

FRIDGE, HEATER, FAN = "compressor fridge 65 L", "diesel heater 2 kW", "roof fan"


@pytest.fixture(scope="module")
def question():
    return ask("weekender", place="36.10, -79.95", month=1, runs=40)


@pytest.fixture(scope="module")
def year(question):
    return dataclasses.replace(read_weather_file(GREENSBORO), place=question.place)


@pytest.fixture
def answered(tmp_path, question, year):
    def answer(truth, *, solar=True):
        table = truth.table if solar else truth.table.drop(columns="Solar power (W)")
        table.to_csv(tmp_path / "log.csv", index=False)
        log = read_log(tmp_path / "log.csv", question.van, question.place)
        return calibrate(question, log, year)

    return answer


def found(answer):
    return {one.name: one for one in answer.estimates}


@pytest.mark.slow
@pytest.mark.parametrize("columns", [True, False], ids=["column", "hours"])
def test_a_van_that_tours_is_told_from_the_sun(answered, year, columns):
    truth = make_log(year, first="2001-04-01", days=40, tours=True, columns=columns)
    answer = answered(truth)
    # Left in the log as if the sun had given it, the load would be 18 % too low.
    assert found(answer)["base load"].value == pytest.approx(truth.load_w.mean(), rel=0.03)
    assert found(answer)["solar yield"].value == pytest.approx(truth.yield_factor, rel=0.012)
    said = " ".join(answer.notes)
    assert ("the log's own columns" in said) == columns
    assert ("hours were left out as charging" in said) == (not columns)
    assert answer.log.has_other == columns


@pytest.mark.slow
def test_what_a_solar_column_shows_at_night_is_no_harvest(answered, year):
    """Five watts of offset in the dark would be a tenth of what a tour leaves of the sun."""
    truth = make_log(year, first="2001-04-01", days=40, tours=True)
    clock = truth.table["Timestamp"].dt.hour
    night = (clock >= 22) | (clock < 4)
    truth.table.loc[night, "Solar power (W)"] += 5.0
    answer = answered(truth)
    assert found(answer)["solar yield"].value == pytest.approx(truth.yield_factor, rel=0.012)
    assert found(answer)["base load"].value == pytest.approx(truth.load_w.mean(), rel=0.03)


@pytest.mark.slow
@pytest.mark.parametrize("columns", [True, False], ids=["column", "hours"])
def test_without_a_solar_column_the_errors_grow_and_hold(answered, year, columns):
    truth = make_log(year, first="2001-04-01", days=40, tours=True, columns=columns)
    by_name = found(answered(truth, solar=False))
    # Left in the log, the yield would be twice the truth.
    for name, true in (("base load", truth.load_w.mean()), ("solar yield", truth.yield_factor)):
        one = by_name[name]
        assert one.value == pytest.approx(true, rel=0.06)
        assert abs(one.value - true) < 3.0 * one.error


@pytest.mark.slow
def test_a_van_that_does_not_tour_keeps_its_hours(answered, year):
    answer = answered(make_log(year, first="2001-04-01", days=40))
    assert any("none at night, and none beyond" in note for note in answer.notes)


@pytest.mark.slow
def test_a_log_of_cold_weeks_scales_the_heater(answered, year, question):
    truth = make_log(
        year, first="2001-02-01", days=40, load_factor=0.2, yield_factor=1.3, capacity_factor=1.5,
        responsive={FRIDGE: 1.0, HEATER: 1.6},
    )  # fmt: skip
    answer = answered(truth)
    by_name = {one.name: one for one in answer.responsive}
    heater = by_name[HEATER]
    assert heater.shown
    assert abs(heater.scale_share - 1.6) < 3.0 * heater.error_share
    assert heater.scale_share > 1.2
    tables = {one["name"]: one for one in answer.profile_tables["appliances"]}
    own = {one.name: one for one in question.profile.appliances}
    power_w = heater.scale_share * own[HEATER].power_w
    assert tables[HEATER]["power_w"] == pytest.approx(power_w, abs=0.1)
    assert tables[HEATER]["heat_w"] == own[HEATER].heat_w
    # No cold week shows the roof fan.
    assert not by_name[FAN].shown
    assert tables[FAN]["power_w"] == own[FAN].power_w


@pytest.mark.slow
def test_a_log_of_spring_leaves_the_heater_to_winter(answered, year, question):
    truth = make_log(
        year, first="2001-04-01", days=40, load_factor=0.7, responsive={FRIDGE: 0.6, HEATER: 1.3}
    )
    answer = answered(truth)
    assert found(answer)["base load"].value == pytest.approx(truth.load_w.mean(), rel=0.05)
    own = {one.name: one for one in question.profile.appliances}
    tables = {one["name"]: one for one in answer.profile_tables["appliances"]}
    assert tables[HEATER]["power_w"] == own[HEATER].power_w > 0.0
    note = next(note for note in answer.notes if "does not show" in note)
    assert HEATER in note
    assert "as the profile has" in note
    # Clock and weather together are the measured load, in the log's own weather.
    whole = answer.clock_w.mean() + sum(one.scale_share * one.mean_w for one in answer.responsive)
    assert whole == pytest.approx(answer.load_w.mean(), rel=0.03)
    # January is answered, and April and May of the log beside it, where it was easier.
    assert [one.month for one in answer.own_months] == [4, 5]
    assert answer.own_months[0].after.days.mean > answer.after.days.mean
    assert "In April, a month of the log, it lasts" in calibrate_headline(answer)


@pytest.mark.slow
def test_a_calibration_that_fits_worse_says_so_first(answered, year):
    """A van that stands with next to nothing on, held against people who live in it."""
    idle = answered(make_log(year, first="2001-06-01", days=20, load_factor=0.15))
    assert idle.error_after_soc > idle.error_before_soc + 0.005
    assert idle.notes[0].startswith("The calibrated van tells the log's own days worse")
    used = answered(make_log(year, first="2001-06-01", days=20, load_factor=1.5))
    assert used.error_after_soc < used.error_before_soc
    assert not any("worse than the file" in note for note in used.notes)


def test_dates_are_those_of_the_place(answered, year):
    answer = answered(make_log(year, first="2001-06-01", days=10))
    document = answer.to_dict()
    # Eastern time keeps summer time in June.
    assert document["log"]["start"].endswith("-04:00")
    assert str(answer.hourly().index[0]).endswith("-04:00")
    assert np.isfinite(answer.error_after_soc)
