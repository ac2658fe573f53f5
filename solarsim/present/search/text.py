"""The best builds of a search, on a terminal."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Console
from rich.table import Table
from rich.text import Text

from solarsim.answers.search.designs import BestDesign, Removed, SearchAnswer
from solarsim.inputs.percent import chance_text
from solarsim.present.stay.text import days_cell, plain, print_list
from solarsim.present.words import CAUTIONS, month_name

__all__ = ["lead_text", "parts_text", "print_search", "tried_text"]

_ROWS = 12
_RULES = {
    "roof-room": "no room on the roof",
    "no-such-van": "parts that do not go together",
    "price": "too dear",
    "weight": "too heavy",
    "height": "too high",
}


def print_search(answer: SearchAnswer, console: Console) -> None:
    """Print the cheapest build, the table of the best, and what became of the others."""
    console.print(plain(lead_text(answer), "bold"))
    console.print(plain(_where(answer)))
    console.print()
    if answer.designs:
        _print_table(answer, console)
    if answer.choice is not None and answer.choice.changes:
        print_list("What changes in the van", answer.choice.changes, console)
    print_list("What became of the designs", tried_text(answer), console)
    print_list("Taken as given", answer.notes, console)
    console.print(Text(CAUTIONS, style="italic"))


def lead_text(answer: SearchAnswer) -> str:
    """Say in one sentence what to build, or that nothing will do."""
    choice = answer.choice
    if choice is not None:
        cheaper = any(_exact(one)[0] < _exact(choice)[0] for one in answer.designs)
        sure = " and that nothing speaks against" if cheaper else ""
        return (
            f"Build {parts_text(choice)}: the cheapest that lasts {answer.target}{sure}; "
            f"{chance_text(choice.chance_lasts)} where and when it is worst."
        )
    if not answer.designs:
        return "No design of this space may be built."
    medical = bool(answer.question.profile.medical)
    best = max(
        answer.designs,
        key=lambda one: ((medical and one.p1_days) or 0.0, one.p10_days, one.chance_lasts),
    )
    lasts = f"lasts {days_cell(best.p10_days, _follow_days(best))} days in nine stays of ten"
    if medical:
        lasts = "lasts for days that are not known in 99 stays of 100"
        if best.p1_days is not None:
            lasts = f"lasts {days_cell(best.p1_days, _follow_days(best))} days in 99 stays of 100"
    return (
        f"No design that may be built lasts {answer.target}; the longest, {parts_text(best)}, "
        f"{lasts}."
    )


def parts_text(design: BestDesign) -> str:
    """Name a design by its parts."""
    panels = "no panels"
    if design.panels:
        tilt = f", tilted {design.tilt_deg:g} degrees," if design.tilt_deg else ""
        panels = f"{design.panels} x {design.panel}{tilt} on a controller of "
        panels += f"{design.controller_a:g} A"
    dcdc = f" and a DC-DC charger of {design.dcdc_a:g} A" if design.dcdc_a else ""
    return f"{panels}, {design.units} x {design.battery}{dcdc}"


def tried_text(answer: SearchAnswer) -> tuple[str, ...]:
    """Say how many designs there were, and what took out those that are not named."""
    said = [f"{_designs(answer.candidates)} in all; every one was tried or ruled out"]
    said += [f"{_designs(each.designs)} left out, {_rule(each)}" for each in answer.excluded]
    among = "be among the best"
    if answer.meets:
        if answer.short_of_target:
            said.append(f"{_designs(answer.short_of_target)} short of the target")
    else:
        if answer.reaching_stopped:
            said.append(
                f"{_designs(answer.reaching_stopped)} would reach the target, and the checks stop "
                "each of them"
            )
            said += map(_by_check, answer.reaching_stopped_by)
        said.append(f"{_designs(answer.short_of_target)} short of the target; of these:")
        among = "be named before others"
    if answer.stopped:
        said.append(f"{_designs(answer.stopped)} would {among}, but the checks stop them")
        said += map(_by_check, answer.stopped_by)
    if answer.beaten:
        said.append(f"{_designs(answer.beaten)} beaten by one that is named")
    named = len(answer.designs)
    if named:
        said.append(f"{_designs(named)} named")
    return tuple(said)


def _designs(number: int) -> str:
    return f"{number:,} {'design' if number == 1 else 'designs'}"


def _rule(each: Removed) -> str:
    return f"{_RULES[each.rule]}: {each.example}"


def _by_check(each: Removed) -> str:
    return f"of these {each.designs:,}, such as: {each.example}"


def _where(answer: SearchAnswer) -> str:
    question = answer.question
    places = dict.fromkeys(place for place, _ in answer.situations)
    months = sorted({month for _, month in answer.situations})
    return (
        f"Van '{question.van.van.name}', profile '{question.profile.profile.name}', at "
        f"{'; '.join(places)}; {', '.join(map(month_name, months))}; "
        f"{question.van.stay.days} days, the same runs of weather for all designs."
    )


def _follow_days(design: BestDesign) -> int:
    return design.situations[0].days.follow_days


def _print_table(answer: SearchAnswer, console: Console) -> None:
    table = Table(title="No other matches these in price, weight and days", title_justify="left")
    priced = answer.designs[0].price is not None
    medical = bool(answer.question.profile.medical)
    heads = ["price" if priced else "cost*", "kg", *(["P1"] if medical else []), "P10", "chance"]
    table.add_column("build")
    for head in heads:
        table.add_column(head, justify="right", no_wrap=True)
    shown = answer.designs[:_ROWS]
    before: tuple[float, ...] = ()
    for index, one in enumerate(shown):
        figures = _figures(one, medical=medical)
        alike = _exact(one) == before
        following = shown[index + 1] if index + 1 < len(shown) else None
        table.add_row(
            "\n".join((*(["or, equal in all of this:"] if alike else []), *_lines(one, answer))),
            *(("",) * len(figures) if alike else figures),
            style="bold" if one == answer.choice else None,
            end_section=following is not None and _exact(following) != _exact(one),
        )
        before = _exact(one)
    console.print(table)
    if not priced:
        console.print("* by what parts usually cost beside each other, in watts of panel")
    if medical:
        console.print("P1: days that 99 stays in 100 last, where and when it is worst")
    console.print("P10: days that nine stays in ten last, where and when it is worst")
    doubts = dict.fromkeys(one.doubt for one in shown if one.doubt)
    for doubt in doubts:
        console.print(plain(f"(!) {doubt}"))
    left = len(answer.designs) - _ROWS
    if left > 0:
        rest = "dearer one follows" if left == 1 else "dearer ones follow"
        console.print(f"{left} {rest}; the JSON and the CSV have them all.")


def _figures(one: BestDesign, *, medical: bool) -> tuple[str, ...]:
    cost = one.cost_in_panel_w if one.price is None else one.price
    p1 = "-" if one.p1_days is None else days_cell(one.p1_days, _follow_days(one))
    return (
        f"{cost:,.0f}",
        f"{one.parts_kg:.0f}",
        *([p1] if medical else []),
        days_cell(one.p10_days, _follow_days(one)),
        chance_text(one.chance_lasts),
    )


def _exact(one: BestDesign) -> tuple[float, ...]:
    cost = one.cost_in_panel_w if one.price is None else one.price
    return cost, one.parts_kg, one.p10_days, one.chance_lasts


def _lines(one: BestDesign, answer: SearchAnswer) -> Iterator[str]:
    """A design's parts, one a line; chargers where they are not the same in all."""
    yield f"{one.panels} x {one.panel}" if one.panels else "no panels"
    if one.panels and one.tilt_deg:
        yield f"tilted {one.tilt_deg:g} degrees, {one.rise_m:.2f} m high"
    yield f"{one.units} x {one.battery}" + (" (!)" if one.doubt else "")
    rated = []
    if len({each.controller_a for each in answer.designs}) > 1 and one.panels:
        rated.append(f"controller {one.controller_a:g} A")
    if len({each.dcdc_a for each in answer.designs}) > 1:
        rated.append(f"DC-DC charger {one.dcdc_a:g} A" if one.dcdc_a else "no DC-DC charger")
    if rated:
        yield ", ".join(rated)
