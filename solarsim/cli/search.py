"""The command that searches the best builds."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from solarsim.cli.options import (
    EXAMPLE_VAN,
    ClimateOption,
    DaysOption,
    JsonOption,
    PlaceOption,
    PlacesOption,
    ProfileOption,
    RunsOption,
    SeedOption,
    SetOption,
    VanArgument,
    WeatherOption,
    asked,
)
from solarsim.cli.output import check_file, check_json, progress_bar, tell, tell_aside
from solarsim.inputs.counts import count_text

if TYPE_CHECKING:
    from solarsim.answers.search.designs import SearchAnswer

__all__ = ["search"]

MonthsOption = Annotated[
    str | None, typer.Option("--month", help="Months in which it must hold: '1,7' or '5-9'.")
]
PanelsOption = Annotated[
    str | None,
    typer.Option(
        help="Panel counts to try: '0-8', '2,4,6'.",
        show_default="all that fit; 0-8 without a roof",
    ),
]
KindsOption = Annotated[
    str | None,
    typer.Option(
        help="Panels to try: names of the library, 'own', 'library'.",
        show_default="library; with prices, those that have one",
    ),
]
TiltOption = Annotated[
    str | None, typer.Option(help="Panel tilts to try, degrees: '0,20'.", show_default="the van's")
]
BatteriesOption = Annotated[
    str | None,
    typer.Option(
        help="Batteries to try: names of the library, 'own', 'library'.", show_default="own"
    ),
]
StringsOption = Annotated[
    str | None, typer.Option(help="Parallel battery strings to try.", show_default="1-12")
]
DcdcOption = Annotated[
    str | None,
    typer.Option(help="DC-DC chargers to try, A: '30,60'.", show_default="the van's"),
]
ControllersOption = Annotated[
    str | None,
    typer.Option(
        help="Solar controllers to try, A: '20,30,50'.", show_default="what the panels need"
    ),
]
TargetOption = Annotated[
    float | None,
    typer.Option(
        help="Days that nine stays in ten must last.",
        show_default="the whole stay, with stay.target_chance",
    ),
]
MaxPriceOption = Annotated[
    float | None, typer.Option(help="What the parts that are chosen here may cost.")
]
MaxKgOption = Annotated[
    float | None,
    typer.Option(help="What panels with mounts, batteries, controller, DC-DC charger may weigh."),
]
MaxRiseOption = Annotated[
    float | None,
    typer.Option(help="How high a tilted panel's raised edge may stand above its lower one, m."),
]
PricesOption = Annotated[
    str | None,
    typer.Option(help="Prices and weights of parts, a TOML file or a shipped example's name."),
]
WriteOption = Annotated[
    Path | None, typer.Option(help="Folder for the best designs, a van's file each.")
]
CsvOption = Annotated[Path | None, typer.Option(help="Write the best designs as .csv.")]


def search(
    van: VanArgument = EXAMPLE_VAN,
    profile: ProfileOption = None,
    place: PlaceOption = None,
    month: MonthsOption = None,
    days: DaysOption = None,
    weather: WeatherOption = None,
    climate: ClimateOption = None,
    runs: RunsOption = None,
    seed: SeedOption = 1,
    settings: SetOption = None,
    places: PlacesOption = None,
    panels: PanelsOption = None,
    kinds: KindsOption = None,
    tilt: TiltOption = None,
    batteries: BatteriesOption = None,
    strings: StringsOption = None,
    dcdc: DcdcOption = None,
    controllers: ControllersOption = None,
    target_days: TargetOption = None,
    max_price: MaxPriceOption = None,
    max_parts_kg: MaxKgOption = None,
    max_rise_m: MaxRiseOption = None,
    prices: PricesOption = None,
    write: WriteOption = None,
    csv: CsvOption = None,
    json: JsonOption = None,
) -> None:
    """The best builds of many parts: no other matches them in price, weight and days.

    Every design meets the same weather at each place in each month, and counts as it does where and
    when it is worst. What is named fits on the roof and passes the electrical check.
    """
    check_json(json)
    check_file(csv, ".csv", field="--csv")
    from solarsim.answers.search.search import search as answer_search
    from solarsim.door.searching import checked_limits
    from solarsim.inputs.files.places import read_places
    from solarsim.inputs.lists import read_counts, read_listed, read_numbers
    from solarsim.inputs.prices import read_prices
    from solarsim.present.search.document import check_folder

    if write is not None:
        check_folder(write)
    limits = checked_limits(target_days, max_price, max_parts_kg, max_rise_m, option=True)
    months = read_counts(month, field="--month", least=1, most=12) or []
    first = months[0] if months else None
    question = asked(van, profile, place, first, days, weather, climate, runs, seed, settings)
    with progress_bar() as progress:
        answer = answer_search(
            question,
            places=() if places is None else read_places(places),
            months=months,
            panels=read_counts(panels, field="--panels", least=0, most=60),
            kinds=read_listed(kinds, field="--kinds"),
            tilts_deg=read_numbers(tilt, field="--tilt", least=0.0, most=90.0),
            batteries=read_listed(batteries, field="--batteries"),
            strings=read_counts(strings, field="--strings", least=1, most=96),
            dcdc_a=read_numbers(dcdc, field="--dcdc", least=0.0, most=400.0),
            controllers_a=read_numbers(controllers, field="--controllers", least=1.0, most=500.0),
            limits=limits,
            prices=None if prices is None else read_prices(prices),
            progress=progress,
        )
    _tell(answer, write, csv, json)


def _tell(answer: SearchAnswer, write: Path | None, csv: Path | None, json: str | None) -> None:
    from solarsim.inputs.files.write import write_file
    from solarsim.present.search.document import search_csv, search_document, write_vans
    from solarsim.present.search.text import print_search

    if csv is not None:
        write_file(csv, search_csv(answer))
    if write is not None:
        written = write_vans(answer, write)
        tell_aside(f"{count_text(len(written), 'van file')} in {write}")
    tell(answer, json, print_search, search_document)
