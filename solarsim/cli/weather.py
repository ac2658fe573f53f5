"""Commands about the weather that the answers stand on."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from solarsim.cli.options import (
    JsonOption,
    PlaceOption,
    PlotOption,
    YearsOption,
    whole_paragraphs,
)
from solarsim.cli.output import (
    check_json,
    check_plot,
    console,
    progress_bar,
    tell,
    tell_aside,
)
from solarsim.errors import HistoryError, InputError, PlaceError, WeatherFileError

if TYPE_CHECKING:
    from solarsim.weather.readers.csv import CsvStatement

__all__ = ["climate", "weather_app"]

weather_app = typer.Typer(help="Hourly history from the network, and what a weather file is worth.")

UrlOption = Annotated[
    str | None, typer.Option(help="Another address that answers as NASA POWER does.")
]
AgainOption = Annotated[
    bool, typer.Option("--again", help="Fetch also the years that are in the cache.")
]
FileArgument = Annotated[Path, typer.Argument(help="EPW, TMY3, TMY2, NSRDB CSV or plain CSV.")]
TimezoneOption = Annotated[
    str | None, typer.Option(help="Clock of a plain CSV: 'UTC+1' or 'Europe/Vienna'.")
]
ColumnsOption = Annotated[
    str | None,
    typer.Option(help="Headings of a plain CSV: 'time=Timestamp,ghi=G(h),temp=T2m'."),
]
StampOption = Annotated[
    str | None, typer.Option(help="What a stamp marks: start, middle or end of its step.")
]
LightUnitOption = Annotated[
    str | None, typer.Option(help="Unit of the light where headings do not say: kWh/m2 ...")
]
RepairOption = Annotated[
    bool, typer.Option("--repair", help="Mend stamps off by hours, and light at night.")
]
OutOption = Annotated[
    Path | None, typer.Option(help="Write the hours as a .csv that states all of it itself.")
]


def climate(
    place: PlaceOption = None,
    json: JsonOption = None,
    plot: PlotOption = None,
) -> None:
    """Light and temperature month by month, how sure they are, and where not to trust them."""
    check_plot(plot)
    check_json(json)
    from solarsim.answers.climate import climate as answer_climate
    from solarsim.inputs.stay import DEFAULT_PLACE
    from solarsim.present.climate.text import climate_document, print_climate
    from solarsim.weather.places import find_place

    answer = answer_climate(find_place(DEFAULT_PLACE if place is None else place))
    if plot is not None:
        from solarsim.inputs.files.write import write_file
        from solarsim.present.climate.chart import climate_bytes

        write_file(plot, climate_bytes(answer, plot.suffix.lower()))
    tell(answer, json, print_climate, climate_document)


def weather_get(
    place: PlaceOption = None,
    years: YearsOption = "2005-2024",
    again: AgainOption = False,
    url: UrlOption = None,
) -> None:
    """Fetch hourly years from NASA POWER into the user's cache, once; the only use of a network.

    A year is checked before it is kept: its place, its hours, its light and warmth. An answer may
    take 20 MB and two minutes, and comes from the host that was asked.
    """
    from solarsim.answers.history import months_of_years
    from solarsim.inputs.stay import DEFAULT_PLACE
    from solarsim.present.history.text import print_months
    from solarsim.weather.climate.bundle import load_site_climate
    from solarsim.weather.climate.monthly import monthly_table
    from solarsim.weather.places import find_place
    from solarsim.weather.years.history import (
        LEAST_YEARS,
        cached_years,
        damaged_years,
        history_folder,
        history_series,
        years_at_hand,
        years_text,
    )
    from solarsim.weather.years.online import DEFAULT_URL, download_years, read_years

    wanted = read_years(years)
    where = find_place(DEFAULT_PLACE if place is None else place)
    damaged = [year for year in damaged_years(where) if year in wanted]
    if damaged:
        tell_aside(f"damaged in the cache and fetched again: {years_text(damaged)}")
    try:
        with progress_bar("fetching years") as progress:
            got = download_years(
                where, wanted, again=again, url=url or DEFAULT_URL, progress=progress
            )
        told = f"{len(got)} of {len(wanted)} years fetched now; all in {history_folder(where)}"
    except HistoryError as error:
        told = str(error)
    at_hand, _ = years_at_hand(where, wanted)
    tell_aside(told if at_hand else f"{told}; answers go on from the embedded climate")
    if at_hand and len(cached_years(where)) >= LEAST_YEARS:
        tell_aside("`--climate history` takes them instead of the embedded climate")
    found = months_of_years(history_series(where, at_hand)) if at_hand else None
    try:
        climate = monthly_table(where, load_site_climate(where))
    except PlaceError:
        climate = None
    title = f"Light at {where.name}" + (f", {years_text(at_hand)}" if at_hand else "")
    print_months(where, climate, found, title, console())


def weather_check(
    file: FileArgument,
    place: PlaceOption = None,
    timezone: TimezoneOption = None,
    columns: ColumnsOption = None,
    stamp: StampOption = None,
    light_unit: LightUnitOption = None,
    repair: RepairOption = False,
    out: OutOption = None,
    json: JsonOption = None,
) -> None:
    """Read a weather file and say whether to use it; --out makes it fit for --weather.

    Columns, clock and units of a plain CSV are guessed where they are not stated, and told. With
    --weather every window of the file that starts in the stay's month is a run. --repair moves
    stamps that are off by whole hours and sets the light of the night to zero.
    """
    check_json(json)
    from solarsim.present.history.quality import print_quality, quality_document
    from solarsim.weather.places import find_place
    from solarsim.weather.readers.csv import CSV_QUANTITIES, CsvStatement
    from solarsim.weather.readers.file import read_weather_file
    from solarsim.weather.readers.tables.text import read_columns_option
    from solarsim.weather.readers.write_csv import plain_csv

    if out is not None and out.suffix.lower() != ".csv":
        raise InputError("must end in .csv", source=str(out), field="--out")
    statement = CsvStatement(
        place=None if place is None else find_place(place),
        timezone=timezone,
        columns=read_columns_option(columns, CSV_QUANTITIES, source="--columns"),
        stamp=stamp,
        light_unit=light_unit,
    )
    try:
        series = read_weather_file(file, statement, repair=repair)
    except WeatherFileError as error:
        if not repair:
            _offer_repair(file, statement, error)
        raise
    if out is not None:
        from solarsim.inputs.files.write import write_file

        write_file(out, plain_csv(series).encode())
    tell(series, json, print_quality, quality_document)


def _offer_repair(file: Path, statement: CsvStatement, error: WeatherFileError) -> None:
    """Refuse a file with the word that the repair makes it readable, where it does."""
    from solarsim.present.history.quality import repair_words
    from solarsim.weather.readers.file import read_weather_file
    from solarsim.weather.years.verdict import repairs_of

    try:
        repaired = read_weather_file(file, statement, repair=True)
    except WeatherFileError:
        return
    words = repair_words(repairs_of(repaired))
    message = f"{error.message}. {words}".rstrip(".")
    raise WeatherFileError(message, source=error.source, field=error.field) from None


for name, command in (("get", weather_get), ("check", weather_check)):
    weather_app.command(name, help=whole_paragraphs(command))(command)
