"""The views, in the order of their buttons. A new one is a file with a ``show`` and a line here."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from solarsim.app.design import Design
from solarsim.app.views import appliances, compare, levers, save, seasons, stay, tune

__all__ = ["VIEWS"]

VIEWS: Mapping[str, Callable[[Design], None]] = {
    "Answer": stay.show,
    "Appliances": appliances.show,
    "Tune": tune.show,
    "Changes": levers.show,
    "Seasons": seasons.show,
    "Compare": compare.show,
    "Save": save.show,
}
