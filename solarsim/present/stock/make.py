"""Make the sheets of a folder of vans, each under the name of its van's file."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path

from solarsim.answers.sheet.sheet import SheetAnswer
from solarsim.answers.stock.kept import KEPT_NAME
from solarsim.answers.stock.stock import Made
from solarsim.errors import InputError
from solarsim.inputs.files.write import check_writable, write_file
from solarsim.present.sheet.document import sheet_document
from solarsim.present.sheet.make import sheet_bytes
from solarsim.present.sheet.texts import load_texts

__all__ = ["KINDS", "sheet_maker"]

KINDS = ("pdf", "html", "png", "txt")


def sheet_maker(
    vans: Path,
    folder: Path,
    kinds: Sequence[str],
    *,
    date: dt.date,
    field: str = "kinds",
    language: str = "en",
) -> Made:
    """Return what writes a van's sheet into a folder, which is made where it is not there.

    Parameters
    ----------
    vans : Path
        Folder of the vans, which keeps a note of the sheets.
    folder : Path
        Of the sheets.
    kinds : sequence of str
        Of `KINDS`, the first of which a row names.
    date : datetime.date
        On the sheets.
    field : str
        Where the kinds were given, for the message.
    language : str
        Of the sheets.

    Raises
    ------
    InputError
        Another kind or language, or a folder that cannot be written to, before any work is done
        for it.
    """
    for kind in kinds:
        if kind not in KINDS:
            raise InputError(f"got {kind!r}; known: {', '.join(KINDS)}", field=field)
    load_texts(language)
    if not vans.is_dir():
        raise InputError("is no folder of vans", source=str(vans))
    try:
        folder.mkdir(exist_ok=True)
    except OSError as error:
        message = f"cannot be made a folder: {error.strerror}"
        raise InputError(message, source=str(folder), field="--sheets") from None
    check_writable(folder / "sheet.pdf")
    check_writable(vans / KEPT_NAME)

    def made(file: Path, answer: SheetAnswer) -> Path:
        document = sheet_document(answer, date=date)
        paths = [folder / f"{file.stem}-sheet.{kind}" for kind in kinds]
        contents = [sheet_bytes(document, path.suffix, language=language) for path in paths]
        for path, content in zip(paths, contents, strict=True):
            write_file(path, content)
        return paths[0]

    return made
