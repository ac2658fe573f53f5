"""Three ways of living in a van, and what of them this van can run."""

from __future__ import annotations

import dataclasses
from typing import Literal

from solarsim.errors import InputError
from solarsim.inputs.profile import Profile, read_profile
from solarsim.inputs.van import Van
from solarsim.packing.fit import fitting_counts

__all__ = [
    "WAYS",
    "LeftOut",
    "Way",
    "WayName",
    "refuse_panels_that_do_not_fit",
    "refuse_untold",
    "ways_of_living",
]

WayName = Literal["light", "typical", "heavy"]
WAYS: tuple[WayName, ...] = ("light", "typical", "heavy")


@dataclasses.dataclass(frozen=True)
class LeftOut:
    """An appliance that this van cannot run; `reason` is ``"no inverter"`` or ``"too large"``."""

    name: str
    power_w: float
    reason: Literal["no inverter", "too large"]


@dataclasses.dataclass(frozen=True)
class Way:
    """A way of living with what the van can run of it, and what had to stay at home."""

    name: WayName
    profile: Profile
    left_out: tuple[LeftOut, ...]


def ways_of_living(
    van: Van,
    *,
    light: Profile | None = None,
    typical: Profile | None = None,
    heavy: Profile | None = None,
) -> tuple[Way, ...]:
    """Return the three ways, the shipped ones where none are given.

    The typical one of a sheet is the profile of the van's own people.

    What needs mains voltage is switched off where the van has no inverter, or one that is too
    small for it: the days of such a life on this van are those without it.

    Raises
    ------
    InputError
        Hourly AC watts in a van without an inverter; nothing left that the van can run.
    """
    given = {"light": light, "typical": typical, "heavy": heavy}
    return tuple(_way(van, name, given[name] or read_profile(name)) for name in WAYS)


def _way(van: Van, name: WayName, profile: Profile) -> Way:
    most_w = 0.0 if van.inverter is None else van.inverter.power_w
    left_out, appliances = [], []
    for appliance in profile.appliances:
        if appliance.enabled and appliance.current == "ac" and appliance.power_w > most_w:
            reason: Literal["no inverter", "too large"]
            reason = "no inverter" if van.inverter is None else "too large"
            if appliance.name in profile.medical:
                message = (
                    f"someone's health depends on '{appliance.name}', which this van cannot run "
                    f"({reason}): no sheet is made for it"
                )
                raise InputError(message, source=profile.profile.name, field=name)
            left_out.append(LeftOut(appliance.name, appliance.power_w, reason))
            appliances.append(appliance.model_copy(update={"enabled": False}))
        else:
            appliances.append(appliance)
    hourly = profile.hourly
    if van.inverter is None and hourly is not None and any(hourly.ac_w):
        message = "the hourly AC watts need an [inverter] table in the van"
        raise InputError(message, source=profile.profile.name, field="hourly.ac_w")
    draws = hourly is not None and any((*hourly.dc_w, *hourly.ac_w))
    if not draws and not any(a.enabled and a.power_w > 0.0 for a in appliances):
        message = "holds nothing that this van can run; give another way of living"
        raise InputError(message, source=profile.profile.name, field=name)
    changed = profile.model_copy(update={"appliances": tuple(appliances)})
    return Way(name, changed, tuple(left_out))


def refuse_untold(way: Way, p1_days: float | None) -> None:
    """Refuse a sheet for those who depend on a device that cannot say how long is safe.

    Raises
    ------
    InputError
        So it is; names what their health depends on.
    """
    if way.profile.medical and p1_days is None:
        message = (
            f"someone's health depends on: {', '.join(way.profile.medical)}; how long is safe for "
            "them takes 300 runs or more of the embedded climate"
        )
        raise InputError(message, source=way.profile.profile.name, field="runs")


def refuse_panels_that_do_not_fit(van: Van) -> None:
    """Refuse to print panels that no one can put there.

    Raises
    ------
    InputError
        So it is; says how many the roof holds.
    """
    if van.roof is None or van.panels.count in fitting_counts(van):
        return
    message = (
        f"{van.panels.count} panels do not fit on the roof as drawn, which holds "
        f"{max(fitting_counts(van))}: a buyer's sheet names only what can be built; correct the "
        "panels or the roof"
    )
    raise InputError(message, source="van", field="panels.count")
