"""Every total, share and count of every answer adds up, and text says what the document says."""

from __future__ import annotations

import json

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from solarsim.answers.bank import bank
from solarsim.answers.levers import levers
from solarsim.answers.question import ask
from solarsim.answers.roof import roof
from solarsim.answers.seasons import seasons
from solarsim.answers.sheet.sheet import sheet
from solarsim.answers.stay import stay
from solarsim.answers.tune.tune import tune
from solarsim.electrical.check import check_van
from solarsim.packing.fit import fitting_counts
from solarsim.present.check.documents import check_document
from solarsim.present.check.text import check_headline, print_check
from solarsim.present.compare.documents import levers_document, seasons_document, tune_document
from solarsim.present.compare.text import LEVER_TITLES, print_levers, print_seasons
from solarsim.present.compare.tune_text import print_tune
from solarsim.present.roof.document import roof_document
from solarsim.present.roof.text import print_roof
from solarsim.present.sheet.annex_page import annex_page
from solarsim.present.stay.documents import bank_document, stay_document, to_json
from solarsim.present.stay.text import print_bank, print_stay
from solarsim.present.words import ledger_rows
from tests.property.totals import assert_adds_up, assert_rows_are, assert_shown, tables_of, text_of

RUNS = 6
# To make a failing van smaller takes minutes, and the first one tells enough.
PHASES = (Phase.explicit, Phase.generate)
SETTINGS = st.fixed_dictionaries(
    {
        "battery.part": st.sampled_from(["100 Ah LFP", "100 Ah AGM", "100 Ah gel"]),
        "battery.units": st.integers(1, 4),
        "battery.location": st.sampled_from(["inside", "outside"]),
        "panels.count": st.integers(0, 3),
        "controller.kind": st.sampled_from(["mppt", "pwm"]),
        "stay.days": st.integers(1, 12),
        "stay.month": st.integers(1, 12),
        "stay.start_soc": st.sampled_from([0.3, 0.7, 1.0]),
        "alternator.drive_h": st.sampled_from([0.0, 1.5]),
        "alternator.every_days": st.integers(1, 3),
        "shore.plugged_h": st.sampled_from([0.0, 8.0]),
    }
)
ASKED = {
    "changes": SETTINGS,
    "place": st.sampled_from(["Bergen, NO", "Nairobi", "Phoenix, AZ, US", "Ushuaia, AR"]),
    "profile": st.sampled_from(["weekend-couple", "light", "heavy", "ski-trip"]),
}


def question_of(changes, place, profile):
    chosen = [f"{name}={value}" for name, value in changes.items()]
    return ask("weekender", place=place, profile=profile, settings=chosen, runs=RUNS)


def told(document):
    """The document as it is written."""
    return json.loads(to_json(document))


def numbers(cells):
    return [float(cell.replace(",", "")) for cell in cells]


def assert_sums(parts, whole):
    """Rounded parts beside their rounded whole."""
    assert sum(parts) == pytest.approx(whole, abs=0.5 * (len(parts) + 1))


def stay_adds_up(question):
    answer = stay(question)
    document = told(stay_document(answer))
    assert assert_adds_up(document) >= 8
    wh, asked = document["ledger_wh_per_day"], answer.conditions.demand_wh_per_day
    whole = wh["load_dc"] + wh["load_ac"] + wh["unserved"]
    assert whole == pytest.approx(sum(asked.values()))
    assert (
        len(document["soc"]["times"]) == len(document["soc"]["p50"]) == 24 * answer.dates.days + 1
    )
    assert document["soc"]["p50"][0] == pytest.approx(question.van.stay.start_soc)
    assert document["bank"]["usable_wh_cold"] <= document["bank"]["usable_wh"] + 1e-9
    tables = tables_of(text_of(print_stay, answer))
    _, _, ledger = tables["Energy a day of the stay"]
    shown = numbers(row[2] for row in ledger)
    for value, (_, _, exact) in zip(shown, ledger_rows(answer), strict=True):
        assert value == pytest.approx(exact, abs=0.5 + 1e-6)
    groups = [group for group, _, _ in ledger_rows(answer)]
    came, went = (
        [wh for wh, group in zip(shown, groups, strict=True) if group == name]
        for name in ("in", "out")
    )
    assert sum(came) == pytest.approx(sum(went), abs=0.5 * (len(came) + len(went)))
    _, _, appliances = tables["What the people aboard ask for"]
    assert [row[0] for row in appliances[:-1]] == sorted(asked, key=lambda name: -asked[name])
    assert_sums(
        numbers(row[1] for row in appliances[:-1]), float(appliances[-1][1].replace(",", ""))
    )
    assert float(appliances[-1][1].replace(",", "")) == round(whole)
    return document


def bank_adds_up(question):
    answer = bank(question)
    document = told(bank_document(answer))
    assert assert_adds_up(document) >= 10
    rows, chosen = document["banks"], document["recommended_bank"]
    series = question.van.units_in_series
    for row in rows:
        strings = row["units"] // series
        assert row["capacity_ah"] == pytest.approx(question.van.battery.unit_capacity_ah * strings)
        assert row["usable_wh"] / strings == pytest.approx(rows[0]["usable_wh"])
    assert [row["units"] for row in rows] == sorted({row["units"] for row in rows})
    by_units = {row["units"]: row for row in rows}
    same = rows[-1] if chosen["units"] is None else by_units[chosen["units"]]
    assert chosen["chance"] == same["chance_lasts"]
    if chosen["units"] is not None:
        assert chosen["capacity_ah"] == same["capacity_ah"]
        assert chosen["chance"] >= question.van.stay.target_chance
    table = next(iter(tables_of(text_of(print_bank, answer)).values()))
    shown = [by_units[int(row[0].removesuffix(" <"))] for row in table[2]]
    columns = {"Ah": "capacity_ah", "usable_Wh": "usable_wh", "chance": "chance_lasts"}
    columns |= {"P10_days": "p10", "P50_days": "p50", "P90_days": "p90", "units": "units"}
    assert_rows_are(table, shown, **columns)
    return document


@given(**ASKED)
@settings(max_examples=2, phases=PHASES)
def test_a_stay_and_its_banks(changes, place, profile):
    question = question_of(changes, place, profile)
    one, banks = stay_adds_up(question), bank_adds_up(question)
    own = [row for row in banks["banks"] if row["units"] == one["bank"]["units"]]
    for row in own:
        assert row["chance_lasts"] == one["chance_lasts"]
        assert row["p50"] == one["days_unplugged"]["p50"]
        assert row["usable_wh"] == one["bank"]["usable_wh"]
    assert one["recommended_bank"] == banks["recommended_bank"]


@given(**ASKED)
@settings(max_examples=2, phases=PHASES)
def test_a_roof_and_a_check(changes, place, profile):
    question = question_of(changes, place, profile)
    answer = roof(question)
    document = told(roof_document(answer))
    assert_adds_up(document)
    panels, area = document["panels"], document["roof"]
    assert document["count"] == len(panels)
    assert document["watts"] == pytest.approx(sum(panel["power_w"] for panel in panels))
    size_m2 = sum(panel["length_m"] * panel["width_m"] for panel in panels)
    assert area["panels_m2"] == pytest.approx(size_m2)
    assert area["panels_m2"] <= area["free_m2"] <= area["area_m2"]
    assert document["own"]["fits"] is (changes["panels.count"] in fitting_counts(question.van))
    for cost in document["costs"]:
        by_month = cost["month_shade_wh_per_day"]
        if by_month is not None:
            assert cost["shade_wh_per_day"] == pytest.approx(sum(by_month) / 12.0, rel=0.03)
    tables = tables_of(text_of(print_roof, answer))
    assert len(tables["Where they lie, from the roof's rear left"][2]) == document["count"]
    assert_rows_are(
        tables["Other panels on this roof"],
        document["other_panels"],
        part="part",
        panels="count",
        W="power_w",
    )

    checked = check_van(question.van, question.profile, question.place, climate=question.climate)
    report = told(check_document(checked))
    assert_adds_up(report)
    line = check_headline(checked)
    for severity, word in (("stop", "STOP"), ("warn", "WARN"), ("note", "NOTE")):
        count = sum(one["severity"] == severity for one in report["findings"])
        assert (f"{count} {word} " in line) is (count > 0)
    text = text_of(print_check, checked)
    for word in ("STOP", "WARN", "NOTE"):
        lines = [row for row in text.splitlines() if row.startswith(f"{word} ")]
        said = sum(one["severity"] == word.lower() for one in report["findings"])
        assert len(lines) == said
    for cable in checked.cables:
        if cable.wire is not None and cable.drop_v > 0.0:
            # The drop is by the rules' cold copper, the loss by copper as warm as it may run.
            cold_w = cable.drop_v * cable.circuit.running_a
            assert 1.0 <= cable.loss_w / cold_w <= 1.25


def tune_adds_up(question):
    prices = question.replace(settings=["panels.cost=100", "battery.cost=300"])
    answer = tune(prices, panels=[0, 1, 2], strings=[1, 2, 3])
    document = told(tune_document(answer))
    assert_adds_up(document)
    designs = document["designs"]
    assert len(designs) == 9
    for row in designs:
        assert row["cost"] == 100.0 * row["panels"] + 300.0 * row["units"]
    listed = [*document["pareto"], *([document["choice"]] if document["choice"] else [])]
    listed += [
        {key: value for key, value in row.items() if key != "stops"}
        for row in document["passed_over"]
    ]
    assert all(row in designs for row in listed)
    at = {(row["panels"], row["units"]): row for row in designs}
    choice = document["choice"]
    for more in document["one_more"]:
        step = (more["count"], 0) if more["part"] == "panel" else (0, more["count"])
        other = at[choice["panels"] + step[0], choice["units"] + step[1]]
        gained = other["chance_lasts"] - choice["chance_lasts"]
        assert more["chance_gained"] == pytest.approx(gained)
        assert more["cost"] == pytest.approx(other["cost"] - choice["cost"])
    chances, *_ = tables_of(text_of(print_tune, answer)).values()
    for row in chances[2]:
        for panels, cell in zip(chances[1][1:], row[1:], strict=True):
            shown = at[int(panels), int(row[0])]["chance_lasts"]
            assert_shown(cell.strip("[]"), shown, horizon=30)


def levers_add_up(question):
    answer = levers(question)
    document = told(levers_document(answer))
    assert_adds_up(document)
    before = document["chance_lasts"]
    for lever in document["levers"]:
        assert -1e-9 <= before + lever["chance_gained"] <= 1.0 + 1e-9
        if lever["skipped"] is not None:
            assert lever["days_gained"] == lever["chance_gained"] == 0.0
    tables = tables_of(text_of(print_levers, answer))
    for kind, title in LEVER_TITLES.items():
        applied = [
            lever
            for lever in document["levers"]
            if lever["kind"] == kind and lever["skipped"] is None
        ]
        if applied:
            named = [dict(one, name=one["name"] + " *" * one["stopped"]) for one in applied]
            columns = {"change": "name", "days_gained": "days_gained", "chance": "chance_gained"}
            assert_rows_are(tables[title], named, **columns, reserve_Wh="reserve_gained_wh")


def seasons_add_up(question):
    answer = seasons(question)
    document = told(seasons_document(answer))
    assert assert_adds_up(document) >= 13
    months = document["months"]
    worst = months[document["worst_month"] - 1]
    assert worst["chance_lasts"] == min(month["chance_lasts"] for month in months)
    table = next(iter(tables_of(text_of(print_seasons, answer)).values()))
    columns = {"P10": "p10", "P50": "p50", "P90": "p90", "reserve_Wh": "reserve_wh"}
    columns |= {"GHI": "ghi_kwh_m2_day", "air_C": "temp_air_c", "load_Wh": "demand_wh_per_day"}
    columns[table[1][1]] = "chance_lasts"
    assert assert_rows_are(table, months, **columns) == 12 * 8
    one = stay_document(stay(question))
    here = months[question.van.stay.month - 1]
    assert here["chance_lasts"] == one["chance_lasts"]
    assert here["demand_wh_per_day"] == pytest.approx(
        sum(one["ledger_wh_per_day"][key] for key in ("load_dc", "load_ac", "unserved"))
    )


def sheet_adds_up(question):
    document = told(sheet(question, annex=True).to_dict())
    assert assert_adds_up(document) >= 20
    van = document["van"]
    assert van["panels_w"] == question.van.panels.count * question.van.panels.power_w
    assert van["nominal_wh"] == van["capacity_ah"] * van["system_voltage_v"]
    for way in document["ways"]:
        for season in ("winter", "summer"):
            parts = [use[f"{season}_wh_per_day"] for use in way["appliances"]]
            assert sum(parts) == pytest.approx(way[f"{season}_wh_per_day"])
    assert set(document["ways_left_out"]) | {way["way"] for way in document["ways"]} == {
        "light",
        "typical",
        "heavy",
    }
    got = document["recharge"]
    for month in ("june", "december"):
        share = got[f"sun_{month}_wh_per_day"] / van["usable_wh"]
        assert got[f"sun_{month}_share"] == pytest.approx(share)
    page = annex_page(document, clean=lambda text, field: text)
    wh = document["annex"]["stay"]["ledger_wh_per_day"]
    ledger, months = page["tables"][:2]
    for (_, cell), value in zip(ledger["rows"], wh.values(), strict=True):
        assert float(cell.replace(",", "").replace("−", "-")) == pytest.approx(
            value, abs=0.5 + 1e-6
        )
    for row, month in zip(months["rows"], document["annex"]["seasons"]["months"], strict=True):
        for cell, key in zip(row[1:5], ("chance_lasts", "p10", "p50", "p90"), strict=True):
            assert_shown(cell.replace("\u00a0", " "), month[key], horizon=30)


@pytest.mark.parametrize("add_up", [tune_adds_up, levers_add_up, seasons_add_up, sheet_adds_up])
@pytest.mark.slow
@given(**ASKED)
@settings(max_examples=5, phases=PHASES)
def test_what_compares(add_up, changes, place, profile):
    asked = question_of(changes, place, profile)
    if add_up is sheet_adds_up and changes["panels.count"] not in fitting_counts(asked.van):
        asked = question_of(changes | {"panels.count": 2}, place, profile)
    add_up(asked)


@pytest.mark.slow
@given(**ASKED)
@settings(max_examples=25, phases=PHASES)
def test_many_stays(changes, place, profile):
    question = question_of(changes, place, profile)
    stay_adds_up(question)
    bank_adds_up(question)
