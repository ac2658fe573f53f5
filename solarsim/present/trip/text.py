"""A trip on a terminal."""

from __future__ import annotations

from rich.console import Console
from rich.table import Table
from rich.text import Text

from solarsim.answers.trip.trip import SocRange, TripAnswer
from solarsim.inputs.counts import count_text
from solarsim.inputs.percent import chance_text
from solarsim.present.stay.text import plain, print_list
from solarsim.present.trip.words import change_text, short_name, trip_headline
from solarsim.present.words import CAUTIONS, dcdc_share_text

__all__ = ["print_trip"]

_ENERGY = ("sun", "alter-\nnator", "shore", "loads", "losses", "to bank", "not\nserved")


def print_trip(answer: TripAnswer, console: Console) -> None:
    """Print the answer: two sentences, the stops, the energy, what helps, what to know."""
    console.print(plain(trip_headline(answer), "bold"))
    console.print(_circumstances(answer))
    console.print()
    console.print(_stops_table(answer))
    console.print(_energy_table(answer))
    _print_changes(answer, console)
    print_list("Warnings", answer.warnings, console)
    print_list("Taken as given", answer.notes, console)
    console.print(Text(CAUTIONS, style="italic"))


def _circumstances(answer: TripAnswer) -> Text:
    """Who is aboard, and the weather that the answer stands on."""
    of = answer.conditions
    return plain(
        f"{answer.question.profile.profile.name}; {of.runs} runs of weather ({of.source}): "
        f"{of.ghi_kwh_m2_day:.2f} kWh/m2 of light a day, air {of.temp_air_c:z.1f} C, "
        f"bank {of.bank_temp_c:z.1f} C."
    )


def _stops_table(answer: TripAnswer) -> Table:
    table = Table(title="Stops, each with the hours up to the next", title_justify="left")
    table.add_column("stop")
    for name in ("arrives", "nights", "driven", "charge there", "lowest", "fails", "days lost"):
        table.add_column(name, justify="right")
    for stop in answer.stops:
        table.add_row(
            plain(short_name(stop)),
            f"{stop.arrive.day} {stop.arrive:%b}",
            f"{stop.nights}",
            f"{stop.drive_h:g} h" if stop.drive_h else "",
            _soc(stop.soc_arrival, medical=answer.medical is not None),
            _soc(stop.soc_lowest, medical=answer.medical is not None),
            chance_text(stop.fail_chance) if stop.fail_chance else "never",
            f"{stop.lost_days:.1f}" if stop.lost_days >= 0.05 else "",
        )
    often = "nine runs in ten" if answer.medical is None else "99 runs in 100, nine in ten"
    error = 100.0 * answer.standard_errors.chance_lasts
    plugged = [stop for stop in answer.stops if stop.plugged_nights]
    told = "; ".join(f"{count_text(s.plugged_nights, 'night')} at {short_name(s)}" for s in plugged)
    table.caption = (
        f"State of charge on arrival and at its lowest, %: {often} and five in ten have "
        "that or more. Fails: where the bank runs out first. "
        f"Days of use lost in all: {answer.lost_days:.1f} of {answer.nights}. "
        f"Standard error of the chance with so many runs: {error:.1f} points."
        + (f" On shore power: {told}." if told else "")
    )
    table.caption_justify = "left"
    return table


def _soc(soc: SocRange, *, medical: bool) -> str:
    text = f"{100.0 * soc.p10:.0f}, {100.0 * soc.p50:.0f}"
    if not medical:
        return text
    return f"{'?' if soc.p1 is None else f'{100.0 * soc.p1:.0f}'}, {text}"


def _energy_table(answer: TripAnswer) -> Table:
    table = Table(title="Energy by stop, Wh", title_justify="left")
    table.add_column("stop")
    for name in _ENERGY:
        table.add_column(name, justify="right")
    for stop in answer.stops:
        table.add_row(plain(short_name(stop)), *_energy(stop.ledger_wh))
    table.add_section()
    table.add_row("in all", *_energy(answer.ledger_wh), style="bold")
    table.caption = (
        "Sun, alternator and shore power together are loads, losses and what goes to the bank."
    )
    share = dcdc_share_text(answer.question.van)
    if share and answer.ledger_wh["alternator"] > 0.0:
        table.caption += f" The alternator's charger is {share}."
    table.caption_justify = "left"
    return table


def _energy(wh: dict[str, float]) -> list[str]:
    values = (
        wh["solar_used"],
        wh["alternator"],
        wh["shore"],
        wh["load_dc"] + wh["load_ac"],
        wh["inverter_loss"] + wh["battery_loss"],
        wh["stored_change"],
        wh["unserved"],
    )
    return [f"{value:z,.0f}" for value in values]


def _print_changes(answer: TripAnswer, console: Console) -> None:
    helpful = tuple(f"{one.name}: {change_text(one)}" for one in answer.most_helpful)
    if not any(one.skipped is None for one in answer.changes):
        return
    if helpful:
        print_list("What helps most, each by itself on the same weather", helpful, console)
    else:
        console.print("None of the changes that pass the checks helps.")
