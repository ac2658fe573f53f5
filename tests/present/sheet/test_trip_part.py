"""The trip on the sheet: its line, its picture, and names that are only text."""

from __future__ import annotations

import datetime as dt
import xml.etree.ElementTree as ET

import pytest

from solarsim.answers.question import ask
from solarsim.answers.sheet.sheet import sheet
from solarsim.answers.trip.trip import trip
from solarsim.inputs.trip import Stop, Trip, TripIdentity
from solarsim.present.sheet.document import sheet_document
from solarsim.present.sheet.drawings import trip_svg
from solarsim.present.sheet.glyphs import Cleaner
from solarsim.present.sheet.make import sheet_bytes
from solarsim.present.sheet.texts import load_texts
from solarsim.present.sheet.trip_part import trip_part
from solarsim.present.trip.documents import trip_document

TOUR = Trip(
    trip=TripIdentity(name="<b>North</b>"),
    stops=(
        Stop(place="Lulea, SE", arrive=dt.date(2026, 3, 26), nights=2),
        Stop(place="Tornio, FI", nights=1, drive_h=2.0),
    ),
)


def part_of(**asked):
    answer = trip(ask(**asked), TOUR, with_changes=False)
    return trip_part({"trip": trip_document(answer)}, load_texts(), Cleaner(limited=False))


def test_a_sheet_without_a_trip_says_nothing_of_one():
    assert trip_part({"trip": None}, load_texts(), Cleaner(limited=False)) is None


def test_the_line_says_the_chance_and_where_it_runs_out():
    part = part_of(runs=10)
    assert part["text"].startswith("<b>North</b> (2 stops, 3 nights from 26 Mar 2026): a chance of")
    assert "1 Luleå, SE; 2 Tornio, FI" in part["legend"]
    low = part_of(runs=10, settings=["stay.start_soc=0.15"])
    assert "most often at stop 1 Luleå, SE" in low["text"]
    large = part_of(runs=2, settings=["battery.units=9"])
    assert "none of the weather" in large["text"]


def test_the_picture_has_a_mark_for_each_stop():
    part = part_of(runs=2)
    root = ET.fromstring(trip_svg(part, width=540.0, height=64.0))
    space = "{http://www.w3.org/2000/svg}"
    assert [one.text for one in root.iter(f"{space}text")][-2:] == ["1", "2"]
    line = next(root.iter(f"{space}polyline")).get("points").split()
    assert len(line) == len(part["p50"])


def test_the_shade_holds_what_is_safe_and_the_legend_says_how_often():
    answer = trip(ask(runs=2), TOUR, with_changes=False)
    usual, rare = trip_document(answer), trip_document(answer)
    rare["soc"] |= {"p1": [0.9 * soc for soc in rare["soc"]["p10"]]}
    for document, band, often in ((usual, "p10", "nine tenths"), (rare, "p1", "99 hundredths")):
        part = trip_part({"trip": document}, load_texts(), Cleaner(limited=False))
        assert part["shade"] == document["soc"][band][::3]
        assert f"the shade in {often} of it" in part["legend"]


@pytest.mark.slow
def test_the_page_holds_it_in_every_form():
    asked = ask(runs=4)
    found = sheet(asked, stops=TOUR)
    assert found.trip is not None
    assert found.trip.chance_lasts == trip(asked, TOUR, with_changes=False).chance_lasts
    document = sheet_document(found, date=dt.date(2026, 3, 1))
    page = sheet_bytes(document, ".html").decode()
    assert "&lt;b&gt;North" in page
    assert "<b>North" not in page
    assert sheet_bytes(document, ".pdf").startswith(b"%PDF")
