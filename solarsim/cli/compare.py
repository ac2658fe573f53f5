"""Commands that set designs and months side by side."""

from __future__ import annotations

import functools
from typing import Annotated

import typer

from solarsim.cli.options import (
    EXAMPLE_VAN,
    ClimateOption,
    DaysOption,
    JsonOption,
    MonthOption,
    PlaceOption,
    PlacesOption,
    PlotOption,
    ProfileOption,
    RunsOption,
    SeedOption,
    SetOption,
    VanArgument,
    WeatherOption,
    asked,
)
from solarsim.cli.output import (
    check_json,
    check_plot,
    progress_bar,
    tell,
    tell_places,
)
from solarsim.errors import InputError

__all__ = ["levers", "seasons", "tune"]

PanelsOption = Annotated[
    str | None,
    typer.Option(
        help="Panel counts to try: '0-8', '2,4,6'.",
        show_default="all that fit; 0-8 without a roof",
    ),
]
StringsOption = Annotated[
    str | None, typer.Option(help="Parallel battery strings to try.", show_default="1-12")
]
ChemistryOption = Annotated[str | None, typer.Option(help="Chemistries to try as well: 'lfp,agm'.")]
DcdcOption = Annotated[str | None, typer.Option(help="DC-DC chargers to try as well, A: '30,60'.")]
TiltOption = Annotated[
    str | None, typer.Option(help="Panel tilts to try as well, degrees: '0,20'.")
]
PricesOption = Annotated[
    str | None,
    typer.Option(help="Prices and weights of parts, a TOML file or a shipped example's name."),
]
MaxKgOption = Annotated[
    float | None, typer.Option(help="What all that `buy` lists for a design may weigh, kg.")
]
FollowDaysOption = Annotated[
    int | None,
    typer.Option(help="Days to follow; the stay's own is quickest.", show_default="30"),
]


def tune(
    van: VanArgument = EXAMPLE_VAN,
    profile: ProfileOption = None,
    place: PlaceOption = None,
    month: MonthOption = None,
    days: DaysOption = None,
    weather: WeatherOption = None,
    climate: ClimateOption = None,
    runs: RunsOption = None,
    seed: SeedOption = 1,
    settings: SetOption = None,
    panels: PanelsOption = None,
    strings: StringsOption = None,
    chemistry: ChemistryOption = None,
    dcdc: DcdcOption = None,
    tilt: TiltOption = None,
    prices: PricesOption = None,
    max_kg: MaxKgOption = None,
    follow_days: FollowDaysOption = None,
    places: PlacesOption = None,
    json: JsonOption = None,
    plot: PlotOption = None,
) -> None:
    """Panel count against bank size on the same weather: what to build.

    It picks the cheapest design that lasts, fits on the roof and passes the electrical check: by
    your prices (panels.cost and battery.cost, or --prices), without them by what parts usually cost
    beside each other.
    """
    check_plot(plot)
    check_json(json)
    from solarsim.answers.tune.tune import tune as answer_tune
    from solarsim.inputs.lists import read_counts, read_names, read_numbers
    from solarsim.inputs.prices import checked_max_kg, read_prices
    from solarsim.power.chemistry import CHEMISTRY_NAMES
    from solarsim.present.compare.documents import tune_document
    from solarsim.present.compare.tune_text import print_tune

    answer_all = functools.partial(
        answer_tune,
        panels=read_counts(panels, field="--panels", least=0, most=60),
        strings=read_counts(strings, field="--strings", least=1, most=96),
        chemistries=read_names(chemistry, field="--chemistry", known=CHEMISTRY_NAMES),
        dcdc_a=read_numbers(dcdc, field="--dcdc", least=0.0, most=400.0),
        tilts_deg=read_numbers(tilt, field="--tilt", least=0.0, most=90.0),
        prices=None if prices is None else read_prices(prices),
        max_kg=checked_max_kg(max_kg, field="--max-kg"),
    )
    if places is not None and plot is not None:
        raise InputError("draws one place; leave --places out", field="--plot")
    question = asked(van, profile, place, month, days, weather, climate, runs, seed, settings)
    question = question.replace(follow_days=follow_days)
    if places is not None:
        tell_places(
            question, places, answer_all, json=json, show=print_tune, document=tune_document
        )
        return
    with progress_bar() as progress:
        answer = answer_all(question, progress=progress)
    if plot is not None:
        from solarsim.inputs.files.write import write_file
        from solarsim.present.compare.heat_map import heat_map_bytes

        write_file(plot, heat_map_bytes(answer, plot.suffix.lower()))
    tell(answer, json, print_tune, tune_document)


def levers(
    van: VanArgument = EXAMPLE_VAN,
    profile: ProfileOption = None,
    place: PlaceOption = None,
    month: MonthOption = None,
    days: DaysOption = None,
    weather: WeatherOption = None,
    climate: ClimateOption = None,
    runs: RunsOption = None,
    seed: SeedOption = 1,
    settings: SetOption = None,
    json: JsonOption = None,
) -> None:
    """What one change is worth in days, ranked, on the same weather."""
    check_json(json)
    from solarsim.answers.levers import levers as answer_levers
    from solarsim.present.compare.documents import levers_document
    from solarsim.present.compare.text import print_levers

    question = asked(van, profile, place, month, days, weather, climate, runs, seed, settings)
    with progress_bar() as progress:
        answer = answer_levers(question, progress=progress)
    tell(answer, json, print_levers, levers_document)


def seasons(
    van: VanArgument = EXAMPLE_VAN,
    profile: ProfileOption = None,
    place: PlaceOption = None,
    month: MonthOption = None,
    days: DaysOption = None,
    weather: WeatherOption = None,
    climate: ClimateOption = None,
    runs: RunsOption = None,
    seed: SeedOption = 1,
    settings: SetOption = None,
    places: PlacesOption = None,
    json: JsonOption = None,
) -> None:
    """All twelve months, with the light and warmth that cause the answer."""
    check_json(json)
    from solarsim.answers.seasons import seasons as answer_seasons
    from solarsim.present.compare.documents import seasons_document
    from solarsim.present.compare.text import print_seasons

    question = asked(van, profile, place, month, days, weather, climate, runs, seed, settings)
    if places is not None:
        tell_places(
            question,
            places,
            answer_seasons,
            json=json,
            show=print_seasons,
            document=seasons_document,
        )
        return
    with progress_bar() as progress:
        answer = answer_seasons(question, progress=progress)
    tell(answer, json, print_seasons, seasons_document)
