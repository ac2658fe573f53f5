"""A region on a terminal, and its headline."""

from __future__ import annotations

from rich.console import Console
from rich.table import Table
from rich.text import Text

from solarsim.answers.region.region import RegionAnswer
from solarsim.answers.region.summary import MonthOfRegion, months_of_region
from solarsim.inputs.counts import count_text
from solarsim.inputs.percent import percent
from solarsim.present.stay.text import days_cell, plain, print_list
from solarsim.present.words import CAUTIONS, MAP_CAUTION, days_text, month_name

__all__ = ["cell_label", "print_region", "region_headline"]


def region_headline(answer: RegionAnswer) -> str:
    """Return the first van in one sentence: over how much of the land it lasts, and when least."""
    asked, stay = answer.asked, answer.asked.vans[0].stay
    rows = [row for row in months_of_region(answer) if row.van == 0]
    worst = min(rows, key=lambda row: (row.land_share, row.p50_middle_days))
    named = f"the van '{asked.van_names[0]}'"
    lasts = (
        f"lasts {count_text(stay.days, 'day')} with a chance of {percent(stay.target_chance)} or "
        f"more over {percent(worst.land_share)} of the land; in half of the runs and on half of "
        f"the land it lasts {days_text(worst.p50_middle_days, asked.follow_days)}"
    )
    where = asked.cells.region.name
    if len(rows) == 1:
        return f"{month_name(worst.month)}, {where}: {named} {lasts}."
    return f"{where}, worst in {month_name(worst.month)}: {named} {lasts} then."


def cell_label(answer: RegionAnswer, index: int) -> str:
    """Name a cell by its largest town, else by its centre."""
    cell = answer.asked.cells.cells[index]
    north, east = cell.latitude_deg, cell.longitude_deg
    centre = f"{abs(north):.2f} {'NS'[north < 0]}, {abs(east):.2f} {'EW'[east < 0]}"
    return f"{cell.town.name} ({centre})" if cell.town else centre


def print_region(answer: RegionAnswer, console: Console) -> None:
    """Print how much of the land carries each van in each month."""
    asked, first = answer.asked, answer.asked.questions[0][0]
    console.print(plain(region_headline(answer), "bold"))
    console.print(
        plain(
            f"{first.profile.profile.name}; {count_text(int(answer.answered.sum()), 'cell')} of "
            f"{asked.cells.step_deg:g} x {asked.cells.step_deg:g} degrees, "
            f"{count_text(first.runs, 'run')} of weather each."
        )
    )
    console.print()
    rows = months_of_region(answer)
    for van, name in enumerate(asked.van_names):
        console.print(_table(answer, name, [row for row in rows if row.van == van]))
    console.print(
        "Land: where the stay's target chance is met. Days to the first cut-off in half of the "
        "runs, where a tenth, half and nine tenths of the land do worse."
    )
    print_list("Taken as given", (*answer.notes, MAP_CAUTION), console)
    console.print(Text(CAUTIONS, style="italic"))


def _table(answer: RegionAnswer, name: str, rows: list[MonthOfRegion]) -> Table:
    stay, follow_days = answer.asked.vans[0].stay, answer.asked.follow_days
    title = plain(f"{name}, {count_text(stay.days, 'day')} at {percent(stay.target_chance)}")
    title.justify = "left"
    table = Table(title=title)
    table.add_column("month")
    for heading in ("land", "tenth", "half", "nine tenths"):
        table.add_column(heading, justify="right")
    table.add_column("worst around")
    for row in rows:
        days = (row.p50_low_days, row.p50_middle_days, row.p50_high_days)
        table.add_row(
            month_name(row.month)[:3],
            percent(row.land_share),
            *(days_cell(value, follow_days) for value in days),
            plain("" if row.worst_cell is None else cell_label(answer, row.worst_cell)),
        )
    return table
