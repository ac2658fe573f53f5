"""Snow on the panels: covered by snowfall, cleared by thaw, by sliding or by somebody."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from solarsim.arrays import FloatArray
from solarsim.compiled.machine_code import MachineCode, row_of, step, table_of
from solarsim.errors import InputError

__all__ = [
    "BRUSH_HOUR",
    "CODE",
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
    slide_h = _SLIDE_SHARE_H * float(np.sin(np.radians(tilt_deg)))
    brushed = np.zeros(shape[1])
    if brush_snow == "morning":
        brushed[times.hour.to_numpy() == BRUSH_HOUR] = 1.0
    wide = (
        np.broadcast_to(array, (len(array), shape[1]))
        for array in (snowfall_mm, temp_air_c, poa_w_m2)
    )
    given = [np.ascontiguousarray(array, dtype=np.float64) for array in wide]
    CODE([cover, brushed, *given], real=[slide_h])
    return cover


@step
def _cover_run(
    cover: Any, brushed: Any, fall_mm: Any, air_c: Any, poa_w_m2: Any, slide_h: float
) -> None:
    """Cover of one run's hours; the roof is bare at the first."""
    share, gathered_mm, warm_h = 0.0, 0.0, 0
    for hour in range(len(cover)):
        warm_h = warm_h + 1 if air_c[hour] > THAW_TEMP_C else 0
        if warm_h >= THAW_HOURS or brushed[hour] > 0.0:
            share, gathered_mm = 0.0, 0.0
        gathered_mm += fall_mm[hour]
        if slide_h > 0.0 and air_c[hour] > poa_w_m2[hour] / _SLIDE_W_M2_K:
            share = max(share - slide_h, 0.0)
        if gathered_mm >= COVER_MM:
            share, gathered_mm = 1.0, 0.0
        cover[hour] = share


def _entry(arrays: Any, shapes: Any, whole: Any, real: Any) -> None:
    cover, brushed = table_of(arrays, shapes, 0), row_of(arrays, shapes, 1)
    fall_mm, air_c, poa_w_m2 = (
        table_of(arrays, shapes, 2),
        table_of(arrays, shapes, 3),
        table_of(arrays, shapes, 4),
    )
    for run in range(len(cover)):
        fall = fall_mm[min(run, len(fall_mm) - 1)]
        snow = 0
        for hour in range(len(fall)):
            snow += fall[hour] > 0.0
        if snow > 0:
            air = air_c[min(run, len(air_c) - 1)]
            poa = poa_w_m2[min(run, len(poa_w_m2) - 1)]
            _cover_run(cover[run], brushed, fall, air, poa, real[0])


CODE = MachineCode("snow_cover", _entry, [Path(__file__)])
