"""What a walk holds against each change: it touches what it is for, and every box says so."""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

from solarsim.answers.question import DEFAULT_RUNS
from solarsim.app.link import profile_toml, van_toml
from solarsim.app.tables import KIND_OF_PART, profile_tables, van_tables
from solarsim.app.widgets.field import limits_of, value_of
from solarsim.app.widgets.fields_beside import BESIDE
from solarsim.app.widgets.fields_in_views import RATINGS, ROOF, RUNS
from solarsim.app.widgets.numbers import number_of
from solarsim.app.widgets.widgets import word
from solarsim.errors import InputError
from solarsim.inputs.calendar import FOLLOW_DAYS
from solarsim.inputs.crew import EACH_FOR_THEMSELVES
from solarsim.inputs.parts import part_tables
from solarsim.present.words import month_name
from tests.browser.conftest import ROOT

_BOXES = """where => [...document.querySelectorAll(`[data-testid=${where}] input`)]
    .map(box => [box.ariaLabel, box.type === 'checkbox' ? box.checked : box.value])"""
# Inputs by their labels, beside the views and in them.
INPUTS = {
    "stSidebar": {field.label: field for field in BESIDE},
    "stMain": {field.label: field for field in (*RATINGS, *RUNS, *ROOF)},
}


class Wrong(AssertionError):
    """Something that must never be."""


def values(design):
    """Every value of a design, by its path; each appliance's by its number in the list."""
    found = {}

    def gather(item, path):
        if isinstance(item, dict):
            for name, inner in item.items():
                gather(inner, f"{path}.{name}" if path else name)
        elif isinstance(item, list | tuple) and item and isinstance(item[0], dict):
            for number, inner in enumerate(item):
                gather(inner, f"{path}.{number}")
        else:
            found[path] = item

    gather(van_tables(design.van), "")
    gather(profile_tables(design.profile), "")
    return found


def changed(before, after):
    """Paths whose values differ between two designs."""
    one, other = values(before), values(after)
    return {path for path in one.keys() | other.keys() if one.get(path) != other.get(path)}


def touched_by(path, design):
    """Paths that a change of one input may change: its own, and what is known to go with it."""
    table, _, name = path.partition(".")
    if name == "part":
        # A part brings its own numbers.
        owned = {field for part in part_tables(KIND_OF_PART[table]).values() for field in part}
        return {path, *(f"{table}.{field}" for field in owned)}
    if path == "cabin.people":
        return {path} | {
            f"appliances.{number}.{field}"
            for number, appliance in enumerate(design.profile.appliances)
            if appliance.part in EACH_FOR_THEMSELVES
            for field in ("hours_per_day", "minutes_per_day", "count")
        }
    return {path}


def choices_of(field):
    """What can be chosen in a field's list; nothing where it is no list."""
    if field.path == "stay.month":
        return range(1, 13)
    if field.path.endswith(".part"):
        return tuple(part_tables(KIND_OF_PART[field.path.partition(".")[0]]))
    return limits_of(field.path).choices


def name_of(field, choice):
    """What the page calls a choice."""
    if choice is None:
        return field.empty
    return month_name(choice) if field.path == "stay.month" else word(choice)


def boxes(page, where):
    """What stands in the boxes beside the views or in the one that is drawn, with their inputs."""
    known = INPUTS[where]
    return [
        (known[label], shown) for label, shown in page.evaluate(_BOXES, where) if label in known
    ]


def odd_boxes(page, design, refused):
    """Boxes that say neither what the design holds nor what was typed there and refused.

    Parameters
    ----------
    refused : dict
        By path, what was last given to an input and is not in the design.
    """
    found = []
    for field, shown in (*boxes(page, "stSidebar"), *boxes(page, "stMain")):
        now = value_of(design, field.path)
        if not _says(field, shown, now) and shown != refused.get(field.path):
            found.append(f"{field.label} shows {shown!r}, the design has {now!r}")
    return found


def _says(field, shown, now):
    if choices_of(field):
        return shown == name_of(field, now)
    if limits_of(field.path).kind in (bool, str) or now is None:
        return shown == (now if now is not None else "")
    try:
        number = number_of(shown)
    except InputError:
        return False
    # What is drawn anew is rounded to what the box shows.
    return abs(number - now * (100.0 if field.percent else 1.0)) <= 0.5 * 10.0**-field.places


def command_line(design):
    """What `stay` prints for a design, on as many runs as the page takes."""
    days = design.van.stay.days
    runs = max(DEFAULT_RUNS * FOLLOW_DAYS // max(days, FOLLOW_DAYS), 50)
    with tempfile.TemporaryDirectory() as folder:
        van, people = Path(folder) / "van.toml", Path(folder) / "people.toml"
        van.write_text(van_toml(design.van), encoding="utf-8")
        people.write_text(profile_toml(design.profile), encoding="utf-8")
        command = [sys.executable, "-m", "solarsim", "stay", van, "--profile", people]
        ran = subprocess.run(
            [*command, "--runs", str(runs)], cwd=ROOT, capture_output=True, text=True, check=False
        )
    if ran.returncode:
        raise Wrong(f"the command line refuses the page's design: {ran.stderr}")
    return " ".join(ran.stdout.split())
