"""One change at a time, run by run on the same weather."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

import solarsim.answers.levers as levers_module
import solarsim.answers.simulation.run as simulate_module
from solarsim.answers.lever_changes import Skip, lever_changes, without_load
from solarsim.answers.levers import levers
from solarsim.answers.question import ask
from solarsim.answers.simulation.run import simulate
from solarsim.answers.simulation.summary import chance_lasts, days_unplugged
from solarsim.power.chemistry import load_chemistry
from solarsim.power.design import design_of, usable_wh

MOVING = ("alternator.drive_h=0.5", "alternator.every_days=2", "panels.soiling_share=0.06")
RUNS = 40


@pytest.fixture(scope="module")
def answers():
    """Vans, people and places that differ in what applies to them."""
    return {
        "winter": levers(ask(month=1, runs=RUNS, settings=MOVING)),
        "induction": levers(ask("long-stayer", month=11, runs=RUNS)),
        "snow": levers(ask(place="Minneapolis", month=1, runs=RUNS)),
        "south": levers(ask(place="Punta Arenas", month=7, runs=RUNS)),
        "summer": levers(ask(month=6, runs=RUNS)),
    }


def by_name(answer):
    return {lever.name: lever for lever in answer.levers}


def gained(answer, name):
    lever = by_name(answer)[name]
    assert lever.skipped is None, lever
    return lever.days_gained


def driving(answer):
    """How the lever of more driving is named, by the van's plan."""
    return next(name for name in by_name(answer) if name.startswith("half an hour more driving"))


# --- what is tried ---


@pytest.mark.parametrize("name", ["winter", "induction", "snow", "south", "summer"])
def test_at_least_fifteen_changes_apply_or_say_why_not(answers, name):
    answer = answers[name]
    assert len(answer.levers) >= 15 + 3
    assert len(by_name(answer)) == len(answer.levers)
    applied = [lever for lever in answer.levers if lever.skipped is None]
    assert len(applied) >= 15
    for lever in answer.levers[len(applied) :]:
        assert lever.skipped
        assert (lever.days_gained, lever.standard_error, lever.chance_gained) == (0.0, 0.0, 0.0)


V48 = ["van.system_voltage_v=48", "battery.unit_voltage_v=48", "panels.series=4"]
V48 += ["panels.count=4", "controller.max_input_v=150"]
SKIPPED = [
    ({}, "cooking on gas", "nobody cooks"),
    ({}, "inverter off when idle", "already"),
    ({}, "snow brushed off every morning", "already"),
    ({}, "parked in the open", "already"),
    ({}, "arriving with a full bank", "already"),
    ({}, "lithium of the same rated Ah", "already"),
    ({}, "bank inside the heated space", "already"),
    ({}, "a DC-DC charger with 20 A more", "does not drive"),
    ({"settings": ["alternator.drive_h=24"]}, "half an hour more driving a day", "all day"),
    ({"van": "long-stayer"}, "cooking on induction", "already"),
    ({"van": "long-stayer"}, "a microwave meal a day", "already"),
    ({"settings": V48}, "a portable 200 W panel on the ground by day", "do not charge 48 V"),
    ({"settings": ["battery.units=1"]}, "one battery fewer", "only one"),
    ({"settings": ["panels.count=0"]}, "one panel fewer", "none to take away"),
    ({"settings": ["panels.tilt_deg=10"]}, "panels tilted 30 degrees to the sun", "10 degrees"),
    ({"settings": ["panels.soiling_share=0.01"]}, "panels washed", "clean"),
    ({"settings": ["shore.plugged_h=4"]}, "a night on shore power every third day", "already"),
    ({"settings": ["shore.charger_a=0"]}, "a night on shore power every third day", "no shore"),
    ({"settings": ["alternator.dcdc_a=0"]}, "half an hour more driving a day", "no DC-DC"),
    ({"settings": ["alternator.dcdc_a=0"]}, "a DC-DC charger with 20 A more", "no DC-DC"),
    ({"settings": ["battery.chemistry=gel"]}, "AGM of the same rated Ah", "lead-acid already"),
    ({"settings": ["battery.chemistry=agm"]}, "a bank that heats itself", "in the cold"),
    ({"settings": ["battery.self_heating=true"]}, "a bank that heats itself", "already"),
    ({"settings": ["inverter.always_on=true"]}, "inverter left on", "already"),
    ({"settings": ["stay.start_soc=0.5"]}, "arriving at 80 %", "arrives at 50 %"),
    ({"settings": ["battery.location=outside"]}, "bank outside the heated space", "already"),
    ({"settings": ["stay.brush_snow=never"]}, "snow left on the panels", "already"),
]


@pytest.mark.parametrize(("asked", "name", "why"), SKIPPED)
def test_what_does_not_apply_says_why(asked, name, why):
    question = ask(runs=1, **asked)
    result = dict(lever_changes(question.van))[name](question)
    assert isinstance(result, Skip)
    assert why in result.reason


def test_tables_that_a_van_does_not_have():
    question = ask(runs=1)
    bare = question.van.model_copy(update={"inverter": None, "alternator": None, "shore": None})
    question = dataclasses.replace(question, van=bare)
    changes = dict(lever_changes(bare))
    for name, why in (
        ("inverter off when idle", "no inverter"),
        ("inverter left on", "no inverter"),
        ("cooking on induction", "no inverter"),
        ("a microwave meal a day", "no inverter"),
        ("half an hour more driving a day", "no DC-DC"),
        ("a night on shore power every third day", "no shore"),
    ):
        result = changes[name](question)
        assert isinstance(result, Skip)
        assert why in result.reason


def test_each_change_changes_one_thing():
    question = ask(runs=1, month=2, settings=MOVING)
    for name, change in lever_changes(question.van):
        changed = change(question)
        if isinstance(changed, Skip):
            continue
        differ = [
            field.name
            for field in dataclasses.fields(question)
            if getattr(changed, field.name) != getattr(question, field.name)
        ]
        assert len(differ) == 1, name
        if differ == ["van"]:
            before, after = question.van.model_dump(), changed.van.model_dump()
            tables = {key for key in before if before[key] != after[key]}
            # More panels come with the controller that they need.
            assert len(tables) == 1 or tables == {"panels", "controller"}, name
            # Whatever is changed can be built: the van's own rules hold.
            type(changed.van).model_validate(after)


def test_the_plans_are_those_that_the_names_say():
    """A night on shore power every third day, and a bank at 80 %: read off the names."""
    question = ask(runs=1)
    changed = [change(question) for _, change in lever_changes(question.van)]
    vans = [each.van for each in changed if not isinstance(each, Skip)]
    plans = {van.shore for van in vans} - {question.van.shore}
    assert [(plan.every_days, plan.plugged_h) for plan in plans] == [(3, 8.0)]
    arrivals = {van.stay.start_soc for van in vans} - {question.van.stay.start_soc}
    assert arrivals == {0.8}


def test_strings_are_counted_by_their_panels_and_batteries():
    settings = ["battery.unit_voltage_v=12", "battery.unit_capacity_ah=100", "battery.units=4"]
    question = ask("long-stayer", runs=1, settings=[*settings, "roof.length_m=9"])
    changes = dict(lever_changes(question.van))
    for name, panels, units in (
        ("2 more panels", 8, 4),
        ("2 panels fewer", 4, 4),
        ("2 more batteries", 6, 6),
        ("2 batteries fewer", 6, 2),
    ):
        van = changes[name](question).van
        assert (van.panels.count, van.battery.units) == (panels, units)


def test_no_more_panels_than_the_roof_holds():
    question = ask("long-stayer", runs=1)
    skipped = dict(lever_changes(question.van))["2 more panels"](question)
    assert isinstance(skipped, Skip)
    assert "no room for 8" in skipped.reason


# --- what it is worth ---


def test_a_change_that_changes_nothing_is_worth_exactly_nothing(monkeypatch):
    """Paired on the same weather: no noise is left."""
    changes = (
        ("nothing", lambda question: question),
        ("seconds of paint", lambda q: dataclasses.replace(q, notes=("painted",))),
    )
    monkeypatch.setattr(levers_module, "live_changes", lambda _van: changes)
    found = by_name(levers(ask(month=2, runs=20)))
    for name in ("nothing", "seconds of paint"):
        assert found[name].days_gained == 0.0
        assert found[name].standard_error == 0.0
        assert found[name].chance_gained == 0.0


@pytest.mark.parametrize("name", ["winter", "induction", "snow", "south", "summer"])
def test_what_can_only_help_or_only_hurt(answers, name):
    answer = answers[name]
    van = answer.question.van
    panels, units = van.panels.series, van.units_in_series
    more_panel = "one more panel" if panels == 1 else f"{panels} more panels"
    less_panel = "one panel fewer" if panels == 1 else f"{panels} panels fewer"
    assert units == 1
    helps = (more_panel, "one more battery", driving(answer), "panels washed")
    helps += ("a night on shore power every third day", "inverter off when idle", "cooking on gas")
    hurts = (less_panel, "one battery fewer", "inverter left on", "snow left on the panels")
    hurts += ("arriving at 80 %", "parked among scattered trees", "parked at a forest's edge")
    found = by_name(answer)
    for lever, sign in [(h, 1.0) for h in helps] + [(h, -1.0) for h in hurts]:
        assert sign * found[lever].days_gained >= 0.0, lever
        assert sign * found[lever].chance_gained >= 0.0, lever
    for lever in answer.levers:
        if lever.name.startswith("without: "):
            assert lever.days_gained >= -1e-9 or "heater" in lever.name, lever


def test_winter_s_levers_are_worth_days(answers):
    answer = answers["winter"]
    assert answer.days.p50 < 20.0
    for name in ("one more panel", "one more battery", driving(answer)):
        assert gained(answer, name) > 0.5
    for name in ("one panel fewer", "one battery fewer", "AGM of the same rated Ah"):
        assert gained(answer, name) < -0.5
    # Half of the bank's charge is out of reach with lead-acid: less than one battery of two.
    assert gained(answer, "inverter left on") < -0.3


def test_a_portable_panel_adds_what_a_panel_of_its_watts_on_the_roof_does_or_more(answers):
    """Tilted to a low sun it takes more light, by day alone as a panel on the roof."""
    name = "a portable 200 W panel on the ground by day"
    for place in ("winter", "snow", "south"):
        portable, roof = gained(answers[place], name), gained(answers[place], "one more panel")
        assert portable > 0.9 * roof > 0.0
    van = answers["winter"].question.van
    tried = dict(lever_changes(van))[name](answers["winter"].question).van
    (array,) = tried.arrays
    assert (array.power_w * array.count, array.kind, array.controller.kind) == (
        200.0,
        "ground",
        "mppt",
    )
    there = dataclasses.replace(ask(runs=1), van=tried)
    assert "already" in dict(lever_changes(tried))[name](there).reason
    short_bus = ask("long-stayer", runs=1)
    (array,) = dict(lever_changes(short_bus.van))[name](short_bus).van.arrays
    assert (array.count, array.series, array.power_w) == (2, 2, 100.0)


def test_a_forest_costs_more_than_trees(answers):
    for answer in answers.values():
        trees = gained(answer, "parked among scattered trees")
        assert gained(answer, "parked at a forest's edge") <= trees + 1e-9


def test_a_tilt_to_the_sun_helps_in_both_winters(answers):
    for name in ("snow", "south", "winter"):
        assert gained(answers[name], "panels tilted 30 degrees to the sun") > 0.2


def test_snow_matters_where_it_lies(answers):
    assert gained(answers["snow"], "snow left on the panels") < -0.1
    summer = by_name(answers["summer"])["snow left on the panels"]
    assert (summer.days_gained, summer.skipped) == (0.0, "it makes no difference in this stay")


def test_a_summer_that_never_ends_gains_no_days_and_is_ranked_by_what_is_left(answers):
    answer = answers["summer"]
    assert answer.days.p10 == answer.days.follow_days
    assert max(lever.days_gained for lever in answer.levers) == 0.0
    assert answer.ranked_by == "reserve"
    found = by_name(answer)
    for name, sign in (("one more battery", 1.0), ("one more panel", 1.0), ("one panel fewer", -1)):
        lever = found[name]
        assert sign * lever.reserve_gained_wh > 3.0 * lever.reserve_standard_error_wh
    # A battery more holds its usable energy more, for the dip of one night is the same.
    own = usable_wh(design_of(answer.question.van)) / answer.question.van.battery.units
    assert found["one more battery"].reserve_gained_wh == pytest.approx(own, rel=0.02)


def test_what_is_left_is_above_the_floor_and_nothing_where_a_run_is_cut_off(answers):
    answer = answers["winter"]
    assert answer.ranked_by == "days"
    question = answer.question
    simulation = simulate(question, [design_of(question.van)])
    stay_hours = simulation.stay_hours
    lasted = simulation.outcome.first_cut_h[:, 0] >= stay_hours
    assert 0 < lasted.sum() < RUNS
    lowest = simulation.outcome.soc[:, : stay_hours + 1, 0].min(axis=1)
    floor = load_chemistry("lfp").floor_soc
    left = usable_wh(design_of(question.van)) * (lowest - floor) / (1.0 - floor) * lasted
    assert answer.reserve_wh == pytest.approx(left.mean(), rel=1e-12)


def test_a_change_says_what_it_overloads():
    found = by_name(levers(ask(month=2, runs=2)))
    assert "'induction hob' draws 1,500 W" in found["cooking on induction"].warnings[0]
    assert not found["a microwave meal a day"].warnings
    assert any("BMS" in said for said in found["one battery fewer"].warnings)
    weak = levers(ask("long-stayer", runs=2, settings=["inverter.power_w=1000"]))
    assert any("more than the inverter's 1,000 W" in said for said in weak.warnings)
    # What is wrong already is no fault of a change.
    assert not by_name(weak)["panels washed"].warnings


@pytest.mark.parametrize(
    ("plan", "name", "drive_h"),
    [
        ([], "half an hour more driving a day", 0.5),
        (["alternator.drive_h=1"], "half an hour more driving a day", 1.5),
        (
            ["alternator.drive_h=1", "alternator.every_days=3"],
            "half an hour more driving a day (1.5 h more every 3 days)",
            2.5,
        ),
    ],
)
def test_more_driving_says_on_which_days(plan, name, drive_h):
    question = ask(runs=1, settings=plan)
    changed = dict(lever_changes(question.van))[name](question)
    assert changed.van.alternator.drive_h == drive_h
    assert changed.van.alternator.every_days == question.van.alternator.every_days


def test_a_lever_is_the_difference_of_two_answers(answers):
    answer = answers["winter"]
    simulations = [
        simulate(question, [design_of(question.van)])
        for question in (
            answer.question,
            ask(month=1, runs=RUNS, settings=[*MOVING, "battery.units=3"]),
        )
    ]
    base, larger = (s.outcome.first_cut_h[:, 0] / 24.0 for s in simulations)
    assert answer.days == days_unplugged(simulations[0], 0)
    assert answer.chance_lasts == chance_lasts(simulations[0], 0)
    lever = by_name(answer)["one more battery"]
    assert lever.days_gained == pytest.approx((larger - base).mean(), abs=1e-12)
    assert lever.standard_error == pytest.approx(
        np.std(larger - base, ddof=1) / np.sqrt(RUNS), abs=1e-12
    )
    # Paired, the error is far below that of two answers on weathers of their own.
    apart = np.hypot(base.std(ddof=1), larger.std(ddof=1)) / np.sqrt(RUNS)
    assert lever.standard_error < 0.8 * apart


def test_the_largest_loads_are_tried_by_name(answers):
    answer = answers["induction"]
    names = [lever.name for lever in answer.levers if lever.name.startswith("without: ")]
    demand = answer.conditions.demand_wh_per_day
    largest = sorted(demand, key=lambda name: -demand[name])[:3]
    assert sorted(names) == sorted(f"without: {name}" for name in largest)
    off = without_load(answer.question, largest[0])
    switched = [a.name for a in off.profile.appliances if not a.enabled]
    assert switched == [largest[0]]


def test_one_run_has_no_error():
    answer = levers(ask(month=2, runs=1))
    assert {lever.standard_error for lever in answer.levers} == {0.0}


# --- the same answer however it is worked out ---


@pytest.mark.slow
def test_chunks_threads_and_the_seed(monkeypatch, flat):
    question = ask(month=2, runs=20)
    whole = levers(question)
    wanted = flat(whole.levers)
    progress = []
    for chunk, threads in ((6, 1), (9, 3)):
        monkeypatch.setattr(simulate_module, "CHUNK_RUNS", chunk)
        monkeypatch.setattr("os.cpu_count", lambda threads=threads: threads)
        answer = levers(question, progress=lambda *step: progress.append(step))
        assert flat(answer.levers) == wanted
        assert answer.days == whole.days
    assert progress[-1] == (20, 20)
    assert flat(levers(dataclasses.replace(question, seed=2)).levers) != wanted


def test_a_change_that_no_run_meets_does_not_apply_and_says_why():
    settings = ["battery.units=1", "shore.plugged_h=0"]
    found = by_name(levers(ask(month=12, days=5, runs=5, settings=settings)))
    assert found["a night on shore power every third day"].skipped == (
        "its first night on shore power comes on day 3 after arrival, when every run is cut off "
        "already"
    )
    assert found["one more battery"].skipped is None


def test_nobody_is_told_to_live_without_a_fan_in_the_heat():
    """As little as without a heater in the cold."""
    hot = levers(ask(place="Phoenix, AZ, US", month=7, runs=5))
    assert by_name(hot)["without: roof fan"].needed
    live = [one for one in hot.of_kind("live") if not one.stopped]
    assert [one.needed for one in live] == sorted(one.needed for one in live)
