"""What a region costs: cells a second, against `stay` cell by cell, and how it grows.

Run it by itself: ``python tests/bench/region_growth.py [cells] [runs]``. CPU time is counted, of
this process and its workers, for a shared machine's clock tells little.
"""

from __future__ import annotations

import dataclasses
import os
import resource
import sys
import time

import numpy as np

from solarsim.answers.question import ask
from solarsim.answers.region.asked import RegionQuestion, ask_region, default_follow_days
from solarsim.answers.region.region import region
from solarsim.answers.stay import stay

# From the Atlantic to the Aegean, so that vans are cut off early, late and never.
LAND = "36, -10, 55, 30"
STAYS = 24


def cpu_s() -> float:
    """CPU time of this process and of its workers that have ended."""
    own, children = (
        resource.getrusage(of) for of in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    )
    return own.ru_utime + own.ru_stime + children.ru_utime + children.ru_stime


def some_cells(asked: RegionQuestion, count: int) -> RegionQuestion:
    """The question of so many of its cells, row by row as they lie."""
    cells = dataclasses.replace(asked.cells, cells=asked.cells.cells[:count])
    return dataclasses.replace(asked, cells=cells)


def spent(asked: RegionQuestion, workers: int) -> tuple[float, float]:
    """CPU and wall time of a region."""
    began, started = cpu_s(), time.monotonic()
    region(asked, workers=workers)
    return cpu_s() - began, time.monotonic() - started


def main() -> None:
    """Measure and print."""
    most = int(sys.argv[1]) if len(sys.argv) > 1 else 400
    runs = int(sys.argv[2]) if len(sys.argv) > 2 else 200
    question = ask("weekender", month=1, runs=runs)
    follow_days = default_follow_days(question.van.stay.days)
    mapped = question.replace(follow_days=follow_days)
    # Every n-th cell of the land, so that fewer cells are of the same kinds.
    whole = ask_region(mapped, LAND)
    step = max(1, len(whole.cells.cells) // most)
    spread = dataclasses.replace(whole.cells, cells=whole.cells.cells[::step][:most])
    asked = dataclasses.replace(whole, cells=spread)
    region(some_cells(asked, 2), workers=1)

    places = [cell.place() for cell in spread.cells[:: max(1, most // STAYS)]]
    began = cpu_s()
    for place in places:
        stay(question.replace(place=place))
    of_stay_s = (cpu_s() - began) / len(places)
    print(f"stay: {of_stay_s * 1e3:.0f} ms of CPU a cell, {runs} runs, {len(places)} places")

    counts = [most // 8, most // 4, most // 2, most]
    costs = []
    for count in counts:
        subset = dataclasses.replace(spread, cells=spread.cells[:: most // count][:count])
        cpu, wall = spent(dataclasses.replace(asked, cells=subset), 1)
        costs.append(cpu)
        print(
            f"{count} cells, one process: {cpu:.1f} s of CPU, {cpu / count * 1e3:.1f} ms a cell, "
            f"{cpu / count / of_stay_s:.2f} of stay; {count / wall:.1f} cells/s by the clock"
        )
    exponent = np.polyfit(np.log(counts), np.log(costs), 1)[0]
    print(f"cost grows with the number of cells to the power of {exponent:.2f}")
    cpu, wall = spent(asked, 2)
    print(
        f"{most} cells, two processes: {cpu:.1f} s of CPU, {most / wall:.1f} cells/s by the clock"
    )

    stronger = mapped.replace(settings=["battery.units=3", "panels.count=3"]).van
    for name, van in (("with more panels and bank", stronger), ("of another make", "long-stayer")):
        pair = ask_region(mapped, LAND, beside=[van])
        region(some_cells(pair, 2), workers=1)
        half = dataclasses.replace(spread, cells=spread.cells[::4])
        both, _ = spent(dataclasses.replace(pair, cells=half), 1)
        one, _ = spent(dataclasses.replace(asked, cells=half), 1)
        print(f"a second van {name}: {both / one - 1.0:+.0%}")
    kb = max(
        resource.getrusage(of).ru_maxrss for of in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    )
    print(f"largest process: {kb / 1024:.0f} MB; {os.cpu_count()} processors")


if __name__ == "__main__":
    main()
