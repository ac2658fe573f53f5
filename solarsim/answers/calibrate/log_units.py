"""Units of a log's columns, told by headings and sizes."""

from __future__ import annotations

import re

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.errors import InputError
from solarsim.inputs.van import Van

__all__ = ["scale_units"]

_MOST_VOLTS = 120.0
_MOST_AMPERES = 2000.0


def scale_units(
    values: dict[str, FloatArray], names: dict[str, str], van: Van, guesses: list[str]
) -> None:
    """Bring units to V, A, W and shares, in place, and refuse what no bank has."""

    def most(what: str) -> float:
        return float(np.nanmax(np.abs(values[what]), initial=0.0))

    def factor(what: str, by: float, why: str) -> None:
        values[what] = values[what] * by
        guesses.append(f"'{names[what]}' is read as {why}.")

    for what in values:
        heading = names[what].lower()
        if what == "soc":
            if most(what) > 1.5:
                factor(what, 0.01, "percent")
            else:
                guesses.append(f"'{names[what]}' is read as a share from 0 to 1.")
            low = float(np.nanmin(values[what], initial=1.0))
            if low < -0.05 or most(what) > 1.1:
                message = f"runs from {low:.3g} to {most(what):.3g}; must lie in 0..1 or 0..100 %"
                raise InputError(message, field=names[what])
            values[what] = np.clip(values[what], 0.0, 1.0)
        elif what == "voltage" and (re.search(r"\bmv\b", heading) or most(what) > 1000.0):
            factor(what, 1e-3, "millivolts")
        elif what.endswith("current") and re.search(r"\bma\b|milli", heading):
            factor(what, 1e-3, "milliamperes")
        elif what.endswith("power") and re.search(r"\bkw\b|kilo", heading):
            factor(what, 1e3, "kilowatts")
    limits = {
        "voltage": _MOST_VOLTS,
        "current": _MOST_AMPERES,
        "power": _MOST_AMPERES * van.van.system_voltage_v,
    }
    for what in values:
        limit = limits.get(what.rpartition("_")[2], np.inf)
        if most(what) > limit:
            message = f"reaches {most(what):.4g}; must be {limit:g} at most: is it another unit?"
            raise InputError(message, field=names[what])
    if "voltage" in values:
        middle = float(np.nanmedian(values["voltage"]))
        nominal = van.van.system_voltage_v
        if not 0.7 * nominal <= middle <= 1.35 * nominal:
            message = f"is {middle:.3g} V on the median; the van's system is {nominal} V"
            raise InputError(message, field=names["voltage"])
