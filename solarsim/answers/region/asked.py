"""What is asked of a region: vans, their people, land cells and months."""

from __future__ import annotations

import dataclasses
import hashlib
import json
from collections.abc import Sequence
from pathlib import Path

from solarsim.answers.given import given_text, given_whole
from solarsim.answers.question import Question
from solarsim.answers.region.cells import Cells, region_cells
from solarsim.answers.region.program import program_checksum
from solarsim.cards import Card, Carded
from solarsim.errors import InputError
from solarsim.inputs.base import plain_value
from solarsim.inputs.counts import count_text
from solarsim.inputs.van import Van
from solarsim.records import ArrayRecord
from solarsim.weather.years.windows import stay_month

__all__ = [
    "DEFAULT_CELL_RUNS",
    "DEFAULT_STEP_DEG",
    "MAX_VANS",
    "RegionQuestion",
    "ask_region",
    "default_follow_days",
]

DEFAULT_STEP_DEG = 0.5
MAX_VANS = 4
# The standard error of a chance is 3.5 points at worst; neighbours share the runs' draws.
DEFAULT_CELL_RUNS = 200
# A map tells who lasts twice the stay, and not by how much; `stay` follows a place for longer.
_LEAST_FOLLOW_DAYS = 14


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class RegionQuestion(Carded, ArrayRecord):
    """Up to four vans in every cell of a region, in the same months.

    Attributes
    ----------
    questions : tuple of tuple of Question
        For each month those of all vans; their own places play no part.
    cells : Cells
        Where.
    months : tuple of int
        1 to 12, each once, in order.
    """

    questions: tuple[tuple[Question, ...], ...]
    cells: Cells
    months: tuple[int, ...]

    @property
    def vans(self) -> tuple[Van, ...]:
        """The vans, in the order in which they were given."""
        return tuple(question.van for question in self.questions[0])

    @property
    def van_names(self) -> tuple[str, ...]:
        """A name for each van; those of one name are numbered."""
        names = [van.van.name for van in self.vans]
        return tuple(
            name if names.count(name) == 1 else f"{name} ({names[: n + 1].count(name)})"
            for n, name in enumerate(names)
        )

    @property
    def follow_days(self) -> int:
        """How far days unplugged are followed."""
        first = self.questions[0][0]
        return max(first.follow_days, first.van.stay.days)

    def fingerprint(self) -> str:
        """Return what tells this question from any other, and from another version's."""
        first = self.questions[0][0]
        told = {
            "program": program_checksum(),
            "vans": [[q.van.model_dump(mode="json") for q in month] for month in self.questions],
            "profile": first.profile.model_dump(mode="json"),
            "horizon": repr(first.horizon),
            "settings": [first.runs, first.seed, first.site_uncertainty, first.follow_days],
            "months": self.months,
            "step": self.cells.step_deg,
            "cells": [
                (cell.latitude_deg, cell.longitude_deg, cell.town_label)
                for cell in self.cells.cells
            ],
        }
        return hashlib.sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()

    def card(self) -> Card:
        """Return what is asked, of which vans, over which land."""
        first = self.questions[0][0]
        return Card(
            f"{', '.join(self.van_names)} in {self.cells.region.name}.",
            [
                ("cells", f"{len(self.cells.cells):,} in steps of {self.cells.step_deg:g} degree"),
                ("months", ", ".join(map(str, self.months))),
                ("stay", count_text(first.van.stay.days, "day")),
                ("runs", f"{first.runs}"),
            ],
        )


def ask_region(
    question: Question,
    region: str,
    *,
    beside: Sequence[str | Path | Van] = (),
    step_deg: float = DEFAULT_STEP_DEG,
    months: Sequence[int] | None = None,
) -> RegionQuestion:
    """Ask a question of every land cell of a region.

    Parameters
    ----------
    question : Question
        Van, people, days, runs and seed; its place plays no part.
    region : str
        A country (``"ES"``), an area (``"US-CO"``), or ``"south, west, north, east"`` in degrees.
    beside : sequence of str, path or Van
        Up to three more vans, with the same people, dates and days.
    step_deg : float
        Side of a cell, degrees.
    months : sequence of int, optional
        By default the stay's own.

    Raises
    ------
    InputError
        No such region, too many cells or vans, months that are none, or a weather file, which has
        a place of its own.
    """
    if question.series is not None:
        message = (
            "a weather file and real years are of one place; a region stands on the embedded "
            "climate: leave the file out, and ask with climate 'embedded'"
        )
        raise InputError(message, field="region")
    if len(beside) + 1 > MAX_VANS:
        raise InputError(f"got {len(beside) + 1}; at most {MAX_VANS} vans", field="vans")
    text = given_text(region, field="region", allowed="a country, an area or a box")
    cells = region_cells(text, _number(step_deg))
    vans = (question, *(question.replace(van=van) for van in beside))
    if months is None:
        asked: tuple[tuple[Question, ...], ...] = (vans,)
        wanted: tuple[int, ...] = (stay_month(question.van.stay),)
    else:
        wanted = _months(months)
        asked = tuple(tuple(van.replace(month=month) for van in vans) for month in wanted)
    return RegionQuestion(asked, cells, wanted)


def default_follow_days(stay_days: int) -> int:
    """Return how far a map follows the days: 14, or twice the stay."""
    return max(_LEAST_FOLLOW_DAYS, 2 * stay_days)


def _number(value: object) -> float:
    plain = plain_value(value)
    if isinstance(plain, bool) or not isinstance(plain, int | float):
        raise InputError(f"got {plain!r}; must be a number of degrees", field="step")
    return float(plain)


def _months(months: Sequence[int]) -> tuple[int, ...]:
    wanted = sorted(
        {given_whole(m, field="months", least=1, most=12, allowed="1 to 12") for m in months}
    )
    if not wanted:
        raise InputError("got none; give months of 1 to 12, or leave them out", field="months")
    return tuple(wanted)
