"""What is chosen: the cheapest that lasts and may be built, and what was passed over."""

from __future__ import annotations

import pytest

from solarsim.answers.question import ask
from solarsim.answers.tune.built import built_van
from solarsim.answers.tune.choose import best_line
from solarsim.answers.tune.tune import tune
from solarsim.electrical.check import check_van
from solarsim.inputs.percent import percent
from solarsim.packing.fit import fitting_counts

PRICES = ("panels.cost=100", "battery.cost=400")


@pytest.fixture(scope="module")
def answer():
    """A month in which the counts matter: from never to always."""
    return tune(ask(month=11, runs=60))


@pytest.fixture(scope="module")
def dear_panels():
    prices = ["panels.cost=900", "battery.cost=10"]
    return tune(ask(month=11, runs=60, settings=prices))


def table(answer):
    return {(design.panels, design.units): design for design in answer.designs}


def passing(got):
    """Designs that meet the target and that `check` and `roof` pass, each built and looked at."""
    fits = fitting_counts(got.question.van)
    for design in got.designs:
        if design.chance_lasts < got.question.van.stay.target_chance or design.panels == 0:
            continue
        van = built_van(got.question.van, design)
        checked = check_van(van, got.question.profile, got.question.place)
        if design.panels in fits and all(one.severity != "stop" for one in checked.findings):
            yield design


def test_without_prices_the_usual_weights_choose(answer):
    good = list(passing(answer))
    assert answer.choice in good
    assert answer.choice.cost_in_panel_w == min(d.cost_in_panel_w for d in good)
    # A panel of 200 W counts 200, a unit of 100 Ah LFP at 12 V 420, an ampere of DC-DC charger 6.
    for design in answer.designs:
        assert design.cost_in_panel_w == 200.0 * design.panels + 420.0 * design.units + 6.0 * 30.0
    assert answer.choice.cost is None
    assert any("common practice, no source" in note for note in answer.notes)
    assert percent(answer.choice.chance_lasts) in answer.reason


@pytest.mark.parametrize("prices", [PRICES, ("panels.cost=900", "battery.cost=10")])
def test_with_prices_the_cheapest_is_chosen(prices):
    each = [float(price.split("=")[1]) for price in prices]
    got = tune(ask(month=11, runs=60, settings=prices))
    for design in got.designs:
        assert design.cost == each[0] * design.panels + each[1] * design.units
    good = list(passing(got))
    assert got.choice.cost == min(d.cost for d in good)
    assert "cheapest" in got.reason
    assert not any("usually cost" in note for note in got.notes)
    assert got.one_more
    for more in got.one_more:
        assert more.cost == each[more.part == "battery"]


def test_what_may_not_be_built_is_passed_over_and_named():
    """One unit holds the desert week under three panels, but not the inverter's current."""
    got = tune(ask(place="Phoenix, AZ, US", month=7, runs=20))
    assert got.choice == min(passing(got), key=lambda d: (d.cost_in_panel_w, -d.chance_lasts))
    assert got.choice.units == 2
    first = got.passed_over[0]
    assert (first.design.panels, first.design.units) == (2, 1)
    assert "2 panels and 1 unit would last too and be cheaper, but is passed over" in got.reason
    assert "the inverter at its full 1,200 W" in got.reason
    assert first.design.cost_in_panel_w < got.choice.cost_in_panel_w
    free = tune(ask(month=1, runs=20), strings=[4, 5, 6], panels=[1, 2])
    assert free.passed_over == ()
    assert "passed over" not in free.reason


def test_a_stop_that_no_panel_or_bank_mends_leaves_no_choice():
    """A branch of thin wire stays too thin, whatever the bank."""
    thin = 'wiring.bank_inverter={wire="8 AWG"}'
    got = tune(ask(month=7, runs=5, settings=[thin]), strings=[2, 3])
    assert got.choice is None
    assert "none of them may be built" in got.reason
    assert "8 AWG" in got.reason
    assert got.passed_over
    assert got.one_more == ()


def test_a_roof_that_is_too_small_stops_a_design():
    got = tune(ask(month=7, runs=5), panels=[2, 6], strings=[2, 3])
    assert got.choice.panels == 2
    prices = ["panels.cost=1", "battery.cost=5000"]
    cheap = tune(ask(month=12, runs=20, settings=prices), panels=[3, 6], strings=[2, 3, 4, 5])
    assert cheap.choice.panels == 3
    assert all(
        "no room for 6 panels" in " ".join(one.reasons)
        for one in cheap.passed_over
        if one.design.panels == 6
    )


def test_a_van_that_nothing_charges_is_chosen_only_when_asked_for():
    prices = ["panels.cost=5000", "battery.cost=1"]
    got = tune(ask(month=11, runs=10, settings=prices), strings=[8, 10, 12])
    assert got.choice.panels > 0
    bare = [one for one in got.passed_over if one.design.panels == 0]
    assert bare
    assert all("nothing charges it" in one.reasons[0] for one in bare)
    assert tune(ask(month=11, runs=10, settings=prices), panels=[0]).choice.panels == 0
    driven = [*prices, "alternator.drive_h=1"]
    bare_bus = tune(ask(month=11, runs=10, settings=driven), strings=[8, 10, 12])
    assert bare_bus.choice.panels == 0
    assert "before leaving the roof bare" in bare_bus.reason


def test_more_strings_than_makers_allow_are_chosen_only_where_fewer_do_not_do():
    """Eight cheap units would last too; common practice, no source: at most four in parallel."""
    prices = ["panels.cost=1000", "battery.cost=1"]
    asked = ask(month=11, days=10, runs=20, settings=prices)
    few = tune(asked, panels=[1, 3], strings=[3, 4, 8])
    assert few.choice.units <= 4
    assert [one.design.units for one in few.passed_over] == [8]
    assert few.passed_over[0].design.panels == 1
    assert "8 units would last too and be cheaper, but is passed over: more than 4" in few.reason
    none = tune(asked, panels=[1], strings=[8, 9])
    assert none.choice.units == 8
    assert none.reason.endswith("share their current unevenly: take larger units")


def test_one_more_is_the_next_cell(answer, dear_panels):
    cells = table(answer)
    choice = answer.choice
    for more in answer.one_more:
        step = (1, 0) if more.part == "panel" else (0, 1)
        cell = cells[choice.panels + step[0], choice.units + step[1]]
        assert more.count == 1
        assert more.days_gained == cell.days.mean - choice.days.mean
        assert more.chance_gained == cell.chance_lasts - choice.chance_lasts
        assert more.cost is None
    # The roof is full with what is chosen; where panels are dear there is room for one more.
    assert choice.panels == max(panels for panels, _ in cells)
    assert {more.part for more in answer.one_more} == {"battery"}
    assert {more.part for more in dear_panels.one_more} == {"panel", "battery"}


def test_prices_move_the_choice(answer, dear_panels):
    assert dear_panels.choice.panels < answer.choice.panels
    # The physics does not know what things cost.
    assert [d.days for d in dear_panels.designs] == [d.days for d in answer.designs]


def test_one_price_alone_is_no_price():
    question = ask(runs=3, settings=["panels.cost=100"]).replace(follow_days=7)
    assert {d.cost for d in tune(question, strings=[1, 2]).designs} == {None}


def test_prices_are_the_chemistry_s_own():
    question = ask(runs=3, settings=PRICES).replace(follow_days=7)
    mixed = tune(question, strings=[1], chemistries=["lfp", "agm"])
    assert {d.cost for d in mixed.designs} == {None}
    same = tune(question, strings=[1], chemistries=["lfp"])
    assert None not in {d.cost for d in same.designs}


def test_no_design_will_do():
    got = tune(ask(month=12, place="Tromso", runs=20, days=14), strings=[1, 2])
    assert got.choice is None
    assert "no design of up to 3 panels and 2 units reaches 90 %" in got.reason
    assert got.stops_paying is not None


def test_of_equals_in_parts_and_price_the_longer_lasting_is_chosen():
    """A tilt costs nothing here: of all the tilts the one with the best chance."""
    question = ask(month=11, runs=60, settings=["stay.target_chance=0.1"])
    got = tune(question, panels=[2], strings=[3], tilts_deg=[0.0, 20.0, 40.0])
    chances = [design.chance_lasts for design in got.designs]
    assert 0.1 <= min(chances) < max(chances)
    assert got.choice.chance_lasts == max(chances)


def test_the_choice_is_on_the_line_of_prices(dear_panels):
    """As far as the designs that may be built go."""
    assert dear_panels.choice in best_line(list(passing(dear_panels)))
