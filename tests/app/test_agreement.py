"""One question has one answer: the stay, the months, the buyer's sheet and the app's headline."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solarsim.answers.question import ask
from solarsim.answers.seasons import seasons
from solarsim.answers.sheet.living import season_months
from solarsim.answers.sheet.sheet import sheet
from solarsim.answers.stay import stay
from solarsim.app import answering
from solarsim.app.draft import Draft
from solarsim.present.compare.documents import seasons_document
from solarsim.present.stay.documents import stay_document
from solarsim.present.words import headline
from tests.app.conftest import other_runs

RUNS = 8
FIGURES = ("p10", "p50", "p90")

VANS = st.fixed_dictionaries(
    {
        "panels.count": st.integers(1, 3),
        "battery.units": st.integers(1, 6),
        "battery.chemistry": st.sampled_from(["lfp", "agm"]),
        "stay.start_soc": st.sampled_from([0.7, 1.0]),
        "alternator.drive_h": st.sampled_from([0.0, 0.5]),
        "stay.brush_snow": st.sampled_from(["morning", "never"]),
    }
)


@pytest.fixture(scope="module")
def same_runs():
    with other_runs(RUNS):
        yield


@pytest.mark.slow
@given(
    van=VANS,
    place=st.sampled_from(["Salzburg, AT", "Phoenix, AZ, US", "Hobart, AU", "Nairobi"]),
    season=st.sampled_from(["winter", "autumn"]),
    days=st.integers(2, 40),
    profile=st.sampled_from(["weekend-couple", "light", "typical", "heavy"]),
    seed=st.integers(0, 2**40),
)
@settings(max_examples=4, deadline=None)
def test_stay_months_sheet_and_app_say_the_same(same_runs, van, place, season, days, profile, seed):
    chosen = [f"{key}={value}" for key, value in van.items()]
    asked = ask(place=place, days=days, profile=profile, seed=seed, runs=RUNS, settings=chosen)
    month = season_months(asked.place)[season]
    question = asked.replace(month=month)
    document = stay_document(stay(question))
    said = {key: document["days_unplugged"][key] for key in FIGURES}

    row = seasons_document(seasons(question))["months"][month - 1]
    assert {key: row[key] for key in FIGURES} == said
    assert row["chance_lasts"] == document["chance_lasts"]

    page = sheet(question, annex=True).to_dict()
    typical = {one["season"]: one for one in page["regions"][0]["days"]["typical"]}
    assert {key: typical[season][key] for key in FIGURES} == said
    assert page["annex"]["seasons"]["months"][month - 1]["p50"] == said["p50"]
    assert page["own_people"] is None
    hardest = page["annex"]["stay"]
    same = next(one for one in typical.values() if one["month"] == hardest["stay"]["month"])
    assert {key: hardest["days_unplugged"][key] for key in FIGURES} == {
        key: same[key] for key in FIGURES
    }


@pytest.mark.slow
@given(
    van=VANS,
    month=st.integers(1, 12),
    days=st.integers(2, 30),
    profile=st.sampled_from(["weekend-couple", "light", "typical", "heavy"]),
)
@settings(max_examples=4, deadline=None)
def test_the_app_says_what_the_command_line_says(same_runs, van, month, days, profile):
    """With the app's own seed, which is the command line's by default."""
    chosen = [f"{key}={value}" for key, value in van.items()]
    question = ask(month=month, days=days, profile=profile, runs=RUNS, settings=chosen)
    draft = Draft(question.van, question.profile)
    answer = stay(question)
    assert headline(answering.stay_answer(draft)) == headline(answer)
    assert answering.stay_answer(draft).days == answer.days
    assert answering.seasons_answer(draft).months[month - 1].days == answer.days
    shown = answering.sheet_answer(draft, (), own_people=True, annex=False).to_dict()
    for one in shown["regions"][0]["days"]["typical"]:
        if one["month"] == month:
            assert {key: one[key] for key in FIGURES} == {
                key: getattr(answer.days, key) for key in FIGURES
            }


@pytest.mark.slow
def test_the_app_s_sheet_says_whose_use_is_shown(same_runs):
    question = ask(runs=RUNS)
    draft = Draft(question.van, question.profile)
    shown = answering.sheet_answer(draft, (), own_people=False, annex=False)
    assert shown.own_people == "Weekend couple"
    assert shown.question.profile.profile.name == "Typical"
