"""What the commands do with an answer: print it, draw it, write it, whole or not at all."""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

from solarsim.errors import InputError

if TYPE_CHECKING:
    from rich.console import Console

    from solarsim.answers.question import Question
    from solarsim.answers.simulation.run import Progress

__all__ = [
    "check_cables",
    "check_file",
    "check_json",
    "check_plot",
    "console",
    "emit",
    "progress_bar",
    "tell",
    "tell_aside",
    "tell_places",
]


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
    check_file(target, ".csv", field="--cables")


def check_file(target: Path | None, ending: str, *, field: str) -> None:
    """Refuse a file of another ending or that could not be written, before any work for it."""
    if target is not None:
        from solarsim.inputs.files.write import check_writable

        if target.suffix.lower() != ending:
            raise InputError(f"must end in {ending}", source=str(target), field=field)
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


def tell_aside(line: str) -> None:
    """Print a line on standard error, beside the answer."""
    print(f"solarsim: {line}", file=sys.stderr)


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
