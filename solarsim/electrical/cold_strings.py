"""How every string of panels stands on the coldest morning, and how much colder it may get."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator

from solarsim.electrical.string_voltage import COLDEST_C, cold_string_v, holds_down_to_c
from solarsim.electrical.wired_arrays import arrays_by_controller
from solarsim.inputs.van import Van

__all__ = ["ColdString", "cold_strings"]


@dataclasses.dataclass(frozen=True)
class ColdString:
    """One array's strings against their controller.

    Attributes
    ----------
    where : str
        The array.
    cold_v : float
        Open-circuit voltage on the coldest morning, V.
    bears_v : float
        What the controller bears, V.
    down_to_c : float or None
        Coldest air, in whole degrees C, at which that is kept; None where it never is.
    """

    where: str
    cold_v: float
    bears_v: float
    down_to_c: float | None

    @property
    def line(self) -> str:
        """In one sentence."""
        stands = f"{self.where}: {self.cold_v:.1f} V; the controller's {self.bears_v:g} V hold "
        if self.down_to_c is None:
            return f"{stands}at no temperature"
        below = "below " if self.down_to_c <= COLDEST_C else ""
        return f"{stands}down to {below}{self.down_to_c:.0f} C"


def cold_strings(van: Van, record_low_c: float) -> Iterator[ColdString]:
    """Yield every array at the coldest air that counts, degrees C."""
    for group in arrays_by_controller(van):
        for one in group:
            bears_v = one.controller.max_input_v
            cold_v, _ = cold_string_v(one.panels, record_low_c)
            yield ColdString(one.name, cold_v, bears_v, holds_down_to_c(one.panels, bears_v))
