"""Units and signs by the visitor's choice: what is said changes, the design never does."""

from __future__ import annotations

import itertools
import os
from unittest import mock

import pytest
import streamlit as st
from hypothesis import given, settings
from hypothesis import strategies as hyp

from solarsim.app.draft import example
from solarsim.app.link import design_code, profile_toml, van_toml
from solarsim.app.units.chosen import takes_comma, units_at
from solarsim.app.units.quantities import (
    METRIC,
    Units,
    celsius_text,
    kilograms_text,
    limit_text,
    metres_text,
    read_inches_m,
    read_value,
    value_text,
)
from solarsim.app.units.wires import wire_at_least
from solarsim.app.units.words import in_units, in_units_columns, in_units_heading
from solarsim.app.widgets.field import limits_of, value_of
from solarsim.app.widgets.fields import FIELDS
from solarsim.app.widgets.fields_beside import BESIDE
from solarsim.app.widgets.obstacle_table import obstacle_frame, with_edits
from solarsim.app.widgets.widgets import key_of, seed, typed
from solarsim.electrical.wire import awg_sizes, metric_sizes, parse_wire
from solarsim.errors import InputError
from tests.app.conftest import tables

# Boxes tried a field.
MOST = int(os.environ.get("SOLARSIM_FUZZ", "15"))
US = Units(feet=True, fahrenheit=True)
COMMA = Units(comma=True)
ALL = [Units(*each) for each in itertools.product((False, True), repeat=3)]
NUMBERS = [
    field
    for field in FIELDS
    if not limits_of(field.path).choices
    and limits_of(field.path).kind in {int, float}
    and field.path != "stay.month"
]
MEASURED = [field for field in NUMBERS if field.path.endswith(("_m", "_c"))]
NARROW = "\N{NARROW NO-BREAK SPACE}"


# NIST Special Publication 811 (2008), appendix B.8: 1 ft = 0.3048 m, 1 in = 0.0254 m and
# 1 lb = 0.45359237 kg, all exact, and C = (F - 32) / 1.8.
@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("air -40.0 °C", "air -40.0 °F"),
        ("freezes at 0 C; boils at 100 C", "freezes at 32 °F; boils at 212 °F"),
        ("from 18 to 21 °C by day", "from 64 to 70 °F by day"),
        ("heated 2 C higher", "heated 4 °F higher"),
        ("shifted by -5.0 C", "shifted by -9.0 °F"),
        ("copper of 90 C insulation, 105 C column", "copper of 90 C insulation, 105 C column"),
        (
            "of 70 C insulation, those of panels of 90 C",
            "of 70 C insulation, those of panels of 90 C",
        ),
        ("Roof 3.4036 x 1.5875 m", "Roof 11' 2\" x 5' 2 1/2\""),
        ("at x 0.3048, y 0.6096 m it", "at x 1' 0\", y 2' 0\" it"),
        ("2,400 m above the sea", "7,874 ft above the sea"),
        ("weighs 45.4 kg", "weighs 100.1 lb"),
        ("9.29 m2 of roof", "100.00 sq ft of roof"),
        ("35 mm2 of copper, 4 AWG", "35 mm2 of copper, 4 AWG"),
        ("25.4 mm of snow", "1.000 in of snow"),
        ("light 2.50 kWh/m² a day", "light 2.50 kWh/m² a day"),
        ("33 CFR 183.455, NEC 690.7(A)", "33 CFR 183.455, NEC 690.7(A)"),
        ("The roof of 'my 6.9 m van' is 1 m", "The roof of 'my 6.9 m van' is 3' 3 3/8\""),
        ("the van's 1.0 m and the crew's", "the van's 3' 3 3/8\" and the crew's"),
        ("30 min, 5 months, 3 min", "30 min, 5 months, 3 min"),
    ],
)
def test_sentences_in_us_units(text, said):
    assert in_units(text, US) == said
    assert in_units(text, METRIC) == text


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("4.1 to 4.5 days", "4,1 to 4,5 days"),
        ("1,234.5 Wh of 12,000 Wh", f"1{NARROW}234,5 Wh of 12{NARROW}000 Wh"),
        ("1,000 runs; 36, -10, 44, 4", f"1{NARROW}000 runs; 36, -10, 44, 4"),
        ("see 690.7 and 240.6(A)", "see 690.7 and 240.6(A)"),
        ("±0.25 days, 99.3 % and 0.5%", "±0,25 days, 99,3 % and 0,5%"),
        ("air 7.5 °C, 0.30 m free", "air 7,5 °C, 0,30 m free"),
        ("got '17.125'; from '0.5 h'", "got '17.125'; from '0.5 h'"),
        ("about -0.5 V", "about -0,5 V"),
    ],
)
def test_sentences_with_a_decimal_comma(text, said):
    assert in_units(text, COMMA) == said


def test_figures_with_their_units():
    assert metres_text(0.3048 * 1000.0, US) == "1,000 ft"
    assert metres_text(3.4, COMMA) == "3,40 m"
    assert celsius_text(100.0, US) == "212 °F"
    assert kilograms_text(0.45359237, US, 2) == "1.00 lb"
    assert kilograms_text(1234.5, COMMA) == f"1{NARROW}234,5 kg"


def test_tables_by_their_headings():
    columns = {"run": ["a"], "one way, m": [3.048], "air, °C": [21.5], "A": [4.5], "kg": [1.0]}
    assert in_units_columns(columns, METRIC) == columns
    found = in_units_columns(columns, US)
    assert found["one way, ft in"] == ["10' 0\""]
    assert found["air, °F"] == ["70.7"]
    assert (found["A"], found["lb"]) == ([4.5], ["2.2"])
    assert in_units_heading("Between panels, m", COMMA) == "Between panels, m"


@pytest.mark.parametrize(
    ("text", "metres"),
    [("11' 2\"", 3.4036), ("5 ft", 1.524), ("62 1/2 in", 1.5875), ("3,4 m", 3.4), ("340 cm", 3.4)],
)
def test_a_length_may_be_typed_in_any_unit_that_it_names(text, metres):
    for units in ALL:
        assert read_value("roof.length_m", text, units) == metres
        assert read_inches_m(text, units) == metres


def test_a_bare_number_is_no_length_in_feet():
    with pytest.raises(InputError, match="write '5 ft', '5 in' or '5 m'"):
        read_value("roof.length_m", "5", US)
    assert read_value("roof.walkway_m", "0", US) == 0.0
    assert read_inches_m("10", US) == 0.254
    for text in ("abc", "5 W", "1' 2' 3'"):
        with pytest.raises(InputError, match="is no length"):
            read_value("roof.length_m", text, US)


def test_with_a_comma_it_is_the_point_that_could_mean_thousands():
    assert read_value("panels.vmp_v", "17,125", COMMA) == 17.125
    with pytest.raises(InputError, match="write '1,200' or '1200'"):
        read_value("panels.vmp_v", "1.200", COMMA)
    assert read_value("cabin.heater_set_point_c", "68,9", Units(True, True, True)) == 20.5


@pytest.mark.parametrize("field", NUMBERS, ids=lambda field: field.path)
@settings(max_examples=MOST)
@given(data=hyp.data())
def test_no_field_drifts_whatever_is_chosen(field, data):
    """A value comes back to the last digit from its box, in any units, one after the other."""
    limits = limits_of(field.path)
    least = -40.0 if limits.least is None else float(limits.least)
    most = 1000.0 if limits.most is None else min(float(limits.most), 5000.0)
    if limits.kind is int:
        now = data.draw(hyp.integers(int(least), int(most)))
    else:
        now = data.draw(hyp.floats(least, most))
    held, first = {}, now
    for units in data.draw(hyp.lists(hyp.sampled_from(ALL), min_size=1, max_size=4)):
        held |= {"units_now": units}
        held.pop(key_of(field.path), None)
        with mock.patch.object(st, "session_state", held):
            seed(key_of(field.path), _box(field, now, units))
            now = typed(field, now)
    assert repr(now) == repr(first)


def _box(field, value, units):
    shared = round(float(value) * (100.0 if field.percent else 1.0), 6)
    shown = shared if limits_of(field.path).kind is float else value
    return value_text(field.path, shown, units, field.places)


@pytest.mark.parametrize("field", MEASURED, ids=lambda field: field.path)
@given(data=hyp.data())
def test_what_a_box_shows_is_read_within_what_it_shows(field, data):
    limits = limits_of(field.path)
    value = data.draw(hyp.floats(float(limits.least or 0.0), float(limits.most or 30.0)))
    for units in ALL:
        read = read_value(field.path, value_text(field.path, value, units, field.places), units)
        # Half of an eighth of an inch; half of the last digit that is shown.
        closest = 0.0254 / 16 if field.path.endswith("_m") and units.feet else 1e-4
        assert abs(read - value) <= closest + 1e-9


def test_limits_are_said_inside_what_is_allowed():
    for most in (20.0, 0.05, 2.3, 12.0):
        assert read_value("a_m", limit_text("a_m", most, US, most=True), US) <= most
        assert read_value("a_m", limit_text("a_m", most, US, most=False), US) >= most


def test_cells_that_were_not_typed_over_keep_every_digit():
    roof = example().van.roof
    for units in ALL:
        frame = obstacle_frame(roof, units)
        edits = {row: dict(cells) for row, cells in enumerate(frame.to_dict("records"))}
        assert with_edits(roof, edits, units) == with_edits(roof, {}, units)
    assert with_edits(roof, {0: {"x": "10"}}, US)[0]["x_m"] == 0.254


def test_a_wire_is_never_shown_thinner():
    for wire in (*awg_sizes(), *metric_sizes(), parse_wire("2 x 70 mm2 (apart)")):
        for units in (METRIC, US):
            name = wire_at_least(wire, units)
            if name is not None:
                assert parse_wire(name).area_mm2 >= wire.area_mm2 * (1.0 - 1e-9)
                assert name.partition(" (")[0].endswith("AWG") == units.feet


# Unicode CLDR 48.2, measurementData.
@pytest.mark.parametrize(
    ("place", "found"),
    [
        ("Salzburg, AT", (False, False)),
        ("Portland, OR, US", (True, True)),
        ("Nassau, BS", (False, True)),
        ("London, GB", (False, False)),
        ("39.74, -104.99", (True, True)),
        ("64.84, -147.72", (True, True)),
        ("47.80, 13.05", (False, False)),
        ("no such town anywhere", (False, False)),
    ],
)
def test_units_of_a_place(place, found):
    assert units_at(place) == found


def test_signs_of_a_language():
    assert [
        one for one in ("de-AT", "fr-FR", "pt-BR", "en-ZA", "nb-NO") if not takes_comma(one)
    ] == []
    assert [
        one for one in ("en-US", "en-GB", "es-MX", "ja-JP", "", "xx-XX", "'") if takes_comma(one)
    ] == []


# --- the page ---


def choose(page, **chosen):
    for name, value in chosen.items():
        page.selectbox(key=name).set_value(value)
    page.run()
    assert not page.exception


def bytes_of(page):
    design = page.session_state.design
    return van_toml(design.van), profile_toml(design.profile), design_code(design)


@pytest.mark.slow
def test_the_choice_changes_what_is_said_and_not_the_design(app, visit):
    before = bytes_of(app)
    for chosen in (
        {"units": "us", "decimals": "comma"},
        {"units": "metric"},
        {"decimals": "point", "units": "us"},
        {"units": "place"},
    ):
        choose(app, **chosen)
        assert bytes_of(app) == before
    choose(app, units="us", decimals="comma")
    assert app.text_input(key="in_cabin.heater_set_point_c").label == "Heated to, °F"
    visit(app, "Roof")
    assert app.text_input(key="in_roof.margin_m").value.endswith('"')
    shown = next(table for table in tables(app) if "forwards, ft in" in table)
    assert all(cell.endswith('"') for cell in shown["forwards, ft in"])
    visit(app, "Seasons")
    months = next(table for table in tables(app) if "air, °F" in table)
    assert all("," in cell for cell in months["light, kWh/m² a day"])
    assert bytes_of(app) == before
    scripts = [html.proto.body for html in app.get("html")]
    query = next(body for body in scripts if "replaceState" in body)
    assert "units=us&decimals=comma" in query


@pytest.mark.slow
def test_every_number_beside_the_views_between_the_choice_and_back(app):
    """Units first, then each number, then back: one number differs, and is the one typed."""
    for field in BESIDE:
        if field not in NUMBERS:
            continue
        choose(app, units="us", decimals="comma")
        box = [one for one in app.text_input if one.key == key_of(field.path)]
        if not box or box[0].disabled:
            continue
        now = value_of(app.session_state.design, field.path)
        text = "60" if field.path.endswith("_c") else "1"
        box[0].set_value(text)
        app.run()
        assert not app.exception, field.path
        typed_design = app.session_state.design
        wanted = read_value(field.path, text, Units(True, True, True))
        wanted = wanted / 100.0 if field.percent else wanted
        refused = [error.value for error in app.error]
        if not refused:
            assert value_of(typed_design, field.path) == wanted, field.path
        kept = bytes_of(app)
        choose(app, units="metric", decimals="point")
        assert bytes_of(app) == kept, field.path
        back = app.text_input(key=key_of(field.path))
        back.set_value(_box(field, now, METRIC) if now is not None else "")
        app.run()
        assert value_of(app.session_state.design, field.path) == now, field.path


@pytest.mark.slow
def test_the_address_brings_the_choice_back(app):
    from streamlit.testing.v1 import AppTest

    from tests.app.conftest import ROOT

    page = AppTest.from_file(str(ROOT / "app.py"), default_timeout=60)
    page.query_params["units"], page.query_params["decimals"] = "us", "no such"
    page.run()
    assert not page.exception
    assert page.session_state.units == "us"
    assert page.session_state.decimals == "browser"
    assert page.session_state.units_now == US


def test_what_was_typed_just_before_the_choice_counts_in_its_own_units(app):
    app.text_input(key="in_cabin.heater_set_point_c").set_value("18")
    choose(app, units="us")
    assert app.session_state.design.profile.cabin.heater_set_point_c == 18.0
    assert app.text_input(key="in_cabin.heater_set_point_c").value == "64.4"


@pytest.mark.slow
def test_the_roof_takes_feet(app, visit):
    choose(app, units="us")
    visit(app, "Roof")
    app.text_input(key="in_roof.length_m").set_value("11 ft 2 in").run()
    assert app.session_state.design.van.roof.length_m == 3.4036
