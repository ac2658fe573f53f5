"""Steps of the dispatch kernel that start and stop a generator by the bank's state of charge.

They stand around the hour (`solarsim.power.kernel_hour.one_hour`) of a van that has one, and cost
no other van anything. While a generator runs, what it gives stands with shore power until the
ledger tells the two apart.
"""

from __future__ import annotations

from typing import Any

from solarsim.compiled.machine_code import step
from solarsim.power import kernel_hour as at
from solarsim.power.columns import Column
from solarsim.power.ledger import Term

__all__ = ["start_generator", "stop_generator"]


@step
def start_generator(
    w: Any, h: Any, d: Any, amperes: float, watts: float, start_soc: float, stop_soc: float
) -> None:
    """Start or stop the generator by the state of charge; what it gives goes to the chargers.

    With neither amperes nor watts it may not run. The hour's inputs serve all designs: what stood
    there is kept, for `stop_generator`.
    """
    if amperes + watts <= 0.0:
        for i in range(at.LANES):
            w[at.RUNS + i] = 0.0
        return
    tanks_inv = d[Column.TANKS_INVERSE]
    for i in range(at.LANES):
        state = w[at.Q0 + i] * tanks_inv
        wanted = 1.0 if state <= start_soc else w[at.RUNS + i]
        runs = wanted if state < stop_soc else 0.0
        w[at.RUNS + i] = runs
        w[at.POST_A + i], w[at.POST_W + i] = h[at.PLUG_A + i], h[at.PLUG_W + i]
        w[at.OTHERS_A + i] = h[at.CHARGERS_A + i]
        h[at.PLUG_A + i] += runs * amperes
        h[at.CHARGERS_A + i] += runs * amperes
        h[at.PLUG_W + i] += runs * watts


@step
def stop_generator(w: Any, h: Any, amperes: float, watts: float, counts: bool) -> None:
    """Tell the generator's part of shore power apart in the ledger, and restore the inputs."""
    for i in range(at.LANES):
        bus_v, post_a, post_w = w[at.BUS_V + i], w[at.POST_A + i], w[at.POST_W + i]
        if counts:
            solar_used = min(w[at.SOLAR + i], max(w[at.TAKEN + i], 0.0))
            drive = h[at.DRIVE_A + i] * bus_v
            left = max(w[at.TAKEN + i] - solar_used, 0.0)
            left = max(left - min(drive, left), 0.0)
            plug = h[at.PLUG_A + i] * bus_v + h[at.PLUG_W + i]
            post, given = post_a * bus_v + post_w, w[at.RUNS + i] * (amperes * bus_v + watts)
            used = min(max(min(plug, left) - post, 0.0), given)
            w[at.LEDGER + Term.SHORE * at.LANES + i] -= used
            w[at.LEDGER + Term.SHORE_REFUSED * at.LANES + i] -= given - used
            w[at.LEDGER + Term.GENERATOR * at.LANES + i] += used
            w[at.LEDGER + Term.GENERATOR_REFUSED * at.LANES + i] += given - used
        h[at.PLUG_A + i], h[at.PLUG_W + i] = post_a, post_w
        h[at.CHARGERS_A + i] = w[at.OTHERS_A + i]
