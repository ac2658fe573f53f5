"""What is asked: a van, its people, a place, and the weather to ask it of."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from pathlib import Path

from solarsim.errors import InputError
from solarsim.inputs.calendar import HORIZON_DAYS
from solarsim.inputs.files.horizon import Horizon, read_horizon
from solarsim.inputs.files.van import DEFAULT_VAN, read_van, van_folder
from solarsim.inputs.profile import Profile, read_profile
from solarsim.inputs.van import Van
from solarsim.weather.climate.bundle import load_site_climate
from solarsim.weather.climate.site import SiteClimate
from solarsim.weather.places import find_place
from solarsim.weather.readers.file import read_weather_file
from solarsim.weather.record import Place
from solarsim.weather.years.series import YearSeries

__all__ = [
    "DEFAULT_RUNS",
    "MAX_RUNS",
    "NoInverterError",
    "Question",
    "ask",
    "loads_without_inverter",
    "with_horizon",
]

# Measured over eight vans, places and months at 640 runs: the standard error of P50 is at worst
# 0.146 day and that of the chance 1.93 points; 700 keeps both below 0.15 day and 2 points.
DEFAULT_RUNS = 700
MAX_RUNS = 100_000

_MAX_HORIZON_DAYS = 365
_PROFILE_TABLES = ("profile", "cabin", "appliances", "hourly")


@dataclasses.dataclass(frozen=True)
class Question:
    """A van and its people at a place, and either the site's climate or a weather file.

    Attributes
    ----------
    van : Van
        With the stay in it.
    profile : Profile
        Who is aboard and what they use.
    place : Place
        Where.
    climate : SiteClimate or None
        Embedded climate to synthesise from; None where a file is given.
    series : YearSeries or None
        Weather file to take windows from.
    runs : int
        Weather runs asked for; a file may hold fewer windows.
    seed : int
        Seed of all random draws.
    site_uncertainty : bool
        Whether each run also draws how far the climate data may be off.
    horizon_days : int
        How far past the arrival days unplugged are followed; never less than the stay.
    notes : tuple of str
        Caveats from choosing the inputs.
    horizon : Horizon or None
        What hides the sky around the van; None where the parking preset says it.
    """

    van: Van
    profile: Profile
    place: Place
    climate: SiteClimate | None
    series: YearSeries | None = None
    runs: int = DEFAULT_RUNS
    seed: int = 1
    site_uncertainty: bool = True
    horizon_days: int = HORIZON_DAYS
    notes: tuple[str, ...] = ()
    horizon: Horizon | None = None


class NoInverterError(InputError):
    """People want mains power of a van without an inverter.

    Attributes
    ----------
    question : Question
        All the same; only for what does not depend on the loads.
    """

    def __init__(self, question: Question, names: Sequence[str]) -> None:
        self.question = question
        super().__init__(
            f"AC loads need an [inverter] table in the van: {', '.join(names)}", field="inverter"
        )


def ask(
    van: str | Van = DEFAULT_VAN,
    *,
    profile: str | Profile | None = None,
    place: str | Place | None = None,
    month: int | None = None,
    days: int | None = None,
    weather: str | Path | None = None,
    runs: int | None = None,
    seed: int = 1,
    settings: Sequence[str] = (),
    site_uncertainty: bool = True,
) -> Question:
    """Put a question together from names, files and records, checking all of it.

    Parameters
    ----------
    van : str or Van
        A TOML file, a shipped example's name, or a record.
    profile : str or Profile, optional
        As for the van; by default the one that the van's stay names.
    place : str or Place, optional
        A town, ``"latitude, longitude"``, or a record; by default the stay's.
    month, days : int, optional
        Override the stay's.
    weather : str or Path, optional
        EPW, TMY3, TMY2, NSRDB or plain CSV file to use instead of the embedded climate.
    runs : int, optional
        Weather runs, by default 700, or every window of a file.
    seed : int
        0 or more; the same seed gives the same answer.
    settings : sequence of str
        ``TABLE.FIELD=VALUE`` over the van's or the profile's tables.
    site_uncertainty : bool
        Whether runs differ also by how far the climate data may be off.

    Raises
    ------
    InputError
        Anything in it that cannot be used, named with file, field and what is allowed.
    NoInverterError
        AC loads in a van without an inverter, everything else being right.
    """
    if runs is not None and not 1 <= runs <= MAX_RUNS:
        raise InputError(f"got {runs}; must be 1 to {MAX_RUNS}", field="runs")
    if not 0 <= seed < 2**63:
        raise InputError(f"got {seed}; must be 0 to 2**63 - 1", field="seed")
    van_settings = [s for s in settings if s.split(".")[0].strip() not in _PROFILE_TABLES]
    profile_settings = [s for s in settings if s not in van_settings]
    if month is not None:
        van_settings.append(f"stay.month={month}")
    if days is not None:
        van_settings.append(f"stay.days={days}")
    beside = None
    if isinstance(van, str):
        beside = van_folder(van)
        van = read_van(van, settings=van_settings)
    elif van_settings:
        raise InputError("settings, month and days need a van by file or name", field="settings")
    if month is not None and van.stay.start is not None:
        message = f"got {month}, but stay.start ({van.stay.start}) sets the dates; give one of them"
        raise InputError(message, field="month")
    if not isinstance(profile, Profile):
        name = van.stay.profile if profile is None else profile
        profile = read_profile(name, beside=beside, settings=profile_settings)
    horizon = _horizon(van.stay.horizon, beside)
    if weather is not None:
        series = read_weather_file(Path(weather))
        question = Question(
            van,
            profile,
            series.place,
            None,
            series,
            runs=MAX_RUNS if runs is None else runs,
            seed=seed,
            notes=_far_apart(place, series.place),
            horizon=horizon,
        )
    else:
        if not isinstance(place, Place):
            place = find_place(van.stay.place if place is None else place)
        question = Question(
            van,
            profile,
            place,
            load_site_climate(place),
            runs=DEFAULT_RUNS if runs is None else runs,
            seed=seed,
            site_uncertainty=site_uncertainty,
            horizon=horizon,
        )
    names = loads_without_inverter(van, profile)
    if names:
        raise NoInverterError(question, names)
    return question


def with_horizon(question: Question, horizon_days: int | None) -> Question:
    """Return the question followed for so many days (never less than the stay); None keeps it.

    Raises
    ------
    InputError
        Not 1 to 365 days.
    """
    if horizon_days is None:
        return question
    if not 1 <= horizon_days <= _MAX_HORIZON_DAYS:
        message = f"got {horizon_days}; must be 1 to {_MAX_HORIZON_DAYS} days"
        raise InputError(message, field="horizon")
    return dataclasses.replace(question, horizon_days=horizon_days)


def _horizon(name: str | None, beside: Path | None) -> Horizon | None:
    if name is None:
        return None
    if beside is not None and (beside / name).is_file():
        return read_horizon(beside / name)
    return read_horizon(Path(name))


def loads_without_inverter(van: Van, profile: Profile) -> list[str]:
    """Names of the AC loads that a van has no inverter for; none where it has one."""
    if van.inverter is not None:
        return []
    names = [a.name for a in profile.appliances if a.current == "ac" and a.enabled]
    if profile.hourly is not None and any(profile.hourly.ac_w):
        names.append("the hourly watts")
    return names


def _far_apart(asked: str | Place | None, used: Place) -> tuple[str, ...]:
    if asked is None:
        return ()
    place = asked if isinstance(asked, Place) else find_place(asked)
    apart_deg = max(
        abs(place.latitude_deg - used.latitude_deg), abs(place.longitude_deg - used.longitude_deg)
    )
    if apart_deg < 0.5:
        return ()
    return (f"the weather file is from {used.name}, not {place.name}: the file's place is used",)
