"""Whether the electrical check stops a bank, for many places without checking at each."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable

from solarsim.answers.cautions import bank_stops, stops_of_units
from solarsim.answers.question import Question
from solarsim.electrical.bank import BANK
from solarsim.electrical.rule_set import rules_in_force

__all__ = ["StoppedBanks"]

# Findings that depend on a record temperature do so near freezing or in great heat: brackets are
# wide, and those that hold such a temperature are checked place by place.
_BRACKET_C = 10.0
_Stops = frozenset[tuple[str, str]]


class StoppedBanks:
    """Answers of `solarsim.answers.cautions.bank_stops`, kept by van, units and climate.

    Of a place the check sees the rules in force there and the record low and high of the air, and
    each finding holds from some temperature on. Where neither the units nor the smallest bank are
    stopped by anything else in the harshest corner of a bracket of temperatures than in its
    mildest, every place in the bracket is answered alike; elsewhere the place itself is checked.
    """

    def __init__(self) -> None:
        self._kept: dict[tuple[object, ...], bool | None] = {}
        self._corners: dict[tuple[object, ...], _Stops] = {}

    def of_van(self, van: int) -> Callable[[Question, int], bool]:
        """Return what says whether a bank of so many units of one van may not be built."""

        def stopped(question: Question, units: int) -> bool:
            climate = question.climate
            assert climate is not None
            rules = rules_in_force(question.van, question.place).rules.title
            low_c = math.floor(climate.temp_low_c / _BRACKET_C) * _BRACKET_C
            high_c = math.floor(climate.temp_high_c / _BRACKET_C) * _BRACKET_C
            about = (van, rules)
            key = (*about, units, low_c, high_c)
            if key not in self._kept:
                self._kept[key] = self._in_bracket(question, units, about, low_c, high_c)
            known = self._kept[key]
            return bool(bank_stops(question, units)) if known is None else known

        return stopped

    def _in_bracket(
        self, question: Question, units: int, about: tuple[object, ...], low_c: float, high_c: float
    ) -> bool | None:
        """Whether the bank is stopped throughout a bracket; None where places in it differ."""
        found = []
        for count in (units, question.van.units_in_series):
            harsh = self._at_corner(question, count, about, low_c, high_c + _BRACKET_C)
            mild = self._at_corner(question, count, about, low_c + _BRACKET_C, high_c)
            if harsh != mild:
                return None
            found.append(mild)
        of_units, of_smallest = found
        return not of_units <= {stop for stop in of_smallest if stop[1] != BANK}

    def _at_corner(
        self, question: Question, units: int, about: tuple[object, ...], low_c: float, high_c: float
    ) -> _Stops:
        key = (*about, units, low_c, high_c)
        if key not in self._corners:
            assert question.climate is not None
            climate = dataclasses.replace(question.climate, temp_low_c=low_c, temp_high_c=high_c)
            there = dataclasses.replace(question, climate=climate)
            self._corners[key] = stops_of_units(there, units)
        return self._corners[key]
