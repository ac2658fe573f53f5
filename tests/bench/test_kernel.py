"""The kernel by the battery-hour, beside its plain twin and a NumPy loop over hours."""

from __future__ import annotations

import dataclasses
import time

import numpy as np
import pytest

from solarsim.power.design import design_rows
from tests.bench.cases import LEDGER_H, START_SOC, designs, hourly, kernel
from tests.bench.hour_loop import hour_loop
from tests.power.twin import twin

# One thread's own time: what else the machine does counts less.
pytestmark = pytest.mark.benchmark(timer=time.thread_time)


@pytest.fixture(scope="module")
def inputs():
    return hourly(64)


def note(benchmark, battery_hours):
    ns = benchmark.stats.stats.min * 1e9 / battery_hours
    benchmark.extra_info["ns_per_battery_hour"] = round(ns, 2)
    print(f"\n{benchmark.name}: {ns:,.2f} ns a battery-hour (least of the rounds)")


def by_numpy(inputs, chosen):
    sun, other, other_a, dc, ac, loss, pulse_w, pulse_share, drive, plug, post, *shares = inputs
    return hour_loop(
        chosen,
        *(sun, other, other_a, dc, ac, loss, drive, plug, post, *shares, pulse_w, pulse_share),
        start_soc=START_SOC,
        ledger_hours=LEDGER_H,
    )


def by_twin(inputs, design, run):
    sun, other, other_a, dc, ac, loss, pulse_w, pulse_share, drive, plug, post, *shares = (
        values[run if len(values) > 1 else 0] for values in inputs
    )
    return twin(
        design,
        *(sun, dc, ac, loss, drive, plug, *shares),
        other_w=other,
        other_a=other_a,
        shore_w=post,
        pulse_w=pulse_w,
        pulse_share=pulse_share,
        start_soc=START_SOC,
        ledger_hours=LEDGER_H,
    )


def test_three_ways_agree(inputs):
    # Some clip, some are PWM: the voltage of the hour counts in them.
    chosen = designs(48)
    for index in range(0, 48, 5):
        chosen[index] = dataclasses.replace(chosen[index], controller_max_a=9.0)
        chosen[index - 2] = dataclasses.replace(chosen[index - 2], pwm=True)
    fast, slow = kernel(inputs, chosen), by_numpy(inputs, chosen)
    np.testing.assert_allclose(fast[1], slow[1], rtol=1e-9)
    np.testing.assert_array_equal(fast[2], slow[2])
    np.testing.assert_allclose(fast[0], slow[0], rtol=1e-9, atol=1e-6)
    assert 0.05 < (fast[1] < inputs[0].shape[1]).mean() < 1.0
    for run, index in ((0, 0), (7, 20), (49, 47)):
        ledger, cut_h, days, _ = by_twin(inputs, chosen[index], run)
        assert fast[1][run, index] == pytest.approx(cut_h, rel=1e-9)
        assert fast[2][run, index] == days
        np.testing.assert_allclose(
            fast[0][run, :, index], list(ledger.values()), rtol=1e-9, atol=1e-6
        )


@pytest.mark.parametrize("count", [1, 16, 32])
def test_kernel(benchmark, inputs, count):
    chosen = designs(count)
    benchmark(kernel, inputs, chosen, design_rows(chosen))
    note(benchmark, inputs[0].size * count)


def test_kernel_over_the_ledger_s_hours_alone(benchmark, inputs):
    week = tuple(np.ascontiguousarray(values[:, :LEDGER_H]) for values in inputs)
    chosen = designs(32)
    benchmark(kernel, week, chosen, design_rows(chosen))
    note(benchmark, week[0].size * len(chosen))


@pytest.mark.parametrize("count", [1, 112])
def test_numpy_loop_over_hours(benchmark, inputs, count):
    chosen = designs(count)
    benchmark.pedantic(by_numpy, (inputs, chosen), rounds=3)
    note(benchmark, inputs[0].size * count)


def test_plain_twin(benchmark, inputs):
    design = designs(20)[-1]
    benchmark.pedantic(by_twin, (inputs, design, 3), rounds=5)
    note(benchmark, inputs[0].shape[1])


def seconds(work):
    best = np.inf
    for _ in range(3):
        begun = time.thread_time()
        work()
        best = min(best, time.thread_time() - begun)
    return best


def test_time_grows_with_runs_and_with_designs():
    """The exponent of a power law fitted to the time; 1 is in proportion."""
    many = hourly(4000, days=7)
    many = tuple(np.ascontiguousarray(values[:, :LEDGER_H]) for values in many)

    def first(runs):
        return tuple(values[:runs] if len(values) > 1 else values for values in many)

    chosen = designs(16)
    by_runs = {n: seconds(lambda n=n: kernel(first(n), chosen)) for n in (250, 500, 1000, 2000)}
    by_runs[4000] = seconds(lambda: kernel(many, chosen))
    counts = (16, 32, 64, 128, 256)
    by_designs = {n: seconds(lambda n=n: kernel(first(250), designs(n))) for n in counts}
    for name, times in (("runs", by_runs), ("designs", by_designs)):
        exponent = np.polyfit(np.log(list(times)), np.log(list(times.values())), 1)[0]
        shown = ", ".join(f"{n}: {1e3 * t:.1f} ms" for n, t in times.items())
        print(f"\ntime over {name}: exponent {exponent:.3f} ({shown})")
