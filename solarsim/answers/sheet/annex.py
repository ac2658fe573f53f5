"""What the builder reads beside the buyer's sheet."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from solarsim.answers.question import Question
from solarsim.answers.seasons import SeasonsAnswer, seasons
from solarsim.answers.sheet.ways import Way, WayName
from solarsim.answers.stay import StayAnswer, stay
from solarsim.electrical.check import Check, check_van
from solarsim.weather.record import Place

__all__ = ["Annex", "annex_of"]


@dataclasses.dataclass(frozen=True)
class Annex:
    """What the builder reads: the stay with its ledger, the electrical check, all months.

    The check is that of the way of living that it finds most against, of equals the heaviest.
    """

    stay: StayAnswer
    check_way: WayName
    check: Check
    seasons: SeasonsAnswer


def annex_of(question: Question, ways: Sequence[Way], also: Sequence[Place] = ()) -> Annex:
    """Answer the builder's part of a question with the typical way of living.

    The electrical check counts the cold and the heat of the sheet's other places, `also`.
    """
    checks = {
        way.name: check_van(
            question.van,
            way.profile,
            question.place,
            climate=question.climate,
            series=question.series,
            also=also,
        )
        for way in ways
    }
    worst = max(reversed(checks), key=lambda name: _severities(checks[name]))
    return Annex(
        stay=stay(question), check_way=worst, check=checks[worst], seasons=seasons(question)
    )


def _severities(check: Check) -> tuple[int, int]:
    severities = [finding.severity for finding in check.findings]
    return severities.count("stop"), severities.count("warn")
