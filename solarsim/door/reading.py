"""Files and places by name: what a script reads before it asks."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from solarsim.answers.given import GivenPlace, given_text, place_text, settings_by_record
from solarsim.errors import InputError
from solarsim.inputs.base import plain_value
from solarsim.inputs.files.van import DEFAULT_VAN
from solarsim.inputs.files.van import read_van as van_of_file
from solarsim.inputs.profile import Profile
from solarsim.inputs.profile import read_profile as profile_of_file
from solarsim.inputs.van import Van
from solarsim.weather.places import find_place as place_of_text
from solarsim.weather.record import Place

__all__ = ["find_place", "read_profile", "read_van"]


def read_van(name_or_path: str | Path = DEFAULT_VAN, *, settings: Sequence[str] = ()) -> Van:
    """Read a van: a TOML file, or a shipped example by its name.

    Parameters
    ----------
    name_or_path : str or Path
        A path, or the name of a shipped example.
    settings : sequence of str
        ``TABLE.FIELD=VALUE`` changes, such as ``battery.units=3``.

    Raises
    ------
    InputError
        No such file, no TOML, an unknown key or part, a value out of range or at odds with
        another; the file, the table and the field are named.

    Examples
    --------
    >>> read_van("weekender", settings=["battery.units=3"]).battery.units
    3
    """
    allowed = "a TOML file or a shipped example's name"
    settings_by_record(settings)
    return van_of_file(given_text(name_or_path, field="van", allowed=allowed), settings=settings)


def read_profile(name_or_path: str | Path, *, settings: Sequence[str] = ()) -> Profile:
    """Read a profile: a TOML file, a CSV of hourly watts, or a shipped example by its name.

    Parameters
    ----------
    name_or_path : str or Path
        A path, or the name of a shipped example.
    settings : sequence of str
        ``TABLE.FIELD=VALUE`` changes; an appliance is reached by its name or its position:
        ``appliances.kettle.enabled=false``.

    Raises
    ------
    InputError
        As for `read_van`; a profile without any load.

    Examples
    --------
    >>> read_profile("weekend-couple").profile.name
    'Weekend couple'
    """
    allowed = "a TOML or CSV file or a shipped example's name"
    settings_by_record(settings)
    name = given_text(name_or_path, field="profile", allowed=allowed)
    return profile_of_file(name, settings=settings)


def find_place(
    place: GivenPlace, *, elevation_m: float | None = None, timezone: str | None = None
) -> Place:
    """Find a town by its name, or take coordinates as they are.

    Parameters
    ----------
    place : str, tuple of float or Place
        ``"Salzburg, AT"``, ``"47.80, 13.05"`` or the two as a pair: latitude and longitude in
        degrees, north and east positive.
    elevation_m : float, optional
        Height above the sea; from a five-minute grid where it is left out, which in mountains can
        be some hundred metres off.
    timezone : str, optional
        IANA name; from the town or the coordinates where it is left out.

    Raises
    ------
    InputError
        The name is unknown or stands for several towns, or a value cannot be.

    Examples
    --------
    >>> find_place("salzburg, austria").timezone
    'Europe/Vienna'
    """
    height: Any = plain_value(elevation_m)
    if height is not None and (isinstance(height, bool) or not isinstance(height, int | float)):
        raise InputError(f"got {height!r}; must be a number of metres", field="elevation_m")
    if timezone is not None:
        timezone = given_text(timezone, field="timezone", allowed="a name such as 'Europe/Vienna'")
    return place_of_text(place_text(place), elevation_m=height, timezone=timezone)
