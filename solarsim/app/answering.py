"""Cached answers, keyed on the design alone."""

from __future__ import annotations

import contextlib
import dataclasses
import datetime as dt
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path, PurePosixPath
from typing import Any

import streamlit as st

from solarsim.answers.calibrate.calibrate import CalibrateAnswer, calibrate
from solarsim.answers.calibrate.weather import covers, years_in_cache
from solarsim.answers.checked import check_question
from solarsim.answers.levers import LeversAnswer, levers
from solarsim.answers.offer.offer import OfferAnswer, offer
from solarsim.answers.question import DEFAULT_RUNS, Question, ask
from solarsim.answers.region.asked import ask_region, default_follow_days
from solarsim.answers.region.region import RegionAnswer, region
from solarsim.answers.roof import RoofAnswer, roof
from solarsim.answers.search.designs import Limits, SearchAnswer
from solarsim.answers.search.search import search
from solarsim.answers.seasons import SeasonsAnswer, seasons
from solarsim.answers.sheet.sheet import SheetAnswer, sheet
from solarsim.answers.simulation.kept import KeptScenes, keep_scenes
from solarsim.answers.stay import StayAnswer, stay
from solarsim.answers.trip.trip import TripAnswer, trip
from solarsim.answers.tune.designs import TuneAnswer
from solarsim.answers.tune.tune import tune
from solarsim.app.draft import Draft, WeatherFile, draft_key, shipped_profile
from solarsim.app.memory import memory_share
from solarsim.app.processes import answer_beside
from solarsim.app.translate import tr
from solarsim.app.uploads.log_file import LogFile, LogRead, LogStatement, bank_log, headings_of
from solarsim.app.uploads.price_file import PriceFile, prices_of
from solarsim.electrical.check import Check
from solarsim.errors import InputError
from solarsim.inputs.calendar import FOLLOW_DAYS
from solarsim.inputs.trip import Trip
from solarsim.weather.places import find_place
from solarsim.weather.years.history import cached_years, history_series

__all__ = [
    "MAX_CELLS_HERE",
    "MAX_DAYS",
    "MAX_DESIGNS_HERE",
    "SearchWish",
    "check",
    "electrical_answer",
    "levers_answer",
    "log_answer",
    "log_headings",
    "log_read",
    "needs_wh_per_day",
    "offer_answer",
    "region_answer",
    "roof_answer",
    "search_answer",
    "seasons_answer",
    "sheet_answer",
    "stay_answer",
    "trip_answer",
    "tune_answer",
]

MAX_DAYS = 120
# What changes are worth takes fewer runs, so that the page stays quick; the view says how many.
# Months and seasons take as many as the stay itself: the same question has one answer.
_RUNS_LEVERS = 150
_LEAST_RUNS = 50
# Ways of living differ by far more than the weather's chance.
_RUNS_NEEDS = 10
# A map is drawn while somebody waits: some seconds.
_RUNS_CELL = 100
MAX_CELLS_HERE = 150
# A search asks for every design at as many runs as the stay itself.
MAX_DESIGNS_HERE = 3000
_MOST_SCENES_BYTES = 1_000_000_000
_WEATHER_SUFFIXES = (".epw", ".csv", ".tm2")
# Whoever changes one thing after the other asks at the same place and dates.
_SCENES = KeptScenes(min(_MOST_SCENES_BYTES, memory_share(0.1)))
_HASHES: dict[str | type[Any], Callable[[Any], Any]] = {Draft: draft_key}


@st.cache_data(max_entries=64, show_spinner=False, hash_funcs=_HASHES)
def check(design: Draft) -> None:
    """Refuse a design that cannot be asked about.

    Raises
    ------
    InputError
        No such place, a weather file that cannot be trusted, AC loads without an inverter, a stay
        longer than the app follows, or a van that points to a file.
    """
    _question(design, 1)


def stay_answer(design: Draft) -> StayAnswer:
    """Answer how long the van lasts, with as many runs as the command line takes."""
    years = () if design.weather is not None else cached_years(find_place(design.van.stay.place))
    return _stay_answer(design, years)


@st.cache_data(max_entries=64, show_spinner=False, hash_funcs=_HASHES)
def _stay_answer(design: Draft, years: tuple[int, ...]) -> StayAnswer:
    """`years` are those at hand: one that is fetched in the meantime gives another answer."""
    with keep_scenes(_SCENES):
        return stay(_question(design, DEFAULT_RUNS))


@st.cache_data(max_entries=64, show_spinner=False, hash_funcs=_HASHES)
def needs_wh_per_day(design: Draft) -> float:
    """Return about what the people aboard need a day, to put ways of living in order."""
    conditions = stay(_question(design, _RUNS_NEEDS)).conditions
    return sum(conditions.demand_wh_per_day.values())


@st.cache_data(max_entries=32, show_spinner=False, hash_funcs=_HASHES)
def levers_answer(design: Draft) -> LeversAnswer:
    """Answer what single changes are worth."""
    with keep_scenes(_SCENES):
        return levers(_question(design, _RUNS_LEVERS))


@st.cache_data(max_entries=32, show_spinner=False, hash_funcs=_HASHES)
def seasons_answer(design: Draft) -> SeasonsAnswer:
    """Answer for all twelve months."""
    return answer_beside(seasons, _question(design, DEFAULT_RUNS))


@st.cache_data(max_entries=32, show_spinner=False, hash_funcs=_HASHES)
def tune_answer(design: Draft) -> TuneAnswer:
    """Try panels against units; the choice is the one that the stay's own length needs."""
    with keep_scenes(_SCENES):
        return tune(_question(design, DEFAULT_RUNS).replace(follow_days=FOLLOW_DAYS))


@st.cache_data(max_entries=32, show_spinner=False, hash_funcs=_HASHES)
def electrical_answer(design: Draft) -> Check:
    """Check voltages, currents, cables and fuses."""
    asked = _question(design, 1)
    return check_question(asked)


@st.cache_data(max_entries=32, show_spinner=False, hash_funcs=_HASHES)
def roof_answer(design: Draft) -> RoofAnswer:
    """Answer what fits on the roof, and what stands in the way."""
    return roof(_question(design, 1))


@st.cache_data(max_entries=8, show_spinner=False, hash_funcs=_HASHES | {Trip: Trip.model_dump_json})
def sheet_answer(
    design: Draft,
    regions: tuple[str, ...],
    own_people: bool,
    annex: bool,
    map_of: str | None = None,
    stops: Trip | None = None,
) -> SheetAnswer:
    """Answer what a buyer's sheet says; typical is the design's own people or the shipped use."""
    return answer_beside(
        sheet,
        _question(design, DEFAULT_RUNS),
        regions=regions,
        typical=None if own_people else shipped_profile("typical"),
        annex=annex,
        map_of=map_of,
        stops=stops,
    )


@st.cache_data(
    max_entries=16, show_spinner=False, hash_funcs=_HASHES | {Trip: Trip.model_dump_json}
)
def trip_answer(design: Draft, stops: Trip) -> TripAnswer:
    """Answer whether the van gets through the stops of a trip, on their own climate."""
    nights = sum(nights for _, nights in stops.dates())
    if nights > MAX_DAYS:
        message = tr(
            "got {nights} in all; the app follows up to {most}, the command line more",
            nights=nights,
            most=MAX_DAYS,
        )
        raise InputError(message, field="nights")
    return trip(_on_climate(design, DEFAULT_RUNS), stops, source="the trip")


@st.cache_data(max_entries=16, show_spinner=False, hash_funcs=_HASHES)
def region_answer(design: Draft, where: str, step_deg: float) -> RegionAnswer:
    """Answer over a region's cells, on their own climate.

    Raises
    ------
    InputError
        As for `solarsim.answers.region.asked.ask_region`; more cells than the app answers.
    """
    follow_days = default_follow_days(design.van.stay.days)
    question = _on_climate(design, _RUNS_CELL).replace(follow_days=follow_days)
    asked = ask_region(question, where, step_deg=step_deg)
    cells = len(asked.cells.cells)
    if cells > MAX_CELLS_HERE:
        message = tr(
            "gives {cells} cells; the app answers up to {most}, the command line more: take "
            "larger cells or a smaller region",
            cells=f"{cells:,}",
            most=MAX_CELLS_HERE,
        )
        raise InputError(message, field="region")
    return answer_beside(region, asked, workers=1)


@st.cache_data(max_entries=8, show_spinner=False, hash_funcs=_HASHES)
def offer_answer(
    designs: tuple[Draft, ...],
    prices: PriceFile | None,
    *,
    regions: tuple[str, ...] = (),
    labour: float | None,
    tax_pct: float | None,
    date: dt.date,
    valid_until: dt.date | None,
) -> OfferAnswer:
    """Put designs of the same people, place and dates side by side.

    Raises
    ------
    InputError
        As for `solarsim.answers.offer.offer.offer`; a price file that cannot be read.
    """
    return answer_beside(
        offer,
        [_question(design, DEFAULT_RUNS) for design in designs],
        date=date,
        regions=regions,
        prices=None if prices is None else prices_of(prices),
        source="" if prices is None else prices.name,
        tax_pct=tax_pct,
        labour=() if labour is None else (labour,),
        valid_until=valid_until,
    )


@dataclasses.dataclass(frozen=True)
class SearchWish:
    """What a search tries and what it must hold; empty is as for `search` without it."""

    months: tuple[int, ...] = ()
    kinds: tuple[str, ...] = ()
    tilts_deg: tuple[float, ...] = ()
    batteries: tuple[str, ...] = ()
    dcdc_a: tuple[float, ...] = ()
    limits: Limits = dataclasses.field(default_factory=Limits)


@st.cache_data(max_entries=8, show_spinner=False, hash_funcs=_HASHES)
def search_answer(design: Draft, wish: SearchWish, prices: PriceFile | None) -> SearchAnswer:
    """Search the best builds around a design.

    Raises
    ------
    InputError
        As for `solarsim.answers.search.search.search`; more designs than the app tries; a price
        file that cannot be read.
    """
    return answer_beside(
        search,
        _question(design, DEFAULT_RUNS),
        months=wish.months,
        kinds=wish.kinds or None,
        tilts_deg=wish.tilts_deg or None,
        batteries=wish.batteries or None,
        dcdc_a=wish.dcdc_a or None,
        limits=wish.limits,
        prices=None if prices is None else prices_of(prices),
        most_designs=MAX_DESIGNS_HERE,
    )


@st.cache_data(max_entries=16, show_spinner=False)
def log_headings(log: LogFile) -> tuple[str, ...]:
    """Return the headings of an uploaded log."""
    return headings_of(log)


@st.cache_data(max_entries=16, show_spinner=False, hash_funcs=_HASHES)
def log_read(design: Draft, log: LogFile, said: LogStatement) -> LogRead:
    """Read an uploaded log for the design's bank, at its place."""
    question = _question(design, 1)
    found = bank_log(log, question, said)
    own = question.on_file and question.series is not None and covers(question.series, found.times)
    return LogRead(found, question.place, own)


def log_answer(design: Draft, log: LogFile, said: LogStatement) -> CalibrateAnswer:
    """Hold the van against a log.

    The light is judged by the design's weather file where that covers the log's dates, else by
    real years of the cache, else by the climate.
    """
    read = log_read(design, log, said)
    # Years that are fetched in the meantime give another answer.
    years = () if read.weather_covers else years_in_cache(read.place, read.log.times)
    return _log_answer(design, log, said, years)


@st.cache_data(max_entries=8, show_spinner=False, hash_funcs=_HASHES)
def _log_answer(
    design: Draft, log: LogFile, said: LogStatement, years: tuple[int, ...]
) -> CalibrateAnswer:
    read = log_read(design, log, said)
    question = _question(design, DEFAULT_RUNS)
    series = history_series(read.place, years) if years else None
    if read.weather_covers and question.series is not None and design.weather is not None:
        # Its source is a temporary path of the server's.
        series = dataclasses.replace(question.series, source=design.weather.name)
    return calibrate(question, read.log, series)


def _on_climate(design: Draft, runs: int) -> Question:
    """The design's question on the embedded climate, for what is asked of other places."""
    stay = design.van.stay.model_copy(update={"climate": "embedded"})
    van = design.van.model_copy(update={"stay": stay})
    return _question(dataclasses.replace(design, van=van, weather=None), runs)


def _question(design: Draft, runs: int) -> Question:
    return dataclasses.replace(_question_of_weather(design, runs), horizon=design.horizon)


def _question_of_weather(design: Draft, runs: int) -> Question:
    days = design.van.stay.days
    if design.van.stay.horizon is not None:
        # A file of the server's, named by whoever sent the van.
        message = tr("another file is not read here; leave it out and upload the horizon")
        raise InputError(message, field="stay.horizon")
    if days > MAX_DAYS:
        message = tr(
            "got {days}; the app follows up to {most} days, the command line longer",
            days=days,
            most=MAX_DAYS,
        )
        raise InputError(message, field="stay.days")
    # A stay of months takes as long as a usual one.
    runs = max(runs * FOLLOW_DAYS // max(days, FOLLOW_DAYS), min(runs, _LEAST_RUNS))
    if design.weather is None:
        return ask(design.van, profile=design.profile, runs=runs)
    with _file(design.weather) as path:
        try:
            question = ask(design.van, profile=design.profile, weather=path, runs=runs)
        except InputError as error:
            if error.source != str(path):
                raise
            raise InputError(error.message, source=design.weather.name, field="weather") from None
    notes = tuple(note.replace(str(path), design.weather.name) for note in question.notes)
    return dataclasses.replace(question, notes=notes)


@contextlib.contextmanager
def _file(weather: WeatherFile) -> Iterator[Path]:
    """Write an uploaded file under a name of our own; only its ending is the sender's."""
    suffix = PurePosixPath(weather.name).suffix.lower()
    with tempfile.TemporaryDirectory(prefix="solarsim-") as folder:
        path = Path(folder) / f"weather{suffix if suffix in _WEATHER_SUFFIXES else '.epw'}"
        path.write_bytes(weather.content)
        yield path
