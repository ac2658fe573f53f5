"""Every table that leaves for a spreadsheet, with names that would run as formulas in one.

What runs is that of OWASP's page on CSV injection (from memory), in spreadsheets that part cells by
commas, by semicolons or by tabs.
"""

from __future__ import annotations

import csv
import dataclasses
import datetime as dt
import io
import re
import zipfile
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

import solarsim
from solarsim.answers.buy.buy import buy
from solarsim.answers.offer.offer import offer
from solarsim.answers.question import ask
from solarsim.answers.region.asked import ask_region
from solarsim.answers.region.block import Block
from solarsim.answers.region.region import RegionAnswer
from solarsim.answers.wiring.wiring import wiring
from solarsim.inputs.files.cells import safe_cell, safe_frame
from solarsim.inputs.files.van import read_van
from solarsim.present.buy.document import buy_csv, buy_xlsx
from solarsim.present.check.documents import cables_csv
from solarsim.present.offer.document import offer_csv, offer_xlsx
from solarsim.present.region.table import csv_bytes as region_csv
from solarsim.present.trip.documents import csv_bytes as trip_csv
from solarsim.present.wiring.document import runs_csv
from solarsim.weather.readers.file import read_weather_file
from solarsim.weather.readers.write_csv import plain_csv
from tests.weather.readers.epw_by_hand import GREENSBORO

DATE = dt.date(2026, 3, 1)
PACKAGE = Path(solarsim.__file__).parent
# Modules that write tables, each of which has its writer below; the last ones hold numbers alone.
WRITERS = {
    "inputs/files/cells.py",
    "present/workbook.py",
    "present/region/table.py",
    "present/trip/documents.py",
    "weather/readers/write_csv.py",
    "weather/years/history.py",
}
ATTACKS = (
    "=cmd|' /C calc'!A0",
    "+cmd|' /C calc'!A0",
    "-2+3+cmd|' /C calc'!A0",
    "@SUM(1+9)*cmd|' /C calc'!A0",
    "a,=cmd|' /C calc'!A0",
    "a;=cmd|' /C calc'!A0",
    "a;\"=cmd|' /C calc'!A0",
    "\uff1dcmd",
)


def runs(cell):
    """Whether a spreadsheet would take a cell for a formula."""
    return bool(re.match("[=+\\-@\t\r\n\uff1d\uff0b\uff0d\uff20]", cell)) and not re.fullmatch(
        r"[+-]?[0-9.]+(e[+-]?[0-9]+)?", cell
    )


def formulas(text):
    """All cells that would run, however the spreadsheet parts them."""
    return [
        cell
        for delimiter in ",;\t"
        for row in csv.reader(io.StringIO(text), delimiter=delimiter)
        for cell in row
        if runs(cell)
    ]


def attacked(name):
    """A van whose own name and branch are one of those."""
    van = read_van("weekender")
    tables = van.model_dump(exclude_unset=True, exclude_none=True)
    tables["van"]["name"] = name
    tables.setdefault("wiring", {})["branches"] = [{"name": name, "current_a": 5.0, "fused": False}]
    return type(van).model_validate(tables)


def made_up_region(question):
    asked = ask_region(question, "PT", months=[1], beside=[], step_deg=2.0)
    cells = len(asked.cells.cells)
    days = np.ones((1, 1, cells))
    figures = Block(
        has_climate=np.ones(cells, dtype=bool),
        elevation_m=np.full(cells, -3.0),
        timezone=np.full(cells, "Etc/UTC"),
        p10_days=days,
        p50_days=days,
        chance_lasts=days,
        bank_units=np.zeros((1, 1, cells), dtype=int),
    )
    return RegionAnswer(asked, figures, ())


@pytest.fixture(scope="module")
def plain_trip():
    return solarsim.trip("weekender", "northern-spring", runs=1, with_changes=False)


@pytest.fixture(scope="module")
def plain_weather():
    return read_weather_file(GREENSBORO)


@pytest.fixture(
    scope="module",
    params=[*ATTACKS[::4], *(pytest.param(name, marks=pytest.mark.slow) for name in ATTACKS[1::2])],
)
def texts(request, plain_trip, plain_weather):
    """Each table as a text, by its writer, with one such name wherever one can stand."""
    name = request.param
    question = ask(attacked(name), runs=1)
    stops = tuple(
        dataclasses.replace(stop, place=dataclasses.replace(stop.place, name=name))
        for stop in plain_trip.stops
    )
    trip = dataclasses.replace(
        plain_trip, stops=stops, trip=plain_trip.trip.model_copy(update={"name": name})
    )
    place = dataclasses.replace(plain_weather.place, name=name)
    plan = wiring(question)
    return {
        "cables": cables_csv(plan.check),
        "runs": runs_csv(plan),
        "list": buy_csv(buy(question)),
        "offer": offer_csv(offer([question], date=DATE)),
        "trip": trip_csv(trip).decode(),
        "region": region_csv(made_up_region(question)).decode(),
        "weather": plain_csv(dataclasses.replace(plain_weather, place=place))[:2000],
    }


def test_no_cell_of_any_table_runs(texts):
    for writer, text in texts.items():
        assert formulas(text) == [], writer
        assert "cmd" in text, writer
    # In what stands above the headings too.
    assert "cmd" in texts["list"].partition("\ngroup,")[0]
    assert "# STOP" in texts["runs"]


WORKBOOKS = {
    "list": lambda question: buy_xlsx(buy(question)),
    "offer": lambda question: offer_xlsx(offer([question], date=DATE)),
}


@pytest.mark.parametrize("kind", WORKBOOKS)
@pytest.mark.parametrize("name", ATTACKS[::4])
def test_every_text_of_a_workbook_is_a_text(name, kind):
    with zipfile.ZipFile(io.BytesIO(WORKBOOKS[kind](ask(attacked(name), runs=1)))) as book:
        sheet = book.read("xl/worksheets/sheet1.xml").decode()
        names = book.namelist()
        strings = book.read("xl/sharedStrings.xml").decode()
    assert "<f>" not in sheet
    assert "<f " not in sheet
    assert not [part for part in names if "external" in part.lower()]
    assert "cmd" in strings


def test_numbers_stay_numbers():
    frame = pd.DataFrame({"=1+1": [-1.5, np.nan], "text": ["-1.5", "=1"], "n": [-1, 2]})
    text = safe_frame(frame).to_csv(index=False)
    assert text == "'=1+1,text,n\n-1.5,-1.5,-1\n,'=1,2\n"
    assert list(frame.columns) == ["=1+1", "text", "n"]
    assert [safe_cell(x) for x in (-3, -3.5, None, True)] == [-3, -3.5, None, True]
    assert [safe_cell(x) for x in ("-12", "+1e3", "-1+1", "fridge, -5 C")] == [
        *("-12", "+1e3", "'-1+1"),
        "fridge, -5 C",
    ]


def test_there_is_no_other_writer_of_tables():
    writes = re.compile(r"csv\.(Dict)?[wW]riter|\.to_csv\(|\.to_excel\(|xlsxwriter")
    found = {
        path.relative_to(PACKAGE).as_posix()
        for path in PACKAGE.rglob("*.py")
        if writes.search(path.read_text(encoding="utf-8"))
    }
    # What builds the data and the accuracy page takes no name that a person types.
    assert {name for name in found if not name.startswith("data/")} == WRITERS
