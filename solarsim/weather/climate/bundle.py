"""The embedded climate of a site, from the bundle that ships with the package."""

from __future__ import annotations

import numpy as np

from solarsim.errors import PlaceError
from solarsim.weather.climate.data import read_bundle
from solarsim.weather.climate.grid import Grid, around, blend
from solarsim.weather.climate.island import ISLAND_LIMIT_DEG, island_quantiles
from solarsim.weather.climate.light import has_clearness, monthly_quantiles
from solarsim.weather.climate.satellite import satellite_share
from solarsim.weather.climate.site import SiteClimate
from solarsim.weather.climate.temperature import monthly_temperature_c
from solarsim.weather.record import Place
from solarsim.weather.sky.extraterrestrial import monthly_extraterrestrial_kwh_m2

__all__ = ["NORTH_LIMIT_DEG", "SOUTH_LIMIT_DEG", "load_site_climate"]

SOUTH_LIMIT_DEG, NORTH_LIMIT_DEG = -57.0, 72.0
NEAREST_LAND_KM = 100.0
COAST_RADIUS_KM = 50.0
# An island's light from its latitude alone; no source.
_ISLAND_ERROR_SD = 0.1
_SATELLITE = "monthly light from satellites (CM SAF) 2006-2025, "
_SOURCE = (
    "embedded climate: {}daily clearness from MERRA-2 2011-2015, annual irradiation, extremes and "
    "wind from GLDAS through PVCZ-2019, temperature and precipitation from ERA5 2000-2025"
)
_ISLAND_SOURCE = (
    "embedded climate of a small island: light from its latitude alone (FAO-56 equation 51), so "
    "cloudy slopes are darker; temperature and precipitation from ERA5 2000-2025"
)


def load_site_climate(place: Place) -> SiteClimate:
    """Monthly climate of a place on land between 57 S and 72 N, without a network.

    Light: the 3-degree cells' daily clearness, bent month by month to the mean that
    `solarsim.weather.climate.light` finds. Temperature: the quarter-degree nodes around, taken to
    the site's elevation (`solarsim.weather.climate.temperature`); the record's extremes keep their
    distance from the coldest and the warmest month. Only cells with data are mixed; a place whose
    cells are all sea takes the nearest land cell within 100 km. An island up to 45 degrees from the
    equator that has no clearness cell within 400 km is given the light of its latitude (see
    `solarsim.weather.climate.island`); the source line says so.

    Parameters
    ----------
    place : Place
        Latitude, longitude and elevation.

    Raises
    ------
    PlaceError
        The place is outside 57 S to 72 N, or more than 100 km from the land the data cover.

    References
    ----------
    .. [1] R. Gelaro et al., "MERRA-2", J. Climate 30, 2017, doi:10.1175/JCLI-D-16-0758.1.
    .. [2] T. Karin, C. B. Jones, A. Jain, "Photovoltaic degradation climate zones", 46th IEEE
       Photovoltaic Specialists Conference, 2019.
    .. [3] H. Hersbach et al., "The ERA5 global reanalysis", Q. J. R. Meteorol. Soc. 146, 2020,
       doi:10.1002/qj.3803.
    """
    latitude, longitude = place.latitude_deg, (place.longitude_deg + 180.0) % 360.0 - 180.0
    if not SOUTH_LIMIT_DEG <= latitude <= NORTH_LIMIT_DEG:
        raise PlaceError(
            f"got {place.name} at latitude {latitude:.2f}; the embedded climate covers land "
            f"between 57 S and 72 N; give a weather file for it"
        )
    bundle = read_bundle()
    cells, shares = blend(bundle.half_grid, latitude, longitude, NEAREST_LAND_KM, place)
    alone = abs(latitude) <= ISLAND_LIMIT_DEG and not has_clearness(bundle, latitude, longitude)
    if alone:
        # The few annual means on such islands are those of volcanoes, not of the towns below.
        quantiles, error_sd = island_quantiles(latitude), np.full(12, _ISLAND_ERROR_SD)
        source = _ISLAND_SOURCE
    else:
        quantiles, error_sd = monthly_quantiles(bundle, latitude, longitude, place)
        source = _SOURCE.format(_SATELLITE if satellite_share(latitude, longitude) else "")
    h0_kwh_m2, _ = monthly_extraterrestrial_kwh_m2(latitude)

    temp_mean_c = monthly_temperature_c(bundle, latitude, longitude, place)
    return SiteClimate(
        kt_quantiles=quantiles,
        ghi_kwh_m2_day=quantiles.mean(axis=1) * h0_kwh_m2,
        temp_mean_c=temp_mean_c,
        temp_low_c=float(temp_mean_c.min()) - bundle.mean("low", cells, shares),
        temp_high_c=float(temp_mean_c.max()) + bundle.mean("high", cells, shares),
        wind_m_s=bundle.mean("wind", cells, shares),
        precip_mm_day=bundle.precipitation_mm_day("precipitation", cells, shares),
        coast_share=_coast_share(bundle.irradiation_grid, latitude, longitude),
        source=source,
        ghi_error_share=error_sd,
    )


def _coast_share(grid: Grid, latitude: float, longitude: float) -> float:
    """Twice the share of water within 50 km: 1 on a straight coast, and never above 1."""
    rows, columns, distance_km = around(grid, latitude, longitude, COAST_RADIUS_KM)
    near = distance_km <= COAST_RADIUS_KM
    water = grid.index[rows[near], columns[near]] < 0
    return min(1.0, 2.0 * float(water.mean()))
