"""The command of the offer."""

from __future__ import annotations

import functools
from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Literal

import typer

from solarsim.cli.options import (
    ClimateOption,
    DaysOption,
    JsonOption,
    MonthOption,
    PlaceOption,
    ProfileOption,
    RunsOption,
    SeedOption,
    SetOption,
    WeatherOption,
    asked,
)
from solarsim.cli.output import check_json, progress_bar, tell
from solarsim.cli.sheet import RegionOption, check_language, sheet_date, tell_unreviewed

__all__ = ["offer"]

VansArgument = Annotated[
    list[str],
    typer.Argument(
        metavar="VAN...",
        help="Up to four designs, each a van's TOML file or a shipped example's name.",
    ),
]
PricesOption = Annotated[
    str | None,
    typer.Option(help="Prices and weights of parts, a TOML file or a shipped example's name."),
]
LabourOption = Annotated[
    list[float] | None,
    typer.Option(
        help="What the work costs without tax, in the prices' currency. Once for all designs, or "
        "once for each.",
        show_default="prices.labour of the price file",
    ),
]
TaxOption = Annotated[
    float | None, typer.Option(help="Tax on parts and labour, percent, such as 19.")
]
ValidOption = Annotated[
    str | None,
    typer.Option("--valid-until", help="Until when the offer holds, year-month-day."),
]
DateOption = Annotated[
    str | None,
    typer.Option(help="Date of the offer, year-month-day.", show_default="today"),
]
OfferOption = Annotated[
    list[Path] | None,
    typer.Option(
        "--output",
        "-o",
        help="Write the offer: .pdf, .html, .xlsx, .csv or .json. May be repeated.",
    ),
]
PaperOption = Annotated[Literal["a4", "letter"], typer.Option(help="Size of a PDF's pages.")]
LanguageOption = Annotated[
    str,
    typer.Option(
        help="Of the PDF and the HTML: a code such as de; what the check says is English."
    ),
]


def offer(
    vans: VansArgument,
    profile: ProfileOption = None,
    place: PlaceOption = None,
    month: MonthOption = None,
    days: DaysOption = None,
    weather: WeatherOption = None,
    climate: ClimateOption = None,
    runs: RunsOption = None,
    seed: SeedOption = 1,
    settings: SetOption = None,
    region: RegionOption = None,
    prices: PricesOption = None,
    labour: LabourOption = None,
    tax: TaxOption = None,
    valid_until: ValidOption = None,
    date: DateOption = None,
    output: OfferOption = None,
    paper: PaperOption = "a4",
    language: LanguageOption = "en",
    json: JsonOption = None,
) -> None:
    """Offer up to four designs side by side: days, checks, weight, price, what each step buys.

    All are asked for the first van's people, place and dates, on the same weather. A design that
    the check stops, whose panels do not fit or that is too heavy has no price. Prices are your own,
    as for `buy`; labour and tax are added where they are given.
    """
    from solarsim.answers.offer.money import checked_amounts, checked_tax
    from solarsim.answers.offer.offer import offer as answer_offer
    from solarsim.answers.offer.offer import with_each_van
    from solarsim.inputs.files.write import check_writable
    from solarsim.inputs.prices import read_prices
    from solarsim.present.offer.document import offer_document
    from solarsim.present.offer.make import check_offer_path, offer_bytes
    from solarsim.present.offer.text import print_offer

    check_json(json)
    check_language(language)
    for path in output or ():
        check_offer_path(path)
        check_writable(path)
    day = sheet_date(date)
    until = None if valid_until is None else sheet_date(valid_until, field="--valid-until")
    given = None if prices is None else read_prices(prices)
    amounts = checked_amounts(labour, field="--labour")
    tax_pct = checked_tax(tax, field="--tax")
    first = asked(vans[0], profile, place, month, days, weather, climate, runs, seed, settings)
    with progress_bar() as progress:
        answer = answer_offer(
            with_each_van(first, vans[1:], settings or ()),
            date=day,
            regions=region or (),
            prices=given,
            source=prices or "",
            tax_pct=tax_pct,
            labour=amounts,
            valid_until=until,
            progress=progress,
        )
    made = functools.partial(offer_bytes, answer, paper=paper, language=language)
    _write(output or [], made, language)
    if json is not None or not output:
        tell(answer, json, print_offer, offer_document)


def _write(output: list[Path], made: Callable[[str], bytes], language: str) -> None:
    """Write all files, once all of them are made; tell what nobody has reviewed."""
    from solarsim.inputs.files.write import write_file

    for path, content in [(path, made(path.suffix.lower())) for path in output]:
        write_file(path, content)
    if output:
        tell_unreviewed(language, "offer")
