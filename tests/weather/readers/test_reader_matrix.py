"""Every reader against every fault: the table in DEVELOPERS.md says what becomes of each.

``refused`` is one clear line that names where; ``closed`` a result whose report counts the hours;
``told`` a result that carries a note; ``read`` the same result as without the fault; ``-`` a fault
that the format cannot have.
"""

from __future__ import annotations

import pathlib

import numpy as np
import pandas as pd
import pytest

from solarsim.errors import InputError
from solarsim.weather.places import find_place
from solarsim.weather.readers.file import read_weather_file
from solarsim.weather.years.history import HistoryYear, history_series, hours_of_years, store_year
from tests.weather.readers.epw_by_hand import GREENSBORO, MIAMI, epw_text
from tests.weather.readers.tables_by_hand import csv_text, finer, frame, nsrdb_text

ROOT = pathlib.Path(__file__).resolve().parents[3]
FORMATS = ("EPW", "TMY3", "TMY2", "NSRDB", "CSV", "history")
PLACE = find_place("36.10, -79.95")
NOON = 24 * 160 + 12  # a summer noon


def matrix() -> dict[tuple[str, str], str]:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    table = text.split("<!-- readers -->")[1].split("<!-- /readers -->")[0]
    rows = [[cell.strip() for cell in line.strip("| ").split("|")] for line in table.split("\n")]
    rows = [row for row in rows if len(row) == len(FORMATS) + 1]
    assert rows[0][1:] == list(FORMATS)
    return {
        (row[0], name): cell
        for row in rows[2:]
        for name, cell in zip(FORMATS, row[1:], strict=True)
    }


MATRIX = matrix()


@pytest.fixture(scope="module")
def lines(greensboro, epw_rows) -> dict[str, list[str]]:
    """A whole year in each text format, by line; head and all."""
    year = frame(greensboro, "01-01", "12-31")
    texts = {
        "EPW": epw_text(epw_rows),
        "TMY3": GREENSBORO.read_text(),
        "TMY2": MIAMI.read_text(),
        "NSRDB": nsrdb_text(year),
        "CSV": csv_text(year),
    }
    return {name: text.rstrip("\n").split("\n") for name, text in texts.items()}


HEAD = {"EPW": 8, "TMY3": 2, "TMY2": 1, "NSRDB": 3, "CSV": 3}
SUFFIX = {"EPW": "epw", "TMY3": "csv", "TMY2": "tm2", "NSRDB": "csv", "CSV": "csv"}
# Cells (or characters) of GHI and of air temperature, and each format's own sign of nothing.
GHI = {"EPW": 13, "TMY3": 4, "TMY2": slice(17, 21), "NSRDB": 7, "CSV": 1}
AIR = {"EPW": 6, "TMY3": 31, "TMY2": slice(67, 71), "NSRDB": 8, "CSV": 4}
NOTHING = {"EPW": "9999", "TMY3": "-9900", "TMY2": "9999", "NSRDB": "-999", "CSV": ""}


def with_cell(line: str, where: int | slice, value: str) -> str:
    if isinstance(where, slice):
        return line[: where.start] + value.rjust(where.stop - where.start) + line[where.stop :]
    cells = line.split(",")
    cells[where] = value
    return ",".join(cells)


def cell(line: str, where: int | slice) -> str:
    return line[where] if isinstance(where, slice) else line.split(",")[where]


def spoil(fault: str, name: str, lines: list[str], greensboro) -> list[str]:
    head, rows = lines[: HEAD[name]], list(lines[HEAD[name] :])
    light, air = GHI[name], AIR[name]
    match fault:
        case "two hours left out":
            rows = rows[:NOON] + rows[NOON + 2 :]
        case "ten hours left out":
            rows = rows[:NOON] + rows[NOON + 10 :]
        case "two hours marked missing":
            for at in (NOON, NOON + 1):
                rows[at] = with_cell(rows[at], light, NOTHING[name])
        case "ten hours marked missing":
            for at in range(NOON - 5, NOON + 5):
                rows[at] = with_cell(rows[at], light, NOTHING[name])
        case "an hour stands twice":
            rows = rows[: NOON + 1] + rows[NOON:]
        case "cut off within a row":
            rows = [*rows[:NOON], rows[NOON][: len(rows[NOON]) // 3]]
        case "a cell that is no number":
            rows[NOON] = with_cell(rows[NOON], light, "x12")
        case "60 C too warm":
            rows[NOON] = with_cell(rows[NOON], air, "990" if name == "TMY2" else "99")
        case "light in kWh/m2":
            rows = [
                with_cell(row, light, f"{float(cell(row, light)) / 1000:.3f}"[:4]) for row in rows
            ]
        case "clock twelve hours off":
            light_of = [cell(row, light) for row in rows]
            moved = light_of[12:] + light_of[:12]
            rows = [with_cell(row, light, value) for row, value in zip(rows, moved, strict=True)]
        case "light above the clear sky":
            rows = [
                with_cell(row, light, f"{min(float(cell(row, light)) * 1.6, 1400):.0f}")
                for row in rows
            ]
        case "29 February left out":
            if name not in {"NSRDB", "CSV"}:
                pytest.skip("no such file")
            year = frame(greensboro, "01-01", "12-31", year=2020)
            return (nsrdb_text(year) if name == "NSRDB" else csv_text(year)).split("\n")
        case "half-hours":
            table = finer(frame(greensboro, "01-01", "12-31"), 2)
            return (nsrdb_text(table, minute=15) if name == "NSRDB" else csv_text(table)).split(
                "\n"
            )
        case "no rows":
            rows = []
        case _:
            raise AssertionError(fault)
    return head + rows


def history_with(fault: str, greensboro):
    """A year in the cache with the fault in it, read back."""
    at = np.arange(8760)
    local = np.roll(at, 5)  # the year in UTC
    values = {
        "ghi_w_m2": greensboro.ghi_w_m2[local],
        "dni_w_m2": greensboro.dni_w_m2[local],
        "dhi_w_m2": greensboro.dhi_w_m2[local],
        "temp_air_c": greensboro.temp_air_c[local],
        "relative_humidity_pct": 100.0 * greensboro.relative_humidity[local],
        "wind_speed_m_s": greensboro.wind_speed_m_s[local],
        "precipitation_mm_h": np.zeros(8760),
    }
    noon = NOON + 5
    match fault:
        case "two hours marked missing":
            values["ghi_w_m2"][noon : noon + 2] = np.nan
        case "ten hours marked missing":
            values["ghi_w_m2"][noon - 5 : noon + 5] = np.nan
        case "60 C too warm":
            values["temp_air_c"][noon] = 99.0
        case "light in kWh/m2":
            values["ghi_w_m2"] = values["ghi_w_m2"] / 1000.0
        case "clock twelve hours off":
            values["ghi_w_m2"] = np.roll(values["ghi_w_m2"], 12)
        case "light above the clear sky":
            values["ghi_w_m2"] = np.minimum(values["ghi_w_m2"] * 1.6, 1400.0)
        case "two hours left out" | "ten hours left out":
            hours = 2 if fault.startswith("two") else 10
            values = {key: array[:-hours] for key, array in values.items()}
        case _:
            raise AssertionError(fault)
    store_year(PLACE, HistoryYear(2019, values, PLACE.elevation_m, "http://127.0.0.1/"))
    assert len(hours_of_years(2019, 2019)) == 8760
    return history_series(PLACE, (2019,))


# A whole year is read in each case: two formats and the kept years stand for the rest.
AS_A_RULE = {"EPW", "CSV", "history"}
CASES = [
    case if case[1] in AS_A_RULE else pytest.param(*case, marks=pytest.mark.slow) for case in MATRIX
]


@pytest.mark.one_plain
@pytest.mark.parametrize(("fault", "name"), CASES)
def test_what_becomes_of_each_fault(lines, greensboro, tmp_path, monkeypatch, fault, name):
    expected = MATRIX[fault, name]
    if expected == "-":
        return
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    path = tmp_path / f"site.{SUFFIX.get(name, '')}"

    def read():
        if name == "history":
            return history_with(fault, greensboro)
        path.write_text("\n".join(spoil(fault, name, lines[name], greensboro)) + "\n")
        return read_weather_file(path)

    if expected == "refused":
        with pytest.raises(InputError) as caught:
            read()
        assert "\n" not in str(caught.value)
        assert str(caught.value).startswith("history 2019" if name == "history" else str(path))
        return
    series = read()
    assert isinstance(series.times, pd.DatetimeIndex)
    closed = round(series.quality.missing_share * series.quality.hours)
    match expected:
        case "closed":
            assert closed == 2
        case "told":
            assert closed == 0
            assert series.quality.findings or any("28 February" in note for note in series.notes)
        case "read":
            assert closed == 0
            assert series.quality.findings == ()
        case _:
            raise AssertionError(expected)
