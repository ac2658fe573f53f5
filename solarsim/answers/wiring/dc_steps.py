"""What is looked at and measured on the DC side, with what is right for this van."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from solarsim.answers.wiring.step import Stage
from solarsim.electrical.check import Check
from solarsim.electrical.circuit.topology import Run, Topology
from solarsim.electrical.currents import absorption_v, strings_of_bank
from solarsim.electrical.string_voltage import cold_string_v
from solarsim.electrical.wired_arrays import arrays_by_controller

__all__ = ["PLAN", "Draft", "bank_steps", "dead_steps", "load_steps", "seen_steps", "solar_steps"]

PLAN = "this plan"
_PRACTICE = "common practice, no source"
_INSULATION = "IEC 60364-6 table 6A (from memory): 250 V DC on extra-low voltage"
_PV = "IEC 62446-1 (from memory)"
_UNLIKE = 0.05  # strings of like panels under the same sun, common practice, no source


class Draft(NamedTuple):
    """A line of the sheet that has no number yet."""

    stage: Stage
    what: str
    expected: str
    source: str
    runs: tuple[int, ...] = ()
    licensed: bool = False


def seen_steps(topology: Topology) -> Iterator[Draft]:
    """What is looked at before anything is measured."""
    guarded = [run for run in topology.runs if run.protection is not None and run.side != "mains"]
    for kind in dict.fromkeys(_fuse_kind(run) for run in guarded):
        like = [run for run in guarded if _fuse_kind(run) == kind]
        sizes = ", ".join(f"run {run.number}: {_amps(run)}" for run in like)
        yield Draft(
            "seen", f"Every fuse and its print: {kind}", sizes, PLAN, tuple(r.number for r in like)
        )
    yield Draft(
        "seen",
        "Cables and their print against the table of runs; both ends carry the run's number",
        f"runs 1 to {len(topology.runs)}",
        PLAN,
    )
    yield Draft(
        "seen",
        "Lugs crimped and pulled by hand, no strand outside, sealed; every terminal tightened to "
        "its maker's torque and marked with a line",
        "the maker's figure, written beside the terminal",
        _PRACTICE,
    )
    yield Draft(
        "seen",
        "Cables held, kept off edges and heat, glands tight, nothing flammable or sparking beside "
        "a vented battery",
        "no bare copper, no cable that moves",
        _PRACTICE,
    )
    places = [n.name for n in topology.nodes if n.kind in {"switch", "isolator"}]
    labels = [*dict.fromkeys(places), "every fuse", "the shore inlet with its voltage and current"]
    if not any(node.kind == "shore inlet" for node in topology.nodes):
        labels.pop()
    yield Draft("seen", "Labels that last, where they are seen", "; ".join(labels), _PRACTICE)
    cut = "; ".join(topology.switched_off) or "no main switch"
    yield Draft("seen", "What the main switch cuts, followed by eye on the plan", cut, PLAN)


def dead_steps(topology: Topology) -> Iterator[Draft]:
    """What is measured before any source is connected."""
    pairs = tuple(run.number for run in topology.runs if run.poles == ("+", "-"))
    yield Draft(
        "dead",
        "Polarity of every pair, end to end with an ohmmeter: plus to plus, minus to minus",
        "below 1 ohm along each conductor; no connection between the two",
        _PRACTICE,
        pairs,
    )
    yield Draft(
        "dead",
        "Insulation of the DC side against the chassis: fuses out, appliances and chargers "
        "unplugged, the bond of the negative bus lifted, 250 V DC from a tester",
        "at least 0.5 Mohm",
        _INSULATION,
    )
    bonds = tuple(run.number for run in topology.runs if run.side == "earth")
    if bonds:
        yield Draft(
            "dead",
            "Bonds to the chassis, the leads' own resistance taken off",
            "at most 0.1 ohm, and at one point each",
            _PRACTICE,
            bonds,
        )


def solar_steps(check: Check) -> Iterator[Draft]:
    """Open-circuit voltage, polarity and short-circuit current of each string."""
    numbers = {run.start: run.number for run in check.topology.runs if run.side == "solar"}
    low_c = check.extremes.low_c
    for group in arrays_by_controller(check.van):
        for array in group:
            panels = array.panels
            volts = panels.voc_v * panels.series
            slope_v = volts * panels.beta_voc_pct_k / 100.0
            cold_v = cold_string_v(panels, low_c)[0]
            most_v = array.controller.max_input_v
            runs = (numbers[f"array {array.name}"],)
            for string in range(1, array.strings + 1):
                which = f"'{array.name}'" + (
                    f", string {string} of {array.strings}" if array.strings > 1 else ""
                )
                yield Draft(
                    "solar",
                    f"Array {which}: polarity and open-circuit voltage; write down the cells' "
                    "temperature",
                    f"{volts:.1f} V at 25 C cells, {abs(slope_v):.2f} V "
                    f"{'more' if slope_v < 0.0 else 'less'} for each kelvin below; {cold_v:.1f} V "
                    f"at {low_c:z.0f} C (the controller bears {most_v:g} V)",
                    f"{PLAN}; {_PV}",
                    runs,
                )
            yield Draft(
                "solar",
                f"Array '{array.name}': short-circuit current of each string with a DC clamp, in "
                "steady sun; write down the light",
                f"{panels.isc_a:.2f} A x W/m2 / 1000; strings within {100 * _UNLIKE:.0f} % of "
                "each other",
                f"{PLAN}; {_PV}",
                runs,
            )
    if numbers:
        yield Draft(
            "solar",
            "Insulation of each array against the frames, plus and minus in turn",
            "at least 0.5 Mohm at 250 V DC up to 120 V, else 1 Mohm at 500 V DC",
            _PV,
        )


def bank_steps(check: Check) -> Iterator[Draft]:
    """What is measured at the bank before it is joined, and as it is switched on."""
    van, topology = check.van, check.topology
    series, strings = van.units_in_series, strings_of_bank(van)
    nominal_v = van.van.system_voltage_v
    bank = tuple(run.number for run in topology.runs if run.key in {"main", "bank_string"})
    if series * strings > 1:
        yield Draft(
            "bank",
            "Every battery by itself, rested and charged alike, before any two are joined",
            "within 0.05 V of each other",
            f"{_PRACTICE}; the batteries' maker may ask for less",
            bank,
        )
    yield Draft(
        "bank",
        "Voltage and polarity at the open main switch",
        f"a rested {nominal_v} V bank, plus on the bank's side, nothing on the bus's",
        PLAN,
        bank,
    )
    if any(node.kind == "shunt" for node in topology.nodes):
        yield Draft(
            "bank",
            "Shunt's display with every load and charger off, then with one load on",
            "0 A within its resolution; then a current out of the bank, of the right sign",
            _PRACTICE,
            bank,
        )
    yield Draft(
        "bank",
        "Voltage and polarity at the end of every feeder and branch, its fuse put in last",
        "the bank's voltage" + ("; 12 V behind the converter" if _converts(topology) else ""),
        PLAN,
        tuple(r.number for r in topology.runs if r.side == "dc" and r.return_end),
    )
    yield Draft(
        "bank",
        "Main switch off again: what stays on",
        "; ".join(topology.stays_on),
        PLAN,
    )
    yield Draft(
        "bank",
        "Every charger's set-points read back",
        f"absorption {absorption_v(van):.1f} V for {van.battery.chemistry.upper()}, or what the "
        "batteries' maker asks for",
        PLAN if van.battery.charger_absorption_v is not None else "the chemistry's usual figure",
    )


def load_steps(topology: Topology) -> Iterator[Draft]:
    """Voltage lost in every run at its own current."""
    for run in topology.runs:
        if run.side == "mains" or not run.drop_v or len(run.poles) < 2:
            continue
        end_v = "" if run.drop_end_share is None else _end_words(run)
        yield Draft(
            "load",
            f"Run {run.number}, {run.name}: volts lost there and back with its load or source at "
            f"full power ({run.current_a:.1f} A; in proportion at another current)",
            f"{run.drop_v:.2f} V at most in the run{end_v}",
            PLAN,
            (run.number,),
        )
    yield Draft(
        "load",
        "After half an hour at the largest load: lugs, fuses, switch and bus by hand or infrared",
        "none warmer than its cable",
        _PRACTICE,
    )


def _end_words(run: Run) -> str:
    assert run.drop_end_share is not None
    return f", {run.drop_end_share * run.voltage_v:.2f} V from the source to its end"


def _converts(topology: Topology) -> bool:
    return any(node.kind == "converter" for node in topology.nodes)


def _fuse_kind(run: Run) -> str:
    assert run.protection is not None
    return run.protection.fuse_class or "no class asked for"


def _amps(run: Run) -> str:
    assert run.protection is not None
    times = f"{run.count} x " if run.count > 1 else ""
    return f"{times}{run.protection.rating_a:g} A"
