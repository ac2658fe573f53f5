"""A server of our own, a headless browser, and no way out to the network."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
CHROMIUM = os.environ.get("SOLARSIM_CHROMIUM") or shutil.which("chromium") or "/usr/bin/chromium"
SIZES = {"phone": (390, 844), "desk": (1280, 800)}


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items):
    for item in items:
        if Path(__file__).parent in item.path.parents:
            item.add_marker(pytest.mark.browser)
            # A busy machine now and then loses a click; a fault fails each time. All are shown.
            item.add_marker(pytest.mark.flaky(reruns=2))


def wait_for(address, process):
    """Wait until the server answers."""
    for _ in range(300):
        assert process.poll() is None, "the server stopped"
        try:
            with urllib.request.urlopen(f"{address}_stcore/health", timeout=1):
                return
        except (urllib.error.URLError, TimeoutError):
            time.sleep(0.2)
    pytest.fail("the server does not answer")


@pytest.fixture(scope="session")
def server():
    """The app, served on a free port of this machine: its address and its process."""
    with socket.socket() as spot:
        spot.bind(("127.0.0.1", 0))
        port = spot.getsockname()[1]
    command = [sys.executable, "-m", "streamlit", "run", "app.py"]
    command += ["--server.port", str(port), "--server.fileWatcherType", "none"]
    process = subprocess.Popen(
        command, cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    found = f"http://127.0.0.1:{port}/"
    try:
        wait_for(found, process)
        yield found, process
    finally:
        process.terminate()
        process.wait(timeout=20)


@pytest.fixture(scope="session")
def address(server):
    """Where the app is."""
    return server[0]


@pytest.fixture(scope="session")
def browser():
    """Debian's chromium without a screen."""
    from playwright.sync_api import sync_playwright

    assert Path(CHROMIUM).exists(), f"no chromium at {CHROMIUM}: apt-get install -y chromium"
    with sync_playwright() as play:
        # No name but the machine's own is looked up, so that nothing slips past the page's routes.
        rules = "MAP * ~NOTFOUND, EXCLUDE 127.0.0.1"
        arguments = ["--no-sandbox", f"--host-resolver-rules={rules}"]
        found = play.chromium.launch(executable_path=CHROMIUM, args=arguments)
        yield found
        found.close()


@pytest.fixture
def open_page(browser, address):
    """Open the app at a size; the test fails if a page asks anybody but this machine."""
    contexts, outward = [], []

    def guard(route):
        url = route.request.url
        if url.startswith((address, "data:", "blob:")):
            route.continue_()
        else:
            outward.append(url)
            route.abort()

    def open_at(size, *, scheme="light", query="", ready="Count on", locale="en-US"):
        width, height = SIZES[size]
        context = browser.new_context(
            viewport={"width": width, "height": height}, color_scheme=scheme, locale=locale
        )
        contexts.append(context)
        context.route("**/*", guard)
        page = context.new_page()
        page.set_default_timeout(20_000)
        page.on("websocket", lambda socket: note(socket.url))
        page.goto(address + query)
        page.get_by_text(ready).first.wait_for()
        return page

    def note(url):
        if not url.startswith(address.replace("http://", "ws://")):
            outward.append(url)

    yield open_at
    for context in contexts:
        context.close()
    assert outward == []


@pytest.fixture(scope="session")
def faults():
    """Run the rules of axe-core, which stand for WCAG 2.2 A and AA and good practice, on a page.

    Minor findings are left out. All that remain were the framework's own:
    ``presentation-role-conflict``, the upload's box.
    """
    from axe_playwright_python.sync_playwright import Axe

    def found(page):
        violations = Axe().run(page).response["violations"]
        return [
            (violation["id"], [node["html"][:200] for node in violation["nodes"]])
            for violation in violations
            if violation["impact"] != "minor"
        ]

    return found
