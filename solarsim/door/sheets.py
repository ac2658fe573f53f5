"""The buyer's sheet."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Unpack

from solarsim.answers.given import GivenPlace, given_text, given_yes_or_no
from solarsim.door.asking import Askable, Asked, Progress, given_progress, question_of
from solarsim.door.lists import given_places
from solarsim.door.travel import read_trip
from solarsim.errors import InputError
from solarsim.inputs.base import checked_record
from solarsim.inputs.files.van import DEFAULT_VAN
from solarsim.inputs.profile import Profile, read_profile
from solarsim.inputs.trip import Trip

if TYPE_CHECKING:
    from solarsim.answers.sheet.sheet import SheetAnswer
    from solarsim.answers.stock.stock import StockAnswer

__all__ = ["sheet", "stock"]

_MAPPED = "a country, an area or a box"


def sheet(
    question: Askable = DEFAULT_VAN,
    *,
    regions: Sequence[GivenPlace] = (),
    light: str | Path | Profile | None = None,
    typical: str | Path | Profile | None = None,
    heavy: str | Path | Profile | None = None,
    annex: bool = False,
    trip: Trip | str | Path | None = None,
    map_of: str | None = None,
    progress: Progress | None = None,
    **asked: Unpack[Asked],
) -> SheetAnswer:
    """Answer what the buyer's sheet holds: how long the van lasts, where, when and how lived in.

    Write it with the answer's ``save``: ``sheet("weekender").save("sheet.pdf")``.

    Parameters
    ----------
    question : Question, or a van as for `ask`
        Its place is the first region and its profile the typical use; its month plays no part.
    regions : sequence of places, optional
        Up to three more.
    light, typical, heavy : str, path or Profile, optional
        The three ways of living; by default shipped ones, and the van's own people as typical.
    annex : bool
        Whether to answer the builder's pages too.
    trip : Trip, str or Path, optional
        Stops whose chance to get through the sheet says and draws, with typical use.
    map_of : str, optional
        A country, area or box as for `region`, whose map in its winter stands on a second page,
        with typical use.
    progress : callable, optional
        Called with parts done and in all.
    **asked
        Keywords of `ask`, but for ``profile`` and ``month``.

    Raises
    ------
    InputError
        As for `ask`; too many regions, or ways of living out of order.
    """
    from solarsim.answers.sheet.sheet import sheet as answer

    for name in ("profile", "month"):
        if name in asked:
            message = "the sheet has three profiles and four seasons of its own; leave it out"
            raise InputError(message, field=name)
    for setting in asked.get("settings", ()):
        if isinstance(setting, str) and setting.partition(".")[0].strip() in Profile.model_fields:
            message = "changes one of three load profiles, and it is not said which"
            raise InputError(message, source=setting, field="settings")
    return answer(
        question_of(question, asked),
        regions=given_places(regions),
        light=_way(light, "light"),
        typical=_way(typical, "typical"),
        heavy=_way(heavy, "heavy"),
        annex=given_yes_or_no(annex, field="annex"),
        map_of=None if map_of is None else given_text(map_of, field="map_of", allowed=_MAPPED),
        stops=trip if trip is None or isinstance(trip, Trip) else read_trip(trip),
        progress=given_progress(progress),
    )


def stock(
    folder: str | Path,
    *,
    sheets: str | Path | None = None,
    kinds: Sequence[str] = ("pdf",),
    runs: int | None = None,
    seed: int = 1,
    date: dt.date | None = None,
    language: str = "en",
    progress: Progress | None = None,
) -> StockAnswer:
    """List a folder of vans: days in winter and summer, findings, what changed since the sheets.

    A file that cannot be used is a row that says why, `broken` of the answer; ``.frame()`` is the
    table.

    Parameters
    ----------
    folder : str or Path
        Of vans' TOML files.
    sheets : str or Path, optional
        Folder into which every van's sheet is made; a small file beside the vans then keeps what
        they said, so that the next list tells what changed.
    kinds : sequence of str
        What the sheets are made as: ``"pdf"``, ``"html"``, ``"png"`` or ``"txt"``, the listing.
    runs, seed : int
        As for `ask`.
    date : datetime.date, optional
        On the sheets, by default today.
    language : str
        Of the sheets, a code such as ``"de"``.
    progress : callable, optional
        Called with vans done and in all.

    Raises
    ------
    InputError
        No such folder, no van in it, another kind or language, a folder that cannot be written to.
    """
    from solarsim.answers.stock.stock import stock as answer
    from solarsim.present.stock.make import sheet_maker

    if date is not None and not isinstance(date, dt.date):
        raise InputError(f"got {date!r}; must be a datetime.date", field="date")
    if isinstance(kinds, str) or not isinstance(kinds, Sequence) or not kinds:
        raise InputError(f"got {kinds!r}; must be a list of endings", field="kinds")
    day = date or dt.datetime.now().astimezone().date()
    vans = Path(given_text(folder, field="folder", allowed="the path of a folder"))
    made = None
    if sheets is not None:
        target = Path(given_text(sheets, field="sheets", allowed="the path of a folder"))
        made = sheet_maker(vans, target, kinds, date=day, language=language)
    return answer(
        vans,
        runs=runs,
        seed=seed,
        made=made,
        date=day.isoformat(),
        progress=given_progress(progress),
    )


def _way(profile: Any, field: str) -> Profile | None:
    if profile is None:
        return None
    if isinstance(profile, Profile):
        return checked_record(profile, source=field)
    allowed = "a TOML file, a shipped example's name or a Profile"
    return read_profile(given_text(profile, field=field, allowed=allowed))
