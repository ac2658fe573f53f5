"""The app in every language: each text that it says has a translation, and each is said."""

from __future__ import annotations

import ast
import functools
import re
from pathlib import Path

import pytest

from solarsim.answers.lever_changes import lever_changes
from solarsim.app.draft import example
from solarsim.app.starts import STARTS
from solarsim.app.units.chosen import DECIMALS, SYSTEMS
from solarsim.app.uploads.log_file import QUANTITIES
from solarsim.app.views import PLACES, TITLES
from solarsim.app.views.search import _KINDS, _LIMITS
from solarsim.app.widgets import appliance_table, obstacle_table, stop_table, widgets
from solarsim.app.widgets.field import limits_of
from solarsim.app.widgets.fields import FIELDS, GROUPS
from solarsim.app.widgets.fields_in_views import RULES
from solarsim.app.widgets.inputs import _SWITCHES
from solarsim.app.widgets.obstacle_table import KINDS
from solarsim.app.worded import INNER, WORDED
from solarsim.inputs.van import Van
from solarsim.present.sheet.texts import languages, load_texts
from tests.app.app_texts import texts_of_views

ROOT = Path(__file__).parents[2] / "solarsim"
LANGUAGES = [language for language in languages() if language != "en"]
# The buyer's sheet has these changes, but for those in kelvins.
LEVERS = load_texts("de")["levers"]


def choices(field):
    """What a field's choices are called."""
    return [widgets._WORDS.get(str(one), str(one)) for one in limits_of(field.path).choices]


# Words that are held in lists, and said one by one.
LISTS = (
    *(WORDED, INNER, STARTS, QUANTITIES.values(), KINDS, _KINDS, _LIMITS.values()),
    *(appliance_table.COLUMNS, appliance_table.MORE_COLUMNS, obstacle_table.COLUMNS),
    (*stop_table.COLUMNS, appliance_table.OWN_APPLIANCE),
    [label for label, _ in _SWITCHES.values()],
    # Tables that a van may have or not, or many of, where two designs differ.
    [name for name, field in Van.model_fields.items() if not field.is_required()],
    [word for field in (*FIELDS, *RULES) for word in choices(field)],
    [name for name, _ in lever_changes(example().van) if "{" in LEVERS.get(name, "{")],
    texts_of_views(),
)
BRACES = re.compile(r"\{\w+\}")
LETTERS = re.compile("[A-Za-z]{2}")


def constants(node):
    """The texts that an expression may be."""
    if isinstance(node, ast.IfExp):
        yield from constants(node.body)
        yield from constants(node.orelse)
    elif isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value


@functools.cache
def called():
    """Texts of the calls that say them, each True where it has forms for a count."""
    found = {}
    for path in sorted((ROOT / "app").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Name)):
                continue
            if node.func.id in {"tr", "heading"}:
                found |= dict.fromkeys(constants(node.args[0]), False)
            elif node.func.id == "tr_count":
                found |= dict.fromkeys(constants(node.args[1]), True)
            elif node.func.id in {"show_table", "table_html"}:
                found |= dict.fromkeys(constants(node.args[0]), False)
                if isinstance(node.args[1], ast.Dict):
                    names = [text for key in node.args[1].keys for text in constants(key)]
                    found |= dict.fromkeys(names, False)
    return found


@functools.cache
def needed():
    """Every text of the app that is known beforehand."""
    found = dict(called())
    for field in (*FIELDS, *RULES):
        found |= dict.fromkeys((field.label, field.help, field.empty), False)
    for names in (GROUPS, SYSTEMS, DECIMALS, TITLES, widgets._WORDS):
        found |= dict.fromkeys(names.values(), False)
    found = dict.fromkeys((text for texts in LISTS for text in texts), False) | found
    for place, views in PLACES.items():
        found |= dict.fromkeys((place, *(name for name in views if name not in TITLES)), False)
    return {text: forms for text, forms in found.items() if LETTERS.search(text)}


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_text_has_its_translation(language):
    own = load_texts(language)["app"]
    assert [text for text in needed() if text not in own] == []


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_translation_fills_the_same_braces(language):
    for text, said in load_texts(language)["app"].items():
        forms = list(said.values()) if isinstance(said, dict) else [said]
        assert isinstance(said, dict) == needed().get(text, isinstance(said, dict)), text
        for form in forms:
            assert set(BRACES.findall(form)) == set(BRACES.findall(text)), (text, form)


def test_every_translation_is_of_a_text_in_the_code():
    held = set(needed())
    for path in ROOT.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            held.update(constants(node))
    for language in LANGUAGES:
        assert [text for text in load_texts(language)["app"] if text not in held] == []


def test_all_languages_say_as_much():
    keys = {language: set(load_texts(language)["app"]) for language in LANGUAGES}
    for language in LANGUAGES:
        assert keys[language] == keys["de"], language
