"""Banks below what their tables used to end at: through the dispatch, not only by their tables."""

from __future__ import annotations

import numpy as np
import pytest

from solarsim.data.accuracy.bench import discharge, run_bank
from solarsim.power.ledger import Term

HOURS = 12


def test_lithium_gives_nothing_below_its_limit_and_gives_again_above_it():
    """Six hours at -25 C, then -15 C: the load is off, the charge kept, then it is served."""
    temp_c = np.r_[np.full(6, -25.0), np.full(6, -15.0)][np.newaxis]
    load_w = np.full(HOURS, 50.0)
    ran = run_bank("lfp", dc_w=load_w, start_soc=0.8, temp_c=temp_c)
    assert ran.first_cut_h[0, 0] == 0.0
    soc = ran.soc[0, :, 0]
    # A bank at rest loses 0.004 % an hour.
    assert soc[6] == pytest.approx(0.8, abs=5e-4)
    assert ran.ledger_wh[0, Term.UNSERVED, 0] == pytest.approx(300.0)
    assert ran.ledger_wh[0, Term.LOAD_DC, 0] == pytest.approx(300.0)
    assert (np.diff(soc[6:]) < -0.03).all()


def test_lithium_in_hard_frost_takes_no_sun_either():
    ran = run_bank("lfp", dc_w=np.zeros(3), panel_w=np.full(3, 200.0), start_soc=0.5, temp_c=-25.0)
    assert ran.ledger_wh[0, Term.SOLAR_REFUSED_COLD, 0] == pytest.approx(600.0)
    assert ran.ledger_wh[0, Term.SOLAR_USED, 0] == 0.0


@pytest.mark.parametrize("name", ["agm", "gel", "flooded"])
@pytest.mark.parametrize(("temp_c", "share"), [(-18.0, 0.50), (-40.0, 0.20)])
def test_lead_acid_gives_what_handbooks_say(name, temp_c, share):
    """Half at -18 C, a fifth at -40 C (Linden & Reddy, from memory), of the 20-hour capacity."""
    warm_ah = discharge(name, 20.0).delivered_ah
    assert discharge(name, 20.0, temp_c=temp_c).delivered_ah / warm_ah == pytest.approx(
        share, abs=0.06
    )


@pytest.mark.parametrize("name", ["agm", "gel", "flooded"])
def test_lead_acid_takes_a_fifth_of_its_current_at_30_c_of_frost(name):
    offered_w = np.full(1, 3000.0)
    rise = [
        float(
            np.diff(
                run_bank(name, dc_w=np.zeros(1), panel_w=offered_w, start_soc=0.2, temp_c=at).soc[
                    0, :, 0
                ]
            )[0]
        )
        for at in (-30.0, 25.0)
    ]
    assert rise[0] > 0.0
    assert rise[0] / rise[1] == pytest.approx(0.2, abs=0.02)
