"""The app on the workshop's network: a visitor sees nothing before the code."""

from __future__ import annotations

import http.client
import re
import socket
import subprocess
import sys

import pytest

from tests.browser.conftest import ROOT, SIZES, wait_for
from tests.browser.test_story import headline, settled


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    """The app behind its code, away from the project's folder: where it is, and the code."""
    with socket.socket() as spot:
        spot.bind(("127.0.0.1", 0))
        port = spot.getsockname()[1]
    command = [sys.executable, "-m", "solarsim", "app", "--lan", "--yes"]
    command += ["--address", "127.0.0.1", "--port", str(port)]
    process = subprocess.Popen(
        command,
        cwd=tmp_path_factory.mktemp("elsewhere"),
        env={"PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8", "PATH": ""},
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
        encoding="utf-8",
    )
    try:
        for line in process.stdout:
            found = re.search(r"open (http\S+) and type the code (\S+)\.", line)
            if found:
                break
        else:
            pytest.fail("the command ended")
        wait_for(f"{found[1]}/", process)
        yield found[1], found[2]
    finally:
        process.terminate()
        process.wait(timeout=20)
        process.stdout.close()


@pytest.fixture
def visitor(browser, served):
    """Open the page, and note all that reaches the browser."""
    contexts = []

    def opened(query=""):
        width, height = SIZES["phone"]
        context = browser.new_context(viewport={"width": width, "height": height})
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(30_000)
        received = []
        page.on(
            "websocket",
            lambda one: one.on("framereceived", lambda frame: received.append(bytes_of(frame))),
        )
        page.goto(served[0] + query)
        return page, received

    yield opened
    for context in contexts:
        context.close()


def bytes_of(frame):
    return frame if isinstance(frame, bytes) else frame.encode()


def test_without_the_code_nothing_of_a_design_is_shown(visitor, served, faults):
    page, received = visitor("/?view=Electrical")
    box = page.get_by_label("The code from the builder's screen")
    box.wait_for()
    settled(page)
    box.fill("AAAA-AAAA")
    page.get_by_role("button", name="Open").click()
    page.get_by_text("That is not the code.").wait_for()
    settled(page)
    everything = b"".join(received)
    assert b"The code from the builder" in everything, "what is sent can be read here"
    for word in ("Weekender", "Salzburg", "Battery", "LFP", "days"):
        assert word not in page.content()
        assert word.encode() not in everything
    assert faults(page) == []
    box.fill(served[1].lower())
    page.get_by_role("button", name="Open").click()
    page.get_by_text("Weekender").first.wait_for()


def test_the_scanned_link_opens_the_app_and_the_code_leaves_the_address(visitor, served):
    page, _ = visitor(f"/?code={served[1].replace('-', '')}")
    page.get_by_text("Count on").first.wait_for()
    settled(page)
    assert "Weekender" in headline(page)
    # What takes it away comes with the page's last piece of code.
    page.wait_for_function("!location.search.includes('code=')")


def test_another_host_s_name_gets_no_session(served):
    host, port = served[0].removeprefix("http://").split(":")
    wanted = {
        "Connection": "Upgrade",
        "Upgrade": "websocket",
        "Sec-WebSocket-Version": "13",
        "Sec-WebSocket-Key": "AAAAAAAAAAAAAAAAAAAAAA==",
    }
    answers = {}
    for name in (f"{host}:{port}", f"somewhere.example:{port}"):
        line = http.client.HTTPConnection(host, int(port), timeout=20)
        line.request("GET", "/_stcore/stream", headers={"Host": name, **wanted})
        answers[name] = line.getresponse().status
        line.close()
    assert list(answers.values()) == [101, 403]
