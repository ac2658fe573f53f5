"""Every key of the files is listed, with its meaning, its limits and its default."""

from __future__ import annotations

import re
import tomllib

import pytest

from solarsim.errors import InputError
from solarsim.inputs.base import Record, parse_record, record_in
from solarsim.inputs.files.toml import shipped_folder
from solarsim.inputs.find_keys import find_keys
from solarsim.inputs.interview import Interview
from solarsim.inputs.key_limits import allowed_text, unit_of
from solarsim.inputs.keys import key_tables
from solarsim.inputs.parts import part_tables
from solarsim.inputs.prices import Prices
from solarsim.inputs.profile import Profile
from solarsim.inputs.trip import Trip
from solarsim.inputs.van import Van

TABLES = {table.name: table for table in key_tables()}


def listed():
    """(table, key) of all that is listed, what tables have like others too."""
    found = set()
    for table in key_tables():
        for name in (table.name, *table.also):
            found |= {(name, key.name) for key in all_keys(table)}
    return found


def all_keys(table):
    """A table's own keys and those of the tables that it is like."""
    return (*table.keys, *(all_keys(TABLES[table.like]) if table.like else ()))


def in_records(kind, path=""):
    for name, field in kind.model_fields.items():
        inner = record_in(field.annotation)
        if inner is not None:
            yield from in_records(inner, f"{path}{name}.")
        if path:
            yield path.rstrip("."), name


def test_what_the_records_have_is_listed_and_nothing_else():
    assert listed() == {
        *in_records(Van),
        *in_records(Profile),
        *in_records(Trip),
        *in_records(Prices),
        *in_records(Interview),
    }
    assert len(listed()) > 250


def every_key():
    return [(table, key) for table in key_tables() for key in table.keys]


@pytest.mark.parametrize(
    ("table", "key"), every_key(), ids=lambda each: each.name if hasattr(each, "name") else each
)
def test_every_key_says_what_it_means(table, key):
    assert re.match(r"[A-Z1].{15,}\.$", key.meaning), key.meaning
    assert "``" not in key.meaning
    assert key.allowed


def test_names_with_a_unit_tell_it():
    for _, key in every_key():
        if re.search(r"_(w|v|a|ah|m|c|deg|h)$", key.name):
            assert key.unit, key.name
    assert unit_of("heat_loss_w_k") == "W/K"
    assert unit_of("name") == unit_of("wire") == ""


def test_limits_and_defaults_are_the_records_own():
    facts = {(t.name, k.name): (k.allowed, k.default, k.required) for t, k in every_key()}
    assert facts["battery", "units"] == ("a whole number, 1 to 96", "1", False)
    assert facts["battery", "chemistry"] == ('"lfp", "agm", "gel" or "flooded"', "", True)
    assert facts["inverter", "transfer_a"] == ("above 0, up to 100,000", "", False)
    assert facts["cabin", "night"] == ("[from, to], each 0 to 24", "[22, 7]", False)
    assert facts["stay", "target_chance"] == ("above 0, below 1", "0.9", False)
    assert facts["stay", "year"] == ("a whole number, 1950 to 2100", "2026", False)
    (length,) = (key for key in TABLES["roof"].keys if key.name == "length_m")
    assert (length.required, length.given_by) == (True, "from a template or an outline")
    assert facts["roof", "margin_m"] == ("0 to 1", "0.05", False)
    assert facts["wiring.panels_controller", "insulation_c"][1] == "90"
    assert allowed_text({"type": "number", "minimum": 0.0, "exclusiveMaximum": 24.0}) == (
        "0 to below 24"
    )


def test_what_parts_fill_in_is_marked():
    for name, kind in (("panels", "panels"), ("battery", "batteries"), ("appliances",) * 2):
        filled = {key for part in part_tables(kind).values() for key in part} - {"name", "source"}
        marked = {key.name for key in TABLES[name].keys if key.given_by == "from a part"}
        assert marked - {"name"} == filled


def test_what_is_required_stands_by_itself():
    assert {name for name, table in TABLES.items() if table.required} == {
        "van",
        "panels",
        "battery",
        "profile",
        "stops",
        "prices",
        "answers",
    }
    data = {"van": {"name": "x"}, "panels": {}, "battery": {}}
    with pytest.raises(InputError) as refused:
        parse_record(Van, data, source="x")
    for name in ("panels", "battery"):
        for key in TABLES[name].keys:
            told = f"{name}.{key.name}" in f"{refused.value}"
            assert told == key.required, key.name


def test_every_key_of_the_shipped_files_is_listed():
    names = listed() | {(table, "") for table in TABLES}

    def keys_in(data, path=""):
        for name, value in data.items():
            tables = value if isinstance(value, list) else [value]
            if all(isinstance(table, dict) for table in tables):
                for table in tables:
                    yield from keys_in(table, f"{path}{name}.")
            else:
                yield path.rstrip("."), name

    for kind in ("vans", "loads", "trips", "prices", "interviews"):
        for path in shipped_folder(kind).glob("*.toml"):
            assert {*keys_in(tomllib.loads(path.read_text(encoding="utf-8")))} <= names


@pytest.mark.parametrize(
    ("word", "tables"),
    [
        ("battery", {"battery"}),
        ("[[roof.obstacles]]", {"roof.obstacles"}),
        ("roof", {"roof", "roof.outline", "roof.obstacles", "roof.panels"}),
        ("wiring.dcdc_in", {"wiring.main"}),
        ("transfer_a", {"inverter"}),
        ("cost", {"panels", "battery", "parts"}),
        ("appliances.kettle.power_w", {"appliances"}),
        ("kettle.minutes_per_day", {"appliances"}),
        ("arrays.suitcase.tilt_deg", {"panels"}),
        ("panels.count", {"panels"}),
        ("heat_loss", {"cabin"}),
        ("Wet-Bulb", {"appliances"}),
    ],
)
def test_a_table_a_key_and_a_word_are_found(word, tables):
    assert {table.name for table in find_keys(word)} == tables


def test_a_key_alone_shows_that_key_alone():
    (table,) = find_keys("inverter.transfer_a")
    assert [key.name for key in table.keys] == ["transfer_a"]


@pytest.mark.parametrize(
    ("word", "near"), [("invertor", "inverter"), ("transfr_a", "transfer_a"), ("batery", "battery")]
)
def test_a_slip_is_answered_with_what_is_near(word, near):
    with pytest.raises(InputError, match=near):
        find_keys(word)


@pytest.mark.parametrize("word", ["qqqq", "", "  ", "[]"])
def test_what_is_nowhere_is_answered_with_the_tables(word):
    with pytest.raises(InputError, match=r"tables: .*battery"):
        find_keys(word)


def test_a_record_without_texts_would_be_noticed():
    class Silent(Record):
        """Nothing below its key."""

        width_m: float

    from solarsim.inputs.keys import _meanings

    assert _meanings(Silent) == {}
