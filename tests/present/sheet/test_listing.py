"""Texts for a listing: never too long, never cut in a word, the sheet's own figures and caution."""

from __future__ import annotations

import os
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solarsim.present.sheet.glyphs import Cleaner
from solarsim.present.sheet.listing import at_word, listing_text, listing_texts
from solarsim.present.sheet.make import sheet_bytes
from solarsim.present.sheet.page import sheet_page
from solarsim.present.sheet.texts import load_texts
from solarsim.present.sheet.web import web_page

MOST = int(os.environ.get("SOLARSIM_FUZZ", "20"))
SEASONS = ("winter", "spring", "summer", "autumn")


def season(name, p1, p10, p50, follow_days=30):
    return {
        "season": name,
        "month": 1 + 3 * SEASONS.index(name),
        "p1": p1,
        "p10": p10,
        "p50": p50,
        "p90": follow_days,
        "mean": p50,
        "follow_days": follow_days,
    }


def region(
    name="Salzburg, AT", days=(1.25, 3.46, 4.6), ways=("light", "typical", "heavy"), last=30
):
    rows = [season(one, *days, last) for one in SEASONS]
    rows[2] = season("summer", 6.0, last, last, last)
    return {"place": {"name": name}, "runs": 700, "days": dict.fromkeys(ways, rows)}


def document(*regions, medical=(), name="Lark", described="Two people.", soc=1.0, **van):
    return {
        "date": "2026-03-01",
        "medical": list(medical),
        "stay": {"start_soc": soc},
        "regions": list(regions) or [region()],
        "ways": [{"way": "typical", "name": "x", "description": described}],
        "recharge": {
            "sun_june_share": 0.8,
            "sun_december_share": 0.13,
            "drive_hour_share": 0.14,
        },
        "van": {
            "name": name,
            "panels_w": 400.0,
            "more_roof_w": 0.0,
            "portable_w": 0.0,
            "capacity_ah": 200.0,
            "nominal_wh": 2560.0,
            "system_voltage_v": 12,
            "chemistry": "lfp",
            "inverter_w": 1200.0,
            "dcdc_a": 30.0,
            "charger_a": 20.0,
            "drive_h": 0.0,
            "drive_every_days": 1,
            "plugged_h": 0.0,
            "plugged_every_days": 1,
        }
        | van,
    }


def test_the_safe_figures_lead_and_the_caution_follows():
    texts = listing_texts(document())
    assert texts["60"] == "Winter 3.4 days, summer 30 days off grid, 9 times in 10"
    assert texts["300"].startswith(
        "Near Salzburg, AT this van lasts at least 3.4 days in winter and 30 days in summer, nine "
        "times in ten, with typical use, from a full battery, parked without driving or plugging "
        "in. Expected, not guaranteed"
    )
    assert texts["300"].endswith("on the battery's age.")
    assert texts["1200"].startswith("Lark. Near Salzburg, AT this van lasts at least 3.4 days")
    assert (
        "Half of all stays last 4.6 days in winter and 30+ days in summer, or longer."
        in (texts["1200"])
    )
    for length in ("300", "1200"):
        assert "Expected, not guaranteed" in texts[length]


def test_where_health_depends_on_it_the_worst_of_a_hundred_leads():
    texts = listing_texts(document(medical=["breathing device"]))
    assert texts["60"] == "Winter 1.2 days, summer 6.0 days off grid, 99 times in 100"
    for length in ("300", "1200"):
        assert "1.2 days in winter and 6.0 days in summer" in texts[length]
        assert "ever rely on this alone" in texts[length]
        assert "3.4 days" not in texts[length]
    assert "the breathing device" in texts["1200"]


def test_what_charges_it_meanwhile_is_never_left_out():
    driven = document(
        region("A town with a rather long name, in a land far away"),
        drive_h=1.5,
        drive_every_days=3,
        plugged_h=8.0,
        plugged_every_days=2,
        portable_w=200.0,
        medical=["breathing device"],
        soc=0.5,
    )
    text = listing_texts(driven)["300"]
    for said in ("driving 1.5 h every 3 days", "plugged in for 8 h", "portable", "50 %"):
        assert said in text


def test_names_end_at_a_word():
    assert at_word("one two three", 9) == "one two…"
    assert at_word("one two three", 3) == "one…"[:0]
    assert at_word("a\x1b[2J\nb", 40) == "a [2J b"
    assert at_word("x" * 50, 40) == ""


WORDS = st.text(st.characters(codec="utf-8"), min_size=1, max_size=200)
DAYS = st.floats(0.0, 365.0)


@st.composite
def documents(draw):
    follow_days = draw(st.integers(1, 365))

    def rows():
        found = []
        for one in SEASONS:
            days = sorted(draw(DAYS) for _ in range(3))
            found.append(season(one, *(min(day, follow_days) for day in days), follow_days))
        return found

    ways = draw(st.sampled_from([("typical",), ("light", "typical", "heavy")]))
    regions = [
        {
            "place": {"name": draw(WORDS)},
            "runs": draw(st.integers(300, 100_000)),
            "days": {way: rows() for way in ways},
        }
        for _ in range(draw(st.integers(1, 4)))
    ]
    return document(
        *regions,
        medical=draw(st.lists(WORDS, max_size=12)),
        name=draw(WORDS),
        described=draw(WORDS),
        soc=draw(st.floats(0.0, 1.0)),
        drive_h=draw(st.floats(0.0, 24.0)),
        drive_every_days=draw(st.integers(1, 365)),
        plugged_h=draw(st.floats(0.0, 24.0)),
        plugged_every_days=draw(st.integers(1, 365)),
        portable_w=draw(st.sampled_from([0.0, 200.0])),
        panels_w=draw(st.floats(0.0, 20_000.0)),
    )


@settings(max_examples=MOST, deadline=None)
@given(documents())
def test_no_text_is_too_long_and_each_ends_whole(found):
    for length, text in listing_texts(found).items():
        assert 20 < len(text) <= int(length)
        assert text.isprintable()
        if length != "60":
            assert "Expected, not guaranteed" in text
            assert text.endswith(".")
            assert not found["medical"] or "ever rely on this alone" in text
            # What charges it meanwhile: a figure without it would mislead.
            assert re.search(r"parked without|driving|plugged in|portable", text)


@pytest.mark.parametrize("medical", [[], ["breathing device"]])
def test_the_texts_say_the_figures_of_the_page(whole, medical):
    shown = whole | {"medical": medical}
    page = sheet_page(shown, load_texts(), units="metric", clean=Cleaner(limited=False))
    texts = listing_texts(shown)
    for length in ("60", "300", "1200"):
        for hero in page["hero"][:2]:
            note = hero["note"].replace("\u00a0", " ")
            days = note.rpartition("at least ")[2]
            if medical:
                days = f"{hero['value']} {hero['unit']}"
            assert days in texts[length]
    html = web_page(page).decode()
    assert ("Never rely on this alone" in html) is bool(medical)
    assert bool(page["medical"]) is bool(medical)
    for card in (page["card"]["footer"], " ".join(page["cautions"]["items"])):
        assert ("ever rely on this alone" in card) is bool(medical)


@pytest.fixture(scope="module")
def whole():
    """A whole document, with a chance in a hundred that so few runs cannot tell put in."""
    import datetime as dt

    from solarsim.answers.question import ask
    from solarsim.answers.sheet.sheet import sheet
    from solarsim.present.sheet.document import sheet_document

    answer = sheet(ask("weekender", runs=6))
    found = sheet_document(answer, date=dt.date(2026, 3, 1))
    for one in found["regions"]:
        for rows in one["days"].values():
            for row in rows:
                row["p1"] = 0.7 * row["p10"]
    return found


def test_the_file_holds_the_three_texts(whole):
    content = sheet_bytes(whole, ".txt").decode()
    assert content == f"{listing_text(whole)}\n"
    assert whole["listing"]["1200"] in content
    assert re.findall(r"^([\d,]+) characters at most", content, re.M) == ["60", "300", "1,200"]
