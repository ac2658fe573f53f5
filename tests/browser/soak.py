"""Many visitors for long at one server: how soon each sees an answer, and what the server holds.

Twenty browsers take more of two cores than the server does. These visitors speak what a browser
speaks, but draw nothing, so that the times are the server's. Run by itself, on a machine that does
nothing else: ``python -m tests.browser.soak 20 600``.
"""

from __future__ import annotations

import argparse
import asyncio
import collections
import dataclasses
import os
import random
import re
import socket
import statistics
import subprocess
import sys
import time
from urllib.parse import parse_qs

from solarsim.answers.question import ask
from solarsim.answers.stay import stay
from solarsim.app.draft import example
from solarsim.app.figures_in_words import big_days
from solarsim.app.link import design_code, design_from_code
from solarsim.app.views import PLACES as PARTS
from solarsim.app.widgets.field import limits_of
from solarsim.app.widgets.fields_beside import BESIDE
from solarsim.inputs.calendar import FOLLOW_DAYS
from solarsim.inputs.files.van import read_van
from tests.browser.conftest import ROOT, wait_for
from tests.browser.test_many_sessions import PLACES, family, memory_mb
from tests.browser.walk import NUMBERS

PATIENCE_S = 120.0
LOOK_EVERY_S = 30.0
# Of four changes one is a look at another view.
LOOKS = 0.25
# As the protocol counts: a run that gave way to the next one is not the page.
WHOLE = 0
# What the page ends with, quoted once more.
ADDRESS = re.compile(r"history\.replaceState\(history\.state, \\?'\\?', \\?'\?([^']*?)\\?'")


@dataclasses.dataclass
class Seen:
    """What all visitors saw."""

    answers_s: list = dataclasses.field(default_factory=list)
    pages_s: dict = dataclasses.field(default_factory=lambda: collections.defaultdict(list))
    wrong: list = dataclasses.field(default_factory=list)


class Visitor:
    """One visitor with a van of the own name, who changes what comes to hand."""

    def __init__(self, number, socket, seen):
        self.number, self.socket, self.seen = number, socket, seen
        self.rng = random.Random(number)
        self.name = f"Van {number} of many"
        self.boxes, self.given, self.query, self.page_hash = {}, {}, "", ""
        self.first_figure = ""

    async def arrive(self):
        place = PLACES[self.number % len(PLACES)]
        van = read_van("weekender", settings=[f"van.name={self.name}", f"stay.place='{place}'"])
        code = design_code(dataclasses.replace(example(), van=van))
        self.query = f"units=metric&design={code}"
        await self.run()

    async def stay(self, until, pause_s):
        while time.monotonic() < until:
            await asyncio.sleep(self.rng.uniform(0.5, 1.5) * pause_s)
            what = self.a_view() if self.rng.random() < LOOKS else self.a_change()
            if what is None:
                continue
            before = self.query
            answer_s, page_s = await self.run()
            self.seen.pages_s[what].append(page_s)
            if what not in ("view", "part") and self.query != before:
                self.seen.answers_s.append((answer_s, self.where(), what))

    def a_change(self):
        """Give another value to a box beside the views."""
        field = self.rng.choice(BESIDE)
        kind, box = self.boxes.get(field.label, (None, None))
        if kind == "text_input" and field.path in NUMBERS:
            text = self.rng.choice(NUMBERS[field.path].split(" "))
            self.given[box.id] = {"string_value": text}
        elif kind == "selectbox" and (field.path == "stay.month" or limits_of(field.path).choices):
            self.given[box.id] = {"string_value": self.rng.choice(list(box.options))}
        elif kind == "checkbox":
            self.given[box.id] = {"bool_value": self.rng.random() < 0.5}
        else:
            return None
        return field.path

    def a_view(self):
        part = self.rng.choice(["Part of the job", *PARTS])
        kind, box = self.boxes.get(part, (None, None))
        if kind != "button_group":
            return None
        choice = self.rng.choice([option.content for option in box.options])
        self.given[box.id] = {"string_array_value": [choice]}
        return "part" if part == "Part of the job" else "view"

    def where(self):
        """The view that the page's address names."""
        return parse_qs(self.query).get("view", [""])[0]

    async def run(self):
        """Send what was changed; return the seconds to the answer and to the whole page."""
        from streamlit.proto.BackMsg_pb2 import BackMsg

        message = BackMsg()
        asked = message.rerun_script
        asked.query_string, asked.page_script_hash = self.query, self.page_hash
        for key, value in self.given.items():
            state = asked.widget_states.widgets.add(id=key)
            for name, content in value.items():
                if name == "string_array_value":
                    state.string_array_value.data.extend(content)
                else:
                    setattr(state, name, content)
        begun = time.monotonic()
        await self.socket.send(message.SerializeToString())
        answer_s = None
        async with asyncio.timeout(PATIENCE_S):
            while True:
                got = await self.next_message()
                kind = got.WhichOneof("type")
                if kind == "new_session":
                    self.boxes, answer_s = {}, None
                    self.page_hash = got.new_session.page_script_hash
                elif kind == "delta" and got.delta.WhichOneof("type") == "new_element":
                    element = got.delta.new_element
                    if element.WhichOneof("type") == "metric" and answer_s is None:
                        answer_s = time.monotonic() - begun
                        self.first_figure = element.metric.body
                    self.take(element)
                elif kind == "script_finished" and got.script_finished == WHOLE:
                    return answer_s or time.monotonic() - begun, time.monotonic() - begun

    async def next_message(self):
        from streamlit.proto.ForwardMsg_pb2 import ForwardMsg

        got = ForwardMsg()
        got.ParseFromString(await self.socket.recv())
        return got

    def take(self, element):
        """Note a box, the address, and whatever must not be there."""
        kind = element.WhichOneof("type")
        box = getattr(element, kind)
        if kind in ("text_input", "selectbox", "checkbox", "button_group"):
            self.boxes[box.label] = kind, box
            if getattr(box, "set_value", False):
                self.given.pop(box.id, None)
                if kind == "text_input":
                    self.given[box.id] = {"string_value": box.value}
                elif kind == "selectbox":
                    self.given[box.id] = {"string_value": box.raw_value}
                elif kind == "checkbox":
                    self.given[box.id] = {"bool_value": box.value}
                else:
                    self.given[box.id] = {"string_array_value": list(box.raw_values)}
        elif kind == "exception":
            self.seen.wrong.append((self.number, box.message[:300]))
        text = str(element)
        if address := re.search(
            r"history\.replaceState\(history\.state, \\?'\\?', \\?'\?([^']*?)\\?'", text
        ):
            self.query = address[1].replace("\\", "")
        if others := set(re.findall(r"Van (\d+) of many", text)) - {str(self.number)}:
            self.seen.wrong.append((self.number, f"sees the van of {others}"))

    def agree(self):
        """The last page's first figure, and that of its design asked for alone.

        None where the page shows another figure first, or takes fewer runs for a long stay.
        """
        asked = parse_qs(self.query)
        design = design_from_code(asked["design"][0])
        if asked["view"] != ["Answer"] or design.van.stay.days > FOLLOW_DAYS:
            return None
        days = stay(ask(design.van, profile=design.profile)).days
        return self.first_figure, big_days(days.p10, days.follow_days)


def cpu_s(process):
    """CPU time of the server and the processes beside it."""
    ticks = 0
    for one in family(process):
        fields = (one / "stat").read_text().rpartition(")")[2].split()
        ticks += int(fields[11]) + int(fields[12])
    return ticks / os.sysconf("SC_CLK_TCK")


async def soak(address, process, visitors, span_s, pause_s):
    """Let so many visitors at the server; return what they saw and its memory in MB by second."""
    from websockets.asyncio.client import connect

    seen, memory = Seen(), {}
    stream = address.replace("http", "ws") + "_stcore/stream"
    sockets = [
        await connect(stream, subprotocols=["streamlit"], max_size=None, origin=address.rstrip("/"))
        for _ in range(visitors)
    ]
    there = [Visitor(number, one, seen) for number, one in enumerate(sockets)]
    await asyncio.gather(*(one.arrive() for one in there))
    begun, spent_s = time.monotonic(), cpu_s(process)
    stays = [asyncio.ensure_future(one.stay(begun + span_s, pause_s)) for one in there]
    while not all(one.done() for one in stays):
        memory[round(time.monotonic() - begun)] = round(memory_mb(process))
        await asyncio.wait(stays, timeout=LOOK_EVERY_S)
    await asyncio.gather(*stays)
    pages = sum(map(len, seen.pages_s.values()))
    print(f"{(cpu_s(process) - spent_s) / pages:.2f} s of the server's CPU a page, {pages} pages")
    for one in sockets:
        await one.close()
    return there, seen, memory


def told(name, waits):
    """Say the middle and the ends of some waits."""
    rising = sorted(waits)
    late = rising[min(int(0.95 * len(rising)), len(rising) - 1)]
    print(
        f"{name}: {len(rising)}; median {statistics.median(rising):.2f} s, 19 in 20 within "
        f"{late:.2f} s, longest {rising[-1]:.2f} s"
    )


def main():
    """Serve, let them in, and say what they saw."""
    asked = argparse.ArgumentParser()
    asked.add_argument("visitors", type=int)
    asked.add_argument("seconds", type=float)
    asked.add_argument("--pause", type=float, default=8.0, help="mean seconds between two changes")
    given = asked.parse_args()
    with socket.socket() as spot:
        spot.bind(("127.0.0.1", 0))
        port = spot.getsockname()[1]
    command = [sys.executable, "-m", "streamlit", "run", "app.py", "--server.port", str(port)]
    command += ["--server.fileWatcherType", "none"]
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    with subprocess.Popen(command, cwd=ROOT, **quiet) as process:
        address = f"http://127.0.0.1:{port}/"
        wait_for(address, process)
        there, seen, memory = asyncio.run(
            soak(address, process, given.visitors, given.seconds, given.pause)
        )
        process.terminate()
    told("answers", [wait for wait, *_ in seen.answers_s])
    told("whole pages", [wait for waits in seen.pages_s.values() for wait in waits])
    told("views", seen.pages_s["view"] + seen.pages_s["part"])
    print("slowest:", [(round(s, 1), *on) for s, *on in sorted(seen.answers_s)[-12:]])
    print(f"memory in MB by second: {memory}")
    print(f"wrong: {seen.wrong}")
    both = [pair for one in there if (pair := one.agree()) is not None]
    print(f"shown first, and asked alone: {both}")
    assert all(shown == alone for shown, alone in both)


if __name__ == "__main__":
    main()
