"""The cheapest design under a weight, at the prices of a file."""

from __future__ import annotations

import pytest

from solarsim.answers.buy.buy import buy
from solarsim.answers.question import ask
from solarsim.answers.tune.built import built_van
from solarsim.answers.tune.tune import tune
from solarsim.errors import InputError
from solarsim.inputs.prices import Part, Prices, PricesIdentity

TRIED = {"panels": [1, 2, 3], "strings": [2, 3, 4, 6]}


def prices(*parts):
    return Prices(prices=PricesIdentity(currency="EUR"), parts=parts)


@pytest.fixture(scope="module")
def question():
    return ask("weekender", month=4, days=5, runs=20)


def weight_kg(question, design, given=None):
    return buy(question.replace(van=built_van(question.van, design)), given).total_kg


def test_heavier_designs_are_passed_over_and_told(question):
    dear = prices(Part(part="200 W rigid", cost=1.0), Part(part="100 Ah LFP", cost=500.0))
    cheap = prices(Part(part="200 W rigid", cost=500.0), Part(part="100 Ah LFP", cost=1.0))
    free = tune(question, **TRIED, prices=cheap)
    limit_kg = weight_kg(question, free.choice, cheap) - 1.0
    light = tune(question, **TRIED, prices=cheap, max_kg=limit_kg)
    assert light.choice is None or weight_kg(question, light.choice, cheap) <= limit_kg
    assert any("weighs" in r for stopped in light.passed_over for r in stopped.reasons)
    assert any(f"at most {limit_kg:g} kg" in note for note in light.notes)
    # Prices of a file take the place of the van's.
    assert tune(question, **TRIED, prices=dear).choice.cost != free.choice.cost


def test_where_nothing_is_light_enough_nothing_is_chosen(question):
    answer = tune(question, **TRIED, max_kg=10.0)
    assert answer.choice is None
    assert "at most 10 kg was asked for" in answer.reason


def test_names_of_parts_are_checked_before_the_work(question):
    with pytest.raises(InputError, match="no such part"):
        tune(question, **TRIED, prices=prices(Part(part="gold", cost=1.0)))
