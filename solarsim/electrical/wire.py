"""Conductors by their size: area, resistance, ampacity, and the least area for a voltage drop."""

from __future__ import annotations

import dataclasses
import functools
import math

from solarsim.electrical.rules import read_table

__all__ = [
    "ENGINE_SPACE_C",
    "INSULATIONS_C",
    "TABLE_AIR_C",
    "Wire",
    "ambient_factor",
    "ampacity_a",
    "awg",
    "awg_sizes",
    "bs7671_current_a",
    "derating",
    "drop_v",
    "least_area_mm2",
    "metric",
    "metric_sizes",
    "pair",
    "parse_wire",
    "resistance_ohm_m",
]

INSULATIONS_C = (60, 75, 80, 90, 105, 125, 200)
# The air that the tables of ampacity are for, and that of their note on engine spaces: with it the
# heat equation gives the note's factors (the note's own words are from memory).
TABLE_AIR_C = 30.0
ENGINE_SPACE_C = 50.0

# ABYC E-11: circular mils = 10.75 x A x ft / V, the length there and back; a circular mil is the
# area of a circle of a thousandth of an inch.
_E11_FACTOR = 10.75
_MIL_MM = 0.0254
_FOOT_M = 0.3048
# Copper of 100 % IACS at 20 C, ohm mm2/m, and its rise per kelvin (IEC 60028).
_RESISTIVITY_20C = 0.017241
_RISE_PER_K = 0.00393


@dataclasses.dataclass(frozen=True)
class Wire:
    """A size of conductor: its name and the diameter of a solid one of its area, mm.

    ``count`` like ones may lie in parallel; then the area is that of all.
    """

    name: str
    diameter_mm: float
    count: int = 1

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


def pair(wire: Wire) -> Wire:
    """Return two of a conductor in parallel."""
    return Wire(f"2 x {wire.name}", wire.diameter_mm, 2)


def parse_wire(text: str) -> Wire:
    """Return the wire of a text like ``"4 AWG"``, ``"2/0 AWG"``, ``"35 mm2"`` or ``"2 x 70 mm2"``.

    Examples
    --------
    >>> parse_wire("AWG 2/0").name, parse_wire("35 mm2").name, parse_wire("2x70 mm2").name
    ('2/0 AWG', '35 mm2', '2 x 70 mm2')
    """
    lowered = text.strip().lower()
    if lowered[1:].lstrip().startswith("x"):
        return pair(parse_wire(lowered.partition("x")[2]))
    if lowered.endswith("mm2"):
        return metric(float(lowered.removesuffix("mm2")))
    return awg(lowered.replace("awg", "").strip())


def ambient_factor(
    insulation_c: int, ambient_c: float = TABLE_AIR_C, *, engine_space: bool = False
) -> float:
    """Share of its ampacity that a conductor keeps in hot air.

    Its insulation may still warm by Tc - Ta instead of Tc - 30, and it warms by the square of the
    current: sqrt((Tc - Ta) / (Tc - 30)). In the engine space the law's own factor holds, unless
    the air is hotter than that factor is for.

    Parameters
    ----------
    insulation_c : int
        Tc, temperature rating of its insulation, one of `INSULATIONS_C`.
    ambient_c : float
        Ta, the hottest air along it, degrees C; below 30 counts as 30.
    engine_space : bool
        Whether any of it passes the engine space.

    Returns
    -------
    float
        0 to 1; 0 where the air is as hot as the insulation bears.

    References
    ----------
    .. [1] NEC (NFPA 70), equation 310.15(B)(1), from memory; its table 310.15(B)(1)(1) has the
       same numbers for the upper end of each range of temperatures.
    .. [2] 33 CFR 183.425, note 1 to table 5: 0.85 for 105 C; for other ratings from memory.

    Examples
    --------
    >>> round(ambient_factor(90, 70.0), 2), ambient_factor(60, 70.0)
    (0.58, 0.0)
    >>> ambient_factor(105, engine_space=True)
    0.85
    """
    hottest_c = max(ambient_c, TABLE_AIR_C)
    factor = math.sqrt(max(insulation_c - hottest_c, 0.0) / (insulation_c - TABLE_AIR_C))
    if not engine_space:
        return factor
    rows = read_table("cfr183_425_engine")
    lawful = next(float(r["factor"]) for r in rows if int(r["insulation_c"]) == insulation_c)
    return min(lawful, factor) if hottest_c > ENGINE_SPACE_C else lawful


def derating(
    insulation_c: int,
    *,
    ambient_c: float = TABLE_AIR_C,
    engine_space: bool = False,
    bundled: int = 2,
    count: int = 1,
) -> float:
    """Share of its ampacity that a conductor keeps in hot air and in a bundle.

    Parameters
    ----------
    insulation_c : int
        Temperature rating of its insulation, one of `INSULATIONS_C`.
    ambient_c, engine_space
        As for `ambient_factor`.
    bundled : int
        Conductors that carry current in its bundle, the run's own two among them.
    count : int
        Conductors in parallel: those of both poles lie together.

    References
    ----------
    .. [1] NEC (NFPA 70), table 310.15(C)(1), from memory.

    Examples
    --------
    >>> derating(105, engine_space=True), derating(105, bundled=6), derating(60, engine_space=True)
    (0.85, 0.8, 0.58)
    """
    factor = ambient_factor(insulation_c, ambient_c, engine_space=engine_space)
    together = max(bundled, 2 * count)
    rows = read_table("nec_310_15_c1")
    return factor * next(float(r["factor"]) for r in rows if together <= int(r["most"]))


def ampacity_a(
    wire: Wire,
    insulation_c: int,
    *,
    ambient_c: float = TABLE_AIR_C,
    engine_space: bool = False,
    bundled: int = 2,
) -> float:
    """Largest current of a conductor in a system below 50 V, A; 0 if thinner than the table.

    A size between two of the table counts as the thinner one, and one thicker than 4/0 as 4/0.

    Parameters
    ----------
    wire : Wire
        The conductor.
    insulation_c : int
        Temperature rating of its insulation, one of `INSULATIONS_C`.
    ambient_c, engine_space, bundled
        As for `derating`.

    References
    ----------
    .. [1] 33 CFR 183.425, table 5 and its note.

    Examples
    --------
    >>> ampacity_a(awg("2"), 105), ampacity_a(awg("2"), 105, engine_space=True)
    (210.0, 178.5)
    """
    current_a = 0.0
    for area_mm2, row_a in _table5(insulation_c):
        # A metric cable is sold by the area that it has at least; a thousandth is rounding.
        if area_mm2 <= wire.single_mm2 * 1.001:
            current_a = row_a
    kept = derating(
        insulation_c,
        ambient_c=ambient_c,
        engine_space=engine_space,
        bundled=bundled,
        count=wire.count,
    )
    return wire.count * current_a * kept


def bs7671_current_a(area_mm2: float) -> float | None:
    """Current of a metric size by BS 7671 table 4E1A, A; None if the table has no such size."""
    for row in read_table("bs7671_4e1a"):
        if math.isclose(float(row["area_mm2"]), area_mm2, rel_tol=1e-6):
            return float(row["current_a"])
    return None


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


@functools.cache
def _table5(insulation_c: int) -> tuple[tuple[float, float], ...]:
    rows = read_table("cfr183_425_table5")
    return tuple((awg(row["awg"]).area_mm2, float(row[str(insulation_c)])) for row in rows)
