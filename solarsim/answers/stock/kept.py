"""What a folder of vans keeps of the last sheets: a small file beside the vans."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field

from solarsim.errors import InputError
from solarsim.inputs.base import Record, parse_record
from solarsim.inputs.files.toml import read_text
from solarsim.inputs.files.write import write_file

__all__ = ["KEPT_NAME", "Kept", "KeptVan", "read_kept"]

KEPT_NAME = "solarsim-stock.json"
Days = Annotated[float, Field(ge=0.0, le=365.0)]


class KeptVan(Record):
    """What a van's last sheet stood on and said."""

    content: Annotated[str, Field(pattern="^[0-9a-f]{64}$")]
    """Checksum of what the van's files said."""
    date: Annotated[str, Field(max_length=40)]
    """Date on the sheet."""
    runs: Annotated[int, Field(ge=1)]
    """Weather runs of it."""
    seed: Annotated[int, Field(ge=0)]
    """Their seed."""
    winter_safe_days: Days
    """Days called safe in winter."""
    winter_p50_days: Days
    """Days that half of all stays reach in winter."""
    summer_safe_days: Days
    """Days called safe in summer."""
    summer_p50_days: Days
    """Days that half of all stays reach in summer."""
    worst: Literal["stop", "warn", "note", ""]
    """Worst finding of the electrical check."""


class Kept(Record):
    """What is kept of all vans of a folder."""

    schema_: Annotated[Literal[1], Field(alias="schema")] = 1
    """How the file is laid out."""
    vans: dict[str, KeptVan] = Field(default_factory=dict)
    """By the names of their files."""

    def with_van(self, folder: Path, file: str, van: KeptVan) -> Kept:
        """Return and write down what is kept, with a van in it."""
        vans = {**self.vans, file: van}
        document = {"schema": 1, "vans": {name: one.model_dump() for name, one in vans.items()}}
        text = json.dumps(document, indent=2, sort_keys=True, allow_nan=False) + "\n"
        write_file(folder / KEPT_NAME, text.encode())
        return self.model_copy(update={"vans": vans})


def read_kept(folder: Path) -> Kept:
    """Return what is kept of a folder's vans; nothing where no sheets were made.

    Raises
    ------
    InputError
        A file that is damaged; it may be deleted.
    """
    path = folder / KEPT_NAME
    if not path.exists():
        return Kept()
    source = f"{path} (may be deleted: then nothing is known of the last sheets)"
    try:
        data = json.loads(read_text(path, "JSON"))
    except (ValueError, RecursionError) as error:
        if isinstance(error, InputError):
            raise
        raise InputError("is no JSON", source=source) from None
    if not isinstance(data, dict):
        raise InputError("is no JSON of this program", source=source)
    return parse_record(Kept, data, source=source)
