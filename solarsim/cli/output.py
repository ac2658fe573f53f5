"""What the commands do with an answer: print it, draw it, write it, whole or not at all."""

from __future__ import annotations

import codecs
import contextlib
import io
import json
import re
import sys
import unicodedata
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

from solarsim.errors import InputError, in_one_line

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
    "let_every_letter_out",
    "progress_bar",
    "say_aside",
    "tell",
    "tell_aside",
    "tell_places",
]


# For consoles that know few letters; all others lose their accents or become "?".
_PLAIN_LETTERS = str.maketrans(
    {"≥": ">=", "≤": "<=", "–": "-", "—": "-", "×": "x", "→": "->", "°": "", "·": "-", "’": "'"}
    | dict.fromkeys("─━═", "-")
    | dict.fromkeys("│┃║", "|")
    | {"⬣": "!", "•": "-"}
)


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
        print(_for_any_console(text), end="")
    else:
        write_file(Path(target), text.encode())


def _for_any_console(text: str) -> str:
    """Return JSON as it is, or with escapes where the console does not know all of its letters."""
    try:
        text.encode(getattr(sys.stdout, "encoding", None) or "utf-8")
    except UnicodeEncodeError:
        return re.sub(r"[^\x00-\x7f]", lambda found: json.dumps(found[0])[1:-1], text)
    return text


def tell_aside(line: str) -> None:
    """Print a line on standard error, beside the answer; nothing in it steers the terminal."""
    say_aside(f"solarsim: {in_one_line(line)}")


def say_aside(line: str) -> None:
    """Print on standard error, where there is one; that it cannot be written stops nothing."""
    if sys.stderr is not None:
        with contextlib.suppress(OSError):
            print(line, file=sys.stderr)


def let_every_letter_out() -> None:
    """Write what the console's encoding does not know in other letters instead of failing."""
    codecs.register_error("plain", _in_plain_letters)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="plain")


def _in_plain_letters(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    wanted = error.object[error.start : error.end].translate(_PLAIN_LETTERS)
    letters = [c for c in unicodedata.normalize("NFKD", wanted) if not unicodedata.combining(c)]
    return "".join(c if c.isascii() else "?" for c in letters), error.end


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
