"""Answers over many places."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Unpack

from solarsim.answers.question import Question
from solarsim.door.asking import Askable, Asked, Progress, given_progress, question_of
from solarsim.errors import InputError
from solarsim.inputs.files.van import DEFAULT_VAN
from solarsim.inputs.van import Van

if TYPE_CHECKING:
    from solarsim.answers.region.region import RegionAnswer

__all__ = ["region"]


def region(
    question: Askable = DEFAULT_VAN,
    region: str | Sequence[float] = "",
    *,
    beside: Sequence[str | Path | Van] = (),
    step_deg: float = 0.5,
    months: Sequence[int] | None = None,
    keep: str | Path | None = None,
    workers: int = 1,
    scheduler: str | None = None,
    progress: Progress | None = None,
    **asked: Unpack[Asked],
) -> RegionAnswer:
    """Answer the stay in every land cell of a region.

    ``.frame()`` has a row a van, month and cell with its latitude and longitude; ``.plot()`` draws
    the map.

    Parameters
    ----------
    question : Question, or a van as for `ask`
        What is asked; its place plays no part. A van by itself is asked with 200 runs, and followed
        for 14 days or twice the stay.
    region : str or sequence of float
        A country (``"ES"``), an area (``"US-CO"``), or south, west, north and east in degrees.
    beside : sequence of str, path or Van
        Up to three more vans, with the same people for the same days.
    step_deg : float
        Side of a cell, 0.05 to 5 degrees.
    months : sequence of int, optional
        1 to 12; by default the stay's own.
    keep : str or path, optional
        Folder for what is done; the same question asked again goes on from there.
    workers : int
        Processes; more than 1 start afresh, so that a script needs ``if __name__ == "__main__":``.
    scheduler : str, optional
        Address of a Dask scheduler whose workers answer, or ``"local"`` for `workers` here.
    progress : callable, optional
        Called with cells done and in all.
    **asked
        Keywords of `ask`.

    Raises
    ------
    InputError
        As for `ask`; no such region, too many cells or vans, or a weather file.
    """
    from solarsim.answers.given import given_text, given_whole
    from solarsim.answers.region.asked import DEFAULT_CELL_RUNS, ask_region, default_follow_days
    from solarsim.answers.region.region import region as answer
    from solarsim.door.lists import given_counts

    about = question_of(question, asked)
    if not isinstance(question, Question):
        follow_days = asked.get("follow_days", default_follow_days(about.van.stay.days))
        runs = asked.get("runs") or DEFAULT_CELL_RUNS
        about = about.replace(runs=runs, follow_days=follow_days)
    given = ask_region(
        about,
        _region_text(region),
        beside=_vans(beside),
        step_deg=step_deg,
        months=given_counts(months, field="months", least=1, most=12),
    )
    folder = None if keep is None else Path(given_text(keep, field="keep", allowed="a folder"))
    count = given_whole(workers, field="workers", least=1, most=256, allowed="1 to 256")
    if scheduler is not None:
        scheduler = given_text(scheduler, field="scheduler", allowed="an address, or 'local'")
    return answer(
        given,
        keep=folder,
        workers=count,
        scheduler=scheduler,
        progress=given_progress(progress),
    )


def _region_text(region: Any) -> str:
    from solarsim.door.lists import given_numbers

    if isinstance(region, str):
        return region
    if region is None:
        message = "got None; must be a country, an area, or south, west, north and east in degrees"
        raise InputError(message, field="region")
    sides = given_numbers(region, field="region", least=-180.0, most=180.0) or []
    if len(sides) != 4:
        message = f"got {len(sides)} numbers; must be south, west, north and east in degrees"
        raise InputError(message, field="region")
    return ", ".join(f"{side:.6f}" for side in sides)


def _vans(beside: Any) -> Sequence[str | Path | Van]:
    if isinstance(beside, str | bytes | Path | Van) or not isinstance(beside, Sequence):
        raise InputError(f"got {beside!r}; must be a list of vans", field="beside")
    return beside
