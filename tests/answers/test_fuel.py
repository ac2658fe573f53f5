"""Fuel of a stay: per day and stay, what a tank lasts, what it costs, what is not counted."""

from __future__ import annotations

import io

import numpy as np
import pytest
from rich.console import Console

from solarsim.answers.fuel import MOST_DAYS, Warmth, fuel_of
from solarsim.answers.levers import levers
from solarsim.answers.question import ask
from solarsim.answers.simulation.run import simulate
from solarsim.answers.stay import stay
from solarsim.inputs.prices import Prices
from solarsim.power.design import design_of
from solarsim.present.compare.documents import levers_document
from solarsim.present.compare.text import print_levers
from solarsim.present.stay.documents import stay_document, to_json
from solarsim.present.stay.fuel import NO_FUEL, fuel_lines
from solarsim.present.stay.text import print_stay

ALL = ["fuel.heat=diesel", "fuel.hot_water=diesel", "fuel.cooking=propane"]
TANKS = ["fuel.diesel_tank_l=20", "fuel.propane_kg=5"]
PRICES = Prices.model_validate(
    {"prices": {"currency": "EUR", "diesel_per_l": 2.0, "propane_per_kg": 3.0}}
)


def told(answer, print_it):
    out = io.StringIO()
    print_it(answer, Console(file=out, width=500))
    return out.getvalue()


@pytest.fixture(scope="module")
def answered():
    return stay(ask("weekender", runs=40, settings=[*ALL, *TANKS]), prices=PRICES)


def test_a_stay_is_its_days_and_costs_its_price(answered):
    diesel, propane = answered.fuel.fuels
    assert (diesel.kind, diesel.unit, propane.kind, propane.unit) == (
        "diesel",
        "L",
        "propane",
        "kg",
    )
    days = answered.question.van.stay.days
    assert diesel.per_stay.p90 == pytest.approx(days * diesel.per_day.p90)
    assert diesel.cost.p90 == pytest.approx(2.0 * diesel.per_stay.p90)
    assert propane.cost.p50 == pytest.approx(3.0 * propane.per_stay.p50)
    assert diesel.lasts_days.p10 == pytest.approx(20.0 / diesel.per_day.p90, rel=0.05)
    assert sum(propane.uses_per_day.values()) == pytest.approx(propane.per_day.p50)
    assert diesel.per_day.p10 < diesel.per_day.p50 < diesel.per_day.p90


def test_winter_burns_more_than_summer():
    summer = stay(ask("weekender", runs=20, month=7, settings=ALL)).fuel.fuels[0]
    winter = stay(ask("weekender", runs=20, month=1, settings=ALL)).fuel.fuels[0]
    assert winter.per_day.p10 > 3.0 * summer.per_day.p90
    assert summer.uses_per_day["hot_water"] > 0.0


def test_text_card_frame_and_document_say_it(answered):
    text = told(answered, print_stay)
    assert "Diesel: nine stays in ten burn no more than" in text
    assert "20 L last" in text
    assert "EUR in nine stays of ten" in text
    assert "fuel" in dict(answered.card().rows)
    assert answered.frame()["diesel_p90_l_per_day"][0] == answered.fuel.fuels[0].per_day.p90
    document = stay_document(answered)["fuel"]
    assert document["diesel"]["per_day"]["p90"] == answered.fuel.fuels[0].per_day.p90
    assert document["propane"]["currency"] == "EUR"
    assert to_json(stay_document(answered))


def test_a_van_that_names_no_fuel_says_that_none_is_counted():
    answer = stay(ask("weekender", runs=10))
    assert answer.fuel is None
    assert answer.conditions.warmth is None
    assert "fuel" not in stay_document(answer)
    assert NO_FUEL in told(answer, print_stay)


def test_what_is_left_out_and_what_is_electric_is_said():
    settings = ["fuel.heat=diesel", "fuel.cooking=electricity"]
    lines = fuel_lines(stay(ask("weekender", runs=10, settings=settings)).fuel)
    assert lines[1:] == (
        "On electricity, counted where the profile has its appliance: cooking.",
        "Fuel is not counted for hot water.",
    )


def test_chunks_of_runs_give_the_fuel_of_all(monkeypatch):
    question = ask("weekender", runs=30, settings=ALL)
    whole = simulate(question, [design_of(question.van)]).conditions.warmth
    monkeypatch.setattr("solarsim.answers.simulation.run.CHUNK_RUNS", 7)
    parts = simulate(question, [design_of(question.van)]).conditions.warmth
    np.testing.assert_array_equal(whole.heat_wh_per_day, parts.heat_wh_per_day)
    assert len(whole.cabin_temp_c) == 30


def test_a_tank_that_nothing_empties_is_not_promised_for_ever():
    question = ask("weekender", runs=5, settings=["fuel.heat=diesel", "fuel.diesel_tank_l=20"])
    mild = Warmth(np.zeros(5), np.full(5, 25.0))
    found = fuel_of(question, mild, {}, charged_wh=np.zeros(5))
    assert found.fuels[0].lasts_days.p10 == MOST_DAYS
    assert "20 L last 365 days or more" in fuel_lines(found)[0]


@pytest.mark.slow
def test_cooking_on_gas_has_its_price_in_propane():
    question = ask("long-stayer", runs=10, settings=["fuel.heat=diesel"])
    answer = levers(question)
    cooking = {a.name for a in question.profile.appliances if a.cooking and a.enabled}
    wh = sum(answer.conditions.demand_wh_per_day[name] for name in cooking)
    assert wh > 0.0
    # 85 % of it is in the pot, of which gas brings half of 12.89 kWh a kg.
    assert answer.gas_kg_per_day == pytest.approx(0.85 * wh / 0.5 / 12_888.9, rel=1e-4)
    assert "Cooking on gas would burn about" in told(answer, print_levers)
    assert levers_document(answer)["cooking_on_gas_kg_per_day"] == answer.gas_kg_per_day
