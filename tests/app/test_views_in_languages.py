"""Every view in a language whose every text is known by marks: nothing is said without them."""

from __future__ import annotations

import copy
import html
import json
import re
from unittest import mock

import pytest
from babel.dates import get_day_names, get_month_names
from streamlit.testing.v1 import AppTest

from solarsim.app import language, translate
from solarsim.app.draft import example, shipped_profiles
from solarsim.app.plain import plain
from solarsim.app.tables import profile_tables, van_tables
from solarsim.app.units import chosen
from solarsim.app.views import VIEWS
from solarsim.inputs.parts import part_tables
from solarsim.present.sheet.texts import languages, load_texts
from tests.app.conftest import ROOT
from tests.app.test_app_languages import needed

# What no language changes: units, shares of runs, kinds of cells, chargers and files.
SAME = re.compile(
    r"\b[A-Z]\w+, [A-Z]{2}\b|\?design=\S+|:small\[|\(Language\)|"
    r"\b(k?Wh?|m?Ah?|m?V|k?g|[mc]?m|mm[²2]|kWh/m²|h|min|AC|DC|DC-DC|LFP|AGM|MPPT|PWM|P\d+|EN|AT|ES|"
    r"Salzburg|AWG|CSV|TOML|SVG|PDF|XLSX|EPW|JSON|HTML|solarsim|h1|x|y)\b"
)
# Fields of an element that nobody reads.
UNREAD = re.compile(
    "id|.*_id|key|tag|type|icon|.*format.*|.*url|.*mime.*|.*config|spec|css.*|js.*|html.*|anchor|"
    "autocomplete|component_name|language|alt_text|value|registration.*|default.*"
)
LETTERS = re.compile(r"[^\W\d_]{2}")
QUICK = ("Seasons", "Compare", "Save")


def marked(text):
    """A text with marks around whatever stands between its braces."""
    parts = re.split(r"((?<!%)\{\w+\})", text)
    parts[::2] = (f"«{part}»" if LETTERS.search(part) else part for part in parts[::2])
    return "".join(parts)


def loaded(code="en"):
    """German whose app says all in marks."""
    texts = load_texts(code)
    if code != "de":
        return texts
    app = {
        text: dict.fromkeys(("one", "other"), marked(text)) if forms else marked(text)
        for text, forms in needed().items()
    }
    return copy.deepcopy(texts) | {"app": app}


def names():
    """What people and parts are called, and days and months in German."""
    design = example()
    # An interview's client without a name among them.
    found = [*shipped_profiles(), "Client"]
    for tables in (van_tables(design.van), profile_tables(design.profile)):
        found += values(tables)
    for kind in ("panels", "batteries", "appliances"):
        found += part_tables(kind)
    for form in ("abbreviated", "wide"):
        found += get_day_names(form, locale="de").values()
        for use in ("format", "stand-alone"):
            found += get_month_names(form, use, locale="de").values()
    buyer = load_texts("de")["buyer"]
    found += (value for value in buyer.values() if isinstance(value, str))
    found += load_texts("de")["levers"].values()
    found += map(language._own_name, languages())
    return set(found)


def values(table):
    if isinstance(table, str):
        yield table
    elif isinstance(table, dict | list | tuple):
        for one in table.values() if isinstance(table, dict) else table:
            yield from values(one)


def nodes(node):
    yield node
    for child in getattr(node, "children", {}).values():
        yield from nodes(child)


def strings(proto):
    """Texts of an element, as far as somebody reads them."""
    for field, value in proto.ListFields():
        if UNREAD.fullmatch(field.name):
            continue
        for one in [value] if isinstance(value, str) or not hasattr(value, "__iter__") else value:
            if isinstance(one, str):
                yield one
            elif hasattr(one, "ListFields"):
                yield from strings(one)


def charted(spec):
    """Texts of a chart."""
    for name, value in spec.items() if isinstance(spec, dict) else ((None, one) for one in spec):
        if isinstance(value, dict | list):
            yield from charted(value) if name != "colorscale" else ()
        elif isinstance(value, str) and name in {None, "text", "name", "hovertext", "title"}:
            yield re.sub(r"<br>|</?b>", " ", value)
        elif name == "hovertemplate":
            yield re.sub(r"%\{.*?\}|<.*?>", " ", value)


def read(page):
    """Every line that a visitor reads, below the strip."""
    found = []
    strip = next(node for node in nodes(page._tree) if node.type == "flex_container")
    above = set(map(id, nodes(strip)))
    for node in nodes(page._tree):
        proto = getattr(node, "proto", None)
        if id(node) in above or not hasattr(proto, "ListFields"):
            continue
        if node.type == "plotly_chart":
            spec = json.loads(proto.spec)
            spec["layout"].pop("template", None)
            found += [text for text in charted(spec) if not text.startswith("#")]
        elif node.type in {"arrow_data_frame", "dataframe"}:
            for column in json.loads(proto.columns or "{}").values():
                found += (column.get("label", ""), column.get("help", "") or "")
        elif node.type == "html":
            if proto.body.startswith('<div class="numbers"'):
                found += re.split(r"<[^>]*>", proto.body)
        else:
            found += strings(proto)
    return [line for text in found for line in html.unescape(text).splitlines()]


def unsaid(line, allowed):
    """What a line says beside marked texts, names and sentences of other rooms."""
    for text in allowed:
        line = line.replace(text, " ")
    line = re.sub(r"«[^«»]*»", " ", line)
    return SAME.sub(" ", line)


def recording(function, told, *, all_given=True):
    """The function, which notes what it makes of a text, and the text where it makes none."""

    def recorded(*given):
        found = function(*given)
        said = found or (given[-1] if all_given else "")
        told.update(line for line in said.splitlines() if line)
        return found

    return recorded


@pytest.mark.parametrize(
    "view",
    [
        view if view in QUICK else pytest.param(view, marks=pytest.mark.slow)
        for view in VIEWS
        # The buyer's speaks by another table, and has tests of its own; the circuit's runs are
        # named in their own room, in English.
        if view not in {"Buyer", "Electrical"}
    ],
)
def test_every_text_of_a_view_is_one_that_can_be_translated(view):
    page = AppTest.from_file(str(ROOT / "app.py"), default_timeout=120)
    page.query_params["view"] = view
    page.query_params["lang"] = "de"
    told = set()
    with (
        mock.patch.object(translate, "load_texts", loaded),
        mock.patch.object(chosen, "tr_line", recording(translate.tr_line, told)),
        mock.patch.object(translate, "_line", recording(translate._line, told, all_given=False)),
        mock.patch.object(language, "given_value", recording(language.given_value, told)),
    ):
        page.run()
    assert not page.exception
    allowed = {html.unescape(one) for text in told | names() for one in (text, plain(text))}
    allowed = sorted((one for one in allowed if len(one) > 1), key=len, reverse=True)
    lines = read(page)
    assert sum("«" in line for line in lines) > 40
    assert [line for line in lines if LETTERS.search(unsaid(line, allowed))] == []
