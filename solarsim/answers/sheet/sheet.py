"""Everything that a buyer's sheet says about a van, asked of the other answers."""

from __future__ import annotations

import dataclasses
import datetime as dt
import itertools
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, ClassVar, Literal

from solarsim.answers.levers import LeversAnswer, levers
from solarsim.answers.many_places import further_places
from solarsim.answers.question import Question
from solarsim.answers.region.region import RegionAnswer
from solarsim.answers.roof import RoofAnswer, roof
from solarsim.answers.sheet.annex import Annex, annex_of
from solarsim.answers.sheet.bank import Filled, filled_shares
from solarsim.answers.sheet.living import (
    SEASONS,
    Living,
    Season,
    in_order,
    living,
    mean_simulation,
    season_months,
)
from solarsim.answers.sheet.region_map import map_answer
from solarsim.answers.sheet.ways import (
    WAYS,
    Way,
    WayName,
    refuse_panels_that_do_not_fit,
    refuse_untold,
    ways_of_living,
)
from solarsim.answers.simulation.run import Progress, simulate_all
from solarsim.answers.simulation.summary import DaysUnplugged, days_unplugged, ledger_wh_per_day
from solarsim.answers.trip.trip import TripAnswer, trip
from solarsim.errors import InputError
from solarsim.inputs.profile import Profile
from solarsim.inputs.trip import Trip
from solarsim.power.design import design_of, usable_wh
from solarsim.records import Answer, json_text
from solarsim.weather.record import Place
from solarsim.weather.streams import keep_draws

__all__ = ["Region", "SeasonDays", "SheetAnswer", "Sun", "sheet"]

_JUNE, _DECEMBER = 6, 12
# As the app's view of changes takes: the list below is about which are large.
_LEVER_RUNS = 150


@dataclasses.dataclass(frozen=True)
class SeasonDays:
    """Days unplugged in the middle month of a season."""

    season: Season
    month: int
    days: DaysUnplugged


@dataclasses.dataclass(frozen=True)
class Region:
    """A place with the days of each way of living, winter to autumn."""

    place: Place
    source: str
    runs: int
    days: dict[WayName, tuple[SeasonDays, ...]]


@dataclasses.dataclass(frozen=True)
class Sun:
    """Sun on offer at the first region, mean energy a day after the controller, Wh."""

    june_wh_per_day: float
    december_wh_per_day: float


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class SheetAnswer(Answer):
    """The answer of `sheet`.

    Attributes
    ----------
    question : Question
        The first region's, with the typical way of living.
    livings : tuple of Living
        Light, typical, heavy: what runs, and what it needs.
    own_people : str or None
        Name of the profile of the van's own people where another one is the typical use.
    ways_left_out : tuple of str
        Shipped ways of living that do not fit below or above the typical one, or are it.
    regions : tuple of Region
        The question's own place first.
    usable_wh : float
        Energy between a full bank and its floor, as rated.
    winter_usable_wh : float
        The same as cold as the bank is in winter with typical use.
    sun : Sun
        What the panels bring.
    filled : Filled
        What driving and shore power bring.
    roof : RoofAnswer or None
        The roof plan; None for a van without a roof.
    lever_way : str
        The way of living that the levers are about: typical, or heavy where typical never ends.
    lever_season : SeasonDays
        Its season with the fewest days at the first region.
    levers : LeversAnswer
        What one change is worth then.
    annex : Annex or None
        For the builder, where asked for.
    trip : TripAnswer or None
        A trip with typical use, where one was asked about.
    region : RegionAnswer or None
        A region in its winter with typical use, where its map was asked for.
    notes : tuple of str
        Caveats of all parts.
    """

    _face: ClassVar[str] = "sheet"

    question: Question
    livings: tuple[Living, ...]
    own_people: str | None
    ways_left_out: tuple[WayName, ...]
    regions: tuple[Region, ...]
    usable_wh: float
    winter_usable_wh: float
    sun: Sun
    filled: Filled
    roof: RoofAnswer | None
    lever_way: WayName
    lever_season: SeasonDays
    levers: LeversAnswer
    annex: Annex | None
    trip: TripAnswer | None
    region: RegionAnswer | None
    notes: tuple[str, ...]

    def to_dict(self, *, date: dt.date | None = None) -> dict[str, Any]:
        """Return the document of the sheet, dated `date`, by default today."""
        document: dict[str, Any] = self._shown().document(self, date=_date(date))
        return document

    def to_json(self, *, date: dt.date | None = None) -> str:
        """Return the document of the sheet as text, dated `date`, by default today."""
        return json_text(self.to_dict(date=date))

    def listing(self, language: str = "en") -> dict[int, str]:
        """Return texts for a listing by their largest length: 60, 300 and 1,200 characters."""
        said = self._shown().document(self, date=_date(None), language=language)["listing"]
        return {int(length): text for length, text in said.items()}

    def save(
        self,
        path: str | Path,
        *,
        date: dt.date | None = None,
        units: Literal["metric", "us"] = "metric",
        paper: Literal["a4", "letter"] = "a4",
        form: Literal["page", "square", "portrait"] = "page",
        photo: str | Path | None = None,
        language: str = "en",
    ) -> None:
        """Write the sheet as ``.pdf``, ``.html`` or ``.png``, or the listing's texts as ``.txt``.

        Parameters
        ----------
        path : str or Path
            The ending says which.
        date : datetime.date, optional
            Date on the sheet, by default today.
        units : str
            Which stand first where both are shown.
        paper : str
            Size of the page.
        form : str
            The page, or a card for a listing (``.png`` alone).
        photo : str or Path, optional
            A picture of the van: ``.jpg``, ``.png`` or ``.webp``.
        language : str
            A code such as ``"de"``; the builder's part stays English.

        Raises
        ------
        InputError
            Another ending, choice or language, a photo that cannot be read, a file that cannot be
            written.
        """
        for field, given, known in (
            ("units", units, ("metric", "us")),
            ("paper", paper, ("a4", "letter")),
            ("form", form, ("page", "square", "portrait")),
        ):
            if given not in known:
                raise InputError(f"got {given!r}; must be {' or '.join(known)}", field=field)
        for field, file in (("path", path), ("photo", photo)):
            if not isinstance(file, str | Path) and (file is not None or field == "path"):
                raise InputError(f"got {file!r}; must be a file's path", field=field)
        if form != "page" and Path(path).suffix.lower() != ".png":
            raise InputError(f"a {form} card must end in .png", source=str(path), field="form")
        self._shown().save(
            self,
            Path(path),
            date=_date(date),
            units=units,
            paper=paper,
            form=form,
            photo=None if photo is None else Path(photo),
            language=language,
        )


# Its months and regions ask for the same draws.
@keep_draws()
def sheet(
    question: Question,
    *,
    regions: Sequence[str] = (),
    light: Profile | None = None,
    typical: Profile | None = None,
    heavy: Profile | None = None,
    annex: bool = False,
    stops: Trip | None = None,
    map_of: str | None = None,
    progress: Progress | None = None,
) -> SheetAnswer:
    """Answer everything that a buyer's sheet says.

    Parameters
    ----------
    question : Question
        Van, first place, runs and seed; its own people are the typical use, its month plays no
        part.
    regions : sequence of str
        Up to three more places.
    light, typical, heavy : Profile, optional
        Ways of living, by default the shipped ones and, between them, that of the van's own people.
        A shipped one that needs more than the next, or is the typical one itself, is left out, and
        the answer says so.
    annex : bool
        Whether to answer the builder's part as well.
    stops : Trip, optional
        A trip to ask about with typical use.
    map_of : str, optional
        A region whose cells are asked about in its winter with typical use.
    progress : callable, optional
        Called with steps done and in all.

    Raises
    ------
    InputError
        Too many or unknown places, the same place twice, more places beside a weather file, ways of
        living that do not go from light to heavy, a van that cannot run them, or panels that do
        not fit on the roof.
    """
    refuse_panels_that_do_not_fit(question.van)
    lived = typical or question.profile
    ways = ways_of_living(question.van, light=light, typical=lived, heavy=heavy)
    given = {"light": light, "typical": lived, "heavy": heavy}
    shipped = [way for way in WAYS if given[way] is None]
    own = _free_of_dates(question)
    asked = [own, *further_places(own, regions)]
    step = _counter(progress, len(asked) * len(SEASONS) + 3 + int(annex))
    home = asked[0].replace(profile=ways[WAYS.index("typical")].profile)
    along = None if stops is None else trip(home, stops, with_changes=False)
    mapped = None if map_of is None else map_answer(home, map_of)
    livings, left_out = in_order([living(home, way) for way in ways], shipped)
    ways = tuple(living.way for living in livings)
    step()
    found, notes = [], dict.fromkeys(question.notes)
    for place in asked:
        region, more = _region(place, ways, step)
        found.append(region)
        notes |= dict.fromkeys(more)
    lever_way, hardest = _lever_season(found[0])
    changes = _changes(home, ways, lever_way, hardest)
    step()
    answer = SheetAnswer(
        question=home,
        livings=livings,
        own_people=None if lived == question.profile else question.profile.profile.name,
        ways_left_out=left_out,
        regions=tuple(found),
        usable_wh=usable_wh(design_of(home.van)),
        winter_usable_wh=usable_wh(design_of(home.van), _typical(livings).winter_bank_c),
        sun=Sun(_sun_wh_per_day(home, _JUNE), _sun_wh_per_day(home, _DECEMBER)),
        filled=filled_shares(home.van),
        roof=None if home.van.roof is None else roof(home),
        lever_way=lever_way,
        lever_season=hardest,
        levers=changes,
        annex=_annex(home, found[0], ways, asked) if annex else None,
        trip=along,
        region=mapped,
        notes=tuple(notes),
    )
    for _ in range(1 + int(annex)):
        step()
    return answer


def _counter(progress: Progress | None, steps: int) -> Callable[[], None]:
    counted = itertools.count(1)
    return lambda: None if progress is None else progress(next(counted), steps)


def _annex(home: Question, region: Region, ways: Sequence[Way], asked: Sequence[Question]) -> Annex:
    """The builder's part for the hardest month, with the cold of every place that is asked of."""
    hardest = home.replace(month=_hardest(region, "typical").month)
    return annex_of(hardest, ways, also=[one.place for one in asked[1:]])


def _changes(
    home: Question, ways: Sequence[Way], lever_way: WayName, hardest: SeasonDays
) -> LeversAnswer:
    """What changes are worth to a way of living in its hardest season."""
    with_levers = home.replace(profile=next(w.profile for w in ways if w.name == lever_way))
    return levers(with_levers.replace(month=hardest.month, runs=min(home.runs, _LEVER_RUNS)))


def _typical(livings: Sequence[Living]) -> Living:
    return next(living for living in livings if living.way.name == "typical")


def _lever_season(region: Region) -> tuple[WayName, SeasonDays]:
    """The way of living that changes are about and its hardest season: heavy if typical lasts."""
    hardest = _hardest(region, "typical")
    if hardest.days.p50 >= hardest.days.follow_days and "heavy" in region.days:
        return "heavy", _hardest(region, "heavy")
    return "typical", hardest


def _hardest(region: Region, way: WayName) -> SeasonDays:
    return min(region.days[way], key=lambda one: (one.days.p50, one.days.p10))


def _free_of_dates(question: Question) -> Question:
    """Drop a first day that was given: every season is asked about by its month."""
    return question.replace(month=question.van.stay.month)


def _region(
    question: Question, ways: Sequence[Way], step: Callable[[], None]
) -> tuple[Region, tuple[str, ...]]:
    """Answer for every season; the ways of living share each season's weather."""
    rows: dict[WayName, list[SeasonDays]] = {way.name: [] for way in ways}
    notes: dict[str, None] = {}
    source, runs = "", 0
    for season, month in season_months(question.place).items():
        asked = question.replace(month=month)
        design = [design_of(asked.van)]
        cases = [(dataclasses.replace(asked, profile=way.profile), design) for way in ways]
        simulations = simulate_all(cases)
        for way, simulation in zip(ways, simulations, strict=True):
            unplugged = days_unplugged(simulation, 0)
            refuse_untold(way, unplugged.p1)
            rows[way.name].append(SeasonDays(season, month, unplugged))
        source, runs = simulations[0].conditions.source, simulations[0].conditions.runs
        notes |= dict.fromkeys(simulations[0].conditions.notes)
        step()
    days = {name: tuple(found) for name, found in rows.items()}
    return Region(question.place, source, runs, days), tuple(notes)


def _sun_wh_per_day(question: Question, month: int) -> float:
    simulation = mean_simulation(question.replace(month=month))
    return ledger_wh_per_day(simulation, 0)["solar_available"]


def _date(date: dt.date | None) -> dt.date:
    if date is None:
        return dt.datetime.now().astimezone().date()
    if not isinstance(date, dt.date):
        raise InputError(f"got {date!r}; must be a datetime.date", field="date")
    return date
