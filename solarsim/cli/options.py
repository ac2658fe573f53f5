"""Options that the commands share, and the question that they put together.

Each command names the options it takes, in this order, and hands them to `asked`; Typer reads its
signature and nothing else.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from solarsim.answers.question import Question

__all__ = [
    "EXAMPLE_VAN",
    "ClimateOption",
    "DaysOption",
    "JsonOption",
    "MonthOption",
    "PlaceOption",
    "PlacesOption",
    "PlotOption",
    "ProfileOption",
    "RunsOption",
    "SeedOption",
    "SetOption",
    "VanArgument",
    "WeatherOption",
    "YearsOption",
    "asked",
    "whole_paragraphs",
]

EXAMPLE_VAN = "weekender"

VanArgument = Annotated[
    str, typer.Argument(metavar="[VAN]", help="A van's TOML file, or a shipped example's name.")
]
ProfileOption = Annotated[
    str | None, typer.Option(help="Load profile: a TOML file or a shipped example's name.")
]
PlaceOption = Annotated[
    str | None, typer.Option(help="A town ('Salzburg, AT') or 'latitude, longitude'.")
]
MonthOption = Annotated[int | None, typer.Option(help="Month of the stay, 1 to 12.")]
DaysOption = Annotated[int | None, typer.Option(help="Length of the stay, days.")]
WeatherOption = Annotated[
    str | None,
    typer.Option(help="EPW, TMY3, TMY2, NSRDB or plain CSV file, not the embedded climate."),
]
ClimateOption = Annotated[
    str | None,
    typer.Option(
        help="Where the weather comes from: 'embedded', or 'history', the real years that "
        "`solarsim weather get` has fetched.",
        show_default="the van's",
    ),
]
RunsOption = Annotated[
    int | None,
    typer.Option(help="Weather runs; by default 700, or all windows of a file or of real years."),
]
SeedOption = Annotated[int, typer.Option(help="The same seed gives the same answer.")]
SetOption = Annotated[
    list[str] | None,
    typer.Option(
        "--set",
        metavar="TABLE.FIELD=VALUE",
        help="Override any key of the van or the profile (`solarsim keys`).",
    ),
]
PlotOption = Annotated[
    Path | None, typer.Option(help="Draw the answer into a file: .html, .png or .svg.")
]
PlacesOption = Annotated[
    Path | None,
    typer.Option(help="CSV of places, each answered; heading 'place', or 'latitude,longitude'."),
]
YearsOption = Annotated[str, typer.Option(help="Real years, such as 2005-2024.")]
JsonOption = Annotated[
    str | None,
    typer.Option(
        "--json", metavar="[FILE]", help="Write JSON to FILE.json, or to standard output."
    ),
]


def asked(
    van: str,
    profile: str | None,
    place: str | None,
    month: int | None,
    days: int | None,
    weather: str | None,
    climate: str | None,
    runs: int | None,
    seed: int,
    settings: list[str] | None,
    *,
    with_loads: bool = True,
) -> Question:
    """Put together the question of the options that every question has.

    Raises
    ------
    InputError
        Anything in it that cannot be used.
    """
    from solarsim.answers.question import ask

    return ask(
        van,
        profile=profile,
        place=place,
        month=month,
        days=days,
        weather=weather,
        climate=climate,
        runs=runs,
        seed=seed,
        settings=settings or (),
        with_loads=with_loads,
    )


def whole_paragraphs(command: Callable[..., None]) -> str:
    """Return a command's docstring for its help: Typer would keep the line breaks of the source."""
    paragraphs = inspect.cleandoc(command.__doc__ or "").split("\n\n")
    return "\n\n".join(" ".join(paragraph.split()) for paragraph in paragraphs)
