"""Run the bank through every hour: checks the arrays, runs the kernel, names the results."""

from __future__ import annotations

import dataclasses
import math
import weakref
from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.inputs.generator import START_ABOVE_FLOOR
from solarsim.power.chemistry import capacity_share_at, charge_share_at, load_chemistry
from solarsim.power.design import Design, design_rows
from solarsim.power.inverter import Pulses
from solarsim.power.kernel import dispatch_kernel
from solarsim.power.kernel_hour import SERIES
from solarsim.power.ledger import Term
from solarsim.records import ArrayRecord

__all__ = ["Chargers", "GeneratorOffer", "Outcome", "dispatch"]

# Below this a self-heating bank warms itself before it charges: common practice, no source.
HEATED_BELOW_C = 5.0
# Designs that the kernel takes at a time: their states stay in the processor's cache.
_DESIGNS = 32


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class GeneratorOffer(ArrayRecord):
    """What a generator gives while it runs, and when somebody starts and stops it.

    Attributes
    ----------
    charging_a, charging_w : ndarray
        ``(hours,)`` mean charging current, A, or power where its watts are the limit, W; 0 in
        hours in which it may not run.
    start_soc : float or None
        At a full hour of those in which it may run it is started at or below this, 0 to 1; None is
        0.3 above the floor of each design.
    stop_soc : float
        And stopped at or above this, 0 to 1.
    rated_a : ndarray or None
        ``(hours,)`` rated mean current, A, that a charger on watts never passes; None where there
        is none.
    """

    charging_a: FloatArray
    charging_w: FloatArray
    start_soc: float | None
    stop_soc: float
    rated_a: FloatArray | None = None

    def first_hours(self, hours: int | None) -> GeneratorOffer:
        """Return the same over so many first hours; None is all of them."""
        return dataclasses.replace(
            self,
            charging_a=self.charging_a[:hours],
            charging_w=self.charging_w[:hours],
            rated_a=None if self.rated_a is None else self.rated_a[:hours],
        )


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Chargers(ArrayRecord):
    """What alternator and shore power can give, and the loads that shore power carries itself.

    Attributes
    ----------
    alternator_a, shore_a : ndarray
        ``(runs or 1, hours)`` mean charging current on offer, A.
    shore_ac_w : ndarray
        ``(runs or 1, hours)`` AC load that the post carries past the inverter, W.
    shore_w : ndarray
        ``(runs or 1, hours)`` mean charging power on offer where the post's breaker and not the
        charger is the limit, W; `shore_a` is 0 there. None where it never is.
    generator : GeneratorOffer or None
        What a generator can give; None where there is none.
    shore_rated_a : ndarray or None
        ``(hours,)`` rated mean current of the shore charger, A, that it never passes while it gives
        `shore_w`; None where it never does.
    """

    alternator_a: FloatArray
    shore_a: FloatArray
    shore_ac_w: FloatArray
    shore_w: FloatArray | None = None
    generator: GeneratorOffer | None = None
    shore_rated_a: FloatArray | None = None


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Outcome(ArrayRecord):
    """What became of every run and design.

    Attributes
    ----------
    ledger_wh : ndarray
        ``(runs, terms, designs)`` energy over the ledger's hours, by `Term`, Wh.
    first_cut_h : ndarray
        ``(runs, designs)`` hours from arrival to the first cut-off; the horizon where none came.
    depletion_days : ndarray
        ``(runs, designs)`` days with any unserved demand within the ledger's hours.
    soc : ndarray
        ``(runs, soc_hours + 1, kept)`` state of charge at the stamps of the first designs.
    """

    ledger_wh: FloatArray
    first_cut_h: FloatArray
    depletion_days: FloatArray
    soc: FloatArray


def dispatch(
    *,
    panel_w: FloatArray,
    dc_w: FloatArray,
    ac_w: FloatArray,
    inverter_loss_w: FloatArray,
    pulses: Pulses | None = None,
    other_solar_w: FloatArray | None = None,
    other_solar_a: FloatArray | None = None,
    other_clipped_w: FloatArray | None = None,
    chargers: Chargers,
    bank_temp_c: FloatArray,
    designs: Sequence[Design],
    start_soc: float,
    ledger_hours: int,
    soc_designs: int = 0,
    soc_hours: int | None = None,
) -> Outcome:
    """Dispatch every design on the same weather and demand.

    Parameters
    ----------
    panel_w : ndarray
        ``(runs, hours)``, or ``(runs, hours, variants)``: power of one panel after the controller,
        before its current limit, W.
    dc_w, ac_w, inverter_loss_w : ndarray
        ``(runs or 1, hours)`` DC load, AC load through the inverter, and the inverter's loss, W.
    pulses : Pulses, optional
        How the AC loads' energy comes in pulses within the hour; steady where left out.
    other_solar_w, other_solar_a, other_clipped_w : ndarray, optional
        ``(runs or 1, hours)`` what all other arrays give after their own controllers, W, or A where
        those are PWM or at their limit; and what they clip, W.
    chargers : Chargers
        Alternator and shore.
    bank_temp_c : ndarray
        ``(runs or 1, hours)`` bank temperature, degrees C.
    designs : sequence of Design
        The candidates.
    start_soc : float
        State of charge at arrival, 0 to 1.
    ledger_hours : int
        Hours that the ledger and the depletion days cover.
    soc_designs : int
        How many of the first designs keep the state of charge of every hour.
    soc_hours : int, optional
        For how many hours they keep it; all where left out.

    Raises
    ------
    ValueError
        An array has the wrong shape, holds a value that is not finite, or a negative power; a
        design points at no panel series.
    """
    if panel_w.ndim == 2:
        panel_w = panel_w[:, :, np.newaxis]
    runs, hours = panel_w.shape[:2]
    nothing = np.zeros((1, hours))
    pulses = pulses or Pulses(nothing, nothing)
    other_clipped_w = nothing if other_clipped_w is None else other_clipped_w
    # In the order in which the kernel takes them.
    of_hours = {
        "other_solar_w": nothing if other_solar_w is None else other_solar_w,
        "other_solar_a": nothing if other_solar_a is None else other_solar_a,
        "dc_w": dc_w,
        "ac_w": ac_w,
        "inverter_loss_w": inverter_loss_w,
        "pulse_w": pulses.power_w,
        "pulse_share": pulses.share,
        "alternator_a": chargers.alternator_a,
        "shore_a": chargers.shore_a,
        "shore_w": nothing if chargers.shore_w is None else chargers.shore_w,
    }
    past_the_bank = {"other_clipped_w": other_clipped_w, "shore_ac_w": chargers.shore_ac_w}
    _check_inputs({"panel_w": panel_w} | of_hours | past_the_bank, bank_temp_c, runs, hours)
    _check_variants(designs, panel_w.shape[2])
    aside = _aside(chargers, hours)
    if not 0.0 <= start_soc <= 1.0 or not 0 <= ledger_hours <= hours:
        raise ValueError(
            f"start_soc {start_soc} must lie in 0..1, ledger_hours {ledger_hours} in 0..{hours}"
        )
    soc_hours = hours if soc_hours is None else soc_hours
    outcome = _empty(runs, len(designs), soc_designs, soc_hours + 1)
    series = _contiguous(np.moveaxis(panel_w, -1, 0))
    hourly = [_contiguous(array) for array in of_hours.values()]
    _run(outcome, series, hourly, bank_temp_c, designs, start_soc, ledger_hours, aside)
    _add_past_the_bank(outcome, chargers, other_clipped_w, ledger_hours)
    return outcome


def _add_past_the_bank(
    outcome: Outcome, chargers: Chargers, other_clipped_w: FloatArray, ledger_hours: int
) -> None:
    """Add to the ledger what never reaches the bank."""
    # Shore power carries these loads whatever the bank does; the other arrays' controllers clip
    # what they clip.
    for watts, terms in (
        (chargers.shore_ac_w, (Term.SHORE, Term.LOAD_AC)),
        (other_clipped_w, (Term.SOLAR_AVAILABLE, Term.SOLAR_CLIPPED)),
    ):
        energy_wh = watts[:, :ledger_hours].sum(axis=1)
        outcome.ledger_wh[:, terms] += energy_wh[:, np.newaxis, np.newaxis]


_Aside = tuple[FloatArray, float, float, float]


def _aside(chargers: Chargers, hours: int) -> _Aside | None:
    """Check what each design's bank is looked at for, and return it as the kernel takes it."""
    offer, shore_a = chargers.generator, chargers.shore_rated_a
    if offer is None and shore_a is None:
        return None
    rows = np.stack([np.zeros(hours), np.zeros(hours), *np.full((2, hours), np.inf)])
    if shore_a is not None:
        shore_a = _row("shore_rated_a", shore_a, hours)
        rows[3] = np.where(shore_a > 0.0, shore_a, np.inf)
    if offer is None:
        return rows, 0.0, 0.0, 0.0
    rows[0] = _row("generator's charging_a", offer.charging_a, hours)
    rows[1] = _row("generator's charging_w", offer.charging_w, hours)
    if offer.rated_a is not None:
        rows[2] = _row("generator's rated_a", offer.rated_a, hours)
    start_soc, stop_soc = offer.start_soc, offer.stop_soc
    if not 0.0 <= (start_soc or 0.0) <= stop_soc <= 1.0:
        raise ValueError(f"start_soc {start_soc} must not exceed stop_soc {stop_soc}, in 0..1")
    above_floor = 1.0 if start_soc is None else 0.0
    start_soc = START_ABOVE_FLOOR if start_soc is None else float(start_soc)
    return rows, start_soc, float(stop_soc), above_floor


def _row(name: str, array: FloatArray, hours: int) -> FloatArray:
    if array.shape != (hours,) or not np.isfinite(array).all() or (array < 0.0).any():
        raise ValueError(f"{name} must be {hours} finite values, none below 0")
    return array


def _empty(runs: int, designs: int, kept: int, stamps: int) -> Outcome:
    return Outcome(
        np.empty((runs, len(Term), designs)),
        np.empty((runs, designs)),
        np.empty((runs, designs)),
        np.empty((runs, stamps, kept)),
    )


def _run(
    outcome: Outcome,
    series: FloatArray,
    hourly: Sequence[FloatArray],
    bank_temp_c: FloatArray,
    designs: Sequence[Design],
    start_soc: float,
    ledger_hours: int,
    aside: _Aside | None,
) -> None:
    """Run the kernel over all designs and write what comes of them into `outcome`."""
    runs, stamps, soc_designs = outcome.soc.shape
    for with_bank, numbers, rows in _by_chemistry(designs, hourly, bank_temp_c):
        for first in range(0, len(numbers), _DESIGNS):
            part = numbers[first : first + _DESIGNS]
            kept = [number for number in part if number < soc_designs]
            group = _empty(runs, len(part), len(kept), stamps)
            dispatch_kernel(
                series,
                with_bank,
                rows[first : first + _DESIGNS],
                np.array([designs[number].panel_variant for number in part]),
                float(start_soc),
                ledger_hours,
                group.ledger_wh,
                group.first_cut_h,
                group.depletion_days,
                group.soc,
                aside,
            )
            outcome.ledger_wh[:, :, part] = group.ledger_wh
            outcome.first_cut_h[:, part] = group.first_cut_h
            outcome.depletion_days[:, part] = group.depletion_days
            outcome.soc[:, :, kept] = group.soc


def _by_chemistry(
    designs: Sequence[Design], hourly: Sequence[FloatArray], bank_temp_c: FloatArray
) -> Iterator[tuple[tuple[FloatArray, ...], list[int], FloatArray]]:
    """What the kernel takes at a time: the hours of a chemistry, its designs and their columns."""
    numbers: dict[str, list[int]] = {}
    for number, design in enumerate(designs):
        numbers.setdefault(design.chemistry, []).append(number)
    for name, members in numbers.items():
        with_bank = (*hourly, *_warmth(name, bank_temp_c))
        # The machine code takes them by their place and reads past the end of what is missing.
        if len(with_bank) != SERIES:
            raise ValueError(f"the kernel takes {SERIES} series of hours; got {len(with_bank)}")
        yield with_bank, members, design_rows([designs[number] for number in members])


_Warmth = tuple[FloatArray, FloatArray, FloatArray]
_KNOWN: dict[tuple[int, str], _Warmth] = {}


def _warmth(chemistry_name: str, bank_temp_c: FloatArray) -> _Warmth:
    """Shares of capacity and of charging current that a temperature leaves, and who would heat.

    Kept for as long as the temperatures are there, where they cannot change: vans that are compared
    have the same.
    """
    key, lasting = (id(bank_temp_c), chemistry_name), not bank_temp_c.flags.writeable
    if lasting and key in _KNOWN:
        return _KNOWN[key]
    chemistry = load_chemistry(chemistry_name)
    warmth = (
        _contiguous(capacity_share_at(chemistry, bank_temp_c)),
        _contiguous(charge_share_at(chemistry, bank_temp_c)),
        (bank_temp_c < HEATED_BELOW_C).astype(np.float64),
    )
    # A view could change with the array that it is of.
    if lasting and bank_temp_c.base is None:
        _KNOWN[key] = warmth
        weakref.finalize(bank_temp_c, _KNOWN.pop, key, None).atexit = False
    return warmth


def _check_inputs(
    powers: Mapping[str, FloatArray], bank_temp_c: FloatArray, runs: int, hours: int
) -> None:
    for name, array in powers.items():
        lowest = _check(name, array, runs, hours)
        if lowest < 0.0:
            raise ValueError(f"{name} holds a negative value ({lowest})")
    _check("bank_temp_c", bank_temp_c, runs, hours)


def _check_variants(designs: Sequence[Design], variants: int) -> None:
    """Hold each design to a panel series that there is: the machine code looks at no bounds."""
    for design in designs:
        if not 0 <= design.panel_variant < variants:
            raise ValueError(
                f"panel_variant {design.panel_variant} must lie in 0..{variants - 1}, the series "
                "of panel_w"
            )


def _check(name: str, array: FloatArray, runs: int, hours: int) -> float:
    """Return the lowest value of an array that may be dispatched."""
    if array.shape[0] not in (1, runs) or array.shape[1] != hours:
        raise ValueError(f"{name} has shape {array.shape}; expected ({runs} or 1, {hours}) to lead")
    if not array.size:
        return 0.0
    # Both are NaN where any value is.
    lowest, highest = float(array.min()), float(array.max())
    if not (math.isfinite(lowest) and math.isfinite(highest)):
        raise ValueError(f"{name} holds values that are not finite")
    return lowest


def _contiguous(array: FloatArray) -> FloatArray:
    return np.ascontiguousarray(array, dtype=np.float64)
