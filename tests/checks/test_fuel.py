"""Fuel against the physics of combustion, of water and of degree-days."""

from __future__ import annotations

import pytest

from solarsim.data.accuracy.fuel import COMPARISONS
from tests.checks.agree import assert_agrees, name_of


@pytest.mark.parametrize("comparison", COMPARISONS, ids=name_of)
def test_published_figure(comparison):
    assert_agrees(comparison)
