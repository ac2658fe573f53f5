"""Hours of light from the day's total, split into beam and diffuse.

Arrays run ``(hours, runs, days)`` inside, with the hours that have light on any of the days; dark
hours at a sum's ends do not change its value.
"""

from __future__ import annotations

import dataclasses

import numpy as np

from solarsim.arrays import FloatArray

__all__ = ["HourlyLight", "diffuse_share", "hourly_light", "profile_weights"]

# V. A. Graham and K. G. T. Hollands, Solar Energy 44, 1990 (the value from memory).
HOUR_TO_HOUR = 0.54
# Relative scatter of hourly irradiance about the smooth profile against the day's KT, read off two
# public typical years (36 N humid continental, 55 N subarctic island).
_SCATTER_KT = np.array([0.0, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.75])
_SCATTER = np.array([0.20, 0.30, 0.40, 0.40, 0.34, 0.20, 0.07, 0.05])
# Near the horizon the ratio of two small numbers is held, as in pvlib's clearness index.
_LEAST_COSINE = 0.065


@dataclasses.dataclass(frozen=True)
class HourlyLight:
    """Irradiance of every hour, ``(runs, days, 24)``, W/m2."""

    ghi_w_m2: FloatArray
    dni_w_m2: FloatArray
    dhi_w_m2: FloatArray


def profile_weights(hour_angle_rad: FloatArray, sunset_rad: FloatArray) -> FloatArray:
    """Ratio of the global to the extraterrestrial hourly profile, up to the day's own factor.

    Parameters
    ----------
    hour_angle_rad : ndarray
        ``(..., 24)`` hour angle at mid-hour, zero at solar noon.
    sunset_rad : ndarray
        ``(..., 1)`` hour angle of sunset.

    Returns
    -------
    ndarray
        a + b cos w, at least 0. Times the extraterrestrial horizontal irradiance it is r_t.

    References
    ----------
    .. [1] M. Collares-Pereira and A. Rabl, "The average distribution of solar radiation:
       correlations between diffuse and hemispherical and between daily and hourly insolation
       values", Solar Energy 22, 1979, pp. 155-164.
    """
    beyond = np.sin(sunset_rad - np.pi / 3.0)
    weights = 0.409 + 0.5016 * beyond + (0.6609 - 0.4767 * beyond) * np.cos(hour_angle_rad)
    return np.maximum(weights, 0.0)


def diffuse_share(clearness: FloatArray) -> FloatArray:
    """Diffuse share of the hourly global irradiance.

    Parameters
    ----------
    clearness : ndarray
        Hourly clearness index, at least 0.

    References
    ----------
    .. [1] D. G. Erbs, S. A. Klein and J. A. Duffie, "Estimation of the diffuse radiation fraction
       for hourly, daily and monthly-average global radiation", Solar Energy 28, 1982, pp. 293-302.

    Examples
    --------
    >>> diffuse_share(np.array([0.1, 0.5, 0.9])).round(4).tolist()
    [0.991, 0.6591, 0.165]
    """
    k = clearness
    middle = 0.9511 + k * (-0.1604 + k * (4.388 + k * (-16.638 + k * 12.336)))
    return np.where(k <= 0.22, 1.0 - 0.09 * k, np.where(k <= 0.8, middle, 0.165))


def hourly_light(
    ghi_wh_m2: FloatArray,
    kt: FloatArray,
    normals: FloatArray,
    *,
    profile: FloatArray,
    cosine: FloatArray,
    extra_w_m2: FloatArray,
    clear_ghi_w_m2: FloatArray,
    clear_dni_w_m2: FloatArray,
) -> HourlyLight:
    """Spread each day's irradiation over its hours and split it into beam and diffuse.

    The smooth profile is scattered, scaled to the day's total, and held below the clear sky; what
    is cut off goes to the other hours. The beam never exceeds the clear sky's, and global =
    diffuse + beam x cos(zenith) in every hour.

    Parameters
    ----------
    ghi_wh_m2, kt : ndarray
        ``(runs, days)`` irradiation, at most the clear day's, and clearness index.
    normals : ndarray
        ``(runs, days, 24)`` independent standard normals.
    profile : ndarray
        ``(days, 24)`` smooth profile of global irradiance, any scale.
    cosine : ndarray
        ``(days, 24)`` cosine of the apparent zenith, 0 while the sun is down.
    extra_w_m2, clear_ghi_w_m2, clear_dni_w_m2 : ndarray
        ``(days, 24)`` extraterrestrial normal irradiance and the clear sky's.
    """
    runs, days = ghi_wh_m2.shape
    lit = np.flatnonzero((clear_ghi_w_m2 > 0.0).any(axis=0))
    scatter = np.interp(kt, _SCATTER_KT, _SCATTER)
    wander = np.empty((len(lit), runs, days))
    state = normals[..., 0]
    row = 0
    for hour in range(24):
        if hour:
            fresh = np.sqrt(1.0 - HOUR_TO_HOUR**2) * normals[..., hour]
            state = HOUR_TO_HOUR * state + fresh
        if row < len(lit) and lit[row] == hour:
            np.multiply(state, scatter, out=wander[row])
            row += 1
    shape = np.exp(wander, out=wander)
    shape *= profile.T[lit, None, :]
    limit = np.ascontiguousarray(clear_ghi_w_m2.T[lit])[:, None, :]
    ghi = _fill_under(shape, limit, ghi_wh_m2)

    upright = np.ascontiguousarray(cosine.T[lit])[:, None, :]
    above = extra_w_m2.T[lit, None, :] * np.maximum(upright, _LEAST_COSINE)
    inverse = np.divide(1.0, upright, out=np.zeros_like(upright), where=upright > 0.0)
    beam = ghi * (1.0 - diffuse_share(ghi / above)) * inverse
    beam = np.minimum(beam, clear_dni_w_m2.T[lit, None, :])

    def by_run(light: FloatArray) -> FloatArray:
        out = np.zeros((runs, days, 24))
        for row, hour in enumerate(lit):
            out[..., hour] = light[row]
        return out

    return HourlyLight(by_run(ghi), by_run(beam), by_run(ghi - beam * upright))


def _sum_by_hour(light: FloatArray) -> FloatArray:
    # numpy's own sum groups the terms by the array's shape and layout, and with that the last bit.
    total = np.zeros(light.shape[1:])
    for hour in light:
        total += hour
    return total


def _fill_under(shape: FloatArray, limit: FloatArray, total: FloatArray) -> FloatArray:
    """Scale `shape`, ``(hours, runs, days)``, to the days' `total` without passing `limit`.

    What would lie above the limit moves to hours of the day that have room.
    """
    hours, runs, days = shape.shape
    flat = shape.reshape(hours, runs * days)
    ceiling = np.broadcast_to(limit, shape.shape).reshape(hours, runs * days)
    wanted = total.ravel()
    whole = _sum_by_hour(flat)
    light = flat * np.divide(wanted, whole, out=np.zeros_like(whole), where=whole > 0.0)
    full = light > ceiling
    # Each pass fills at least one more hour of every day that is still open, so it ends.
    still = np.flatnonzero(full.any(axis=0))
    at = still
    part, top = flat, ceiling
    while still.size:
        part, top = part.take(still, axis=1), top.take(still, axis=1)
        full = full.take(still, axis=1)
        wanted = wanted[still]
        left = wanted - _sum_by_hour(np.where(full, top, 0.0))
        room = _sum_by_hour(np.where(full, 0.0, part))
        scale = np.divide(left, room, out=np.zeros_like(left), where=room > 0.0)
        filled = np.where(full, top, part * np.maximum(scale, 0.0))
        light[:, at] = filled
        over = filled > top
        still = np.flatnonzero(over.any(axis=0))
        at = at[still]
        full = full | over
    return np.asarray(light.reshape(shape.shape))
