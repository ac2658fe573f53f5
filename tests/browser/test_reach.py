"""Who goes by keys or has a shaky hand: rings that are seen, targets large enough, a way past.

WCAG 2.2: 1.4.11 (3 : 1), 2.4.1, 2.4.7, 2.5.8 (24 px), 4.1.3.
"""

from __future__ import annotations

import re

import pytest

from tests.browser.test_story import settled, view
from tests.contrast import contrast

# What stands around what has the focus: its colour, and that of the page below it.
RING = """() => {
    let e = document.activeElement;
    const name = e.getAttribute('aria-label') || e.innerText || e.tagName;
    const ground = e => {
        for (; e; e = e.parentElement) {
            const colour = getComputedStyle(e).backgroundColor;
            if (!colour.startsWith('rgba')) return colour;
        }
    };
    for (let up = 0; up < 7 && e; up++, e = e.parentElement) {
        const style = getComputedStyle(e);
        if (style.outlineStyle === 'solid' && style.outlineWidth === '2px')
            return [name, style.outlineColor, ground(e.parentElement)];
    }
    return [name, null, null];
}"""
SMALL = """() => [...document.querySelectorAll(
    '[data-testid=stApp] :is(button, summary, [role=radio], [role=spinbutton], ' +
    'label:has([type=checkbox]))'
)].filter(e => e.checkVisibility({visibilityProperty: true}) && e.getBoundingClientRect().width)
    .map(e => [e.getAttribute('aria-label') || e.innerText, e.getBoundingClientRect()])
    .filter(([, r]) => r.width < 23.9 || r.height < 23.9)
    .map(([name, r]) => `${name} ${r.width} x ${r.height}`)"""


def colour(text):
    """A style's colour as the test of contrasts takes it."""
    return "#" + "".join(f"{int(part):02x}" for part in re.findall(r"\d+", text)[:3])


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_what_has_the_focus_is_seen_and_targets_are_large_enough(open_page, scheme):
    page = open_page("desk", scheme=scheme)
    settled(page)
    for name in ("Answer", "Interview", "Sheet"):
        view(page, name)
        settled(page)
        assert page.evaluate(SMALL) == [], name
        page.get_by_test_id("stMain").focus()
        ringed = 0
        for _ in range(14):
            page.keyboard.press("Tab")
            # What changes slowly has changed.
            page.wait_for_timeout(250)
            which, ring, ground = page.evaluate(RING)
            if which == "BODY" or which.startswith("Skip to main"):
                break
            assert ring, f"{name}: {which} has no ring"
            assert contrast(colour(ring), colour(ground)) >= 3.0, f"{name}: {which}"
            ringed += 1
        assert ringed >= 8, name


def test_the_first_key_leads_past_the_inputs_and_the_answer_is_read_out(open_page):
    page = open_page("desk")
    settled(page)
    page.evaluate("() => document.activeElement.blur()")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    assert page.evaluate("() => document.activeElement.dataset.testid") == "stMain"
    # The role comes with the charts' code, after the answer has been drawn.
    said = page.get_by_role("status").filter(has_text="in 9 stays of 10")
    said.first.wait_for()
    assert said.count() == 1
    levels = page.get_by_role("heading").evaluate_all("all => all.map(e => e.tagName)")
    assert levels[0] == "H1"
    assert levels.count("H1") == 1
