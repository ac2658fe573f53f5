"""The command that serves the workshop app, on this machine or on the workshop's own network."""

from __future__ import annotations

import ipaddress
import os
import socket
import sys
import tomllib
from pathlib import Path
from typing import Annotated, Any

import typer

from solarsim.cli.visitors_code import CODE_PARAMETER, CODE_VARIABLE, new_code, written_code
from solarsim.errors import InputError

__all__ = ["serve", "settings_of"]

_THIS_MACHINE = "127.0.0.1"
_PORTS_TRIED = 10
_PACKAGE = Path(__file__).resolve().parents[1]


def serve(
    lan: Annotated[
        bool,
        typer.Option("--lan", help="Serve the network that this machine is on, behind a code."),
    ] = False,
    address: Annotated[
        str | None,
        typer.Option(
            help="This machine's address on that network.", show_default="found by itself"
        ),
    ] = None,
    port: Annotated[int, typer.Option(help="Port; taken ones are passed over.")] = 8501,
    yes: Annotated[bool, typer.Option("--yes", help="Serve the network without asking.")] = False,
) -> None:
    """Open the workshop app in a browser on this machine; with --lan on phones nearby as well.

    With --lan it first asks, then shows a code for visitors and a QR code to scan. Nothing of a
    design is shown without the code, which is new at each start. What travels is not encrypted.
    """
    if not 1024 <= port <= 65535:
        raise InputError(f"got {port}; must be from 1024 to 65535", field="--port")
    if not lan and (address is not None or yes):
        field = "--yes" if address is None else "--address"
        raise InputError("goes with --lan alone", field=field)
    host = _own_address(address) if lan else _THIS_MACHINE
    free = _free_port(host, port)
    # Never a code of somebody else's choice.
    os.environ.pop(CODE_VARIABLE, None)
    link = f"http://{host}:{free}"
    if lan:
        _ask_first(link, yes=yes)
        os.environ[CODE_VARIABLE] = code = new_code()
        _show_code(link, code)
    else:
        print(f"The app is at {link}, for this machine alone. Ctrl-C ends it.")
    sys.stdout.flush()
    _run(settings_of(host, free))


def settings_of(host: str, port: int) -> dict[str, Any]:
    """Return the server's settings: those that ship with the app, for this address alone.

    Names are those of the server's flags: ``"server_port"`` for ``port`` in the table ``server``.
    """
    shipped = _PACKAGE / "app" / "config.toml"
    if not shipped.is_file():
        shipped = _PACKAGE.parent / ".streamlit" / "config.toml"
    tables = tomllib.loads(shipped.read_text(encoding="utf-8"))
    tables["server"] |= {
        "address": host,
        "port": port,
        "headless": True,
        # A visitor's browser names the host it asked; any other name is somebody else's trick.
        "allowedHosts": sorted({host, "localhost"} if host == _THIS_MACHINE else {host}),
        "fileWatcherType": "none",
    }
    tables["browser"] |= {"serverAddress": host}
    # Said by the command itself.
    tables["logger"] = {"hideWelcomeMessage": True}
    return dict(_flat(tables))


def _flat(tables: dict[str, Any], above: str = "") -> list[tuple[str, Any]]:
    found: list[tuple[str, Any]] = []
    for name, value in tables.items():
        inner = isinstance(value, dict)
        found += _flat(value, f"{above}{name}_") if inner else [(f"{above}{name}", value)]
    return found


def _own_address(given: str | None) -> str:
    """Return this machine's address on a private network; RFC 1918 and what else is not routed."""
    field = "--address"
    if given is None:
        given = _default_address()
    try:
        address = ipaddress.IPv4Address(given)
    except ValueError:
        message = f"got {given!r}; must be an IPv4 address of this machine, such as 192.168.1.20"
        raise InputError(message, field=field) from None
    if not address.is_private or address.is_unspecified:
        message = f"got {given}; must be an address of a private network, such as 192.168.1.20"
        raise InputError(message, field=field)
    return str(address)


def _default_address() -> str:
    try:
        # Nothing is sent: the system only says from where it would (RFC 5737, TEST-NET-3).
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
            probe.connect(("203.0.113.1", 9))
            return str(probe.getsockname()[0])
    except OSError:
        message = "this machine seems to be on no network; join one, or name the address"
        raise InputError(message, field="--address") from None


def _free_port(host: str, first: int) -> int:
    for port in range(first, min(first + _PORTS_TRIED, 65536)):
        with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as spot:
            if os.name != "nt":
                # As the server takes it: what was ended a moment ago is free.
                spot.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                spot.bind((host, port))
            except PermissionError:
                continue
            except OSError as error:
                if port == first and not _is_taken(error):
                    message = f"got {host}; must be an address of this machine"
                    raise InputError(message, field="--address") from None
                continue
            return port
    message = f"got {first}; it and the next {_PORTS_TRIED - 1} are taken, name another"
    raise InputError(message, field="--port")


def _is_taken(error: OSError) -> bool:
    import errno

    return error.errno in {errno.EADDRINUSE, errno.EACCES}


def _ask_first(link: str, *, yes: bool) -> None:
    print(
        f"This serves the app at {link} to every device on this machine's network.\n"
        "Visitors need a code, which is new at each start; each begins with a design of their "
        "own.\n"
        "Not protected: the page travels as plain HTTP. Whoever listens in on the network can read "
        "the\ncode and all that is shown or typed. Serve a network that you trust, never a public "
        "one."
    )
    if yes:
        return
    if sys.stdin is None or not sys.stdin.isatty():
        raise InputError("nobody is here to ask; scripts say --yes", field="--lan")
    if not typer.confirm("Serve it?", default=False):
        print("Nothing was served.")
        raise typer.Exit


def _show_code(link: str, code: str) -> None:
    import segno

    sign = segno.make(f"{link}/?{CODE_PARAMETER}={code}", micro=False, error="m")
    try:
        "█▀▄".encode(sys.stdout.encoding or "ascii")
    except UnicodeError:
        print("\n(This console knows too few signs for a QR code.)")
    else:
        print()
        sign.terminal(compact=True)
    print(
        f"Scan it, or open {link} and type the code {written_code(code)}.\n"
        "If a phone finds nothing there, this machine's firewall must let the port through. "
        "Ctrl-C ends it."
    )


def _run(settings: dict[str, Any]) -> None:
    """Run the server until Ctrl-C."""
    # Its own command line does no more than this, but takes no lists of tables.
    from streamlit.web import bootstrap

    script = str(_PACKAGE / "app" / "served" / "page.py")
    bootstrap.load_config_options(settings)
    bootstrap.run(script, False, [], settings)
