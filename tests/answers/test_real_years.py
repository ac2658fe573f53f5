"""Real years of a place beside the climate's answer, and in its place."""

from __future__ import annotations

import dataclasses

import numpy as np
import pandas as pd
import pytest

import solarsim.answers.question
import solarsim.answers.real_years
from solarsim.answers.history import history
from solarsim.answers.many_places import at_place
from solarsim.answers.question import MAX_RUNS, ask
from solarsim.answers.real_years import real_years
from solarsim.answers.stay import stay
from solarsim.errors import InputError
from solarsim.present.stay.documents import stay_document
from solarsim.present.words import real_years_text
from solarsim.weather.readers.file import read_weather_file
from solarsim.weather.sky.sun import sun_at_mid_hour
from solarsim.weather.years import history as stored
from tests.weather.readers.epw_by_hand import GREENSBORO

PLACE = "36.10, -79.95"
YEARS = tuple(range(2001, 2005))
FACTORS = (0.8, 0.3, 1.0, 0.35)


@pytest.fixture(scope="module")
def series():
    """Four years of one typical year, each with its own share of the light."""
    one = read_weather_file(GREENSBORO)
    times = pd.date_range("2001-01-01", "2004-12-31 23:00", freq="h", tz=one.times.tz, unit="us")
    times = times[~((times.month == 2) & (times.day == 29))]
    light = ("ghi_w_m2", "dni_w_m2", "dhi_w_m2")
    arrays = {
        name: np.concatenate([factor * getattr(one, name) for factor in FACTORS]) for name in light
    }
    for name in ("temp_air_c", "wind_speed_m_s", "relative_humidity", "snowfall_mm", "albedo"):
        arrays[name] = np.tile(getattr(one, name), len(FACTORS))
    place = ask("weekender", place=PLACE).place
    sun = sun_at_mid_hour(place, times)
    about = {"place": place, "source": "four years", "notes": (), "typical": False}
    return dataclasses.replace(one, times=times, sun=sun, quality=None, **about, **arrays)


@pytest.fixture
def at_hand(monkeypatch, series):
    """Make the cache hold those years of that one place."""

    def years_of(place):
        return YEARS if place.latitude_deg == series.place.latitude_deg else ()

    for module in (stored, solarsim.answers.real_years):
        monkeypatch.setattr(module, "cached_years", years_of)
        monkeypatch.setattr(module, "history_series", lambda place, years: series)
    monkeypatch.setattr(stored, "LEAST_YEARS", 4)


@pytest.mark.slow
def test_each_year_is_asked_from_the_stay_s_own_day(at_hand, series):
    question = ask("weekender", place=PLACE, month=1, days=7)
    found = real_years(question)
    assert found.years == YEARS
    light = series.ghi_w_m2[(11 * 24 + 17) : (18 * 24 + 17)].mean() * 0.024
    assert found.ghi_kwh_m2_day == pytest.approx(light / FACTORS[0] * np.mean(FACTORS))
    # The two dark years do not last, the others do.
    assert 0 < found.lasted < 4
    text = real_years_text(stay(question.replace(runs=20)))
    assert text.startswith(
        f"In {found.lasted} of 4 real years here (2001-2004, each from 12 January) the van lasted "
        "all 7 days; in half of them it lasted "
    )


@pytest.mark.slow
def test_the_document_holds_the_years_or_how_to_get_them(at_hand, run):
    question = ask("weekender", place=PLACE, days=2, runs=20)
    found = stay_document(stay(question))["real_years"]
    assert found["years"] == list(YEARS)
    assert set(found) == {
        "years", "lasted", "days_unplugged", "ghi_kwh_m2_day", "temp_air_c", "text",
    }  # fmt: skip
    none = stay_document(stay(question.replace(place="Bergen, NO")))["real_years"]
    assert none["years"] == []
    assert "`solarsim weather get --place 'Bergen, NO'` fetches them" in none["text"]
    of_file = stay(ask("weekender", weather=GREENSBORO, days=2, runs=20))
    assert stay_document(of_file)["real_years"] is None


def test_real_years_take_the_place_of_the_climate(at_hand, series):
    question = ask("weekender", place=PLACE, climate="history", days=3)
    assert (question.climate, question.runs, question.on_file) == (None, MAX_RUNS, False)
    assert question.van.stay.climate == "history"
    assert ask("weekender", place=PLACE, settings=["stay.climate='history'"]).series is series
    answer = stay(question)
    # A month of starts around the stay's first day, in every year.
    assert answer.conditions.runs == 4 * 31
    assert "within 15 days of 14 January" in " ".join(answer.notes)
    assert "how far the light of the real years may itself be off" in answer.notes[0]
    # A year is still told by the days of its month.
    assert [year.windows for year in history(question, series).years] == [31] * 4


def test_the_weather_goes_with_the_question(at_hand, series):
    embedded = ask("weekender", place=PLACE, runs=20)
    real = embedded.replace(climate="history")
    assert real.series is series
    assert real.replace(days=3).series is series
    assert real.replace(van="long-stayer").series is series
    back = real.replace(climate="embedded")
    assert (back.series, back.runs) == (None, 700)
    assert back.climate == embedded.climate
    with pytest.raises(InputError, match="no real years are at hand"):
        at_place(real, "Bergen, NO")


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({"place": "Bergen, NO"}, "needs 4 real years of Bergen, NO at least, so that the worst"),
        ({"weather": GREENSBORO}, "a weather file takes the climate's place"),
    ],
)
def test_without_years_it_is_refused(at_hand, given, message):
    with pytest.raises(InputError, match=message) as refused:
        ask("weekender", climate="history", **given)
    assert refused.value.field == "stay.climate"


def test_too_few_years_are_refused(at_hand, monkeypatch):
    monkeypatch.setattr(stored, "LEAST_YEARS", 10)
    with pytest.raises(InputError, match=r"needs 10 real years .* only 2001-2004 are at hand"):
        ask("weekender", place=PLACE, climate="history")


def test_another_climate_is_refused():
    with pytest.raises(InputError, match=r"climate.*'embedded'"):
        ask("weekender", climate="typical")
