"""The sheet's languages: whole, in their own words, and with the English sheet's figures."""

from __future__ import annotations

import datetime as dt
import itertools
import re
import string
import tomllib
from decimal import Decimal
from pathlib import Path

import pytest

import solarsim.present.sheet as room
from solarsim.answers.interview.interview import _described
from solarsim.answers.interview.questions import allowed_choices
from solarsim.answers.interview.rows import _STOVE
from solarsim.answers.region.islets import islets_note
from solarsim.inputs.interview import ClientAnswers
from solarsim.inputs.parts import part_tables
from solarsim.power.uses import CONVERTER
from solarsim.present.sheet import forms
from solarsim.present.sheet.forms import date_text, given, month_name, number, plural, written
from solarsim.present.sheet.glyphs import BREAK, Cleaner
from solarsim.present.sheet.listing import listing_texts
from solarsim.present.sheet.page import sheet_page
from solarsim.present.sheet.texts import languages, load_texts
from solarsim.weather.climate import bundle
from tests.present.sheet.invented import day_rows, document, place, van, variants

ROOT = Path(room.__file__).parents[3]
LANGUAGES = [language for language in languages() if language != "en"]
# Texts that may be the same in two languages: signs, units, and words that both have.
SIGNS = {"Wh", "kWh", "W", "A", "Ah", "h", "kg", "min", "m", "ft", "C", "F", "LFP", "x", "STOP"}
SAME = {
    "de": "Winter Sommer Name Laptop Router",
    "es": "router gel gas",
    "fr": "lithium avant gel induction",
    "it": "router laptop inverter gel gas",
    "nb": "over under person panel gel",
    "nl": "lithium Winter winter laptop router gel gas",
    "pt": "router gel",
}
# Words of English that none of the other languages has.
ENGLISH = re.compile(
    r"\b(the|and|with|without|from|battery|panels|than|when|where|your|you|not|days?|hours?|roof|"
    r"heater|people|never|this|that|each|every|of the|in the)\b",
    re.IGNORECASE,
)


def leaves(table, path=()):
    """Paths and texts of a catalogue but for the app's; a table of plurals is one leaf."""
    for key, value in table.items():
        if not path and key == "app":
            continue
        if isinstance(value, dict) and "other" not in value:
            yield from leaves(value, (*path, key))
        else:
            yield (*path, key), value


def words_of(value):
    return list(value.values()) if isinstance(value, dict) else [value]


def placeholders(value):
    return {
        name
        for text in words_of(value)
        for _, name, _, _ in string.Formatter().parse(text)
        if name is not None
    }


def said(language):
    """All texts that a reader may see."""
    for path, value in leaves(load_texts(language)):
        if path[0] not in {"language", "locale", "reviewed", "dates"}:
            for text in words_of(value):
                yield path, text


class Followed(dict):
    """A catalogue that remembers which of its texts were asked for."""

    def __init__(self, table, seen, path=()):
        self.seen, self.path = seen, path
        super().__init__(
            {
                key: Followed(value, seen, (*path, key)) if isinstance(value, dict) else value
                for key, value in table.items()
            }
        )

    def __getitem__(self, key):
        self.seen.add((*self.path, key))
        return super().__getitem__(key)

    def get(self, key, default=None):
        self.seen.add((*self.path, key))
        return super().get(key, default)


def strings_of(page):
    if isinstance(page, dict):
        page = page.values()
    if isinstance(page, str):
        yield page
    elif page is not None and not isinstance(page, int | float):
        for one in page:
            yield from strings_of(one)


@pytest.mark.parametrize("language", languages())
def test_every_text_is_drawn_and_nothing_is_left_unfilled(language, monkeypatch):
    seen, cleaned, texts = set(), set(), load_texts(language)

    def clean(text, field):
        cleaned.add(field)
        return text.strip("\u200b")

    followed = Followed(texts, seen)
    monkeypatch.setattr("solarsim.present.sheet.listing.load_texts", lambda _: followed)
    for one in variants():
        page = sheet_page(one, followed, units="metric", clean=clean)
        assert not [text for text in strings_of(page) if re.search(r"[{}]|  ", text)]
        listing_texts(one, language)
    # The buyer's screen is drawn by the app.
    other = {"given", "fields", "buyer"}
    never = {path for path, _ in leaves(texts) if path not in seen and path[0] not in other}
    # Read by `make.py` and by those who tell the builder.
    elsewhere = {("reviewed",), ("small", "dropped")}
    # Where the longer one always fits, this is never needed.
    assert never - {("listing", "shortest_bare")} == elsewhere
    assert set(texts["fields"]) == {*cleaned, "annex"}


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_language_has_every_text_with_its_words_in_braces(language):
    english, own = load_texts(), load_texts(language)
    there, here = dict(leaves(english)), dict(leaves(own))
    assert list(here) == list(there)
    for path, value in here.items():
        if path[0] == "reviewed":
            assert isinstance(value, bool)
            continue
        assert all(text.strip() and "  " not in text for text in words_of(value)), path
        assert isinstance(value, dict) == isinstance(there[path], dict), path
        if path[0] == "given":
            # What only the builder needs may be left out.
            assert placeholders(value) <= placeholders(path[-1]), path
        else:
            assert placeholders(value) == placeholders(there[path]), path


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_english_is_left_over(language):
    english = dict(said("en"))
    allowed = SIGNS | set(SAME[language].split())
    for path, text in said(language):
        plain = re.sub(r"\{\w+\}", "", text)
        assert not ENGLISH.search(plain), (path, text)
        if text == english.get(path):
            assert set(re.findall(r"[^\W\d]+", plain)) <= allowed, (path, text)


@pytest.mark.parametrize("language", languages())
def test_plurals_have_the_forms_that_the_language_asks_for(language):
    texts = load_texts(language)
    counts = [*range(400), *(Decimal(tenths) / 10 for tenths in range(100))]
    kinds = {str(forms._locale(texts["locale"]).plural_form(Decimal(count))) for count in counts}
    for path, value in leaves(texts):
        if isinstance(value, dict):
            assert set(value) >= {"other"}, path
            assert kinds - {"many"} <= set(value), path
    day = texts["units"]["day"]
    assert plural(texts, day, 1) == plural(texts, day, "1.0") == day["one"]
    assert plural(texts, day, 3) == plural(texts, day, "3.5") == day["other"]


@pytest.mark.parametrize("language", languages())
def test_every_letter_is_in_the_font_and_every_name_has_its_room(language):
    clean = Cleaner(limited=True)
    for path, text in said(language):
        plain = re.sub(r"\{\w+\}", "", text)
        field = path[1] if path[0] == "given" else "annex"
        assert clean(text, field).replace(BREAK, "") == re.sub(r"\s+", " ", text).strip(), path
        assert "…" not in plain
    assert clean.dropped == {}


def shipped():
    """Every name and description that comes with the package and may stand on a sheet."""
    loads = [tomllib.loads(one.read_text()) for one in (ROOT / "profiles/loads").glob("*.toml")]
    folders = (ROOT / "profiles/vans", ROOT / "solarsim/app/starts")
    vans = [tomllib.loads(one.read_text()) for folder in folders for one in folder.glob("*.toml")]
    named = (one["name"] for load in loads for one in load["appliances"] if "name" in one)
    satellite = bundle._SOURCE.format(bundle._SATELLITE)
    return {
        "appliances": {
            *(*part_tables("appliances"), *named, _STOVE["name"], CONVERTER),
            *("hourly DC watts", "hourly AC watts"),
        },
        "roof": {one["name"] for van in vans for one in van["roof"].get("obstacles", [])},
        "ways": {load["profile"][key] for load in loads for key in ("name", "description")},
        "description": {van["van"]["description"] for van in vans},
        "weather": {satellite, bundle._SOURCE.format(""), bundle._ISLAND_SOURCE},
    }


def test_all_that_comes_with_the_package_is_translated_and_nothing_else():
    known = load_texts()["given"]
    for field, names in shipped().items():
        assert {key for key in known[field] if "{" not in key} == names, field


def test_what_people_call_their_own_stays():
    texts = load_texts("de")
    assert given(texts, "appliances", "kettle") == "Wasserkocher"
    assert given(texts, "appliances", "Kettle of mine") == "Kettle of mine"
    assert given(texts, "trip", "kettle") == "kettle"
    assert given(texts, "weather", "NASA POWER history (Bergen, NO), 2001-2024") == (
        "wirkliche Jahre aus NASA POWER (Bergen, NO), 2001-2024"
    )
    several = given(texts, "map", islets_note(3, 1234.0))
    assert several.startswith("3 kleine Inseln mit 1.234 km² Land sind weggelassen")
    assert "mit weniger als 1 km² Land" in given(texts, "map", islets_note(1, 0.2))


def interviewed():
    """Descriptions as an interview writes them: each answer in them at least once."""
    kinds = itertools.product((1, 3), *map(allowed_choices, ("inside", "work", "heater")))
    cooked = itertools.cycle([(), ("gas",), allowed_choices("cooking")])
    for (people, inside, work, heater), cooking in zip(kinds, cooked, strict=False):
        answers = {"people": people, "inside": inside, "work": work, "heater": heater}
        yield _described(ClientAnswers(cooking=cooking, **answers))


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_description_of_an_interview_is_in_the_language(language):
    texts = load_texts(language)
    for line in interviewed():
        own = given(texts, "ways", line)
        assert not ENGLISH.search(own), (line, own)
        assert re.findall(r"\d+", own) == re.findall(r"\d+", line)
        for part, said in zip(re.split("[;,.] ?", line), re.split("[;,.] ?", own), strict=True):
            assert said != part or part in {"", *SAME[language].split()}, own
        # Of what somebody wrote nothing is turned.
        mine = line.replace("inside", "indoors")
        assert given(texts, "ways", mine) == mine


def test_numbers_months_and_dates_in_german():
    """DIN 5008: decimal comma, point between thousands, "1. März 2026"."""
    texts = load_texts("de")
    assert written(texts, "1234.50") == "1.234,50"
    assert [number(texts, -0.2), number(texts, 0.25, 1), number(texts, 2.5, None)] == [
        "0",
        "0,2",
        "2,5",
    ]
    assert date_text(texts, dt.date(2026, 3, 1)) == "1. März 2026"
    assert [month_name(texts, 3), month_name(texts, 3, in_text=True)] == ["Mär", "März"]


@pytest.mark.parametrize("language", languages())
def test_texts_for_a_listing_fit_in_every_language(language):
    worst = day_rows(*[(0.96, 0.96, 23.0)] * 4)
    year = day_rows(*[(365.0, 365.0, 365.0)] * 4)
    year = [row | {"follow_days": 365} for row in year]
    lasting = document(medical=["laptop"], regions=[place("Oslo, NO", year)], follow_days=365)
    long = document(
        medical=["oxygen concentrator"],
        regions=[place("A town with a very long name, XX", worst)],
        van=van(system_voltage_v=48, portable_w=1200.0),
    )
    for one in (long, lasting, *variants()):
        made = listing_texts(one, language)
        assert all(0 < len(text) <= int(length) for length, text in made.items())
        caution = load_texts(language)["card"]["footer"].rstrip(".")
        assert all(caution in made[length] for length in ("300", "1200"))
        assert not re.search("[\u00a0\u202f]", "".join(made.values()))
