"""A visitor who changes whatever there is, and what must hold after each change.

Run by itself for a long walk: ``python -m tests.browser.walk 2000 --seed 1``.
"""

from __future__ import annotations

import argparse
import dataclasses
import random
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

from solarsim.answers.question import DEFAULT_RUNS
from solarsim.app.link import design_from_code, profile_toml, van_toml
from solarsim.app.widgets.field import limits_of, value_of
from solarsim.app.widgets.fields import GROUPS
from solarsim.app.widgets.fields_beside import BESIDE
from solarsim.app.widgets.numbers import number_of
from solarsim.app.widgets.widgets import word
from solarsim.errors import InputError
from solarsim.inputs.calendar import FOLLOW_DAYS
from solarsim.present.words import month_name
from tests.browser.conftest import ROOT
from tests.browser.test_story import headline, pick, settled, view

PLACES = (
    "Salzburg, AT",
    "Bergen, NO",
    "Phoenix, AZ, US",
    "Hobart, AU",
    "47.80, 13.05",
    "Xyzzyville",
)
# What people type, what is refused, and what may be read in two ways.
NUMBERS = {
    "stay.days": "1 2 5 7 10 14 21 30 45 0 400",
    "stay.heading_deg": "0 45 90 123,5 180 270",
    "stay.target_chance": "80 90 95 99 100 ninety",
    "panels.count": "0 1 2 3 4 6 8 -1 2.5",
    "panels.series": "1 1 2",
    "panels.tilt_deg": "0 10 30 45 90",
    "panels.azimuth_deg": "90 180 200",
    "panels.soiling_share": "0 2 5 12,5",
    "panels.cost": "180 219,90 1,200",
    "controller.max_output_a": "20 30 50 60",
    "controller.max_input_v": "75 100 150",
    "battery.units": "1 2 3 4 6 8 0 two",
    "battery.cost": "400 990,5",
    "stay.start_soc": "100 80 50 0",
    "inverter.power_w": "300 1200 2000 3000",
    "inverter.idle_w": "0 5 12,5 20",
    "alternator.dcdc_a": "20 30 60",
    "alternator.drive_h": "0 0,5 1 2 30",
    "alternator.every_days": "1 2 3",
    "shore.charger_a": "10 20 40",
    "shore.plugged_h": "0 1 8 12,5",
    "shore.every_days": "1 2 7",
    "cabin.people": "1 2 3 4",
    "cabin.heater_set_point_c": "5 15 18.5 21 99",
    "cabin.night_set_point_c": "5 10 16",
}
BUTTONS = ("Keep the present design", "Build", "Take", "Drop")
SWITCHES = ("Inverter aboard", "DC-DC charger aboard", "Shore charger aboard")
METRIC = "?units=metric"
# Changes between looks at the command line's figure.
BETWEEN = 20
PATIENCE_S = 120
CLOSING_MS = 1000


class Wrong(AssertionError):
    """Something that must never be."""


@dataclasses.dataclass
class Walk:
    """One visitor's walk."""

    page: object
    rng: random.Random
    done: int = 0
    compared: int = 0
    skipped: int = 0
    steps: list = dataclasses.field(default_factory=list)

    def design(self):
        """The design that the page's address holds."""
        codes = parse_qs(urlsplit(self.page.url).query).get("design")
        return design_from_code(codes[0])

    def say(self, step):
        self.steps.append(step)

    def step(self):
        """Change one thing and look at the page."""
        kinds = (self.an_input, self.a_view, self.a_switch, self.a_button, self.a_reload)
        kind = self.rng.choices(kinds, weights=(70, 12, 5, 8, 5))[0]
        before = self.done
        kind()
        if self.done == before:
            self.skipped += 1
            return
        self.stands()
        if self.done % BETWEEN == 0:
            self.compare()

    def stands(self):
        """The page is there, whole, and without an error of its own."""
        page = self.page
        settled(page)
        if page.get_by_test_id("stException").count():
            raise Wrong(f"exception: {page.get_by_test_id('stException').first.inner_text()}")
        if not page.get_by_test_id("stMain").get_by_text("Expected, not guaranteed").count():
            raise Wrong("the page ends before its cautions")

    def an_input(self):
        field = self.rng.choice(BESIDE)
        side = self.page.get_by_test_id("stSidebar")
        box = side.get_by_label(field.label, exact=True)
        if not box.count() or not box.first.is_visible():
            side.get_by_text(GROUPS[field.group], exact=True).click()
            # A group that closes shows its boxes for a moment more.
            self.page.wait_for_timeout(CLOSING_MS)
            if not box.count() or not box.first.is_visible():
                return
        box = box.first
        if box.is_disabled():
            return
        limits = limits_of(field.path)
        now = value_of(self.design(), field.path)
        if field.path in NUMBERS:
            text = self.rng.choice(NUMBERS[field.path].split(" "))
            self.type(field, box, text)
        elif field.path == "stay.place":
            self.type(field, box, self.rng.choice(PLACES))
        elif limits.kind is bool:
            self.say(f"{field.label}: {not now}")
            side.get_by_text(field.label, exact=True).click()
            self.took(field, not now)
        elif field.path == "stay.month" or limits.choices:
            choices = list(limits.choices or range(1, 13))
            choice = self.rng.choice([one for one in choices if one != now])
            name = month_name(choice) if field.path == "stay.month" else word(choice)
            self.say(f"{field.label}: {name}")
            pick(self.page, box, name)
            self.took(field, choice)

    def type(self, field, box, text):
        self.say(f"{field.label}: {text!r}")
        box.fill(text)
        box.press("Enter")
        try:
            wanted = text if field.path == "stay.place" else number_of(text)
        except InputError:
            wanted = None
        if wanted is not None and field.percent:
            wanted /= 100.0
        self.took(field, wanted)
        side = self.page.get_by_test_id("stSidebar")
        shown = side.get_by_label(field.label, exact=True).first.input_value()
        if shown != text:
            raise Wrong(f"{field.label}: {text!r} was typed, {shown!r} is there")

    def took(self, field, wanted):
        """What was given is in the design, or the page says why not."""
        self.done += 1
        settled(self.page)
        for _ in range(PATIENCE_S):
            now = value_of(self.design(), field.path)
            same = isinstance(wanted, float) and now is not None and abs(now - wanted) < 1e-9
            if same or now == wanted or self.page.get_by_test_id("stAlert").count():
                return
            # On a busy machine what was typed has not reached the server yet.
            self.page.wait_for_timeout(1000)
        raise Wrong(f"{field.label}: {wanted!r} was given, the design has {now!r}")

    def a_view(self):
        radios = [one for one in self.page.get_by_role("radio").all() if one.is_visible()]
        if not radios:
            return
        radio = self.rng.choice(radios)
        self.say(f"view {radio.text_content()}")
        radio.click()
        self.done += 1
        # The click needs its moment to reach a busy server.
        self.page.wait_for_timeout(500)

    def a_switch(self):
        side = self.page.get_by_test_id("stSidebar")
        switch = side.get_by_text(self.rng.choice(SWITCHES), exact=True)
        if not switch.is_visible():
            side.get_by_text(GROUPS["bank"], exact=True).click()
            self.page.wait_for_timeout(CLOSING_MS)
            if not switch.is_visible():
                return
        self.say(f"switch {switch.inner_text()}")
        switch.click()
        self.done += 1

    def a_button(self):
        main = self.page.get_by_test_id("stMain")
        found = [
            (one, name)
            for one in main.get_by_role("button").all()
            if one.is_visible()
            and one.is_enabled()
            # Some are drawn, on the roof.
            and (name := (one.text_content() or "").strip()).startswith(BUTTONS)
        ]
        if not found:
            return self.a_view()
        button, name = self.rng.choice(found)
        self.say(f"button {name}")
        button.click()
        self.done += 1
        return None

    def a_reload(self):
        self.say("load anew")
        before = self.design()
        self.page.reload()
        self.page.get_by_text("Expected, not guaranteed").first.wait_for(timeout=90_000)
        settled(self.page)
        self.done += 1
        if self.design() != before:
            raise Wrong("loading the page anew changed the design")

    def compare(self):
        """The page's headline is the command line's for the design of the page's address."""
        view(self.page, "Answer")
        design = self.design()
        shown = " ".join(headline(self.page).split())
        self.compared += 1
        said = command_line(design)
        if not said.startswith(shown):
            raise Wrong(f"the page says {shown!r}, the command line {said[: len(shown) + 40]!r}")


def command_line(design):
    """What `stay` prints for a design, on as many runs as the page takes."""
    days = design.van.stay.days
    runs = max(DEFAULT_RUNS * FOLLOW_DAYS // max(days, FOLLOW_DAYS), 50)
    with tempfile.TemporaryDirectory() as folder:
        van, people = Path(folder) / "van.toml", Path(folder) / "people.toml"
        van.write_text(van_toml(design.van), encoding="utf-8")
        people.write_text(profile_toml(design.profile), encoding="utf-8")
        command = [sys.executable, "-m", "solarsim", "stay", van, "--profile", people]
        ran = subprocess.run(
            [*command, "--runs", str(runs)], cwd=ROOT, capture_output=True, text=True, check=False
        )
    if ran.returncode:
        raise Wrong(f"the command line refuses the page's design: {ran.stderr}")
    return " ".join(ran.stdout.split())


def walk(open_page, changes, seed, *, told=None):
    """Walk; return the walk and all that was wrong, with the steps that led there."""
    rng, wrong = random.Random(seed), []
    # Its labels are metric wherever it goes.
    one = Walk(open_page(METRIC), rng)
    settled(one.page)
    while one.done < changes:
        try:
            if one.page.is_closed():
                one.page = open_page(METRIC)
                settled(one.page)
            one.step()
        except Exception as error:
            # Playwright's own timeouts too: a page that hangs is as bad.
            wrong.append(
                (
                    str(error).partition("\nCall log")[0][:600],
                    one.done,
                    one.steps[-8:],
                    one.page.url,
                )
            )
            if told is not None:
                told(f"WRONG after {one.done}: " + "\n   ".join(map(str, wrong[-1])))
            one.page.close()
        if told is not None and one.done % 20 == 0:
            told(f"{one.done} changes, {one.compared} compared, {len(wrong)} wrong")
    return one, wrong


def main():
    """Walk against a server that is running."""
    from playwright.sync_api import sync_playwright

    from tests.browser.conftest import CHROMIUM

    asked = argparse.ArgumentParser()
    asked.add_argument("changes", type=int)
    asked.add_argument("--address", default="http://127.0.0.1:8501/")
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    begun = time.monotonic()

    def told(line):
        print(f"{time.monotonic() - begun:7.0f} s  {line}", flush=True)

    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])

        def open_page(query):
            context = browser.new_context(viewport={"width": 1280, "height": 800})
            page = context.new_page()
            page.set_default_timeout(240_000)
            page.on("pageerror", lambda error: told(f"PAGE ERROR {error}"))
            page.goto(given.address + query)
            page.get_by_text("Expected, not guaranteed").first.wait_for(timeout=120_000)
            return page

        one, wrong = walk(open_page, given.changes, given.seed, told=told)
        told(f"{one.done} changes, {one.compared} compared, {one.skipped} skipped")
        told(f"wrong: {len(wrong)}")
        for each in wrong:
            told(each)


if __name__ == "__main__":
    main()
