"""Consoles of few letters, closed and full outputs, signals, and names that steer a terminal."""

from __future__ import annotations

import errno
import io
import json
import os
import signal
import subprocess
import sys
import time

import pytest

from tests.interrupts import heeds_interrupts

QUICK = ("stay", "--runs", "5")


@pytest.fixture
def console(monkeypatch, cli):
    """Run a command on a console of an encoding; what it printed, as bytes."""

    def run(encoding, *arguments):
        out, err = io.BytesIO(), io.BytesIO()
        monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(out, encoding=encoding))
        monkeypatch.setattr(sys, "stderr", io.TextIOWrapper(err, encoding=encoding))
        ran = cli(*arguments)
        sys.stdout.flush()
        sys.stderr.flush()
        return ran.code, out.getvalue(), err.getvalue()

    return run


@pytest.mark.parametrize("encoding", ["cp1252", "cp437", "ascii", "latin-1"])
def test_an_answer_can_be_read_on_a_console_of_few_letters(console, encoding):
    code, out, err = console(
        encoding, *QUICK, "--place", "Kraków, PL", "--set", "van.name=Šárka ≥ 2"
    )
    assert (code, err) == (0, b"")
    text = out.decode(encoding)
    assert "lasts" in text
    assert (">= 2" if encoding != "cp437" else "≥ 2") in text
    assert ("Kraków" if encoding != "ascii" else "Krakow") in text


def test_json_loses_no_letter_on_any_console(console):
    asked = (*QUICK, "--set", "van.name=Šárka ≥ 2 \U0001f690", "--json", "-")
    plain, full = (console(encoding, *asked)[1] for encoding in ("ascii", "utf-8"))
    assert json.loads(plain.decode("ascii")) == json.loads(full.decode("utf-8"))


@pytest.mark.slow
@pytest.mark.parametrize("encoding", ["cp1252", "cp437", "ascii"])
@pytest.mark.parametrize(
    "command",
    ["bank", "tune", "levers", "seasons", "roof", "check", "sheet", "climate", "parts", "keys"],
)
def test_every_command_on_a_console_of_few_letters(console, encoding, command):
    runs = () if command in ("roof", "check", "climate", "parts", "keys") else ("--runs", "5")
    code, out, _ = console(encoding, command, *runs)
    assert code == 0
    assert len(out.decode(encoding)) > 200


def test_a_closed_output_is_no_traceback(cli, monkeypatch):
    monkeypatch.setattr(sys, "stdout", None)
    monkeypatch.setattr(sys, "stderr", None)
    assert cli("check", "--json", "-").code == 0
    assert cli("check", "no-such-van").code == 2


def process(*arguments, **given):
    command = [sys.executable, "-m", "solarsim", *arguments]
    return subprocess.Popen(
        command, stderr=subprocess.PIPE, text=True, preexec_fn=heeds_interrupts, **given
    )


@pytest.mark.slow
def test_a_full_device_is_told_in_one_line():
    with open("/dev/full", "w") as full:  # noqa: PTH123
        ran = process("check", stdout=full)
        _, err = ran.communicate(timeout=60)
    assert ran.returncode == 2
    assert err == "solarsim: the output: No space left on device\n"


@pytest.mark.slow
def test_a_reader_that_goes_away_is_no_fault_of_the_answer():
    with process("keys", stdout=subprocess.PIPE) as ran:
        ran.stdout.readline()
        ran.stdout.close()
        assert ran.stderr.read() == ""
        assert ran.wait(60) in (0, 1)


@pytest.mark.slow
@pytest.mark.parametrize(("sent", "code"), [(signal.SIGINT, 130), (signal.SIGTERM, 143)])
def test_what_is_broken_off_says_so_and_leaves_nothing_behind(tmp_path, sent, code):
    target = tmp_path / "answer.json"
    ran = process("stay", "--runs", "20000", "--json", str(target), cwd=tmp_path)
    # Past the imports and before the answer.
    time.sleep(3.0)
    os.kill(ran.pid, sent)
    _, err = ran.communicate(timeout=60)
    assert ran.returncode == code
    assert "Traceback" not in err
    assert list(tmp_path.iterdir()) == []


def broken_off_at_the_start(seconds, read_end, write_end):
    """Send Ctrl-C to a command so many seconds after its own first line has been read."""
    code = (
        "import os, sys\n"
        "from solarsim.__main__ import main\n"
        f"os.write({write_end}, b'.')\n"
        "sys.argv = ['solarsim', 'stay', '--runs', '60']\n"
        "sys.exit(main())"
    )
    ran = subprocess.Popen(
        [sys.executable, "-c", code],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        pass_fds=[write_end],
        preexec_fn=heeds_interrupts,
    )
    assert os.read(read_end, 1) == b"."
    time.sleep(seconds)
    ran.send_signal(signal.SIGINT)
    _, err = ran.communicate(timeout=60)
    return ran.returncode, err


@pytest.mark.slow
def test_ctrl_c_at_any_moment_of_the_start_is_no_traceback():
    pipe = os.pipe()
    # Sixteen moments up to past the answer's own libraries, close together at the beginning. The
    # first lines themselves set up what heeds it: some milliseconds.
    ends = [broken_off_at_the_start(0.03 + 2.0 * (n / 16) ** 2, *pipe) for n in range(16)]
    for end in pipe:
        os.close(end)
    # What was done before it came ended well. In its last milliseconds the interpreter has given
    # its signals back and dies of this one, which shells call 130 as well.
    assert set(ends) <= {(130, ""), (0, ""), (-signal.SIGINT, "")}
    assert ends.count((130, "")) > 8


def test_a_full_device_under_a_closed_output_is_told(cli, monkeypatch):
    def full(*_):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(sys, "stdout", None)
    monkeypatch.setattr("solarsim.present.check.text.print_check", full)
    ran = cli("check")
    assert ran.code == 2
    assert ran.err == "solarsim: the output: No space left on device\n"


def test_a_name_steers_no_terminal(cli, tmp_path):
    name = "a\x1b[2J\nsolarsim: all is well \u202e.toml"
    ran = cli("check", name)
    assert ran.code == 2
    assert ran.err.count("\n") == 1
    assert "\\x1b[2J\\nsolarsim" in ran.err
    (tmp_path / "van.toml").write_text('"\\u001b[31m" = 1\n')
    ran = cli("check", "van.toml")
    assert ran.code == 2
    assert "\x1b" not in ran.err


def test_a_long_heading_is_cut_in_the_message(cli, tmp_path):
    (tmp_path / "van.toml").write_text(f"{'a' * 200_000} = 1\n")
    ran = cli("check", "van.toml")
    assert ran.code == 2
    assert len(ran.err) < 5_000


@pytest.mark.parametrize("name", ["a" * 300, "a/" * 3_000, "a\0b"])
def test_a_name_that_is_none_is_told_in_one_line(cli, name):
    for asked in (
        ("check", name),
        ("check", "--json", f"{name}.json"),
        ("history", "--weather", name),
    ):
        ran = cli(*asked)
        assert ran.code == 2, asked
        assert ran.err.startswith("solarsim: ")
        assert ran.err.count("\n") == 1
