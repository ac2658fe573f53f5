"""What is measured on the mains side, with what is right for this van."""

from __future__ import annotations

from collections.abc import Iterator

from solarsim.answers.wiring.dc_steps import PLAN, Draft
from solarsim.electrical.check import Check
from solarsim.electrical.circuit.topology import Run
from solarsim.electrical.wire import parse_wire, resistance_ohm_m

__all__ = ["mains_steps"]

# From memory: of all four, none could be read in the standard itself.
_DEAD_TEST = "IEC 60364-6 table 6A (from memory)"
_US_TEST = "NEC 551.60 (from memory)"
_RCD_TEST = "IEC 61008-1 table 1 (from memory)"
_GFCI_TEST = "UL 943 class A (from memory)"
_CONTACTS_OHM = 0.1  # plugs and terminals together, common practice, no source
_GFCI_MA = 10.0  # below it a device of the US kind, that trips at 4 to 6 mA


def mains_steps(check: Check) -> Iterator[Draft]:
    """Yield what a licensed electrician measures on the mains side; nothing where there is none."""
    topology, ac = check.topology, check.rules.ac
    runs = [run for run in topology.runs if run.side == "mains"]
    if not runs:
        return
    numbers = tuple(run.number for run in runs)
    # From the inlet to the outlets; without an inlet, from the inverter.
    beside = {"ac_charger"} if check.van.shore is None else {"ac_charger", "ac_inverter"}
    earthed = [run for run in runs if run.wire != "none fits" and run.key not in beside]
    ohm = sum(run.length_m * resistance_ohm_m(parse_wire(run.wire), 20.0) for run in earthed)
    us = ac.rcd_ma < _GFCI_MA
    guards = ", ".join(
        f"run {run.number}: {run.protection.rating_a:g} A" for run in runs if run.protection
    )

    def step(what: str, expected: str, source: str) -> Draft:
        return Draft("mains", what, expected, source, numbers, licensed=True)

    yield step("Breakers and their print; both poles switch together", guards, PLAN)
    yield step(
        "Protective conductor from the inlet's pin (or the inverter) to every outlet's earth",
        f"at most {ohm + _CONTACTS_OHM:.2f} ohm: {ohm:.2f} ohm of copper at 20 C and "
        f"{_CONTACTS_OHM:g} ohm of contacts",
        f"{PLAN}; contacts: common practice, no source",
    )
    yield step(
        "Insulation of L and N together against PE and chassis, breakers on, appliances, charger "
        "and inverter disconnected",
        "no breakdown in one minute at 900 V AC or 1,280 V DC, or at least 1 Mohm at 500 V DC"
        if us
        else "at least 1 Mohm at 500 V DC",
        f"{_US_TEST}; {_DEAD_TEST}" if us else _DEAD_TEST,
    )
    yield step(
        "Polarity at every outlet, on shore and on the inverter", "L, N and PE in place", PLAN
    )
    yield step("Voltage at every outlet", _least_voltage(runs), PLAN)
    if check.van.wiring.rcd is not False:
        yield step(
            f"{ac.protection}: its test button, then a tester, on shore and on the inverter",
            f"trips at 4 to 6 mA ({ac.rcd_ma:g} mA nominal), not at 3 mA"
            if us
            else f"no trip at {ac.rcd_ma / 2.0:g} mA; within 300 ms at {ac.rcd_ma:g} mA and "
            f"40 ms at {5.0 * ac.rcd_ma:g} mA",
            _GFCI_TEST if us else _RCD_TEST,
        )
    if any(node.kind == "transfer switch" for node in topology.nodes):
        yield step(
            "Transfer: shore plugged in and out with the inverter on",
            "never both at once; the shore plug's pins are dead when it is out",
            ac.transfer,
        )
    if check.van.inverter is not None:
        yield step("Neutral and earth, on shore and on the inverter", ac.neutral, ac.source)


def _least_voltage(runs: list[Run]) -> str:
    """What an outlet has at least while the breaker's current is drawn."""
    nominal_v = runs[-1].voltage_v
    (run,) = (run for run in runs if run.end == "outlets")
    if run.drop_end_share is None:
        return f"{nominal_v:g} V nominal"
    lost_v = run.drop_end_share * nominal_v
    return (
        f"{nominal_v:g} V nominal; under load at most {lost_v:.1f} V less than at the shore inlet "
        f"or the inverter's output: at least {nominal_v - lost_v:.1f} V where {nominal_v:g} V come "
        f"in and every breaker on the way carries its full current ({run.current_a:g} A here)"
    )
