"""A folder of vans as a list: days in winter and summer, findings, what changed since the sheet."""

from __future__ import annotations

import dataclasses
import hashlib
import json
import math
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, ClassVar, Literal

from solarsim.answers.question import Question, ask
from solarsim.answers.sheet.living import season_months
from solarsim.answers.sheet.sheet import SeasonDays, SheetAnswer, sheet
from solarsim.answers.sheet.ways import (
    WAYS,
    Way,
    refuse_panels_that_do_not_fit,
    refuse_untold,
    ways_of_living,
)
from solarsim.answers.simulation.run import Progress, simulate
from solarsim.answers.simulation.summary import DaysUnplugged, days_unplugged
from solarsim.answers.stock.kept import KeptVan, read_kept
from solarsim.electrical.check import check_van
from solarsim.electrical.findings import SEVERITIES, Severity
from solarsim.errors import InputError
from solarsim.inputs.base import plain_value
from solarsim.inputs.files.toml import read_toml
from solarsim.power.design import design_of
from solarsim.records import Answer

__all__ = ["Made", "StockAnswer", "VanRow", "stock", "van_files"]

# Writes a van's sheet and returns its file; called with the van's file and the answer.
Made = Callable[[Path, SheetAnswer], Path]
# Tables that tell another file of ours from a van's.
_OTHER_FILES = ("profile", "trip", "stops", "prices", "answers")
_VAN_TABLES = ("van", "panels", "battery")


@dataclasses.dataclass(frozen=True)
class VanRow:
    """One van of a stock.

    Attributes
    ----------
    file : str
        Name of its file in the folder.
    name, place : str
        What it is called and where it is asked about; empty where its file cannot be used.
    fault : str
        Why it cannot be used or no sheet be made of it; empty where all is well.
    winter, summer : DaysUnplugged or None
        Days with typical use, as on its sheet; None where its file cannot be used.
    medical : tuple of str
        What someone's health depends on, aboard of it.
    findings : dict of Severity to int
        How many findings of each severity the electrical check has.
    changes : tuple of str
        What changed since its last sheet; empty where nothing did.
    sheet_made : str
        Date of its last sheet before this one; empty where there was none.
    sheet : str
        The sheet that was made now; empty where none was.
    """

    file: str
    name: str = ""
    place: str = ""
    fault: str = ""
    winter: DaysUnplugged | None = None
    summer: DaysUnplugged | None = None
    medical: tuple[str, ...] = ()
    findings: dict[Severity, int] = dataclasses.field(default_factory=dict)
    changes: tuple[str, ...] = ()
    sheet_made: str = ""
    sheet: str = ""

    @property
    def worst(self) -> Severity | Literal[""]:
        """The worst severity that was found; empty where nothing was."""
        return next((one for one in SEVERITIES if self.findings.get(one)), "")

    def safe_days(self, season: str) -> float | None:
        """Days that are reached nine times in ten, or 99 in 100 where health depends on them."""
        days: DaysUnplugged | None = getattr(self, season)
        return None if days is None else days.safe(medical=bool(self.medical))


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class StockAnswer(Answer):
    """The vans of a folder.

    Attributes
    ----------
    folder : str
        Where they lie.
    vans : tuple of VanRow
        One a file, by its name.
    others : tuple of str
        TOML files that are no vans.
    runs, seed : int
        Weather runs asked for, and their seed.
    """

    _face: ClassVar[str] = "stock"

    folder: str
    vans: tuple[VanRow, ...]
    others: tuple[str, ...]
    runs: int
    seed: int

    @property
    def broken(self) -> tuple[VanRow, ...]:
        """Vans whose file cannot be used, or of which no sheet could be made."""
        return tuple(row for row in self.vans if row.fault)


def stock(
    folder: Path,
    *,
    runs: int | None = None,
    seed: int = 1,
    made: Made | None = None,
    date: str = "",
    progress: Progress | None = None,
) -> StockAnswer:
    """List the vans of a folder, and make their sheets where asked to.

    A file that cannot be used is a row that says why; the others go on.

    Parameters
    ----------
    folder : Path
        Of TOML files; those that are no vans are named and left out.
    runs, seed : int
        As for `ask`.
    made : callable, optional
        Writes the sheet of a van; what it says is kept beside the vans, so that the next list can
        tell what changed since.
    date : str
        Of the sheets.
    progress : callable, optional
        Called with vans done and in all.

    Raises
    ------
    InputError
        No such folder, no van in it, or notes of the last sheets that cannot be read.
    """
    files, others = van_files(folder)
    kept = read_kept(folder)
    rows, used_runs = [], 0
    for number, file in enumerate(files, start=1):
        before = kept.vans.get(file.name)
        row, now = _row(file, before, runs=runs, seed=seed, made=made, date=date)
        if now is not None:
            used_runs = max(used_runs, now.runs)
            if row.sheet:
                # Van by van, so that what is broken off loses nothing.
                kept = kept.with_van(folder, file.name, now)
        rows.append(row)
        if progress is not None:
            progress(number, len(files))
    return StockAnswer(str(folder), tuple(rows), others, used_runs, seed)


def van_files(folder: Path) -> tuple[list[Path], tuple[str, ...]]:
    """Return a folder's vans, sound or broken, and the names of its other TOML files.

    Raises
    ------
    InputError
        No such folder, one that cannot be read, or no van in it.
    """
    source = str(folder)
    if not folder.is_dir():
        raise InputError("is no folder of vans", source=source)
    try:
        found = sorted(
            path for path in folder.iterdir() if path.suffix.lower() == ".toml" and path.is_file()
        )
    except OSError as error:
        raise InputError(f"cannot be read: {error.strerror}", source=source) from None
    others = [path for path in found if not _may_be_van(path)]
    vans = [path for path in found if path not in others]
    if not vans:
        raise InputError("holds no van's file (.toml)", source=source)
    return vans, tuple(path.name for path in others)


def _may_be_van(path: Path) -> bool:
    """Whether a file is a van's; one that cannot be read may be."""
    try:
        tables = read_toml(path)
    except InputError:
        return True
    return any(name in tables for name in _VAN_TABLES) or not any(
        name in tables for name in _OTHER_FILES
    )


def _row(
    file: Path,
    before: KeptVan | None,
    *,
    runs: int | None,
    seed: int,
    made: Made | None,
    date: str,
) -> tuple[VanRow, KeptVan | None]:
    """Return a van's row, and what is kept of it once its sheet is made."""
    row = VanRow(file.name, sheet_made="" if before is None else before.date)
    try:
        # Its month plays no part: the sheet has seasons.
        question = ask(file, runs=runs, seed=seed)
        question = question.replace(month=question.van.stay.month)
        refuse_panels_that_do_not_fit(question.van)
        way = ways_of_living(question.van, typical=question.profile)[WAYS.index("typical")]
        row = dataclasses.replace(row, name=question.van.van.name, place=question.place.name)
        answer = None if made is None else sheet(question)
        days = _seasons(question, way) if answer is None else _of_sheet(answer)
        row = dataclasses.replace(
            row,
            winter=days["winter"],
            summer=days["summer"],
            medical=way.profile.medical,
            findings=_findings(question, way),
        )
        now = _kept(question, row, date)
        row = dataclasses.replace(row, changes=_changes(before, now))
        if made is not None and answer is not None:
            row = dataclasses.replace(row, sheet=str(made(file, answer)))
    except InputError as error:
        return dataclasses.replace(row, fault=str(error).partition("\n")[0]), None
    return row, now


def _seasons(question: Question, way: Way) -> dict[str, DaysUnplugged]:
    """Days of winter and summer, the same as the sheet's."""
    months = season_months(question.place)
    found = {}
    for season in ("winter", "summer"):
        asked = question.replace(month=months[season], profile=way.profile)
        found[season] = days_unplugged(simulate(asked, [design_of(asked.van)]), 0)
        refuse_untold(way, found[season].p1)
    return found


def _of_sheet(answer: SheetAnswer) -> dict[str, DaysUnplugged]:
    rows: Sequence[SeasonDays] = answer.regions[0].days["typical"]
    return {row.season: row.days for row in rows}


def _findings(question: Question, way: Way) -> dict[Severity, int]:
    check = check_van(
        question.van,
        way.profile,
        question.place,
        climate=question.climate,
        series=question.series,
    )
    severities = [finding.severity for finding in check.findings]
    return {severity: severities.count(severity) for severity in SEVERITIES}


def _kept(question: Question, row: VanRow, date: str) -> KeptVan:
    assert row.winter is not None
    assert row.summer is not None
    return KeptVan(
        content=_content_hash(question),
        date=date,
        runs=question.runs,
        seed=question.seed,
        winter_safe_days=row.safe_days("winter") or 0.0,
        winter_p50_days=row.winter.p50,
        summer_safe_days=row.safe_days("summer") or 0.0,
        summer_p50_days=row.summer.p50,
        worst=row.worst,
    )


def _content_hash(question: Question) -> str:
    """Checksum of all that a van's files say: the van, its people, what hides the sky."""
    horizon = question.horizon
    said: list[Any] = [
        question.van.model_dump(mode="json", exclude_unset=True),
        question.profile.model_dump(mode="json", exclude_unset=True),
        None if horizon is None else [list(horizon.azimuth_deg), list(horizon.elevation_deg)],
    ]
    text = json.dumps(plain_value(said), sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()


def _changes(before: KeptVan | None, now: KeptVan) -> tuple[str, ...]:
    """Say in a few words each what is not as it was on the last sheet."""
    if before is None:
        return ("no sheet yet",)
    found = []
    if before.content != now.content:
        found.append("the van or its people")
    if (before.runs, before.seed) != (now.runs, now.seed):
        found.append(f"asked with {now.runs} runs and seed {now.seed}: days not compared")
    else:
        for season in ("winter", "summer"):
            for key in ("safe", "p50"):
                was, is_now = (getattr(one, f"{season}_{key}_days") for one in (before, now))
                # As the list shows them: what is reached at least is never rounded up.
                shown = [_shown(days, at_least=key == "safe") for days in (was, is_now)]
                if shown[0] != shown[1]:
                    name = "at least" if key == "safe" else "half of all"
                    found.append(f"{season}, {name}: {shown[0]} to {shown[1]} days")
    if before.worst != now.worst:
        found.append(f"worst finding: {before.worst or 'none'} to {now.worst or 'none'}")
    return tuple(found)


def _shown(days: float, *, at_least: bool) -> str:
    return f"{math.floor(10.0 * days + 1e-9) / 10.0 if at_least else days:.1f}"
