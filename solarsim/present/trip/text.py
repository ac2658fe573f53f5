"""A trip on a terminal."""

from __future__ import annotations

from rich.console import Console
from rich.table import Table
from rich.text import Text

from solarsim.answers.fuel import Spread
from solarsim.answers.trip.trip import SocRange, TripAnswer
from solarsim.inputs.counts import count_text
from solarsim.inputs.percent import chance_text
from solarsim.present.stay.fuel import at_most_text, fuel_lines
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
    if answer.fuel is not None and answer.fuel.fuels:
        console.print(_fuel_table(answer))
    print_list("Fuel beside the electricity", fuel_lines(answer.fuel, whole="trip"), console)
    _print_changes(answer, console)
    print_list("Warnings", answer.warnings, console)
    fuel_notes = () if answer.fuel is None else answer.fuel.notes
    print_list("Taken as given", answer.notes + fuel_notes, console)
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
    generator = answer.question.van.generator is not None
    for name in (*_ENERGY[:3], *(["generator"] if generator else []), *_ENERGY[3:]):
        table.add_column(name, justify="right")
    for stop in answer.stops:
        table.add_row(plain(short_name(stop)), *_energy(stop.ledger_wh))
    table.add_section()
    table.add_row("in all", *_energy(answer.ledger_wh), style="bold")
    sources = "Sun, alternator" + (
        ", shore power and generator" if generator else " and shore power"
    )
    table.caption = f"{sources} together are loads, losses and what goes to the bank."
    share = dcdc_share_text(answer.question.van)
    if share and answer.ledger_wh["alternator"] > 0.0:
        table.caption += f" The alternator's charger is {share}."
    table.caption_justify = "left"
    return table


def _fuel_table(answer: TripAnswer) -> Table:
    assert answer.fuel is not None
    table = Table(title="Fuel by stop, nine trips in ten and half of them", title_justify="left")
    table.add_column("stop")
    for one in answer.fuel.fuels:
        table.add_column(f"{one.kind}, {one.unit}", justify="right")
    for stop in answer.stops:
        cells = (stop.fuel[one.kind] for one in answer.fuel.fuels)
        table.add_row(plain(short_name(stop)), *(_at_most(burnt) for burnt in cells))
    table.add_section()
    table.add_row("in all", *(_at_most(one.per_stay) for one in answer.fuel.fuels), style="bold")
    table.caption = "They burn no more than that; in all it need not be the sum of the stops."
    table.caption_justify = "left"
    return table


def _at_most(burnt: Spread) -> str:
    return f"{at_most_text(burnt.p90)}, {at_most_text(burnt.p50)}"


def _energy(wh: dict[str, float]) -> list[str]:
    values = (
        wh["solar_used"],
        wh["alternator"],
        wh["shore"],
        *([wh["generator"]] if "generator" in wh else []),
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
