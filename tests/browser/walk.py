"""A visitor who changes whatever there is, and what must hold after each change.

Run by itself for a long walk: ``python -m tests.browser.walk 2000 --seed 1``.
"""

from __future__ import annotations

import argparse
import dataclasses
import random
import time
from urllib.parse import parse_qs, urlsplit

from solarsim.app.draft import shipped_profiles
from solarsim.app.link import design_from_code
from solarsim.app.starts import STARTS
from solarsim.app.widgets.field import limits_of, value_of
from solarsim.app.widgets.fields import GROUPS
from solarsim.app.widgets.fields_beside import BESIDE
from solarsim.app.widgets.numbers import number_of
from solarsim.errors import InputError
from tests.browser.kept import (
    Wrong,
    boxes,
    changed,
    choices_of,
    command_line,
    name_of,
    odd_boxes,
    touched_by,
)
from tests.browser.test_story import headline, pick, settled, view
from tests.browser.walk_words import BUTTONS, LENGTHS_M, NUMBERS, PEOPLE, PLACES, STAYS, SWITCHES

METRIC = "?units=metric"
# Changes between looks at the command line's figure.
BETWEEN = 20
PATIENCE_S = 120
CLOSING_MS = 1000


@dataclasses.dataclass
class Walk:
    """One visitor's walk."""

    page: object
    rng: random.Random
    done: int = 0
    compared: int = 0
    skipped: int = 0
    refusals: int = 0
    # By path, what was given last and is not in the design.
    refused: dict = dataclasses.field(default_factory=dict)
    # What was wrong before the step.
    said: tuple = ()
    steps: list = dataclasses.field(default_factory=list)

    def design(self):
        """The design that the page's address holds."""
        # A page that has just been opened takes a moment to write it there.
        self.page.wait_for_url(lambda address: "design=" in address)
        return design_from_code(parse_qs(urlsplit(self.page.url).query)["design"][0])

    def say(self, step):
        self.steps.append(step)

    def step(self):
        """Change one thing and look at the page."""
        kinds = (self.an_input, self.a_view, self.a_switch, self.a_button, self.a_reload)
        kinds += (self.an_undo, self.a_crew, self.a_class, self.an_input_of_the_view)
        kind = self.rng.choices(kinds, weights=(55, 12, 5, 8, 5, 5, 3, 2, 10))[0]
        before = self.done
        self.said = self.problems()
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
        if odd := odd_boxes(page, self.design(), self.refused):
            raise Wrong("; ".join(odd))

    def only(self, before, allowed, what):
        """Nothing in the design changed but what may, and what was refused until now."""
        for path in self.refused:
            allowed = allowed | touched_by(path, before)
        if more := changed(before, self.design()) - allowed:
            raise Wrong(f"{what} changed {sorted(more)} as well")

    def an_input(self):
        field = self.rng.choice(BESIDE)
        side = self.page.get_by_test_id("stSidebar")
        box = self.box(field)
        if not self.opened(box, field.group) or box.is_disabled():
            return
        before = self.design()
        now = value_of(before, field.path)
        if field.path in NUMBERS:
            text = self.rng.choice(NUMBERS[field.path].split(" "))
            self.type(field, box, text)
        elif field.path == "stay.place":
            self.type(field, box, self.rng.choice(PLACES))
        elif limits_of(field.path).kind is bool:
            self.say(f"{field.label}: {not now}")
            side.get_by_text(field.label, exact=True).click()
            self.took(field, not now)
        elif choices := choices_of(field):
            choice = self.rng.choice([one for one in choices if one != now])
            name = name_of(field, choice)
            self.say(f"{field.label}: {name}")
            pick(self.page, box, name)
            self.took(field, choice)
        self.only(before, touched_by(field.path, before), field.label)

    def opened(self, box, group):
        """Whether a box beside the views is in sight, if need be after a click on its group."""
        if not box.is_visible():
            side = self.page.get_by_test_id("stSidebar")
            side.get_by_text(GROUPS[group], exact=True).click()
            # A group that closes shows its boxes for a moment more.
            self.page.wait_for_timeout(CLOSING_MS)
        return box.is_visible()

    def an_input_of_the_view(self):
        fields = [
            field for field, _ in boxes(self.page, "stMain") if limits_of(field.path).kind is float
        ]
        if not fields:
            return self.a_view()
        field = self.rng.choice(fields)
        box = self.box(field)
        if box.is_visible() and not box.is_disabled():
            before = self.design()
            self.type(field, box, self.rng.choice(NUMBERS.get(field.path, LENGTHS_M).split(" ")))
            self.only(before, touched_by(field.path, before), field.label)
        return None

    def box(self, field):
        where = "stSidebar" if field in BESIDE else "stMain"
        return self.page.get_by_test_id(where).get_by_label(field.label, exact=True).first

    def type(self, field, box, text):
        self.say(f"{field.label}: {text!r}")
        box.fill(text)
        box.press("Enter")
        try:
            wanted = text if field.path == "stay.place" else number_of(text)
            wanted = wanted / 100.0 if field.percent else wanted
        except InputError:
            # No value that a design holds.
            wanted = ...
        self.took(field, wanted)
        shown = self.box(field).input_value()
        if shown != text:
            raise Wrong(f"{field.label}: {text!r} was typed, {shown!r} is there")

    def took(self, field, wanted):
        """What was given is in the design, or the page says why not."""
        self.done += 1
        settled(self.page)
        for _ in range(PATIENCE_S):
            now = value_of(self.design(), field.path)
            same = isinstance(wanted, float) and now is not None and abs(now - wanted) < 1e-9
            if same or now == wanted:
                self.refused.pop(field.path, None)
                return
            if self.says_no(field):
                self.refusals += 1
                self.refused[field.path] = self.box(field).input_value()
                return
            # On a busy machine what was typed has not reached the server yet.
            self.page.wait_for_timeout(1000)
        raise Wrong(f"{field.label}: {wanted!r} was given, the design has {now!r}")

    def says_no(self, field):
        """Whether the page says what is wrong with an input, and not only with some other."""
        if field not in BESIDE:
            main = self.page.get_by_test_id("stMain")
            return main.get_by_text("still the one for the last value that fits").count()
        # Two choices may be refused in the same words.
        again = field.path in self.refused
        return any(again or text not in self.said for text in self.problems())

    def problems(self):
        """What the page says is wrong with the inputs."""
        side = self.page.get_by_test_id("stSidebar")
        return tuple(side.get_by_test_id("stAlert").all_inner_texts())

    def a_view(self):
        radios = [one for one in self.page.get_by_role("radio").all() if one.is_visible()]
        if not radios:
            return
        radio = self.rng.choice(radios)
        self.say(f"view {radio.text_content()}")
        before = self.design()
        radio.click()
        self.done += 1
        # The click needs its moment to reach a busy server.
        self.page.wait_for_timeout(500)
        settled(self.page)
        self.only(before, set(), "a view")

    def a_switch(self):
        side = self.page.get_by_test_id("stSidebar")
        label = self.rng.choice(list(SWITCHES))
        switch = side.get_by_text(label, exact=True)
        if not self.opened(switch, "bank"):
            return
        self.say(f"switch {label}")
        before = self.design()
        switch.click()
        self.done += 1
        for _ in range(PATIENCE_S):
            self.page.wait_for_timeout(500)
            settled(self.page)
            wholly = changed(before, self.design())
            own = {path for path in wholly if path.partition(".")[0] == SWITCHES[label]}
            self.only(before, own, label)
            if own or self.problems():
                return
        raise Wrong(f"{label}: the switch did nothing")

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

    def an_undo(self):
        """Change an input, take it back, and do it again."""
        before, refused, done = self.design(), dict(self.refused), self.done
        self.an_input()
        after = self.design()
        if self.done == done or refused or self.refused or after == before:
            return
        self.say("undo")
        for name, wanted in (("Undo", before), ("Redo", after)):
            self.page.get_by_test_id("stMain").get_by_role("button", name=name).click()
            self.page.wait_for_timeout(500)
            settled(self.page)
            self.done += 1
            if left := changed(wanted, self.design()):
                raise Wrong(f"{name} left {sorted(left)}")
            if odd := odd_boxes(self.page, wanted, {}):
                raise Wrong(f"{name}: " + "; ".join(odd))

    def a_crew(self):
        box = self.page.get_by_test_id("stSidebar").get_by_label("Ready-made crews", exact=True)
        if not self.opened(box, "people"):
            return
        crew = self.rng.choice(list(shipped_profiles()))
        self.say(f"crew {crew}")
        before = self.design()
        pick(self.page, box, crew)
        self.done += 1
        self.page.wait_for_timeout(500)
        settled(self.page)
        after = self.design()
        said = self.page.get_by_test_id("stMain").get_by_text("AC loads need an inverter")
        if after == before and before.van.inverter is None and said.count():
            return
        if after.profile.profile.name != crew:
            raise Wrong(f"{crew!r} was chosen, {after.profile.profile.name!r} is aboard")
        theirs = {path for path in changed(before, after) if path.startswith(PEOPLE)}
        self.only(before, theirs, "a crew")

    def a_class(self):
        name = self.rng.choice(list(STARTS))
        self.say(f"class {name}")
        before = self.design()
        self.page.get_by_role("button", name="Start from a class").click()
        self.page.get_by_role("button", name=name, exact=True).click()
        self.done += 1
        self.page.get_by_text(f"The design is that of a class now: {name}").wait_for()
        settled(self.page)
        if lost := changed(before, self.design()) & STAYS:
            raise Wrong(f"a class of van changed {sorted(lost)}")

    def a_reload(self):
        self.say("load anew")
        before = self.design()
        self.refused.clear()
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
            one.refused.clear()
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
        told(f"{one.refusals} refused")
        told(f"wrong: {len(wrong)}")
        for each in wrong:
            told(each)


if __name__ == "__main__":
    main()
