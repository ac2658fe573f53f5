"""What a question may be given: text and paths, whole numbers, places; all else is refused."""

from __future__ import annotations

import math
import numbers
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from solarsim.errors import InputError
from solarsim.inputs.base import checked_record, parse_record, plain_value, record_data
from solarsim.inputs.files.horizon import Horizon, read_horizon
from solarsim.inputs.files.van import read_van, van_folder, van_with_settings
from solarsim.inputs.stay import Stay
from solarsim.inputs.van import Van
from solarsim.weather.places import find_place
from solarsim.weather.record import Place

__all__ = [
    "GivenPlace",
    "given_horizon",
    "given_place",
    "given_text",
    "given_van",
    "given_whole",
    "given_yes_or_no",
    "place_text",
    "settings_by_record",
    "stay_with",
]

_PROFILE_TABLES = ("profile", "cabin", "appliances", "hourly", "habits")
_VAN = "a TOML file, a shipped example's name or a Van"

GivenPlace = str | tuple[float, float] | Place


def given_text(value: Any, *, field: str, allowed: str) -> str:
    """Return text or a path as text.

    Raises
    ------
    InputError
        Something else; `allowed` says what is allowed.
    """
    if isinstance(value, Path):
        return str(value)
    if not isinstance(value, str):
        raise InputError(f"got {_shown(value)}; must be {allowed}", field=field)
    return str(value)


def given_whole(value: Any, *, field: str, least: int, most: int, allowed: str) -> int:
    """Return a whole number of a range, also one of numpy's.

    Raises
    ------
    InputError
        Something else; `allowed` says what is allowed.
    """
    plain = plain_value(value)
    if not isinstance(plain, int) or isinstance(plain, bool):
        raise InputError(f"got {_shown(plain)}; must be {allowed}, a whole number", field=field)
    if not least <= plain <= most:
        raise InputError(f"got {plain}; must be {allowed}", field=field)
    return plain


def given_yes_or_no(value: Any, *, field: str) -> bool:
    """Return True or False, also numpy's.

    Raises
    ------
    InputError
        Something else.
    """
    plain = plain_value(value)
    if not isinstance(plain, bool):
        raise InputError(f"got {_shown(plain)}; must be True or False", field=field)
    return plain


def settings_by_record(settings: Sequence[str]) -> tuple[list[str], list[str]]:
    """Return the settings of the van's tables, and those of the profile's.

    Raises
    ------
    InputError
        One text alone, or something that is no text.
    """
    given = _listed_settings(settings)
    of_van = [s for s in given if s.split(".")[0].strip() not in _PROFILE_TABLES]
    return of_van, [s for s in given if s not in of_van]


def given_van(van: str | Path | Van, settings: list[str]) -> tuple[Van, Path | None]:
    """Return a van with its settings, and the folder of its file; a record is checked.

    Raises
    ------
    InputError
        No such van, or something in it that cannot be.
    """
    if isinstance(van, Van):
        van = checked_record(van, source="van")
        return (van_with_settings(van, settings) if settings else van), None
    name = given_text(van, field="van", allowed=_VAN)
    return read_van(name, settings=settings), van_folder(name)


def stay_with(stay: Stay, **changed: Any) -> Stay:
    """Return the stay with everything put in that is not None; ``start`` also where it is.

    Raises
    ------
    InputError
        A value that the stay does not take.
    """
    given = {name: v for name, v in changed.items() if v is not None or name == "start"}
    if all(getattr(stay, name) is value for name, value in given.items()):
        return stay
    return parse_record(Stay, record_data(stay) | plain_value(given), source="")


def given_horizon(name: str | None, beside: Path | None) -> Horizon | None:
    """Read the horizon that a stay names, beside the van's file or by its path.

    Raises
    ------
    InputError
        As for `read_horizon`.
    """
    if name is None:
        return None
    if beside is not None and (beside / name).is_file():
        return read_horizon(beside / name)
    return read_horizon(Path(name))


def given_place(place: GivenPlace) -> Place:
    """Find a place by text or by a pair of coordinates; a record is checked like them.

    Raises
    ------
    PlaceError
        No such place.
    InputError
        Something that is no place, or a record whose height or time zone cannot be.
    """
    text = place_text(place)
    if not isinstance(place, Place):
        return find_place(text)
    if not (_is_number(place.elevation_m) and _is_number(place.utc_offset_h)):
        message = "elevation_m and utc_offset_h must be numbers"
        raise InputError(message, source=_shown(place.name), field="place")
    find_place(text, elevation_m=place.elevation_m, timezone=place.timezone)
    return place


def place_text(place: GivenPlace) -> str:
    """Return a place as the text that finds it: as it was given, or its coordinates.

    Raises
    ------
    InputError
        Something that is no place.
    """
    if isinstance(place, str):
        return str(place)
    pair = (place.latitude_deg, place.longitude_deg) if isinstance(place, Place) else place
    if not isinstance(pair, tuple) or len(pair) != 2 or not all(map(_is_number, pair)):
        message = (
            f"got {_shown(pair)}; must be a town's name such as 'Salzburg, AT', "
            "'latitude, longitude', or a pair of them in degrees"
        )
        raise InputError(message, field="place")
    return ", ".join(f"{float(degrees):.6f}" for degrees in pair)


def _listed_settings(settings: Sequence[str]) -> list[str]:
    """The settings as a list of text."""
    allowed = "a list of TABLE.FIELD=VALUE"
    if not isinstance(settings, Sequence) or isinstance(settings, str | bytes):
        raise InputError(f"got {_shown(settings)}; must be {allowed}", field="settings")
    return [given_text(setting, field="settings", allowed=allowed) for setting in settings]


def _is_number(value: Any) -> bool:
    plain = plain_value(value)
    real = isinstance(plain, numbers.Real) and not isinstance(plain, bool)
    return real and math.isfinite(plain)


def _shown(value: Any) -> str:
    text = repr(plain_value(value))
    return text if len(text) <= 60 else f"{text[:57]}..."
