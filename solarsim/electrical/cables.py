"""Wire and fuse of every run: the smallest that the rules allow, or what the van's file gives."""

from __future__ import annotations

import dataclasses
import functools
from collections.abc import Iterator
from typing import NamedTuple

from solarsim.electrical.ampacity import Ampacity, ampacity_of, thin_fuse_a
from solarsim.electrical.circuit.circuit import Circuit
from solarsim.electrical.circuit.dc_runs import circuits_of
from solarsim.electrical.currents import next_up
from solarsim.electrical.rule_set import RuleSet, rule_set
from solarsim.electrical.rules import fuse_sizes_a, rule
from solarsim.electrical.wire import (
    Wire,
    awg,
    awg_sizes,
    drop_v,
    least_area_mm2,
    metric_sizes,
    pair,
    parse_wire,
    resistance_ohm_m,
)
from solarsim.inputs.profile import Profile
from solarsim.inputs.van import Van

__all__ = [
    "Cable",
    "Held",
    "borne",
    "cables_of",
    "choose_awg",
    "choose_metric",
    "choose_native",
    "drop_limit_share",
    "fuse_for",
    "fuse_most_a",
    "held",
    "upstream_share",
    "with_pairs",
]

# The conductor's temperature at which its loss is told: NEC chapter 9, table 8.
_WARM_C = 75.0
_SMALLEST_IN_PARALLEL = "1/0"
# Runs that others hang on: what they lose is lost to all.
_SHARED = ("main", "bank_bus", "bank_string", "panels_string")


@dataclasses.dataclass(frozen=True)
class Cable:
    """One run with its conductor and fuse.

    Attributes
    ----------
    circuit : Circuit
        What it carries.
    wire : Wire or None
        The van's own conductor, or the smallest that the rules allow, two in parallel where no
        single one does; None if there is none.
    given : bool
        Whether the conductor is the van's own.
    gauge, metric : Wire or None
        The smallest AWG and the smallest metric size that the rules allow.
    bears : Ampacity or None
        What the conductor bears, factor by factor.
    drop_v, drop_share, drop_limit_share : float
        Voltage lost there and back, as a share of the circuit's voltage, and what is allowed.
    upstream_share : float
        The same share lost between it and its source.
    loss_w : float
        Heat in the cable at that current and 75 C, W.
    fuse_a : float or None
        The van's own fuse, or the next size above the design current that the conductor allows;
        None where there is none.
    fuse_most_a : float
        Largest fuse that protects the conductor, A.
    """

    circuit: Circuit
    wire: Wire | None
    given: bool
    gauge: Wire | None
    metric: Wire | None
    bears: Ampacity | None
    drop_v: float
    drop_share: float
    drop_limit_share: float
    upstream_share: float
    loss_w: float
    fuse_a: float | None
    fuse_most_a: float

    @property
    def ampacity_a(self) -> float:
        """What the conductor may carry there, A; 0 where there is none."""
        return 0.0 if self.bears is None else self.bears.ampacity_a

    @property
    def heat_share(self) -> float:
        """Share of its ampacity that the air there leaves; a bundle is not in it."""
        return 1.0 if self.bears is None else self.bears.air_share

    @property
    def drop_end_share(self) -> float:
        """Share of the voltage that is lost from the source to this run's end, and back."""
        return self.upstream_share + self.drop_share


class Held(NamedTuple):
    """A current that a conductor must bear and what it bears, A; of two such pairs the worse."""

    must_a: float
    bears_a: float

    @property
    def enough(self) -> bool:
        """Whether it bears that much."""
        return self.bears_a >= self.must_a * (1.0 - 1e-9)


def drop_limit_share(circuit: Circuit) -> float:
    """Share of its voltage that a circuit may lose between its source and its end."""
    rules = rule_set(circuit.rules)
    return rules.rule("drop_critical" if circuit.critical else "drop_other").value


def with_pairs(sizes: tuple[Wire, ...]) -> tuple[Wire, ...]:
    """Return the sizes and, after them, two in parallel of those that are thick enough for it.

    The two in one bundle come first, then the two apart, each beside its own return.

    References
    ----------
    .. [1] NEC (NFPA 70) 310.10(G), from memory: no conductor below 1/0 AWG in parallel; its factor
       for bundles counts the conductors of each raceway by itself. BS 7671 table 4C1, note, from
       memory: circuits two diameters apart do not warm one another.
    """
    least_mm2 = awg(_SMALLEST_IN_PARALLEL).area_mm2 * (1.0 - 1e-9)
    thick = tuple(wire for wire in sizes if wire.area_mm2 >= least_mm2)
    return (*sizes, *map(pair, thick), *(pair(wire, apart=True) for wire in thick))


# Designs that are compared share most of their runs.
@functools.lru_cache(maxsize=1024)
def choose_awg(circuit: Circuit, upstream_share: float = 0.0) -> Wire | None:
    """Return the smallest gauge that bears the current, loses little enough and lets a fuse."""
    sizes = with_pairs(awg_sizes())
    return next((wire for wire in sizes if _enough(circuit, wire, upstream_share)), None)


@functools.lru_cache(maxsize=1024)
def choose_metric(circuit: Circuit, upstream_share: float = 0.0) -> Wire | None:
    """Return the smallest metric size that does; as `choose_awg`."""
    sizes = with_pairs(metric_sizes())
    return next((wire for wire in sizes if _enough(circuit, wire, upstream_share)), None)


def choose_native(circuit: Circuit, upstream_share: float = 0.0) -> Wire | None:
    """Return the smallest size of the kind that the rules' country buys."""
    choose = choose_metric if rule_set(circuit.rules).native_metric else choose_awg
    return choose(circuit, upstream_share)


def borne(circuit: Circuit, wire: Wire) -> Ampacity:
    """What a conductor bears where the run lies, factor by factor."""
    return _borne(
        circuit.rules,
        wire,
        circuit.insulation_c,
        circuit.ambient_c,
        circuit.engine_space,
        circuit.run.bundled,
        circuit.run.terminal_c,
    )


# The vans of a comparison have most of their runs in common, and each tries the same sizes.
@functools.lru_cache(maxsize=4096)
def _borne(
    rules: str,
    wire: Wire,
    insulation_c: int,
    ambient_c: float,
    engine_space: bool,
    bundled: int,
    terminal_c: float | None,
) -> Ampacity:
    return ampacity_of(
        rule_set(rules),
        wire,
        insulation_c,
        ambient_c=ambient_c,
        engine_space=engine_space,
        bundled=bundled,
        terminal_c=terminal_c,
    )


def held(circuit: Circuit, wire: Wire) -> Held:
    """What a conductor must bear and bears, A: before or after the factors for heat and bundling.

    References
    ----------
    .. [1] NEC (NFPA 70) 690.8(B), from memory: before and after the factors, for an array.
    """
    bears = borne(circuit, wire)
    after = Held(circuit.corrected_a, bears.ampacity_a)
    before = Held(circuit.design_a, bears.before_a)
    return min(after, before, key=lambda one: one.bears_a / one.must_a)


def fuse_most_a(circuit: Circuit, wire: Wire) -> float:
    """Largest fuse that protects a conductor where it lies, A."""
    rules = rule_set(circuit.rules)
    ratio = rules.rule("fuse_most_ratio").value
    return min(ratio * borne(circuit, wire).ampacity_a, thin_fuse_a(rules, wire))


def fuse_for(circuit: Circuit, wire: Wire | None) -> float | None:
    """The van's own fuse of a run, or the one that its current and its conductor ask for, A.

    A string's own, where the source is an array; None where none is needed, given or made.
    """
    if not circuit.fused_at_source:
        return circuit.string_fuse_a if circuit.key.startswith("panels") else None
    if not circuit.run.fused:
        return None
    if circuit.run.fuse_a is not None:
        return circuit.run.fuse_a
    wanted_a = next_up(fuse_sizes_a(), circuit.design_a)
    if wire is None or wanted_a is None or not held(circuit, wire).enough:
        return wanted_a
    most_a = fuse_most_a(circuit, wire)
    # Where no size lies between, one that carries the current without reserve is the next best.
    fitting = [a for a in fuse_sizes_a() if circuit.current_a <= a <= most_a * (1.0 + 1e-9)]
    return wanted_a if wanted_a <= most_a or not fitting else fitting[-1]


def upstream_share(circuit: Circuit, share_per_a: dict[str, float]) -> float:
    """Share of the voltage that is lost between a run and its source."""
    return sum(share_per_a.get(key, 0.0) * current_a for key, current_a in circuit.upstream_a)


def cables_of(
    van: Van, profile: Profile, rules: RuleSet, *, record_high_c: float | None = None
) -> Iterator[Cable]:
    """Yield every DC run with its wire and fuse; arguments as in `circuits_of`."""
    share_per_a: dict[str, float] = {}
    for circuit in circuits_of(van, profile, rules, record_high_c=record_high_c):
        before_share = upstream_share(circuit, share_per_a)
        own = circuit.run.wire
        wire = choose_native(circuit, before_share) if own is None else parse_wire(own)
        lost_v = 0.0
        loss_w = 0.0
        if wire is not None:
            lost_v = drop_v(wire, circuit.running_a, circuit.length_m)
            loop_ohm = 2.0 * circuit.length_m * resistance_ohm_m(wire, _WARM_C)
            loss_w = loop_ohm * circuit.running_a**2
        share = lost_v / circuit.running_v
        if circuit.key in _SHARED and circuit.running_a > 0.0:
            share_per_a[circuit.key] = share / circuit.running_a
        yield Cable(
            circuit=circuit,
            wire=wire,
            given=own is not None,
            gauge=choose_awg(circuit, before_share),
            metric=choose_metric(circuit, before_share),
            bears=None if wire is None else borne(circuit, wire),
            drop_v=lost_v,
            drop_share=share,
            drop_limit_share=drop_limit_share(circuit),
            upstream_share=before_share,
            loss_w=loss_w,
            fuse_a=fuse_for(circuit, wire),
            fuse_most_a=0.0 if wire is None else fuse_most_a(circuit, wire),
        )


def _enough(circuit: Circuit, wire: Wire, upstream: float) -> bool:
    """Whether it bears the current, loses little enough and is protected by a fuse."""
    limit = drop_limit_share(circuit)
    # What is shared takes little; where it took too much already, its own run is the one to mend.
    own_share = max(limit - upstream, limit / 3.0)
    if circuit.key in _SHARED:
        own_share = rule("drop_shared").value
    allowed_v = own_share * circuit.running_v
    drop_mm2 = least_area_mm2(circuit.running_a, circuit.length_m, allowed_v)
    strong_mm2 = rule_set(circuit.rules).rule("least_area_mm2").value
    # A size equal to the least but for rounding is enough; a thousandth is rounding of the sizes.
    thick = wire.area_mm2 >= max(drop_mm2 * (1.0 - 1e-9), strong_mm2 * 0.999)
    return thick and held(circuit, wire).enough and _fuse_fits(circuit, wire)


def _fuse_fits(circuit: Circuit, wire: Wire) -> bool:
    if circuit.key == "panels_string" and circuit.string_fuse_a is not None:
        return circuit.string_fuse_a <= fuse_most_a(circuit, wire) * (1.0 + 1e-9)
    if not circuit.fused_at_source:
        return True
    given_a = circuit.run.fuse_a if circuit.run.fused else None
    fuse_a = given_a or next_up(fuse_sizes_a(), circuit.design_a)
    return fuse_a is None or fuse_a <= fuse_most_a(circuit, wire) * (1.0 + 1e-9)
