"""The arrays of a van as they are wired: which strings hang on which controller."""

from __future__ import annotations

from typing import NamedTuple

from solarsim.inputs.panels import Controller, FurtherArray, Panels
from solarsim.inputs.van import Van
from solarsim.inputs.wiring import CableRun, PanelsRun

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
    string_run, run, feeder : CableRun
        What the van's file says of each string's cable, of the array's, and of its controller's to
        the positive bus.
    """

    name: str
    panels: Panels
    controller: Controller
    own_panels: bool
    van_controller: bool
    on_roof: bool
    string_run: PanelsRun
    run: PanelsRun
    feeder: CableRun

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
    wiring = van.wiring
    shared = [
        WiredArray(
            _VAN_ARRAY,
            van.panels,
            van.controller,
            True,
            True,
            True,
            wiring.panels_string,
            wiring.panels_controller,
            wiring.controller_bank,
        )
    ]
    alone: list[tuple[WiredArray, ...]] = []
    for further in van.arrays:
        own = further.controller
        one = WiredArray(
            further.name,
            further,
            van.controller if own is None else own,
            False,
            own is None,
            further.kind == "roof",
            _on_same_roof(van, further, further.panels_string),
            _on_same_roof(van, further, further.panels_controller),
            wiring.controller_bank if own is None else further.controller_bank,
        )
        if own is None:
            shared.append(one)
        else:
            alone.append((one,))
    groups = (tuple(shared), *alone)
    with_panels = (tuple(one for one in group if one.panels.count) for group in groups)
    return tuple(group for group in with_panels if group)


def _on_same_roof(van: Van, further: FurtherArray, run: PanelsRun) -> PanelsRun:
    """The air that is given along the van's own panels' run holds for all of its roof."""
    roof_c = van.wiring.panels_controller.ambient_c
    if further.kind == "roof" and run.ambient_c is None and roof_c is not None:
        return run.model_copy(update={"ambient_c": roof_c})
    return run
