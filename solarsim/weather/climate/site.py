"""The climate of one site, month by month, as the synthesis needs it."""

from __future__ import annotations

import dataclasses

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.records import ArrayRecord

__all__ = ["QUANTILE_COUNT", "SiteClimate"]

QUANTILE_COUNT = 64


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class SiteClimate(ArrayRecord):
    """Monthly climate; index 0 is January.

    Attributes
    ----------
    kt_quantiles : ndarray
        ``(12, 64)`` daily clearness index H/H0 at the probabilities ``(i + 0.5) / 64``, rising.
    ghi_kwh_m2_day : ndarray
        ``(12,)`` mean daily global horizontal irradiation.
    temp_mean_c : ndarray
        ``(12,)`` mean air temperature at the site's elevation.
    temp_low_c, temp_high_c : float
        Cold and warm extremes of the record at the site's elevation.
    wind_m_s : float
        Mean wind speed at 10 m.
    precip_mm_day : ndarray
        ``(12,)`` mean precipitation.
    coast_share : float
        0 inland, 1 at the coast: moves the daily swing between FAO-56's 0.16 and 0.19.
    source : str
        One line naming the data sets.
    ghi_error_share : ndarray
        ``(12,)`` standard deviation of how far `ghi_kwh_m2_day` may be from the site's true mean,
        as a share of it; 0.08 where nothing better is known.
    """

    kt_quantiles: FloatArray
    ghi_kwh_m2_day: FloatArray
    temp_mean_c: FloatArray
    temp_low_c: float
    temp_high_c: float
    wind_m_s: float
    precip_mm_day: FloatArray
    coast_share: float
    source: str
    ghi_error_share: FloatArray = dataclasses.field(default_factory=lambda: np.full(12, 0.08))
