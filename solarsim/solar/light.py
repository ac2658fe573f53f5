"""Light on the plane of a panel and the part of it that passes the glass."""

from __future__ import annotations

import dataclasses
import functools

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.inputs.files.horizon import Horizon
from solarsim.records import ArrayRecord
from solarsim.solar.glass import diffuse_iam, iam
from solarsim.solar.horizon import horizon_beam, horizon_sky_view_share
from solarsim.solar.parking import Parking, beam_share, sky_view_share

__all__ = ["PlaneLight", "beam_factors", "plane_light"]

# Below one degree of sun height Hay-Davies' ratio is held, so that it does not run off.
_LOWEST_COS_ZENITH = 0.01745
_AOI_NODES = 3601
_ZENITH_NODES = 1801
# Headings of the van that an unknown one is averaged over.
_HEADINGS = 72


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class PlaneLight(ArrayRecord):
    """Light on a panel, W/m2, of the irradiance's shape.

    Attributes
    ----------
    poa_w_m2 : ndarray
        Plane-of-array irradiance, after what the surroundings hide.
    absorbed_w_m2 : ndarray
        The same after the incidence-angle loss of sun, sky and ground; a clean panel.
    absorbed_beam_w_m2 : ndarray
        Of that, what comes from the sun and close around it.
    """

    poa_w_m2: FloatArray
    absorbed_w_m2: FloatArray
    absorbed_beam_w_m2: FloatArray


def plane_light(
    *,
    ghi_w_m2: FloatArray,
    dni_w_m2: FloatArray,
    dhi_w_m2: FloatArray,
    dni_extra_w_m2: FloatArray,
    albedo: FloatArray,
    zenith_deg: FloatArray,
    sun_azimuth_deg: FloatArray,
    tilt_deg: float,
    azimuth_deg: FloatArray | float | None,
    parking: Parking | Horizon,
) -> PlaneLight:
    """Irradiance on a flat or tilted panel by Hay and Davies' anisotropic sky.

    Parameters
    ----------
    ghi_w_m2, dni_w_m2, dhi_w_m2, dni_extra_w_m2 : ndarray
        Horizontal, beam, diffuse and extraterrestrial normal irradiance, ``(runs, hours)`` or
        broadcastable to it, W/m2.
    albedo : ndarray
        Ground reflectance, 0 to 1.
    zenith_deg, sun_azimuth_deg : ndarray
        The sun at mid-hour, broadcastable, degrees.
    tilt_deg : float
        Tilt of the panel, 0 to 90 degrees.
    azimuth_deg : float or ndarray or None
        Where a tilted panel faces, clockwise from north, always or hour by hour; None averages
        over all headings.
    parking : Parking or Horizon
        Surroundings, whichever way they face or by their true compass directions. They hide the
        sun and the sky around it together, and their share of the even sky; the light that they
        reflect is left out.

    Notes
    -----
    With the anisotropy index ``A = DNI / DNI_extra`` a share ``A`` of the diffuse light comes from
    around the sun and goes with the beam, the rest is even over the sky [1]_. On a flat panel beam
    is ``GHI - DHI``, so that in the open the plane's irradiance is the GHI itself.

    Beam and circumsolar light pass the glass by Fresnel's and Bouguer's laws [2]_ (index 1.526,
    extinction 4 1/m, 2 mm), light of the sky and the ground by the integral of the same over what
    the panel sees of them [3]_. De Soto's air-mass modifier is left at 1.

    References
    ----------
    .. [1] J. E. Hay and J. A. Davies, "Calculation of the solar radiation incident on an inclined
       surface", Proc. First Canadian Solar Radiation Data Workshop, 59-72, 1980.
    .. [2] W. De Soto, S. A. Klein and W. A. Beckman, Solar Energy 80, 78-88, 2006.
    .. [3] B. Marion, "Numerical method for angle-of-incidence correction factors for diffuse
       radiation incident photovoltaic modules", Solar Energy 147, 344-348, 2017.
    """
    cos_zenith = np.cos(np.radians(zenith_deg))
    anisotropy = np.clip(dni_w_m2 / dni_extra_w_m2, 0.0, 1.0) * (cos_zenith > 0.0)
    if isinstance(parking, Horizon):
        sun_share = horizon_beam(parking, zenith_deg, sun_azimuth_deg)
        sky_share = horizon_sky_view_share(parking)
    else:
        sun_share = beam_share(parking, zenith_deg)
        sky_share = sky_view_share(parking)
    sky_iam, ground_iam = diffuse_iam(tilt_deg)

    if tilt_deg == 0.0:
        # Of an hour whose middle is dark, what light there is comes from the sky.
        diffuse = np.where(cos_zenith > 0.0, np.minimum(dhi_w_m2, ghi_w_m2), ghi_w_m2)
        circumsolar = anisotropy * diffuse
        beam = sun_share * (ghi_w_m2 - diffuse + circumsolar)
        even_sky = sky_share * (diffuse - circumsolar)
        passed_beam = beam * np.interp(zenith_deg, *_iam_table())
        return PlaneLight(
            poa_w_m2=beam + even_sky,
            absorbed_w_m2=passed_beam + even_sky * sky_iam,
            absorbed_beam_w_m2=passed_beam,
        )

    projection, passed = beam_factors(zenith_deg, sun_azimuth_deg, tilt_deg, azimuth_deg)
    cos_tilt = float(np.cos(np.radians(tilt_deg)))
    circumsolar_w_m2 = anisotropy * dhi_w_m2
    normal = sun_share * (dni_w_m2 + circumsolar_w_m2 / np.maximum(cos_zenith, _LOWEST_COS_ZENITH))
    even = sky_share * (dhi_w_m2 - circumsolar_w_m2)
    even_sky = even * ((1.0 + cos_tilt) / 2.0)
    shaded = sun_share * (ghi_w_m2 - dhi_w_m2 + circumsolar_w_m2) + even
    ground = np.maximum(shaded, 0.0) * albedo * ((1.0 - cos_tilt) / 2.0)
    passed_beam = normal * passed
    return PlaneLight(
        poa_w_m2=normal * projection + even_sky + ground,
        absorbed_w_m2=passed_beam + even_sky * sky_iam + ground * ground_iam,
        absorbed_beam_w_m2=passed_beam,
    )


def beam_factors(
    zenith_deg: FloatArray,
    sun_azimuth_deg: FloatArray,
    tilt_deg: float,
    azimuth_deg: FloatArray | float | None,
) -> tuple[FloatArray, FloatArray]:
    """Projection of a normal beam onto the panel, and the part of it that passes the glass.

    With no heading both are means over all of them, which no longer depend on where the sun
    stands in azimuth.

    Returns
    -------
    projection, passed : ndarray
        ``cos(aoi)``, zero from behind, and ``cos(aoi) * iam(aoi)``; the sun's shape.
    """
    if azimuth_deg is None:
        nodes_deg, mean_projection, mean_passed = _mean_factors(tilt_deg)
        return (
            np.interp(zenith_deg, nodes_deg, mean_projection),
            np.interp(zenith_deg, nodes_deg, mean_passed),
        )
    tilt, zenith = np.radians(tilt_deg), np.radians(zenith_deg)
    turn = np.radians(sun_azimuth_deg - azimuth_deg)
    projection = np.cos(tilt) * np.cos(zenith) + np.sin(tilt) * np.sin(zenith) * np.cos(turn)
    # The sun below the horizon shines on no panel, also not on one that leans towards it.
    projection = np.where(zenith_deg < 90.0, np.clip(projection, 0.0, 1.0), 0.0)
    aoi_deg = np.degrees(np.arccos(projection))
    return projection, projection * np.interp(aoi_deg, *_iam_table())


@functools.lru_cache(maxsize=1)
def _iam_table() -> tuple[FloatArray, FloatArray]:
    """Angles of incidence and the modifier there; linear between them errs by less than 1e-6."""
    aoi_deg = np.linspace(0.0, 90.0, _AOI_NODES)
    return aoi_deg, np.append(iam(aoi_deg[:-1]), 0.0)


@functools.lru_cache(maxsize=64)
def _mean_factors(tilt_deg: float) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Zeniths, and the means over headings of the projection and of its passing part."""
    zenith_deg = np.linspace(0.0, 90.0, _ZENITH_NODES)
    headings_deg = np.arange(_HEADINGS)[:, None] * (360.0 / _HEADINGS)
    # A node at the horizon itself would be dark: take it from just above.
    lit_deg = np.minimum(zenith_deg, 90.0 - 1e-9)
    factors = [beam_factors(lit_deg, np.zeros(1), tilt_deg, float(h)) for h in headings_deg[:, 0]]
    projection = np.mean([factor[0] for factor in factors], axis=0)
    passed = np.mean([factor[1] for factor in factors], axis=0)
    # Beyond the horizon np.interp holds the last node: add one that ends the light.
    return (
        np.append(zenith_deg, 90.0 + 1e-9),
        np.append(projection, 0.0),
        np.append(passed, 0.0),
    )
