"""The kernel held to its readable twin, bank by bank and run by run."""

from __future__ import annotations

import numpy as np
import pytest

from solarsim.power.chemistry import capacity_share_at, charge_share_at, load_chemistry
from solarsim.power.dispatch import HEATED_BELOW_C, dispatch
from solarsim.power.ledger import Term
from tests.power.twin import twin

RUNS = 3


def held_to_twin(case, designs, *, start_soc, ledger_hours):
    """Dispatch designs of one chemistry, compare all with the twin, and return the outcome."""
    got = dispatch(
        **case,
        designs=designs,
        start_soc=start_soc,
        ledger_hours=ledger_hours,
        soc_designs=len(designs),
    )
    hours = case["panel_w"].shape[1]
    temp_c = np.broadcast_to(case["bank_temp_c"], (RUNS, hours))
    curves = load_chemistry(designs[0].chemistry)
    clipped_wh = case["other_clipped_w"][0, :ledger_hours].sum()
    for run in range(RUNS):
        for index, one in enumerate(designs):
            ledger, cut_h, short_days, soc = twin(
                one,
                *hours_of(case, run),
                capacity_share_at(curves, temp_c[run]),
                charge_share_at(curves, temp_c[run]),
                temp_c[run] < HEATED_BELOW_C,
                pulse_w=case["pulses"].power_w[run],
                pulse_share=case["pulses"].share[run],
                start_soc=start_soc,
                ledger_hours=ledger_hours,
                **beside(case, run),
            )
            ledger[Term.SOLAR_AVAILABLE] += clipped_wh
            ledger[Term.SOLAR_CLIPPED] += clipped_wh
            np.testing.assert_allclose(got.soc[run, :, index], soc, rtol=1e-9, atol=1e-12)
            np.testing.assert_allclose(
                got.ledger_wh[run, :, index], [ledger[term] for term in Term], rtol=1e-9, atol=1e-7
            )
            assert got.first_cut_h[run, index] == pytest.approx(cut_h, rel=1e-9)
            assert got.depletion_days[run, index] == short_days
    return got


def hours_of(case, run):
    """What the twin takes by its place, from the sun to shore power."""
    chargers = case["chargers"]
    return (
        *(case["panel_w"][run], case["dc_w"][run], case["ac_w"][run], case["inverter_loss_w"][0]),
        *(chargers.alternator_a[0], chargers.shore_a[run]),
    )


def beside(case, run):
    """What the twin takes by name: other arrays, chargers on watts, and the generator."""
    chargers = case["chargers"]
    generator = chargers.generator
    found = {
        "other_w": case["other_solar_w"][run],
        "other_a": case["other_solar_a"][0],
        "shore_w": None if chargers.shore_w is None else chargers.shore_w[run],
        "shore_rated_a": chargers.shore_rated_a,
    }
    if generator is None:
        return found
    return found | {
        "generator_a": generator.charging_a,
        "generator_w": generator.charging_w,
        "generator_rated_a": generator.rated_a,
        "generator_start_soc": generator.start_soc,
        "generator_stop_soc": generator.stop_soc,
    }
