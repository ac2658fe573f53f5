"""A calibrated van and its loads, as tables of TOML that read back."""

from __future__ import annotations

import dataclasses
from typing import Any

from solarsim.answers.calibrate.responsive import FollowsWeather
from solarsim.inputs.appliance import Appliance
from solarsim.inputs.percent import percent
from solarsim.inputs.profile import Profile, profile_from_data
from solarsim.inputs.van import Van

__all__ = ["CalibratedLoads", "calibrated_profile", "calibrated_tables"]

_MOST_VARIATION = 1.0


@dataclasses.dataclass(frozen=True)
class CalibratedLoads:
    """A profile of measured watts, as record and as tables."""

    profile: Profile
    tables: dict[str, Any]


def calibrated_tables(
    van: Van, *, yield_factor: float | None, capacity_factor: float
) -> tuple[dict[str, Any], tuple[str, ...]]:
    """Return a van's tables with the measured light and capacity in them, and what to know.

    Parameters
    ----------
    van : Van
        As it was.
    yield_factor : float or None
        Light that arrives over what the van's file says; None leaves it.
    capacity_factor : float
        Capacity over that of the van's file.
    """
    tables = van.model_dump(exclude_unset=True, exclude_none=True)
    tables["van"]["name"] = f"{van.van.name}, calibrated"[:200]
    notes = []
    if yield_factor is not None:
        kept = (1.0 - van.panels.soiling_share) * yield_factor
        if kept > 1.0:
            notes.append(
                f"The panels give {percent(kept - 1.0)} more than clean ones of this datasheet "
                "should: soiling was set to none, and the rest is not written down."
            )
        lost = round(min(max(1.0 - kept, 0.0), 1.0), 4)
        tables["panels"]["soiling_share"] = lost
        for array in tables.get("arrays", ()):
            array["soiling_share"] = lost
    if capacity_factor != 1.0:
        unit_ah = round(van.battery.unit_capacity_ah * capacity_factor, 1)
        tables["battery"]["unit_capacity_ah"] = unit_ah
    return tables, tuple(notes)


def calibrated_profile(
    profile: Profile, follows: FollowsWeather, *, variation_share: float
) -> CalibratedLoads:
    """Return a profile of measured watts by the clock beside the appliances that follow the cabin.

    Parameters
    ----------
    profile : Profile
        Whose people and cabin they are.
    follows : FollowsWeather
        What of the load follows the weather, and ``(24,)`` watts by hour of the local clock.
    variation_share : float
        How much a day differs from the next.
    """
    tables: dict[str, Any] = {
        "profile": {
            "name": f"{profile.profile.name}, measured"[:200],
            "description": "Watts by the hour as a battery log shows them, beside what follows the "
            "cabin's temperature",
        },
        "cabin": profile.cabin.model_dump(exclude_unset=True, exclude_none=True),
        "hourly": {
            "dc_w": [round(float(watts), 1) for watts in follows.clock_w],
            "variation_share": round(min(variation_share, _MOST_VARIATION), 3),
        },
    }
    scales = {one.name: one.scale_share for one in follows.loads}
    appliances = [
        _scaled(appliance, scales[appliance.name])
        for appliance in profile.appliances
        if appliance.name in scales and appliance.response != "none" and appliance.enabled
    ]
    if appliances:
        tables["appliances"] = appliances
    if profile.medical:
        # Its watts are among those measured: it is still aboard.
        tables["profile"]["medical"] = list(profile.medical)
    if not any(tables["hourly"]["dc_w"]):
        tables["hourly"]["dc_w"][0] = 0.1
    return CalibratedLoads(profile_from_data(tables, source="measured loads"), tables)


def _scaled(appliance: Appliance, scale: float) -> dict[str, Any]:
    """An appliance's table with its watts, but not its heat or air, scaled."""
    table = appliance.model_dump(exclude_unset=True, exclude_none=True)
    table.pop("part", None)
    if scale != 1.0:
        for key in ("power_w", "low_power_w", "glow_w", "standby_w", "surge_w"):
            if key in table:
                table[key] = round(table[key] * scale, 1)
    return table
