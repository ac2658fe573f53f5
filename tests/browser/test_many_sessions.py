"""Many visitors at once in one server: each sees the own van and place, and memory levels off.

The long variant, ten visitors for a minute and a half, takes the machine for itself.
"""

from __future__ import annotations

import asyncio
import concurrent.futures
import contextlib
import dataclasses
import itertools
import re
import time
from pathlib import Path

import pytest

from solarsim.answers.question import ask
from solarsim.answers.stay import stay
from solarsim.app.draft import example
from solarsim.app.figures_in_words import big_days
from solarsim.app.link import design_code
from solarsim.app.views import TITLES, place_of
from solarsim.inputs.files.van import read_van
from tests.browser.conftest import CHROMIUM

PLACES = (
    *("Salzburg, AT", "Bergen, NO", "Lyon, FR", "Kraków, PL", "Glasgow, GB"),
    *("Denver, CO, US", "Sapporo, JP", "Turin, IT", "Malmö, SE", "Boise, ID, US"),
)
UNITS = (3, 4, 2)
LOOKED_AT = ("Roof", "Electrical", "Appliances", "Changes", "Seasons")
HEADLINE = "document.querySelector('[data-testid=stMain] h1')?.innerText"
STILL = "document.querySelector('[data-testid=stApp]')?.getAttribute('data-test-script-state')"


@dataclasses.dataclass
class Seen:
    """What the visitors saw."""

    interactions: int = 0
    wrong: list = dataclasses.field(default_factory=list)
    # Visitor and units to every figure shown first: what nine stays in ten reach.
    days: dict = dataclasses.field(default_factory=dict)
    memory_mb: dict = dataclasses.field(default_factory=dict)


def van_of(visitor, units):
    settings = [f"van.name=Van {visitor} of many", f"stay.place='{PLACES[visitor]}'"]
    return read_van("weekender", settings=[*settings, f"battery.units={units}"])


def town_of(visitor):
    """As headlines call it; they put the region in."""
    return PLACES[visitor].partition(",")[0]


def family(process):
    """Folders of the kernel's about a server and the processes that work beside it."""
    found = [Path(f"/proc/{process.pid}")]
    for one in Path("/proc").glob("[0-9]*"):
        # One may just have ended.
        with contextlib.suppress(FileNotFoundError, ProcessLookupError):
            parent = (one / "stat").read_text().rpartition(")")[2].split()[1]
            if int(parent) == process.pid:
                found.append(one)
    return found


def memory_mb(process):
    """What a server and its processes hold; libraries that they share count for each."""
    held_kb = 0
    for one in family(process):
        with contextlib.suppress(FileNotFoundError, ProcessLookupError):
            status = (one / "status").read_text()
            held_kb += int(re.search(r"VmRSS:\s+(\d+)", status)[1])
    return held_kb / 1024.0


async def visit(browser, address, visitor, all_there, span_s, seen):
    context = await browser.new_context(viewport={"width": 1280, "height": 800})
    page = await context.new_page()
    page.set_default_timeout(90_000)
    code = design_code(dataclasses.replace(example(), van=van_of(visitor, 2)))
    await page.goto(f"{address}?design={code}")
    await page.get_by_text("Count on").wait_for()
    # The address is written last: the first page is complete.
    await page.wait_for_function("location.search.includes('view=')")
    await all_there.wait()
    end = time.monotonic() + span_s
    for turn, units in enumerate(itertools.cycle(UNITS)):
        if time.monotonic() > end:
            break
        before = await page.evaluate("location.search")
        await page.get_by_label("Batteries", exact=True).fill(str(units))
        await page.keyboard.press("Enter")
        # The address holds the design as soon as its answer stands.
        await page.wait_for_function("old => location.search !== old", arg=before)
        await still(page)
        headline = await page.evaluate(HEADLINE)
        if f"'Van {visitor} of many'" not in headline or town_of(visitor) not in headline:
            seen.wrong.append((visitor, headline))
        sure = await page.get_by_test_id("stMetricValue").first.inner_text()
        seen.days.setdefault((visitor, units), set()).add(sure)
        await look(page, LOOKED_AT[(turn + visitor) % len(LOOKED_AT)], visitor, seen)
        await look(page, "Answer", visitor, seen)
        seen.interactions += 3
    await context.close()


async def look(page, view, visitor, seen):
    place = page.locator(".st-key-place").get_by_role("radio", name=place_of(view), exact=True)
    if await place.get_attribute("aria-checked") == "false":
        await place.click()
    title = TITLES.get(view, view)
    await page.locator(".st-key-views").get_by_role("radio", name=title, exact=True).click()
    await page.wait_for_function(f"location.search.endsWith('view={view}')")
    await still(page)
    if await page.get_by_test_id("stException").count():
        seen.wrong.append((visitor, view, "exception"))


async def still(page):
    await page.wait_for_timeout(150)
    await page.wait_for_function(f"{STILL} === 'notRunning'")
    await page.wait_for_timeout(50)


async def watch(process, spans_s, all_there, seen):
    await all_there.wait()
    begun = time.monotonic()
    for span_s in spans_s:
        await asyncio.sleep(max(begun + span_s - time.monotonic(), 0.0))
        seen.memory_mb[span_s] = round(memory_mb(process))


async def crowd(server, visitors, span_s):
    from playwright.async_api import async_playwright

    address, process = server
    seen = Seen()
    async with async_playwright() as play:
        rules = "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1"
        browser = await play.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox", rules])
        all_there = asyncio.Barrier(visitors + 1)
        watching = watch(process, [s for s in (0, 30, 60, 90) if s <= span_s], all_there, seen)
        visits = [visit(browser, address, n, all_there, span_s, seen) for n in range(visitors)]
        await asyncio.gather(watching, *visits)
        await browser.close()
    return seen


@pytest.mark.parametrize(
    ("visitors", "span_s"),
    [(3, 4), pytest.param(10, 90, marks=pytest.mark.crowd)],
    ids=["short", "long"],
)
def test_nobody_sees_another_s_van(server, visitors, span_s):
    # In a thread of its own, which has no other loop.
    with concurrent.futures.ThreadPoolExecutor(1) as pool:
        seen = pool.submit(lambda: asyncio.run(crowd(server, visitors, span_s))).result()
    print(f"\n{seen.interactions} interactions; memory in MB by second: {seen.memory_mb}")
    assert server[1].poll() is None
    assert seen.wrong == []
    assert seen.interactions >= 3 * visitors
    for (visitor, units), shown in seen.days.items():
        days = stay(ask(van_of(visitor, units))).days
        assert shown == {big_days(days.p10, days.follow_days)}, (visitor, units)
    if span_s >= 90:
        # Answers that are kept are bounded in number, so that the last third adds little;
        # a slow machine has not met all of them by then.
        assert seen.memory_mb[90] < 1.25 * seen.memory_mb[60]
        # The months were worked out beside the server, with somebody who keeps account for them.
        assert len(family(server[1])) >= 3
