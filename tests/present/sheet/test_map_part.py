"""A region's map on the sheet: its words, its squares, and what it leaves out."""

from __future__ import annotations

import datetime as dt
import io
import xml.etree.ElementTree as ET

import pypdf
import pytest

from solarsim.answers.question import ask
from solarsim.answers.region.asked import ask_region
from solarsim.answers.region.region import region
from solarsim.answers.sheet.region_map import map_question
from solarsim.answers.sheet.sheet import sheet
from solarsim.errors import InputError
from solarsim.present.region.document import region_document
from solarsim.present.sheet.document import sheet_document
from solarsim.present.sheet.glyphs import Cleaner
from solarsim.present.sheet.make import sheet_bytes
from solarsim.present.sheet.map_drawing import map_svg
from solarsim.present.sheet.map_part import map_part
from solarsim.present.sheet.texts import load_texts

SPACE = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def document():
    answer = region(ask_region(ask(runs=6, month=1, follow_days=14), "LI", step_deg=0.25))
    towns = [{"name": "<b>Vaduz", "latitude": 47.14, "longitude": 9.52}]
    return {"map": region_document(answer) | {"towns": towns}}


def part_of(document):
    return map_part(document, load_texts(), Cleaner(limited=False))


def test_a_sheet_without_a_map_says_nothing_of_one():
    assert part_of({"map": None}) is None


def test_the_words_are_those_of_the_region_s_own_answer(document):
    part, land = part_of(document), document["map"]["land"][0]
    assert part["title"] == "Where it lasts how long in winter: Liechtenstein"
    assert "In winter (Jan), with typical use: the number in a square" in part["text"]
    share = f"{100.0 * land['target_met_share']:.0f}"
    assert f"7 days is met with a chance of 90\u00a0% or more over {share}\u00a0%" in part["text"]
    assert "valley" in part["legend"]
    assert "Expected, not guaranteed" in part["legend"]


def test_every_cell_is_a_square_with_its_own_days(document):
    part, cells = part_of(document), document["map"]["cells"]
    assert len(part["squares"]) == len(cells) > 0
    for square, cell in zip(part["squares"], cells, strict=True):
        days = cell["vans"][0]["months"][0]["p50"]
        assert square["class"] == sum(days >= edge for edge in (2.0, 4.0, 7.0, 14.0))
        assert square["days"] == (f"{days:.1f}" if days < 2.0 else f"{int(days)}")


def test_the_drawing_holds_squares_and_towns_as_text_alone(document):
    part = part_of(document)
    root = ET.fromstring(map_svg(part, width=500.0, most_height=600.0))
    said = [one.text for one in root.iter(f"{SPACE}text")]
    assert said.count("<b>Vaduz") == 2
    assert all(square["days"] in said for square in part["squares"])
    assert said[-5:] == part["classes"]
    assert len(part["classes"]) == 5


def test_a_map_of_many_squares_has_shades_without_numbers(document):
    far = {**document["map"]["cells"][0], "longitude": -170.0}
    part = part_of({"map": document["map"] | {"cells": [*document["map"]["cells"], far]}})
    assert "the shade of a square" in part["text"]
    root = ET.fromstring(map_svg(part, width=500.0, most_height=600.0))
    assert part["squares"][0]["days"] not in [one.text for one in root.iter(f"{SPACE}text")]


@pytest.mark.one_plain
@pytest.mark.parametrize(
    ("where", "months", "step_deg"), [("LI", (1,), 0.25), ("NZ", (7,), 0.5), ("ES", (1,), 0.5)]
)
def test_a_map_is_of_the_region_s_winter_in_cells_that_can_be_read(where, months, step_deg):
    asked = map_question(ask(runs=2000), where)
    assert (asked.months, asked.cells.step_deg) == (months, step_deg)
    assert (asked.questions[0][0].runs, asked.follow_days) == (200, 14)


def test_a_region_that_cannot_be_is_refused(monkeypatch):
    with pytest.raises(InputError, match=r"map: .*no such country"):
        map_question(ask(runs=2), "Atlantis")
    monkeypatch.setattr("solarsim.answers.sheet.region_map._MOST_CELLS", 2)
    with pytest.raises(InputError, match=r"map: .*'ES': .* at most 2 stand on a sheet"):
        map_question(ask(runs=2), "ES")


@pytest.mark.slow
def test_the_page_holds_it_in_every_form():
    document = sheet_document(sheet(ask(runs=4), map_of="LI"), date=dt.date(2026, 3, 1))
    plain = sheet_document(sheet(ask(runs=4)), date=dt.date(2026, 3, 1))
    assert plain["map"] is None
    assert "Liechtenstein" in sheet_bytes(document, ".html").decode()
    for paper in ("a4", "letter"):
        pages = [sheet_bytes(one, ".pdf", paper=paper) for one in (plain, document)]
        assert [len(pypdf.PdfReader(io.BytesIO(page)).pages) for page in pages] == [1, 2]
    # A picture is of the first page, which stays as it is.
    assert sheet_bytes(document, ".png") == sheet_bytes(plain, ".png")
