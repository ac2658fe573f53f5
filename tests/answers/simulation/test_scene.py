"""What a changed van takes over from the scene beside it: nothing that its change moves."""

import pytest

from solarsim.answers.question import ask
from solarsim.answers.simulation.run import CHUNK_RUNS, simulate
from solarsim.answers.simulation.scene import build_scene, question_times
from solarsim.power.design import design_of
from solarsim.weather import streams

RUNS = 3


@pytest.mark.one_plain
@pytest.mark.parametrize(
    "change",
    [
        "inverter.idle_w=60.0",
        "inverter.always_on=false",
        "alternator.drive_h=3.0",
        "shore.plugged_h=5.0",
        "battery.location='outside'",
        "panels.tilt_deg=30.0",
        "stay.brush_snow='never'",
        "cabin.heater_set_point_c=12.0",
    ],
)
def test_a_scene_beside_another_is_the_scene_alone(change):
    base = ask("long-stayer", runs=RUNS, month=1)
    changed = ask("long-stayer", runs=RUNS, month=1, settings=[change])
    times = question_times(base)
    first = build_scene(base, times, first_run=0, runs=RUNS)
    alone = build_scene(changed, times, first_run=0, runs=RUNS)
    beside = build_scene(changed, times, first_run=0, runs=RUNS, like=(base, first))
    assert beside == alone
    assert beside != first


def test_draws_that_the_caller_keeps_serve_the_next_place_in_all_threads(monkeypatch):
    drawn = []
    draw = streams._draw_normals

    def counted(*about):
        drawn.append(about)
        return draw(*about)

    monkeypatch.setattr(streams, "_draw_normals", counted)
    question = ask(runs=CHUNK_RUNS + 1, days=2, follow_days=2, seed=77)
    designs = [design_of(question.van)]
    alone = simulate(question.replace(place="Bergen, NO"), designs)
    drawn.clear()
    with streams.keep_draws():
        simulate(question, designs)
        first = len(drawn)
        again = simulate(question.replace(place="Bergen, NO"), designs)
    assert len(drawn) == first > 0
    assert again == alone
