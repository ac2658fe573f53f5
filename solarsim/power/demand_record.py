"""What the people aboard use, hour by hour."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping

from solarsim.arrays import FloatArray
from solarsim.power.cabin import CabinHours
from solarsim.records import ArrayRecord

__all__ = ["Demand"]


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Demand(ArrayRecord):
    """Demand of every run and hour; arrays are ``(runs, hours)`` or broadcast to it.

    Attributes
    ----------
    dc_w : ndarray
        Mean DC power over the hour, W.
    ac_w : ndarray
        Mean AC power over the hour at the inverter's output, W.
    ac_square_w2 : ndarray
        Mean over the hour of the square of the AC power, W2, from the running watts: a hob of
        1,800 W for 20 minutes loses more in the inverter than 600 W for the hour.
    ac_on_share : ndarray
        Share of the hour in which any AC appliance runs, 0 to 1.
    dc_peak_w, ac_peak_w : ndarray
        Largest running power in the hour with everything that may run together, W.
    wh_per_day : mapping
        Mean energy of each appliance by its name, Wh per day, over the hours that count.
    cabin_temp_c : ndarray
        Air temperature inside, degrees C.
    notes : tuple of str
        Defaults that were used and caveats.
    cabin : CabinHours or None
        The cabin that the loads followed, for another profile that has the same.
    """

    dc_w: FloatArray
    ac_w: FloatArray
    ac_square_w2: FloatArray
    ac_on_share: FloatArray
    dc_peak_w: FloatArray
    ac_peak_w: FloatArray
    wh_per_day: Mapping[str, float]
    cabin_temp_c: FloatArray
    notes: tuple[str, ...] = ()
    cabin: CabinHours | None = None
