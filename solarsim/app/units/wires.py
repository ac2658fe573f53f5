"""Wires in the visitor's sizes: never a thinner one than the check has settled on."""

from __future__ import annotations

from solarsim.app.units.quantities import Units
from solarsim.electrical.wire import Wire, awg_sizes, metric_sizes, pair

__all__ = ["wire_at_least"]


def wire_at_least(wire: Wire | None, units: Units) -> str | None:
    """Return the thinnest wire of the visitor's sizes that is no thinner than a wire.

    Its fuse protects that one as well. None where the wire is of the visitor's sizes already, where
    there is none, and where they have none so thick.

    Parameters
    ----------
    wire : Wire or None
        What the check has settled on.
    units : Units
        With feet go AWG sizes.

    Examples
    --------
    >>> from solarsim.electrical.wire import parse_wire
    >>> wire_at_least(parse_wire("35 mm2"), Units(feet=True))
    '1 AWG'
    >>> wire_at_least(parse_wire("2 AWG"), Units()), wire_at_least(parse_wire("16 mm2"), Units())
    ('35 mm2', None)
    """
    if wire is None or wire.name.partition(" (")[0].endswith("AWG") == units.feet:
        return None
    for size in awg_sizes() if units.feet else metric_sizes():
        if size.area_mm2 >= wire.single_mm2 * (1.0 - 1e-9):
            return size.name if wire.count == 1 else pair(size, apart=wire.apart).name
    return None
