"""The command that answers over a region."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from solarsim.cli.options import (
    EXAMPLE_VAN,
    DaysOption,
    JsonOption,
    PlotOption,
    ProfileOption,
    SeedOption,
    SetOption,
    asked,
)
from solarsim.cli.output import check_file, check_json, check_plot, progress_bar, tell, tell_aside
from solarsim.errors import InputError

if TYPE_CHECKING:
    from solarsim.answers.region.asked import RegionQuestion
    from solarsim.answers.region.region import RegionAnswer
    from solarsim.present.region.picture import Shown

__all__ = ["region"]

VansArgument = Annotated[
    list[str] | None,
    typer.Argument(
        metavar="[VAN]...",
        help="Up to four vans (TOML files or shipped examples' names); all carry the first one's "
        "people for its days.",
        show_default=EXAMPLE_VAN,
    ),
]
RegionOption = Annotated[
    str | None,
    typer.Option(
        help="A country ('ES'), a first-level area ('ES-AN', 'US-CO'), or 'south, west, north, "
        "east' in degrees.",
        show_default=False,
    ),
]
StepOption = Annotated[float, typer.Option(help="Side of a cell, degrees, 0.05 to 5.")]
MonthsOption = Annotated[
    str | None,
    typer.Option("--month", help="Months: '1', '1-3,12' or 'all'.", show_default="the stay's own"),
]
CellRunsOption = Annotated[int, typer.Option(help="Weather runs of each cell.")]
FollowDaysOption = Annotated[
    int | None, typer.Option(help="Days to follow.", show_default="14, or twice the stay")
]
CsvOption = Annotated[Path | None, typer.Option(help="Write the cells as a table.")]
GeojsonOption = Annotated[Path | None, typer.Option(help="Write the cells as polygons.")]
NetcdfOption = Annotated[
    Path | None, typer.Option(help="Write the grid as .nc (pip install 'solarsim\\[netcdf]').")
]
ShowOption = Annotated[
    str,
    typer.Option(help="What the picture shows: p50, p10, chance, bank, or difference (two vans)."),
]
KeepOption = Annotated[
    Path | None,
    typer.Option(
        help="Folder of what is done; the same question goes on from there.",
        show_default="beside the first file that is written",
    ),
]
WorkersOption = Annotated[
    int | None, typer.Option(min=1, help="Processes.", show_default="one for each processor")
]
SchedulerOption = Annotated[
    str | None,
    typer.Option(
        help="Dask scheduler whose workers answer, or 'local' for --workers here (pip install "
        "'solarsim\\[cluster]')."
    ),
]


def region(
    vans: VansArgument = None,
    region: RegionOption = None,
    step: StepOption = 0.5,
    month: MonthsOption = None,
    profile: ProfileOption = None,
    days: DaysOption = None,
    runs: CellRunsOption = 200,
    seed: SeedOption = 1,
    settings: SetOption = None,
    follow_days: FollowDaysOption = None,
    json: JsonOption = None,
    csv: CsvOption = None,
    geojson: GeojsonOption = None,
    netcdf: NetcdfOption = None,
    plot: PlotOption = None,
    show: ShowOption = "p50",
    keep: KeepOption = None,
    workers: WorkersOption = None,
    scheduler: SchedulerOption = None,
) -> None:
    """Days and chance over a region's land, cell by cell: where the van lasts, and in which months.

    A cell is answered as `stay` answers at its centre, at the height of its largest town. What is
    done is kept, so that an interrupted run goes on.
    """
    from solarsim.answers.region.cluster import check_cluster
    from solarsim.present.region.document import region_document
    from solarsim.present.region.netcdf import check_netcdf
    from solarsim.present.region.text import print_region

    check_json(json)
    check_plot(plot)
    check_file(csv, ".csv", field="--csv")
    check_file(geojson, ".geojson", field="--geojson")
    check_file(netcdf, ".nc", field="--netcdf")
    if netcdf is not None:
        check_netcdf()
    if scheduler is not None:
        check_cluster()
    question = _asked(vans, region, step, month, profile, days, runs, seed, settings, follow_days)
    shown = _shown(show, question, plot)
    if keep is None:
        keep = _beside([json, csv, geojson, netcdf, plot])
    answer = _answered(question, keep, workers, scheduler)
    for target, content in _files(csv, geojson, netcdf, plot, shown):
        from solarsim.inputs.files.write import write_file

        write_file(target, content(answer))
    tell(answer, json, print_region, region_document)


def _asked(
    vans: list[str] | None,
    region: str | None,
    step: float,
    month: str | None,
    profile: str | None,
    days: int | None,
    runs: int,
    seed: int,
    settings: list[str] | None,
    follow_days: int | None,
) -> RegionQuestion:
    from solarsim.answers.region.asked import ask_region, default_follow_days
    from solarsim.inputs.lists import read_counts

    if region is None:
        message = "give a country ('ES'), an area ('US-CO'), or 'south, west, north, east'"
        raise InputError(message, field="--region")
    text = "1-12" if month is not None and month.strip().lower() == "all" else month
    months = read_counts(text, field="--month", least=1, most=12)
    first, *beside = vans or [EXAMPLE_VAN]
    # Real years are fetched place by place; a region stands on the embedded climate.
    question = asked(first, profile, None, None, days, None, "embedded", runs, seed, settings)
    if follow_days is None:
        follow_days = default_follow_days(question.van.stay.days)
    question = question.replace(follow_days=follow_days)
    return ask_region(question, region, beside=beside, step_deg=step, months=months)


def _shown(show: str, question: RegionQuestion, plot: Path | None) -> Shown:
    """What the picture shows, refused before any work where it cannot be drawn."""
    from solarsim.present.region.picture import check_shown

    return check_shown(show, question, drawn=plot is not None)


def _beside(targets: list[str | Path | None]) -> Path | None:
    """A folder beside the first file that is written; none where all goes to the terminal."""
    for target in targets:
        if target is not None and target != "-":
            return Path(target).with_suffix(".blocks")
    return None


def _answered(
    question: RegionQuestion, keep: Path | None, workers: int | None, scheduler: str | None
) -> RegionAnswer:
    from solarsim.answers.region.region import region as answer_region

    try:
        with progress_bar("cells") as progress:
            return answer_region(
                question, keep=keep, workers=workers, scheduler=scheduler, progress=progress
            )
    except KeyboardInterrupt:
        if keep is not None:
            tell_aside(f"interrupted; what is done is in {keep}, and the same command goes on")
        raise


def _files(
    csv: Path | None,
    geojson: Path | None,
    netcdf: Path | None,
    plot: Path | None,
    shown: Shown,
) -> Iterator[tuple[Path, Callable[[RegionAnswer], bytes]]]:
    from solarsim.present.region.table import csv_bytes, geojson_bytes

    if csv is not None:
        yield csv, csv_bytes
    if geojson is not None:
        yield geojson, geojson_bytes
    if netcdf is not None:
        from solarsim.present.region.netcdf import netcdf_bytes

        yield netcdf, netcdf_bytes
    if plot is not None:
        from solarsim.present.region.page_map import map_bytes

        suffix = plot.suffix.lower()
        yield plot, lambda answer: map_bytes(answer, suffix, shown)
