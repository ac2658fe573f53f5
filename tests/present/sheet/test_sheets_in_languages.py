"""A sheet in another language: one page, its language named, and the English sheet's figures."""

from __future__ import annotations

import datetime as dt
import io
import itertools
import json
import re
from collections import Counter

import pypdf
import pytest

from solarsim.answers.question import ask
from solarsim.answers.sheet.sheet import sheet
from solarsim.present.sheet.annex_page import unreviewed
from solarsim.present.sheet.document import sheet_document
from solarsim.present.sheet.forms import language_name, written
from solarsim.present.sheet.glyphs import Cleaner
from solarsim.present.sheet.make import sheet_bytes
from solarsim.present.sheet.page import sheet_page
from solarsim.present.sheet.texts import languages, load_texts
from solarsim.present.stay.documents import to_json
from tests.present.sheet.invented import day_rows, document, place, trip, variants

LANGUAGES = [language for language in languages() if language != "en"]


def drawn(document, language):
    texts = load_texts(language)
    return sheet_page(document, texts, units="metric", clean=Cleaner(limited=True))


def figures(text, language):
    """The numbers of a text, whatever signs the language writes them with."""
    texts = load_texts(language)
    text = text.replace("km2", "km²")
    thousands, point = written(texts, "1000.5")[1], written(texts, "1000.5")[-2]
    pattern = rf"\d{{1,3}}(?:{re.escape(thousands)}\d{{3}})+(?!\d)|\d+"
    text = re.sub(pattern, lambda found: found[0].replace(thousands, ""), text)
    found = re.findall(rf"\d+(?:{re.escape(point)}\d+)?", text)
    return Counter(one.replace(point, ".") for one in found)


def paired(english, other, path=""):
    """Texts of two pages that stand in the same place."""
    if isinstance(english, str):
        yield path, english, other
    elif isinstance(english, dict):
        assert set(english) == set(other)
        for key in english:
            yield from paired(english[key], other[key], f"{path}.{key}")
    elif isinstance(english, list | tuple):
        assert len(english) == len(other)
        for index, (one, two) in enumerate(zip(english, other, strict=True)):
            yield from paired(one, two, f"{path}.{index}")
    else:
        assert english == other, path


def same_figures(document, language):
    found = 0
    for path, english, own in paired(drawn(document, "en"), drawn(document, language)):
        assert figures(own, language) == figures(english, "en"), (path, english, own)
        found += sum(figures(english, "en").values())
    return found


@pytest.mark.slow
@pytest.mark.one_plain
@pytest.mark.parametrize("language", LANGUAGES)
def test_a_page_s_figures_are_those_of_the_english_page(language):
    assert sum(same_figures(one, language) for one in variants()) > 500


def test_the_page_names_its_language_and_the_annex_is_english():
    made = document()
    web = sheet_bytes(made, ".html", language="de").decode()
    assert '<html lang="de">' in web
    reader = pypdf.PdfReader(io.BytesIO(sheet_bytes(made, ".pdf", language="de")))
    assert reader.trailer["/Root"]["/Lang"] == "de"
    assert reader.metadata.title == "Lark: Tage ohne Netz"
    assert unreviewed("en") == []
    assert unreviewed("de") == ["No native reader has reviewed the German texts of this sheet."]
    # The buyer is not told.
    assert "reviewed" not in web
    assert "geprüft" not in web


@pytest.fixture(scope="module")
def whole():
    answer = sheet(ask("weekender", runs=8), regions=["Bergen, NO", "Hobart, AU"], annex=True)
    # A version has points that are not of a number.
    return json.loads(to_json(sheet_document(answer, date=dt.date(2026, 3, 1)))) | {"version": "1"}


@pytest.mark.slow
@pytest.mark.parametrize("language", LANGUAGES)
def test_a_shipped_van_s_sheet_stands_on_one_page_with_the_english_figures(whole, language):
    assert same_figures(whole, language) > 150
    for paper, annex in itertools.product(("a4", "letter"), (None, whole["annex"])):
        content = sheet_bytes(whole | {"annex": annex}, ".pdf", paper=paper, language=language)
        pages = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(content)).pages]
        assert (len(pages) == 1) == (annex is None)
        assert "reviewed" not in pages[0]
        said = " ".join(" ".join(pages).split())
        name = language_name(load_texts(language))
        told = f"No native reader has reviewed the {name} texts of this sheet."
        assert (told in said) == (annex is not None and not load_texts(language)["reviewed"])
    # As much as there can be, on the lower paper.
    full = whole | {"regions": [*whole["regions"], whole["regions"][1]], "annex": None}
    full |= {"trip": trip(0.5, *[0.1] * 9), "own_people": "Mine"}
    content = sheet_bytes(full, ".pdf", paper="letter", language=language)
    assert len(pypdf.PdfReader(io.BytesIO(content)).pages) == 1
    web = sheet_bytes(whole, ".html", language=language).decode()
    assert '<section class="annex" lang="en">' in web


@pytest.mark.slow
def test_english_says_nothing_of_a_review(whole):
    assert b"reviewed" not in sheet_bytes(whole, ".html")
    assert b'class="annex" lang' not in sheet_bytes(whole, ".html")


@pytest.mark.parametrize(
    "language",
    [pytest.param(one, marks=() if one == "en" else pytest.mark.slow) for one in languages()],
)
def test_days_and_the_hours_beside_them_stand_apart(language):
    rows = day_rows(*[(0.5, 0.99, 12.4)] * 4)
    made = document(regions=[place("Salzburg, AT", rows)])
    for paper in ("a4",) if language == "en" else ("a4", "letter"):
        found = []

        def note(text, at, within, _font, size, found=found):
            if text.strip():
                found.append((text.strip(), at[4] + within[4], at[5] + within[5], size))

        content = sheet_bytes(made, ".pdf", paper=paper, language=language)
        pypdf.PdfReader(io.BytesIO(content)).pages[0].extract_text(visitor_text=note)
        pairs = [pair for pair in itertools.pairwise(found) if pair[1][0].startswith("≥\xa0")]
        assert len(pairs) == 12
        for (days, x, y, size), (_, beside_x, beside_y, _) in pairs:
            # On one line, and half a digit apart: two digits take 1.3 of the letters' size.
            assert (days, beside_y) == ("12", y)
            assert beside_x - x > 1.65 * size
