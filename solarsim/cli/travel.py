"""Commands about where a van goes."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from solarsim.cli.options import (
    EXAMPLE_VAN,
    JsonOption,
    PlotOption,
    ProfileOption,
    RunsOption,
    SeedOption,
    SetOption,
    VanArgument,
    asked,
)
from solarsim.cli.output import check_file, check_json, check_plot, progress_bar, tell

__all__ = ["trip"]

EXAMPLE_TRIP = "northern-spring"

TripArgument = Annotated[
    str,
    typer.Argument(
        metavar="[TRIP]", help="A trip's TOML file, a CSV of stops, or a shipped example's name."
    ),
]
CsvOption = Annotated[
    Path | None, typer.Option("--csv", help="Write the stops as a table: FILE.csv.")
]


def trip(
    stops: TripArgument = EXAMPLE_TRIP,
    van: VanArgument = EXAMPLE_VAN,
    profile: ProfileOption = None,
    runs: RunsOption = None,
    seed: SeedOption = 1,
    settings: SetOption = None,
    json: JsonOption = None,
    csv: CsvOption = None,
    plot: PlotOption = None,
) -> None:
    """Whether one bank gets the van through several stops, where it fails, and what would help.

    The stops' places and dates take the place of the van's stay; its parking and start_soc count.
    """
    check_plot(plot)
    check_json(json)
    check_file(csv, ".csv", field="--csv")
    from solarsim.answers.trip.trip import trip as answer_trip
    from solarsim.inputs.files.trip import read_trip
    from solarsim.inputs.files.write import write_file
    from solarsim.present.trip.charts import trip_bytes
    from solarsim.present.trip.documents import csv_bytes, trip_document
    from solarsim.present.trip.text import print_trip

    where = read_trip(stops)
    question = asked(van, profile, None, None, None, None, None, runs, seed, settings)
    with progress_bar() as progress:
        answer = answer_trip(question, where, source=stops, progress=progress)
    if plot is not None:
        write_file(plot, trip_bytes(answer, plot.suffix.lower()))
    if csv is not None:
        write_file(csv, csv_bytes(answer))
    tell(answer, json, print_trip, trip_document)
