"""The converter to 12 V in a van of 24 or 48 V: what hangs on it, and whether it carries that."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator

from solarsim.electrical.findings import Compared, Finding
from solarsim.electrical.loads import runs_in_week, worst_hour
from solarsim.inputs.converter import Converter
from solarsim.inputs.profile import Profile
from solarsim.inputs.van import Van
from solarsim.power.uses import behind_converter

__all__ = ["CONVERTER_V", "ConverterLoad", "converter_findings", "converter_load"]

CONVERTER_V = 12.0


@dataclasses.dataclass(frozen=True)
class ConverterLoad:
    """What runs behind the converter.

    Attributes
    ----------
    names : frozenset of str
        The appliances.
    power_w : float
        What those that may run at once draw at 12 V, W.
    from_bank_w : float
        The same with the converter's loss and idle draw, W; 0 where nothing hangs on it.
    """

    names: frozenset[str]
    power_w: float
    from_bank_w: float


def converter_load(van: Van, profile: Profile) -> ConverterLoad:
    """Add up what may run at once of the appliances that do not take the bank's voltage."""
    names = frozenset(appliance.name for appliance in behind_converter(van, profile.appliances))
    loads = [load for load in runs_in_week(profile, "dc") if load.name in names]
    if not loads:
        return ConverterLoad(names, 0.0, 0.0)
    converter = van.converter or Converter()
    power_w = worst_hour(loads).power_w
    return ConverterLoad(names, power_w, power_w / converter.efficiency + converter.idle_w)


def converter_findings(van: Van, profile: Profile) -> Iterator[Finding]:
    """Check the converter's rating against what hangs on it."""
    if van.converter is None or van.converter.power_w is None:
        return
    load = converter_load(van, profile)
    if load.power_w > van.converter.power_w:
        yield Finding(
            id="converter-rating",
            severity="warn",
            where="converter",
            compared=Compared(load.power_w, van.converter.power_w, "W"),
            source="the converter's rating",
            message=f"what runs at 12 V may add up to {load.power_w:,.0f} W; the converter gives "
            f"{van.converter.power_w:,.0f} W",
            advice="a larger converter, a second one, or appliances that take the bank's voltage",
        )
