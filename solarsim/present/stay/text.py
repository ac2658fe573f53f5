"""Answers on a terminal."""

from __future__ import annotations

import math

from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from solarsim.answers.bank import BankAnswer, BankOption, units_text
from solarsim.answers.question import Question
from solarsim.answers.simulation.conditions import Conditions
from solarsim.answers.simulation.summary import DaysUnplugged, month_light_kwh_m2_day
from solarsim.answers.stay import StayAnswer
from solarsim.inputs.counts import count_text
from solarsim.inputs.percent import chance_text, percent
from solarsim.power.design import design_of, usable_wh
from solarsim.present.stay.fuel import fuel_lines
from solarsim.present.words import (
    CAUTIONS,
    bank_text,
    day_shares,
    day_shares_text,
    headline,
    ledger_rows,
    month_name,
    real_years_text,
)
from solarsim.weather.years.windows import stay_month

__all__ = [
    "circumstances",
    "day_cells",
    "day_heads",
    "days_cell",
    "plain",
    "print_bank",
    "print_list",
    "print_parts",
    "print_stay",
]

_BAR_WIDTH = 24
_MOST_DAYS = 16
_BANKS_SHOWN = 10


def print_stay(answer: StayAnswer, console: Console) -> None:
    """Print the answer: one sentence, the days, the energy, the bank, what to know."""
    console.print(plain(headline(answer), "bold"))
    console.print(circumstances(answer.question, answer.conditions))
    beside = real_years_text(answer)
    if beside is not None:
        console.print(plain(beside))
    console.print()
    console.print(_days_table(answer))
    console.print(_ledger_table(answer))
    console.print(_demand_table(answer.conditions))
    console.print(f"Bank now: {bank_text(answer)}.")
    _print_recommendation(answer.recommended.units, answer.recommended.reason, console)
    print_list("Fuel beside the electricity", fuel_lines(answer.fuel), console)
    print_list("Warnings", answer.warnings, console)
    fuel_notes = () if answer.fuel is None else answer.fuel.notes
    print_list("Taken as given", answer.notes + fuel_notes, console)
    console.print(Text(CAUTIONS, style="italic"))


def print_bank(answer: BankAnswer, console: Console) -> None:
    """Print the banks side by side, the choice, and the figure by hand."""
    _print_recommendation(answer.recommended.units, answer.recommended.reason, console)
    console.print(circumstances(answer.question, answer.conditions))
    console.print()
    table = Table(title=f"Banks for {count_text(answer.dates.days, 'day')}", title_justify="left")
    medical = bool(answer.question.profile.medical)
    heads = (f"{name} days" for name in day_heads(medical=medical))
    for name in ("units", "Ah", "usable Wh", "chance", *heads):
        table.add_column(name, justify="right")
    for option in _telling(answer):
        chosen = option.units == answer.recommended.units
        days = option.days
        table.add_row(
            f"{option.units}{' <' if chosen else ''}",
            f"{option.capacity_ah:g}",
            f"{option.usable_wh:,.0f}",
            chance_text(option.chance_lasts),
            *day_cells(days, medical=medical),
            style="bold" if chosen else None,
        )
    console.print(table)
    if rated := _colder_than_rated(answer):
        console.print(rated)
    console.print(_by_hand(answer))
    print_list("What would do it", answer.remedies, console)
    notes = answer.question.notes + answer.conditions.notes
    print_list("Taken as given", notes, console)
    console.print(Text(CAUTIONS, style="italic"))


def _colder_than_rated(answer: BankAnswer) -> str:
    """Say how much of the rated energy a bank gives at its temperature; empty where it is all."""
    design, temp_c = design_of(answer.question.van), answer.conditions.bank_temp_c
    share = usable_wh(design, temp_c) / usable_wh(design)
    if round(share, 2) >= 1.0:
        return ""
    return f"Usable Wh as rated; at the bank's {temp_c:z.0f} C it is {percent(share)} of that."


def _by_hand(answer: BankAnswer) -> str:
    hand, days = answer.by_hand, answer.dates.days
    units = answer.recommended.units or answer.options[-1].units
    lead = (
        "By hand, without any sun (in the manner of IEEE 1013; a cross-check): "
        f"{hand.load_ah_per_day:.0f} Ah a day"
    )
    if not math.isfinite(hand.temperature_factor):
        return f"{lead}; a bank is too cold to give any of it."
    carries = f"{units_text(units)} {'carries' if units == 1 else 'carry'}"
    lasts = f"{hand.days:.1f} days" if math.isfinite(hand.days) else "for ever"
    return (
        f"{lead}; {carries} it {lasts}; {count_text(days, 'day')} of autonomy would take "
        f"{hand.required_ah:,.0f} Ah rated (depth {percent(hand.max_depth)}, end of life "
        f"{percent(hand.end_of_life_share)}, temperature x{hand.temperature_factor:.2f}, margin "
        f"x{hand.margin:g})."
    )


def print_parts(kinds: dict[str, dict[str, dict[str, object]]], console: Console) -> None:
    """Print the parts library with the source of its numbers."""
    for kind, parts in kinds.items():
        table = Table(title=kind, title_justify="left")
        table.add_column("part")
        table.add_column("numbers")
        table.add_column("source")
        for name, fields in parts.items():
            numbers = ", ".join(
                f"{key} {value}" for key, value in fields.items() if key not in {"name", "source"}
            )
            table.add_row(Text(name), Text(numbers), Text(str(fields["source"])))
        console.print(table)


def days_cell(days: float | None, follow_days: int) -> str:
    """Days for a table's cell; those followed or beyond as "30+", "?" where they are not known."""
    if days is None:
        return "?"
    return f"{follow_days}+" if days >= follow_days else f"{days:.1f}"


def day_heads(*, medical: bool) -> tuple[str, str, str]:
    """Return the heads above `day_cells`."""
    return ("P1", "P10", "P50") if medical else ("P10", "P50", "P90")


def day_cells(days: DaysUnplugged, *, medical: bool) -> list[str]:
    """Return the cells of the three safest of `day_shares`, which a table has room for."""
    shares = dict(day_shares(days, medical=medical))
    return [days_cell(shares[head], days.follow_days) for head in day_heads(medical=medical)]


def circumstances(question: Question, conditions: Conditions) -> Text:
    """Who is aboard, and the weather that the answer stands on."""
    whole = month_light_kwh_m2_day(question)
    month = month_name(stay_month(question.van.stay))
    beside = "" if whole is None else f" (all of {month} {whole:.2f})"
    return plain(
        f"{question.profile.profile.name}; {conditions.runs} runs of weather "
        f"({conditions.source}): {conditions.ghi_kwh_m2_day:.2f} kWh/m2 of light a day{beside}, "
        f"air {conditions.temp_air_c:z.1f} C, bank {conditions.bank_temp_c:z.1f} C."
    )


def _days_table(answer: StayAnswer) -> Table:
    days = answer.days
    table = Table(title="State of charge at each day's lowest hour", title_justify="left")
    table.add_column("24 h from")
    for name in ("P10", "P50", "P90"):
        table.add_column(name, justify="right")
    table.add_column("P10 to P90")
    # A long stay shows every second day, every third, ... so that the table stays on a screen.
    every = -(-answer.dates.days // _MOST_DAYS)
    for day in range(0, answer.dates.days, every):
        hours = slice(24 * day, 24 * (day + 1) + 1)
        low, middle, high = (
            float(band[hours].min()) for band in (answer.soc.p10, answer.soc.p50, answer.soc.p90)
        )
        table.add_row(
            f"{answer.soc.times[24 * day]:%a %d %b %H:%M}",
            *(percent(value) for value in (low, middle, high)),
            _bar(low, middle, high),
        )
    # Beyond the days followed the median of days is not known, and so neither is its error.
    middle_error = (
        "" if days.p50 >= days.follow_days else f"P50 {answer.standard_errors.p50:.2f} days, "
    )
    table.caption = (
        f"Days to the first cut-off: {day_shares_text(days, medical=answer.medical is not None)}; "
        f"days with demand not served: {answer.depletion_days:.1f} of {answer.dates.days}. "
        f"Standard error with so many runs: {middle_error}chance "
        f"{100 * answer.standard_errors.chance_lasts:.1f} points."
    )
    table.caption += _cut_off_text(answer)
    table.caption_justify = "left"
    return table


def _cut_off_text(answer: StayAnswer) -> str:
    """Say where the bank is cut off, which a cold one is with more charge in it."""
    floor_soc = design_of(answer.question.van).floor_soc
    share = answer.cold_usable_wh / answer.usable_wh if answer.usable_wh else 1.0
    cut_soc = 1.0 - (1.0 - floor_soc) * share
    if percent(cut_soc) == percent(floor_soc):
        return f" The bank is cut off at {percent(floor_soc)}."
    return (
        f" The bank is cut off at {percent(floor_soc)}, and at {percent(cut_soc)} at its "
        f"{answer.conditions.bank_temp_c:z.0f} C, where it gives less of its charge."
    )


def _bar(low: float, middle: float, high: float) -> str:
    cells = [" "] * (_BAR_WIDTH + 1)
    for cell in range(round(low * _BAR_WIDTH), round(high * _BAR_WIDTH) + 1):
        cells[cell] = "-"
    cells[round(middle * _BAR_WIDTH)] = "#"
    return "".join(cells)


def _ledger_table(answer: StayAnswer) -> Table:
    table = Table(title="Energy a day of the stay", title_justify="left")
    table.add_column("")
    table.add_column("")
    table.add_column("Wh", justify="right")
    previous = ""
    for group, label, wh in ledger_rows(answer):
        table.add_row(group if group != previous else "", label, f"{wh:z,.0f}")
        previous = group
    return table


def _demand_table(conditions: Conditions) -> Table:
    table = Table(title="What the people aboard ask for", title_justify="left")
    table.add_column("appliance")
    table.add_column("Wh a day", justify="right")
    demand = sorted(conditions.demand_wh_per_day.items(), key=lambda item: -item[1])
    for name, wh in demand:
        table.add_row(plain(name), f"{wh:,.0f}")
    table.add_section()
    table.add_row("all of it", f"{sum(conditions.demand_wh_per_day.values()):,.0f}")
    return table


def _print_recommendation(units: int | None, reason: str, console: Console) -> None:
    lead = "No bank will do" if units is None else f"Bank that holds: {units_text(units)}"
    console.print(plain(f"{lead}: {reason}.", "bold"))


def _telling(answer: BankAnswer) -> list[BankOption]:
    """Banks around the choice; the whole list is in the JSON."""
    units = [option.units for option in answer.options]
    if answer.recommended.units is None:
        return [*answer.options[: _BANKS_SHOWN - 1], answer.options[-1]]
    chosen = units.index(answer.recommended.units)
    first = max(0, chosen + 3 - _BANKS_SHOWN)
    return list(answer.options[first : first + _BANKS_SHOWN])


def print_list(title: str, lines: tuple[str, ...], console: Console) -> None:
    """Print a titled list, or nothing where it is empty."""
    if not lines:
        return
    body: list[RenderableType] = [plain(f"- {line}") for line in lines]
    console.print(Text(f"{title}:", style="bold"))
    console.print(Padding(Group(*body), (0, 0, 0, 2)))


def plain(content: str, style: str = "") -> Text:
    """Content as it stands, but for control characters: a name must not steer the terminal."""
    return Text("".join(c if c.isprintable() else " " for c in content), style=style)
