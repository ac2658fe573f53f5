"""The compiled cabin equals its readable twin, with heater, fans, coolers and windows."""

from __future__ import annotations

import os
import subprocess
import sys

import numpy as np
import pytest

from solarsim.power.cabin_loop import Stream, step_cabin
from tests.power.cabin_twin import cabin_twin


def cabin_case(seed, *, hours, runs, coolers):
    """A spring of cold nights and hot afternoons; heaters by night, coolers by day."""
    random = np.random.default_rng(seed)
    clock = np.arange(hours) % 24
    outside_c = 12.0 + 14.0 * np.sin((clock - 9) / 24 * 2 * np.pi)[:, np.newaxis]
    outside_c = outside_c + random.normal(0.0, 4.0, (hours, runs))
    drop_k = random.uniform(0.0, 12.0, (hours, runs))
    by_day = ((clock > 10) & (clock < 20)) * 0.75
    streams = [
        Stream(24.0, 4.0, 60.0, by_day, outside_c - drop_k, np.where(drop_k > 4.0, 1.0, 0.0)),
        Stream(22.0, 6.0, 35.0, np.ones(hours), outside_c, None),
        # A fan for the draught alone.
        Stream(26.0, 3.0, 0.0, by_day, outside_c, None),
    ]
    windows = Stream(25.0, 4.0, 80.0, np.ones(hours), outside_c, None)
    return {
        "settled_c": outside_c + random.uniform(0.0, 8.0, (hours, runs)),
        "start_c": np.maximum(outside_c[0], 18.0),
        "set_c": np.where((clock < 6) | (clock > 21), 14.0, 19.0),
        "limit_w": np.where((clock < 9) | (clock > 16), 900.0, 0.0),
        "loss_w_k": 48.0,
        "capacity_wh_k": 210.0,
        "streams": [*streams[:coolers], windows],
    }


def compare_with_twin(**sizes):
    case = cabin_case(3, **sizes)
    got, expected = step_cabin(**case), cabin_twin(**case)
    for one, other in zip(got[:3], expected[:3], strict=True):
        np.testing.assert_allclose(one, other, rtol=1e-11, atol=1e-11)
    for one, other in zip(got[3], expected[3], strict=True):
        np.testing.assert_allclose(one, other, rtol=0.0, atol=1e-11)
    return got


@pytest.mark.parametrize("coolers", [0, 1, 2, 3])
def test_the_loop_equals_its_twin(coolers):
    temp_c, heat_w, wanted_w, running = compare_with_twin(hours=240, runs=33, coolers=coolers)
    # The comparison is worth something only if all of it occurs.
    assert 0.0 < (heat_w > 0.0).mean() < (wanted_w >= 0.0).mean()
    assert (wanted_w > heat_w).any()
    assert all(0.0 < (share > 0.0).mean() < 1.0 for share in running)
    assert temp_c.min() < 15.0 < 24.0 < temp_c.max()


@pytest.mark.slow
def test_the_loop_equals_its_twin_also_without_the_compiler():
    code = (
        "import sys\n"
        "from tests.power.test_cabin_loop import compare_with_twin\n"
        "compare_with_twin(hours=40, runs=2, coolers=3)\n"
        "assert not {'numba', 'llvmlite'} & {*sys.modules}\n"
    )
    plain = os.environ | {"NUMBA_DISABLE_JIT": "1"}
    subprocess.run([sys.executable, "-c", code], check=True, env=plain)


def test_a_run_does_not_depend_on_the_runs_beside_it():
    case = cabin_case(5, hours=96, runs=20, coolers=3)
    together = step_cabin(**case)

    def alone(array):
        return np.ascontiguousarray(array[:, 7:8])

    streams = [
        Stream(
            each.start_c,
            each.span_k,
            each.conductance_w_k,
            each.open_share,
            alone(each.supply_c),
            None if each.usable_share is None else alone(each.usable_share),
        )
        for each in case["streams"]
    ]
    single = {"settled_c": alone(case["settled_c"]), "start_c": case["start_c"][7:8]}
    one = step_cabin(**case | single | {"streams": streams})
    for ours, theirs in zip((*one[:3], *one[3]), (*together[:3], *together[3]), strict=True):
        np.testing.assert_array_equal(ours[:, 0], theirs[:, 7])
