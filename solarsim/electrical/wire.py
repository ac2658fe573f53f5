"""Conductors by their size: area, resistance, ampacity, and the least area for a voltage drop."""

from __future__ import annotations

import dataclasses
import functools
import math

from solarsim.electrical.rules import read_table

__all__ = [
    "Wire",
    "awg",
    "awg_sizes",
    "drop_v",
    "least_area_mm2",
    "metric",
    "metric_sizes",
    "pair",
    "parse_wire",
    "resistance_ohm_m",
]

# ABYC E-11: circular mils = 10.75 x A x ft / V, the length there and back; a circular mil is the
# area of a circle of a thousandth of an inch.
_E11_FACTOR = 10.75
_MIL_MM = 0.0254
_FOOT_M = 0.3048
# Copper of 100 % IACS at 20 C, ohm mm2/m, and its rise per kelvin (IEC 60028).
_RESISTIVITY_20C = 0.017241
_RISE_PER_K = 0.00393
_APART = " (apart)"


@dataclasses.dataclass(frozen=True)
class Wire:
    """A size of conductor: its name and the diameter of a solid one of its area, mm.

    ``count`` like ones may lie in parallel; then the area is that of all. ``apart`` if each lies
    beside its own return, away from the others, so that they do not warm one another.
    """

    name: str
    diameter_mm: float
    count: int = 1
    apart: bool = False

    @property
    def single_name(self) -> str:
        """Name of each, such as ``"4/0 AWG"`` of ``"2 x 4/0 AWG (apart)"``."""
        return self.name.partition(" x ")[2].removesuffix(_APART) or self.name

    @property
    def area_mm2(self) -> float:
        """Area of copper, mm2."""
        return self.count * self.single_mm2

    @property
    def single_mm2(self) -> float:
        """Area of copper of each, mm2."""
        return math.pi / 4.0 * self.diameter_mm**2


def awg(name: str) -> Wire:
    """Return an American wire gauge: 0.127 mm x 92^((36 - n) / 39), with -3 for 4/0.

    Parameters
    ----------
    name : str
        ``"18"`` to ``"1"``, ``"1/0"`` to ``"4/0"``.

    References
    ----------
    .. [1] ASTM B258, "Standard nominal diameters and cross-sectional areas of AWG sizes of solid
       round wires".

    Examples
    --------
    >>> round(awg("4/0").area_mm2, 2)
    107.22
    """
    number = 1 - int(name[:-2]) if name.endswith("/0") else int(name)
    return Wire(f"{name} AWG", 0.127 * 92.0 ** ((36 - number) / 39.0))


@functools.cache
def awg_sizes() -> tuple[Wire, ...]:
    """Return the gauges of the table of ampacities, thinnest first."""
    return tuple(awg(row["awg"]) for row in read_table("cfr183_425_table5"))


def metric(area_mm2: float) -> Wire:
    """Return a conductor of an area in mm2."""
    return Wire(f"{area_mm2:g} mm2", math.sqrt(4.0 * area_mm2 / math.pi))


def pair(wire: Wire, *, apart: bool = False) -> Wire:
    """Return two of a conductor in parallel, in one bundle or each beside its own return."""
    return Wire(f"2 x {wire.name}{_APART if apart else ''}", wire.diameter_mm, 2, apart)


def parse_wire(text: str) -> Wire:
    """Return the wire of a text like ``"4 AWG"``, ``"2/0 AWG"``, ``"35 mm2"`` or ``"2 x 70 mm2"``.

    Examples
    --------
    >>> parse_wire("AWG 2/0").name, parse_wire("35 mm2").name, parse_wire("2x70 mm2 (apart)").name
    ('2/0 AWG', '35 mm2', '2 x 70 mm2 (apart)')
    """
    lowered = text.strip().lower()
    if lowered[1:].lstrip().startswith("x"):
        one = lowered.partition("x")[2].removesuffix(_APART)
        return pair(parse_wire(one), apart=lowered.endswith(_APART))
    if lowered.endswith("mm2"):
        return metric(float(lowered.removesuffix("mm2")))
    return awg(lowered.replace("awg", "").strip())


@functools.cache
def metric_sizes() -> tuple[Wire, ...]:
    """Return the metric sizes that cable comes in, rising."""
    return tuple(metric(float(row["area_mm2"])) for row in read_table("metric_sizes"))


def drop_v(wire: Wire, current_a: float, length_m: float) -> float:
    """Voltage lost there and back, V, by the formula of ABYC E-11.

    Parameters
    ----------
    wire : Wire
        The conductor.
    current_a : float
        Current, A.
    length_m : float
        One way, m.

    Examples
    --------
    10 A over 21 ft there and back take 6271 circular mils for 3 % of 12 V:

    >>> round(drop_v(Wire("6271 CM", 0.0254 * 6271**0.5), 10.0, 10.5 * 0.3048), 3)
    0.36
    """
    circular_mils = wire.count * (wire.diameter_mm / _MIL_MM) ** 2
    return _E11_FACTOR * current_a * 2.0 * length_m / _FOOT_M / circular_mils


def least_area_mm2(current_a: float, length_m: float, allowed_v: float) -> float:
    """Smallest area that loses no more than `allowed_v` there and back, mm2; see `drop_v`."""
    circular_mils = _E11_FACTOR * current_a * 2.0 * length_m / _FOOT_M / allowed_v
    return circular_mils * math.pi / 4.0 * _MIL_MM**2


def resistance_ohm_m(wire: Wire, temp_c: float) -> float:
    """Resistance of one metre of a conductor at its temperature, ohm per metre of solid copper.

    Examples
    --------
    >>> round(1e3 * resistance_ohm_m(awg("10"), 20.0), 3)
    3.277
    """
    return _RESISTIVITY_20C * (1.0 + _RISE_PER_K * (temp_c - 20.0)) / wire.area_mm2
