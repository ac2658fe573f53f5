"""Answers that compare changes or months, on a terminal."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console
from rich.table import Table
from rich.text import Text

from solarsim.answers.levers import Kind, Lever, LeversAnswer
from solarsim.answers.seasons import MonthAnswer, SeasonsAnswer
from solarsim.inputs.counts import count_text
from solarsim.inputs.percent import chance_text, points_text
from solarsim.present.stay.fuel import amount_text
from solarsim.present.stay.text import circumstances, day_cells, day_heads, plain, print_list
from solarsim.present.words import (
    CAUTIONS,
    RESERVE,
    count_on_text,
    days_text,
    month_name,
)

__all__ = [
    "LEVER_TITLES",
    "levers_headline",
    "print_levers",
    "print_seasons",
    "seasons_headline",
]


LEVER_TITLES: dict[Kind, str] = {
    "build": "What to build",
    "live": "How to live",
}


def levers_headline(answer: LeversAnswer) -> str:
    """Return in one sentence how things are before any change."""
    dates, medical = answer.dates, bool(answer.question.profile.medical)
    days = count_on_text(answer.days, answer.chance_lasts, dates.days, dates.month, medical=medical)
    return f"The van '{answer.question.van.van.name}' as it is: {days[0].lower()}{days[1:]}"


def print_levers(answer: LeversAnswer, console: Console) -> None:
    """Print the changes, most days gained first."""
    days = answer.days
    console.print(plain(levers_headline(answer), "bold"))
    console.print(circumstances(answer.question, answer.conditions))
    console.print()
    for kind, title in LEVER_TITLES.items():
        if found := answer.of_kind(kind):
            console.print(_levers_table(answer, found, title))
    applied = (*answer.of_kind("build"), *answer.of_kind("live"))
    console.print(
        "Each change by itself on the same weather; +-: one standard error; reserve: what it adds "
        f"to the {answer.reserve_wh:,.0f} Wh that are left above the bank's floor at the stay's "
        "lowest hour."
    )
    if answer.gas_kg_per_day:
        burnt = amount_text(answer.gas_kg_per_day)
        console.print(f"Cooking on gas would burn about {burnt} kg of propane a day instead.")
    if any(lever.stopped for lever in applied):
        console.print("* The electrical check stops it so; the reasons stand below.")
    if any(lever.needed for lever in applied):
        console.print("What nobody likes to live without, and what the check stops, stand last.")
    if answer.ranked_by == "reserve":
        console.print(
            f"Days beyond the {days.follow_days} followed do not count as gained: the changes are "
            "ranked by what they leave in the bank."
        )
    print_list("Warnings", answer.warnings, console)
    changed = tuple(f"{lever.name}: {said}" for lever in applied for said in lever.warnings)
    print_list("What a change would overload or break", changed, console)
    skipped = tuple(f"{lever.name}: {lever.skipped}" for lever in answer.levers if lever.skipped)
    print_list("Does not apply", skipped, console)
    console.print(plain(_most(answer)))
    console.print(Text(CAUTIONS, style="italic"))


def seasons_headline(answer: SeasonsAnswer) -> str:
    """Return the worst month in one sentence."""
    stay, medical = answer.question.van.stay, bool(answer.question.profile.medical)
    worst = answer.months[answer.worst_month - 1]
    reached = _reached(stay.days, worst, medical=medical)
    cause = f"({worst.ghi_kwh_m2_day:.1f} kWh/m2 of light a day, air {worst.temp_air_c:z.0f} C)"
    if answer.worst_by == "reserve":
        return (
            f"No month is worse than {month_name(answer.worst_month)} by its days: "
            f"{reached}. The bank comes "
            f"lowest then, with {worst.reserve_wh:,.0f} Wh left at the stay's lowest hour {cause}."
        )
    return f"The worst month is {month_name(answer.worst_month)}: {reached} {cause}."


def _reached(stay_days: int, month: MonthAnswer, *, medical: bool) -> str:
    days = month.days
    half = days_text(days.p50, days.follow_days)
    lasts = (
        f"the van lasts {count_text(stay_days, 'day')} in {chance_text(month.chance_lasts)} of runs"
    )
    if not medical:
        return f"{lasts}, and half of all runs reach {half}"
    # Where someone's health depends on a device, no other days are safe.
    sure = "is not known" if days.p1 is None else f"is {days_text(days.p1, days.follow_days)}"
    return f"what 99 runs in 100 reach {sure}; {lasts}, and half of all runs reach {half}"


def print_seasons(answer: SeasonsAnswer, console: Console) -> None:
    """Print twelve months with the light and warmth that cause the answer."""
    stay, medical = answer.question.van.stay, bool(answer.question.profile.medical)
    console.print(plain(seasons_headline(answer), "bold"))
    title = plain(
        f"{answer.question.van.van.name} with {answer.question.profile.profile.name} near "
        f"{answer.question.place.name}"
    )
    title.justify = "left"
    table = Table(title=title)
    table.add_column("month")
    shares = day_heads(medical=medical)
    for name in (f"{stay.days} days", *shares, RESERVE, "GHI", "air C", "load Wh"):
        table.add_column(name, justify="right")
    for month in answer.months:
        days = month.days
        table.add_row(
            month_name(month.month)[:3],
            chance_text(month.chance_lasts),
            *day_cells(days, medical=medical),
            f"{month.reserve_wh:,.0f}",
            f"{month.ghi_kwh_m2_day:.2f}",
            f"{month.temp_air_c:z.1f}",
            f"{month.demand_wh_per_day:,.0f}",
            style="bold" if month.month == answer.worst_month else None,
        )
    console.print(table)
    console.print(
        f"{shares[0]} to {shares[-1]} in days to the first cut-off; reserve: left in the bank "
        "above its floor at the stay's lowest hour, mean over runs; GHI in kWh/m2 a day."
    )
    print_list("Taken as given", answer.notes, console)
    console.print(Text(CAUTIONS, style="italic"))


def _levers_table(answer: LeversAnswer, levers: Sequence[Lever], title: str) -> Table:
    table = Table(title=title, title_justify="left")
    by_days = answer.ranked_by == "days"
    table.add_column("change")
    names = ("days gained", "+-", "chance", RESERVE)
    for name in names if by_days else (RESERVE, "+-", "days gained", "chance"):
        table.add_column(name, justify="right")
    for lever in levers:
        days, chance = f"{lever.days_gained:+z.1f}", points_text(lever.chance_gained)
        left = f"{lever.reserve_gained_wh:+z,.0f}"
        table.add_row(
            plain(f"{lever.name} *" if lever.stopped else lever.name),
            *(
                (days, f"{lever.standard_error:.1f}", chance, left)
                if by_days
                else (left, f"{lever.reserve_standard_error_wh:,.0f}", days, chance)
            ),
        )
    return table


def _most(answer: LeversAnswer) -> str:
    """Say what gains most of what may be built and done, and what costs most."""
    by_reserve = answer.ranked_by == "reserve"

    def gained(lever: Lever) -> float:
        return lever.reserve_gained_wh if by_reserve else lever.days_gained

    def worth(lever: Lever) -> str:
        return f"{gained(lever):+z,.0f} Wh" if by_reserve else f"{gained(lever):+z.1f} days"

    said = []
    leads: dict[Kind, str] = {"build": "Gains most if built", "live": "Gains most if done"}
    for kind, lead in leads.items():
        passing = [one for one in answer.of_kind(kind) if not one.stopped and not one.needed]
        best = max(passing, key=gained, default=None)
        if best is not None and gained(best) > 0.0:
            name = best.name.replace("without: ", "going without ")
            said.append(f"{lead}: {name} ({worth(best)}).")
    worst = min((*answer.of_kind("build"), *answer.of_kind("live")), key=gained, default=None)
    if worst is not None and gained(worst) < 0.0:
        said.append(f"Costs most: {worst.name} ({worth(worst)}).")
    return " ".join(said)
