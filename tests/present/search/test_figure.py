"""The picture of a search: a point a build, where its cost and its safe days are."""

from __future__ import annotations

import dataclasses

import pytest

import solarsim
from solarsim.present.search.figure import days_of, front_figure


@pytest.fixture(scope="module")
def answer():
    return solarsim.search("weekender", kinds=["own"], strings=[2, 3, 4], runs=20)


def test_points_are_the_designs_and_the_choice_is_ringed(answer):
    (points,) = front_figure(answer).data
    assert answer.choice is not None
    assert len(answer.designs) > 1
    assert list(points.x) == [one.cost_in_panel_w for one in answer.designs]
    assert list(points.y) == [one.p10_days for one in answer.designs]
    assert list(points.marker.color) == [one.parts_kg for one in answer.designs]
    rings = [at for at, width in enumerate(points.marker.line.width) if width == 4]
    assert rings == [answer.designs.index(answer.choice)]


def test_beside_a_medical_device_99_in_100_counts_and_the_unknown_is_no_point(answer):
    profile = solarsim.Profile.build(
        "Sleeper", ["breathing device", "compressor fridge 65 L"], medical=["breathing device"]
    )
    question = answer.question.replace(profile=profile)
    first, *others = answer.designs
    sick = dataclasses.replace(
        answer,
        question=question,
        designs=(dataclasses.replace(first, p1_days=None), *(
            dataclasses.replace(one, p1_days=1.5) for one in others
        )),
    )  # fmt: skip
    assert days_of(sick, sick.designs[0]) is None
    (points,) = front_figure(sick).data
    assert list(points.y) == [1.5] * len(others)
    assert "99 stays in 100" in front_figure(sick).layout.yaxis.title.text
