"""What is asked: a van, its people, a place, and the weather to ask it of."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from pathlib import Path

from solarsim.answers.given import (
    GivenPlace,
    given_horizon,
    given_text,
    given_van,
    given_whole,
    given_yes_or_no,
    settings_by_record,
    stay_with,
)
from solarsim.answers.question_card import question_card
from solarsim.answers.sky import sky_of
from solarsim.cards import Card, Carded
from solarsim.errors import InputError
from solarsim.inputs.base import checked_record
from solarsim.inputs.calendar import FOLLOW_DAYS
from solarsim.inputs.files.horizon import Horizon
from solarsim.inputs.files.van import DEFAULT_VAN, van_with_settings
from solarsim.inputs.percent import percent
from solarsim.inputs.profile import Profile, profile_with_settings, read_profile
from solarsim.inputs.stay import Stay
from solarsim.inputs.van import Van
from solarsim.records import ArrayRecord
from solarsim.weather.climate.site import SiteClimate
from solarsim.weather.record import Place
from solarsim.weather.years.series import YearSeries

__all__ = [
    "DEFAULT_RUNS",
    "MAX_RUNS",
    "MEDICAL_CHANCE",
    "Question",
    "ask",
    "check_inverter",
    "loads_without_inverter",
]

# Measured over eight vans, places and months at 640 runs: the standard error of P50 is at worst
# 0.146 day and that of the chance 1.93 points; 700 keeps both below 0.15 day and 2 points.
DEFAULT_RUNS = 700
MAX_RUNS = 100_000

_MAX_FOLLOW_DAYS = 365
# What is built for one that depends on it holds in all but one of a hundred.
MEDICAL_CHANCE = 0.99


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Question(Carded, ArrayRecord):
    """A van and its people at a place, and either the site's climate or a weather file.

    `ask` and `replace` write place, profile and dates into the van's stay, so that the two never
    differ.

    Attributes
    ----------
    van : Van
        With the stay in it.
    profile : Profile
        Who is aboard and what they use.
    place : Place
        Where.
    climate : SiteClimate or None
        Embedded climate to synthesise from; None where real weather takes its place.
    series : YearSeries or None
        Weather file or real years to take windows from.
    runs : int
        Weather runs asked for; a file may hold fewer windows.
    seed : int
        Seed of all random draws.
    site_uncertainty : bool
        Whether each run also draws how far the climate data may be off.
    follow_days : int
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
    follow_days: int = FOLLOW_DAYS
    notes: tuple[str, ...] = ()
    horizon: Horizon | None = None

    @property
    def on_file(self) -> bool:
        """Whether it stands on a weather file, which has a place of its own."""
        return self.series is not None and self.van.stay.climate != "history"

    def card(self) -> Card:
        """Return what is asked, of which van, at which place."""
        return question_card(self)

    def replace(
        self,
        *,
        van: str | Path | Van | None = None,
        profile: str | Path | Profile | None = None,
        place: GivenPlace | None = None,
        month: int | None = None,
        days: int | None = None,
        weather: str | Path | None = None,
        climate: str | None = None,
        runs: int | None = None,
        seed: int | None = None,
        follow_days: int | None = None,
        settings: Sequence[str] = (),
        site_uncertainty: bool | None = None,
        with_loads: bool = True,
    ) -> Question:
        """Return the same question with something else in it, checked as by `ask`.

        Parameters
        ----------
        van : str, path or Van, optional
            Another van at the same place, with the same profile, dates and days; all else that
            its own stay says counts.
        profile, place, days, weather, climate, runs, seed, follow_days, settings, \
        site_uncertainty, with_loads
            As for `ask`; what is left out stays as it is.
        month : int, optional
            Another month; a first day that was given no longer counts.

        Raises
        ------
        InputError
            As for `ask`; a place where the question stands on a weather file, which has its own.
        """
        beside = None
        tried = self.van
        if van is not None:
            tried, beside = given_van(van, [])
            same = {name: getattr(self.van.stay, name) for name in _SAME_STAY}
            tried = tried.model_copy(update={"stay": stay_with(tried.stay, **same)})
        if month is not None:
            tried = tried.model_copy(update={"stay": stay_with(tried.stay, start=None)})
        for_van, for_profile = settings_by_record(settings)
        tried = checked_record(tried, source="van")
        if for_van:
            tried = van_with_settings(tried, for_van)
        return _question(
            tried,
            beside,
            profile=profile,
            profile_settings=for_profile,
            place=place,
            month=month,
            days=days,
            weather=weather,
            climate=climate,
            runs=runs,
            seed=self.seed if seed is None else seed,
            follow_days=self.follow_days if follow_days is None else follow_days,
            site_uncertainty=self.site_uncertainty
            if site_uncertainty is None
            else site_uncertainty,
            with_loads=with_loads,
            known=self,
        )


_SAME_STAY = ("place", "climate", "profile", "month", "start", "year", "days")


def ask(
    van: str | Path | Van = DEFAULT_VAN,
    *,
    profile: str | Path | Profile | None = None,
    place: GivenPlace | None = None,
    month: int | None = None,
    days: int | None = None,
    weather: str | Path | None = None,
    climate: str | None = None,
    runs: int | None = None,
    seed: int = 1,
    follow_days: int = FOLLOW_DAYS,
    settings: Sequence[str] = (),
    site_uncertainty: bool = True,
    with_loads: bool = True,
) -> Question:
    """Put a question together from names, files and records, checking all of it.

    Parameters
    ----------
    van : str, path or Van
        A TOML file, a shipped example's name, or a record.
    profile : str, path or Profile, optional
        As for the van; by default the one that the van's stay names.
    place : str, tuple of float or Place, optional
        A town, ``"latitude, longitude"``, the two as a pair, or a record; by default the stay's.
    month, days : int, optional
        Override the stay's.
    weather : str or path, optional
        EPW, TMY3, TMY2, NSRDB or plain CSV file to use instead of the embedded climate.
    climate : str, optional
        ``"history"`` takes the place's fetched real years, ten at least, instead of the
        ``"embedded"`` climate; by default the stay's.
    runs : int, optional
        Weather runs, by default 700, or every window of a file or of real years.
    seed : int
        0 or more; the same seed gives the same answer.
    follow_days : int
        How far past the arrival days unplugged are followed, 1 to 365; never less than the stay.
    settings : sequence of str
        ``TABLE.FIELD=VALUE`` over the van's or the profile's tables.
    site_uncertainty : bool
        Whether runs differ also by how far the climate data may be off.
    with_loads : bool
        False for what does not depend on the loads (`roof`): AC loads then need no inverter.

    Raises
    ------
    InputError
        Anything in it that cannot be used, named with file, field and what is allowed; records are
        checked like files.
    """
    for_van, for_profile = settings_by_record(settings)
    given, beside = given_van(van, for_van)
    return _question(
        given,
        beside,
        profile=profile,
        profile_settings=for_profile,
        place=place,
        month=month,
        days=days,
        weather=weather,
        climate=climate,
        runs=runs,
        seed=seed,
        follow_days=follow_days,
        site_uncertainty=site_uncertainty,
        with_loads=with_loads,
        known=None,
    )


def _question(
    van: Van,
    beside: Path | None,
    *,
    profile: str | Path | Profile | None,
    profile_settings: list[str],
    place: GivenPlace | None,
    month: int | None,
    days: int | None,
    weather: str | Path | None,
    climate: str | None,
    runs: int | None,
    seed: int,
    follow_days: int,
    site_uncertainty: bool,
    with_loads: bool,
    known: Question | None,
) -> Question:
    """Find and check everything that a checked van is asked about, but for what is `known`."""
    if runs is not None:
        runs = given_whole(runs, field="runs", least=1, most=MAX_RUNS, allowed=f"1 to {MAX_RUNS}")
    seed = given_whole(seed, field="seed", least=0, most=2**63 - 1, allowed="0 to 2**63 - 1")
    follow_days = given_whole(
        follow_days,
        field="follow_days",
        least=1,
        most=_MAX_FOLLOW_DAYS,
        allowed=f"1 to {_MAX_FOLLOW_DAYS} days",
    )
    for name, value in (("site_uncertainty", site_uncertainty), ("with_loads", with_loads)):
        given_yes_or_no(value, field=name)
    if month is not None and van.stay.start is not None:
        message = f"got {month}, but stay.start ({van.stay.start}) sets the dates; give one of them"
        raise InputError(message, field="month")
    stay = stay_with(van.stay, month=month, days=days, climate=climate)
    stay, found_profile = _people(stay, profile, profile_settings, beside, known)
    sky = sky_of(stay, place, weather, known)
    stay, target_notes = _safe_target(stay_with(stay, place=sky.text), found_profile)
    if stay != van.stay:
        van = van.model_copy(update={"stay": stay})
    if known is not None and stay.horizon == known.van.stay.horizon:
        horizon = known.horizon
    else:
        horizon = given_horizon(stay.horizon, beside)
    if with_loads:
        check_inverter(van, found_profile)
    return Question(
        van,
        found_profile,
        sky.place,
        sky.climate,
        sky.series,
        runs=runs or sky.runs or (DEFAULT_RUNS if sky.series is None else MAX_RUNS),
        seed=seed,
        site_uncertainty=bool(site_uncertainty),
        follow_days=follow_days,
        notes=(*_notes_apart(sky.notes, known), *target_notes),
        horizon=horizon,
    )


def _safe_target(stay: Stay, profile: Profile) -> tuple[Stay, tuple[str, ...]]:
    """Raise the target chance where someone's health depends on a device, and say so."""
    if not profile.medical:
        return stay, ()
    target = max(stay.target_chance, MEDICAL_CHANCE)
    note = (
        f"target chance {percent(target)}, as someone's health depends on: "
        f"{', '.join(profile.medical)}; never rely on this alone"
    )
    return stay_with(stay, target_chance=target), (note,)


def _notes_apart(notes: tuple[str, ...], known: Question | None) -> tuple[str, ...]:
    """Notes without those that were about the people of the question before."""
    old = () if known is None else _safe_target(known.van.stay, known.profile)[1]
    return tuple(note for note in notes if note not in old)


def _people(
    stay: Stay,
    profile: str | Path | Profile | None,
    settings: list[str],
    beside: Path | None,
    known: Question | None,
) -> tuple[Stay, Profile]:
    """The profile with its settings, and the stay that names it."""
    if profile is None and known is not None and stay.profile == known.van.stay.profile:
        profile, name = known.profile, stay.profile
    elif isinstance(profile, Profile):
        name = None
    else:
        wanted = stay.profile if profile is None else profile
        allowed = "a TOML file, a shipped example's name or a Profile"
        name = given_text(wanted, field="profile", allowed=allowed)
        return stay_with(stay, profile=name), read_profile(name, beside=beside, settings=settings)
    profile = checked_record(profile, source="profile")
    if settings:
        profile = profile_with_settings(profile, settings)
    return stay_with(stay, profile=name or profile.profile.name), profile


def check_inverter(van: Van, profile: Profile) -> None:
    """Refuse people who want mains power of a van without an inverter.

    Raises
    ------
    InputError
        So it is; the loads are named.
    """
    names = loads_without_inverter(van, profile)
    if names:
        message = f"AC loads need an inverter ([inverter] in the van's file): {', '.join(names)}"
        raise InputError(message, field="inverter")


def loads_without_inverter(van: Van, profile: Profile) -> list[str]:
    """Names of the AC loads that a van has no inverter for; none where it has one."""
    if van.inverter is not None:
        return []
    names = [a.name for a in profile.appliances if a.current == "ac" and a.enabled]
    if profile.hourly is not None and any(profile.hourly.ac_w):
        names.append("the hourly watts")
    return names
