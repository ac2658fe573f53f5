"""An offer in another language: its own words, the English figures, English where it says so."""

from __future__ import annotations

import datetime as dt
import io
import re

import pypdf
import pytest

from solarsim.answers.buy.buy import buy_of
from solarsim.answers.checked import check_question
from solarsim.answers.offer.offer import offer, with_each_van
from solarsim.answers.question import _safe_target, ask
from solarsim.inputs.files.horizon import Horizon
from solarsim.inputs.prices import read_prices
from solarsim.inputs.profile import Profile
from solarsim.present.offer import words
from solarsim.present.offer.make import offer_bytes
from solarsim.present.offer.page import offer_page
from solarsim.present.sheet.forms import given_value
from solarsim.present.sheet.texts import languages, load_texts
from solarsim.solar.horizon import horizon_note
from solarsim.solar.shade.roof_shade import _note as roof_note
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
        answered(
            "generator.power_w=1000",
            "stay.parking=forest edge",
            "panels.tilt_deg=20",
            "panels.count=4",
            "battery.part=100 Ah gel",
            "alternator.second.charging_a=50",
            'arrays=[{name="side",part="100 W rigid",count=1,kind="ground"}]',
        ),
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
    """What is nobody's to translate: vans, and where prices are from."""
    return re.sub(r"Long-stayer|Weekender|--prices FILE.toml", "", text)


@pytest.mark.slow
@pytest.mark.one_plain
@pytest.mark.parametrize("language", LANGUAGES)
def test_the_page_is_in_its_language_with_the_english_figures(answers, language):
    for answer in answers:
        pages = offer_page(answer), offer_page(answer, language=language)
        english, own = (list(lines_of(page)) for page in pages)
        # In English nothing is told apart.
        english += [("list", i) for p in pages[0]["lists"] for i in p["items"]]
        known = {text for _, text in english}
        for where, text in own:
            assert not ENGLISH.search(stripped(text)), (where, text)
            if re.search("[a-z]{4}", stripped(text)):
                same = text in known and not re.search("Ah|AWG|MPPT|router", text)
                assert not same or text in {"inverter", "panel", "person", "arbeid"}, (where, text)
        for one, other in zip(*(page["groups"] for page in pages), strict=True):
            for left, right in zip(one["rows"], other["rows"], strict=True):
                # Parts say in English how they lie or what they are as well.
                if left[0] not in {"panels", "bank", "what runs"}:
                    for here, there in zip(left, right, strict=True):
                        assert figures(there, language) == figures(here, "en"), (here, there)


def test_the_file_names_its_language(answers):
    web = offer_bytes(answers[0], ".html", language="de").decode()
    assert '<html lang="de">' in web
    found = offer_bytes(answers[1], ".html", language="de").decode()
    assert (web.count('<ul lang="en">'), found.count('<ul lang="en">')) == (0, 1)
    assert "Angeboten am 1. März 2026. Gültig bis 1. Juni 2026." in web
    reader = pypdf.PdfReader(io.BytesIO(offer_bytes(answers[0], ".pdf", language="pt")))
    assert reader.trailer["/Root"]["/Lang"] == "pt-PT"
    assert "reviewed" not in web
    assert offer_bytes(answers[0], ".csv", language="de") == offer_bytes(answers[0], ".csv")
    assert b"<ul lang" not in offer_bytes(answers[0], ".html")


def checked(*settings, van="weekender", **asked):
    """What the check and the list say of a van beside their findings."""
    question = ask(van, settings=settings, **asked)
    check = check_question(question)
    yield from (check.rules_why, *check.assumed, *check.not_looked_at)
    yield from (note.replace(" (marked ~)", "") for note in buy_of(check).notes)
    yield from _safe_target(question.van.stay, question.profile)[1]


@pytest.fixture(scope="module")
def taken():
    own = "wiring.main_switch=true"
    side = 'arrays=[{name="side",part="100 W rigid",count=1,controller={max_output_a=5}}]'
    sleeper = Profile.build("Sleeper", ["breathing device"], medical=["breathing device"])
    lines = (
        *checked(own, "van.payload_kg=500", "battery.cost=900", profile=sleeper),
        *checked("wiring.rules=boat", van="long-stayer"),
        *checked("alternator.second.charging_a=50", place="Hobart, AU"),
        *checked("generator.power_w=1000", place="Denver, CO, US"),
        *checked(side.replace("5}", "5,max_input_v=100}"), "battery.bms_charge_a=50"),
        horizon_note(Horizon((0.0, 180.0), (5.0, 12.5), "")),
        roof_note(None),
        roof_note(90.0),
    )
    return tuple(dict.fromkeys(line for line in lines if line not in words.NOT_LISTED))


@pytest.mark.parametrize("language", LANGUAGES)
def test_what_is_taken_as_given_and_not_looked_at_is_in_the_language(taken, language):
    texts = load_texts(language)
    for line in taken:
        own = given_value(texts, "offer", line)
        assert own != line
        assert not ENGLISH.search(own), own
        # A builder's details, such as lengths, may be left out, but none comes in. Of an article
        # the point is no decimal's.
        mine, theirs = (text.replace("240.6", "") for text in (own, line))
        assert figures(mine, language) <= figures(theirs, "en"), (line, own)


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_offer_says_what_is_in_english(answers, language):
    texts = load_texts(language)
    sentence = given_value(texts, "offer", "The electrical findings are in English.")
    for answer in answers:
        page = offer_page(answer, language=language)
        english = [part["items"] for part in page["lists"] if part["english"]]
        assert (sentence in page["lines"]) == bool(english)
        assert [part["english"] for part in page["lists"]].count(True) <= 1
        assert sentence not in offer_page(answer)["lines"]


def test_lists_keep_names_that_hold_commas():
    texts = load_texts("de")
    line = (
        "LED lights, dimmable, laptop, my lamp taken to run on 12 V behind a converter of 92 % "
        "efficiency and 1 W idle (assumed; give [converter], or the appliance's runs_on_v)"
    )
    assert given_value(texts, "offer", line).endswith(": LED-Licht, dimmbar, Laptop, my lamp")
