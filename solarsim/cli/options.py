"""Options that the commands share, and what they do with an answer."""

from __future__ import annotations

import contextlib
import inspect
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, get_type_hints

import typer

from solarsim.errors import InputError

if TYPE_CHECKING:
    from rich.console import Console

    from solarsim.answers.question import Question
    from solarsim.answers.simulation.run import Progress

__all__ = [
    "Asks",
    "CablesOption",
    "JsonOption",
    "PlaceOption",
    "PlacesOption",
    "PlotOption",
    "about_a_question",
    "check_cables",
    "check_json",
    "check_plot",
    "console",
    "emit",
    "progress_bar",
    "tell",
    "tell_places",
]

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
    str | None,
    typer.Option(help="EPW, TMY3, TMY2, NSRDB or plain CSV file, not the embedded climate."),
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
PlotOption = Annotated[
    Path | None, typer.Option(help="Draw the answer into a file: .html, .png or .svg.")
]
PlacesOption = Annotated[
    Path | None,
    typer.Option(help="CSV of places, each answered; heading 'place', or 'latitude,longitude'."),
]
CablesOption = Annotated[
    Path | None, typer.Option(help="Write the table of wires and fuses to a .csv file.")
]
JsonOption = Annotated[
    str | None,
    typer.Option(
        "--json", metavar="[FILE]", help="Write JSON to FILE.json, or to standard output."
    ),
]


def about_a_question(command: Callable[..., None]) -> Callable[..., None]:
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
        # An argument that a command cannot do without comes before the van.
        for parameter in sorted(shared + added, key=lambda p: p.default is not p.empty)
    ]
    with_options.__signature__ = inspect.Signature(parameters)  # type: ignore[attr-defined]
    with_options.__annotations__ = {p.name: p.annotation for p in parameters}
    with_options.__name__, with_options.__doc__ = command.__name__, command.__doc__
    return with_options


def check_json(target: str | None) -> None:
    """Refuse a target for JSON that could not be written, before any work is done for it."""
    if target is not None and target != "-":
        from solarsim.inputs.files.write import check_writable

        # Any other ending may be a van's file or name that stands after a bare --json.
        if not target.lower().endswith(".json"):
            message = "must end in .json, or be '-' or nothing for standard output"
            raise InputError(message, source=target, field="--json")
        check_writable(Path(target))


def check_cables(target: Path | None) -> None:
    """Refuse a file for the table of wires that could not be written, before any work for it."""
    if target is not None:
        from solarsim.inputs.files.write import check_writable

        if target.suffix.lower() != ".csv":
            raise InputError("must end in .csv", source=str(target), field="--cables")
        check_writable(target)


def check_plot(target: Path | None) -> None:
    """Refuse a picture's file that could not be written, before any work is done for it."""
    if target is not None:
        from solarsim.inputs.files.write import check_writable
        from solarsim.present.stay.charts import check_plot_path

        check_plot_path(target)
        check_writable(target)


def tell(
    answer: Any,
    json: str | None,
    show: Callable[[Any, Console], None],
    document: Callable[[Any], dict[str, Any]],
) -> None:
    """Print an answer, or write its document."""
    if json is None:
        show(answer, console())
    else:
        emit(document(answer), json)


def tell_places(
    question: Question,
    places: Path,
    answer: Callable[[Question], Any],
    *,
    json: str | None,
    show: Callable[[Any, Console], None],
    document: Callable[[Any], dict[str, Any]],
) -> None:
    """Answer a question at every place of a file and print them all, or write one document."""
    from solarsim.answers.many_places import at_places
    from solarsim.inputs.files.places import read_places

    with progress_bar() as progress:
        answers = at_places(question, read_places(places), answer, progress=progress)
    if json is None:
        for one in answers:
            show(one, console())
    else:
        emit({"schema": 1, "places": [document(one) for one in answers]}, json)


def emit(document: dict[str, Any], target: str) -> None:
    """Write a document to a file, or to standard output for ``-``."""
    from solarsim.inputs.files.write import write_file
    from solarsim.present.stay.documents import to_json

    text = to_json(document)
    if target == "-":
        sys.stdout.write(text)
    else:
        write_file(Path(target), text.encode())


def console() -> Console:
    """Return the terminal to print on."""
    from rich.console import Console

    return Console(highlight=False)


@contextlib.contextmanager
def progress_bar(doing: str = "simulating") -> Iterator[Progress]:
    """Show a bar on standard error once the work has taken a second."""
    import time

    from rich.console import Console
    from rich.progress import Progress as Bar

    begun = time.monotonic()
    with Bar(console=Console(stderr=True), transient=True, disable=not sys.stderr.isatty()) as bar:
        task = bar.add_task(doing, total=None, visible=False)

        def report(done: int, total: int) -> None:
            bar.update(task, completed=done, total=total, visible=time.monotonic() - begun > 1.0)

        yield report
