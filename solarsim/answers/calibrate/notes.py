"""What to know of a calibration, in sentences."""

from __future__ import annotations

from solarsim.answers.calibrate.measured import Measured
from solarsim.inputs.percent import percent

__all__ = ["log_notes"]

_EXCESS_SHARE = 0.05


def log_notes(seen: Measured, *, load_found: bool) -> tuple[str, ...]:
    """Caveats of what was measured."""
    log = seen.log
    notes = [
        f"The log covers {percent(log.covered_share)} of its {len(log.times) / 24.0:.0f} days.",
        "The base load is all that the bank gave in that weather, the inverter's own use in it.",
        *_weather_notes(seen),
        _charging_note(seen),
    ]
    if not load_found:
        notes.append(
            "This log does not determine the base load closely; its best fit is used in the "
            "calibrated van and in the days by the log all the same."
        )
    if not log.has_solar and not seen.exact:
        notes.append(
            "Without the weather of these dates and without a solar column the load by day cannot "
            "be separated from the sun: the profile's own shape over the day was scaled as a whole."
        )
    if seen.bank is not None and abs(seen.bank.drift_soc_per_h) * 24.0 > 0.005:
        notes.append(
            f"The log's state of charge drifts by {2400.0 * seen.bank.drift_soc_per_h:+.1f} points "
            "a day against the charge that flows; that was taken out."
        )
    return tuple(notes)


def _weather_notes(seen: Measured) -> list[str]:
    notes = []
    kept = [one.name for one in seen.follows.loads if not one.shown]
    if kept:
        notes.append(
            f"The log's weather does not show what {_listed(kept)} {_s(kept, 'draws', 'draw')}; "
            f"{_s(kept, 'it stays', 'they stay')} as the profile has {_s(kept, 'it', 'them')}, "
            "and the rest of the load follows the clock."
        )
    scaled = [one for one in seen.follows.loads if one.shown]
    if scaled:
        factors = ", ".join(f"{one.name} x {one.scale_share:.2f}" for one in scaled)
        notes.append(
            f"Scaled by how the load moves with the weather of the log: {factors}; "
            f"{_s(scaled, 'it goes', 'they go')} on following the weather."
        )
    if seen.follows.excess_w > _EXCESS_SHARE * seen.load.mean_w:
        notes.append(
            "By the profile the appliances that follow the weather would draw "
            f"{seen.follows.excess_w:.0f} W more than the log shows in all: check their watts."
        )
    return notes


def _charging_note(seen: Measured) -> str:
    if seen.log.has_other:
        return "Charging from the alternator or from shore is taken from the log's own columns."
    hours = int(seen.other.left_out.sum())
    if not hours:
        return (
            "No charging from the alternator or from shore shows in the log: none at night, and "
            "none beyond what the panels give."
        )
    return (
        f"The bank was charged at night or beyond what the panels give: {hours} hours were left "
        "out as charging from the alternator or from shore. A drive on a bright day may not show; "
        "a column of that current would."
    )


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _s(things: object, one: str, more: str) -> str:
    return one if isinstance(things, list) and len(things) == 1 else more
