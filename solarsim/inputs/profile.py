"""Who is aboard and what they use: appliances by the day, or watts by the hour."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Annotated, Any, Self

from pydantic import Field, model_validator

from solarsim.cards import Card, Carded
from solarsim.errors import InputError
from solarsim.inputs.appliance import Appliance
from solarsim.inputs.base import Record, checked_record, parse_record, record_data
from solarsim.inputs.body import Body, Insulation
from solarsim.inputs.files.toml import apply_settings, read_toml, resolve_file
from solarsim.inputs.files.watts import read_watts
from solarsim.inputs.fuel import Habits
from solarsim.inputs.hourly import Hourly
from solarsim.inputs.identity import ProfileIdentity
from solarsim.inputs.parts import fill_from_part, without_part
from solarsim.inputs.settings import list_settings
from solarsim.inputs.windows import Window, Windows, check_windows

__all__ = [
    "Cabin",
    "Profile",
    "profile_from_data",
    "profile_with_settings",
    "read_profile",
]

# Lining, furniture and air of a 6 m panel van: an estimate; no published source.
_HEAT_CAPACITY_WH_K = 200.0


class Cabin(Record):
    """The living space as one lump of heat; every default is an estimate.

    What leaks out and what fittings and air store follow from the van's size where they are left
    out (`solarsim.inputs.body`); the other defaults are those of a 6 m panel van.

    It sets how long heater, fan, cooler and fridge run, and how warm a bank inside is.
    """

    heater_set_point_c: Annotated[float, Field(ge=0.0, le=35.0)] | None = None
    """What the heater keeps; left out, nobody heats."""
    night_set_point_c: Annotated[float, Field(ge=0.0, le=35.0)] | None = None
    """What the heater keeps in the hours of night instead."""
    night: Window = (22.0, 7.0)
    """From when to when night_set_point_c holds, by the clock."""
    insulation: Insulation = "light"
    """How the shell is insulated; sets heat_loss_w_k together with the van's size."""
    heat_loss_w_k: Annotated[float, Field(gt=1.0, le=1000.0)] | None = None
    """Heat that the shell loses for each degree between inside and outside; left out, by
    insulation and the van's size (49, 75 or 124 W/K in a 6 m van)."""
    heat_capacity_wh_k: Annotated[float, Field(gt=1.0, le=5000.0)] | None = None
    """Heat that the inside stores for each degree; left out, by the van's size (200 Wh/K in a 6 m
    van)."""
    solar_gain_m2: Annotated[float, Field(ge=0.0, le=20.0)] = 1.0
    """Area that lets the sun's heat in: windows and the shell's share."""
    people: Annotated[int, Field(ge=0, le=12)] = 2
    """How many people are aboard; their heat counts."""
    # Sensible heat of a seated adult, rounded; ASHRAE Handbook of Fundamentals, from memory.
    person_gain_w: Annotated[float, Field(ge=0.0, le=300.0)] = 70.0
    """Heat that one person gives."""
    home: Windows = ((0.0, 24.0),)
    """Hours in which the people are inside, as `[[from, to], ...]`."""
    vent_above_c: Annotated[float, Field(ge=-40.0, le=60.0)] = 24.0
    """Cabin temperature above which windows and vents are opened, when the air outside is
    cooler."""
    vent_loss_w_k: Annotated[float, Field(ge=0.0, le=2000.0)] = 100.0
    """Heat that open windows and vents let out for each degree."""

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        check_windows((self.night,), "night")
        check_windows(self.home, "home")
        if self.night_set_point_c is not None and self.heater_set_point_c is None:
            raise ValueError("night_set_point_c needs heater_set_point_c")
        highest_c = max(self.heater_set_point_c or 0.0, self.night_set_point_c or 0.0)
        if self.heater_set_point_c is not None and highest_c > self.vent_above_c:
            raise ValueError(
                f"vent_above_c ({self.vent_above_c}) must not be below the heater's set-point "
                f"({highest_c})"
            )
        return self

    @property
    def loss_w_k(self) -> float:
        """Heat loss per kelvin between cabin and outside: given, or that of a 6 m van."""
        if self.heat_loss_w_k is None:
            return Body().heat_loss_w_k(self.insulation)
        return self.heat_loss_w_k

    @property
    def capacity_wh_k(self) -> float:
        """Heat that warms fittings and air by a kelvin: given, or that of a 6 m van."""
        return _HEAT_CAPACITY_WH_K if self.heat_capacity_wh_k is None else self.heat_capacity_wh_k

    def sized(self, body: Body) -> Self:
        """The cabin in a van of this size, with what was left out worked out from it."""
        usual: dict[str, float] = {}
        if self.heat_loss_w_k is None:
            usual["heat_loss_w_k"] = body.heat_loss_w_k(self.insulation)
        if self.heat_capacity_wh_k is None:
            usual["heat_capacity_wh_k"] = _HEAT_CAPACITY_WH_K * body.skin_m2 / Body().skin_m2
        return self.model_copy(update=usual)


class Profile(Carded, Record):
    """One profile file: the cabin, the appliances, or the watts of each hour (or both)."""

    profile: ProfileIdentity
    """The profile's name."""
    cabin: Cabin = Cabin()
    """The living space, for what runs by its temperature."""
    appliances: Annotated[tuple[Appliance, ...], Field(strict=False)] = ()
    """What runs and for how long."""
    hourly: Hourly | None = None
    """Watts by the hour, instead of appliances or beside them."""
    habits: Habits | None = None
    """Hot water and cooked food of each person, for the fuel they take; left out, usual ones."""

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        names = [appliance.name for appliance in self.appliances]
        on = {appliance.name for appliance in self.appliances if appliance.enabled}
        for device in self.medical:
            # Measured watts by the hour hold a device without naming it.
            if device not in on and (device in names or self.hourly is None):
                raise ValueError(f"profile.medical: '{device}' must be an appliance that is on")
        twice = sorted({name for name in names if names.count(name) > 1})
        if twice:
            raise ValueError(f"two appliances are named '{twice[0]}'; give each its own name")
        if not self.appliances and self.hourly is None:
            raise ValueError("has no load: give [[appliances]] or [hourly]")
        if not self._draws():
            raise ValueError("has no load: everything in it is switched off or of zero watts")
        heaters = [appliance for appliance in self.appliances if appliance.response == "heater"]
        if heaters and self.cabin.heater_set_point_c is None:
            raise ValueError(
                f"'{heaters[0].name}' needs cabin.heater_set_point_c, the temperature it keeps"
            )
        if not heaters and self.cabin.heater_set_point_c is not None:
            raise ValueError(
                "cabin.heater_set_point_c needs an appliance with response = 'heater' "
                "(power_w = 0 for a stove that takes no electricity)"
            )
        return self

    @classmethod
    def build(
        cls,
        name: str | None = None,
        appliances: Iterable[str | Mapping[str, Any]] | Mapping[str, Any] = (),
        *,
        people: int | None = None,
        heater_set_point_c: float | None = None,
        insulation: str | None = None,
        medical: Iterable[str] | None = None,
        **tables: Any,
    ) -> Profile:
        """Build a profile from keywords; parts are filled in and everything is checked.

        Parameters
        ----------
        name : str
            What the profile is called; required.
        appliances : iterable or mapping
            Appliances of the library by name, or tables as in a profile's file; or a mapping from
            names of one's own to tables or to the library's names.
        people, heater_set_point_c, insulation
            Of the table ``cabin``.
        medical : iterable of str
            Names of the appliances that someone's health depends on.
        **tables
            ``cabin``, ``hourly`` and ``habits`` as mappings, ``description`` as text.

        Raises
        ------
        InputError
            An unknown keyword, key or part, a field that is given twice, a value out of range or
            at odds with another, no load at all; the table and the field are named.

        Examples
        --------
        >>> profile = Profile.build("Two", {"fridge": "compressor fridge 65 L",
        ...     "lights": {"power_w": 12, "hours_per_day": 4}}, people=2)
        >>> [appliance.name for appliance in profile.appliances]
        ['fridge', 'lights']
        """
        from solarsim.inputs.build import built_profile

        short = {
            "profile": {
                "name": name,
                "description": tables.pop("description", None),
                "medical": medical,
            },
            "cabin": {
                "people": people,
                "heater_set_point_c": heater_set_point_c,
                "insulation": insulation,
            },
        }
        return built_profile(appliances, tables, short)

    def card(self) -> Card:
        """Return who is aboard and what runs."""
        try:
            checked_record(self, source="")
        except InputError as error:
            return Card(
                "A profile that cannot be, changed and not checked", [("fault", str(error))]
            )
        cabin = self.cabin
        heat = (
            f"heated to {cabin.heater_set_point_c:g} C" if cabin.heater_set_point_c else "no heat"
        )
        rows = [("cabin", f"{cabin.people} people, {cabin.insulation} insulation, {heat}")]
        for current in ("dc", "ac"):
            names = [a.name for a in self.appliances if a.current == current and a.enabled]
            if names:
                rows.append((current.upper(), f"{len(names)}: {', '.join(names)}"))
        off = [a.name for a in self.appliances if not a.enabled]
        if off:
            rows.append(("off", ", ".join(off)))
        if self.medical:
            rows.append(("medical", f"{', '.join(self.medical)}: never rely on this alone"))
        if self.hourly is not None:
            hours = max(len(self.hourly.dc_w), len(self.hourly.ac_w))
            rows.append(("hourly", f"watts of {hours} hours"))
        return Card(f"Profile '{self.profile.name}'", rows)

    @property
    def medical(self) -> tuple[str, ...]:
        """Names of what someone's health depends on."""
        return self.profile.medical

    def _draws(self) -> bool:
        if self.hourly is not None and any((*self.hourly.dc_w, *self.hourly.ac_w)):
            return True
        return any(
            appliance.standby_w > 0.0
            or (appliance.power_w > 0.0 and (appliance.response != "none" or appliance.use_h > 0.0))
            for appliance in self.appliances
            if appliance.enabled
        )


def read_profile(
    name_or_path: str, *, beside: Path | None = None, settings: Sequence[str] = ()
) -> Profile:
    """Read a profile: a TOML file, or a shipped example by its name.

    Parameters
    ----------
    name_or_path : str
        A path, or the name of a shipped example. A CSV of hourly watts is a profile too.
    beside : Path, optional
        Folder that a relative path may start from (that of the van's file).
    settings : sequence of str, optional
        ``TABLE.FIELD=VALUE`` changes, such as ``cabin.heater_set_point_c=16``. An appliance is
        reached by its name or its position: ``appliances.kettle.enabled=false``.

    Raises
    ------
    InputError
        No such file, no TOML, an unknown key or part, a value out of range, no load at all; the
        file, the table and the field are named.

    Examples
    --------
    >>> read_profile("weekend-couple").profile.name
    'Weekend couple'
    """
    path = resolve_file(name_or_path, "loads", beside=beside)
    if path.suffix.lower() == ".csv":
        data = {"profile": {"name": path.stem}, "hourly": {"file": path.name}}
    else:
        data = read_toml(path)
    return profile_from_data(data, source=str(path), beside=path.parent, settings=settings)


def profile_from_data(
    data: dict[str, Any], *, source: str, beside: Path | None = None, settings: Sequence[str] = ()
) -> Profile:
    """Build a profile from tables as read from TOML; parts and an hourly file are filled in.

    `source` is the file's name, for messages; an hourly file lies `beside` it; settings are as for
    `read_profile`.

    Raises
    ------
    InputError
        As for `read_profile`.
    """
    data = _with_names(data)
    applied = list_settings(data, list(settings), table="appliances", source=source)
    changed = apply_settings(applied.data, applied.rest, source=source)
    tables = changed.get("appliances")
    if isinstance(tables, list):
        changed["appliances"] = [
            _filled(table, source=source, field=f"appliances.{number}")
            for number, table in enumerate(tables)
        ]
    hourly = changed.get("hourly")
    if isinstance(hourly, dict) and isinstance(hourly.get("file"), str):
        changed["hourly"] = _with_watts(hourly, source=source, beside=beside)
    return parse_record(Profile, changed, source=source)


def profile_with_settings(profile: Profile, settings: Sequence[str]) -> Profile:
    """Put settings over a profile, as over its file: a new part brings its own numbers.

    Raises
    ------
    InputError
        As for `read_profile`.
    """
    data = record_data(profile)
    if "appliances" in data:
        data["appliances"] = [without_part(table, "appliances") for table in data["appliances"]]
    if data.get("hourly") is not None:
        # Its watts were read from the file already.
        hourly = data["hourly"].items()
        data["hourly"] = {key: value for key, value in hourly if key not in {"file", "current"}}
    return profile_from_data(data, source="profile", settings=settings)


def _with_names(data: dict[str, Any]) -> dict[str, Any]:
    tables = data.get("appliances")
    if not isinstance(tables, list):
        return data
    named = [
        {"name": table["part"]} | table if isinstance(table, dict) and "part" in table else table
        for table in tables
    ]
    return data | {"appliances": named}


def _filled(table: Any, *, source: str, field: str) -> Any:
    if not isinstance(table, dict):
        return table
    filled = fill_from_part(table, "appliances", source=source, field=field)
    # A builder's hours stand in for a part's minutes and the other way round.
    for given, other in (
        ("hours_per_day", "minutes_per_day"),
        ("minutes_per_day", "hours_per_day"),
    ):
        if given in table and other not in table:
            filled.pop(other, None)
    return filled


def _with_watts(hourly: dict[str, Any], *, source: str, beside: Path | None) -> dict[str, Any]:
    if "dc_w" in hourly or "ac_w" in hourly:
        message = "give file, or dc_w and ac_w, not both"
        raise InputError(message, source=source, field="hourly.file")
    path = Path(hourly["file"])
    if beside is not None:
        path = beside / path
    columns = read_watts(path)
    if "watts" in columns:
        current = hourly.get("current", "dc")
        name = "ac_w" if current == "ac" else "dc_w"
        return hourly | {name: columns["watts"]}
    if "current" in hourly:
        message = "the file's columns dc_w and ac_w say it; leave current out"
        raise InputError(message, source=source, field="hourly.current")
    return hourly | columns
