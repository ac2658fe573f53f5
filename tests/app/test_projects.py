"""What a browser sends as a project is a stranger's text."""

from __future__ import annotations

import dataclasses
import random
import string

import pytest

from solarsim.app import projects
from solarsim.app.draft import example
from solarsim.app.link import (
    MAX_LINK_CHARACTERS,
    MAX_PROJECT_CHARACTERS,
    design_code,
    design_from_code,
)
from solarsim.app.projects import project_of
from solarsim.errors import InputError
from solarsim.inputs.files.horizon import Horizon
from tests.app.conftest import take

CODE = design_code(example())


def test_a_project_comes_back_as_it_was():
    assert project_of({"name": "A <b>van</b>\n", "code": CODE}) == ("A <b>van</b>", example())


def test_a_project_may_be_larger_than_a_link():
    shuffled = random.Random(1)
    sides = [float(number) / 7.0 for number in range(700)]
    heights = tuple(shuffled.uniform(0.0, 60.0) for _ in sides)
    large = dataclasses.replace(example(), horizon=Horizon(tuple(sides), heights, "hills"))
    with pytest.raises(InputError, match="is too large for a link"):
        design_code(large)
    code = design_code(large, most=MAX_PROJECT_CHARACTERS)
    assert len(code) > MAX_LINK_CHARACTERS
    assert project_of({"name": "hills", "code": code})[1] == large
    with pytest.raises(InputError, match="the link: holds"):
        design_from_code(code)


NO_PROJECTS = [
    None,
    "text",
    7,
    [],
    {},
    {"name": "a"},
    {"name": "a", "code": None},
    {"name": ["a"], "code": CODE},
    {"name": "a" * 101, "code": CODE},
    {"name": "a", "code": CODE, "more": 1},
    {"name": "a", "code": CODE[:-9]},
    {"name": "a", "code": "1." + "A" * MAX_PROJECT_CHARACTERS},
    {"name": "a", "code": "9" + CODE},
    {"name": "a", "code": "\ud800"},
]


@pytest.mark.parametrize("value", NO_PROJECTS)
def test_what_is_no_project_is_one_line(value):
    with pytest.raises(InputError) as caught:
        project_of(value)
    assert str(caught.value).startswith("the project: ")
    assert "\n" not in str(caught.value)


def test_mutated_codes_end_in_a_design_or_one_line():
    chance = random.Random(5)
    letters = string.ascii_letters + string.digits + "-_.=\0é"
    sources = []
    for _ in range(60):
        code = list(CODE)
        for _ in range(chance.randint(1, 4)):
            code[chance.randrange(len(code))] = chance.choice(letters)
        try:
            project_of({"name": "a", "code": "".join(code)})
        except InputError as error:
            sources.append(error.source)
    assert len(sources) > 50
    assert set(sources) == {"the project"}


@pytest.mark.slow
def test_one_that_is_refused_leaves_the_design_and_one_that_passes_is_open(app):
    app.session_state["view"] = "Save"
    app.run()
    assert not app.exception
    for value, said in (
        ({"name": "a", "code": "1.x"}, "the project: is damaged"),
        ({"name": "Mine", "code": CODE}, "The project is open: Mine"),
    ):
        sent = {"open": value}
        app.session_state["notices"] = ()
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(projects, "_KEY", "sent")
            app.session_state["sent"] = sent
            take(app, projects._open)
        assert app.session_state["notices"][0].text.startswith(said)
        assert app.session_state["design"] == example()
