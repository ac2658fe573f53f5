"""An offer in another language: its own words, the English figures, English where it says so."""

from __future__ import annotations

import datetime as dt
import io
import re

import pypdf
import pytest

from solarsim.answers.offer.offer import offer, with_each_van
from solarsim.answers.question import ask
from solarsim.inputs.prices import read_prices
from solarsim.present.offer.make import offer_bytes
from solarsim.present.offer.page import offer_page
from solarsim.present.sheet.texts import languages
from tests.present.sheet.test_languages import ENGLISH
from tests.present.sheet.test_sheets_in_languages import figures

LANGUAGES = [language for language in languages() if language != "en"]
MONEY = {"prices": read_prices("example"), "labour": [1000.0, 2500.5], "tax_pct": 19.0}


def answered(*settings, start=None, **money):
    first = ask("weekender", month=1, days=4, runs=6, seed=3)
    other = ask("weekender", settings=settings).van if settings else "long-stayer"
    return offer(with_each_van(first, [other], ()), date=dt.date(2026, 3, 1), **money)


@pytest.fixture(scope="module")
def answers():
    return (
        answered(valid_until=dt.date(2026, 6, 1), **MONEY),
        answered("wiring.bank_inverter.wire=10 AWG", "wiring.bank_inverter.fuse_a=300"),
        answered("battery.units=3", prices=MONEY["prices"]),
        answered("van.payload_kg=60", "alternator.dcdc_a=0"),
    )


def lines_of(page):
    """Every string that is not the builder's own, with where it stands."""
    for key in ("title", "heading", "stops_title", "not_full"):
        yield key, page[key]
    for key in ("lines", "head", "cautions"):
        yield from ((key, line) for line in page[key])
    for group in page["groups"]:
        yield "group", group["title"]
        for row in group["rows"]:
            yield from ((row[0], cell) for cell in row)
    for part in page["lists"]:
        yield "list", part["title"]
        if not part["english"]:
            yield from (("list", line) for line in part["items"])


def stripped(text):
    """What is nobody's to translate: parts by their names, vans, cable sizes."""
    text = re.sub(r"[-+]\d+ x [^:]+(?=:|$)", "", text)
    return re.sub(r"Long-stayer|Weekender|--prices FILE.toml", "", text)


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_page_is_in_its_language_with_the_english_figures(answers, language):
    for answer in answers:
        english = list(lines_of(offer_page(answer)))
        # In English nothing is told apart.
        english += [("list", i) for p in offer_page(answer)["lists"] for i in p["items"]]
        own = list(lines_of(offer_page(answer, language=language)))
        known = {text for _, text in english}
        for where, text in own:
            assert not ENGLISH.search(stripped(text)), (where, text)
            if re.search("[a-z]{4}", stripped(text)):
                same = text in known and not re.search("Ah|AWG|MPPT|router", text)
                assert not same or text in {"inverter", "panel", "person", "arbeid"}, (where, text)
        pages = offer_page(answer), offer_page(answer, language=language)
        for one, other in zip(*(page["groups"] for page in pages), strict=True):
            for left, right in zip(one["rows"], other["rows"], strict=True):
                # Parts say in English how they lie or what they are as well.
                if left[0] not in {"panels", "bank", "what runs"}:
                    for here, there in zip(left, right, strict=True):
                        assert figures(there, language) == figures(here, "en"), (here, there)


def test_the_file_names_its_language(answers):
    web = offer_bytes(answers[0], ".html", language="de").decode()
    assert '<html lang="de">' in web
    assert web.count('<ul lang="en">') >= 2
    assert "Angeboten am 1. März 2026. Gültig bis 1. Juni 2026." in web
    reader = pypdf.PdfReader(io.BytesIO(offer_bytes(answers[0], ".pdf", language="pt")))
    assert reader.trailer["/Root"]["/Lang"] == "pt-PT"
    assert "reviewed" not in web
    assert offer_bytes(answers[0], ".csv", language="de") == offer_bytes(answers[0], ".csv")
    assert b"<ul lang" not in offer_bytes(answers[0], ".html")
