"""Size, ampacity and voltage drop of every run of mains cable."""

from __future__ import annotations

from typing import NamedTuple

from solarsim.electrical.ampacity import Ampacity, mains_ampacity
from solarsim.electrical.circuit.mains_legs import MainsLeg, mains_legs, mains_voltage_v
from solarsim.electrical.rule_set import RuleSet
from solarsim.electrical.rules import rule
from solarsim.electrical.wire import Wire, parse_wire
from solarsim.inputs.van import Van

__all__ = ["MainsCable", "mains_cables", "mains_drop_v", "mains_most_a", "mains_sizes"]

_LAST = ("outlets", "shore charger")


class MainsCable(NamedTuple):
    """One run of mains cable.

    Attributes
    ----------
    leg : MainsLeg
        What it joins, and its breaker.
    wire : Wire or None
        The van's own conductor, or the smallest of the rules for the breaker; None if none is.
    gauge, metric : str
        That smallest in both kinds; empty beyond the rules' list.
    bears : Ampacity or None
        What the conductor bears.
    most_a : float
        Largest breaker that protects it, A.
    voltage_v, length_m : float
        Nominal voltage; length one way.
    drop_v, drop_share, drop_end_share : float
        Lost at the breaker's current, there and back; as a share of the voltage; the same from the
        inlet or the inverter, whichever loses more, to the run's end.
    """

    leg: MainsLeg
    wire: Wire | None
    gauge: str
    metric: str
    bears: Ampacity | None
    most_a: float
    voltage_v: float
    length_m: float
    drop_v: float
    drop_share: float
    drop_end_share: float

    @property
    def given(self) -> bool:
        """Whether the conductor is the van's own."""
        return self.leg.run.wire is not None

    @property
    def last(self) -> bool:
        """Whether appliances or the charger hang on its end, and no further run."""
        return self.leg.end in _LAST


def mains_sizes(rules: RuleSet, breaker_a: float) -> tuple[str, str]:
    """Return gauge and metric size of mains cable behind a breaker; empty beyond the table."""
    for most_a, gauge, metric in rules.ac.conductors:
        if breaker_a <= most_a:
            return gauge, metric
    return "", ""


def mains_most_a(rules: RuleSet, wire: Wire) -> float:
    """Largest breaker that protects a mains conductor, A: by the list of sizes and by its ampacity.

    A conductor as thick as the last of the list, or thicker, is held to its ampacity alone.

    Examples
    --------
    >>> from solarsim.electrical.rule_set import rule_set
    >>> from solarsim.electrical.wire import awg, metric
    >>> mains_most_a(rule_set("us-rv"), awg("12"))
    20.0
    >>> mains_most_a(rule_set("eu-caravan"), metric(2.5))
    16.0
    """
    ampacity_a = mains_ampacity(rules, wire).ampacity_a
    rows = rules.ac.conductors
    fitting = [most_a for most_a, *names in rows if wire.area_mm2 >= _least_mm2(*names) * 0.999]
    if len(fitting) == len(rows):
        return ampacity_a
    return min(ampacity_a, max(fitting, default=0.0))


def mains_drop_v(wire: Wire, current_a: float, length_m: float) -> float:
    """Voltage lost there and back in warm copper, V; reactance is left out, it is nothing here.

    Parameters
    ----------
    wire : Wire
        The conductor.
    current_a : float
        Current, A.
    length_m : float
        One way, m.

    References
    ----------
    .. [1] IEC 60364-5-52, annex G (from memory): u = 2 rho L I / S in a single phase, rho of copper
       in service 0.0225 ohm mm2/m; BS 7671 table 4D2B (from memory) has 18 mV/A/m for 2.5 mm2.

    Examples
    --------
    >>> from solarsim.electrical.wire import metric
    >>> round(1000.0 * mains_drop_v(metric(2.5), 1.0, 1.0), 3)
    18.0
    """
    return 2.0 * rule("mains_ohm_mm2_m").value * length_m * current_a / wire.area_mm2


def mains_cables(van: Van, rules: RuleSet) -> list[MainsCable]:
    """Return every run of mains cable, from inlet and inverter on."""
    voltage_v = mains_voltage_v(rules, van)
    found: list[MainsCable] = []
    for leg in mains_legs(van, rules):
        gauge, metric = mains_sizes(rules, leg.breaker_a) if leg.has_breaker else ("", "")
        name = leg.run.wire or (metric if rules.native_metric else gauge)
        wire = parse_wire(name) if name else None
        default_m = rule(f"length_{leg.key}_m").value
        length_m = default_m if leg.run.length_m is None else leg.run.length_m
        lost_v = 0.0 if wire is None else mains_drop_v(wire, leg.breaker_a, length_m)
        share = lost_v / voltage_v
        # Two sources may feed one switch: what hangs on it is told with the one that loses more.
        before = max((c.drop_end_share for c in found if c.leg.end == leg.start), default=0.0)
        bears = None if wire is None else mains_ampacity(rules, wire)
        most_a = 0.0 if wire is None else mains_most_a(rules, wire)
        found.append(
            MainsCable(
                leg, wire, gauge, metric, bears, most_a, voltage_v, length_m, lost_v, share,
                before + share,
            )
        )  # fmt: skip
    return found


def _least_mm2(gauge: str, metric: str) -> float:
    return min(parse_wire(gauge).area_mm2, parse_wire(metric).area_mm2)
