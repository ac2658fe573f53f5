"""Which candidates a table need not show, because no one would build them."""

from __future__ import annotations

from collections.abc import Sequence

from solarsim.answers.tune.designs import TunedDesign

__all__ = ["Kind", "kind_of", "units_worth_showing"]

Kind = tuple[str, float, float]


def kind_of(design: TunedDesign) -> Kind:
    """Return chemistry, DC-DC charger and tilt: what a table of panels and units has one of."""
    return design.chemistry, design.dcdc_a, design.tilt_deg


def units_worth_showing(
    designs: Sequence[TunedDesign], choice: TunedDesign | None
) -> tuple[list[int], int]:
    """Unit counts up to the first with which every number of panels lasts in every run.

    Parameters
    ----------
    designs : sequence of TunedDesign
        Every candidate of one kind. Those without panels play no part where there are others.
    choice : TunedDesign or None
        The one that is named: where it is among them, its units are shown too. They are more where
        a smaller bank lasts but fails the checks.

    Returns
    -------
    tuple
        The counts, rising, and how many larger ones are left out.
    """
    counts = sorted({design.units for design in designs})
    unsure = [d.units for d in designs if d.panels > 0 and d.chance_lasts < 1.0]
    if all(design.panels == 0 for design in designs):
        unsure = [design.units for design in designs if design.chance_lasts < 1.0]
    largest_unsure = max(unsure, default=0)
    enough = next((n for n in counts if n > largest_unsure), counts[-1])
    if choice is not None and choice in designs:
        enough = max(enough, choice.units)
    shown = [n for n in counts if n <= enough]
    return shown, len(counts) - len(shown)
