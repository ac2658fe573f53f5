"""Whether a bank is too cold: lead-acid near freezing, lithium below what it may be used at."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

import numpy as np
import pandas as pd

from solarsim.answers.peaks import hour_text
from solarsim.arrays import FloatArray
from solarsim.inputs.percent import percent
from solarsim.power.chemistry import capacity_share_at, load_chemistry
from solarsim.power.design import Design
from solarsim.power.freezing import FREEZING_SOURCE, freezing_point_c
from solarsim.records import ArrayRecord

__all__ = [
    "Freezing",
    "find_freezing",
    "freezing_warnings",
    "join_freezing",
    "too_cold_share",
    "too_cold_warnings",
]

# A bank's cells differ by about so much in temperature: common practice, no source.
_NEAR_K = 2.0
_SHARE_WORTH_SAYING = 0.01


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Freezing(ArrayRecord):
    """The hour of each run in which the bank comes nearest to freezing; arrays are ``(runs,)``.

    Attributes
    ----------
    margin_k : ndarray
        How far the bank's temperature lies above the freezing point of its acid, K; infinite for a
        bank without acid.
    hour : ndarray
        Whole hours from arrival.
    soc : ndarray
        State of charge in it, 0 to 1.
    temp_c : ndarray
        Temperature of the bank in it, degrees C.
    """

    margin_k: FloatArray
    hour: FloatArray
    soc: FloatArray
    temp_c: FloatArray

    @property
    def share(self) -> float:
        """Share of the runs in which it comes within 2 K of freezing, 0 to 1."""
        return float((self.margin_k <= _NEAR_K).mean())


def find_freezing(design: Design, soc: FloatArray, bank_temp_c: FloatArray) -> Freezing:
    """Look in every run for the hour in which the bank is nearest to freezing.

    Parameters
    ----------
    design : Design
        The bank.
    soc : ndarray
        ``(runs, hours + 1)`` state of charge at the stamps: sets the hours looked at.
    bank_temp_c : ndarray
        ``(runs or 1, hours)`` or longer, degrees C.
    """
    lower_soc = np.minimum(soc[:, :-1], soc[:, 1:])
    temp_c = np.broadcast_to(bank_temp_c[:, : lower_soc.shape[1]], lower_soc.shape)
    if design.chemistry == "lfp":
        hour = np.zeros(len(soc), dtype=np.intp)
        margin_k = np.full(len(soc), np.inf)
    else:
        above_k = temp_c - freezing_point_c(lower_soc)
        hour = above_k.argmin(axis=1)
        margin_k = above_k.min(axis=1)
    runs = np.arange(len(soc))
    return Freezing(
        margin_k=margin_k,
        hour=hour.astype(np.float64),
        soc=lower_soc[runs, hour],
        temp_c=temp_c[runs, hour],
    )


def join_freezing(chunks: Sequence[Freezing]) -> Freezing:
    """Put the runs of several chunks together."""
    return Freezing(
        **{
            field.name: np.concatenate([getattr(chunk, field.name) for chunk in chunks])
            for field in dataclasses.fields(Freezing)
        }
    )


def too_cold_share(design: Design, bank_temp_c: FloatArray) -> float:
    """Share of the hours in which a bank is too cold to give anything, 0 to 1.

    Parameters
    ----------
    design : Design
        The bank.
    bank_temp_c : ndarray
        ``(runs or 1, hours)`` degrees C.
    """
    left = capacity_share_at(load_chemistry(design.chemistry), bank_temp_c)
    return float((left == 0.0).mean())


def too_cold_warnings(share: float) -> tuple[str, ...]:
    """Say in one line in how many hours of the stay the bank gives nothing."""
    if share < _SHARE_WORTH_SAYING:
        return ()
    return (
        f"the bank is below -20 C in {percent(share)} of the hours, and lithium gives nothing so "
        "cold: keep it inside the heated space (typical cell sheets, from memory)",
    )


def freezing_warnings(
    freezing: Freezing, times: pd.DatetimeIndex, timezone: str
) -> tuple[str, ...]:
    """Say in one line in how many runs the bank may freeze, when, and at what state of charge."""
    if freezing.share < _SHARE_WORTH_SAYING:
        return ()
    run = int(freezing.margin_k.argmin())
    soc, temp_c = freezing.soc[run], freezing.temp_c[run]
    when = hour_text(times, int(freezing.hour[run]), timezone)
    return (
        f"the bank's acid freezes or comes within {_NEAR_K:g} K of it in "
        f"{percent(freezing.share)} of runs, nearest on {when}: the bank is at {temp_c:.0f} C and "
        f"{percent(soc)} full, and such acid freezes at {freezing_point_c(soc):.0f} C: keep the "
        f"bank charged, or inside the heated space ({FREEZING_SOURCE})",
    )
