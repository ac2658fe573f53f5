"""The JSON of `stay`: its keys, its numbers, and that the same question gives the same bytes."""

from __future__ import annotations

import json
import math

import pytest

from solarsim.inputs.files.van import read_van

RUNS = ("--runs", "20")
LEDGER = {
    "solar_available",
    "solar_used",
    "solar_clipped",
    "solar_refused_full",
    "solar_refused_cold",
    "alternator",
    "shore",
    "alternator_refused",
    "shore_refused",
    "load_dc",
    "load_ac",
    "inverter_loss",
    "battery_loss",
    "stored_change",
    "unserved",
}
KEYS = {
    "place": {"name", "latitude", "longitude", "elevation_m", "timezone"},
    "weather": {"source", "runs", "ghi_kwh_m2_day", "month_ghi_kwh_m2_day", "temp_air_c"},
    "stay": {"start", "days", "month"},
    "days_unplugged": {"p10", "p50", "p90", "mean", "follow_days", "p1"},
    "chance_lasts": None,
    "standard_errors": {"p10", "p50", "p90", "mean", "chance_lasts"},
    "depletion_days": None,
    "ledger_wh_per_day": LEDGER,
    "soc": {"times", "p10", "p50", "p90"},
    "bank": {"units", "capacity_ah", "usable_wh", "usable_wh_cold", "temperature_c"},
    "recommended_bank": {"units", "capacity_ah", "chance", "reason"},
    "real_years": {"years", "text"},
    "medical": None,
    "warnings": None,
}


def refuse(text):
    raise AssertionError(f"{text} is not JSON")


def parse(text):
    return json.loads(text, parse_constant=refuse)


@pytest.fixture(scope="session")
def document(default_json):
    return parse(default_json)


def test_keys_are_those_of_schema_1(document):
    assert document["schema"] == 1
    assert set(document) == {"schema", *KEYS}
    for key, inner in KEYS.items():
        if inner is not None:
            assert set(document[key]) == inner, key
    assert isinstance(document["warnings"], list)
    assert all(isinstance(line, str) and line for line in document["warnings"])


def test_numbers_are_possible(document):
    days = document["days_unplugged"]
    assert 0.0 < days["p10"] <= days["p50"] <= days["p90"] <= days["follow_days"] == 30
    assert days["p10"] <= days["mean"] <= days["follow_days"]
    assert 0.0 <= document["chance_lasts"] <= 1.0
    assert all(0.0 <= error < 1.0 for error in document["standard_errors"].values())
    assert 0.0 <= document["depletion_days"] <= document["stay"]["days"]
    assert document["weather"]["runs"] == 20
    # January in the northern Alps, on level ground: 0.5 to 1.3 kWh/m2 a day.
    assert 0.5 < document["weather"]["ghi_kwh_m2_day"] < 1.3
    assert document["stay"] == {"start": "2026-01-12", "days": 7, "month": 1}
    assert document["place"]["timezone"] == "Europe/Vienna"
    # Two units of 100 Ah at about 13 V, down to 10 %.
    assert document["bank"]["units"] == 2
    assert document["bank"]["capacity_ah"] == 200.0
    assert math.isclose(document["bank"]["usable_wh"], 0.9 * 200.0 * 13.0, rel_tol=0.02)


def test_states_of_charge_are_hourly_and_ordered(document):
    soc = document["soc"]
    stamps = 7 * 24 + 1
    assert {key: len(values) for key, values in soc.items()} == dict.fromkeys(soc, stamps)
    assert soc["times"][0] == "2026-01-12T17:00:00+01:00"
    assert soc["times"][-1] == "2026-01-19T17:00:00+01:00"
    for low, middle, high in zip(soc["p10"], soc["p50"], soc["p90"], strict=True):
        assert 0.0 <= low <= middle <= high <= 1.0
    assert soc["p10"][0] == soc["p90"][0] == 1.0


def test_ledger_closes_and_no_term_but_the_store_is_negative(document):
    wh = document["ledger_wh_per_day"]
    sun = [wh[f"solar_{word}"] for word in ("used", "clipped", "refused_full", "refused_cold")]
    assert math.isclose(wh["solar_available"], sum(sun), rel_tol=1e-9)
    came = wh["solar_used"] + wh["alternator"] + wh["shore"]
    went = wh["load_dc"] + wh["load_ac"] + wh["inverter_loss"] + wh["battery_loss"]
    assert math.isclose(came, went + wh["stored_change"], rel_tol=1e-9, abs_tol=1e-6)
    assert all(value >= -1e-9 for key, value in wh.items() if key != "stored_change")


def test_same_seed_same_bytes_in_another_process(cli, default_json):
    assert cli("stay", *RUNS, "--json", "-").out == default_json


def test_another_seed_differs_but_not_by_much(cli, document):
    other = parse(cli("stay", *RUNS, "--seed", 2, "--json", "-").out)
    assert other["days_unplugged"] != document["days_unplugged"]
    assert abs(other["days_unplugged"]["p50"] - document["days_unplugged"]["p50"]) < 1.5


@pytest.mark.parametrize("arguments", [("--json",), ("--json=-",), ("--json", "-")])
def test_bare_json_is_standard_output(cli, default_json, arguments):
    assert cli("stay", *RUNS, *arguments).out == default_json


def test_bare_json_before_another_option(cli, default_json):
    assert cli("stay", "--json", *RUNS).out == default_json


def test_json_into_a_file_prints_nothing(cli, default_json, tmp_path):
    ran = cli("stay", *RUNS, "--json", "answer.json")
    assert (ran.code, ran.out, ran.err) == (0, "", "")
    assert (tmp_path / "answer.json").read_text(encoding="utf-8") == default_json
    assert [path.name for path in tmp_path.iterdir()] == ["answer.json"]


def test_json_never_takes_a_van_s_name_for_a_file(cli, tmp_path):
    # A file of that name would stand in for the shipped van from then on.
    ran = cli("stay", *RUNS, "--json", "weekender")
    assert ran.code == 2
    assert "weekender: --json: must end in .json" in ran.err
    assert not list(tmp_path.iterdir())


def test_options_reach_the_answer(cli):
    document = parse(
        cli(
            *("stay", *RUNS, "--place", "Oslo, NO", "--month", 5, "--days", 4),
            *("--profile", "ski-trip", "--set", "battery.units=3", "--json"),
        ).out
    )
    assert document["place"]["name"].startswith("Oslo")
    assert document["stay"]["month"] == 5
    assert document["stay"]["days"] == 4
    assert len(document["soc"]["times"]) == 4 * 24 + 1
    assert document["bank"]["units"] == 3
    assert document["bank"]["capacity_ah"] == 300.0
    assert document["ledger_wh_per_day"]["load_ac"] > 0.0, "the kettle of the ski trip"


def test_coordinates_give_the_town_s_weather(cli, document):
    place = document["place"]
    where = f"{place['latitude']}, {place['longitude']}"
    other = parse(cli("stay", *RUNS, "--place", where, "--json").out)
    assert other["days_unplugged"] == document["days_unplugged"]


def test_more_units_last_longer_on_the_same_weather(cli, document):
    larger = parse(cli("stay", *RUNS, "--set", "battery.units=3", "--json").out)
    assert larger["weather"] == document["weather"]
    for key in ("p10", "p50", "p90", "mean"):
        assert larger["days_unplugged"][key] > document["days_unplugged"][key]


@pytest.mark.one_plain
@pytest.mark.parametrize("van", ["weekender", "long-stayer"])
@pytest.mark.parametrize("profile", ["weekend-couple", "ski-trip", "remote-workers"])
@pytest.mark.parametrize("month", [1, 7])
def test_every_shipped_van_answers_for_every_shipped_profile(cli, van, profile, month):
    ran = cli("stay", van, *RUNS, "--profile", profile, "--month", month, "--json")
    assert (ran.code, ran.err) == (0, "")
    document = parse(ran.out)
    assert document["stay"]["month"] == month
    assert document["days_unplugged"]["p50"] > 0.3
    assert document["recommended_bank"]["units"] is not None
    asked = read_van(van).stay.place.partition(",")[0]
    assert document["place"]["name"].startswith(asked)


def test_a_bank_that_would_do_is_the_one_recommended(cli):
    bank = parse(cli("stay", *RUNS, "--json").out)["recommended_bank"]
    with_it = cli("stay", *RUNS, "--set", f"battery.units={bank['units']}", "--json")
    assert parse(with_it.out)["chance_lasts"] == bank["chance"] >= 0.9
