"""Freezing point of the acid against the published table."""

from __future__ import annotations

import numpy as np
import pytest

from solarsim.power.freezing import freezing_point_c, specific_gravity, state_of_charge_to_keep

# By specific gravity: battery-council tables, from memory.
PUBLISHED = {1.265: -57.0, 1.225: -37.0, 1.200: -27.0, 1.150: -15.0, 1.100: -7.0}
# Full and empty: common practice (1.12 to 1.13 for empty), no source.
FULL, EMPTY = 1.265, 1.120


@pytest.mark.parametrize("gravity", PUBLISHED)
def test_every_published_row(gravity):
    soc = (gravity - EMPTY) / (FULL - EMPTY)
    assert float(freezing_point_c(soc)) == pytest.approx(PUBLISHED[gravity], abs=1e-6)


def test_gravity_is_linear_from_empty_to_full():
    got = specific_gravity(np.array([0.0, 0.25, 0.5, 1.0]))
    assert got == pytest.approx([1.120, 1.15625, 1.1925, 1.265])


def test_a_fuller_bank_never_freezes_sooner():
    assert (np.diff(freezing_point_c(np.linspace(0.0, 1.0, 201))) < 0.0).all()


@pytest.mark.parametrize("temp_c", [-12.0, -15.0, -24.0, -37.0, -56.0])
def test_charge_to_keep_turns_the_table_round(temp_c):
    soc = state_of_charge_to_keep(temp_c)
    assert soc is not None
    assert 0.0 < soc < 1.0
    assert float(freezing_point_c(soc)) == pytest.approx(temp_c, abs=1e-9)


def test_charge_to_keep_at_the_ends_of_the_table():
    assert state_of_charge_to_keep(-5.0) == 0.0
    assert state_of_charge_to_keep(-57.0) is None
