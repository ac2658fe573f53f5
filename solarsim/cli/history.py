"""Commands about real years and real logs: thin, as all of the command line."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from solarsim.cli.options import (
    Asks,
    JsonOption,
    PlaceOption,
    PlotOption,
    about_a_question,
    check_json,
    check_plot,
    console,
    progress_bar,
    tell,
)
from solarsim.errors import HistoryError, InputError, PlaceError

if TYPE_CHECKING:
    from solarsim.answers.calibrate.calibrate import CalibrateAnswer

__all__ = ["calibrate", "history", "weather_app"]

weather_app = typer.Typer(help="Hourly history from the network, and what a weather file is worth.")

YearsOption = Annotated[str, typer.Option(help="Real years, such as 2005-2024.")]


@weather_app.command("get")
def weather_get(
    place: PlaceOption = None,
    years: YearsOption = "2005-2024",
    url: Annotated[
        str | None, typer.Option(help="Another address that answers as NASA POWER does.")
    ] = None,
) -> None:
    """Fetch hourly years from NASA POWER into the user's cache, once; the only use of a network."""
    from solarsim.answers.history import months_of_years
    from solarsim.inputs.stay import DEFAULT_PLACE
    from solarsim.present.history.text import print_months
    from solarsim.weather.climate.bundle import load_site_climate
    from solarsim.weather.climate.monthly import monthly_table
    from solarsim.weather.places import find_place
    from solarsim.weather.years.history import history_folder, history_series
    from solarsim.weather.years.online import DEFAULT_URL, download_years, read_years

    wanted = read_years(years)
    where = find_place(DEFAULT_PLACE if place is None else place)
    found = None
    title = f"Light at {where.name}"
    try:
        with progress_bar("fetching years") as progress:
            got = download_years(where, wanted, url=url or DEFAULT_URL, progress=progress)
    except HistoryError as error:
        _tell_aside(f"{error}; answers go on from the embedded climate")
    else:
        series = history_series(where, wanted)
        found = months_of_years(series)
        title += f", {years}"
        _tell_aside(
            f"{len(got)} of {len(wanted)} years fetched now; all in {history_folder(where)}"
        )
    try:
        climate = monthly_table(where, load_site_climate(where))
    except PlaceError:
        climate = None
    print_months(where, climate, found, title, console())


@weather_app.command("check")
def weather_check(
    file: Annotated[Path, typer.Argument(help="EPW, TMY3, TMY2, NSRDB CSV or plain CSV.")],
    place: PlaceOption = None,
    timezone: Annotated[
        str | None, typer.Option(help="Clock of a plain CSV: 'UTC+1' or 'Europe/Vienna'.")
    ] = None,
    columns: Annotated[
        str | None,
        typer.Option(help="Headings of a plain CSV: 'time=Timestamp,ghi=G(h),temp=T2m'."),
    ] = None,
    stamp: Annotated[
        str | None, typer.Option(help="What a stamp marks: start, middle or end of its step.")
    ] = None,
    light_unit: Annotated[
        str | None, typer.Option(help="Unit of the light where headings do not say: kWh/m2 ...")
    ] = None,
    out: Annotated[
        Path | None, typer.Option(help="Write the hours as a .csv that states all of it itself.")
    ] = None,
    json: JsonOption = None,
) -> None:
    """Read a weather file and report what it is worth; --out makes it fit for --weather."""
    check_json(json)
    from solarsim.present.history.text import print_quality, quality_document
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
    series = read_weather_file(file, statement)
    if out is not None:
        from solarsim.inputs.files.write import write_file

        write_file(out, plain_csv(series).encode())
    tell(series, json, print_quality, quality_document)


@about_a_question
def history(
    ask: Asks,
    years: YearsOption = "2005-2024",
    json: JsonOption = None,
    plot: PlotOption = None,
) -> None:
    """Answer the stay in every real year, the worst and the best named, beside the climate."""
    check_plot(plot)
    check_json(json)
    from solarsim.answers.history import history as answer_history
    from solarsim.present.history.text import history_document, print_history
    from solarsim.weather.years.history import cached_years, history_series
    from solarsim.weather.years.online import read_years

    wanted = read_years(years)
    question = ask()
    series = question.series
    if series is None:
        missing = [year for year in wanted if year not in cached_years(question.place)]
        if missing:
            _tell_aside(
                f"{len(missing)} of {len(wanted)} years are not in the cache; `solarsim weather "
                f"get` fetches them; answering from the embedded climate alone"
            )
        else:
            series = history_series(question.place, wanted)
    with progress_bar() as progress:
        answer = answer_history(question, series, progress=progress)
    if plot is not None:
        from solarsim.inputs.files.write import write_file
        from solarsim.present.history.chart import history_bytes

        write_file(plot, history_bytes(answer, plot.suffix.lower()))
    tell(answer, json, print_history, history_document)


@about_a_question
def calibrate(
    ask: Asks,
    log: Annotated[Path, typer.Argument(help="A battery monitor's export as CSV.")],
    columns: Annotated[
        str | None,
        typer.Option(help="Headings, if guessed wrongly: 'time=When,soc=Charge,current=Amps'."),
    ] = None,
    timezone: Annotated[
        str | None, typer.Option(help="Clock of the stamps. [default: the place's local time]")
    ] = None,
    positive: Annotated[
        str | None, typer.Option(help="Whether a positive current flows 'in' or 'out'.")
    ] = None,
    out: Annotated[
        Path | None, typer.Option(help="Write the calibrated van, and its loads beside it: .toml.")
    ] = None,
    json: JsonOption = None,
    plot: PlotOption = None,
) -> None:
    """Hold the van against a battery monitor's log: load, light, capacity, and the promise."""
    check_json(json)
    check_plot(plot)
    if out is not None:
        from solarsim.inputs.files.write import check_writable

        if out.suffix.lower() != ".toml":
            raise InputError("must end in .toml", source=str(out), field="--out")
        check_writable(out)
    from solarsim.answers.calibrate.calibrate import calibrate as answer_calibrate
    from solarsim.answers.calibrate.log import LOG_QUANTITIES, read_log
    from solarsim.answers.calibrate.weather import history_of_hours
    from solarsim.present.calibrate.text import (
        calibrate_document,
        calibrated_files,
        print_calibrate,
    )
    from solarsim.weather.readers.tables.text import read_columns_option

    named = read_columns_option(columns, LOG_QUANTITIES, source="--columns")
    question = ask()
    found = read_log(
        log, question.van, question.place, columns=named, timezone=timezone, positive=positive
    )
    series = question.series
    if series is None:
        series = history_of_hours(question.place, found.times)
    answer = answer_calibrate(question, found, series)
    pictures = {} if plot is None else {plot: _calibrate_bytes(answer, plot.suffix.lower())}
    texts = {} if out is None else calibrated_files(answer, out.stem)
    tell(answer, json, print_calibrate, calibrate_document)
    from solarsim.inputs.files.write import write_file

    for path, content in pictures.items():
        write_file(path, content)
    for name, content in texts.items():
        assert out is not None
        write_file(out.with_name(name), content)


def _calibrate_bytes(answer: CalibrateAnswer, suffix: str) -> bytes:
    from solarsim.present.calibrate.chart import calibrate_bytes

    return calibrate_bytes(answer, suffix)


def _tell_aside(line: str) -> None:
    print(f"solarsim: {line}", file=sys.stderr)
