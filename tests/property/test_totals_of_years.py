"""What real years, logs, a climate and a region say adds up, and stands so in the text as well."""

from __future__ import annotations

import dataclasses
import json

import numpy as np
import pandas as pd
import pytest

from solarsim.answers.calibrate.calibrate import calibrate
from solarsim.answers.calibrate.log import read_log
from solarsim.answers.climate import climate
from solarsim.answers.history import history
from solarsim.answers.question import ask
from solarsim.answers.region.asked import ask_region
from solarsim.answers.region.region import region
from solarsim.answers.region.summary import land_weights
from solarsim.present.calibrate.text import calibrate_document, print_calibrate
from solarsim.present.climate.text import climate_document, print_climate
from solarsim.present.history.text import history_document, print_history
from solarsim.present.region.document import region_document
from solarsim.present.stay.documents import to_json
from solarsim.weather.readers.file import read_weather_file
from solarsim.weather.sky.sun import sun_at_mid_hour
from tests.answers.calibrate.log_by_hand import make_log
from tests.property.totals import assert_adds_up, assert_rows_are, assert_shown, tables_of, text_of
from tests.weather.readers.epw_by_hand import GREENSBORO

PLACE = "36.10, -79.95"
LIGHT = ("ghi_w_m2", "dni_w_m2", "dhi_w_m2")
AIR = ("temp_air_c", "wind_speed_m_s", "relative_humidity", "snowfall_mm", "albedo")


@pytest.fixture(scope="module")
def year():
    return read_weather_file(GREENSBORO)


def told(document):
    return json.loads(to_json(document))


@pytest.mark.slow
@pytest.mark.parametrize(("month", "days"), [(1, 10), (6, 4)])
def test_real_years(year, month, days):
    question = ask(place=PLACE, month=month, days=days, runs=20)
    times = pd.date_range("2001-01-01", "2002-12-31 23:00", freq="h", tz=year.times.tz, unit="us")
    parts = {
        name: np.concatenate([0.5 * getattr(year, name), getattr(year, name)]) for name in LIGHT
    }
    parts |= {name: np.tile(getattr(year, name), 2) for name in AIR}
    sun = sun_at_mid_hour(question.place, times)
    series = dataclasses.replace(
        year, place=question.place, times=times, sun=sun, notes=(), typical=False, **parts
    )
    answer = history(question, series)
    document = told(history_document(answer))
    assert assert_adds_up(document) >= 6
    whole, years = document["history"], document["years"]
    windows = [one["windows"] for one in years]
    assert whole["runs"] == sum(windows)
    for key in ("chance_lasts", "ghi_kwh_m2_day", "temp_air_c"):
        by_years = np.average([one[key] for one in years], weights=windows)
        assert whole[key] == pytest.approx(by_years, rel=1e-6)
    tables = tables_of(text_of(print_history, answer))
    shown = [one | one["days"] for one in years]
    columns = {"year": "year", "stays": "windows", "lasted": "chance_lasts", "P10": "p10"}
    columns |= {"P50": "p50", "P90": "p90", "reserve_Wh": "reserve_wh", "light": "ghi_kwh_m2_day"}
    table = next(one for title, one in tables.items() if "by the year" in title)
    assert_rows_are(table, shown, **columns, air_C="temp_air_c", shortest="shortest_days")
    _, _, sides = tables["Side by side"]
    for column, side in enumerate((document["climate"], document["history"]), start=1):
        flat = [side["runs"], side["chance_lasts"], *(side["days"][key] for key in ("p10", "p50"))]
        for row, value in zip(sides, flat, strict=False):
            assert_shown(row[column], value, horizon=side["days"]["follow_days"])


@pytest.mark.slow
def test_a_log(year, tmp_path):
    question = ask(place=PLACE, month=9, runs=10)
    series = dataclasses.replace(year, place=question.place)
    path = tmp_path / "log.csv"
    make_log(series, first="2001-06-01", days=25).table.to_csv(path, index=False)
    answer = calibrate(question, read_log(path, question.van, question.place), series)
    document = told(calibrate_document(answer))
    assert assert_adds_up(document) >= 4
    assert len(document["load_w"]) == len(document["clock_w"]) == 24
    soc = document["soc"]
    hours = document["log"]["hours"]
    # The log ends between its last two stamps.
    assert {len(soc[key]) for key in ("times", "measured", "before", "after")} == {hours}
    tables = tables_of(text_of(print_calibrate, answer))
    _, _, rows = tables["Base load by the local clock, W"]
    for at, row in enumerate(rows):
        three = slice(3 * at, 3 * at + 3)
        for column, key in ((1, "load_before_w"), (2, "load_w"), (4, "clock_w")):
            assert_shown(row[column], float(np.mean(document[key][three])), horizon=30)
    table = next(one for title, one in tables.items() if title.startswith("What it changes"))
    pairs = [document, *document["own_months"]]
    promises = [
        {"chance_lasts": pair[which]["chance_lasts"]} | pair[which]["days_unplugged"]
        for pair in pairs
        for which in ("before", "after")
    ]
    columns = {"P10_days": "p10", "P50_days": "p50", "P90_days": "p90", "chance": "chance_lasts"}
    assert_rows_are(table, promises, **columns)


@pytest.mark.parametrize(
    "place", ["Bergen, NO", pytest.param("Phoenix, AZ, US", marks=pytest.mark.slow)]
)
def test_a_climate(place):
    answer = climate(ask(place=place).place)
    document = told(climate_document(answer))
    assert assert_adds_up(document) >= 13
    light, sure = list(tables_of(text_of(print_climate, answer)).values())[:2]
    months = document["months"]
    columns = {"GHI": "ghi_kwh_m2_day", "KT_P10": "kt_p10", "KT_P50": "kt_p50", "KT_P90": "kt_p90"}
    columns |= {"air_C": "temp_air_c", "min_C": "temp_min_c", "max_C": "temp_max_c"}
    assert_rows_are(light, months, **columns, snow="snow_share")
    columns = {"GHI": "ghi_kwh_m2_day", "mid": "ghi_mid_kwh_m2_day", "dark": "ghi_p10_kwh_m2_day"}
    assert_rows_are(sure, months, **columns, bright="ghi_p90_kwh_m2_day", off="ghi_error_share")


@pytest.mark.slow
def test_a_region(tmp_path, monkeypatch):
    monkeypatch.setenv("SOLARSIM_CACHE", str(tmp_path))
    question = ask(runs=5, days=3)
    asked = ask_region(question, "46, 8, 48, 11", months=[1, 7], step_deg=1.0)
    answer = region(asked, workers=1)
    document = told(region_document(answer))
    assert_adds_up(document)
    weights = land_weights(answer)
    assert len(document["cells"]) == np.count_nonzero(weights)
    weights = weights[weights > 0.0]
    for at, row in enumerate(document["land"]):
        chances = [cell["vans"][0]["months"][at]["chance_lasts"] for cell in document["cells"]]
        met = np.array(chances) >= question.van.stay.target_chance
        assert row["target_met_share"] == pytest.approx(np.average(met, weights=weights))
