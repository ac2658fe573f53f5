"""Snow on the panels: covered by snowfall, cleared by thaw, by sliding or by somebody."""

from __future__ import annotations

import numpy as np
import pandas as pd

from solarsim.arrays import BoolArray, FloatArray
from solarsim.errors import InputError

__all__ = [
    "BRUSH_HOUR",
    "COVER_MM",
    "LIGHT_UNDER_SNOW_SHARE",
    "THAW_HOURS",
    "THAW_TEMP_C",
    "snow_cover",
]

# Snow as water that hides a panel: 1 mm is about 1 cm of fresh snow, the depth per hour from
# which Marion et al. (2013) take a panel as covered.
COVER_MM = 1.0
# Air warmer than this for so many hours on end clears a panel. Common practice, no source.
THAW_TEMP_C = 2.0
THAW_HOURS = 4
# Who brushes the roof does it at this hour of standard time. Common practice, no source.
BRUSH_HOUR = 8
# Light that passes a covering of a few centimetres. Common practice, no source.
LIGHT_UNDER_SNOW_SHARE = 0.05

# Marion et al. (2013): snow slides when Ta > -G / 80, and in one hour by 0.197 sin(tilt) of the
# slant height.
_SLIDE_W_M2_K = -80.0
_SLIDE_SHARE_H = 0.197


def snow_cover(
    *,
    snowfall_mm: FloatArray,
    temp_air_c: FloatArray,
    poa_w_m2: FloatArray,
    times: pd.DatetimeIndex,
    tilt_deg: float,
    brush_snow: str,
) -> FloatArray:
    """Share of the panel that snow covers in each hour.

    Parameters
    ----------
    snowfall_mm : ndarray
        Snow of each hour as water, mm; ``(runs, hours)`` or broadcastable, like all arrays here.
    temp_air_c : ndarray
        Air temperature, degrees C.
    poa_w_m2 : ndarray
        Irradiance on the plane of a snow-free panel, W/m2.
    times : pandas.DatetimeIndex
        ``(hours,)`` stamps in standard time.
    tilt_deg : float
        Tilt; a flat panel sheds nothing.
    brush_snow : str
        ``"morning"`` or ``"never"``.

    Returns
    -------
    ndarray
        ``(runs, hours)``, 0 to 1.

    Raises
    ------
    InputError
        `brush_snow` is neither.

    Notes
    -----
    Snow that has gathered to ``COVER_MM`` since the panel was last clear or covered anew covers it
    whole. After that it slides by Marion's rule in hours without new snow, and is gone after
    ``THAW_HOURS`` hours above ``THAW_TEMP_C``. The roof is bare at the first hour.

    References
    ----------
    .. [1] B. Marion, R. Schaefer, H. Caine and G. Sanchez, "Measured and modeled photovoltaic
       system energy losses from snow for Colorado and Wisconsin locations", Solar Energy 97,
       112-121, 2013.
    """
    if brush_snow not in ("morning", "never"):
        message = f"got {brush_snow!r}; allowed are 'morning' and 'never'"
        raise InputError(message, field="stay.brush_snow")
    shape = np.broadcast_shapes(snowfall_mm.shape, temp_air_c.shape, poa_w_m2.shape)
    cover = np.zeros(shape)
    snowy = np.flatnonzero((np.broadcast_to(snowfall_mm, shape) > 0.0).any(axis=1))
    if snowy.size == 0:
        return cover

    # Hours first, so that each step reads and writes contiguous runs.
    fall = np.ascontiguousarray(np.broadcast_to(snowfall_mm, shape)[snowy].T)
    air = np.broadcast_to(temp_air_c, shape)[snowy].T
    slide_h = _SLIDE_SHARE_H * float(np.sin(np.radians(tilt_deg)))
    slides = (
        air > np.broadcast_to(poa_w_m2, shape)[snowy].T / _SLIDE_W_M2_K if slide_h > 0.0 else None
    )
    clear = _thawed(air)
    if brush_snow == "morning":
        clear |= (times.hour.to_numpy() == BRUSH_HOUR)[:, None]

    covered = np.empty(fall.shape)
    share = np.zeros(snowy.size)
    gathered = np.zeros(snowy.size)
    for hour in range(fall.shape[0]):
        kept = ~clear[hour]
        gathered = gathered * kept + fall[hour]
        fresh = gathered >= COVER_MM
        share = share * kept
        if slides is not None:
            share = np.maximum(share - slide_h * slides[hour], 0.0)
        share = np.maximum(share, fresh)
        gathered *= ~fresh
        covered[hour] = share
    cover[snowy] = covered.T
    return cover


def _thawed(temp_air_c: FloatArray) -> BoolArray:
    """Whether this hour ends ``THAW_HOURS`` warm ones; hours first."""
    warm = temp_air_c > THAW_TEMP_C
    thawed = np.zeros(warm.shape, dtype=np.bool_)
    if warm.shape[0] >= THAW_HOURS:
        thawed[THAW_HOURS - 1 :] = np.lib.stride_tricks.sliding_window_view(
            warm, THAW_HOURS, axis=0
        ).all(axis=-1)
    return thawed
