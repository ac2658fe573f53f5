"""The best builds: the same as those of every design asked alone and compared with every other."""

from __future__ import annotations

import collections
import itertools

import pytest

import solarsim
from solarsim.answers.search.search import search
from solarsim.answers.search.space import cases_of, panel_kinds, space_of
from solarsim.answers.tune.tune import tune
from solarsim.packing.fit import fitting_counts
from solarsim.present.search.document import van_files
from solarsim.present.search.text import tried_text

# Invented: each panel and battery differs from the others in price for what it gives.
KINDS = {"200 W rigid": (100.0, 11.0), "100 W flexible": (90.0, 2.0), "220 W rigid": (115.0, 12.0)}
BATTERIES = {"100 Ah LFP": (300.0, 11.0), "100 Ah AGM": (140.0, 28.0), "200 Ah LFP": (600.0, 22.0)}
LONG_BATTERIES = {"100 Ah LFP 24 V": (600.0, 22.0)}
DCDC_COST, DCDC_KG, CONTROLLER_KG, MOUNT_KG = 150.0, 1.5, 0.9, 3.0


def spaces(name):
    return {
        "small": {
            "kinds": ["200 W rigid", "100 W flexible"],
            "batteries": ["100 Ah LFP", "100 Ah AGM"],
            "panels": [1, 2],
            "strings": [2],
            "dcdc_a": [30.0],
        },
        "weekender": {
            "kinds": ["200 W rigid", "100 W flexible"],
            "batteries": ["100 Ah LFP", "100 Ah AGM"],
            "panels": [0, 1, 2],
            "strings": [1, 2],
            "dcdc_a": [30.0],
        },
        "wide": {
            "kinds": ["200 W rigid", "100 W flexible"],
            "batteries": ["100 Ah LFP", "100 Ah AGM", "200 Ah LFP"],
            "panels": [1, 3, 5],
            "strings": [1, 2, 3],
            "dcdc_a": [0.0, 30.0],
        },
        "long-stayer": {
            "kinds": ["220 W rigid", "100 W flexible"],
            "batteries": ["100 Ah LFP 24 V"],
            "panels": [2, 4, 8],
            "strings": [3, 4, 6],
            "dcdc_a": [40.0],
            "tilts_deg": [0.0, 25.0],
        },
    }[name]


def price_list(controller, dcdc):
    weights = {
        **KINDS,
        **BATTERIES,
        **LONG_BATTERIES,
        "mounting set for a panel": (5.0, MOUNT_KG),
        "adhesive for a panel": (5.0, MOUNT_KG),
        controller: (80.0, CONTROLLER_KG),
        dcdc: (DCDC_COST, DCDC_KG),
    }
    parts = [{"part": n, "cost": cost, "weight_kg": kg} for n, (cost, kg) in weights.items()]
    return solarsim.Prices.model_validate({"prices": {"currency": "EUR"}, "parts": parts})


@pytest.fixture
def asked_alone():
    """Every design of a space as a van of its own: what it costs, weighs and how long it lasts."""

    def each(van, space, *, controller_a, **about):
        fitting = {}
        for kind, tilt, battery, count, strings, dcdc_a in itertools.product(
            space["kinds"],
            space.get("tilts_deg", [0.0]),
            space["batteries"],
            space["panels"],
            space["strings"],
            space["dcdc_a"],
        ):
            settings = [
                f'panels.part="{kind}"',
                f"panels.count={count}",
                f"panels.tilt_deg={tilt}",
                f'battery.part="{battery}"',
                f"battery.units={strings}",
                f"alternator.dcdc_a={dcdc_a}",
                f"controller.max_output_a={controller_a}",
            ]
            stay = solarsim.stay(van, settings=settings, **about)
            built = stay.question.van
            if kind not in fitting:
                fitting[kind] = fitting_counts(built)
            check = solarsim.check(stay.question)
            stopped = any(one.severity == "stop" for one in check.findings)
            cost, kg = KINDS[kind]
            unit_cost, unit_kg = (BATTERIES | LONG_BATTERIES)[battery]
            price = count * cost + strings * unit_cost
            weight = count * (kg + MOUNT_KG) + strings * unit_kg
            weight += CONTROLLER_KG if count else 0.0
            weight += DCDC_KG if dcdc_a else 0.0
            if len(space["dcdc_a"]) > 1:
                price += DCDC_COST if dcdc_a else 0.0
            yield {
                "design": (kind, count, tilt, battery, strings, dcdc_a),
                "figures": (price, round(weight, 3), -stay.days.p10),
                "chance": stay.chance_lasts,
                "target": built.stay.target_chance,
                "may_be_built": not stopped and count in fitting[kind] and count > 0,
            }

    return each


def best_by_hand(every):
    """Those that no buildable other of the target matches in everything and beats in something."""
    able = [one for one in every if one["may_be_built"] and one["chance"] >= one["target"]]
    return {
        one["design"]: (*one["figures"], one["chance"])
        for one in able
        if not any(
            all(a <= b for a, b in zip(other["figures"], one["figures"], strict=True))
            and other["figures"] != one["figures"]
            for other in able
        )
    }


@pytest.mark.parametrize(
    ("name", "van", "place", "month", "days"),
    [
        ("small", "weekender", "Salzburg, AT", 5, 5),
        pytest.param("weekender", "weekender", "Salzburg, AT", 5, 5, marks=pytest.mark.slow),
        pytest.param("wide", "weekender", "Bergen, NO", 8, 4, marks=pytest.mark.slow),
        pytest.param("wide", "weekender", "Lisbon, PT", 3, 7, marks=pytest.mark.slow),
        pytest.param("long-stayer", "long-stayer", "Lisbon, PT", 5, 6, marks=pytest.mark.slow),
        pytest.param("long-stayer", "long-stayer", "Bergen, NO", 6, 3, marks=pytest.mark.slow),
    ],
)
def test_the_set_is_that_of_every_design_asked_alone(asked_alone, name, van, place, month, days):
    """Days equal to the last digit; price and weight added up by hand."""
    about = {"place": place, "month": month, "days": days, "runs": 12}
    own = solarsim.ask(van, **about).van
    controller_a, system_v = own.controller.max_output_a, own.van.system_voltage_v
    space = spaces(name)
    answer = solarsim.search(
        van,
        **about,
        **space,
        controllers_a=[controller_a],
        prices=price_list(
            f"MPPT controller {own.controller.max_input_v:g} V, {controller_a:g} A",
            f"DC-DC charger {own.alternator.dcdc_a:g} A, {system_v} V",
        ),
    )
    every = list(asked_alone(van, space, controller_a=controller_a, **about))
    found = {
        (one.panel, one.panels, one.tilt_deg, one.battery, one.units, one.dcdc_a): (
            one.price,
            one.parts_kg,
            -one.p10_days,
            one.chance_lasts,
        )
        for one in answer.designs
    }
    assert answer.meets
    assert len(found) == len(answer.designs) > 1
    assert found == best_by_hand(every)
    assert len({one["figures"] for one in every}) > len(found)


# --- what is named, what became of the others ---


@pytest.fixture(scope="module")
def answer():
    """A space in which panels do not fit, parts do not go together and checks stop designs."""
    question = solarsim.ask(month=5, days=6, runs=12)
    return search(
        question,
        kinds=["own", "100 W flexible"],
        panels=[0, 1, 3, 19],
        batteries=["own", "200 Ah LFP", "100 Ah LFP 24 V", "105 Ah flooded"],
        strings=[1, 2, 3],
        dcdc_a=[0.0, 30.0],
    )


def test_everything_named_fits_and_passes_the_electrical_check(answer):
    question = answer.question
    for one in answer.designs:
        check = solarsim.check(question.replace(van=one.van))
        assert [each for each in check.findings if each.severity == "stop"] == []
        assert one.panels in fitting_counts(one.van)
        assert one.chance_lasts >= question.van.stay.target_chance


def test_every_design_is_accounted_for(answer):
    removed = collections.Counter({each.rule: each.designs for each in answer.excluded})
    assert set(removed) == {"roof-room", "no-such-van"}
    assert answer.stopped > 0
    counted = answer.short_of_target + answer.stopped + answer.beaten + len(answer.designs)
    assert counted + removed.total() == answer.candidates


def test_where_nothing_reaches_the_target_the_others_are_counted_apart():
    """One panel and one small unit through December, where the inverter asks more of it."""
    hopeless = search(
        solarsim.ask(month=12, days=10, runs=8),
        kinds=["own"],
        panels=[1, 2],
        strings=[1, 2, 3],
    )
    assert not hopeless.meets
    assert hopeless.choice is None
    assert hopeless.candidates == hopeless.short_of_target + hopeless.reaching_stopped == 6
    assert hopeless.short_of_target == hopeless.stopped + hopeless.beaten + len(hopeless.designs)
    assert not any("be among the best" in line for line in tried_text(hopeless))


def test_a_van_that_reaches_the_target_and_may_not_be_built_is_told_apart():
    """One unit of 100 Ah lasts a day of June; the inverter asks more of it than its BMS gives."""
    told = search(solarsim.ask(month=6, days=1, runs=8), kinds=["own"], panels=[2], strings=[1])
    assert (told.meets, told.designs) == (False, ())
    assert (told.reaching_stopped, told.short_of_target, told.stopped) == (1, 0, 0)
    assert "bank-discharge" in {each.rule for each in told.reaching_stopped_by}


def test_equal_twins_are_both_named(answer):
    figures = collections.defaultdict(list)
    for one in answer.designs:
        figures[one.cost_in_panel_w, one.parts_kg, one.p10_days].append((one.units, one.battery))
    twins = [set(each) for each in figures.values() if len(each) > 1]
    assert {(2, "100 Ah LFP"), (1, "200 Ah LFP")} in twins


def test_a_design_without_panels_is_there_once():
    van = solarsim.read_van()
    kinds = panel_kinds(van, ["own", "100 W flexible"])
    space = space_of(
        van,
        panels=kinds,
        batteries=[van.battery],
        counts=[0, 1],
        strings=[1, 2],
        tilts_deg=[0.0, 20.0],
        controllers_a=[20.0, 30.0],
    )
    cases, removed, whole = cases_of(van, space)
    vans = [one for case in cases for one in case.vans]
    # Two banks bare; two kinds, tilts, controllers and banks with one panel.
    assert whole == len(vans) == 2 + 2 * 2 * 2 * 2
    assert removed == []
    assert sum(one.panels.count == 0 for one in vans) == 2


@pytest.mark.slow
def test_written_vans_are_those_that_were_searched(answer, tmp_path):
    for number, (name, content) in enumerate(van_files(answer).items(), start=1):
        path = tmp_path / name
        path.write_bytes(content)
        read, design = solarsim.read_van(str(path)), answer.designs[number - 1]
        assert read.van.name == f"Weekender, design {number}"
        assert all(change in read.van.description for change in design.changes)
        assert read.model_copy(update={"van": design.van.van}) == design.van
        stay = solarsim.stay(answer.question.replace(van=read))
        assert (stay.days.p10, stay.chance_lasts) == (design.p10_days, design.chance_lasts)


def test_without_a_plan_to_drive_a_smaller_charger_is_told_as_true_of_this_stay(answer):
    assert {one.dcdc_a for one in answer.designs} == {0.0}
    assert all("a stay without driving" in one.changes[-1] for one in answer.designs)
    assert any("true of this stay alone" in note for note in answer.notes)


# --- beside `tune` ---


@pytest.mark.parametrize("month", [3, pytest.param(11, marks=pytest.mark.slow)])
def test_tune_says_the_same_of_its_own_space(month):
    """Panels of one kind and strings of one battery; so the cheapest is the same as well.

    Among many strings in parallel they may differ: `tune` looks for the cheapest without a doubt
    among all designs, `search` among those that no other matches.
    """
    question = solarsim.ask(month=month, days=4, runs=20)
    asked = {"panels": [1, 2, 3], "strings": [1, 2, 3]}
    tuned = tune(question, **asked)
    found = search(question, kinds=["own"], **asked)
    table = {(one.panels, one.units): one for one in tuned.designs}
    assert len(table) == found.candidates == 9
    for one in found.designs:
        like = table[one.panels, one.units]
        assert (one.p10_days, one.chance_lasts) == (like.days.p10, like.chance_lasts)
        assert one.cost_in_panel_w == pytest.approx(like.cost_in_panel_w)
        assert one.controller_a == like.controller_a
    assert found.choice is not None
    assert (found.choice.panels, found.choice.units) == (tuned.choice.panels, tuned.choice.units)
