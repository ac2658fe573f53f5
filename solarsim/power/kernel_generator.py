"""Steps of the dispatch kernel around an hour of chargers that look at the bank.

A generator is started and stopped by the bank's state of charge. A charger whose power is limited,
by the generator's watts or by what the post leaves it, gives that power, but never passes its rated
amperes; which of the two it is, the bank's voltage tells. Both stand around the hour
(`solarsim.power.kernel_hour.one_hour`) of a van that has one, and cost no other van anything. While
a generator runs, what it gives stands with shore power until the ledger tells the two apart.
"""

from __future__ import annotations

from typing import Any

from solarsim.compiled.machine_code import step
from solarsim.power import kernel_hour as at
from solarsim.power.columns import Column
from solarsim.power.kernel_hour import settle_ahead
from solarsim.power.ledger import Term

__all__ = ["after_hour", "before_hour"]


@step
def before_hour(
    w: Any, h: Any, d: Any, aside: Any, hour: int, real: Any, held: bool, n: int
) -> None:
    """Start or stop the generator, and let each charger give its watts or its rated amperes.

    `aside` and `real` are those of the kernel's entry. With neither amperes nor watts the generator
    may not run; where also no charger is to be held, nothing is done. The hour's inputs serve all
    designs: what stood there is kept, for `after_hour`.
    """
    if not held:
        w[at.RUNS : at.RUNS + at.LANES] = 0.0
        return
    amperes, watts = aside[0, hour], aside[1, hour]
    rated_a, shore_rated_a = aside[2, hour], aside[3, hour]
    start_soc, stop_soc = real[1] + real[3] * (1.0 - d[Column.FLOOR_DEPTH]), real[2]
    tanks_inv, allowed = d[Column.TANKS_INVERSE], amperes + watts > 0.0
    for i in range(at.LANES):
        state = w[at.Q0 + i] * tanks_inv
        wanted = 1.0 if state <= start_soc else w[at.RUNS + i]
        runs = wanted if allowed and state < stop_soc else 0.0
        w[at.RUNS + i] = runs
        w[at.RUN_A + i], w[at.RUN_W + i] = runs * amperes, runs * watts
        w[at.POST_A + i], w[at.POST_W + i] = h[at.PLUG_A + i], h[at.PLUG_W + i]
        w[at.KEPT_A + i], w[at.KEPT_W + i] = h[at.PLUG_A + i], h[at.PLUG_W + i]
    _put_together(w, h)
    cutoff_v, near = d[Column.CUTOFF_V], 0
    for i in range(n):
        near += w[at.POST_W + i] > shore_rated_a * cutoff_v
        near += w[at.RUN_W + i] > rated_a * cutoff_v
    if near > 0:
        settle_ahead(w, h, d, n)
        for i in range(n):
            bus_v = w[at.BUS_V + i]
            post_over = w[at.POST_W + i] > shore_rated_a * bus_v
            w[at.POST_A + i] = shore_rated_a if post_over else w[at.POST_A + i]
            w[at.POST_W + i] = 0.0 if post_over else w[at.POST_W + i]
            run_over = w[at.RUN_W + i] > rated_a * bus_v
            w[at.RUN_A + i] = rated_a if run_over else w[at.RUN_A + i]
            w[at.RUN_W + i] = 0.0 if run_over else w[at.RUN_W + i]
        _put_together(w, h)


@step
def _put_together(w: Any, h: Any) -> None:
    """Shore power and generator as the hour takes them."""
    for i in range(at.LANES):
        h[at.PLUG_A + i] = w[at.POST_A + i] + w[at.RUN_A + i]
        h[at.PLUG_W + i] = w[at.POST_W + i] + w[at.RUN_W + i]
        h[at.CHARGERS_A + i] = h[at.DRIVE_A + i] + w[at.POST_A + i] + w[at.RUN_A + i]


@step
def after_hour(w: Any, h: Any, counts: bool) -> None:
    """Tell the generator's part of shore power apart in the ledger, and restore the inputs."""
    for i in range(at.LANES):
        if counts:
            bus_v = w[at.BUS_V + i]
            solar_used = min(w[at.SOLAR + i], max(w[at.TAKEN + i], 0.0))
            drive = h[at.DRIVE_A + i] * bus_v
            left = max(w[at.TAKEN + i] - solar_used, 0.0)
            left = max(left - min(drive, left), 0.0)
            plug = h[at.PLUG_A + i] * bus_v + h[at.PLUG_W + i]
            post = w[at.POST_A + i] * bus_v + w[at.POST_W + i]
            given = w[at.RUN_A + i] * bus_v + w[at.RUN_W + i]
            used = min(max(min(plug, left) - post, 0.0), given)
            w[at.LEDGER + Term.SHORE * at.LANES + i] -= used
            w[at.LEDGER + Term.SHORE_REFUSED * at.LANES + i] -= given - used
            w[at.LEDGER + Term.GENERATOR * at.LANES + i] += used
            w[at.LEDGER + Term.GENERATOR_REFUSED * at.LANES + i] += given - used
        h[at.PLUG_A + i], h[at.PLUG_W + i] = w[at.KEPT_A + i], w[at.KEPT_W + i]
        h[at.CHARGERS_A + i] = h[at.DRIVE_A + i] + h[at.PLUG_A + i]
