"""A region's figures as a gridded file with CF attributes."""

from __future__ import annotations

import importlib.util
import io

import numpy as np

from solarsim.answers.region.region import RegionAnswer
from solarsim.arrays import FloatArray
from solarsim.errors import InputError
from solarsim.present.region.table import grid_of
from solarsim.present.words import MAP_CAUTION

__all__ = ["check_netcdf", "netcdf_bytes"]

_CONVENTIONS = "CF-1.11"


def check_netcdf() -> None:
    """Refuse to write such a file where the libraries for it are not installed.

    Raises
    ------
    InputError
        Says what to install.
    """
    missing = [name for name in ("xarray", "h5netcdf") if importlib.util.find_spec(name) is None]
    if missing:
        message = f"needs {' and '.join(missing)}: pip install 'solarsim[netcdf]'"
        raise InputError(message, field="--netcdf")


def netcdf_bytes(answer: RegionAnswer) -> bytes:
    """Return the cells on their grid as netCDF: van, month, latitude, longitude.

    Parameters
    ----------
    answer : RegionAnswer
        Cells without a climate, and all between the cells, are missing values.

    Raises
    ------
    InputError
        The libraries for it are not installed.

    References
    ----------
    .. [1] "NetCDF Climate and Forecast (CF) metadata conventions", version 1.11, 2023.
    """
    check_netcdf()
    import xarray as xr

    asked = answer.asked
    latitudes, longitudes, heights = grid_of(asked.cells, answer.figures.elevation_m)
    of_months, of_land = ("van", "month", "latitude", "longitude"), ("latitude", "longitude")
    variables = {
        name: (of_months, grid_of(asked.cells, values)[2], attributes)
        for name, (values, attributes) in _figures(answer).items()
    }
    data = xr.Dataset(
        {**variables, "elevation": (of_land, heights, _ELEVATION)},
        coords={
            "van": ("van", np.array(asked.van_names, dtype=object), {"long_name": "van"}),
            "month": ("month", np.array(asked.months, dtype=np.int32), _MONTH),
            "latitude": ("latitude", latitudes, _LATITUDE),
            "longitude": ("longitude", longitudes, _LONGITUDE),
        },
        attrs=_about(answer),
    )
    out = io.BytesIO()
    small = {"zlib": True, "complevel": 4, "dtype": "float64", "_FillValue": np.nan}
    data.to_netcdf(out, engine="h5netcdf", encoding={name: dict(small) for name in data.data_vars})
    return out.getvalue()


_ELEVATION = {
    "units": "m",
    "standard_name": "surface_altitude",
    "long_name": "height of the ground at the largest town, else at the centre",
}
_MONTH = {"units": "1", "long_name": "month of the year"}
_LATITUDE = {"units": "degrees_north", "standard_name": "latitude", "axis": "Y"}
_LONGITUDE = {"units": "degrees_east", "standard_name": "longitude", "axis": "X"}


def _figures(answer: RegionAnswer) -> dict[str, tuple[FloatArray, dict[str, str]]]:
    """Figures ``(vans, months, cells)`` with their attributes."""
    asked, figures = answer.asked, answer.figures
    stay = asked.vans[0].stay
    lasts = {"units": "1", "long_name": f"share of runs that last {stay.days} days"}
    holds = {"units": "1", "long_name": "units of the smallest bank that meets the target chance"}
    nine = _days("days that nine runs in ten reach", asked.follow_days)
    half = _days("days that half of the runs reach", asked.follow_days)
    return {
        "p10_days": (figures.p10_days, nine),
        "p50_days": (figures.p50_days, half),
        "chance_lasts": (figures.chance_lasts, lasts),
        "bank_units": (np.where(figures.bank_units > 0, figures.bank_units, np.nan), holds),
    }


def _about(answer: RegionAnswer) -> dict[str, str | int]:
    asked, first = answer.asked, answer.asked.questions[0][0]
    return {
        "Conventions": _CONVENTIONS,
        "title": f"Days off grid over {asked.cells.region.name}",
        "source": "hourly simulation of panels, bank and loads on synthetic weather runs",
        "comment": " ".join((*answer.notes, MAP_CAUTION)),
        "profile": first.profile.profile.name,
        "runs": first.runs,
        "seed": first.seed,
        "stay_days": first.van.stay.days,
        "follow_days": asked.follow_days,
    }


def _days(name: str, follow_days: int) -> dict[str, str]:
    comment = f"{follow_days} stands for that many or more"
    return {"units": "days", "long_name": name, "comment": comment}
