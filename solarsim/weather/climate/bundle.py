"""The embedded climate of a site, from the bundle that ships with the package."""

from __future__ import annotations

import dataclasses
import functools
from pathlib import Path

import numpy as np
import numpy.typing as npt

from solarsim.arrays import FloatArray, IntArray, IntArray32
from solarsim.errors import PlaceError
from solarsim.weather.climate.codec import CODES, CODES_PER_CLEARNESS, GRIDS, clearness_codes
from solarsim.weather.climate.island import ISLAND_LIMIT_DEG, island_quantiles
from solarsim.weather.climate.site import SiteClimate
from solarsim.weather.record import Place
from solarsim.weather.sky.extraterrestrial import monthly_extraterrestrial_kwh_m2
from solarsim.weather.sky.season import DAYS_IN_MONTH
from solarsim.weather.synthesis.daily import thicken

__all__ = [
    "CLIMATE_FILE",
    "LAPSE_RATE_K_M",
    "NORTH_LIMIT_DEG",
    "SOUTH_LIMIT_DEG",
    "bend_to_mean",
    "load_site_climate",
]

CLIMATE_FILE = Path(__file__).resolve().parents[2] / "data" / "climate.npz"
SOUTH_LIMIT_DEG, NORTH_LIMIT_DEG = -57.0, 72.0
LAPSE_RATE_K_M = 0.0065  # ICAO standard atmosphere (Doc 7488, 1993)
# A town may stand on a cell that the grids call sea; beyond this it is an island they lack.
NEAREST_LAND_KM = 100.0
# The clearness cells measure 333 km; the next one's weather is still the same weather.
NEAREST_CLEARNESS_KM = 400.0
COAST_RADIUS_KM = 50.0
MIN_CLEARNESS = 0.01
MAX_CLEARNESS = 0.85  # highest daily values at dry mountain sites; common practice, no source
_KM_PER_DEG = 111.2
# Factors on the optical thickness of clouds. Beyond, the two data sets disagree about more than
# clouds (coastal deserts, steep mountains) and the rest is met by scaling: 2 % of towns. The middle
# nine tenths need 0.7 to 2.2.
_THICKNESS_RANGE = (0.5, 3.0)
# Median over 2,068 coastal towns; for islands without an annual mean of their own.
_ISLAND_THICKNESS = 1.4
_SOURCE = (
    "embedded climate: daily clearness from MERRA-2 2011-2015, annual irradiation, extremes and "
    "wind from GLDAS through PVCZ-2019, temperature and precipitation from ERA5 2000-2025"
)
_ISLAND_SOURCE = (
    "embedded climate of a small island: light from its latitude alone (FAO-56 equation 51), so "
    "cloudy slopes are darker; temperature and precipitation from ERA5 2000-2025"
)


@dataclasses.dataclass(frozen=True)
class _Grid:
    """Land cells on a regular grid; `index` is the cell's row in the lists, -1 at sea."""

    first_latitude_deg: float
    first_longitude_deg: float
    step_deg: float
    index: IntArray32


@dataclasses.dataclass(frozen=True)
class _Bundle:
    clearness_grid: _Grid
    irradiation_grid: _Grid
    half_grid: _Grid
    lists: dict[str, npt.NDArray[np.integer]]


def load_site_climate(place: Place) -> SiteClimate:
    """Monthly climate of a place on land between 57 S and 72 N, without a network.

    The clearness quantiles are interpolated between the 3-degree cells and bent by one factor on
    the thickness of clouds, so that the year's mean irradiation is that of the site's
    quarter-degree cell. Temperatures are taken from half-degree cells to the site's elevation at
    6.5 K/km. Only land cells are mixed; a place whose cells are all sea takes the nearest land
    cell within 100 km. An island up to 45 degrees from the equator that has no clearness cell
    within 400 km is given the light of its latitude (see `solarsim.weather.climate.island`); the
    source line says so.

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
    bundle = _bundle()
    cells, shares = _blend(bundle.irradiation_grid, latitude, longitude, NEAREST_LAND_KM, place)
    ghi_codes = bundle.lists["ghi"][cells]
    h0_kwh_m2, _ = monthly_extraterrestrial_kwh_m2(latitude)
    alone = _far_from_clearness(bundle, latitude, longitude) and abs(latitude) <= ISLAND_LIMIT_DEG
    if alone:
        # The few annual means on such islands are those of volcanoes, not of the towns below.
        quantiles = island_quantiles(latitude)
    else:
        quantiles = _clearness(bundle, latitude, longitude, place)
        known = ghi_codes > 0
        if known.any():
            ghi_mean = float(shares[known] @ ghi_codes[known] / shares[known].sum())
            ghi_mean *= CODES["ghi"].step
            quantiles = bend_to_mean(quantiles, h0_kwh_m2, ghi_mean)
        else:
            top = quantiles[:, -1:]
            quantiles = np.maximum(top * thicken(quantiles / top, _ISLAND_THICKNESS), MIN_CLEARNESS)

    cells, shares = _blend(bundle.half_grid, latitude, longitude, NEAREST_LAND_KM, place)

    def mean(name: str) -> FloatArray:
        return np.asarray(shares @ bundle.lists[name][cells] * CODES[name].step)

    root_precip = bundle.lists["precipitation"][cells] * CODES["precipitation"].step
    lapse_k = LAPSE_RATE_K_M * (float(mean("elevation")) - place.elevation_m)
    return SiteClimate(
        kt_quantiles=quantiles,
        ghi_kwh_m2_day=quantiles.mean(axis=1) * h0_kwh_m2,
        temp_mean_c=mean("temperature") + lapse_k,
        temp_low_c=float(mean("low")) + lapse_k,
        temp_high_c=float(mean("high")) + lapse_k,
        wind_m_s=float(mean("wind")),
        precip_mm_day=shares @ root_precip**2,
        coast_share=_coast_share(bundle.irradiation_grid, latitude, longitude),
        source=_ISLAND_SOURCE if alone else _SOURCE,
    )


def bend_to_mean(
    kt_quantiles: FloatArray, h0_kwh_m2: FloatArray, ghi_kwh_m2_day: float
) -> FloatArray:
    """Bend clearness quantiles so that the year's mean irradiation is the given one.

    One factor on the optical thickness of clouds serves the whole year (see
    `solarsim.weather.synthesis.daily.thicken`). Each month's top quantile stays: a clear day is
    clear whatever the clouds on other days.

    Parameters
    ----------
    kt_quantiles : ndarray
        ``(12, n)``, rising, all above 0.
    h0_kwh_m2 : ndarray
        ``(12,)`` mean extraterrestrial irradiation, kWh/m2/day.
    ghi_kwh_m2_day : float
        The year's mean to meet. Where the factor would leave 0.5 to 3, it stops there and the
        quantiles are scaled, within 0.01 to 0.85.

    Returns
    -------
    ndarray
        The shape of `kt_quantiles`, still rising.
    """
    top = kt_quantiles[:, -1:]
    relative = kt_quantiles / top
    weight = (DAYS_IN_MONTH * h0_kwh_m2 / DAYS_IN_MONTH.sum())[:, None] * top
    weight = weight / kt_quantiles.shape[1]
    low, high = np.log(_THICKNESS_RANGE)
    # The mean falls as the clouds thicken, and smoothly: halving is safe and quick enough.
    for _ in range(32):
        middle = 0.5 * (low + high)
        if float((weight * thicken(relative, np.exp(middle))).sum()) > ghi_kwh_m2_day:
            low = middle
        else:
            high = middle
    bent = thicken(relative, np.exp(0.5 * (low + high)))
    scale = ghi_kwh_m2_day / float((weight * bent).sum())
    return np.clip(top * bent * scale, MIN_CLEARNESS, MAX_CLEARNESS)


@functools.cache
def _bundle() -> _Bundle:
    with np.load(CLIMATE_FILE, allow_pickle=False) as file:
        arrays = {name: file[name] for name in file.files}

    def grid(mask: str) -> _Grid:
        rows, columns, latitude_deg, longitude_deg = GRIDS[mask]
        land = np.unpackbits(arrays.pop(mask), count=rows * columns).astype(bool)
        index = np.where(land, np.cumsum(land, dtype=np.int32) - 1, -1).astype(np.int32)
        return _Grid(latitude_deg, longitude_deg, 360.0 / columns, index.reshape(rows, columns))

    return _Bundle(
        clearness_grid=grid("kt_mask"),
        irradiation_grid=grid("ghi_mask"),
        half_grid=grid("half_mask"),
        lists=arrays,
    )


def _far_from_clearness(bundle: _Bundle, latitude: float, longitude: float) -> bool:
    rows, columns, distance_km = _around(
        bundle.clearness_grid, latitude, longitude, NEAREST_CLEARNESS_KM
    )
    near = distance_km <= NEAREST_CLEARNESS_KM
    return not (bundle.clearness_grid.index[rows[near], columns[near]] >= 0).any()


def _clearness(bundle: _Bundle, latitude: float, longitude: float, place: Place) -> FloatArray:
    grid = bundle.clearness_grid
    cells, shares = _blend(grid, latitude, longitude, NEAREST_CLEARNESS_KM, place)
    codes = clearness_codes(bundle.lists["kt_first"][cells], bundle.lists["kt_steps"][cells])
    # Averaging quantiles, not histograms: two neighbours' overcast days meet, they do not pile up.
    return np.asarray(np.tensordot(shares, codes, axes=1) / CODES_PER_CLEARNESS)


def _blend(
    grid: _Grid, latitude: float, longitude: float, limit_km: float, place: Place
) -> tuple[IntArray, FloatArray]:
    """Land cells to mix at a point and their shares, which sum to 1."""
    rows, columns = grid.index.shape
    down = (latitude - grid.first_latitude_deg) / grid.step_deg
    right = (longitude - grid.first_longitude_deg) / grid.step_deg
    row, column = int(np.floor(down)), int(np.floor(right))
    row_share, column_share = down - row, right - column
    around_rows = np.clip([row, row, row + 1, row + 1], 0, rows - 1)
    around_columns = np.array([column, column + 1, column, column + 1]) % columns
    shares = np.outer([1 - row_share, row_share], [1 - column_share, column_share]).ravel()
    cells = grid.index[around_rows, around_columns].astype(np.int64)
    land = (cells >= 0) & (shares > 0.0)
    if land.any():
        return cells[land], shares[land] / shares[land].sum()
    near_rows, near_columns, distance_km = _around(grid, latitude, longitude, limit_km)
    cells = grid.index[near_rows, near_columns].astype(np.int64)
    distance_km = np.where(cells >= 0, distance_km, np.inf)
    if not distance_km.size or distance_km.min() > limit_km:
        raise PlaceError(
            f"got {place.name} at {latitude:.2f}, {longitude:.2f}; the embedded climate covers "
            f"land between 57 S and 72 N and has none within {limit_km:.0f} km of it; "
            f"give a weather file for it"
        )
    return cells[[distance_km.argmin()]], np.ones(1)


def _around(
    grid: _Grid, latitude: float, longitude: float, radius_km: float
) -> tuple[IntArray, IntArray, FloatArray]:
    """Rows, columns and distances of the cells in a box that holds the circle around a point."""
    rows, columns = grid.index.shape
    km_per_deg_east = _KM_PER_DEG * max(float(np.cos(np.radians(latitude))), 0.1)
    middle_row = round((latitude - grid.first_latitude_deg) / grid.step_deg)
    middle_column = round((longitude - grid.first_longitude_deg) / grid.step_deg)
    tall = int(radius_km / (_KM_PER_DEG * grid.step_deg)) + 1
    wide = int(radius_km / (km_per_deg_east * grid.step_deg)) + 1
    row = np.arange(max(middle_row - tall, 0), min(middle_row + tall, rows - 1) + 1)
    column = np.arange(middle_column - wide, middle_column + wide + 1)
    north_km = (grid.first_latitude_deg + row * grid.step_deg - latitude) * _KM_PER_DEG
    east_km = (grid.first_longitude_deg + column * grid.step_deg - longitude) * km_per_deg_east
    distance_km = np.hypot(north_km[:, None], east_km[None, :])
    all_rows, all_columns = np.broadcast_arrays(row[:, None], column[None, :] % columns)
    return all_rows.ravel(), all_columns.ravel(), distance_km.ravel()


def _coast_share(grid: _Grid, latitude: float, longitude: float) -> float:
    """Twice the share of water within 50 km: 1 on a straight coast, and never above 1."""
    rows, columns, distance_km = _around(grid, latitude, longitude, COAST_RADIUS_KM)
    near = distance_km <= COAST_RADIUS_KM
    water = grid.index[rows[near], columns[near]] < 0
    return min(1.0, 2.0 * float(water.mean()))
