"""Real years beside the climate: every year for itself, the worst and the best named."""

from __future__ import annotations

import dataclasses

import numpy as np
import pandas as pd
import pytest

from solarsim.answers.history import history, months_of_years
from solarsim.answers.question import ask
from solarsim.present.history.text import history_headline
from solarsim.weather.readers.file import read_weather_file
from solarsim.weather.sky.sun import sun_at_mid_hour
from tests.weather.readers.epw_by_hand import GREENSBORO

FACTORS = (0.8, 0.45, 1.0)


@pytest.fixture(scope="module")
def question():
    return ask("weekender", place="36.10, -79.95", runs=60, days=10)


@pytest.fixture(scope="module")
def years(question):
    """Three years of one typical year, each with its own share of the light."""
    one = read_weather_file(GREENSBORO)
    times = pd.date_range("2001-01-01", "2003-12-31 23:00", freq="h", tz=one.times.tz, unit="us")
    parts = {}
    for name in ("ghi_w_m2", "dni_w_m2", "dhi_w_m2"):
        parts[name] = np.concatenate([factor * getattr(one, name) for factor in FACTORS])
    for name in (
        "temp_air_c", "wind_speed_m_s", "relative_humidity", "snowfall_mm", "albedo",
    ):  # fmt: skip
        parts[name] = np.tile(getattr(one, name), 3)
    sun = sun_at_mid_hour(question.place, times)
    return dataclasses.replace(
        one, place=question.place, times=times, sun=sun, source="three years", notes=(),
        typical=False, **parts
    )  # fmt: skip


@pytest.fixture(scope="module")
def answer(question, years):
    return history(question, years)


def test_the_darkest_year_is_the_worst_and_the_brightest_the_best(answer):
    assert [year.year for year in answer.years] == [2001, 2002, 2003]
    assert (answer.worst.year, answer.best.year) == (2002, 2003)
    light = [year.ghi_kwh_m2_day for year in answer.years]
    assert np.array(light) / light[2] == pytest.approx(FACTORS, rel=0.02)
    assert answer.worst.days.p50 < answer.best.days.p50


def test_years_together_are_the_whole(answer):
    assert answer.history.runs == sum(year.windows for year in answer.years) == 93
    chances = [year.chance_lasts for year in answer.years]
    assert answer.history.chance_lasts == pytest.approx(sum(chances) / 3.0)
    days = [year.days.mean for year in answer.years]
    assert answer.history.days.mean == pytest.approx(sum(days) / 3.0)


def test_the_climate_stands_beside_it(answer):
    assert answer.climate.runs == 60
    assert answer.climate.source != answer.history.source
    # The third year is the typical year itself; the climate is near it.
    assert answer.climate.ghi_kwh_m2_day == pytest.approx(answer.years[2].ghi_kwh_m2_day, rel=0.25)


def test_without_real_years_the_climate_answers_alone(question):
    answer = history(question, None)
    assert answer.history is None
    assert answer.worst is None
    assert answer.climate.chance_lasts > 0.0


def test_light_of_the_months(years):
    months = months_of_years(years)
    assert len(months) == 12
    least, mean, most = months[0]
    assert least / most == pytest.approx(0.45, rel=1e-6)
    assert least < mean < most


def test_years_have_their_own_percentiles(question, years, answer):
    for year in answer.years:
        assert year.shortest_days <= year.days.p10 <= year.days.p50 <= year.days.p90
        assert year.days.follow_days == answer.history.days.follow_days
    frame = answer.frame()
    assert list(frame["p50_days"]) == [year.days.p50 for year in answer.years]
    listed = answer.to_dict()["years"]
    assert [one["days"]["p10"] for one in listed] == [year.days.p10 for year in answer.years]


def test_a_typical_year_is_no_real_year(question):
    series = dataclasses.replace(read_weather_file(GREENSBORO), place=question.place)
    assert series.typical
    answer = history(question, series)
    assert answer.typical
    assert (answer.years, answer.worst, answer.best) == ((), None, None)
    assert answer.history.runs == 31
    headline = history_headline(answer)
    assert "typical year, put together from several years" in headline
    assert "worst year" not in headline
    document = answer.to_dict()
    assert document["history_kind"] == "typical year"
    assert document["years"] == []
    assert dict(answer.card().rows)["typical year"].startswith("31 runs")
