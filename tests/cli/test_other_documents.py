"""The JSON of `bank`, `climate` and `parts`."""

from __future__ import annotations

import json

from hypothesis import given
from hypothesis import strategies as st

from solarsim.cli.main import _with_bare_json

BANK_KEYS = {"units", "capacity_ah", "usable_wh", "chance_lasts", "p1", "p10", "p50", "p90"}
MONTH_KEYS = {
    "month",
    "ghi_kwh_m2_day",
    "kt_p10",
    "kt_p50",
    "kt_p90",
    "temp_air_c",
    "temp_min_c",
    "temp_max_c",
    "snow_share",
    "ghi_mid_kwh_m2_day",
    "ghi_p10_kwh_m2_day",
    "ghi_p90_kwh_m2_day",
    "ghi_error_share",
}


def test_bank_lists_every_bank_and_the_choice(cli):
    document = json.loads(cli("bank", "--runs", 20, "--json").out)
    assert all(set(bank) == BANK_KEYS for bank in document["banks"])
    assert [bank["units"] for bank in document["banks"]] == list(range(1, 16))
    chosen = document["recommended_bank"]
    same = next(bank for bank in document["banks"] if bank["units"] == chosen["units"])
    assert same["chance_lasts"] == chosen["chance"]
    assert same["capacity_ah"] == chosen["capacity_ah"]
    assert document["remedies"] == []


def test_bank_and_stay_recommend_alike(cli):
    for arguments in (("weekender",), ("long-stayer", "--month", "12")):
        of_bank = json.loads(cli("bank", *arguments, "--runs", 20, "--json").out)
        of_stay = json.loads(cli("stay", *arguments, "--runs", 20, "--json").out)
        assert of_bank["recommended_bank"] == of_stay["recommended_bank"]


def test_climate_has_the_keys_of_schema_1(cli):
    document = json.loads(cli("climate", "--json").out)
    assert set(document) == {
        "schema", "place", "months", "stations", "source", "about", "doubts",
    }  # fmt: skip
    assert [month["month"] for month in document["months"]] == list(range(1, 13))
    for month in document["months"]:
        assert set(month) == MONTH_KEYS
        assert 0.0 <= month["kt_p10"] <= month["kt_p50"] <= month["kt_p90"] < 1.0
        assert month["temp_min_c"] < month["temp_air_c"] < month["temp_max_c"]
        assert 0.0 <= month["snow_share"] <= 1.0


def test_parts_all_have_a_source(cli):
    document = json.loads(cli("parts", "--json").out)
    for kind in ("panels", "batteries", "appliances"):
        assert document[kind]
        assert all(part["source"] for part in document[kind].values())


@given(st.lists(st.sampled_from(["--json", "-", "x.json", "--runs", "20", "weekender"])))
def test_bare_json_only_ever_gains_its_dash(arguments):
    expanded = _with_bare_json(arguments)
    for index, argument in enumerate(expanded):
        if argument == "--json":
            assert index + 1 < len(expanded)
            assert not expanded[index + 1].startswith("--")
    gained = len(expanded) - len(arguments)
    assert 0 <= gained <= arguments.count("--json")
    # Without what was put in, it is what was typed.
    left = iter(expanded)
    assert all(argument in left for argument in arguments)
