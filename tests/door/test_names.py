"""What `import solarsim` hands out, and what it says of a name that it has not."""

from __future__ import annotations

import importlib.metadata
import inspect
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

import solarsim
from solarsim.answers.question import ask
from solarsim.door.asking import Asked

ROOT = Path(solarsim.__file__).parents[1]
EXPECTED = {
    *("Van", "Profile", "Place", "Question", "Trip", "InputError", "__version__"),
    *(
        "ask",
        "stay",
        "bank",
        "tune",
        "search",
        "levers",
        "seasons",
        "region",
        "trip",
        "roof",
        "check",
        "history",
    ),
    *(
        "calibrate",
        "sheet",
        "climate",
        "parts",
        "wiring",
        "buy",
        "offer",
        "Prices",
        "interview",
        "stock",
    ),
    *("read_van", "read_profile", "read_trip", "read_log", "find_place"),
}


def listed_in_the_docstring():
    rows = re.findall(r"^    (\S.*?)  +\S", solarsim.__doc__ + "\n", flags=re.MULTILINE)
    rows += re.findall(r"^    (read_van, read_profile) ", solarsim.__doc__, flags=re.MULTILINE)
    return {name.strip() for row in rows for name in row.split(",")}


def test_exports_docstring_and_promise_are_one_list():
    assert set(solarsim.__all__) == EXPECTED == listed_in_the_docstring()
    assert sorted(solarsim.__all__) == solarsim.__all__
    assert dir(solarsim) == sorted(solarsim.__all__)


@pytest.mark.parametrize("name", sorted(EXPECTED))
def test_every_name_is_there_and_told(name):
    thing = getattr(solarsim, name)
    if name != "__version__":
        assert callable(thing)
        assert inspect.getdoc(thing)


def test_no_room_takes_the_place_of_a_function():
    """Loading a room of a function's name would put the room in the function's place."""
    rooms = {path.stem for path in Path(solarsim.__file__).parent.iterdir()}
    assert not rooms & set(solarsim.__all__)


@pytest.mark.parametrize(
    ("name", "meant"), [("saesons", "seasons"), ("read_logs", "read_log"), ("Vans", "Van")]
)
def test_a_name_that_is_not_there_comes_with_the_nearest(name, meant):
    with pytest.raises(AttributeError, match=f"no attribute '{name}'; did you mean '{meant}'"):
        getattr(solarsim, name)


@pytest.mark.parametrize("name", ["_private", "zzzz", "sextant"])
def test_a_name_with_nothing_near_is_plainly_refused(name):
    with pytest.raises(AttributeError, match=rf"no attribute '{name}'$"):
        getattr(solarsim, name)


def test_version_is_that_of_the_package():
    declared = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    assert solarsim.__version__ == declared["project"]["version"]
    assert solarsim.__version__ == importlib.metadata.version("solarsim")


def test_version_is_told_where_nothing_is_installed(tmp_path):
    code = (
        "import importlib.metadata as m\n"
        "def missing(name): raise m.PackageNotFoundError(name)\n"
        "m.version = missing\n"
        "import solarsim\n"
        "print(solarsim.__version__)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        env={"PYTHONPATH": str(ROOT), "PATH": "/usr/bin:/bin"},
        check=True,
    )
    assert done.stdout.strip() == solarsim.__version__


def test_keywords_of_every_answer_are_those_of_ask():
    own = [p.name for p in inspect.signature(ask).parameters.values() if p.kind is p.KEYWORD_ONLY]
    # Left out: what a function itself says of the question.
    assert list(Asked.__annotations__) == [name for name in own if name != "with_loads"]
