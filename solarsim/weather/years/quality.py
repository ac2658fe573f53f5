"""How good the light of a weather file is: one report for every reader."""

from __future__ import annotations

import dataclasses

import numpy as np
import pandas as pd

from solarsim.inputs.percent import percent
from solarsim.weather.readers.checks import light_lag_min
from solarsim.weather.readers.columns import FileColumns
from solarsim.weather.record import Place
from solarsim.weather.sky.clear_sky import clear_sky
from solarsim.weather.sky.sun import Sun

__all__ = ["Quality", "quality_of"]

# An hour may outshine the model's clear sky by so much (clean air, white clouds) and no more.
_ABOVE_CLEAR = 1.2
# The sun's disc is below the horizon for the whole hour.
_NIGHT_ZENITH_DEG = 100.0
# Thermal offset of a pyranometer: C. N. Long and E. G. Dutton, "BSRN Global Network recommended QC
# tests", 2002, from memory.
_NIGHT_LIGHT_W_M2 = 4.0
# Closure of GHI with its parts in the same paper, from memory: 8 % above 15 degrees of sun, where
# there are 50 W/m2. Hours whose beam comes in half of the hour miss it honestly, so that the limit
# for telling is wide.
_CLOSURE_ZENITH_DEG = 75.0
_CLOSURE_LEAST_W_M2 = 50.0
_CLOSURE_SHARE = 0.08
# Seen on typical years: 2 to 5 minutes. Stamps at the wrong end of the hour give 60.
_LAG_LIMIT_MIN = 25.0
# Published typical years have 1 to 6 %; a clock that is an hour off gives 15 % and more.
_ABOVE_CLEAR_WORTH_SAYING = 0.1
_OPEN_WORTH_SAYING = 0.2
_DAYS_FOR_LAG = 20


@dataclasses.dataclass(frozen=True)
class Quality:
    """What is known against a file's numbers, before anything was put in their place.

    Attributes
    ----------
    hours : int
        How many the file covers.
    step_minutes : int
        Minutes from row to row.
    missing_share : float
        Share of the hours without light (by day) or temperature, all in short gaps that were
        closed from their neighbours (a file with longer ones is refused).
    beam_missing_share : float
        Share of the hours whose beam or diffuse light was missing and was split from GHI.
    above_clear_share : float
        Share of the hours with the sun up whose GHI is above the clear sky by more than 20 %.
    night_light_hours : int
        Hours of night with more than 4 W/m2.
    closure_share : float or None
        Of the hours with all three parts, the sun above 15 degrees and 50 W/m2 at least, the share
        in which GHI and DHI + DNI cos z are within 8 %; None where there are none.
    closure_w_m2 : float or None
        Mean of GHI - (DHI + DNI cos z) over these hours.
    lag_minutes : float or None
        How long the light comes after the sun; None for less than 20 days.
    findings : tuple of str
        What is worth saying with an answer.
    """

    hours: int
    step_minutes: int
    missing_share: float
    beam_missing_share: float
    above_clear_share: float
    night_light_hours: int
    closure_share: float | None
    closure_w_m2: float | None
    lag_minutes: float | None
    findings: tuple[str, ...]


def quality_of(columns: FileColumns, times: pd.DatetimeIndex, place: Place, sun: Sun) -> Quality:
    """Judge a file's light against the sun, the clear sky and itself.

    Parameters
    ----------
    columns : FileColumns
        ``(hours,)`` arrays, NaN where beam or diffuse is missing.
    times : pandas.DatetimeIndex
        Starts of the hours.
    place : Place
        Where.
    sun : Sun
        The sun at mid-hour.
    """
    ghi, dni, dhi = columns.ghi_w_m2, columns.dni_w_m2, columns.dhi_w_m2
    clear = clear_sky(place, sun, times.day_of_year.to_numpy())
    up = sun.zenith_deg < 85.0
    above = up & (ghi > _ABOVE_CLEAR * clear.ghi_w_m2)
    above_share = float(above.sum() / max(int(up.sum()), 1))
    night = (sun.zenith_deg > _NIGHT_ZENITH_DEG) & (ghi > _NIGHT_LIGHT_W_M2)
    parts = dhi + dni * np.cos(np.radians(sun.zenith_deg))
    judged = (sun.zenith_deg < _CLOSURE_ZENITH_DEG) & (ghi > _CLOSURE_LEAST_W_M2)
    judged &= np.isfinite(parts)
    closure_share = closure_w_m2 = None
    if judged.any():
        apart = ghi[judged] - parts[judged]
        closure_share = float((np.abs(apart) <= _CLOSURE_SHARE * ghi[judged]).mean())
        closure_w_m2 = float(apart.mean())
    beam_missing = float((np.isnan(dni) | np.isnan(dhi)).mean())
    lag = None
    if len(times) >= 24 * _DAYS_FOR_LAG and ghi.max() > ghi.min():
        lag = light_lag_min(ghi, sun.zenith_deg)

    findings = []
    if columns.closed_hours:
        findings.append(
            f"{columns.closed_hours} of {len(times)} hours lack light or temperature; these short "
            "gaps were closed from their neighbours."
        )
    if above_share > _ABOVE_CLEAR_WORTH_SAYING:
        findings.append(
            f"GHI is above the clear sky by more than 20 % in {percent(above_share)} of the hours "
            "with the sun up: the unit, the place or the stamps may be wrong."
        )
    if night.any():
        findings.append(f"{int(night.sum())} hours of night hold more than 4 W/m2 of light.")
    if closure_share is not None and 1.0 - closure_share > _OPEN_WORTH_SAYING:
        findings.append(
            f"GHI and DHI + DNI cos z differ by more than 8 % in {percent(1.0 - closure_share)} of "
            f"the sunny hours (mean {closure_w_m2:+.0f} W/m2)."
        )
    if lag is not None and abs(lag) > _LAG_LIMIT_MIN:
        findings.append(
            f"The light comes about {abs(lag):.0f} min {'after' if lag > 0 else 'before'} "
            "the sun: the file may stamp its hours otherwise than its format says."
        )
    return Quality(
        hours=len(times),
        step_minutes=columns.step_minutes,
        missing_share=columns.closed_hours / len(times),
        beam_missing_share=beam_missing,
        above_clear_share=above_share,
        night_light_hours=int(night.sum()),
        closure_share=closure_share,
        closure_w_m2=closure_w_m2,
        lag_minutes=lag,
        findings=tuple(findings),
    )
