"""An offer says what `stay`, `check` and `buy` say of the same vans; what must not be built."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from solarsim.answers.buy.buy import buy
from solarsim.answers.offer.offer import offer, with_each_van
from solarsim.answers.question import ask
from solarsim.answers.simulation.run import simulate
from solarsim.answers.stay import stay
from solarsim.electrical.check import check_van
from solarsim.errors import InputError
from solarsim.inputs.prices import read_prices
from solarsim.power.design import design_of
from solarsim.present.offer.rows import offer_rows

DATE = dt.date(2026, 3, 1)
RUNS = 12
STOPPED = ("wiring.bank_inverter.wire=10 AWG", "wiring.bank_inverter.fuse_a=300")
HEAVY = ("van.payload_kg=60",)


def vans(*settings):
    first = ask("weekender", month=1, days=4, runs=RUNS, seed=3)
    other = ask("weekender", settings=settings).van if settings else "long-stayer"
    return with_each_van(first, [other, "long-stayer"] if settings else [other], ())


@pytest.fixture(scope="module")
def questions():
    return vans()


@pytest.fixture(scope="module")
def answer(questions):
    prices = read_prices("example")
    return offer(questions, date=DATE, prices=prices, labour=[1000.0, 2500.5], tax_pct=19.0)


def test_days_are_those_of_each_stay(questions, answer):
    for question, one in zip(questions, answer.designs, strict=True):
        alone = stay(question)
        assert one.stay.days == alone.days
        assert one.stay.safe_days == alone.days.p10
        assert one.stay.chance_lasts == alone.chance_lasts
        july = stay(question.replace(month=7))
        assert [each.days for each in one.seasons if each.season == "summer"] == [july.days]
        assert [each.days for each in one.seasons if each.season == "winter"] == [alone.days]


def test_checks_weights_and_costs_are_those_of_check_and_buy(questions, answer):
    for question, one in zip(questions, answer.designs, strict=True):
        check = check_van(question.van, question.profile, question.place, climate=question.climate)
        assert one.check.findings == check.findings
        listed = buy(question, read_prices("example"), source="example")
        assert (one.list.total_kg, one.list.roof_kg) == (listed.total_kg, listed.roof_kg)
        assert one.price.parts == pytest.approx(listed.total_cost, abs=0.005)
        assert (one.price.unpriced, one.price.lines) == (listed.unpriced, len(listed.items))


def test_a_step_is_the_difference_of_two_designs_on_the_same_weather(questions, answer):
    (step,) = answer.steps
    one, other = answer.designs
    assert step.cost == round(other.price.gross - one.price.gross, 2)
    cuts = [simulate(q, [design_of(q.van)]).outcome.first_cut_h[:, 0] / 24.0 for q in questions]
    gained = cuts[1] - cuts[0]
    assert step.mean_gain_days == gained.mean()
    assert step.standard_error == pytest.approx(np.std(gained, ddof=1) / RUNS**0.5)
    assert {"+6 x 220 W rigid", "-2 x 200 W rigid"} <= set(step.changes)


def test_everyone_is_asked_of_the_first_ones_people_place_and_dates(questions):
    first, other = questions
    assert ask("long-stayer").profile != first.profile
    assert (other.profile, other.place, other.runs, other.seed) == (
        *(first.profile, first.place),
        *(first.runs, first.seed),
    )
    assert (other.van.stay.month, other.van.stay.days) == (1, 4)


@pytest.mark.parametrize(
    ("settings", "why"), [(STOPPED, "positive bus to inverter"), (HEAVY, "payload: ")]
)
def test_what_must_not_be_built_has_no_price_and_no_step(settings, why):
    answer = offer(vans(*settings), date=DATE, prices=read_prices("example"), tax_pct=19.0)
    middle = answer.designs[1]
    assert any(reason.startswith(why) for reason in middle.reasons)
    assert middle.price is None
    assert [(step.start, step.end) for step in answer.steps] == [("A", "C")]


@pytest.mark.parametrize(
    ("changed", "what"),
    [
        ({"place": "Bergen, NO"}, "place"),
        ({"month": 2}, "dates"),
        ({"days": 5}, "dates"),
        ({"runs": 13}, "runs"),
        ({"seed": 4}, "seed"),
        ({"profile": "ski-trip"}, "people"),
        ({"site_uncertainty": False}, "weather"),
        ({"follow_days": 20}, "days followed"),
    ],
)
def test_unlike_questions_are_refused(questions, changed, what):
    with pytest.raises(InputError, match=f"designs: {what} of design 2 must be that of the first"):
        offer([questions[0], questions[1].replace(**changed)], date=DATE)


def test_a_van_that_cannot_run_what_the_first_ones_people_use_is_named():
    bare = ask("weekender", profile="light").van.model_copy(update={"inverter": None})
    first = ask("weekender", profile="heavy", runs=1)
    with pytest.raises(InputError, match="design B: inverter: AC loads need"):
        with_each_van(first, [bare], ())


@pytest.mark.slow
def test_lives_that_depend_on_a_device_are_promised_what_99_in_100_reach():
    settings = ('profile.medical=["laptop"]',)
    few = ask("weekender", settings=settings, runs=RUNS)
    with pytest.raises(InputError, match="takes 300 runs or more"):
        offer([few], date=DATE)
    (one,) = offer([few.replace(runs=300)], date=DATE).designs
    assert one.stay.safe_days == one.stay.days.p1 < one.stay.days.p10


def test_an_offer_that_ended_before_it_was_made_is_refused(questions):
    with pytest.raises(InputError, match="valid_until: got 2026-02-28; must not be before"):
        offer(questions, date=DATE, valid_until=dt.date(2026, 2, 28))


# --- more places ---


@pytest.mark.slow
def test_further_places_have_their_own_seasons_and_the_check_looks_there_as_well(questions):
    found = offer(questions, date=DATE, regions=["Hobart, AU", "Fairbanks"])
    for question, one in zip(questions, found.designs, strict=True):
        assert [each.place.name for each in one.seasons[::4]] == [
            "Salzburg, AT",
            "Hobart, TAS, AU",
            "Fairbanks, AK, US",
        ]
        hobart = stay(question.replace(place="Hobart, AU", month=7))
        (winter,) = (each for each in one.seasons[4:8] if each.season == "winter")
        assert (winter.month, winter.days) == (7, hobart.days)
        assert one.stay.days == stay(question).days
        there = question.replace(place="Fairbanks")
        stops = check_van(there.van, there.profile, there.place, climate=there.climate).stops
        assert all(f"at Fairbanks, AK, US: {stop}" in one.reasons for stop in stops)
        assert (one.price is None) == (found.prices is None or bool(one.reasons))
    rows = [row for row in offer_rows(found) if row.part.startswith("Days off grid")]
    # The stay's own month is a season of its own place alone.
    assert len(rows) == 2 + 3 + 4 + 4
    assert sum("Hobart" in row.what for row in rows) == 4


def test_cold_of_a_further_place_stops_a_design():
    """A string whose voltage the controller bears in a mild winter, and not in Alaska's."""
    settings = ["panels.count=2", "panels.series=2", "controller.max_input_v=57"]
    asked = ask("weekender", place="Almeria, ES", month=1, days=4, runs=RUNS, settings=settings)
    (at_home,) = offer([asked], date=DATE).designs
    (travelled,) = offer([asked], date=DATE, regions=["Fairbanks"]).designs
    assert at_home.reasons == ()
    assert travelled.reasons
    assert all(reason.startswith("at Fairbanks, AK, US: ") for reason in travelled.reasons)


@pytest.mark.parametrize(
    ("regions", "told"),
    [
        (["Salzburg, AT"], "stands twice"),
        (["Bergen, NO", "Oslo", "Lyon, FR", "Turin, IT"], "at most 3 fit"),
        (["Nowhereville"], "Nowhereville"),
    ],
)
def test_places_that_cannot_be_are_refused(questions, regions, told):
    with pytest.raises(InputError, match=told):
        offer(questions, date=DATE, regions=regions)
