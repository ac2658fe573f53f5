"""The command line: reads options, asks, prints. No physics and no arithmetic here."""

from __future__ import annotations

import contextlib
import inspect
import os
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, get_type_hints

import typer
from typer.exceptions import TyperException

from solarsim.errors import InputError

if TYPE_CHECKING:
    from rich.console import Console

    from solarsim.answers.question import Question
    from solarsim.answers.simulate import Progress

__all__ = ["app", "main"]

app = typer.Typer(
    help="How many days a camper van lasts off grid, from real weather. "
    "Without arguments `solarsim stay` answers for the shipped example.",
    add_completion=False,
    pretty_exceptions_enable=False,
)

VanArgument = Annotated[
    str, typer.Argument(metavar="[VAN]", help="A van's TOML file, or a shipped example's name.")
]
ProfileOption = Annotated[
    str | None, typer.Option(help="Load profile: a TOML file or a shipped example's name.")
]
PlaceOption = Annotated[
    str | None, typer.Option(help="A town ('Salzburg, AT') or 'latitude, longitude'.")
]
MonthOption = Annotated[int | None, typer.Option(help="Month of the stay, 1 to 12.")]
DaysOption = Annotated[int | None, typer.Option(help="Length of the stay, days.")]
WeatherOption = Annotated[
    str | None, typer.Option(help="EPW, TMY3 or TMY2 file instead of the embedded climate.")
]
RunsOption = Annotated[
    int | None, typer.Option(help="Weather runs; by default 700, or all windows of a file.")
]
SeedOption = Annotated[int, typer.Option(help="The same seed gives the same answer.")]
SetOption = Annotated[
    list[str] | None,
    typer.Option("--set", metavar="TABLE.FIELD=VALUE", help="Override any field of the van."),
]
# Puts the command's question together; bad input raises InputError then and not before.
Asks = Callable[[], Any]
JsonOption = Annotated[
    str | None,
    typer.Option(
        "--json", metavar="[FILE]", help="Write JSON to FILE.json, or to standard output."
    ),
]


def _about_a_question(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command the options that every question has; it gets a function that asks it."""

    def with_options(
        van: VanArgument = "weekender",
        profile: ProfileOption = None,
        place: PlaceOption = None,
        month: MonthOption = None,
        days: DaysOption = None,
        weather: WeatherOption = None,
        runs: RunsOption = None,
        seed: SeedOption = 1,
        settings: SetOption = None,
        **own: Any,
    ) -> None:
        def ask() -> Question:
            from solarsim.answers.question import ask as ask_question

            return ask_question(
                van,
                profile=profile,
                place=place,
                month=month,
                days=days,
                weather=weather,
                runs=runs,
                seed=seed,
                settings=settings or (),
            )

        command(ask, **own)

    shared = list(inspect.signature(with_options).parameters.values())[:-1]
    added = list(inspect.signature(command).parameters.values())[1:]
    hints = get_type_hints(command, include_extras=True) | get_type_hints(
        with_options, include_extras=True
    )
    # Typer reads the signature and the annotations: the shared options, then the command's own.
    parameters = [
        parameter.replace(kind=inspect.Parameter.KEYWORD_ONLY, annotation=hints[parameter.name])
        for parameter in shared + added
    ]
    with_options.__signature__ = inspect.Signature(parameters)  # type: ignore[attr-defined]
    with_options.__annotations__ = {p.name: p.annotation for p in parameters}
    with_options.__name__, with_options.__doc__ = command.__name__, command.__doc__
    return with_options


@app.command()
@_about_a_question
def stay(
    ask: Asks,
    json: JsonOption = None,
    plot: Annotated[
        Path | None, typer.Option(help="Draw state of charge and energy: .html, .png or .svg.")
    ] = None,
) -> None:
    """How many days the van lasts, with the chance, the state of charge and the energy."""
    from solarsim.present.files import check_writable, write_file

    if plot is not None:
        from solarsim.present.charts import check_plot_path

        check_plot_path(plot)
        check_writable(plot)
    _check_json(json)
    from solarsim.answers.stay import stay as answer_stay

    question = ask()
    with _progress() as progress:
        answer = answer_stay(question, progress=progress)
    if plot is not None:
        from solarsim.present.charts import plot_bytes

        write_file(plot, plot_bytes(answer, plot.suffix.lower()))
    if json is None:
        from solarsim.present.text import print_stay

        print_stay(answer, _console())
    else:
        from solarsim.present.documents import stay_document

        _emit(stay_document(answer), json)


@app.command()
@_about_a_question
def bank(ask: Asks, json: JsonOption = None) -> None:
    """Find the smallest bank that lasts the stay, in units that can be bought."""
    _check_json(json)
    from solarsim.answers.bank import bank as answer_bank

    question = ask()
    with _progress() as progress:
        answer = answer_bank(question, progress=progress)
    if json is None:
        from solarsim.present.text import print_bank

        print_bank(answer, _console())
    else:
        from solarsim.present.documents import bank_document

        _emit(bank_document(answer), json)


@app.command()
def climate(
    place: PlaceOption = None,
    json: JsonOption = None,
) -> None:
    """Light and temperature month by month: what the answers stand on."""
    _check_json(json)
    from solarsim.spec.stay import DEFAULT_PLACE
    from solarsim.weather.climate import load_site_climate
    from solarsim.weather.monthly import monthly_table
    from solarsim.weather.places import find_place

    where = find_place(DEFAULT_PLACE if place is None else place)
    months = monthly_table(where, load_site_climate(where))
    if json is None:
        from solarsim.present.text import print_climate

        print_climate(where, months, _console())
    else:
        from solarsim.present.documents import climate_document

        _emit(climate_document(where, months), json)


@app.command()
def parts(json: JsonOption = None) -> None:
    """List the parts library: panels, batteries and appliances, with their sources."""
    _check_json(json)
    from solarsim.spec.parts import part_tables

    kinds = {kind: part_tables(kind) for kind in ("panels", "batteries", "appliances")}
    if json is None:
        from solarsim.present.text import print_parts

        print_parts(kinds, _console())
    else:
        _emit({"schema": 1, **kinds}, json)


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


def _check_json(target: str | None) -> None:
    if target is not None and target != "-":
        from solarsim.present.files import check_writable

        # Any other ending may be a van's file or name that stands after a bare --json.
        if not target.lower().endswith(".json"):
            message = "must end in .json, or be '-' or nothing for standard output"
            raise InputError(message, source=target, field="--json")
        check_writable(Path(target))


def _emit(document: dict[str, object], target: str) -> None:
    from solarsim.present.documents import to_json
    from solarsim.present.files import write_file

    text = to_json(document)
    if target == "-":
        sys.stdout.write(text)
    else:
        write_file(Path(target), text.encode())


def _console() -> Console:
    from rich.console import Console

    return Console(highlight=False)


@contextlib.contextmanager
def _progress() -> Iterator[Progress]:
    """Show a bar on standard error once the work has taken a second."""
    import time

    from rich.console import Console
    from rich.progress import Progress as Bar

    begun = time.monotonic()
    with Bar(console=Console(stderr=True), transient=True, disable=not sys.stderr.isatty()) as bar:
        task = bar.add_task("simulating", total=None, visible=False)

        def report(done: int, total: int) -> None:
            bar.update(task, completed=done, total=total, visible=time.monotonic() - begun > 1.0)

        yield report
