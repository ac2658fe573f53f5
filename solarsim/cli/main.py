"""The command line, put together: no physics and no arithmetic here."""

from __future__ import annotations

import atexit
import contextlib
import gc
import os
import signal
import sys
import threading
from typing import Annotated

import typer
from typer.exceptions import TyperException

from solarsim.cli.build import check, roof
from solarsim.cli.compare import levers, seasons, tune
from solarsim.cli.history import calibrate, history
from solarsim.cli.interview import interview
from solarsim.cli.library import keys, parts
from solarsim.cli.memory import keep_memory
from solarsim.cli.offer import offer
from solarsim.cli.options import whole_paragraphs
from solarsim.cli.output import let_every_letter_out, say_aside
from solarsim.cli.plans import buy, wiring
from solarsim.cli.region import region
from solarsim.cli.search import search
from solarsim.cli.serving import serve
from solarsim.cli.sheet import sheet
from solarsim.cli.stay import bank, stay
from solarsim.cli.stock import stock
from solarsim.cli.travel import trip
from solarsim.cli.weather import climate, weather_app
from solarsim.errors import InputError, WorkerError, in_one_line

__all__ = ["app", "main"]

app = typer.Typer(
    help="How many days a camper van lasts off grid, from real weather. "
    "Without arguments `solarsim stay` answers for the shipped example.",
    add_completion=False,
    pretty_exceptions_enable=False,
)
# In the order of the job: the people, the answer, what to build, the buyer, and what it stands on.
for command in (
    *(
        interview,
        stay,
        bank,
        tune,
        search,
        levers,
        seasons,
        region,
        trip,
        roof,
        check,
        wiring,
        buy,
        offer,
        sheet,
        stock,
    ),
    *(history, calibrate, climate, parts, keys),
):
    app.command(help=whole_paragraphs(command))(command)
app.command("app", help=whole_paragraphs(serve))(serve)
app.add_typer(weather_app, name="weather")


def _tell_version(wanted: bool) -> None:
    if wanted:
        from solarsim.door.version import __version__

        print(f"solarsim {__version__}")
        raise typer.Exit


@app.callback()
def _options(
    version: Annotated[
        bool,
        typer.Option("--version", callback=_tell_version, is_eager=True, help="Show the version."),
    ] = False,
) -> None:
    pass


def main() -> None:
    """Run the command line; bad input prints one clear line and exits with 2."""
    arguments = _with_bare_json(sys.argv[1:]) or ["--help"]
    # Loading the libraries makes hundreds of thousands of objects that stay: to look them over for
    # rings again and again takes a tenth of an answer's time.
    gc.set_threshold(100_000, 20, 20)
    keep_memory()
    # pandas would load it where an extra has brought it, and no command needs it.
    sys.modules.setdefault("pyarrow", None)  # type: ignore[arg-type]
    # Taking them apart one by one before the process ends takes another sixth.
    atexit.register(gc.freeze)
    let_every_letter_out()
    if threading.current_thread() is threading.main_thread():
        # What is half-written is taken away as after Ctrl-C.
        signal.signal(signal.SIGTERM, lambda *_: sys.exit(128 + signal.SIGTERM))
    try:
        # Typer gives back the code of what ended early, such as 130 after Ctrl-C.
        code = app(arguments, prog_name="solarsim", standalone_mode=False)
        if sys.stdout is not None:
            # Here, where a full disk can still be told of.
            sys.stdout.flush()
        if code:
            sys.exit(code)
    except (InputError, WorkerError) as error:
        sys.exit(_refused(str(error)))
    except TyperException as error:
        sys.exit(_refused(in_one_line(error.format_message())))
    except typer.Abort:
        sys.exit(130)
    except BrokenPipeError:
        # The reader (a pager, `head`) has seen enough; nothing more can be said to it.
        _say_no_more()
        sys.exit(1)
    except OSError as error:
        code = _refused(in_one_line(f"{error.filename or 'the output'}: {error.strerror}"))
        _say_no_more()
        sys.exit(code)


def _say_no_more() -> None:
    """Let what waits in the output go nowhere, so that it does not fail once more at the end."""
    if sys.stdout is None:
        return
    with contextlib.suppress(OSError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _refused(message: str) -> int:
    """Say why; of several faults each in a line."""
    for number, line in enumerate(message.split("\n")):
        say_aside(line if number else f"solarsim: {line}")
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
