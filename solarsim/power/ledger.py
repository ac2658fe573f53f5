"""The energy ledger: what its terms are, and how well it closes."""

from __future__ import annotations

import enum

import numpy as np

from solarsim.arrays import FloatArray

__all__ = ["GENERATOR_TERMS", "Term", "ledger_residual"]


class Term(enum.IntEnum):
    """Terms of the ledger, Wh over the stay."""

    SOLAR_AVAILABLE = 0
    SOLAR_USED = 1
    SOLAR_CLIPPED = 2
    SOLAR_REFUSED_FULL = 3
    SOLAR_REFUSED_COLD = 4
    ALTERNATOR = 5
    SHORE = 6
    LOAD_DC = 7
    LOAD_AC = 8
    INVERTER_LOSS = 9
    BATTERY_LOSS = 10
    STORED_CHANGE = 11
    UNSERVED = 12
    ALTERNATOR_REFUSED = 13
    SHORE_REFUSED = 14
    GENERATOR = 15
    GENERATOR_REFUSED = 16


# Told only of a van that has a generator.
GENERATOR_TERMS = (Term.GENERATOR, Term.GENERATOR_REFUSED)


def ledger_residual(ledger_wh: FloatArray) -> FloatArray:
    """How far the ledger is from closing, relative to the energy that went through it.

    The larger of two balances, ``(runs, designs)``: available sun against used, clipped and
    refused; and energy in against loads, losses and the change in store.
    """
    term = {t: ledger_wh[:, t] for t in Term}
    sun = term[Term.SOLAR_AVAILABLE] - (
        term[Term.SOLAR_USED]
        + term[Term.SOLAR_CLIPPED]
        + term[Term.SOLAR_REFUSED_FULL]
        + term[Term.SOLAR_REFUSED_COLD]
    )
    charged = term[Term.ALTERNATOR] + term[Term.SHORE] + term[Term.GENERATOR]
    given = term[Term.SOLAR_USED] + charged
    taken = (
        term[Term.LOAD_DC] + term[Term.LOAD_AC] + term[Term.INVERTER_LOSS] + term[Term.BATTERY_LOSS]
    )
    bank = given - taken - term[Term.STORED_CHANGE]
    through = np.maximum(
        np.maximum(term[Term.SOLAR_AVAILABLE], given + taken + np.abs(term[Term.STORED_CHANGE])),
        1.0,
    )
    return np.asarray(np.maximum(np.abs(sun), np.abs(bank)) / through)
