"""The region whose map stands on the sheet, in its winter and with typical use."""

from __future__ import annotations

from solarsim.answers.question import Question
from solarsim.answers.region.asked import (
    DEFAULT_CELL_RUNS,
    RegionQuestion,
    ask_region,
    default_follow_days,
)
from solarsim.answers.region.region import RegionAnswer, region
from solarsim.answers.sheet.living import season_months
from solarsim.errors import InputError

__all__ = ["map_answer", "map_question"]

# The smallest cells of which no more than so many are needed: their numbers stay legible.
_STEPS_DEG = (5.0, 2.0, 1.0, 0.5, 0.25)
_MOST_CELLS = 300


def map_question(home: Question, where: str) -> RegionQuestion:
    """Ask about every cell of a region in its winter.

    Parameters
    ----------
    home : Question
        The van with its typical use; its place and month play no part.
    where : str
        As `solarsim.answers.region.asked.ask_region` takes it.

    Raises
    ------
    InputError
        As there, in the name of the map.
    """
    runs = min(home.runs, DEFAULT_CELL_RUNS)
    question = home.replace(runs=runs, follow_days=default_follow_days(home.van.stay.days))
    found: RegionQuestion | None = None
    for step_deg in _STEPS_DEG:
        try:
            asked = ask_region(question, where, step_deg=step_deg)
        except InputError as error:
            # Islets may be too small for large cells; what is no region is none in small ones.
            if found is None and step_deg == _STEPS_DEG[-1]:
                raise InputError(error.message, field="map") from None
            continue
        count = len(asked.cells.cells)
        if count > _MOST_CELLS:
            break
        found = asked
    if found is None:
        message = (
            f"got {where!r}: {count:,} cells of {step_deg:g} degrees; at most {_MOST_CELLS} stand "
            "on a sheet: take a smaller region"
        )
        raise InputError(message, field="map")
    cells = found.cells.cells
    latitudes = sorted(cell.latitude_deg for cell in cells)
    # The winter of most of its land.
    south = latitudes[len(latitudes) // 2] < 0.0
    winter = season_months(cells[0 if south else -1].place())["winter"]
    return ask_region(question, where, step_deg=found.cells.step_deg, months=[winter])


def map_answer(home: Question, where: str) -> RegionAnswer:
    """Answer `map_question`; so few cells are not worth starting processes."""
    return region(map_question(home, where), workers=1)
