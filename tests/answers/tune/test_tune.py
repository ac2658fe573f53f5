"""What to build: chances that only rise, the cheapest that holds, and the line of best designs."""

from __future__ import annotations

import dataclasses
import itertools
import os

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import solarsim.answers.simulation.run as simulate_module
from solarsim.answers.question import ask
from solarsim.answers.simulation.run import simulate
from solarsim.answers.simulation.summary import DaysUnplugged, chance_lasts, days_unplugged
from solarsim.answers.stay import stay
from solarsim.answers.tune.built import design_stops
from solarsim.answers.tune.choose import best_line, stops_paying
from solarsim.answers.tune.designs import TunedDesign
from solarsim.answers.tune.rows import units_worth_showing
from solarsim.answers.tune.tune import tune
from solarsim.errors import InputError
from solarsim.power.design import design_of

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


def tuned(panels, units, chance, *, p50=5.0, cost=None):
    return TunedDesign(
        panels=panels,
        units=units,
        capacity_ah=100.0 * units,
        controller_a=30.0,
        chemistry="lfp",
        dcdc_a=0.0,
        tilt_deg=0.0,
        chance_lasts=chance,
        days=DaysUnplugged(p50, p50, p50, p50, 30),
        refused_wh_per_day=0.0,
        cost=cost,
        cost_in_panel_w=200.0 * panels + 420.0 * units,
    )


# --- the table ---


def test_more_panels_and_more_units_never_lower_the_chance_or_the_days(answer):
    cells = table(answer)
    assert min(d.chance_lasts for d in answer.designs) == 0.0
    assert max(d.chance_lasts for d in answer.designs) == 1.0
    for (panels, units), design in cells.items():
        for other in (cells.get((panels + 1, units)), cells.get((panels, units + 1))):
            if other is not None:
                assert other.chance_lasts >= design.chance_lasts
                for name in ("p10", "p50", "p90", "mean"):
                    assert getattr(other.days, name) >= getattr(design.days, name) - 1e-9


@given(seed=st.integers(0, 2**40), month=st.integers(1, 12), soc=st.floats(0.2, 1.0))
@settings(max_examples=12, deadline=None)
def test_more_never_hurts_at_any_start_in_any_month(seed, month, soc):
    question = ask(month=month, runs=5, seed=seed, days=4, settings=[f"stay.start_soc={soc}"])
    got = tune(question.replace(follow_days=5), panels=[0, 1, 3], strings=[1, 2, 4])
    grid = np.array([d.days.mean for d in got.designs]).reshape(3, 3)
    assert (np.diff(grid, axis=0) >= -1e-9).all()
    assert (np.diff(grid, axis=1) >= -1e-9).all()


def test_a_cell_is_the_design_by_itself(answer):
    """The same as asking of a van that is built so."""
    for panels, units in ((0, 3), (2, 2), (3, 1)):
        cell = table(answer)[panels, units]
        wanted = [f"panels.count={panels}", f"battery.units={units}"]
        wanted.append(f"controller.max_output_a={cell.controller_a}")
        question = ask(month=11, runs=60, settings=wanted)
        alone = simulate(question, [design_of(question.van)])
        assert cell.chance_lasts == chance_lasts(alone, 0)
        assert cell.days == days_unplugged(alone, 0)
        assert cell.capacity_ah == question.van.bank_capacity_ah


def test_no_panel_refuses_nothing_and_more_refuse_more(answer):
    cells = table(answer)
    for units in (1, 4):
        refused = [cells[panels, units].refused_wh_per_day for panels in range(4)]
        assert refused[0] == pytest.approx(0.0, abs=1e-6)
        assert (np.diff(refused) >= -1e-6).all()


def test_the_controller_grows_with_the_panels_and_is_never_below_the_van_s(answer):
    for design in answer.designs:
        # 200 W each at 96 % into about 13.3 to 14 V.
        needed_a = 200.0 * 0.96 * design.panels / 13.3
        assert design.controller_a >= 30.0
        assert design.controller_a >= needed_a * 13.3 / 14.0
        assert design.controller_a <= max(30.0, needed_a + 1.0)


def test_24_v_takes_whole_strings_alone():
    settings = ["battery.unit_voltage_v=12", "battery.unit_capacity_ah=100", "battery.units=4"]
    question = ask("long-stayer", runs=5, settings=settings).replace(follow_days=14)
    got = tune(question, strings=[1, 2, 5])
    assert {d.panels for d in got.designs} == {0, 2, 4, 6}
    assert any("up to 6 panels" in note and "strings of 2" in note for note in got.notes)
    assert {d.units for d in got.designs} == {2, 4, 10}
    assert {(d.units, d.capacity_ah) for d in got.designs} == {(2, 100.0), (4, 200.0), (10, 500.0)}


def test_default_counts_stop_at_what_fits_around_the_fan(answer):
    # Behind the fan with its clearance, 0.85 to 3.35 m hold three panels crosswise.
    assert {d.panels for d in answer.designs} == {0, 1, 2, 3}
    assert any("holds up to 3 panels" in note for note in answer.notes)
    more = tune(ask(runs=3).replace(follow_days=7), panels=[6], strings=[1])
    assert [d.panels for d in more.designs] == [6]
    assert any("6 do not fit" in note for note in more.notes)


def test_a_van_without_a_roof_says_that_nobody_looked():
    question = ask(runs=3)
    van = question.van.model_copy(update={"roof": None})
    got = tune(dataclasses.replace(question, van=van).replace(follow_days=7), strings=[1])
    assert {d.panels for d in got.designs} == set(range(9))
    assert any("No roof is given" in note for note in got.notes)


# --- the line of best designs ---


def weight(design):
    if design.cost is not None:
        return (design.cost,)
    return design.panels, design.capacity_ah


def dominates(one, other):
    pairs = list(zip(weight(one), weight(other), strict=True))
    no_worse = all(a <= b for a, b in pairs) and one.chance_lasts >= other.chance_lasts
    return no_worse and (any(a < b for a, b in pairs) or one.chance_lasts > other.chance_lasts)


@pytest.mark.parametrize("name", ["answer", "dear_panels"])
def test_the_line_is_what_brute_force_finds(name, request):
    got = request.getfixturevalue(name)
    stops = design_stops(got.question)
    built = [d for d in got.designs if not stops(d)]
    assert 0 < len(built) < len(got.designs)
    expected = [d for d in built if not any(dominates(o, d) for o in built)]
    assert sorted(map(id, got.pareto)) == sorted(map(id, expected))
    assert 1 < len(expected) < len(got.designs)


DESIGNS = st.lists(
    st.tuples(st.integers(0, 4), st.integers(1, 4), st.sampled_from([0.0, 0.3, 0.6, 1.0])),
    min_size=1,
    max_size=25,
)


@given(DESIGNS, st.booleans())
def test_the_line_of_any_designs(rows, priced):
    designs = [tuned(p, u, c, cost=100.0 * p + 250.0 * u if priced else None) for p, u, c in rows]
    line = best_line(designs)
    assert {id(d) for d in line} == {
        id(d) for d in designs if not any(dominates(o, d) for o in designs)
    }
    # Whatever is left out, something on the line is at least as good.
    for design in designs:
        assert any(on is design or dominates(on, design) or on == design for on in line)


# --- rows that no one would build ---


def test_banks_beyond_the_first_that_always_lasts_are_left_out():
    chances = {(1, 1): 0.2, (1, 2): 0.9, (1, 3): 1.0, (1, 4): 1.0, (1, 5): 1.0}
    rows = [tuned(*key, chance) for key, chance in chances.items()]
    assert units_worth_showing(rows, rows[1]) == ([1, 2, 3], 2)
    # Without panels it never lasts, and nobody builds that; only that asked for, all is shown.
    bare = [tuned(0, units, 0.5) for units in range(1, 6)]
    assert units_worth_showing([*rows, *bare], None) == ([1, 2, 3], 2)
    assert units_worth_showing(bare, None) == ([1, 2, 3, 4, 5], 0)
    # A choice that a smaller bank's faults led to is shown all the same; one of another kind is not
    # among them.
    assert units_worth_showing(rows, rows[3]) == ([1, 2, 3, 4], 1)
    assert units_worth_showing(rows, tuned(7, 4, 1.0)) == ([1, 2, 3], 2)


# --- where panels stop paying ---


def test_the_first_panels_may_add_nothing_and_a_later_one_much():
    """One panel keeps a van no longer than none; the fourth makes it last."""
    chances = [0.0, 0.0, 0.0, 0.5, 1.0, 1.0, 1.0]
    row = [tuned(n, 3, chance) for n, chance in enumerate(chances)]
    assert stops_paying(row, row[4]) is row[4]
    assert stops_paying(row[:5], row[4]) is None


def test_a_panel_pays_from_one_run_in_a_hundred_on():
    """The limit is the house's own: one point of the chance as shown; 0.6 pay, 0.4 do not."""
    chances = [0.5, 0.6, 0.606, 0.61, 0.614]
    row = [tuned(n, 3, chance) for n, chance in enumerate(chances)]
    assert stops_paying(row, row[1]) is row[2]


def test_days_pay_where_the_chance_cannot():
    row = [tuned(n, 3, 1.0, p50=days) for n, days in enumerate([8.0, 9.0, 10.0, 10.04])]
    assert stops_paying(row, row[0]) is row[2]


def test_panels_stop_paying_by_themselves(answer):
    anchor = answer.stops_paying or answer.choice
    row = [d for d in answer.designs if d.units == answer.choice.units]
    assert anchor.units == answer.choice.units
    if answer.stops_paying is not None:
        for fewer, more in itertools.pairwise(row[anchor.panels :]):
            assert more.chance_lasts - fewer.chance_lasts < 0.005
            assert more.days.mean - fewer.days.mean < 0.05


# --- further dimensions ---


def test_every_combination_is_tried_once():
    question = ask(runs=3, settings=["alternator.drive_h=1"]).replace(follow_days=7)
    seen = []
    got = tune(
        question,
        panels=[1, 2],
        strings=[1, 3],
        chemistries=["lfp", "agm"],
        dcdc_a=[20.0, 60.0],
        tilts_deg=[0.0, 25.0],
        progress=lambda *step: seen.append(step),
    )
    kinds = {(d.panels, d.units, d.chemistry, d.dcdc_a, d.tilt_deg) for d in got.designs}
    assert len(got.designs) == len(kinds) == 2**5
    assert seen == [(1, 4), (2, 4), (3, 4), (4, 4)]
    # A larger DC-DC charger never shortens a stay on the same weather.
    days = {
        (d.panels, d.units, d.chemistry, d.tilt_deg, d.dcdc_a): d.days.mean for d in got.designs
    }
    for key, value in days.items():
        assert days[*key[:4], 60.0] >= value - 1e-9


@pytest.mark.parametrize(
    "asked", [{"panels": []}, {"strings": []}, {"panels": [-1]}, {"strings": [0, 1]}]
)
def test_nothing_to_try_is_refused(asked):
    with pytest.raises(InputError, match="nothing to try") as caught:
        tune(ask(runs=3), **asked)
    assert caught.value.field == "tune"


def test_odd_counts_make_no_strings_of_two():
    with pytest.raises(InputError, match="whole strings of 2"):
        tune(ask("long-stayer", runs=3), panels=[1, 3])


# --- the same answer however it is worked out ---


def test_chunks_and_threads_change_nothing(monkeypatch, flat):
    question = ask(month=11, runs=20).replace(follow_days=7)
    whole = tune(question, strings=[1, 2, 3])
    wanted = flat(whole)
    for chunk, threads in ((3, 1), (7, 5), (20, 2)):
        monkeypatch.setattr(simulate_module, "CHUNK_RUNS", chunk)
        monkeypatch.setattr(os, "cpu_count", lambda threads=threads: threads)
        answer = tune(question, strings=[1, 2, 3])
        got = flat(answer)
        assert got.keys() == wanted.keys()
        for path, value in wanted.items():
            # Means over all runs are added up in another order.
            if isinstance(value, float) and path.startswith(".conditions."):
                assert got[path] == pytest.approx(value, rel=1e-12), path
            else:
                assert got[path] == value, path


def test_the_seed_decides(flat):
    question = ask(month=11, runs=10, seed=4).replace(follow_days=7)
    first, again = (flat(tune(question, strings=[2])) for _ in range(2))
    assert first == again
    assert flat(tune(dataclasses.replace(question, seed=5), strings=[2])) != first


# --- the roof, further arrays and the inverter ---


@pytest.mark.slow
def test_every_count_has_its_own_shade_and_the_array_beside_them_counts():
    """Each cell is the van that is built so, with a tall box on its roof and a panel beside it."""
    tall = ["roof.length_m=5", "roof.obstacles=" + BOX, "arrays=" + SUITCASE]
    got = tune(ask(month=11, runs=20, settings=tall), strings=[2])
    assert {d.panels for d in got.designs} == {0, 1, 2, 3, 4, 5}
    for cell in got.designs:
        built = [*tall, f"panels.count={cell.panels}", "battery.units=2"]
        built.append(f"controller.max_output_a={cell.controller_a}")
        question = ask(month=11, runs=20, settings=built)
        alone = simulate(question, [design_of(question.van)])
        assert cell.days == days_unplugged(alone, 0)
    # Five panels of 200 W and two of 100 W at 96 % need 82 A at 14 V.
    assert got.designs[-1].controller_a >= 82.0


BOX = '[{name="box",x_m=2.0,y_m=0.7,length_m=0.6,width_m=0.2,height_m=0.5}]'
SUITCASE = '[{name="suitcase",kind="ground",part="100 W rigid",count=2}]'


def test_a_load_above_the_inverter_is_told_as_by_stay():
    question = ask("long-stayer", runs=3, settings=["inverter.power_w=1000"])
    told = [w for w in stay(question).warnings if "inverter's 1,000 W" in w]
    assert told
    assert set(told) <= set(tune(question, strings=[1, 2]).notes)
    assert not any("inverter" in note for note in tune(ask(runs=3), strings=[1, 2]).notes)


def test_an_overload_is_told_of_the_bank_that_lives_to_meet_it():
    """One unit is cut off on the first night; twelve meet hob and kettle at once the day after."""
    settings = ["stay.start_soc=0.25", "inverter.power_w=2000"]
    question = ask("long-stayer", month=1, runs=5, days=3, settings=settings)
    profile = question.profile
    appliances = tuple(
        each.model_copy(update={"windows": ((18.0, 20.0),)}) if each.name == "kettle" else each
        for each in profile.appliances
    )
    asked = question.replace(profile=profile.model_copy(update={"appliances": appliances}))
    few = tune(asked, panels=[0], strings=[1])
    assert few.designs[0].days.p90 < 0.5
    assert not any("overload" in note for note in few.notes)
    both = tune(asked, panels=[0], strings=[1, 12])
    assert any("'induction hob' and 'kettle' at once would overload" in n for n in both.notes)
