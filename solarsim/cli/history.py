"""Commands about real years and real logs."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from solarsim.cli.options import (
    EXAMPLE_VAN,
    ClimateOption,
    DaysOption,
    JsonOption,
    MonthOption,
    PlaceOption,
    PlotOption,
    ProfileOption,
    RunsOption,
    SeedOption,
    SetOption,
    VanArgument,
    WeatherOption,
    YearsOption,
    asked,
)
from solarsim.cli.output import (
    check_json,
    check_plot,
    progress_bar,
    tell,
    tell_aside,
)
from solarsim.errors import InputError

__all__ = ["calibrate", "history"]

LogArgument = Annotated[Path, typer.Argument(help="A battery monitor's export as CSV.")]
ColumnsOption = Annotated[
    str | None,
    typer.Option(help="Headings, if guessed wrongly: 'time=When,soc=Charge,current=Amps'."),
]
TimezoneOption = Annotated[
    str | None,
    typer.Option(help="Clock of the stamps.", show_default="the place's local time"),
]
PositiveOption = Annotated[
    str | None, typer.Option(help="Whether a positive current flows 'in' or 'out'.")
]
OutOption = Annotated[
    Path | None, typer.Option(help="Write the calibrated van, and its loads beside it: .toml.")
]


def history(
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
    years: YearsOption = "2005-2024",
    json: JsonOption = None,
    plot: PlotOption = None,
) -> None:
    """Answer the stay in every real year, the worst and the best named, beside the climate."""
    check_plot(plot)
    check_json(json)
    from solarsim.answers.history import history as answer_history
    from solarsim.present.history.text import history_document, missing_text, print_history
    from solarsim.weather.years.history import damaged_years, history_series, years_at_hand
    from solarsim.weather.years.online import read_years

    wanted = read_years(years)
    question = asked(van, profile, place, month, days, weather, climate, runs, seed, settings)
    series = question.series if question.on_file else None
    missing: tuple[int, ...] = ()
    if series is None:
        at_hand, missing = years_at_hand(question.place, wanted)
        if missing:
            tell_aside(missing_text(missing, len(at_hand), damaged_years(question.place)))
        if at_hand:
            series = history_series(question.place, at_hand)
    with progress_bar() as progress:
        answer = answer_history(question, series, missing_years=missing, progress=progress)
    if plot is not None:
        from solarsim.inputs.files.write import write_file
        from solarsim.present.history.chart import history_bytes

        write_file(plot, history_bytes(answer, plot.suffix.lower()))
    tell(answer, json, print_history, history_document)


def calibrate(
    log: LogArgument,
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
    columns: ColumnsOption = None,
    timezone: TimezoneOption = None,
    positive: PositiveOption = None,
    out: OutOption = None,
    json: JsonOption = None,
    plot: PlotOption = None,
) -> None:
    """Hold the van against a battery monitor's log: load, light, capacity, and the promise."""
    check_json(json)
    check_plot(plot)
    _check_out(out)
    from solarsim.answers.calibrate.calibrate import calibrate as answer_calibrate
    from solarsim.answers.calibrate.log import LOG_QUANTITIES, read_log
    from solarsim.answers.calibrate.weather import history_of_hours
    from solarsim.inputs.files.write import write_file
    from solarsim.present.calibrate.text import (
        calibrate_document,
        calibrated_files,
        print_calibrate,
    )
    from solarsim.weather.readers.tables.text import read_columns_option

    named = read_columns_option(columns, LOG_QUANTITIES, source="--columns")
    question = asked(van, profile, place, month, days, weather, climate, runs, seed, settings)
    found = read_log(
        log, question.van, question.place, columns=named, timezone=timezone, positive=positive
    )
    series = question.series if question.on_file else None
    if series is None:
        series = history_of_hours(question.place, found.times)
    answer = answer_calibrate(question, found, series)
    files: dict[Path, bytes] = {}
    if plot is not None:
        from solarsim.present.calibrate.chart import calibrate_bytes

        files[plot] = calibrate_bytes(answer, plot.suffix.lower())
    if out is not None:
        texts = calibrated_files(answer, out.stem)
        files |= {out.with_name(name): content for name, content in texts.items()}
    tell(answer, json, print_calibrate, calibrate_document)
    for path, content in files.items():
        write_file(path, content)


def _check_out(out: Path | None) -> None:
    """Refuse a file for the calibrated van that could not be written, before any work for it."""
    if out is not None:
        from solarsim.inputs.files.write import check_writable

        if out.suffix.lower() != ".toml":
            raise InputError("must end in .toml", source=str(out), field="--out")
        check_writable(out)
