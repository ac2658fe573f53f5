"""One appliance: its watts, and what sets the time that it runs."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from solarsim.inputs.base import Record
from solarsim.inputs.files.watts import MAX_WATTS
from solarsim.inputs.limits import Share
from solarsim.inputs.windows import Windows, check_windows, unrolled_windows

__all__ = ["WEEKDAYS", "Appliance"]

Weekday = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
WEEKDAYS: tuple[Weekday, ...] = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")

Watts = Annotated[float, Field(ge=0.0, le=MAX_WATTS)]
Celsius = Annotated[float, Field(ge=-40.0, le=60.0)]

_RESPONSE_FIELDS: dict[str, tuple[str, ...]] = {
    "fridge": ("set_point_c", "duty_base_share", "duty_slope_pct_k"),
    "heater": (
        "heat_w",
        "low_heat_w",
        "low_power_w",
        "glow_w",
        "glow_minutes",
        "starts_per_hour",
    ),
    "fan": ("start_above_c", "full_at_c", "airflow_m3_h", "low_speed_share"),
    "evaporative cooler": (
        "start_above_c",
        "full_at_c",
        "airflow_m3_h",
        "effectiveness_share",
        "least_drop_c",
    ),
}


class Appliance(Record):
    """One kind of appliance: what it draws, and what sets the time that it runs.

    Either ``hours_per_day`` (or ``minutes_per_day``) or a ``response`` to the cabin sets that time.
    ``response`` is one of:

    * ``"fridge"``: duty is ``duty_base_share`` + ``duty_slope_pct_k`` per kelvin of cabin
      temperature above ``set_point_c``.
    * ``"heater"``: keeps ``cabin.heater_set_point_c`` with up to ``heat_w`` of heat; modulates
      between ``low_heat_w`` (drawing ``low_power_w``) and ``heat_w`` (drawing ``power_w``), cycles
      below, and draws ``glow_w`` more for ``glow_minutes`` at each start (with its stop). It cycles
      ``starts_per_hour`` times at most.
    * ``"fan"``: from ``start_above_c`` at ``low_speed_share`` of full speed to full speed at
      ``full_at_c``, and blows up to ``airflow_m3_h`` of outside air.
    * ``"evaporative cooler"``: from ``start_above_c`` to the whole time at ``full_at_c``, if it
      cools the air by at least ``least_drop_c``.
    """

    part: str | None = None
    """An appliance of the library by its name (`solarsim parts`), instead of the numbers that
    it fills in."""
    name: Annotated[str, Field(min_length=1, max_length=100)]
    """What it is called; settings reach it by this name. A part's own name unless given."""
    power_w: Watts
    """What one piece draws while it runs; of an AC appliance, at the socket."""
    current: Literal["dc", "ac"] = "dc"
    """Whether it runs on the house bank's DC or on the inverter's AC."""
    runs_on_v: Annotated[tuple[Literal[12, 24, 48], ...], Field(strict=False, min_length=1)] = (12,)
    """DC voltages that it takes; in a van of 24 or 48 V, what does not take the bank's runs behind
    a converter to 12 V."""
    mains_v: Literal[120, 230] | None = None
    """Mains voltage that an AC appliance is made for; left out, that of the van."""
    count: Annotated[int, Field(ge=1, le=100)] = 1
    """How many such pieces there are."""
    hours_per_day: Annotated[float, Field(ge=0.0, le=24.0)] | None = None
    """How long each piece runs on a day of use; required where no response sets it."""
    minutes_per_day: Annotated[float, Field(ge=0.0, le=1440.0)] | None = None
    """Minutes that each piece runs on a day of use; give this or hours_per_day."""
    windows: Windows = ((0.0, 24.0),)
    """Hours of the local clock within which it runs; `[22, 2]` crosses midnight and belongs to
    its first day."""
    weekdays: Annotated[tuple[Weekday, ...], Field(strict=False, min_length=1)] = WEEKDAYS
    """Days of the week on which it is used."""
    standby_w: Watts = 0.0
    """What one piece draws while it does not run."""
    priority: Annotated[int, Field(ge=1, le=3)] = 2
    """1 is kept longest, 3 goes first: a note for people; no answer sheds loads by it."""
    variation_share: Annotated[float, Field(ge=0.0, le=2.0)] = 0.0
    """How much the time of use differs from day to day: the standard deviation over the mean."""
    response: Literal["none", "fridge", "heater", "fan", "evaporative cooler"] = "none"
    """Whether and how it follows the cabin's temperature instead of a time of use."""
    cooking: bool = False
    """Whether it could be done on gas instead, for `levers`."""
    enabled: bool = True
    """Whether it counts at all; false leaves it out without deleting it."""
    surge_w: Annotated[float, Field(ge=0.0, le=3.0 * MAX_WATTS)] | None = None
    """Largest power of one piece in the moment it starts."""

    set_point_c: Celsius = 4.0
    """Fridge: temperature that it keeps inside."""
    duty_base_share: Share = 0.055
    """Fridge: share of the time it runs when the cabin is at set_point_c."""
    duty_slope_pct_k: Annotated[float, Field(ge=0.0, le=20.0)] = 1.5
    """Fridge: how much more of the time it runs for each degree of cabin above set_point_c."""

    heat_w: Annotated[float, Field(gt=0.0, le=MAX_WATTS)] | None = None
    """Heater: heat that it gives at most."""
    low_heat_w: Watts | None = None
    """Heater: heat at its lowest setting; left out, it has one setting."""
    low_power_w: Watts | None = None
    """Heater: what it draws at its lowest setting; left out, power_w."""
    glow_w: Watts = 0.0
    """Heater: what it draws more while it starts."""
    glow_minutes: Annotated[float, Field(ge=0.0, le=30.0)] = 0.0
    """Heater: how long a start with its stop draws glow_w."""
    starts_per_hour: Annotated[float, Field(ge=0.0, le=6.0)] = 1.0
    """Heater: how often it starts in an hour at most."""

    start_above_c: Celsius = 24.0
    """Fan or evaporative cooler: cabin temperature at which it begins to run."""
    full_at_c: Celsius = 30.0
    """Fan or evaporative cooler: cabin temperature at which it runs fully, above start_above_c."""
    airflow_m3_h: Annotated[float, Field(ge=0.0, le=10000.0)] = 0.0
    """Fan or evaporative cooler: outside air that it blows at full speed."""
    low_speed_share: Share = 0.3
    """Fan: lowest speed as a share of full speed."""
    effectiveness_share: Share = 0.75
    """Evaporative cooler: how far it cools the air towards its wet-bulb temperature."""
    least_drop_c: Annotated[float, Field(ge=0.0, le=30.0)] = 4.0
    """Evaporative cooler: cooling of the air below which it is left off."""

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        check_windows(self.windows, "windows")
        if len(set(self.weekdays)) != len(self.weekdays):
            raise ValueError("weekdays must not name a day twice")
        self._check_time_of_use()
        if self.surge_w is not None and self.surge_w < self.power_w:
            raise ValueError(f"surge_w ({self.surge_w}) must not be below power_w ({self.power_w})")
        if self.mains_v is not None and self.current != "ac":
            raise ValueError("mains_v is for an appliance with current = 'ac'")
        if self.standby_w > self.power_w:
            raise ValueError(f"standby_w ({self.standby_w}) must not exceed power_w")
        self._check_response()
        return self

    def _check_time_of_use(self) -> None:
        given = self.hours_per_day is not None or self.minutes_per_day is not None
        if self.response != "none":
            if given or self.variation_share:
                raise ValueError(
                    f"response = '{self.response}' sets the time of use; leave out hours_per_day, "
                    "minutes_per_day and variation_share"
                )
            return
        if self.hours_per_day is not None and self.minutes_per_day is not None:
            raise ValueError("give hours_per_day or minutes_per_day, not both")
        if not given:
            raise ValueError(
                "hours_per_day or minutes_per_day is required (24 hours for what never rests)"
            )
        if self.use_h > self.window_h + 1e-9:
            raise ValueError(
                f"{self.use_h:g} hours a day do not fit into windows of {self.window_h:g} hours"
            )

    def _check_response(self) -> None:
        allowed = _RESPONSE_FIELDS.get(self.response, ())
        every = {name for names in _RESPONSE_FIELDS.values() for name in names}
        stray = sorted((self.model_fields_set & every) - set(allowed))
        if stray:
            owners = [kind for kind, names in _RESPONSE_FIELDS.items() if stray[0] in names]
            raise ValueError(
                f"{stray[0]} belongs to response = {' or '.join(repr(kind) for kind in owners)}, "
                f"not to '{self.response}'"
            )
        if self.response in {"fan", "evaporative cooler"} and self.full_at_c <= self.start_above_c:
            raise ValueError(
                f"full_at_c ({self.full_at_c}) must be above start_above_c ({self.start_above_c})"
            )
        if self.response == "heater":
            if self.heat_w is None:
                raise ValueError("response = 'heater' needs heat_w, the heat it gives at most")
            if self.lowest_heat_w > self.heat_w:
                raise ValueError(f"low_heat_w ({self.low_heat_w}) must not exceed heat_w")
            if self.lowest_power_w > self.power_w:
                raise ValueError(f"low_power_w ({self.low_power_w}) must not exceed power_w")

    @property
    def use_h(self) -> float:
        """Hours of use on a day of use; 0 where a response sets them."""
        if self.hours_per_day is not None:
            return self.hours_per_day
        return 0.0 if self.minutes_per_day is None else self.minutes_per_day / 60.0

    @property
    def window_h(self) -> float:
        """Hours of the day that the windows cover."""
        return sum(end - start for start, end in unrolled_windows(self.windows))

    @property
    def lowest_heat_w(self) -> float:
        """Heat at the lowest setting; that of full power where the heater has one setting."""
        heat_w = 0.0 if self.heat_w is None else self.heat_w
        return heat_w if self.low_heat_w is None else self.low_heat_w

    @property
    def lowest_power_w(self) -> float:
        """Electric power at the lowest setting; full power where the heater has one setting."""
        return self.power_w if self.low_power_w is None else self.low_power_w
