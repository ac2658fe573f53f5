"""What the weather of a question is drawn from: a climate, real years or a weather file."""

from __future__ import annotations

import dataclasses
from pathlib import Path
from typing import TYPE_CHECKING

from solarsim.answers.given import GivenPlace, given_place, given_text, place_text
from solarsim.errors import InputError
from solarsim.inputs.stay import Stay
from solarsim.weather.climate.bundle import load_site_climate
from solarsim.weather.climate.site import SiteClimate
from solarsim.weather.record import Place
from solarsim.weather.years.history import climate_of_years
from solarsim.weather.years.series import YearSeries

if TYPE_CHECKING:
    from solarsim.answers.question import Question

__all__ = ["Sky", "sky_of"]


@dataclasses.dataclass(frozen=True)
class Sky:
    """A place, by the text that finds it, with what its weather is drawn from.

    `runs` is how many runs were asked for before; None takes the usual number.
    """

    text: str
    place: Place
    climate: SiteClimate | None
    series: YearSeries | None
    runs: int | None = None
    notes: tuple[str, ...] = ()


def sky_of(
    stay: Stay, place: GivenPlace | None, weather: str | Path | None, known: Question | None
) -> Sky:
    """Find the weather that a stay asks for, taking from a known question what stays the same.

    Raises
    ------
    InputError
        No such place or file, too few real years, or a place or real years beside a weather file.
    """
    moved = place is not None or known is None or stay.place != known.van.stay.place
    if weather is not None or (known is not None and known.on_file):
        if stay.climate == "history":
            message = "a weather file takes the climate's place; give one of the two"
            raise InputError(message, field="stay.climate")
        if weather is not None:
            return _of_file(place, weather)
        if moved:
            message = "a weather file has its own place; leave the place out"
            raise InputError(message, field="place")
    alike = known is not None and stay.climate == known.van.stay.climate
    if known is not None and alike and not moved:
        return Sky(stay.place, known.place, known.climate, known.series, known.runs, known.notes)
    wanted = stay.place if place is None else place
    found = given_place(wanted)
    if known is not None and alike and found == known.place:
        text = known.van.stay.place if isinstance(wanted, Place) else place_text(wanted)
        return Sky(text, found, known.climate, known.series, known.runs, known.notes)
    text = place_text(wanted)
    runs = known.runs if known is not None and alike else None
    if stay.climate == "embedded":
        return Sky(text, found, load_site_climate(found), None, runs)
    series = climate_of_years(found)
    note = "how far the light of the real years may itself be off is not drawn"
    return Sky(text, series.place, None, series, runs, (note,))


def _of_file(place: GivenPlace | None, weather: str | Path) -> Sky:
    from solarsim.weather.readers.file import read_weather_file

    series = read_weather_file(
        Path(given_text(weather, field="weather", allowed="the path of a weather file"))
    )
    notes = _far_apart(place, series.place)
    return Sky(place_text(series.place), series.place, None, series, notes=notes)


def _far_apart(asked: GivenPlace | None, used: Place) -> tuple[str, ...]:
    if asked is None:
        return ()
    place = given_place(asked)
    apart_deg = max(
        abs(place.latitude_deg - used.latitude_deg), abs(place.longitude_deg - used.longitude_deg)
    )
    if apart_deg < 0.5:
        return ()
    return (f"the weather file is from {used.name}, not {place.name}: the file's place is used",)
