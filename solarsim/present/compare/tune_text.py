"""The designs that `tune` tried, on a terminal."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable

from rich.console import Console
from rich.table import Table
from rich.text import Text

from solarsim.answers.bank import units_text
from solarsim.answers.tune.choose import PAYS_CHANCE, PAYS_DAYS
from solarsim.answers.tune.designs import OneMore, TuneAnswer, TunedDesign
from solarsim.answers.tune.rows import Kind, kind_of, units_worth_showing
from solarsim.inputs.counts import count_text
from solarsim.inputs.percent import chance_text, points_text
from solarsim.present.stay.text import circumstances, days_cell, plain, print_list
from solarsim.present.words import CAUTIONS

__all__ = ["design_text", "one_more_text", "print_tune", "stops_text"]

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
    left_out = 0
    for kind in dict.fromkeys(kind_of(design) for design in answer.designs):
        table, not_shown = _chances(answer, kind)
        console.print(table)
        left_out += not_shown
    if left_out:
        rows = "One row is" if left_out == 1 else f"{left_out} rows are"
        console.print(
            f"{rows} left out: with fewer units every number of panels lasts in every run already; "
            "the JSON has them all."
        )
    _print_best(answer, console)
    console.print(plain(stops_text(answer)))
    for more in answer.one_more:
        console.print(plain(one_more_text(more)))
    if answer.choice is not None and not any(more.part == "panel" for more in answer.one_more):
        console.print("One more panel was not tried or has no room.")
    notes = answer.notes + answer.question.notes + answer.conditions.notes
    print_list("Taken as given", notes, console)
    console.print(Text(CAUTIONS, style="italic"))


def one_more_text(more: OneMore) -> str:
    """Say what one more panel or battery, a string of them where it takes one, pays."""
    part = more.part if more.count == 1 else {"battery": "batteries"}.get(more.part, "panels")
    number = "One" if more.count == 1 else str(more.count)
    price = "" if more.cost is None else f" for {more.cost:,.0f}"
    verb = "adds" if more.count == 1 else "add"
    return (
        f"{number} more {part} {verb} {more.days_gained:z.1f} days{price} to that design and "
        f"{points_text(more.chance_gained).removeprefix('+')} to its chance (mean over the runs)."
    )


def stops_text(answer: TuneAnswer) -> str:
    """Say from which number on no further panel pays."""
    stops, pays = answer.stops_paying, f"{PAYS_DAYS:g} days or {points_text(PAYS_CHANCE)[1:]}"
    if stops is None:
        return f"Every panel looked at adds {pays} of chance or more on that bank."
    if stops.panels == 0:
        return f"No panel adds {pays} of chance on that bank in this stay."
    return (
        f"Beyond {count_text(stops.panels, 'panel')}, none on that bank adds {pays} of chance "
        "or more."
    )


def _print_best(answer: TuneAnswer, console: Console) -> None:
    """Print the line of best designs, with what varies among them."""
    table = Table(title="The best for their size or price", title_justify="left")
    priced = answer.designs[0].cost is not None
    varied = [
        (head, show)
        for head, show, value in _VARIED
        if len({value(design) for design in answer.designs}) > 1
    ]
    # With prices or columns for what varies there is no room for all in 80 columns, and P90 is the
    # least of a promise.
    heads = ["panels", "units", *(head for head, _ in varied), "contr. A", "chance"]
    if len(varied) + int(priced) < 2:
        heads.insert(2, "Ah")
    # Where someone's health depends on a device, no days are safe but those of P1.
    medical = bool(answer.question.profile.medical)
    heads += ["P1", "P10", "P50"] if medical else ["P10", "P50"]
    if priced:
        heads.append("cost")
    elif not varied and not medical:
        heads.append("P90")
    for head in heads:
        table.add_column(head, justify="right")
    shown = _worth_showing(answer)
    for design in shown:
        days = design.days
        cells = {
            "panels": str(design.panels),
            "units": str(design.units),
            "Ah": f"{design.capacity_ah:g}",
            **{head: show(design) for head, show in varied},
            "contr. A": f"{design.controller_a:g}",
            "chance": chance_text(design.chance_lasts),
            "P1": days_cell(days.p1, days.follow_days),
            "P10": days_cell(days.p10, days.follow_days),
            "P50": days_cell(days.p50, days.follow_days),
            "P90": days_cell(days.p90, days.follow_days),
            "cost": "" if design.cost is None else f"{design.cost:,.0f}",
        }
        table.add_row(
            *(cells[head] for head in heads), style="bold" if design == answer.choice else None
        )
    console.print(table)
    if len(shown) < len(answer.pareto):
        left = len(answer.pareto) - len(shown)
        rest = "more of these is" if left == 1 else "more of these are"
        console.print(f"{left} {rest} further from the target; the JSON has them all.")


_VARIED: tuple[tuple[str, Callable[[TunedDesign], str], Callable[[TunedDesign], object]], ...] = (
    ("chem.", lambda design: design.chemistry.upper(), lambda design: design.chemistry),
    ("DC-DC A", lambda design: f"{design.dcdc_a:g}", lambda design: design.dcdc_a),
    ("tilt", lambda design: f"{design.tilt_deg:g}", lambda design: design.tilt_deg),
)


def _worth_showing(answer: TuneAnswer) -> list[TunedDesign]:
    """Those of the line of best designs whose chance is nearest to the target, in its order."""
    target = answer.question.van.stay.target_chance
    built = [
        design
        for design in answer.pareto
        # What never lasts is no one's choice.
        if design.chance_lasts > 0.0
        and not any(_same_for_less(other, design) for other in answer.pareto)
    ]
    nearest = sorted(built or answer.pareto, key=lambda design: abs(design.chance_lasts - target))
    kept = {id(design) for design in nearest[:_ROWS]}
    return [d for d in answer.pareto if id(d) in kept or d == answer.choice]


def _same_for_less(one: TunedDesign, design: TunedDesign) -> bool:
    """Whether a smaller DC-DC charger gives the same days."""
    same = dataclasses.replace(
        one,
        dcdc_a=design.dcdc_a,
        cost_in_panel_w=design.cost_in_panel_w,
        refused_wh_per_day=design.refused_wh_per_day,
    )
    return one.dcdc_a < design.dcdc_a and same == design


def design_text(design: TunedDesign) -> str:
    """Name a design by its panels, controller and bank."""
    panels = "no panels"
    if design.panels:
        panels = (
            f"{count_text(design.panels, 'panel')} on a controller of {design.controller_a:g} A"
        )
    bank = f"{units_text(design.units)} ({design.capacity_ah:g} Ah {design.chemistry.upper()})"
    return f"{panels} and {bank}"


def _chances(answer: TuneAnswer, kind: Kind) -> tuple[Table, int]:
    """Return the chances of one kind, and how many rows no one needs."""
    chemistry, dcdc_a, tilt_deg = kind
    table = Table(
        title=f"Chance of {answer.dates.days} days, panels across, units down "
        f"({chemistry.upper()}, DC-DC {dcdc_a:g} A, tilt {tilt_deg:g})",
        title_justify="left",
    )
    here = [design for design in answer.designs if kind_of(design) == kind]
    panels = sorted({design.panels for design in here})
    table.add_column("units", justify="right")
    for count in panels:
        table.add_column(str(count), justify="right")
    cells = {(design.units, design.panels): design for design in here}
    shown, left_out = units_worth_showing(here, answer.choice)
    for units in shown:
        row = [str(units)]
        for count in panels:
            design = cells[units, count]
            text = chance_text(design.chance_lasts)
            row.append(f"[{text}]" if design == answer.choice else text)
        table.add_row(*(Text(cell) for cell in row))
    return table, left_out
