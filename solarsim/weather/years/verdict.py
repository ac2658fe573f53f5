"""Whether a weather file is fit to answer from, and what can be mended in it."""

from __future__ import annotations

import dataclasses
from typing import Literal

from solarsim.inputs.percent import percent
from solarsim.weather.readers.repair import STAMP_LAG_MIN
from solarsim.weather.years.series import YearSeries, whole_years

__all__ = ["Verdict", "repairs_of", "verdict_of"]

# Estimates, no source, but for the share above the clear sky: published typical years have 1 to
# 6 %, and a clock that is an hour off gives 15 % and more.
_MOST_ABOVE_CLEAR = 0.15
_MOST_OPEN = 0.5
_MOST_MISSING = 0.1
_MISSING_WORTH_CARE = 0.01


@dataclasses.dataclass(frozen=True)
class Verdict:
    """What to do with a weather file.

    Attributes
    ----------
    grade : str
        ``"use it"``, ``"use it with care"`` or ``"do not use it"``.
    reasons : tuple of str
        Why not without care, the gravest first.
    repairs : tuple of str
        What the repair would mend.
    """

    grade: Literal["use it", "use it with care", "do not use it"]
    reasons: tuple[str, ...]
    repairs: tuple[str, ...]


def verdict_of(series: YearSeries) -> Verdict:
    """Judge a file that could be read by its report.

    Parameters
    ----------
    series : YearSeries
        With its `quality`.

    Raises
    ------
    ValueError
        A series that was not read from a file.
    """
    quality = series.quality
    if quality is None:
        raise ValueError("the series has no quality report; it was not read from a file")
    grave, care, repairs = [], [], []
    lag = quality.lag_minutes
    if lag is not None and abs(lag) > STAMP_LAG_MIN:
        hours = round(abs(lag) / 60.0)
        grave.append(
            f"its light comes {abs(lag):.0f} min {'after' if lag > 0 else 'before'} the sun, so "
            "that its stamps are off"
        )
        repairs.append(f"moves all stamps {hours} h {'earlier' if lag > 0 else 'later'}")
    elif lag is not None and abs(lag) > 25.0:
        care.append(
            f"its light comes {abs(lag):.0f} min {'after' if lag > 0 else 'before'} the sun"
        )
    above = quality.above_clear_share
    if above > 0.1:
        (grave if above > _MOST_ABOVE_CLEAR else care).append(
            f"{percent(above)} of its hours with the sun up are far brighter than a clear sky"
        )
    if quality.night_light_hours:
        care.append(f"{quality.night_light_hours} of its hours of night hold light")
        repairs.append("sets the light of the night to zero")
    open_share = 0.0 if quality.closure_share is None else 1.0 - quality.closure_share
    if open_share > 0.2:
        (grave if open_share > _MOST_OPEN else care).append(
            f"its direct and diffuse light do not add up to its GHI in {percent(open_share)} of "
            "the sunny hours"
        )
    if quality.missing_share > _MISSING_WORTH_CARE:
        (grave if quality.missing_share > _MOST_MISSING else care).append(
            f"{percent(quality.missing_share)} of its hours are missing and were closed from "
            "their neighbours"
        )
    if not whole_years(series.times):
        care.append("it holds less than whole years, and only the months in it can be answered")
    grade: Literal["use it", "use it with care", "do not use it"] = "use it"
    if grave or care:
        grade = "do not use it" if grave else "use it with care"
    return Verdict(grade, (*grave, *care), tuple(repairs))


def repairs_of(repaired: YearSeries) -> tuple[str, ...]:
    """Return what was mended in a series that was read with its repair."""
    stamps = "Repaired: all stamps were moved "
    found = [
        f"moves all stamps {note.removeprefix(stamps).rstrip('.')}"
        for note in repaired.notes
        if note.startswith(stamps)
    ]
    if any(note.startswith("Repaired: the light") for note in repaired.notes):
        found.append("sets the light of the night to zero")
    return tuple(found)
