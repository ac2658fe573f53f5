"""Every combination that is tried, and the van and the design that each stands for."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Sequence

from solarsim.answers.bank_sizes import candidate_units
from solarsim.answers.question import Question
from solarsim.errors import InputError
from solarsim.inputs.chargers import Alternator
from solarsim.inputs.van import Van
from solarsim.packing.fit import fitting_counts
from solarsim.power.chemistry import charging_voltage_v, load_chemistry
from solarsim.power.design import Design, design_of

__all__ = [
    "DEFAULT_PANELS",
    "DEFAULT_STRINGS",
    "Candidates",
    "candidates",
    "needed_controller_a",
    "tuned_design",
    "varied_van",
]

DEFAULT_PANELS = 8
DEFAULT_STRINGS = 12


@dataclasses.dataclass(frozen=True)
class Candidates:
    """The dimensions of what is tried.

    Attributes
    ----------
    panels, units : tuple of int
        Panel counts and battery units, each rising.
    fitting : tuple of int
        Panel counts that fit on the roof, or the default ones where no roof is given.
    chemistries : tuple of str
        Of the bank.
    variants : tuple of Question
        One for each alternator charger and tilt; each meets its own simulation.
    """

    panels: tuple[int, ...]
    units: tuple[int, ...]
    fitting: tuple[int, ...]
    chemistries: tuple[str, ...]
    variants: tuple[Question, ...]


def candidates(
    question: Question,
    *,
    panels: Sequence[int] | None,
    strings: Sequence[int] | None,
    chemistries: Sequence[str] | None,
    dcdc_a: Sequence[float] | None,
    tilts_deg: Sequence[float] | None,
) -> Candidates:
    """Lay out what is tried; see `solarsim.answers.tune.tune.tune` for the parameters.

    Raises
    ------
    InputError
        Nothing to try, or a value that a van cannot have.
    """
    van = question.van
    fitting = range(DEFAULT_PANELS + 1) if van.roof is None else fitting_counts(van)
    asked = fitting if panels is None else panels
    counts = sorted({count for count in asked if count % van.panels.series == 0})
    parallel = sorted(set(range(1, DEFAULT_STRINGS + 1) if strings is None else strings))
    if not counts or not parallel or counts[0] < 0 or parallel[0] < 1:
        raise InputError(
            f"nothing to try: panels {panels}, strings {strings}; panels are 0 or more in whole "
            f"strings of {van.panels.series}, battery strings 1 or more",
            field="tune",
        )
    return Candidates(
        panels=tuple(counts),
        units=tuple(candidate_units(van, count, count)[0] for count in parallel),
        fitting=tuple(fitting),
        chemistries=tuple(chemistries or [van.battery.chemistry]),
        variants=tuple(
            dataclasses.replace(question, van=varied_van(question.van, dcdc_a=amps, tilt_deg=tilt))
            for amps in (dcdc_a or (None,))
            for tilt in (tilts_deg or (None,))
        ),
    )


def varied_van(van: Van, *, dcdc_a: float | None, tilt_deg: float | None) -> Van:
    """Return the van with another alternator charger or tilt; None leaves its own."""
    if dcdc_a is not None:
        data = (van.alternator or Alternator(dcdc_a=0.0)).model_dump() | {"dcdc_a": float(dcdc_a)}
        van = van.model_copy(update={"alternator": Alternator.model_validate(data)})
    if tilt_deg is not None:
        tilted = van.panels.model_dump() | {"tilt_deg": float(tilt_deg)}
        van = van.model_copy(update={"panels": type(van.panels).model_validate(tilted)})
    return van


def tuned_design(van: Van, *, chemistry: str, units: int, panels: int) -> Design:
    """Design of a van with such a bank, so many panels and the controller that they need."""
    curves = load_chemistry(chemistry)
    design = dataclasses.replace(
        design_of(van, units=units, panel_count=panels),
        controller_max_a=needed_controller_a(van, panels=panels, chemistry=chemistry),
    )
    if chemistry == van.battery.chemistry:
        return design
    return dataclasses.replace(design, chemistry=chemistry, floor_soc=curves.floor_soc)


def needed_controller_a(van: Van, *, panels: int, chemistry: str) -> float:
    """Output current of the controller that so many panels need; never below the van's own."""
    # A builder who adds panels fits the controller that they need: peak power at charging voltage.
    charging_v = charging_voltage_v(load_chemistry(chemistry), float(van.van.system_voltage_v))
    beside_w = sum(a.count * a.power_w for a in van.arrays if a.controller is None)
    whole_w = panels * van.panels.power_w + beside_w
    needed_a = math.ceil(whole_w * van.controller.efficiency / charging_v)
    return max(van.controller.max_output_a, float(needed_a))
