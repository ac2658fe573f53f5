"""The views, in the order of their buttons. A new one is a file with a ``show`` and a line here."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from solarsim.app.draft import Draft
from solarsim.app.views import (
    appliances,
    buyer,
    compare,
    electrical,
    levers,
    log,
    region,
    roof,
    save,
    seasons,
    sheet,
    stay,
    trip,
    tune,
)

__all__ = ["CAUTIONS_FIRST", "SAYS_STOPS", "VIEWS"]

VIEWS: Mapping[str, Callable[[Draft], None]] = {
    "Answer": stay.show,
    "Appliances": appliances.show,
    "Roof": roof.show,
    "Tune": tune.show,
    "Changes": levers.show,
    "Seasons": seasons.show,
    "Trip": trip.show,
    "Map": region.show,
    "Electrical": electrical.show,
    "Compare": compare.show,
    "Log": log.show,
    "Buyer": buyer.show,
    "Sheet": sheet.show,
    "Save": save.show,
}
# Whoever reads these may reach for a crimping tool next.
CAUTIONS_FIRST = frozenset({"Electrical"})
# It says in full by itself what must not be built.
SAYS_STOPS = frozenset({"Electrical"})
