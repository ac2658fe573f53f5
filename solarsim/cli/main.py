"""The command line: reads options, asks, prints. No physics and no arithmetic here."""

from __future__ import annotations

import functools
import os
import sys
from typing import Annotated

import typer
from typer.exceptions import TyperException

from solarsim.cli.history import calibrate, history, weather_app
from solarsim.cli.options import (
    Asks,
    CablesOption,
    JsonOption,
    PlaceOption,
    PlacesOption,
    PlotOption,
    about_a_question,
    check_cables,
    check_json,
    check_plot,
    console,
    emit,
    progress_bar,
    tell,
    tell_places,
)
from solarsim.cli.sheet import sheet
from solarsim.errors import InputError

__all__ = ["app", "main"]

app = typer.Typer(
    help="How many days a camper van lasts off grid, from real weather. "
    "Without arguments `solarsim stay` answers for the shipped example.",
    add_completion=False,
    pretty_exceptions_enable=False,
)
app.command()(sheet)


@app.command()
@about_a_question
def stay(ask: Asks, json: JsonOption = None, plot: PlotOption = None) -> None:
    """How many days the van lasts, with the chance, the state of charge and the energy."""
    check_plot(plot)
    check_json(json)
    from solarsim.answers.stay import stay as answer_stay
    from solarsim.present.stay.documents import stay_document
    from solarsim.present.stay.text import print_stay

    question = ask()
    with progress_bar() as progress:
        answer = answer_stay(question, progress=progress)
    if plot is not None:
        from solarsim.inputs.files.write import write_file
        from solarsim.present.stay.charts import plot_bytes

        write_file(plot, plot_bytes(answer, plot.suffix.lower()))
    tell(answer, json, print_stay, stay_document)


@app.command()
@about_a_question
def bank(ask: Asks, json: JsonOption = None) -> None:
    """Find the smallest bank that lasts the stay, in units that can be bought."""
    check_json(json)
    from solarsim.answers.bank import bank as answer_bank
    from solarsim.present.stay.documents import bank_document
    from solarsim.present.stay.text import print_bank

    question = ask()
    with progress_bar() as progress:
        answer = answer_bank(question, progress=progress)
    tell(answer, json, print_bank, bank_document)


@app.command()
@about_a_question
def tune(
    ask: Asks,
    panels: Annotated[
        str | None,
        typer.Option(
            help="Panel counts to try: '0-8', '2,4,6'. [default: all that fit; 0-8 without a roof]"
        ),
    ] = None,
    strings: Annotated[
        str | None, typer.Option(help="Parallel battery strings to try. [default: 1-12]")
    ] = None,
    chemistry: Annotated[
        str | None, typer.Option(help="Chemistries to try as well: 'lfp,agm'.")
    ] = None,
    dcdc: Annotated[
        str | None, typer.Option(help="DC-DC chargers to try as well, A: '30,60'.")
    ] = None,
    tilt: Annotated[
        str | None, typer.Option(help="Panel tilts to try as well, degrees: '0,20'.")
    ] = None,
    horizon: Annotated[
        int | None, typer.Option(help="Days to follow; the stay's own is quickest. [default: 30]")
    ] = None,
    places: PlacesOption = None,
    json: JsonOption = None,
    plot: PlotOption = None,
) -> None:
    """Panel count against bank size on the same weather: what to build."""
    check_plot(plot)
    check_json(json)
    from solarsim.answers.question import with_horizon
    from solarsim.answers.tune import tune as answer_tune
    from solarsim.inputs.lists import read_counts, read_names, read_numbers
    from solarsim.power.chemistry import CHEMISTRY_NAMES
    from solarsim.present.compare.documents import tune_document
    from solarsim.present.compare.text import print_tune

    answer_all = functools.partial(
        answer_tune,
        panels=read_counts(panels, field="--panels", least=0, most=60),
        strings=read_counts(strings, field="--strings", least=1, most=96),
        chemistries=read_names(chemistry, field="--chemistry", known=CHEMISTRY_NAMES),
        dcdc_a=read_numbers(dcdc, field="--dcdc", least=0.0, most=400.0),
        tilts_deg=read_numbers(tilt, field="--tilt", least=0.0, most=90.0),
    )
    if places is not None and plot is not None:
        raise InputError("draws one place; leave --places out", field="--plot")
    question = with_horizon(ask(), horizon)
    if places is not None:
        tell_places(
            question,
            places,
            answer_all,
            json=json,
            show=print_tune,
            document=tune_document,
        )
        return
    with progress_bar() as progress:
        answer = answer_all(question, progress=progress)
    if plot is not None:
        from solarsim.inputs.files.write import write_file
        from solarsim.present.compare.heat_map import heat_map_bytes

        write_file(plot, heat_map_bytes(answer, plot.suffix.lower()))
    tell(answer, json, print_tune, tune_document)


@app.command()
@about_a_question
def levers(ask: Asks, json: JsonOption = None) -> None:
    """What one change is worth in days, ranked, on the same weather."""
    check_json(json)
    from solarsim.answers.levers import levers as answer_levers
    from solarsim.present.compare.documents import levers_document
    from solarsim.present.compare.text import print_levers

    question = ask()
    with progress_bar() as progress:
        answer = answer_levers(question, progress=progress)
    tell(answer, json, print_levers, levers_document)


@app.command()
@about_a_question
def seasons(ask: Asks, places: PlacesOption = None, json: JsonOption = None) -> None:
    """All twelve months, with the light and warmth that cause the answer."""
    check_json(json)
    from solarsim.answers.seasons import seasons as answer_seasons
    from solarsim.present.compare.documents import seasons_document
    from solarsim.present.compare.text import print_seasons

    question = ask()
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


@app.command()
@about_a_question
def check(ask: Asks, cables: CablesOption = None, json: JsonOption = None) -> None:
    """Voltages, currents, cables and fuses against published rules."""
    check_json(json)
    check_cables(cables)
    from solarsim.electrical.check import check_van
    from solarsim.present.check.documents import cables_csv, check_document
    from solarsim.present.check.text import print_check

    question = ask()
    answer = check_van(
        question.van,
        question.profile,
        question.place,
        climate=question.climate,
        series=question.series,
    )
    if cables is not None:
        from solarsim.inputs.files.write import write_file

        write_file(cables, cables_csv(answer).encode())
    tell(answer, json, print_check, check_document)


@app.command()
@about_a_question
def roof(
    ask: Asks,
    parts: Annotated[
        str | None,
        typer.Option(help="Panels of the library to place, mixed: '200 W rigid,100 W rigid'."),
    ] = None,
    json: JsonOption = None,
    plot: PlotOption = None,
) -> None:
    """What fits on the roof, where, and what each thing up there costs in panels."""
    check_plot(plot)
    check_json(json)
    from solarsim.answers.question import NoInverterError
    from solarsim.answers.roof import roof as answer_roof
    from solarsim.present.roof.document import roof_document
    from solarsim.present.roof.text import print_roof

    names = [] if parts is None else [name.strip() for name in parts.split(",")]
    try:
        question = ask()
    except NoInverterError as error:
        # Panels lie where they lie, whatever they feed; the answer warns of it.
        question = error.question
    answer = answer_roof(question, parts=names)
    if plot is not None:
        from solarsim.inputs.files.write import write_file
        from solarsim.present.roof.plan import roof_plan_bytes

        write_file(plot, roof_plan_bytes(answer, plot.suffix.lower()))
    tell(answer, json, print_roof, roof_document)


@app.command()
def climate(
    place: PlaceOption = None,
    json: JsonOption = None,
) -> None:
    """Light and temperature month by month: what the answers stand on."""
    check_json(json)
    from solarsim.inputs.stay import DEFAULT_PLACE
    from solarsim.weather.climate.bundle import load_site_climate
    from solarsim.weather.climate.monthly import monthly_table
    from solarsim.weather.places import find_place

    where = find_place(DEFAULT_PLACE if place is None else place)
    months = monthly_table(where, load_site_climate(where))
    if json is None:
        from solarsim.present.stay.text import print_climate

        print_climate(where, months, console())
    else:
        from solarsim.present.stay.documents import climate_document

        emit(climate_document(where, months), json)


@app.command()
def parts(json: JsonOption = None) -> None:
    """List the parts library: panels, batteries and appliances, with their sources."""
    check_json(json)
    from solarsim.inputs.parts import part_tables

    kinds = {kind: part_tables(kind) for kind in ("panels", "batteries", "appliances")}
    if json is None:
        from solarsim.present.stay.text import print_parts

        print_parts(kinds, console())
    else:
        emit({"schema": 1, **kinds}, json)


app.command()(history)
app.command()(calibrate)
app.add_typer(weather_app, name="weather")


def main() -> None:
    """Run the command line; bad input prints one clear line and exits with 2."""
    arguments = _with_bare_json(sys.argv[1:]) or ["--help"]
    try:
        app(arguments, prog_name="solarsim", standalone_mode=False)
    except InputError as error:
        sys.exit(_refused(str(error)))
    except TyperException as error:
        sys.exit(_refused(error.format_message()))
    except typer.Abort:
        sys.exit(130)
    except BrokenPipeError:
        # The reader (a pager, `head`) has seen enough; nothing more can be said to it.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(1)


def _refused(message: str) -> int:
    print(f"solarsim: {message}", file=sys.stderr)
    return 2


def _with_bare_json(arguments: list[str]) -> list[str]:
    """Let a bare ``--json`` stand for ``--json -``."""
    out = []
    for index, argument in enumerate(arguments):
        out.append(argument)
        following = arguments[index + 1 : index + 2]
        if argument == "--json" and (not following or following[0].startswith("--")):
            out.append("-")
    return out
