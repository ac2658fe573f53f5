"""A client's answers are held to what they may be, and each refusal says which answer."""

from __future__ import annotations

import pytest

from solarsim.errors import InputError
from solarsim.inputs.files.toml import shipped_folder
from solarsim.inputs.interview import interview_from_data, read_interview


def answers(**given):
    return interview_from_data({"answers": {"people": 2} | given}, source="a.toml").answers


@pytest.mark.parametrize("path", sorted(shipped_folder("interviews").glob("*.toml")))
def test_shipped_answers_are_read(path):
    assert read_interview(path.stem).answers.people >= 1


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"people": 0}, "a.toml: answers.people: got 0"),
        ({"people": 9}, "answers.people: got 9"),
        ({"people": True}, "answers.people"),
        ({"people": 2.5}, "answers.people: got 2.5"),
        ({"months": []}, "answers.months"),
        ({"months": [13]}, "answers.months.0: got 13"),
        ({"months": [1, 1]}, "months holds 1 twice"),
        ({"cooking": ["wood"]}, "answers.cooking.0: got 'wood'"),
        ({"cooking": "gas"}, "answers.cooking"),
        ({"cooking": ["gas", "gas"]}, "cooking holds 'gas' twice"),
        ({"fridge": "huge"}, "'small', 'medium', 'large'"),
        ({"medical": ["pump"]}, "answers.medical.0"),
        ({"moves_every_days": -1}, "answers.moves_every_days: got -1"),
        ({"heater": "none", "warmth": "cool"}, "warmth = 'cool' needs a heater"),
        ({"fridges": "small"}, "answers.fridges: unknown key; did you mean 'fridge'?"),
        ({"name": ""}, "answers.name"),
    ],
)
def test_what_cannot_be_answered_is_refused_by_its_name(given, said):
    with pytest.raises(InputError) as refused:
        answers(**given)
    assert said in str(refused.value)


def test_the_number_of_people_must_be_told():
    with pytest.raises(InputError, match=r"answers\.people: is required"):
        interview_from_data({"answers": {}}, source="a.toml")


def test_settings_change_answers():
    changed = read_interview("couple", settings=["answers.fridge=large", "answers.months=[6]"])
    assert (changed.answers.fridge, changed.answers.months) == ("large", (6,))
