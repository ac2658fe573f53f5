"""Answers that compare many designs, changes or months, on a terminal."""

from __future__ import annotations

from rich.console import Console
from rich.table import Table
from rich.text import Text

from solarsim.answers.bank import units_text
from solarsim.answers.levers import Lever, LeversAnswer
from solarsim.answers.seasons import MonthAnswer, SeasonsAnswer
from solarsim.answers.tune.designs import TuneAnswer, TunedDesign
from solarsim.inputs.counts import count_text
from solarsim.inputs.percent import chance_text
from solarsim.present.stay.text import circumstances, days_cell, plain, print_list
from solarsim.present.words import CAUTIONS, RESERVE, days_text, month_name

__all__ = [
    "design_text",
    "levers_headline",
    "print_levers",
    "print_seasons",
    "print_tune",
    "seasons_headline",
]

_ROWS = 12


def print_tune(answer: TuneAnswer, console: Console) -> None:
    """Print the choice, the chance by panels and units, and the line of best designs."""
    choice = answer.choice
    if choice is None:
        console.print(plain(f"No design will do: {answer.reason}.", "bold"))
    else:
        console.print(plain(f"Build {design_text(choice)}: {answer.reason}.", "bold"))
    console.print(circumstances(answer.question, answer.conditions))
    console.print()
    for kind in dict.fromkeys(_kind(design) for design in answer.designs):
        console.print(_chances(answer, kind))
    table = Table(title="The best for their size or price", title_justify="left")
    # With prices there is no room for both in 80 columns, and P90 is the least of a promise.
    priced = answer.designs[0].cost is not None
    names = ("panels", "units", "Ah", "contr. A", "chance", "P10", "P50")
    for name in (*names, "P90" if not priced else "cost", "refused Wh a day"):
        table.add_column(name, justify="right")
    shown = _worth_showing(answer)
    for design in shown:
        days = design.days
        table.add_row(
            str(design.panels),
            str(design.units),
            f"{design.capacity_ah:g}",
            f"{design.controller_a:g}",
            chance_text(design.chance_lasts),
            *(days_cell(value, days.horizon) for value in (days.p10, days.p50)),
            days_cell(days.p90, days.horizon) if design.cost is None else f"{design.cost:,.0f}",
            f"{design.refused_wh_per_day:z,.0f}",
            style="bold" if design == choice else None,
        )
    console.print(table)
    if len(shown) < len(answer.pareto):
        left = len(answer.pareto) - len(shown)
        console.print(f"{left} more of these are further from the target; the JSON has them all.")
    stops = answer.stops_paying
    if stops is None:
        console.print("Every panel looked at still pays on that bank.")
    else:
        console.print(
            f"Beyond {count_text(stops.panels, 'panel')}, more on that bank adds next to nothing."
        )
    notes = answer.notes + answer.question.notes + answer.conditions.notes
    print_list("Taken as given", notes, console)
    console.print(Text(CAUTIONS, style="italic"))


def levers_headline(answer: LeversAnswer) -> str:
    """Return in one sentence how things are before any change."""
    days = answer.days
    return (
        f"As it is, the van '{answer.question.van.van.name}' lasts "
        f"{days_text(days.p50, days.horizon)} (P10 {days_text(days.p10, days.horizon)}); chance of "
        f"{answer.dates.days} days: {chance_text(answer.chance_lasts)}."
    )


def print_levers(answer: LeversAnswer, console: Console) -> None:
    """Print the changes, most days gained first."""
    days = answer.days
    console.print(plain(levers_headline(answer), "bold"))
    console.print(circumstances(answer.question, answer.conditions))
    console.print()
    applied = [lever for lever in answer.levers if lever.skipped is None]
    console.print(_levers_table(answer, applied))
    if answer.ranked_by == "reserve":
        console.print(
            f"Days beyond the {days.horizon} followed do not count as gained: the changes are "
            "ranked by what they leave in the bank."
        )
    print_list("Warnings", answer.warnings, console)
    changed = tuple(f"{lever.name}: {said}" for lever in applied for said in lever.warnings)
    print_list("What a change would overload or break", changed, console)
    skipped = tuple(f"{lever.name}: {lever.skipped}" for lever in answer.levers if lever.skipped)
    print_list("Does not apply", skipped, console)
    if applied:
        console.print(plain(_costliest(applied, answer.ranked_by)))
    console.print(Text(CAUTIONS, style="italic"))


def seasons_headline(answer: SeasonsAnswer) -> str:
    """Return the worst month in one sentence."""
    stay = answer.question.van.stay
    worst = answer.months[answer.worst_month - 1]
    cause = f"({worst.ghi_kwh_m2_day:.1f} kWh/m2 of light a day, air {worst.temp_air_c:z.0f} C)"
    if answer.worst_by == "reserve":
        return (
            f"No month is worse than {month_name(answer.worst_month)} by its days: "
            f"{_reached(stay.days, worst)}. The bank comes "
            f"lowest then, with {worst.reserve_wh:,.0f} Wh left at the stay's lowest hour {cause}."
        )
    return (
        f"The worst month is {month_name(answer.worst_month)}: "
        f"{_reached(stay.days, worst)} {cause}."
    )


def _reached(stay_days: int, month: MonthAnswer) -> str:
    half = days_text(month.days.p50, month.days.horizon)
    return (
        f"the van lasts {count_text(stay_days, 'day')} in {chance_text(month.chance_lasts)} of "
        f"runs, and half of all runs reach {half}"
    )


def print_seasons(answer: SeasonsAnswer, console: Console) -> None:
    """Print twelve months with the light and warmth that cause the answer."""
    stay = answer.question.van.stay
    console.print(plain(seasons_headline(answer), "bold"))
    title = plain(
        f"{answer.question.van.van.name} with {answer.question.profile.profile.name} near "
        f"{answer.question.place.name}"
    )
    title.justify = "left"
    table = Table(title=title)
    table.add_column("month")
    for name in (f"{stay.days} days", "P10", "P50", "P90", RESERVE, "GHI", "air C", "load Wh"):
        table.add_column(name, justify="right")
    for month in answer.months:
        days = month.days
        table.add_row(
            month_name(month.month)[:3],
            chance_text(month.chance_lasts),
            *(days_cell(value, days.horizon) for value in (days.p10, days.p50, days.p90)),
            f"{month.reserve_wh:,.0f}",
            f"{month.ghi_kwh_m2_day:.2f}",
            f"{month.temp_air_c:z.1f}",
            f"{month.demand_wh_per_day:,.0f}",
            style="bold" if month.month == answer.worst_month else None,
        )
    console.print(table)
    console.print(
        "P10 to P90 in days to the first cut-off; reserve: left in the bank above its floor at the "
        "stay's lowest hour, mean over runs; GHI in kWh/m2 a day."
    )
    print_list("Taken as given", answer.notes, console)
    console.print(Text(CAUTIONS, style="italic"))


def _worth_showing(answer: TuneAnswer) -> list[TunedDesign]:
    """Those of the line of best designs whose chance is nearest to the target, in its order."""
    target = answer.question.van.stay.target_chance
    nearest = sorted(answer.pareto, key=lambda design: abs(design.chance_lasts - target))
    kept = {id(design) for design in nearest[:_ROWS]}
    return [d for d in answer.pareto if id(d) in kept or d == answer.choice]


def design_text(design: TunedDesign) -> str:
    """Name a design by its panels, controller and bank."""
    panels = "no panels"
    if design.panels:
        panels = (
            f"{count_text(design.panels, 'panel')} on a controller of {design.controller_a:g} A"
        )
    bank = f"{units_text(design.units)} ({design.capacity_ah:g} Ah {design.chemistry.upper()})"
    return f"{panels} and {bank}"


def _kind(design: TunedDesign) -> tuple[str, float, float]:
    return design.chemistry, design.dcdc_a, design.tilt_deg


def _chances(answer: TuneAnswer, kind: tuple[str, float, float]) -> Table:
    chemistry, dcdc_a, tilt_deg = kind
    table = Table(
        title=f"Chance of {answer.dates.days} days, panels across, units down "
        f"({chemistry.upper()}, DC-DC {dcdc_a:g} A, tilt {tilt_deg:g})",
        title_justify="left",
    )
    here = [design for design in answer.designs if _kind(design) == kind]
    panels = sorted({design.panels for design in here})
    table.add_column("units", justify="right")
    for count in panels:
        table.add_column(str(count), justify="right")
    cells = {(design.units, design.panels): design for design in here}
    for units in sorted({design.units for design in here}):
        row = [str(units)]
        for count in panels:
            design = cells[units, count]
            text = chance_text(design.chance_lasts)
            row.append(f"[{text}]" if design == answer.choice else text)
        table.add_row(*(Text(cell) for cell in row))
    return table


def _levers_table(answer: LeversAnswer, levers: list[Lever]) -> Table:
    table = Table(title="What one change is worth", title_justify="left")
    by_days = answer.ranked_by == "days"
    table.add_column("change")
    names = ("days gained", "+-", "chance", RESERVE)
    for name in names if by_days else (RESERVE, "+-", "days gained", "chance"):
        table.add_column(name, justify="right")
    for lever in levers:
        days, chance = f"{lever.days_gained:+z.1f}", f"{100 * lever.chance_gained:+z.0f} points"
        left = f"{lever.reserve_gained_wh:+z,.0f}"
        table.add_row(
            plain(lever.name),
            *(
                (days, f"{lever.standard_error:.1f}", chance, left)
                if by_days
                else (left, f"{lever.reserve_standard_error_wh:,.0f}", days, chance)
            ),
        )
    table.caption = (
        "Each change by itself on the same weather; +-: one standard error; reserve: what it adds "
        f"to the {answer.reserve_wh:,.0f} Wh that are left above the bank's floor at the stay's "
        "lowest hour."
    )
    table.caption_justify = "left"
    return table


def _costliest(levers: list[Lever], ranked_by: str) -> str:
    def worth(lever: Lever) -> str:
        if ranked_by == "reserve":
            return f"{lever.reserve_gained_wh:+z,.0f} Wh"
        return f"{lever.days_gained:+z.1f} days"

    best, worst = levers[0], levers[-1]
    said = f"Best change: {best.name} ({worth(best)})."
    if (worst.reserve_gained_wh if ranked_by == "reserve" else worst.days_gained) < 0.0:
        said += f" Costliest: {worst.name} ({worth(worst)})."
    return said
