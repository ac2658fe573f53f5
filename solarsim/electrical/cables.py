"""Wire and fuse of every run: the smallest that the rules allow, or what the van's file gives."""

from __future__ import annotations

import dataclasses
import functools
from collections.abc import Iterator
from typing import NamedTuple

from solarsim.electrical.circuits import Circuit, circuits_of
from solarsim.electrical.currents import next_up
from solarsim.electrical.rules import fuse_sizes_a, rule
from solarsim.electrical.wire import (
    Wire,
    ambient_factor,
    ampacity_a,
    awg,
    awg_sizes,
    bs7671_current_a,
    derating,
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
    "before_factors_a",
    "british_held",
    "cables_of",
    "choose_awg",
    "choose_metric",
    "drop_limit_share",
    "held",
    "kept_a",
    "with_pairs",
]

# The conductor's temperature at which its loss is told: NEC chapter 9, table 8.
_WARM_C = 75.0
# The insulation of that table.
_BRITISH_C = 90
_SMALLEST = "16"
_SMALLEST_IN_PARALLEL = "1/0"


@dataclasses.dataclass(frozen=True)
class Cable:
    """One run with its conductor and fuse.

    Attributes
    ----------
    circuit : Circuit
        What it carries.
    wire : Wire or None
        The van's own conductor, or the smallest gauge that the rules allow, two in parallel where
        no single one does; None if there is none.
    given : bool
        Whether the conductor is the van's own.
    metric : Wire or None
        The smallest metric size that the rules and BS 7671 table 4E1A allow.
    ampacity_a : float
        What the conductor may carry there, A.
    heat_share : float
        Share of its ampacity that the air there leaves; a bundle is not in it.
    drop_v, drop_share, drop_limit_share : float
        Voltage lost there and back, as a share of the circuit's voltage, and what is allowed.
    loss_w : float
        Heat in the cable at that current and 75 C, W.
    fuse_a : float or None
        The van's own fuse or the next size above the design current; None where there is none.
    """

    circuit: Circuit
    wire: Wire | None
    given: bool
    metric: Wire | None
    ampacity_a: float
    heat_share: float
    drop_v: float
    drop_share: float
    drop_limit_share: float
    loss_w: float
    fuse_a: float | None


class Held(NamedTuple):
    """A current that a conductor must bear and what it bears, A; of two such pairs the worse."""

    must_a: float
    bears_a: float

    @property
    def enough(self) -> bool:
        """Whether it bears that much."""
        return self.bears_a >= self.must_a


def drop_limit_share(circuit: Circuit) -> float:
    """Share of its voltage that a circuit may lose on the way.

    References
    ----------
    .. [1] ABYC E-11: 3 % and 10 % classes.
    """
    return rule("drop_critical" if circuit.critical else "drop_other").value


def with_pairs(sizes: tuple[Wire, ...]) -> tuple[Wire, ...]:
    """Return the sizes and, after them, two in parallel of those that are thick enough for it.

    References
    ----------
    .. [1] NEC (NFPA 70) 310.10(G), from memory: no conductor below 1/0 AWG in parallel.
    """
    least_mm2 = awg(_SMALLEST_IN_PARALLEL).area_mm2 * (1.0 - 1e-9)
    return (*sizes, *(pair(wire) for wire in sizes if wire.area_mm2 >= least_mm2))


# Designs that are compared share most of their runs.
@functools.lru_cache(maxsize=1024)
def choose_awg(circuit: Circuit) -> Wire | None:
    """Return the smallest gauge from 16 AWG that bears the current and loses little enough.

    References
    ----------
    .. [1] 33 CFR 183.425: table 5, and no conductor below 16 AWG (the latter from memory).
    .. [2] ABYC E-11: voltage drop.
    """
    sizes = with_pairs(awg_sizes())
    return next((wire for wire in sizes if _enough(circuit, wire)), None)


@functools.lru_cache(maxsize=1024)
def choose_metric(circuit: Circuit) -> Wire | None:
    """Return the smallest metric size that the same rules and BS 7671 table 4E1A allow."""
    for wire in with_pairs(metric_sizes()):
        british = british_held(circuit, wire)
        # Below and beyond that table the ampacity by area stands alone.
        bears = british is None or (british.enough and british.bears_a >= _protected_a(circuit))
        if bears and _enough(circuit, wire):
            return wire
    return None


def held(circuit: Circuit, wire: Wire) -> Held:
    """What a conductor must bear and bears, A: before or after the factors for heat and bundling.

    References
    ----------
    .. [1] 33 CFR 183.425, table 5.
    .. [2] NEC (NFPA 70) 690.8(B), from memory: before and after the factors, for an array.
    """
    return _worse(circuit, before_factors_a(circuit, wire), kept_a(circuit, wire))


def before_factors_a(circuit: Circuit, wire: Wire) -> float:
    """Ampacity of a conductor in the air of the table and not bundled, A."""
    return ampacity_a(dataclasses.replace(wire, count=1), circuit.run.insulation_c) * wire.count


def kept_a(circuit: Circuit, wire: Wire) -> float:
    """Ampacity of a conductor where it lies, A: in its air and its bundle."""
    return ampacity_a(
        wire,
        circuit.run.insulation_c,
        ambient_c=circuit.ambient_c,
        engine_space=circuit.engine_space,
        bundled=circuit.run.bundled,
    )


def british_held(circuit: Circuit, wire: Wire) -> Held | None:
    """As `held` for a metric size by BS 7671 table 4E1A; None outside the table."""
    table_a = bs7671_current_a(wire.single_mm2)
    if table_a is None:
        return None
    share = derating(
        _BRITISH_C,
        ambient_c=circuit.ambient_c,
        engine_space=circuit.engine_space,
        bundled=circuit.run.bundled,
        count=wire.count,
    )
    return _worse(circuit, wire.count * table_a, wire.count * table_a * share)


def cables_of(van: Van, profile: Profile, *, record_high_c: float | None = None) -> Iterator[Cable]:
    """Yield every run of the van with its wire and fuse; `record_high_c` as in `circuits_of`."""
    for circuit in circuits_of(van, profile, record_high_c=record_high_c):
        own = circuit.run.wire
        wire = choose_awg(circuit) if own is None else parse_wire(own)
        lost_v = 0.0
        loss_w = 0.0
        if wire is not None:
            lost_v = drop_v(wire, circuit.running_a, circuit.length_m)
            loop_ohm = 2.0 * circuit.length_m * resistance_ohm_m(wire, _WARM_C)
            loss_w = loop_ohm * circuit.running_a**2
        yield Cable(
            circuit=circuit,
            wire=wire,
            given=own is not None,
            metric=choose_metric(circuit),
            ampacity_a=0.0 if wire is None else kept_a(circuit, wire),
            heat_share=ambient_factor(
                circuit.run.insulation_c, circuit.ambient_c, engine_space=circuit.engine_space
            ),
            drop_v=lost_v,
            drop_share=lost_v / circuit.running_v,
            drop_limit_share=drop_limit_share(circuit),
            loss_w=loss_w,
            fuse_a=_fuse_a(circuit),
        )


def _enough(circuit: Circuit, wire: Wire) -> bool:
    """Whether it bears the current, loses little enough and is protected by a given fuse."""
    allowed_v = drop_limit_share(circuit) * circuit.running_v
    least_mm2 = least_area_mm2(circuit.running_a, circuit.length_m, allowed_v)
    # A size equal to the least but for rounding is enough.
    thick = wire.area_mm2 >= max(least_mm2, awg(_SMALLEST).area_mm2) * (1.0 - 1e-9)
    return thick and held(circuit, wire).enough and kept_a(circuit, wire) >= _protected_a(circuit)


def _protected_a(circuit: Circuit) -> float:
    """Least ampacity that a given fuse protects, A."""
    fuse_a = circuit.run.fuse_a if circuit.fused_at_source else None
    return 0.0 if fuse_a is None else fuse_a / rule("fuse_most_ratio").value


def _worse(circuit: Circuit, before_a: float, after_a: float) -> Held:
    after, before = Held(circuit.corrected_a, after_a), Held(circuit.design_a, before_a)
    return min(after, before, key=lambda one: one.bears_a / one.must_a)


def _fuse_a(circuit: Circuit) -> float | None:
    if not circuit.fused_at_source:
        return circuit.string_fuse_a
    if not circuit.run.fused:
        return None
    if circuit.run.fuse_a is not None:
        return circuit.run.fuse_a
    return next_up(fuse_sizes_a(), circuit.design_a)
