"""What stands between the runs: switch, shunt, buses, battery fuses, branches, alarms, chassis."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from solarsim.electrical.cables import Cable
from solarsim.electrical.converter import CONVERTER_V
from solarsim.electrical.currents import next_up, strings_of_bank
from solarsim.electrical.findings import Compared, Finding
from solarsim.electrical.rule_set import RuleSet
from solarsim.electrical.rules import fuse_sizes_a, rule
from solarsim.inputs.van import Van

__all__ = ["circuit_findings"]

_ALARM = re.compile(r"\b(alarm|detector|smoke|CO|gas sensor)s?\b", re.IGNORECASE)
_ALARMS_SOURCE = "NFPA 1192 and EN 50291-2 (from memory): alarms are fed before any switch"


def circuit_findings(van: Van, rules: RuleSet, cables: Sequence[Cable]) -> Iterator[Finding]:
    """Check what stands between the runs, and the branches as a whole."""
    by_key = {cable.circuit.key: cable for cable in cables}
    main = by_key.get("main")
    if main is not None:
        yield from _main_switch(van)
        yield from _rated(van, main)
    yield from _battery_fuses(van, by_key.get("bank_string"))
    yield from _isolator(van, rules)
    yield from _chassis(van)
    yield from _alarms(van)
    yield from _branches(van, by_key.get("bank_bus"))


def _main_switch(van: Van) -> Iterator[Finding]:
    if van.wiring.main_switch is False:
        yield Finding(
            "main-switch",
            "warn",
            "bank",
            Compared(0.0, 1.0, "main switches"),
            "EN 1648-2 and NEC 551.10 (from memory): a means to cut the bank off",
            "nothing cuts the bank off: in a fire or for work on it every cable stays live",
            "a main switch beside the bank, behind the main fuse",
        )


def _rated(van: Van, main: Cable) -> Iterator[Finding]:
    """Switch, shunt and buses carry the bank's current, and survive what its fuse lets through."""
    circuit, wiring = main.circuit, van.wiring
    least_a = circuit.current_a if main.fuse_a is None else max(circuit.current_a, main.fuse_a)
    for name, part, given_a in (
        ("main-switch-small", "the main switch", wiring.main_switch_a),
        ("shunt-small", "the shunt", wiring.shunt_a),
        ("bus-small", "the bus bars", wiring.bus_a),
    ):
        if given_a is None or given_a >= least_a * (1.0 - 1e-9):
            continue
        overloaded = given_a < circuit.current_a * (1.0 - 1e-9)
        fuse = f" and the main fuse lets {main.fuse_a:g} A pass" if main.fuse_a else ""
        yield Finding(
            name,
            "stop" if overloaded else "warn",
            circuit.name,
            Compared(given_a, least_a, "A"),
            "the part's own rating, behind the fuse that stands before it (IEC 60947-3)",
            f"{part} of {given_a:g} A: {circuit.current_a:.0f} A flow for hours{fuse}",
            f"{part.removeprefix('the ')} for at least {least_a:.0f} A",
        )


def _battery_fuses(van: Van, string: Cable | None) -> Iterator[Finding]:
    given, strings = van.wiring.bank_fuses, strings_of_bank(van)
    limit = rule("bank_strings_without_fuses")
    if given is None or string is None:
        return
    design_a = string.circuit.design_a
    if string.circuit.fused_at_source is False and given == 0 and strings <= limit.value:
        return
    if given >= strings:
        return
    size = next_up(fuse_sizes_a(), design_a if given else design_a / strings)
    yield Finding(
        "bank-fuses",
        "stop" if given else "warn",
        "bank",
        Compared(float(given), float(strings), "fuses"),
        limit.source,
        f"{given} of {strings} batteries in parallel have a fuse: into a fault of one without, the "
        "others drive all they have",
        f"a fuse of {size:g} A at each battery" if size else "a fuse at each battery",
    )


def _isolator(van: Van, rules: RuleSet) -> Iterator[Finding]:
    if van.wiring.solar_isolator is False and van.panels.count:
        source = (
            "HD 60364-7-712.536 (from memory)"
            if rules.name == "eu-caravan"
            else "NEC 690.13 (from memory)"
        )
        yield Finding(
            "solar-isolator",
            "warn",
            "array",
            Compared(0.0, 1.0, "isolators"),
            source,
            "nothing cuts the panels off: their cable is live whenever it is light",
            "a DC isolator for both poles between panels and controller",
        )


def _chassis(van: Van) -> Iterator[Finding]:
    wiring = van.wiring
    if wiring.chassis_return:
        yield Finding(
            "chassis-return",
            "warn",
            "branches",
            Compared(1.0, 2.0, "conductors"),
            "EN 1648-2 and NEC 551.10 (from memory): two insulated conductors in the living space",
            "the chassis carries the loads' current back: its joints corrode, and what breaks is "
            "not seen",
            "a second conductor of the same size to the negative bus (wiring.chassis_return = "
            "false)",
        )
    if wiring.chassis_bond is False:
        mains = van.shore is not None or van.inverter is not None
        yield Finding(
            "chassis-bond",
            "stop" if mains else "warn",
            "chassis",
            Compared(0.0, 1.0, "bonds"),
            "NEC 551.55 and 551.56, IEC 60364-7-721.411 and 544 (from memory)",
            "the chassis is bonded to nothing: a fault makes it live and no device trips",
            "one bond of the mains' earth and one of the negative bus to the chassis",
        )


def _alarms(van: Van) -> Iterator[Finding]:
    for branch in van.wiring.branches:
        if branch.unswitched or not (branch.alarm or _ALARM.search(branch.name)):
            continue
        yield Finding(
            "alarm-switched",
            "warn",
            branch.name,
            Compared(0.0, 1.0, "unswitched feeds"),
            _ALARMS_SOURCE,
            "the main switch turns it off: who sleeps in a van that is shut down is not warned",
            "feed it from between main fuse and main switch, with its own fuse (unswitched = true)",
        )


def _branches(van: Van, feeder: Cable | None) -> Iterator[Finding]:
    branches, system_v = van.wiring.branches, van.van.system_voltage_v
    if not branches:
        return
    carried_w = sum(branch.current_a * (branch.load_v or system_v) for branch in branches)
    drawn_w = 0.0 if feeder is None else feeder.circuit.current_a * system_v
    if carried_w < drawn_w * (1.0 - 1e-6):
        yield Finding(
            "branches-short",
            "warn",
            "branches",
            Compared(carried_w / system_v, drawn_w / system_v, "A"),
            "the profile's DC loads that may run at once",
            f"the branches that are described carry {carried_w / system_v:.1f} A; the profile's DC "
            f"loads draw {drawn_w / system_v:.1f} A: the rest has no cable and no fuse here",
            "a branch for each load (wiring.branches), or none at all, so that they are planned",
        )
    for branch in branches:
        load_v = branch.load_v
        if load_v is None or load_v == system_v:
            continue
        if load_v == CONVERTER_V and van.converter is not None:
            continue
        yield Finding(
            "branch-voltage",
            "stop",
            branch.name,
            Compared(float(system_v), float(load_v), "V"),
            "the appliance's rating",
            f"what is made for {load_v} V hangs on {system_v} V",
            "a converter to 12 V ([converter]) between fuse block and this branch"
            if load_v == CONVERTER_V
            else f"an appliance for {system_v} V",
        )
