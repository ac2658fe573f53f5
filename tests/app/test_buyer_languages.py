"""The buyer's screen in every language: whole, and with the English figures."""

from __future__ import annotations

import copy
import dataclasses
import html
import re
from collections import Counter

import numpy as np
import pandas as pd
import pytest
from streamlit.testing.v1 import AppTest

from solarsim.answers.cautions import _nothing_on
from solarsim.answers.freezing import Freezing, freezing_warnings, too_cold_warnings
from solarsim.answers.generator import generator_warnings
from solarsim.answers.medical import Medical, medical_caution
from solarsim.answers.peaks import Load, Overloads, Peaks, peak_warnings
from solarsim.answers.question import ask
from solarsim.answers.simulation.summary import DaysUnplugged
from solarsim.answers.stay import ledger_warnings, stay
from solarsim.app.language import said
from solarsim.app.strip import strip_lines
from solarsim.app.views.buyer import in_language, sure_text
from solarsim.inputs.percent import chance_text
from solarsim.power.freezing import FREEZING_SOURCE
from solarsim.present.sheet.forms import given
from solarsim.present.sheet.texts import languages, load_texts
from solarsim.present.words import (
    at_least_text,
    count_on_text,
    days_text,
    medical_text,
    safety_text,
)
from tests.app.conftest import FEW_RUNS, ROOT
from tests.present.sheet.test_languages import ENGLISH
from tests.present.sheet.test_sheets_in_languages import figures

LANGUAGES = [language for language in languages() if language != "en"]
TIMES = pd.date_range("2026-01-05", periods=24, freq="h", tz="UTC")
# A month or a router may be called the same.
SENTENCE = re.compile("[a-z]{4}.* .*[a-z]{4}")
# A place, a van, and where a builder looks are called the same anywhere.
NAMES = re.compile(r"Salzburg, AT|Weekender|Design, Electrical")


def overloads(hour, asked_w=2345.0, lower_soc=0.5, *, voltage=False):
    """One run that asks for too much in an hour; in none where the hour is infinite."""
    return Overloads(
        *(np.array([value]) for value in (hour, asked_w, 1234.5, voltage, 0.5, lower_soc))
    )


def tripping():
    """Warnings of the running watts, each kind with so many names as it can have."""
    question, never = ask(), overloads(np.inf)
    van, always = question.van, np.ones(24, dtype=bool)
    loads = [Load(name, "ac", 800.0, 900.0, always) for name in ("kettle", "laptop", "toaster")]
    many = [Load(name, "ac", 400.0, 400.0, always) for name in ("a", "b", "c", "d")]
    kinds = [
        Peaks(overloads(17.0), never, never),
        Peaks(overloads(17.0, lower_soc=0.4, voltage=True), never, never),
        *(
            Peaks(never, overloads(17.0, asked_w), overloads(17.0, asked_w))
            for asked_w in (1600.0, 2400.0, 9000.0)
        ),
    ]
    for peaks in kinds:
        for some in (loads, loads[:2], loads[:1], [], many):
            if some or peaks.alone is never:
                yield from peak_warnings(van, question.profile, peaks, some, TIMES, "UTC")
    small = ask(profile="heavy", settings=["inverter.power_w=100"])
    quiet = Peaks(never, never, never)
    yield from peak_warnings(small.van, small.profile, quiet, loads, TIMES, "UTC")


def lines():
    """Every kind of line that other rooms make for the screen."""
    for p10, p50, chance, days in (
        (3.4, 4.5, 0.03, 7),
        (0.01, 0.5, 0.001, 1),
        (1.0, 1.5, 0.997, 7),
        (29.0, 30.0, 0.5, 7),
        (30.0, 30.0, 1.0, 14),
        (0.05, 0.05, 0.0, 7),
    ):
        found = DaysUnplugged(p10, p50, 30.0, p50, 30)
        yield count_on_text(found, chance, days, 8)
        yield at_least_text(p10, 30)
        yield days_text(p10, 30)
        yield chance_text(chance)
        for safe in (False, True, None):
            all_days = "the day" if days == 1 else f"all {days} days"
            p1 = None if safe is None else p10
            yield safety_text(Medical(("Ding",), p1, safe), 30, all_days)
    yield from ("not known", "gel", "flooded", "200 Ah", "102.4 Ah", "2 × 182.5 W")
    yield "This is the design of the link."
    yield medical_caution(["Ding"])
    yield from too_cold_warnings(0.25)
    one = np.array([1.0])
    yield from freezing_warnings(Freezing(one, one, 0.4 * one, -9.0 * one), TIMES, "UTC")
    lost = {"solar_available": 2000.0, "solar_clipped": 300.0, "solar_refused_cold": 500.0}
    own = 'arrays=[{name="side",part="100 W rigid",count=1,'
    own += "controller={max_output_a=2,max_input_v=100}}]"
    for settings in ([], ['battery.part="100 Ah AGM"'], [own]):
        yield from ledger_warnings(ask(settings=settings).van, lost)
    generator = ["generator.power_w=1000", "generator.windows=[[21, 23]]"]
    yield from generator_warnings(ask(settings=generator).van)
    yield from _nothing_on({"fridge": 0.0})
    yield from tripping()


def few(text, language):
    """Its figures, but those that are words in one language and digits in another."""
    return figures(text, language) - Counter(dict.fromkeys(("1", "99", "100"), 9))


@pytest.fixture(scope="module")
def english():
    return tuple(dict.fromkeys(line for line in lines() if line))


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_line_is_in_the_language_with_the_english_figures(english, language):
    texts = load_texts(language)
    for line in english:
        own = said(texts, line)
        assert not ENGLISH.search(own), (line, own)
        assert own != line or not SENTENCE.search(line), line
        # No buyer looks up where a builder's rule is from.
        told = line.replace(FREEZING_SOURCE, "")
        assert few(own, language) == few(told, "en"), (line, own)


def test_every_text_for_a_line_is_needed(english):
    """Each is given a mark, and each mark is met."""
    texts = copy.deepcopy(load_texts("de"))
    keys = list(texts["given"]["buyer"])
    for index, key in enumerate(keys):
        text = texts["given"]["buyer"][key]
        text = text["other"] if isinstance(text, dict) else text
        texts["given"]["buyer"][key] = f"<{index}>{text}"
    met = {int(one) for line in english for one in re.findall(r"<(\d+)>", said(texts, line))}
    assert [key for index, key in enumerate(keys) if index not in met] == []


def test_english_stays_as_it_is(english):
    assert [said(load_texts(), line) for line in english] == list(english)


@pytest.fixture(scope="module")
def answer():
    return stay(ask(days=7, runs=FEW_RUNS))


@pytest.mark.parametrize("language", LANGUAGES)
def test_where_health_depends_it_says_so_in_the_language(answer, language):
    for p1, safe in ((2.4, False), (8.5, True), (None, None)):
        medical = Medical(("breathing device", "Mein Gerät"), p1, safe)
        days = dataclasses.replace(answer.days, p1=p1)
        warned = (medical_caution(medical.devices), *answer.warnings)
        asked = dataclasses.replace(answer, days=days, medical=medical, warnings=warned)
        texts, english = load_texts(language), load_texts()
        own = in_language(asked, texts)
        assert in_language(asked, english) is asked
        pairs = [
            (medical_text(asked), said(texts, medical_text(own))),
            (medical_caution(medical.devices), said(texts, own.warnings[0])),
            (sure_text(asked, english), sure_text(own, texts)),
            *zip(strip_lines(asked, english), strip_lines(own, texts), strict=True),
        ]
        for left, right in pairs:
            assert not ENGLISH.search(right), right
            assert few(right, language) == few(left, "en"), (left, right)
        for _, right in pairs[:2]:
            assert given(texts, "appliances", "breathing device") in right
            assert "Mein Gerät" in right


def opened(query):
    page = AppTest.from_file(str(ROOT / "app.py"), default_timeout=60)
    for name, value in {"view": "Buyer", **query}.items():
        page.query_params[name] = value
    page.run()
    assert not page.exception
    return page


def read(page):
    """What a buyer reads: the screen with the line above it, and the cautions."""
    main = page.main
    texts = [*main.title, *main.markdown, *main.warning, *main.error, *main.info]
    boxes = [*main.select_slider, *(one for one in main.selectbox if one.key == "language")]
    # The other captions are those of the builder's buttons.
    shown = [one.value for one in (*texts, main.caption[-1])]
    for box in boxes:
        shown += [box.label, *(box.options if box.key != "language" else ())]
    printed = next(one.proto.body for one in page.get("html") if "print-page" in one.proto.body)
    shown.append(printed.partition(">")[2].partition("<")[0])
    return [html.unescape(text) for text in shown]


def same_screen(page, other, language):
    own, english = read(page), read(other)
    assert len(own) == len(english)
    for left, right in zip(english, own, strict=True):
        stripped = NAMES.sub("", right)
        assert not ENGLISH.search(stripped), right
        assert left != right or not SENTENCE.search(stripped), right
        assert figures(right, language) == figures(left, "en"), (left, right)


def test_the_german_screen_has_no_english_left_and_the_same_figures():
    page, other = opened({"lang": "de"}), opened({})
    same_screen(page, other, "de")
    assert page.title[0].value.startswith("Verlässlich im Januar")
    assert page.selectbox(key="language").label == "Sprache (Language)"
    scripts = [one.proto.body for one in page.get("html")]
    script = next(body for body in scripts if "replaceState" in body)
    assert "&lang=de" in script
    assert "documentElement.lang = 'de'" in script
    # So do the builder's views, and the address keeps the language.
    page = opened({"lang": "de", "view": "Save"})
    scripts = [one.proto.body for one in page.get("html")]
    script = next(body for body in scripts if "replaceState" in body)
    assert "&lang=de" in script
    assert "documentElement.lang = 'de'" in script
    assert page.main.markdown[0].value.endswith("für alle 7 Tage")


@pytest.mark.slow
@pytest.mark.parametrize("language", LANGUAGES)
def test_the_box_turns_the_screen(language):
    page, other = opened({"lang": "no such"}), opened({})
    assert "lang=" not in next(
        one.proto.body for one in page.get("html") if "replaceState" in one.proto.body
    )
    page.selectbox(key="language").set_value(language).run()
    assert not page.exception
    same_screen(page, other, language)


def test_every_text_of_the_screen_is_named_by_the_app():
    code = "".join(path.read_text() for path in (ROOT / "solarsim" / "app").rglob("*.py"))
    named = set(re.findall("""["'](\\w+)["']""", code))
    assert [key for key in load_texts()["buyer"] if key not in named] == []
