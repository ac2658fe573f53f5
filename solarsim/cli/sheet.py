"""The command of the buyer's sheet."""

from __future__ import annotations

import datetime as dt
import inspect
import sys
from pathlib import Path
from typing import Annotated, Any, Literal

import typer

from solarsim.cli.options import (
    Asks,
    JsonOption,
    about_a_question,
    check_json,
    console,
    emit,
    progress_bar,
)
from solarsim.errors import InputError

__all__ = ["sheet"]

# The sheet has three ways of living and four seasons of its own.
_NOT_ASKED = ("profile", "month")

WayOption = Annotated[
    str | None, typer.Option(help="Load profile of this way of living, a TOML file or a name.")
]


@about_a_question
def _sheet(
    ask: Asks,
    region: Annotated[
        list[str] | None,
        typer.Option(help="One more place, up to three; a town or coordinates. May be repeated."),
    ] = None,
    light: WayOption = None,
    typical: WayOption = None,
    heavy: WayOption = None,
    output: Annotated[
        list[Path] | None,
        typer.Option(
            "--output",
            "-o",
            help="Write the sheet: .pdf, .html, or .png of its page. May be repeated.",
        ),
    ] = None,
    square: Annotated[
        Path | None, typer.Option(help="Write a square card for a listing, .png.")
    ] = None,
    portrait: Annotated[
        Path | None, typer.Option(help="Write a tall card for a listing, .png.")
    ] = None,
    paper: Annotated[Literal["a4", "letter"], typer.Option(help="Size of the page.")] = "a4",
    units: Annotated[
        Literal["metric", "us"], typer.Option(help="Units that stand first where both are shown.")
    ] = "metric",
    photo: Annotated[
        Path | None, typer.Option(help="Photo of the van: .jpg, .png or .webp up to 20 MB.")
    ] = None,
    annex: Annotated[
        bool, typer.Option("--annex", help="Add the builder's pages to .pdf and .html.")
    ] = False,
    date: Annotated[
        str | None, typer.Option(help="Date on the sheet, year-month-day. [default: today]")
    ] = None,
    json: JsonOption = None,
) -> None:
    """Make the buyer's sheet: one page on how long the van lasts, where, when and how lived in."""
    check_json(json)
    from solarsim.answers.sheet.sheet import sheet as answer_sheet
    from solarsim.inputs.files.write import check_writable, write_file
    from solarsim.inputs.profile import read_profile
    from solarsim.present.sheet.document import sheet_document
    from solarsim.present.sheet.make import check_sheet_path, sheet_bytes
    from solarsim.present.sheet.photo import read_photo

    outputs = output or []
    for path in outputs:
        check_sheet_path(path)
        check_writable(path)
    for field, card in (("--square", square), ("--portrait", portrait)):
        if card is not None:
            if card.suffix.lower() != ".png":
                raise InputError("must end in .png", source=str(card), field=field)
            check_writable(card)
    day = _date(date)
    picture = None if photo is None else read_photo(photo)
    ways = {
        name: None if given is None else read_profile(given)
        for name, given in (("light", light), ("typical", typical), ("heavy", heavy))
    }
    question = ask()
    with progress_bar("asking for the sheet") as progress:
        answer = answer_sheet(
            question, regions=region or (), **ways, annex=annex, progress=progress
        )
    document = sheet_document(answer, date=day)
    made = [
        (path, sheet_bytes(document, path.suffix.lower(), units=units, paper=paper, photo=picture))
        for path in outputs
    ]
    if square is not None:
        made.append((square, sheet_bytes(document, ".png", form="square")))
    if portrait is not None:
        made.append((portrait, sheet_bytes(document, ".png", form="portrait")))
    for path, content in made:
        write_file(path, content)
    for warning in document["warnings"]:
        print(f"solarsim: before this sheet is handed out: {warning}", file=sys.stderr)
    if json is not None:
        emit(document, json)
    elif not made:
        from solarsim.present.sheet.text import print_sheet

        print_sheet(document, console(), units=units)


def sheet(**given: Any) -> None:
    """Refuse settings that would reach no way of living, then make the sheet."""
    from solarsim.inputs.profile import Profile

    for setting in given["settings"] or ():
        table = setting.partition(".")[0].strip()
        if table in Profile.model_fields:
            message = (
                "changes a load profile, and the sheet has three of its own; give files with "
                "--light, --typical, --heavy"
            )
            raise InputError(message, source=setting, field="--set")
    _sheet(**given, profile=None, month=None)


def _date(text: str | None) -> dt.date:
    if text is None:
        return dt.datetime.now().astimezone().date()
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        message = f"got '{text}'; must be a date such as 2026-03-01"
        raise InputError(message, field="--date") from None


# Typer reads these; the options that the sheet does not ask for are no options of it.
sheet.__doc__ = _sheet.__doc__
sheet.__signature__ = inspect.Signature(  # type: ignore[attr-defined]
    [p for p in inspect.signature(_sheet).parameters.values() if p.name not in _NOT_ASKED]
)
sheet.__annotations__ = {
    name: hint for name, hint in _sheet.__annotations__.items() if name not in _NOT_ASKED
}
