"""What an estimate's stated error is made of, worked out by hand."""

from __future__ import annotations

import dataclasses

import numpy as np
import pandas as pd
import pytest

from solarsim.answers.calibrate.estimates import coulombic_estimate
from solarsim.answers.calibrate.log import BankLog
from solarsim.inputs.files.van import read_van
from solarsim.power.design import design_of


def test_the_error_of_the_coulombic_efficiency_is_that_of_readings_and_of_the_current_zero():
    """A 200 Ah bank, 20 A in and 20 A out by turns of five hours: five fills in a hundred hours."""
    hours = 100
    net_a = np.where(np.arange(hours) % 10 < 5, -20.0, 20.0)
    edges = 0.9 + np.concatenate([[0.0], np.cumsum(net_a)]) / 200.0
    log = BankLog(
        times=pd.date_range("2026-06-01", periods=hours, freq="h", tz="Etc/GMT+5"),
        soc=0.5 * (edges[1:] + edges[:-1]),
        net_a=net_a,
        net_w=13.2 * net_a,
        solar_w=np.full(hours, np.nan),
        other_w=np.full(hours, np.nan),
        has_soc=True,
        has_current=True,
        has_solar=False,
        has_other=False,
        soc_counted=False,
        covered_share=1.0,
        guesses=(),
    )
    design = dataclasses.replace(design_of(read_van("weekender")), panel_count=1)
    found = coulombic_estimate(log, 200.0, design)
    # Two readings off by 2 % each (an estimate, no source) are sqrt(2) x 4 Ah = 5.657 Ah, 20 mA
    # over a hundred hours 2 Ah: together 6 Ah of the 1,000 Ah charged.
    assert found.error == pytest.approx(6.0 / 1000.0, rel=1e-3)
    # Mid-hour readings miss half an hour of the last charge and of the first draw: 20 Ah.
    assert found.value == pytest.approx(1.0, abs=0.021)
