"""`solarsim app`: this machine alone unless somebody says otherwise, and what is said then."""

from __future__ import annotations

import io
import os
import re
import socket
import sys
import tomllib
from pathlib import Path

import pytest

from solarsim.cli import serving, visitors_code
from solarsim.cli.visitors_code import CODE_VARIABLE, new_code, same_code, written_code

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def served(monkeypatch):
    """What the server would have been started with, and the code beside it."""
    runs = []
    monkeypatch.setattr(serving, "_run", lambda settings: runs.append(settings))
    # Put back after the test, whatever the command does to it.
    monkeypatch.setenv(CODE_VARIABLE, "of an earlier one")
    return runs


@pytest.fixture
def asked(monkeypatch):
    """Answer the question on a terminal."""

    def answer(line):
        typed = io.StringIO(line)
        typed.isatty = lambda: True
        monkeypatch.setattr(sys, "stdin", typed)

    return answer


def test_it_serves_this_machine_alone_by_default(cli, served):
    ran = cli("app")
    assert ran.code == 0
    (settings,) = served
    assert settings["server_address"] == "127.0.0.1"
    assert settings["server_allowedHosts"] == ["127.0.0.1", "localhost"]
    assert CODE_VARIABLE not in os.environ
    assert f"http://127.0.0.1:{settings['server_port']}" in ran.out


def test_it_takes_all_settings_that_ship(served):
    tables = tomllib.loads((ROOT / ".streamlit" / "config.toml").read_text(encoding="utf-8"))
    settings = serving.settings_of("192.168.1.20", 8501)
    assert settings["theme_light_primaryColor"] == tables["theme"]["light"]["primaryColor"]
    assert settings["theme_dark_sidebar_backgroundColor"]
    changed = {"address", "port", "headless", "allowedHosts", "fileWatcherType"}
    for name, value in tables["server"].items():
        assert name in changed or settings[f"server_{name}"] == value
    assert settings["server_enableXsrfProtection"]
    assert settings["server_enableCORS"]


def test_the_network_s_own_address_is_the_only_one_allowed(cli, served):
    ran = cli("app", "--lan", "--yes", "--address", "127.0.0.1")
    assert ran.code == 0, ran.err
    (settings,) = served
    assert settings["server_address"] == "127.0.0.1"
    assert settings["browser_serverAddress"] == "127.0.0.1"
    assert serving.settings_of("10.0.0.7", 1)["server_allowedHosts"] == ["10.0.0.7"]
    code = os.environ[CODE_VARIABLE]
    assert written_code(code) in ran.out
    assert "plain HTTP" in ran.out
    assert "▀" in ran.out, "the QR code"


def test_the_qr_code_holds_the_link(cli, served, monkeypatch):
    import segno

    made = []
    real = segno.make
    monkeypatch.setattr(segno, "make", lambda text, **how: made.append(text) or real(text, **how))
    cli("app", "--lan", "--yes", "--address", "127.0.0.1")
    port = served[0]["server_port"]
    assert made == [f"http://127.0.0.1:{port}/?code={os.environ[CODE_VARIABLE]}"]


def test_a_console_without_blocks_gets_the_code_alone(cli, served, monkeypatch):
    out = io.TextIOWrapper(io.BytesIO(), encoding="ascii", errors="replace")
    monkeypatch.setattr(sys, "stdout", out)
    cli("app", "--lan", "--yes", "--address", "127.0.0.1")
    out.seek(0)
    said = out.read()
    assert "too few signs" in said
    assert written_code(os.environ[CODE_VARIABLE]) in said


@pytest.mark.parametrize(("line", "is_served"), [("\n", 0), ("n\n", 0), ("y\n", 1)])
def test_it_asks_before_it_serves_a_network(cli, served, asked, line, is_served):
    asked(line)
    ran = cli("app", "--lan", "--address", "127.0.0.1")
    assert ran.code == 0
    assert len(served) == is_served
    assert ("Nothing was served" in ran.out) == (not is_served)
    assert (CODE_VARIABLE in os.environ) == bool(is_served)


def test_nobody_there_to_ask_is_a_no(cli, served, monkeypatch):
    monkeypatch.setattr(sys, "stdin", io.StringIO("y\n"))
    ran = cli("app", "--lan", "--address", "127.0.0.1")
    assert (ran.code, served) == (2, [])
    assert "--yes" in ran.err


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--address", "127.0.0.1"), "--address: goes with --lan alone"),
        (("--yes",), "--yes: goes with --lan alone"),
        (("--port", "80"), "--port: got 80; must be from 1024 to 65535"),
        (("--lan", "--yes", "--address", "8.8.8.8"), "must be an address of a private network"),
        (("--lan", "--yes", "--address", "0.0.0.0"), "must be an address of a private network"),
        (("--lan", "--yes", "--address", "home"), "must be an IPv4 address of this machine"),
        (("--lan", "--yes", "--address", "10.255.255.1"), "must be an address of this machine"),
    ],
)
def test_what_cannot_be_served_is_refused(cli, served, arguments, said):
    ran = cli("app", *arguments)
    assert (ran.code, served) == (2, [])
    assert said in ran.err
    assert ran.err.count("\n") == 1


def test_a_machine_without_a_network_is_told(cli, served, monkeypatch):
    class Nowhere(socket.socket):
        def connect(self, address):
            raise OSError(101, "Network is unreachable")

    monkeypatch.setattr(socket, "socket", Nowhere)
    ran = cli("app", "--lan", "--yes")
    assert (ran.code, served) == (2, [])
    assert "on no network" in ran.err


def test_a_taken_port_is_passed_over(cli, served):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        ran = cli("app", "--port", port)
    assert ran.code == 0
    assert port < served[0]["server_port"] < port + 10


def test_codes_are_new_and_easily_typed():
    codes = {new_code() for _ in range(200)}
    assert len(codes) == 200
    assert all(re.fullmatch("[0-9A-HJKMNP-TV-Z]{8}", code) for code in codes)
    for code in codes:
        assert same_code(written_code(code).lower(), code)
        assert same_code(f" {code.replace('0', 'o').replace('1', 'l')} ", code)


@pytest.mark.parametrize("typed", ["", "K7QM4TX", "K7QM4TXWW", "K7QM4TXV", "ÄÖÜ", "x" * 10_000])
def test_no_other_code_will_do(typed):
    assert not same_code(typed, "K7QM4TXW")


def test_codes_are_compared_in_constant_time(monkeypatch):
    compared = []
    monkeypatch.setattr(
        visitors_code.hmac, "compare_digest", lambda one, other: compared.append((one, other))
    )
    same_code("k7qm-4txw", "K7QM4TXW")
    assert compared == [(b"K7QM4TXW", b"K7QM4TXW")]
