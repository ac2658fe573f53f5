"""What a design changes against the van as it is."""

from __future__ import annotations

from solarsim.answers.buy.devices import battery_name, panel_name
from solarsim.inputs.van import Van

__all__ = ["changes_of", "plans_driving"]


def changes_of(own: Van, van: Van) -> tuple[str, ...]:
    """Say part by part what changes; empty where nothing does."""
    said = []
    was, now = (f"{one.panels.count} x {panel_name(one.panels)}" for one in (own, van))
    if not own.panels.count:
        was = "no panels"
    if not van.panels.count:
        now = "no panels"
    if now != was:
        said.append(f"{now} instead of {was}")
    if van.panels.tilt_deg != own.panels.tilt_deg and van.panels.count:
        said.append(f"tilted {van.panels.tilt_deg:g} instead of {own.panels.tilt_deg:g} degrees")
    was, now = (f"{one.battery.units} x {battery_name(one.battery)}" for one in (own, van))
    if now != was:
        said.append(f"{now} instead of {was}")
    was_a, now_a = (one.controller.max_output_a for one in (own, van))
    if now_a != was_a and van.panels.count:
        said.append(f"controller of {now_a:g} A instead of {was_a:g} A")
    was_a, now_a = (0.0 if one.alternator is None else one.alternator.dcdc_a for one in (own, van))
    if now_a != was_a:
        said.append(f"{_dcdc(now_a)} instead of {_dcdc(was_a)}")
        if not plans_driving(van):
            said[-1] += ", for a stay without driving"
    return tuple(said)


def plans_driving(van: Van) -> bool:
    """Whether the stay's plan drives, so that a DC-DC charger has something to do."""
    return van.alternator is not None and van.alternator.drive_h > 0.0


def _dcdc(dcdc_a: float) -> str:
    return f"a DC-DC charger of {dcdc_a:g} A" if dcdc_a else "no DC-DC charger"
