"""Published figures for the distribution of daily clearness on islands without data."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.data.accuracy.comparison import Comparison
from solarsim.weather.climate.island import (
    greatest_clearness,
    quantiles_from_mean_clearness,
    rate_from_mean_clearness,
)

__all__ = ["COMPARISONS"]

_MEANS = (0.3, 0.5, 0.7)
_SUBJECT = "clearness of islands"


def _comparison(
    what: str,
    source: str,
    mean_kt: float,
    expected: float,
    tolerance: float,
    function: Callable[[FloatArray], FloatArray],
) -> Comparison:
    return Comparison(
        subject=_SUBJECT,
        what=f"{what}, monthly mean {mean_kt}",
        source=source,
        expected=expected,
        tolerance=tolerance,
        unit="",
        got=lambda: float(function(np.array([mean_kt])).mean()),
    )


COMPARISONS: tuple[Comparison, ...] = (
    *(
        _comparison("brightest day", "Hollands & Huget 1983", mean, value, 1e-4, greatest_clearness)
        for mean, value in zip(_MEANS, (0.6914, 0.7646, 0.8182), strict=True)
    ),
    *(
        _comparison(
            "rate",
            "Bendt 1981, Herzog 1985, in D&B section 2.9",
            mean,
            value,
            0.02,
            rate_from_mean_clearness,
        )
        for mean, value in zip(_MEANS, (-2.10, 2.31, 8.52), strict=True)
    ),
    # The fit of the rate meets the mean to 0.002; 64 quantiles stand for the distribution.
    *(
        _comparison(
            "mean of the distribution", "Bendt 1981: its own mean", mean, mean, 0.003, quantiles
        )
        for mean, quantiles in zip(_MEANS, (quantiles_from_mean_clearness,) * 3, strict=True)
    ),
)
