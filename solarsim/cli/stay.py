"""Commands about one stay: how long the van lasts, and the bank that would."""

from __future__ import annotations

from typing import Annotated

import typer

from solarsim.cli.options import (
    EXAMPLE_VAN,
    ClimateOption,
    DaysOption,
    JsonOption,
    MonthOption,
    PlaceOption,
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
)

__all__ = ["bank", "stay"]

PricesOption = Annotated[
    str | None,
    typer.Option(help="What fuel costs: a TOML file of prices, or a shipped example's name."),
]


def stay(
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
    plot: PlotOption = None,
    prices: PricesOption = None,
) -> None:
    """How many days the van lasts, with the chance, the state of charge and the energy."""
    check_plot(plot)
    check_json(json)
    from solarsim.answers.stay import stay as answer_stay
    from solarsim.inputs.prices import read_prices
    from solarsim.present.stay.documents import stay_document
    from solarsim.present.stay.text import print_stay

    question = asked(van, profile, place, month, days, weather, climate, runs, seed, settings)
    given = None if prices is None else read_prices(prices)
    with progress_bar() as progress:
        answer = answer_stay(question, prices=given, progress=progress)
    if plot is not None:
        from solarsim.inputs.files.write import write_file
        from solarsim.present.stay.charts import plot_bytes

        write_file(plot, plot_bytes(answer, plot.suffix.lower()))
    tell(answer, json, print_stay, stay_document)


def bank(
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
    """Find the smallest bank that lasts the stay, in units that can be bought."""
    check_json(json)
    from solarsim.answers.bank import bank as answer_bank
    from solarsim.present.stay.documents import bank_document
    from solarsim.present.stay.text import print_bank

    question = asked(van, profile, place, month, days, weather, climate, runs, seed, settings)
    with progress_bar() as progress:
        answer = answer_bank(question, progress=progress)
    tell(answer, json, print_bank, bank_document)
