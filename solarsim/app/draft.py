"""What the app answers for: a van, its people, and the weather."""

from __future__ import annotations

import dataclasses
import functools
import hashlib

from solarsim.app.tables import profile_tables, van_tables
from solarsim.inputs.files.horizon import Horizon
from solarsim.inputs.files.toml import shipped_folder
from solarsim.inputs.files.van import DEFAULT_VAN, read_van
from solarsim.inputs.profile import Profile, read_profile
from solarsim.inputs.stay import DEFAULT_PROFILE
from solarsim.inputs.van import Van

__all__ = [
    "Draft",
    "WeatherFile",
    "draft_key",
    "example",
    "shipped_profile",
    "shipped_profiles",
]


@dataclasses.dataclass(frozen=True)
class WeatherFile:
    """An uploaded weather file: what it was called, for messages alone, and what is in it."""

    name: str
    content: bytes


@dataclasses.dataclass(frozen=True)
class Draft:
    """Everything that an answer depends on.

    Attributes
    ----------
    van : Van
        With the stay in it.
    profile : Profile
        Who is aboard; the profile that the stay names plays no part.
    weather : WeatherFile or None
        Weather file to use instead of the place's climate.
    horizon : Horizon or None
        What hides the sky around the van, instead of what `Stay.parking` says.
    """

    van: Van
    profile: Profile
    weather: WeatherFile | None = None
    horizon: Horizon | None = None


def example() -> Draft:
    """Return the shipped example."""
    van = read_van(str(shipped_folder("vans") / f"{DEFAULT_VAN}.toml"))
    return Draft(van, shipped_profile(DEFAULT_PROFILE))


@functools.cache
def shipped_profile(stem: str) -> Profile:
    """Return a shipped load profile, whatever lies in the working folder."""
    return read_profile(str(shipped_folder("loads") / f"{stem}.toml"))


@functools.cache
def shipped_profiles() -> dict[str, str]:
    """File names of the shipped load profiles, by the names that people read."""
    stems = sorted(path.stem for path in shipped_folder("loads").glob("*.toml"))
    return {shipped_profile(stem).profile.name: stem for stem in stems}


def draft_key(design: Draft) -> str:
    """Return a text that two designs share only where they are equal."""
    weather = ""
    if design.weather is not None:
        weather = f"{design.weather.name}\n{hashlib.sha256(design.weather.content).hexdigest()}"
    tables = (van_tables(design.van), profile_tables(design.profile), design.horizon)
    return "\n".join([*map(repr, tables), weather])
