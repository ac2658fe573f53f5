"""Commands of what is wired and bought."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

import typer

from solarsim.cli.options import (
    EXAMPLE_VAN,
    ClimateOption,
    DaysOption,
    JsonOption,
    MonthOption,
    PlaceOption,
    ProfileOption,
    RunsOption,
    SeedOption,
    SetOption,
    VanArgument,
    WeatherOption,
    asked,
)
from solarsim.cli.output import check_json, tell

__all__ = ["buy", "wiring"]

PlanOption = Annotated[
    list[Path] | None,
    typer.Option(
        "--output",
        "-o",
        help="Write the plan: the picture as .svg or .png; picture, table of runs and test sheet "
        "as .pdf or .html; the runs as .csv; all of it as .json. May be repeated.",
    ),
]
ListOption = Annotated[
    list[Path] | None,
    typer.Option(
        "--output",
        "-o",
        help="Write the list: .csv, .xlsx, .html, .pdf or .json. May be repeated.",
    ),
]
PricesOption = Annotated[
    str | None,
    typer.Option(help="Prices and weights of parts, a TOML file or a shipped example's name."),
]
PaperOption = Annotated[Literal["a4", "letter"], typer.Option(help="Size of a PDF's pages.")]


def wiring(
    van: VanArgument = EXAMPLE_VAN,
    profile: ProfileOption = None,
    place: PlaceOption = None,
    month: MonthOption = None,
    days: DaysOption = None,
    weather: WeatherOption = None,
    climate: ClimateOption = None,
    runs: RunsOption = None,
    seed: SeedOption = 1,
    settings: SetOption = None,
    output: PlanOption = None,
    paper: PaperOption = "a4",
    json: JsonOption = None,
) -> None:
    """The wiring plan: a single-line diagram, every run, and the test sheet before power-up.

    Every run has its number, conductor in AWG and mm2, length and fuse, on the picture as in the
    table. What the check stops stands in red on top of it and at the run.
    """
    from solarsim.answers.wiring.wiring import wiring as answer_wiring
    from solarsim.inputs.files.write import check_writable, write_file
    from solarsim.present.wiring.document import wiring_document
    from solarsim.present.wiring.make import check_plan_path, plan_bytes
    from solarsim.present.wiring.text import print_wiring

    check_json(json)
    for path in output or ():
        check_plan_path(path)
        check_writable(path)
    question = asked(van, profile, place, month, days, weather, climate, runs, seed, settings)
    answer = answer_wiring(question)
    made = [(path, plan_bytes(answer, path.suffix.lower(), paper=paper)) for path in output or ()]
    for path, content in made:
        write_file(path, content)
    if json is not None or not made:
        tell(answer, json, print_wiring, wiring_document)


def buy(
    van: VanArgument = EXAMPLE_VAN,
    profile: ProfileOption = None,
    place: PlaceOption = None,
    month: MonthOption = None,
    days: DaysOption = None,
    weather: WeatherOption = None,
    climate: ClimateOption = None,
    runs: RunsOption = None,
    seed: SeedOption = 1,
    settings: SetOption = None,
    prices: PricesOption = None,
    output: ListOption = None,
    paper: PaperOption = "a4",
    json: JsonOption = None,
) -> None:
    """What to buy: parts, cables by size and colour, fuses, lugs; what it costs and weighs.

    Prices are your own (`--prices FILE.toml`, `solarsim keys prices`). Weights that no file gives
    are plain examples by class. With `van.payload_kg` it tells what is left of the payload.
    """
    from solarsim.answers.buy.buy import buy as answer_buy
    from solarsim.inputs.files.write import check_writable, write_file
    from solarsim.inputs.prices import read_prices
    from solarsim.present.buy.document import buy_document
    from solarsim.present.buy.make import check_list_path, list_bytes
    from solarsim.present.buy.text import print_buy

    check_json(json)
    for path in output or ():
        check_list_path(path)
        check_writable(path)
    given = None if prices is None else read_prices(prices)
    question = asked(van, profile, place, month, days, weather, climate, runs, seed, settings)
    answer = answer_buy(question, given, source=prices or "")
    made = [(path, list_bytes(answer, path.suffix.lower(), paper=paper)) for path in output or ()]
    for path, content in made:
        write_file(path, content)
    if json is not None or not made:
        tell(answer, json, print_buy, buy_document)
