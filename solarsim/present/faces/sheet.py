"""The buyer's sheet in Python."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import pandas as pd

from solarsim.answers.sheet.sheet import Region, SheetAnswer
from solarsim.cards import Card
from solarsim.inputs.files.write import check_writable, write_file
from solarsim.present.faces.rows import notes_row, warnings_row
from solarsim.present.sheet.document import in_language, sheet_document
from solarsim.present.sheet.make import check_sheet_path, sheet_bytes
from solarsim.present.sheet.photo import read_photo
from solarsim.present.sheet.texts import Units, load_texts
from solarsim.present.sheet.typeset import Form, Paper
from solarsim.present.stay.text import days_cell

__all__ = ["card", "document", "frame", "save"]

_SHOWN = 6


def card(answer: SheetAnswer) -> Card:
    """Return the days of each way of living at each region, and how to make the sheet."""
    warnings = tuple(text for living in answer.livings for text in living.warnings)
    return Card(
        f"The buyer's sheet of the van '{answer.question.van.van.name}': days unplugged in "
        "half of the runs, winter to autumn",
        [
            *[
                (way, f"{_days(region, way)} at {region.place.name}")
                for region in answer.regions
                for way in region.days
            ][:_SHOWN],
            ("make it", ".save('sheet.pdf'), .html or .png"),
            *warnings_row(warnings),
            *notes_row(answer.notes),
        ],
    )


def document(answer: SheetAnswer, *, date: dt.date, language: str = "en") -> dict[str, Any]:
    """Return the document of `sheet`, with the listing's texts in a language."""
    return in_language(sheet_document(answer, date=date), language)


def frame(answer: SheetAnswer) -> pd.DataFrame:
    """Return one row a region, way of living and season."""
    return pd.DataFrame(
        {
            "place": region.place.name,
            "way": way,
            "season": one.season,
            "month": one.month,
            "p10_days": one.days.p10,
            "p50_days": one.days.p50,
            "p90_days": one.days.p90,
            "mean_days": one.days.mean,
        }
        for region in answer.regions
        for way, seasons in region.days.items()
        for one in seasons
    )


def save(
    answer: SheetAnswer,
    path: Path,
    *,
    date: dt.date,
    units: Units,
    paper: Paper,
    form: Form,
    photo: Path | None,
    language: str,
) -> None:
    """Write the sheet to a file; otherwise as `SheetAnswer.save`."""
    check_sheet_path(path, field="path")
    check_writable(path)
    load_texts(language)
    picture = None if photo is None else read_photo(photo)
    content = sheet_bytes(
        sheet_document(answer, date=date),
        path.suffix.lower(),
        units=units,
        paper=paper,
        form=form,
        photo=picture,
        language=language,
    )
    write_file(path, content)


def _days(region: Region, way: Any) -> str:
    return ", ".join(days_cell(one.days.p50, one.days.follow_days) for one in region.days[way])
