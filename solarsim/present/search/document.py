"""The answer of a search as JSON (schema 1), as CSV, and its designs as van files."""

from __future__ import annotations

import dataclasses
from pathlib import Path
from typing import Any

from solarsim.answers.search.designs import BestDesign, SearchAnswer
from solarsim.errors import InputError
from solarsim.inputs.files.cells import csv_text
from solarsim.inputs.files.van import van_from_data
from solarsim.inputs.files.write import write_file
from solarsim.inputs.parts import without_part
from solarsim.inputs.van import Van

__all__ = ["check_folder", "rows", "search_csv", "search_document", "van_files", "write_vans"]

# A name takes 200 letters; the number needs its own.
_NAME_MOST = 180
_PARTS = {"panels": "panels", "battery": "batteries"}


def search_document(answer: SearchAnswer) -> dict[str, Any]:
    """Return the document of `search`: the best designs, and what became of the others."""
    question = answer.question
    return {
        "schema": 1,
        "van": question.van.van.name,
        "profile": question.profile.profile.name,
        "stay_days": question.van.stay.days,
        "runs": question.runs,
        "situations": [{"place": place, "month": month} for place, month in answer.situations],
        "target": answer.target,
        "meets_target": answer.meets,
        "choice": None if answer.choice is None else _design(answer.choice),
        "designs": [_design(one) for one in answer.designs],
        "candidates": answer.candidates,
        "excluded": [dataclasses.asdict(each) for each in answer.excluded],
        "short_of_target": answer.short_of_target,
        "reaching_stopped": answer.reaching_stopped,
        "reaching_stopped_by": [dataclasses.asdict(each) for each in answer.reaching_stopped_by],
        "stopped": answer.stopped,
        "stopped_by": [dataclasses.asdict(each) for each in answer.stopped_by],
        "beaten": answer.beaten,
        "warnings": list(answer.notes),
    }


def rows(answer: SearchAnswer) -> list[dict[str, Any]]:
    """Return one row a design, columns with their units."""
    return [
        {
            "panels": one.panels,
            "panel": one.panel,
            "tilt_deg": one.tilt_deg,
            "battery_units": one.units,
            "battery": one.battery,
            "capacity_ah": one.capacity_ah,
            "chemistry": one.chemistry,
            "dcdc_a": one.dcdc_a,
            "controller_a": one.controller_a,
            "price": one.price,
            "cost_in_panel_w": one.cost_in_panel_w,
            "parts_kg": one.parts_kg,
            "rise_m": one.rise_m,
            "p1_days": one.p1_days,
            "p10_days": one.p10_days,
            "chance_lasts_share": one.chance_lasts,
            "changes": "; ".join(one.changes),
            "doubt": one.doubt,
            "choice": one == answer.choice,
        }
        for one in answer.designs
    ]


def search_csv(answer: SearchAnswer) -> bytes:
    """Return the designs as CSV."""
    found = rows(answer)
    columns = list(found[0]) if found else ["panels"]
    return csv_text(columns, found, above=[f"target: {answer.target}"], digits=".9g").encode()


def van_files(answer: SearchAnswer) -> dict[str, bytes]:
    """Return every design as a van's file, by the file's name, in the order of the answer.

    Each is read back and held to the van that was searched.
    """
    import tomli_w

    files = {}
    for number, one in enumerate(answer.designs, start=1):
        van = _told(one, number, answer)
        data = van.model_dump(exclude_unset=True, exclude_none=True)
        for table, kind in _PARTS.items():
            data[table] = without_part(data[table], kind)
        name = f"design-{number:02d}.toml"
        if van_from_data(data, source=name) != van:
            raise ValueError(f"{name} does not say the van that was searched")
        files[name] = tomli_w.dumps(data).encode()
    return files


def _told(design: BestDesign, number: int, answer: SearchAnswer) -> Van:
    """The van, called by its number and described by what changes."""
    van = design.van
    changes = "; ".join(design.changes) or "the van as it is"
    lived = f"profile '{answer.question.profile.profile.name}'"
    about = f"Design {number} of a search for {answer.target}, {lived}: {changes}"
    name = f"{van.van.name[:_NAME_MOST]}, design {number}"
    told = van.van.model_copy(update={"name": name, "description": about})
    return van.model_copy(update={"van": told})


def check_folder(folder: Path) -> None:
    """Refuse a folder that is none or already holds designs, before any work is done for it.

    Raises
    ------
    InputError
        So it is.
    """
    if folder.exists() and not folder.is_dir():
        raise InputError("is no folder", source=str(folder), field="--write")
    if not folder.exists() and not folder.parent.is_dir():
        raise InputError("its folder does not exist", source=str(folder), field="--write")
    if any(folder.glob("design-*.toml")):
        raise InputError(
            "already holds designs; name a new folder", source=str(folder), field="--write"
        )


def write_vans(answer: SearchAnswer, folder: Path) -> list[Path]:
    """Write every design as a van's file.

    Raises
    ------
    InputError
        A file that cannot be written.
    """
    files = van_files(answer)
    try:
        folder.mkdir(exist_ok=True)
    except OSError as error:
        raise InputError(f"cannot be made: {error.strerror}", source=str(folder)) from None
    for name, content in files.items():
        write_file(folder / name, content)
    return [folder / name for name in files]


def _design(one: BestDesign) -> dict[str, Any]:
    return {
        field.name: getattr(one, field.name)
        for field in dataclasses.fields(one)
        if field.name not in ("van", "situations", "changes")
    } | {
        "changes": list(one.changes),
        "situations": [dataclasses.asdict(each) for each in one.situations],
    }
