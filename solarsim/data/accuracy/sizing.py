"""Sizing by hand in the manner of IEEE 1013, on the worked chain of its clauses.

The standard's own example was not to be had: these are its formulas on round numbers.
"""

from __future__ import annotations

from solarsim.answers.by_hand import autonomy
from solarsim.data.accuracy.comparison import Comparison

__all__ = ["COMPARISONS"]

_SUBJECT = "bank by hand"
_IEEE_1013 = "IEEE 1013-2007 clause 6 with IEEE 485 table 1, formula from memory"


def _required_ah(floor_soc: float) -> float:
    # 100 Ah a day for 5 days on 12 V, in the cold.
    return autonomy(
        load_wh_per_day=1200.0,
        system_voltage_v=12.0,
        capacity_ah=800.0,
        chemistry="agm",
        floor_soc=floor_soc,
        bank_temp_c=10.0,
        days=5,
    ).required_ah


COMPARISONS: tuple[Comparison, ...] = (
    Comparison(
        subject=_SUBJECT,
        what="5 days of 100 Ah, depth 0.8, end of life 0.8, 10 C, margin 1.1",
        source=_IEEE_1013,
        # max(500 / 0.8, 500 / 0.8) x 1.19 x 1.1
        expected=818.1,
        # The factor is stored with four digits.
        tolerance=0.5,
        unit="Ah",
        got=lambda: _required_ah(0.2),
    ),
    Comparison(
        subject=_SUBJECT,
        what="the same at depth 0.5: the depth governs, not the end of life",
        source=_IEEE_1013,
        # 500 / 0.5 x 1.19 x 1.1
        expected=1309.0,
        tolerance=0.5,
        unit="Ah",
        got=lambda: _required_ah(0.5),
    ),
    Comparison(
        subject=_SUBJECT,
        what="the same at depth 0.9: the end of life governs",
        source=_IEEE_1013,
        # 500 / 0.8 x 1.19 x 1.1
        expected=818.1,
        tolerance=0.5,
        unit="Ah",
        got=lambda: _required_ah(0.1),
    ),
)
