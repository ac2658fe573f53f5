"""The arrays of a van as they are wired: which strings hang on which controller."""

from __future__ import annotations

from typing import NamedTuple

from solarsim.inputs.panels import Controller, Panels
from solarsim.inputs.van import Van

__all__ = ["WiredArray", "arrays_by_controller"]

_VAN_ARRAY = "array"


class WiredArray(NamedTuple):
    """One array and the controller that its strings hang on.

    Attributes
    ----------
    name : str
        As findings call it; the van's own panels are the ``"array"``.
    panels : Panels
        Datasheet, count and panels in series.
    controller : Controller
        The van's, or the array's own.
    own_panels : bool
        Whether these are the van's own panels, which the van's wiring speaks of.
    van_controller : bool
        Whether they hang on the van's controller.
    on_roof : bool
        Whether they lie on the roof, not on the ground.
    """

    name: str
    panels: Panels
    controller: Controller
    own_panels: bool
    van_controller: bool
    on_roof: bool

    @property
    def strings(self) -> int:
        """Strings in parallel."""
        return self.panels.count // self.panels.series

    @property
    def string_vmp_v(self) -> float:
        """Voltage of a string at maximum power, at standard test conditions, V."""
        return self.panels.vmp_v * self.panels.series

    @property
    def power_w(self) -> float:
        """Rated power of the array, W."""
        return self.panels.power_w * self.panels.count


def arrays_by_controller(van: Van) -> tuple[tuple[WiredArray, ...], ...]:
    """Return the arrays with any panels, together where they are on one controller.

    The van's own controller comes first, and on it the van's own panels.
    """
    shared = [WiredArray(_VAN_ARRAY, van.panels, van.controller, True, True, True)]
    alone: list[tuple[WiredArray, ...]] = []
    for further in van.arrays:
        on_roof = further.kind == "roof"
        if further.controller is None:
            shared.append(WiredArray(further.name, further, van.controller, False, True, on_roof))
        else:
            alone.append(
                (WiredArray(further.name, further, further.controller, False, False, on_roof),)
            )
    groups = (tuple(shared), *alone)
    with_panels = (tuple(one for one in group if one.panels.count) for group in groups)
    return tuple(group for group in with_panels if group)
