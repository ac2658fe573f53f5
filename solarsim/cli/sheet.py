"""The command of the buyer's sheet."""

from __future__ import annotations

import datetime as dt
import functools
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal

import typer

from solarsim.cli.options import (
    EXAMPLE_VAN,
    ClimateOption,
    DaysOption,
    JsonOption,
    PlaceOption,
    RunsOption,
    SeedOption,
    SetOption,
    VanArgument,
    WeatherOption,
    asked,
)
from solarsim.cli.output import check_json, console, emit, progress_bar
from solarsim.errors import InputError

if TYPE_CHECKING:
    from solarsim.inputs.profile import Profile

__all__ = ["RegionOption", "check_language", "sheet", "sheet_date", "tell_unreviewed"]

Units = Literal["metric", "us"]
Cards = dict[Literal["square", "portrait"], Path | None]

RegionOption = Annotated[
    list[str] | None,
    typer.Option(help="One more place, up to three; a town or coordinates. May be repeated."),
]
WayOption = Annotated[
    str | None, typer.Option(help="Load profile of this way of living, a TOML file or a name.")
]
OutputOption = Annotated[
    list[Path] | None,
    typer.Option(
        "--output",
        "-o",
        help="Write the sheet: .pdf, .html, or .png of its page; .txt of the listing's texts. May "
        "be repeated.",
    ),
]
SquareOption = Annotated[Path | None, typer.Option(help="Write a square card for a listing, .png.")]
PortraitOption = Annotated[Path | None, typer.Option(help="Write a tall card for a listing, .png.")]
PaperOption = Annotated[Literal["a4", "letter"], typer.Option(help="Size of the page.")]
UnitsOption = Annotated[Units, typer.Option(help="Units that stand first where both are shown.")]
LanguageOption = Annotated[
    str,
    typer.Option(
        help="Of the sheet, the cards and the listing's texts: a code such as de; the builder's "
        "pages stay English."
    ),
]
PhotoOption = Annotated[
    Path | None, typer.Option(help="Photo of the van: .jpg, .png or .webp up to 20 MB.")
]
AnnexOption = Annotated[
    bool, typer.Option("--annex", help="Add the builder's pages to .pdf and .html.")
]
ListingOption = Annotated[
    bool,
    typer.Option("--listing", help="Print texts for a listing: 60, 300 and 1,200 characters."),
]
TripOption = Annotated[
    str | None,
    typer.Option(help="Say on the sheet whether the van gets through this trip: .toml or .csv."),
]
MapOption = Annotated[
    str | None,
    typer.Option(
        "--map",
        help="Add the map of a country, area or box in its winter, as `region` takes it: page 2 "
        "of .pdf, below in .html.",
    ),
]
DateOption = Annotated[
    str | None,
    typer.Option(help="Date on the sheet, year-month-day.", show_default="today"),
]


def sheet(
    van: VanArgument = EXAMPLE_VAN,
    place: PlaceOption = None,
    days: DaysOption = None,
    weather: WeatherOption = None,
    climate: ClimateOption = None,
    runs: RunsOption = None,
    seed: SeedOption = 1,
    settings: SetOption = None,
    region: RegionOption = None,
    light: WayOption = None,
    typical: WayOption = None,
    heavy: WayOption = None,
    output: OutputOption = None,
    square: SquareOption = None,
    portrait: PortraitOption = None,
    paper: PaperOption = "a4",
    units: UnitsOption = "metric",
    language: LanguageOption = "en",
    photo: PhotoOption = None,
    annex: AnnexOption = False,
    trip: TripOption = None,
    map_of: MapOption = None,
    date: DateOption = None,
    listing: ListingOption = False,
    json: JsonOption = None,
) -> None:
    """Make the buyer's sheet: one page on how long the van lasts, where, when and how lived in.

    Days off grid by season for the van's own people (typical use), and for a lighter and a heavier
    life, in up to four regions; what runs and for how
    long, what recharges it how fast, the roof, what to do to last longer, winter, care, cautions,
    and what all of it stands on. What mains appliances the van's inverter cannot run is left out of
    the days, and the sheet says so. The PDF is tagged (PDF/UA-1) and carries its own font; JSON is
    the document that every form is made from.
    """
    _refuse_profile_settings(settings or [])
    check_json(json)
    outputs = output or []
    cards: Cards = {"square": square, "portrait": portrait}
    _check_files(outputs, cards, language)
    day = sheet_date(date)
    from solarsim.answers.sheet.sheet import sheet as answer_sheet
    from solarsim.inputs.files.trip import read_trip
    from solarsim.present.sheet.document import in_language, sheet_document
    from solarsim.present.sheet.make import sheet_bytes
    from solarsim.present.sheet.photo import read_photo

    picture = None if photo is None else read_photo(photo)
    stops = None if trip is None else read_trip(trip)
    ways = _ways(light=light, typical=typical, heavy=heavy)
    # The van's own people are the typical use, and the sheet has four seasons: no month.
    question = asked(van, None, place, None, days, weather, climate, runs, seed, settings)
    with progress_bar("asking for the sheet") as progress:
        answer = answer_sheet(
            question,
            regions=region or (),
            **ways,
            annex=annex,
            stops=stops,
            map_of=map_of,
            progress=progress,
        )
    document = sheet_document(answer, date=day)
    made = functools.partial(sheet_bytes, document, language=language)
    _write(outputs, functools.partial(made, units=units, paper=paper, photo=picture), cards, made)
    written = any((*outputs, *cards.values()))
    _tell(in_language(document, language), json, units, language, written=written, listing=listing)


def _ways(**given: str | None) -> dict[str, Profile | None]:
    from solarsim.inputs.profile import read_profile

    return {name: None if one is None else read_profile(one) for name, one in given.items()}


def _write(
    outputs: list[Path], page: Callable[..., bytes], cards: Cards, card: Callable[..., bytes]
) -> None:
    """Write all files, once all of them are made."""
    from solarsim.inputs.files.write import write_file

    made = [(path, page(path.suffix.lower())) for path in outputs]
    made += [(path, card(".png", form=form)) for form, path in cards.items() if path is not None]
    for path, content in made:
        write_file(path, content)


def _tell(
    document: dict[str, Any],
    json: str | None,
    units: Units,
    language: str,
    *,
    written: bool,
    listing: bool,
) -> None:
    """Tell the builder's warnings, then the document; as text where no file holds it."""
    for warning in document["warnings"]:
        print(f"solarsim: before this sheet is handed out: {warning}", file=sys.stderr)
    tell_unreviewed(language, "sheet")
    if json is not None:
        emit(document, json)
    elif listing:
        from solarsim.present.sheet.listing import listing_text

        print(listing_text(document))
    elif not written:
        from solarsim.present.sheet.text import print_sheet

        print_sheet(document, console(), units=units, language=language)


def _check_files(outputs: list[Path], cards: Cards, language: str) -> None:
    """Refuse files that could not be written, and a language, before any work is done for them."""
    from solarsim.inputs.files.write import check_writable
    from solarsim.present.sheet.make import check_sheet_path

    check_language(language)
    for path in outputs:
        check_sheet_path(path)
        check_writable(path)
    for form, card in cards.items():
        if card is not None:
            if card.suffix.lower() != ".png":
                raise InputError("must end in .png", source=str(card), field=f"--{form}")
            check_writable(card)


def check_language(language: str) -> None:
    """Refuse a language that has no texts.

    Raises
    ------
    InputError
        No such language.
    """
    from solarsim.present.sheet.texts import load_texts

    try:
        load_texts(language)
    except InputError as error:
        raise InputError(error.message, field="--language") from None


def tell_unreviewed(language: str, what: str) -> None:
    """Tell the builder that no native reader has reviewed the texts, where so."""
    from solarsim.present.sheet.annex_page import unreviewed

    for warning in unreviewed(language, what):
        print(f"solarsim: before this {what} is handed out: {warning}", file=sys.stderr)


def _refuse_profile_settings(settings: list[str]) -> None:
    """Refuse settings that would reach no way of living."""
    from solarsim.inputs.profile import Profile

    for setting in settings:
        table = setting.partition(".")[0].strip()
        if table in Profile.model_fields:
            message = (
                "changes one of three load profiles, and it is not said which; give files with "
                "--light, --typical, --heavy"
            )
            raise InputError(message, source=setting, field="--set")


def sheet_date(text: str | None, *, field: str = "--date") -> dt.date:
    """Return the date on a page, by default today.

    Raises
    ------
    InputError
        No date.
    """
    if text is None:
        return dt.datetime.now().astimezone().date()
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        message = f"got '{text}'; must be a date such as 2026-03-01"
        raise InputError(message, field=field) from None
