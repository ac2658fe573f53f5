"""The command of a folder of vans."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from solarsim.cli.options import JsonOption, RunsOption, SeedOption
from solarsim.cli.output import check_json, console, emit, progress_bar, tell_aside
from solarsim.errors import InputError
from solarsim.inputs.counts import count_text

__all__ = ["stock"]

FolderArgument = Annotated[Path, typer.Argument(help="A folder of vans' TOML files.")]
SheetsOption = Annotated[
    Path | None, typer.Option(help="Make every van's sheet into this folder, made if need be.")
]
AsOption = Annotated[
    list[str] | None,
    typer.Option(
        "--as",
        help="What a sheet is made as: pdf, html, png, or txt for the listing's texts. May be "
        "repeated.",
        show_default="pdf",
    ),
]
OutputOption = Annotated[
    Path | None, typer.Option("--output", "-o", help="Write the list as a table: .csv.")
]
DateOption = Annotated[
    str | None, typer.Option(help="Date on the sheets, year-month-day.", show_default="today")
]
LanguageOption = Annotated[
    str, typer.Option(help="Of the sheets: a code such as de; the list stays English.")
]


def stock(
    folder: FolderArgument = Path(),
    sheets: SheetsOption = None,
    kinds: AsOption = None,
    runs: RunsOption = None,
    seed: SeedOption = 1,
    output: OutputOption = None,
    date: DateOption = None,
    language: LanguageOption = "en",
    json: JsonOption = None,
) -> None:
    """A folder of vans as a list: days in winter and summer, findings, what changed.

    One row a van, with the days of its sheet, the findings of the electrical check by their worst
    level, and what changed since its sheet was last made here. A file that cannot be used is a row
    that says why; the others go on, and the command ends with 2.
    """
    from solarsim.answers.stock.stock import stock as answer_stock
    from solarsim.cli.output import check_file
    from solarsim.cli.sheet import check_language, sheet_date, tell_unreviewed
    from solarsim.inputs.files.write import write_file
    from solarsim.present.stock.document import stock_csv, stock_document
    from solarsim.present.stock.make import sheet_maker
    from solarsim.present.stock.text import print_stock

    check_json(json)
    check_file(output, ".csv", field="--output")
    if kinds and sheets is None:
        raise InputError("says what sheets are made as; give --sheets too", field="--as")
    check_language(language)
    day = sheet_date(date)
    made = (
        None
        if sheets is None
        else sheet_maker(
            folder, sheets, kinds or ["pdf"], date=day, field="--as", language=language
        )
    )
    with progress_bar("asking for the vans") as progress:
        answer = answer_stock(
            folder, runs=runs, seed=seed, made=made, date=day.isoformat(), progress=progress
        )
    if sheets is not None:
        tell_unreviewed(language, "sheet")
    if output is not None:
        write_file(output, stock_csv(answer).encode())
    if json is not None:
        emit(stock_document(answer), json)
    elif output is None:
        print_stock(answer, console())
    if answer.broken:
        files = ", ".join(van.file for van in answer.broken)
        count = f"{len(answer.broken)} of {count_text(len(answer.vans), 'van')}"
        tell_aside(f"{count} cannot be used: {files}")
        raise typer.Exit(2)
