"""Every reader on mutated files: a result or one clear error, in bounded time and memory.

A hundred inputs a reader as a rule, thirty where they are whole years; ``SOLARSIM_FUZZ=10000`` asks
for as many.
"""

from __future__ import annotations

import gzip
import hashlib
import json
import os
import pathlib
import resource
import time

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings

from solarsim.answers.calibrate.log import read_log
from solarsim.answers.question import ask
from solarsim.errors import InputError
from solarsim.inputs.files.horizon import read_horizon
from solarsim.inputs.files.places import read_places
from solarsim.inputs.files.toml import shipped_folder
from solarsim.inputs.files.trip import read_trip
from solarsim.inputs.files.van import read_van
from solarsim.inputs.files.watts import read_watts
from solarsim.inputs.profile import read_profile
from solarsim.weather.places import find_place
from solarsim.weather.readers.file import read_weather_file
from solarsim.weather.years.history import HistoryYear, history_folder, history_series, store_year
from solarsim.weather.years.series import YearSeries
from tests.weather.readers.epw_by_hand import GREENSBORO, MIAMI, epw_text, greensboro_rows
from tests.weather.readers.mutations import MUTATIONS, mutated
from tests.weather.readers.tables_by_hand import csv_text, finer, frame, nsrdb_text

pytestmark = pytest.mark.slow
EXAMPLES = int(os.environ.get("SOLARSIM_FUZZ", "100"))
EXAMPLES_OF_YEARS = int(os.environ.get("SOLARSIM_FUZZ", "30"))
YEARS = {"EPW", "TMY3", "TMY2"}
LONGEST_S = 5.0
MOST_MB = 500.0
PLACE = find_place("36.10, -79.95")


def battery_log() -> bytes:
    hours = np.arange(5 * 24)
    soc = 80 + 15 * np.sin(hours / 24 * 2 * np.pi)
    rows = ["time,SOC (%),Voltage (V),Current (A),Solar power (W)"]
    rows += [
        f"2024-05-{1 + h // 24:02d} {h % 24:02d}:00,{soc[h]:.0f},13.2,{np.cos(h / 3.8) * 5:.1f},20"
        for h in hours
    ]
    return "\n".join(rows).encode()


@pytest.fixture(scope="module")
def seeds() -> dict[str, tuple[str, bytes]]:
    """A true file of every kind, with the name it goes by."""
    year = read_weather_file(GREENSBORO)
    week = frame(year, "06-01", "06-05")
    return {
        "EPW": ("year.epw", epw_text(greensboro_rows()).encode()),
        "TMY3": ("year.csv", GREENSBORO.read_bytes()),
        "TMY2": ("year.tm2", MIAMI.read_bytes()),
        "NSRDB": ("site.csv", nsrdb_text(week).encode()),
        "CSV": ("site.csv", csv_text(finer(week, 2)).encode()),
        "history": ("2019.csv.gz", b""),
        "log": ("log.csv", battery_log()),
        "van": ("van.toml", (shipped_folder("vans") / "weekender.toml").read_bytes()),
        "profile": ("load.toml", (shipped_folder("loads") / "weekend-couple.toml").read_bytes()),
        "watts": ("watts.csv", ("dc_w,ac_w\n" + "30.5,10\n" * 24).encode()),
        "horizon": ("horizon.csv", b"azimuth_deg,elevation_deg\n0,5\n90,10\n180,3\n270,12\n"),
        "trip": ("trip.toml", (shipped_folder("trips") / "northern-spring.toml").read_bytes()),
        "stops": (
            "trip.csv",
            b'place,arrive,nights,drive_h\n"Umea, SE",2026-03-14,2,\nKemi,,3,2\n',
        ),
        "places": ("places.csv", b'place\n"Salzburg, AT"\n"47.8, 13.05"\n"Bergen, NO"\n'),
    }


def finite(series: YearSeries) -> None:
    for values in (series.ghi_w_m2, series.dni_w_m2, series.dhi_w_m2, series.temp_air_c):
        assert np.isfinite(values).all()
        assert len(values) == len(series.times)


def read_weather(path: pathlib.Path) -> None:
    finite(read_weather_file(path))


def read_cache(path: pathlib.Path) -> None:
    """The cached bytes themselves, with a checksum that agrees: the worst that may lie there."""
    folder = history_folder(PLACE)
    data = gzip.compress(path.read_bytes(), 1, mtime=0)
    (folder / "2019.csv.gz").write_bytes(data)
    about = json.loads((folder / "2019.json").read_text())
    about["sha256"] = hashlib.sha256(data).hexdigest()
    (folder / "2019.json").write_text(json.dumps(about))
    finite(history_series(PLACE, (2019,)))


QUESTION = ask("weekender", place=PLACE, runs=1)


def read_bank_log(path: pathlib.Path) -> None:
    log = read_log(path, QUESTION.van, QUESTION.place)
    assert np.nanmax(log.soc) <= 1.0


READERS = {
    "EPW": read_weather,
    "TMY3": read_weather,
    "TMY2": read_weather,
    "NSRDB": read_weather,
    "CSV": read_weather,
    "history": read_cache,
    "log": read_bank_log,
    "van": lambda path: read_van(str(path)),
    "profile": lambda path: read_profile(str(path)),
    "watts": read_watts,
    "horizon": read_horizon,
    "trip": lambda path: read_trip(str(path)),
    "stops": lambda path: read_trip(str(path)),
    "places": read_places,
}


@pytest.mark.parametrize("kind", READERS)
def test_mutated_input_gives_a_result_or_a_clear_error(
    kind, seeds, tmp_path, monkeypatch, history_csv
):
    name, content = seeds[kind]
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    if kind == "history":
        content = history_csv
        store_year(PLACE, year_of(np.zeros(8760)))
    path = tmp_path / name
    told: list[str] = []
    counts = {"result": 0, "error": 0}
    longest = 0.0
    examples = EXAMPLES_OF_YEARS if kind in YEARS else EXAMPLES
    before_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0

    @given(mutations=MUTATIONS)
    @settings(
        max_examples=examples,
        deadline=None,
        database=None,
        suppress_health_check=list(HealthCheck),
    )
    def run(mutations):
        nonlocal longest
        path.write_bytes(mutated(content, mutations))
        begun = time.thread_time()
        try:
            READERS[kind](path)
            counts["result"] += 1
        except InputError as error:
            counts["error"] += 1
            told.append(str(error))
        longest = max(longest, time.thread_time() - begun)

    run()
    # A record names each of its faults on a line of its own.
    assert all(all(text.split("\n")) and len(text) < 20_000 for text in told)
    grown_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0 - before_mb
    print(f"{kind}: {counts}, longest {longest:.2f} s, memory grew {grown_mb:.0f} MB")
    assert sum(counts.values()) >= 0.5 * examples
    assert counts["error"] > 0
    assert longest < LONGEST_S
    assert grown_mb < MOST_MB


def year_of(ghi: np.ndarray) -> HistoryYear:
    columns = {
        "ghi_w_m2": ghi,
        "dni_w_m2": ghi,
        "dhi_w_m2": ghi,
        "temp_air_c": 10.0 + 0.0 * ghi,
        "relative_humidity_pct": 70.0 + 0.0 * ghi,
        "wind_speed_m_s": 2.0 + 0.0 * ghi,
        "precipitation_mm_h": 0.0 * ghi,
    }
    return HistoryYear(2019, columns, 300.0, "http://127.0.0.1/")


@pytest.fixture(scope="module")
def history_csv() -> bytes:
    """A year of the cache, unpacked."""
    year = read_weather_file(GREENSBORO)
    names = list(year_of(np.zeros(1)).columns)
    at = np.roll(np.arange(8760), 5)
    values = [
        year.ghi_w_m2,
        year.dni_w_m2,
        year.dhi_w_m2,
        year.temp_air_c,
        100.0 * year.relative_humidity,
        year.wind_speed_m_s,
        0.0 * year.ghi_w_m2,
    ]
    rows = [",".join(f"{value[k]:.4g}" for value in values) for k in at]
    return "\n".join([",".join(names), *rows]).encode()
