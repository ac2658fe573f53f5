"""Commands about what is built: the roof, and the electrical checks."""

from __future__ import annotations

from pathlib import Path
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
    check_cables,
    check_json,
    check_plot,
    tell,
)

__all__ = ["check", "roof"]

CablesOption = Annotated[
    Path | None, typer.Option(help="Write the table of wires and fuses to a .csv file.")
]
PartsOption = Annotated[
    str | None,
    typer.Option(help="Panels of the library to place, mixed: '200 W rigid,100 W rigid'."),
]


def roof(
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
    parts: PartsOption = None,
    json: JsonOption = None,
    plot: PlotOption = None,
) -> None:
    """What fits on the roof, where, and what each thing up there costs in panels."""
    check_plot(plot)
    check_json(json)
    from solarsim.answers.roof import roof as answer_roof
    from solarsim.present.roof.document import roof_document
    from solarsim.present.roof.text import print_roof

    names = [] if parts is None else [name.strip() for name in parts.split(",")]
    # Panels lie where they lie, whatever they feed; the answer warns of it.
    question = asked(
        van, profile, place, month, days, weather, climate, runs, seed, settings, with_loads=False
    )
    answer = answer_roof(question, parts=names)
    if plot is not None:
        from solarsim.inputs.files.write import write_file
        from solarsim.present.roof.plan import roof_plan_bytes

        write_file(plot, roof_plan_bytes(answer, plot.suffix.lower()))
    tell(answer, json, print_roof, roof_document)


def check(
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
    cables: CablesOption = None,
    json: JsonOption = None,
) -> None:
    """Voltages, currents, cables and fuses against published rules."""
    check_json(json)
    check_cables(cables)
    from solarsim.answers.checked import check_question
    from solarsim.present.check.documents import cables_csv, check_document
    from solarsim.present.check.text import print_check

    question = asked(van, profile, place, month, days, weather, climate, runs, seed, settings)
    answer = check_question(question)
    if cables is not None:
        from solarsim.inputs.files.write import write_file

        write_file(cables, cables_csv(answer).encode())
    tell(answer, json, print_check, check_document)
