"""At what temperature the acid of a lead-acid bank freezes, by its state of charge."""

from __future__ import annotations

import numpy as np

from solarsim.arrays import FloatArray

__all__ = [
    "EMPTY_GRAVITY",
    "FREEZING_SOURCE",
    "FULL_GRAVITY",
    "freezing_point_c",
    "specific_gravity",
    "state_of_charge_to_keep",
]

FREEZING_SOURCE = (
    "freezing point by specific gravity: battery-council tables, from memory; gravity from 1.120 "
    "empty to 1.265 full: common practice, no source"
)
FULL_GRAVITY = 1.265
# 1.12 to 1.13 is given for an empty bank; the lower freezes sooner.
EMPTY_GRAVITY = 1.120
# The published rows run from 1.100 to 1.265; water ends the table.
_GRAVITY = np.array([1.000, 1.100, 1.150, 1.200, 1.225, 1.265])
_FREEZES_C = np.array([0.0, -7.0, -15.0, -27.0, -37.0, -57.0])


def specific_gravity(soc: FloatArray | float) -> FloatArray:
    """Specific gravity of the acid at 25 C, linear from an empty to a full bank.

    Banks of sealed cells are filled with stronger acid, which freezes later: this is the safe side.

    Parameters
    ----------
    soc : ndarray or float
        State of charge, 0 to 1.
    """
    return np.asarray(EMPTY_GRAVITY + (FULL_GRAVITY - EMPTY_GRAVITY) * np.asarray(soc))


def freezing_point_c(soc: FloatArray | float) -> FloatArray:
    """Temperature at which the acid of a lead-acid bank begins to freeze, degrees C.

    Parameters
    ----------
    soc : ndarray or float
        State of charge, 0 to 1.

    References
    ----------
    .. [1] Freezing points by specific gravity as battery councils print them (1.100: -7 C to
       1.265: -57 C), from memory; linear between the rows.

    Examples
    --------
    >>> [round(float(freezing_point_c(soc))) for soc in (0.0, 0.5, 1.0)]
    [-10, -25, -57]
    """
    return np.asarray(np.interp(specific_gravity(soc), _GRAVITY, _FREEZES_C))


def state_of_charge_to_keep(temp_c: float) -> float | None:
    """Least state of charge at which the acid does not freeze at `temp_c`; None where none is.

    Examples
    --------
    >>> round(state_of_charge_to_keep(-32.0), 2), state_of_charge_to_keep(-60.0)
    (0.64, None)
    """
    if temp_c <= _FREEZES_C[-1]:
        return None
    gravity = float(np.interp(-temp_c, -_FREEZES_C, _GRAVITY))
    return max((gravity - EMPTY_GRAVITY) / (FULL_GRAVITY - EMPTY_GRAVITY), 0.0)
