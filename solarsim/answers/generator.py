"""What must be said of a van that charges from a generator."""

from __future__ import annotations

from solarsim.inputs.percent import percent
from solarsim.inputs.van import Van
from solarsim.inputs.windows import unrolled_windows

__all__ = ["GENERATOR_CAUTION", "generator_notes", "generator_warnings"]

GENERATOR_CAUTION = (
    "a generator's exhaust kills: never run it inside or beneath the van, in an awning or near "
    "open doors, windows and vents, and keep a CO alarm working; fill it outside when it is cold, "
    "and have its connection to the van done to local codes"
)
# Quiet hours of most places: common practice, no source.
_QUIET = (22.0, 7.0)


def generator_warnings(van: Van) -> tuple[str, ...]:
    """Say what a generator can do to people, and of hours that most places keep quiet."""
    if van.generator is None:
        return ()
    quiet, loud = unrolled_windows((_QUIET,))[0], unrolled_windows(van.generator.windows)
    meets = any(
        begin + day < quiet[1] and end + day > quiet[0]
        for begin, end in loud
        for day in (-24.0, 0.0, 24.0)
    )
    if not meets:
        return (GENERATOR_CAUTION,)
    return (
        GENERATOR_CAUTION,
        f"the generator's hours reach into those that most places keep quiet ({_QUIET[0]:g} to "
        f"{_QUIET[1]:g} o'clock)",
    )


def generator_notes(van: Van) -> tuple[str, ...]:
    """Say how a generator is run; nothing where there is none."""
    generator = van.generator
    if generator is None:
        return ()
    unit = "kg" if generator.fuel == "propane" else "L"
    usual = "" if generator.fuel_per_kwh is not None else " (common practice, no source)"
    return (
        f"somebody looks after the generator at each full hour in which it may run, starts it at "
        f"{percent(van.generator_start_soc)} of charge and stops it at "
        f"{percent(generator.stop_soc)}; it charges the bank alone, AC loads stay on the inverter; "
        f"it burns {generator.burns_per_kwh:g} {unit} of {generator.fuel} for a kWh at its "
        f"socket{usual}",
    )
