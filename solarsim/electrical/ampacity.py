"""What a conductor may carry where it lies, by the tables of the rules in force."""

from __future__ import annotations

import dataclasses
import functools
import math

from solarsim.electrical.rule_set import RuleSet
from solarsim.electrical.rules import read_table, rule
from solarsim.electrical.wire import Wire, awg

__all__ = [
    "ENGINE_SPACE_C",
    "INSULATIONS_C",
    "TABLE_AIR_C",
    "Ampacity",
    "air_share",
    "ampacity_of",
    "bundle_share",
    "bundled_with",
    "mains_ampacity",
    "thin_fuse_a",
]

INSULATIONS_C = (60, 70, 75, 80, 90, 105, 125, 200)
# The air that the tables of ampacity are for, and that of the boat law's note on engine spaces:
# with it the heat equation gives the note's factors (the note's own words are from memory).
TABLE_AIR_C = 30.0
ENGINE_SPACE_C = 50.0


@dataclasses.dataclass(frozen=True)
class Ampacity:
    """What a conductor bears, factor by factor.

    Attributes
    ----------
    table_a : float
        By the table, in air of 30 C and not bundled, A; of all conductors in parallel.
    table_source : str
        The table.
    air_share, bundle_share : float
        What the air and the bundle leave of it.
    terminal_a : float
        What the terminals' temperature leaves of it, A, whatever the air; infinite without limit.
    """

    table_a: float
    table_source: str
    air_share: float
    bundle_share: float
    terminal_a: float

    @property
    def before_a(self) -> float:
        """Before the factors for air and bundle, A."""
        return min(self.table_a, self.terminal_a)

    @property
    def ampacity_a(self) -> float:
        """Where it lies, A."""
        return min(self.table_a * self.air_share * self.bundle_share, self.terminal_a)


# Designs that are compared ask for the same few sizes again and again.
@functools.lru_cache(maxsize=4096)
def ampacity_of(
    rules: RuleSet,
    wire: Wire,
    insulation_c: int,
    *,
    ambient_c: float = TABLE_AIR_C,
    engine_space: bool = False,
    bundled: int = 2,
    terminal_c: float | None = None,
) -> Ampacity:
    """Return what a conductor may carry, A; 0 if it is thinner than the table.

    A size between two of the table counts as the thinner one, one beyond it as the thickest.

    Parameters
    ----------
    rules : RuleSet
        Whose tables hold.
    wire : Wire
        The conductor, or two of it in parallel.
    insulation_c : int
        Temperature rating of its insulation, one of `INSULATIONS_C`.
    ambient_c : float
        The hottest air along it, degrees C; below 30 counts as 30.
    engine_space : bool
        Whether any of it passes the engine space.
    bundled : int
        Conductors that carry current in its bundle, the run's own two among them.
    terminal_c : float, optional
        What the terminals are marked for, degrees C; left out, the rules' own.

    References
    ----------
    .. [1] The tables that `RuleSet.ampacity` names.
    .. [2] NEC (NFPA 70) 110.14(C)(1), from memory: terminals, by table 310.16 also where the
       conductor lies in free air; BS 7671 512.1.5, from memory.

    Examples
    --------
    >>> from solarsim.electrical.rule_set import rule_set
    >>> ampacity_of(rule_set("boat"), awg("2"), 105).ampacity_a
    210.0
    >>> ampacity_of(rule_set("us-rv"), awg("2"), 105).ampacity_a
    115.0
    """
    names = rules.ampacity
    together = bundled_with(wire, bundled)
    table, source = (
        (names.alone, names.alone_source)
        if together <= 2
        else (names.bundled, names.bundled_source)
    )
    table_c = _column_c(table, insulation_c)
    marked_c = rules.rule("terminal_c").value if terminal_c is None else terminal_c
    terminal_a = math.inf
    if marked_c < insulation_c:
        # However the conductor lies, what the terminals bear goes by the table for conduits.
        column_c = _column_c(names.bundled, marked_c)
        terminal_a = wire.count * _table_a(names.bundled, wire, column_c)
    return Ampacity(
        table_a=wire.count * _table_a(table, wire, table_c),
        table_source=source,
        air_share=air_share(
            insulation_c,
            ambient_c,
            column_c=table_c,
            boat_engine=engine_space and rules.name == "boat",
        ),
        bundle_share=bundle_share(rules, together),
        terminal_a=terminal_a,
    )


# The few sizes of mains cable are asked for in every design that is compared.
@functools.lru_cache(maxsize=1024)
def mains_ampacity(rules: RuleSet, wire: Wire) -> Ampacity:
    """Return what a mains cable of two loaded conductors in one sheath bears in air of 30 C, A.

    Its column is that of the cable's insulation; by US rules that is also the one of its terminals.

    References
    ----------
    .. [1] The tables that `RuleSet.ac` names.
    .. [2] NEC (NFPA 70) 110.14(C)(1)(a), from memory: terminals up to 100 A by the 60 C column.

    Examples
    --------
    >>> from solarsim.electrical.rule_set import rule_set
    >>> mains_ampacity(rule_set("us-rv"), awg("10")).ampacity_a
    30.0
    """
    table = rules.ac.cable_table
    column_c = _column_c(table, rule("mains_insulation_c").value)
    return Ampacity(_table_a(table, wire, column_c), rules.ac.cable_source, 1.0, 1.0, math.inf)


def bundled_with(wire: Wire, bundled: int = 2) -> int:
    """How many conductors that carry current lie together, the conductor's own return among them.

    Examples
    --------
    >>> from solarsim.electrical.wire import pair
    >>> bundled_with(pair(awg("4/0"))), bundled_with(pair(awg("4/0"), apart=True))
    (4, 2)
    """
    return max(bundled, 2 if wire.apart else 2 * wire.count)


def air_share(
    insulation_c: int,
    ambient_c: float = TABLE_AIR_C,
    *,
    column_c: int | None = None,
    boat_engine: bool = False,
) -> float:
    """Share of a table's ampacity that a conductor keeps in hot air.

    Its insulation may still warm by Tc - Ta instead of the 30 C table's T - 30, and it warms by the
    square of the current: sqrt((Tc - Ta) / (T - 30)), T being the temperature that the table's
    column is for.

    Parameters
    ----------
    insulation_c : int
        Tc, temperature rating of its insulation.
    ambient_c : float
        Ta, the hottest air along it, degrees C; below 30 counts as 30.
    column_c : int, optional
        T, where the table has no column for the insulation; never more than all of it is kept.
    boat_engine : bool
        Whether the boat law's own factor for the engine space holds, unless the air is hotter than
        that factor is for.

    Returns
    -------
    float
        0 to 1; 0 where the air is as hot as the insulation bears.

    References
    ----------
    .. [1] NEC (NFPA 70), equation 310.15(B)(1), from memory; its table 310.15(B)(1)(1) and BS 7671
       table 4B1 have the same numbers for the upper end of each range of temperatures.
    .. [2] 33 CFR 183.425, note 1 to table 5: 0.85 for 105 C; for other ratings from memory.

    Examples
    --------
    >>> round(air_share(90, 70.0), 2), air_share(60, 70.0), air_share(105, boat_engine=True)
    (0.58, 0.0, 0.85)
    """
    column_c = insulation_c if column_c is None else column_c
    hottest_c = max(ambient_c, TABLE_AIR_C)
    share = math.sqrt(max(insulation_c - hottest_c, 0.0) / (column_c - TABLE_AIR_C))
    share = min(1.0, share)
    if not boat_engine:
        return share
    rows = read_table("cfr183_425_engine")
    lawful = [float(r["factor"]) for r in rows if int(r["insulation_c"]) == insulation_c]
    if not lawful:
        return min(share, air_share(insulation_c, ENGINE_SPACE_C, column_c=column_c))
    return min(lawful[0], share) if hottest_c > ENGINE_SPACE_C else lawful[0]


def bundle_share(rules: RuleSet, together: int) -> float:
    """Share of its ampacity that a conductor keeps in a bundle of so many that carry current.

    Examples
    --------
    >>> from solarsim.electrical.rule_set import rule_set
    >>> [bundle_share(rule_set(name), 6) for name in ("us-rv", "eu-caravan", "boat")]
    [0.8, 0.7, 0.6]
    """
    rows = read_table(rules.ampacity.bundles)
    return next(float(r["factor"]) for r in rows if together <= int(r["most"]))


def thin_fuse_a(rules: RuleSet, wire: Wire) -> float:
    """Largest fuse of a thin conductor by the rules' own table, A; infinite beyond it.

    Examples
    --------
    >>> from solarsim.electrical.rule_set import rule_set
    >>> thin_fuse_a(rule_set("us-rv"), awg("16")), thin_fuse_a(rule_set("boat"), awg("16"))
    (8.0, inf)
    """
    rows = rules.thin_fuses
    if not rows:
        return math.inf
    *_, (thickest, _) = rows
    # The first gauge that the table no longer names.
    beyond = awg(str(int(thickest.removesuffix(" AWG")) - 2))
    if wire.single_mm2 >= beyond.area_mm2 * 0.999:
        return math.inf
    fitting = [
        fuse_a
        for gauge, fuse_a in rows
        if awg(gauge.removesuffix(" AWG")).area_mm2 <= wire.single_mm2 * 1.001
    ]
    return fitting[-1] if fitting else 0.0


@functools.cache
def _column_c(table: str, insulation_c: float) -> int:
    """The table's column for an insulation: the highest that is not above it, else the lowest."""
    columns = sorted(int(name) for name in read_table(table)[0] if name.isdigit())
    return max((c for c in columns if c <= insulation_c), default=columns[0])


def _table_a(table: str, wire: Wire, column_c: int) -> float:
    # A metric cable is sold by the area that it has at least; a thousandth is rounding.
    fitting = [amps for area, amps in _rows(table, column_c) if area <= wire.single_mm2 * 1.001]
    return fitting[-1] if fitting else 0.0


@functools.cache
def _rows(table: str, column_c: int) -> tuple[tuple[float, float], ...]:
    return tuple(
        (
            float(row["area_mm2"]) if "area_mm2" in row else awg(row["awg"]).area_mm2,
            float(row[str(column_c)]),
        )
        for row in read_table(table)
    )
