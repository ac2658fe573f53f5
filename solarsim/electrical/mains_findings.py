"""The mains side: residual current, transfer, neutral, voltage, and its cables."""

from __future__ import annotations

import math
from collections.abc import Iterator

from solarsim.electrical.circuit.mains_cables import mains_cables
from solarsim.electrical.circuit.mains_legs import mains_voltage_v
from solarsim.electrical.findings import Compared, Finding
from solarsim.electrical.mains_cable_findings import mains_cable_findings
from solarsim.electrical.rule_set import RuleSet
from solarsim.inputs.profile import Profile
from solarsim.inputs.van import Van

__all__ = ["mains_findings"]

# Mains are of one family or the other: 100 to 127 V or 220 to 240 V.
_EUROPEAN_V = 200.0


def mains_findings(van: Van, profile: Profile, rules: RuleSet) -> Iterator[Finding]:
    """Check what is told of the mains side; what is not told is planned."""
    shore, inverter, wiring = van.shore, van.inverter, van.wiring
    if shore is None and inverter is None:
        return
    if wiring.rcd is False:
        yield Finding(
            "mains-rcd",
            "stop",
            "shore" if shore is not None else "inverter",
            Compared(0.0, 1.0, "residual-current devices"),
            rules.ac.source,
            "no residual-current device: who touches a faulty appliance on wet ground is not saved "
            "by any breaker",
            f"{rules.ac.protection}, tested with its button on arrival",
        )
    if shore is not None and inverter is not None and wiring.transfer_switch is False:
        yield Finding(
            "mains-transfer",
            "stop",
            "inverter",
            Compared(0.0, 1.0, "transfer switches"),
            rules.ac.transfer,
            "inverter and shore power can meet on the same outlets: the inverter is destroyed, and "
            "an unplugged lead is live",
            "a transfer switch for all poles, or outlets of their own for each",
        )
    if inverter is not None and inverter.neutral_bonded is False:
        yield Finding(
            "inverter-neutral",
            "warn",
            "inverter",
            Compared(0.0, 1.0, "bonds"),
            rules.ac.neutral,
            "the inverter joins neither pole to earth: its residual-current device cannot trip",
            "an inverter that joins neutral and earth while it feeds, laid out by an electrician",
        )
    yield from _transfer(van, rules)
    yield from _voltages(van, profile, rules)
    for cable in mains_cables(van, rules):
        yield from mains_cable_findings(cable, rules)


def _transfer(van: Van, rules: RuleSet) -> Iterator[Finding]:
    """The switch carries what the post lets through and what the inverter gives."""
    shore, inverter = van.shore, van.inverter
    if shore is None or inverter is None or inverter.transfer_a is None:
        return
    carries_a, rating = inverter.transfer_a, "the transfer switch's rating"
    if shore.breaker_a > carries_a:
        yield Finding(
            "transfer-switch",
            "stop",
            "shore",
            Compared(shore.breaker_a, carries_a, "A"),
            rating,
            f"the post lets {shore.breaker_a:g} A through; the transfer switch carries "
            f"{carries_a:g} A",
            f"an inlet breaker of at most {carries_a:g} A in the van, or a larger switch",
        )
    continuous = rules.rule("continuous_factor")
    rated_a = inverter.power_w / mains_voltage_v(rules, van)
    counted_a = continuous.value * rated_a
    if counted_a > carries_a * (1.0 + 1e-9):
        yield Finding(
            "transfer-inverter",
            "stop",
            "inverter",
            Compared(counted_a, carries_a, "A"),
            f"{rating}; {continuous.source}",
            f"the inverter gives {rated_a:.1f} A (counted as {counted_a:.1f} A, for it may run for "
            f"hours); the transfer switch carries {carries_a:g} A",
            f"a switch of {math.ceil(counted_a)} A at least, or a smaller inverter",
        )


def _voltages(van: Van, profile: Profile, rules: RuleSet) -> Iterator[Finding]:
    shore, inverter = van.shore, van.inverter
    post_v = None if shore is None else shore.mains_voltage_v
    made_v = None if inverter is None else inverter.output_v
    if post_v is not None and made_v is not None and _unlike(post_v, made_v):
        yield Finding(
            "mains-voltage",
            "stop",
            "inverter",
            Compared(made_v, post_v, "V"),
            "the ratings of both",
            f"the inverter makes {made_v:g} V, the post gives {post_v:g} V: one of them destroys "
            "what is made for the other",
            f"an inverter for {post_v:g} V",
        )
    aboard_v = made_v or post_v or rules.ac.voltage_v
    for appliance in profile.appliances:
        for_v = appliance.mains_v
        if not appliance.enabled or for_v is None or not _unlike(for_v, aboard_v):
            continue
        yield Finding(
            "mains-voltage",
            "stop",
            appliance.name,
            Compared(float(for_v), aboard_v, "V"),
            "the appliance's rating",
            f"'{appliance.name}' is made for {for_v} V; the outlets have {aboard_v:g} V",
            f"an appliance for {aboard_v:g} V",
        )


def _unlike(one_v: float, other_v: float) -> bool:
    return (one_v >= _EUROPEAN_V) is not (other_v >= _EUROPEAN_V)
