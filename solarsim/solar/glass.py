"""What a panel's glass lets through at an angle, against light that falls on it squarely."""

from __future__ import annotations

import functools

import numpy as np

from solarsim.arrays import FloatArray

__all__ = ["diffuse_iam", "iam"]

# Refractive index, extinction in 1/m and thickness in m of the cover: De Soto et al. 2006.
_INDEX = 1.526
_EXTINCTION_1_M = 4.0
_THICKNESS_M = 0.002
# Steps of half a turn in which the sky is summed up: Marion's for sky and ground.
_STEPS = 180


def iam(aoi_deg: FloatArray) -> FloatArray:
    """Incidence-angle modifier of uncoated glass by Fresnel's and Bouguer's laws, 0 to 1.

    Parameters
    ----------
    aoi_deg : ndarray
        Angle between the light and the panel's normal, degrees; 0 is let in from 90 on.

    References
    ----------
    .. [1] W. De Soto, S. A. Klein and W. A. Beckman, "Improvement and validation of a model for
       photovoltaic array performance", Solar Energy 80, 78-88, 2006, eqs. 14 to 16.

    Examples
    --------
    >>> iam(np.array([0.0, 60.0])).round(3).tolist()
    [1.0, 0.946]
    """
    outside = np.maximum(0, np.cos(np.radians(aoi_deg)))
    inside = np.sqrt(1 - (1 / _INDEX * np.sqrt(1 - outside**2)) ** 2)
    across = 1 - ((outside - _INDEX * inside) / (outside + _INDEX * inside)) ** 2
    along = 1 - ((inside - _INDEX * outside) / (inside + _INDEX * outside)) ** 2
    absorbed = np.exp(-_EXTINCTION_1_M * _THICKNESS_M / inside)
    squarely = 1 - ((1 - _INDEX) / (1 + _INDEX)) ** 2
    squarely *= np.exp(-_EXTINCTION_1_M * _THICKNESS_M)
    passed: FloatArray = (across * absorbed + along * absorbed) / 2 / squarely
    return passed


@functools.lru_cache(maxsize=64)
def diffuse_iam(tilt_deg: float) -> tuple[float, float]:
    """Share of even sky light and of ground light that passes the glass, against normal light.

    The modifier is summed up over what the panel sees of the sky and of the ground, in patches of
    one degree.

    References
    ----------
    .. [1] B. Marion, "Numerical method for angle-of-incidence correction factors for diffuse
       radiation incident photovoltaic modules", Solar Energy 147, 344-348, 2017.

    Examples
    --------
    >>> sky, ground = diffuse_iam(20.0)
    >>> round(sky, 4), round(ground, 4)
    (0.9539, 0.6387)
    """
    step = np.pi / _STEPS
    from_zenith = np.linspace(0, np.pi, _STEPS, endpoint=False)
    sky = _mean_iam(tilt_deg, from_zenith[from_zenith + step <= np.pi / 2])
    # A flat panel sees no ground.
    ground = _mean_iam(tilt_deg, from_zenith[from_zenith >= np.pi / 2]) if tilt_deg else 0.0
    return sky, ground


def _mean_iam(tilt_deg: float, from_zenith: FloatArray) -> float:
    """Mean over rings that begin at these zeniths, radians, weighted by what the panel gets."""
    step = np.pi / _STEPS
    around = np.linspace(0, 2 * np.pi, 2 * _STEPS, endpoint=False)
    zenith, azimuth = (grid.T.ravel() for grid in np.meshgrid(from_zenith, around))
    tilt, middle = np.radians(tilt_deg), zenith + 0.5 * step
    cos_aoi = np.cos(tilt) * np.cos(middle) + np.sin(tilt) * np.sin(middle) * np.cos(
        azimuth + 0.5 * step
    )
    aoi = np.arccos(cos_aoi)
    weight = cos_aoi * (step * (np.cos(zenith) - np.cos(zenith + step)))
    weight = np.where(aoi < np.pi / 2, weight, 0.0)
    total = np.sum(weight)
    # A panel so nearly flat that it sees the middle of no patch.
    return float(np.sum(iam(np.degrees(aoi)) * weight) / total) if total else 0.0
