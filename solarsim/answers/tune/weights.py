"""What a design costs: at the van's prices, or by what parts usually cost beside each other."""

from __future__ import annotations

from solarsim.inputs.van import Van
from solarsim.power.design import Design

__all__ = ["PRICES_TO_GIVE", "WEIGHTS_IN_WORDS", "cost", "cost_in_panel_w"]

# Usual prices beside that of a watt of rigid panel (common practice, no source): only which of two
# designs is the dearer is told by them.
_PER_WATT = 1.0
_PER_WH = {"lfp": 0.35, "agm": 0.2, "gel": 0.25, "flooded": 0.12}
_PER_DCDC_A = 6.0

PRICES_TO_GIVE = "panels.cost and battery.cost"
WEIGHTS_IN_WORDS = (
    f"parts are weighed by what they usually cost beside each other: a watt of panel {_PER_WATT:g}"
    f", a rated Wh of LFP {_PER_WH['lfp']:g}, AGM {_PER_WH['agm']:g}, gel {_PER_WH['gel']:g}, "
    f"flooded {_PER_WH['flooded']:g}, an ampere of DC-DC charger {_PER_DCDC_A:g} "
    f"(common practice, no source)"
)


def cost(van: Van, panels: int, units: int) -> float | None:
    """Panels and units at the van's own prices; None where one of the two is missing."""
    if van.panels.cost is None or van.battery.cost is None:
        return None
    return panels * van.panels.cost + units * van.battery.cost


def cost_in_panel_w(van: Van, design: Design, *, dcdc_a: float) -> float:
    """Price of panels, bank and DC-DC charger in watts of panel, by the usual weights."""
    panels_w = design.panel_count * van.panels.power_w
    bank_wh = design.capacity_ah * design.system_voltage_v
    # To the thousandth, so that equal parts added up in another order stay equal.
    return round(
        panels_w * _PER_WATT + bank_wh * _PER_WH[design.chemistry] + dcdc_a * _PER_DCDC_A, 3
    )
