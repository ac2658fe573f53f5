"""Draws are a run's own, kept or drawn anew."""

from __future__ import annotations

import numpy as np
import pytest

from solarsim.weather.streams import Purpose, keep_draws, run_normals, run_uniforms


def test_draws_that_are_kept_are_the_same_and_cannot_be_changed():
    asked = {"first_run": 3, "runs": 2, "count": 40}
    for draw in (run_normals, run_uniforms):
        fresh = draw(1, Purpose.WIND, **asked)
        with keep_draws():
            first, again = draw(1, Purpose.WIND, **asked), draw(1, Purpose.WIND, **asked)
            other = draw(2, Purpose.WIND, **asked)
        assert first is again
        assert np.array_equal(first, fresh)
        assert not np.array_equal(other, fresh)
        with pytest.raises(ValueError, match="read-only"):
            first[0, 0] = 0.0
        assert draw(1, Purpose.WIND, **asked) is not first
