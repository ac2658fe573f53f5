"""One question at many places: each place's own answer, whatever process worked it out."""

from __future__ import annotations

import dataclasses
import functools
import pathlib
import pickle

import pvlib
import pytest

from solarsim.answers.many_places import at_place, at_places
from solarsim.answers.question import ask
from solarsim.answers.stay import stay
from solarsim.answers.tune.tune import tune
from solarsim.errors import InputError, PlaceError

TMY3 = pathlib.Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"
PLACES = ["Lisbon, PT", "-53.16, -70.91"]


@pytest.fixture(scope="module")
def question():
    return ask(runs=8, month=10, days=5, seed=3).replace(follow_days=10)


@pytest.mark.slow
def test_processes_answer_as_this_one_does(flat, question):
    answer = functools.partial(tune, panels=[1, 2], strings=[1, 2])
    seen = []
    both = at_places(question, PLACES, answer, progress=lambda *step: seen.append(step))
    assert seen == [(1, 2), (2, 2)]
    for place, got in zip(PLACES, both, strict=True):
        alone = ask(runs=8, month=10, days=5, seed=3, place=place)
        assert got.question.place == alone.place
        assert flat(got) == flat(answer(alone.replace(follow_days=10)))


def test_a_place_brings_its_own_climate(question):
    moved = at_place(question, "Lisbon, PT")
    wanted = ask(runs=8, month=10, days=5, seed=3, place="Lisbon, PT")
    assert (moved.van, moved.place) == (wanted.van, wanted.place)
    assert stay(moved).conditions.ghi_kwh_m2_day == stay(wanted).conditions.ghi_kwh_m2_day
    for field in dataclasses.fields(moved):
        if field.name not in {"van", "place", "climate"}:
            assert getattr(moved, field.name) == getattr(question, field.name)


def refuse(_question):
    raise AssertionError("no place may be answered before all are found")


def test_all_places_are_found_before_any_is_answered(question):
    with pytest.raises(PlaceError, match="Salzburgg"):
        at_places(question, [*PLACES, "Salzburgg"], refuse)
    with pytest.raises(PlaceError, match="climate covers land"):
        at_places(question, ["0, -30"], refuse)


def test_a_refusal_comes_back_whole_from_another_process():
    """Between processes an error goes as a pickle, whole with what the command line tells of it."""
    error = InputError("nothing to try", source="van.toml", field="tune")
    back = pickle.loads(pickle.dumps(error))
    assert type(back) is InputError
    assert (str(back), back.source, back.field) == (str(error), error.source, error.field)
    error = PlaceError("which one?", choices=("Bergen, NO",))
    back = pickle.loads(pickle.dumps(error))
    assert (str(back), back.choices) == (str(error), error.choices)


def test_a_weather_file_has_one_place():
    question = ask(runs=2, weather=TMY3)
    with pytest.raises(InputError, match="its own place") as caught:
        at_place(question, "Lisbon, PT")
    assert caught.value.field == "--places"
