"""Scenes kept for the next question: the same answers, and no more memory than is allowed."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from solarsim.answers.question import ask
from solarsim.answers.simulation.kept import KeptScenes, keep_scenes, scene_of
from solarsim.answers.simulation.run import simulate
from solarsim.answers.simulation.scene import question_times
from solarsim.power.design import design_of

RUNS = 20
# One after the other, each upon those before it: whatever a scene is made of changes once.
CHANGES = (
    *("panels.count=3", "battery.units=4", "cabin.people=4", "panels.tilt_deg=25"),
    *("inverter.power_w=2000", "stay.heading_deg=90", "alternator.drive_h=2"),
    *("cabin.heater_set_point_c=15", "shore.plugged_h=2", "panels.soiling_share=0.2"),
    *(
        "stay.parking='forest edge'",
        "battery.location='outside'",
        "stay.days=12",
        "controller.kind='pwm'",
    ),
    *("stay.month=6", "stay.place='Bergen, NO'", "panels.count=2", "stay.month=1"),
    *("stay.brush_snow='never'", "generator.power_w=1000", "inverter.always_on=true"),
)


def asked(*settings, **given):
    return ask(settings=list(settings), runs=RUNS, **given)


def scene(question, first_run=0):
    times = question_times(question)
    return scene_of(question, times, first_run=first_run, runs=RUNS)


@pytest.mark.slow
def test_answers_are_those_of_each_question_asked_alone():
    kept = KeptScenes(1_000_000_000)
    for count in range(len(CHANGES) + 1):
        question = asked(*CHANGES[:count])
        designs = [design_of(question.van)]
        with keep_scenes(kept):
            found = simulate(question, designs)
        assert found == simulate(question, designs), CHANGES[:count]
    assert kept.bytes > 0


def test_what_is_shared_is_taken():
    with keep_scenes(KeptScenes(1_000_000_000)):
        first, second = scene(asked()), scene(asked("battery.units=1"))
        assert second.weather is first.weather
        assert second.demand is first.demand
        assert scene(asked("stay.month=7")).weather is not first.weather
        assert scene(asked(), first_run=RUNS).weather is not first.weather
    assert scene(asked()).weather is not first.weather


def test_another_climate_at_the_place_is_drawn_anew():
    question = asked()
    brighter = dataclasses.replace(
        question.climate, ghi_kwh_m2_day=1.2 * question.climate.ghi_kwh_m2_day
    )
    with keep_scenes(KeptScenes(1_000_000_000)):
        first = scene(question)
        second = scene(dataclasses.replace(question, climate=brighter))
    assert second.weather.ghi_w_m2.mean() > first.weather.ghi_w_m2.mean()


def test_those_not_used_longest_go_and_the_bound_holds():
    one = KeptScenes(1_000_000_000)
    with keep_scenes(one):
        scene(asked("stay.month=1"))
    kept = KeptScenes(int(2.5 * one.bytes))
    with keep_scenes(kept):
        january, march = scene(asked("stay.month=1")), scene(asked("stay.month=3"))
        assert scene(asked("stay.month=1")).weather is january.weather
        scene(asked("stay.month=5"))
        assert kept.bytes <= 2.5 * one.bytes
        assert scene(asked("stay.month=1")).weather is january.weather
        assert scene(asked("stay.month=3")).weather is not march.weather


def test_bytes_are_those_of_its_arrays():
    kept = KeptScenes(1_000_000_000)
    with keep_scenes(kept):
        found = scene(asked())
    arrays = [value for value in vars(found.weather).values() if isinstance(value, np.ndarray)]
    assert kept.bytes >= sum(array.nbytes for array in arrays)
    with keep_scenes(kept):
        before = kept.bytes
        scene(asked("battery.units=1"))
    # It stands in the earlier one's place.
    assert kept.bytes == pytest.approx(before, rel=0.05)
