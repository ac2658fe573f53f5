"""Any answers make a profile that its reader takes, and more people never ask for less."""

from __future__ import annotations

import os
import tomllib

from hypothesis import given, settings
from hypothesis import strategies as st

from solarsim.answers.interview.interview import interview
from solarsim.answers.interview.questions import allowed_choices
from solarsim.inputs.interview import ClientAnswers, interview_from_data
from solarsim.inputs.profile import profile_from_data
from solarsim.present.interview.document import answers_toml, profile_toml

MOST = int(os.environ.get("SOLARSIM_FUZZ", "25"))


def _choice(key):
    choices = st.sampled_from(allowed_choices(key))
    if isinstance(ClientAnswers.model_fields[key].default, tuple):
        return st.lists(choices, unique=True)
    return choices


ANSWERS = st.fixed_dictionaries(
    {"people": st.integers(1, 8)},
    optional={
        "months": st.lists(st.integers(1, 12), min_size=1, unique=True),
        "name": st.text(min_size=1, max_size=200).filter(
            lambda text: not any("\ud800" <= sign <= "\udfff" for sign in text)
        ),
        "moves_every_days": st.integers(0, 60),
        "plugs_in_every_days": st.integers(0, 60),
        **{key: _choice(key) for key in ClientAnswers.model_fields if allowed_choices(key)},
    },
).map(lambda one: one if one.get("heater") != "none" else {k: one[k] for k in one if k != "warmth"})


def made(answers):
    return interview(interview_from_data({"answers": answers}, source=""))


@settings(max_examples=MOST, deadline=None)
@given(ANSWERS)
def test_any_answers_make_a_profile_that_reads_back(answers):
    answer = made(answers)
    read = profile_from_data(tomllib.loads(profile_toml(answer)), source="p.toml")
    assert read == answer.profile
    assert set(read.medical) <= {a.name for a in read.appliances if a.enabled}
    kept = interview_from_data(tomllib.loads(answers_toml(answer.interview)), source="")
    assert kept == answer.interview


def asked_wh(answer):
    """Energy a day of each appliance by its hours; None where a thermostat says when."""
    return {
        a.name: None if a.response != "none" else a.power_w * a.count * a.use_h
        for a in answer.profile.appliances
    }


@settings(max_examples=MOST, deadline=None)
@given(ANSWERS, st.integers(1, 8))
def test_more_people_never_ask_for_less(answers, other):
    few, many = sorted((answers["people"], other))
    less, more = (asked_wh(made(answers | {"people": people})) for people in (few, many))
    assert less.keys() == more.keys()
    for name, wh in less.items():
        if wh is None:
            assert more[name] is None
        else:
            assert more[name] >= wh - 1e-6
