"""The views by the part of the job. A new one is a file with a ``show`` and a line here."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from solarsim.app.draft import Draft
from solarsim.app.views import (
    appliances,
    buyer,
    compare,
    electrical,
    interview,
    levers,
    log,
    offer,
    region,
    roof,
    save,
    search,
    seasons,
    sheet,
    stay,
    trip,
    tune,
)

__all__ = ["CAUTIONS_FIRST", "OWN_LANGUAGE", "PLACES", "SAYS_STOPS", "TITLES", "VIEWS", "place_of"]

# What a builder is at, and the views that belong to it.
PLACES: Mapping[str, Mapping[str, Callable[[Draft], None]]] = {
    "Answer": {
        "Answer": stay.show,
        "Seasons": seasons.show,
        "Trip": trip.show,
        "Map": region.show,
    },
    "Design": {
        "Interview": interview.show,
        "Appliances": appliances.show,
        "Roof": roof.show,
        "Electrical": electrical.show,
    },
    "Compare": {
        "Changes": levers.show,
        "Tune": tune.show,
        "Search": search.show,
        "Compare": compare.show,
    },
    "Hand over": {
        "Buyer": buyer.show,
        "Sheet": sheet.show,
        "Offer": offer.show,
        "Save": save.show,
        "Log": log.show,
    },
}
VIEWS: Mapping[str, Callable[[Draft], None]] = {
    name: show for views in PLACES.values() for name, show in views.items()
}
# A view that is called like its place in links, as its button says it.
TITLES: Mapping[str, str] = {"Answer": "This stay", "Compare": "Side by side"}
# Whoever reads these may reach for a crimping tool next.
CAUTIONS_FIRST = frozenset({"Electrical"})
# It says in full by itself what must not be built.
SAYS_STOPS = frozenset({"Electrical"})
# It has the box of languages in itself, where a buyer finds it; the others beside them.
OWN_LANGUAGE = frozenset({"Buyer"})


def place_of(view: str) -> str:
    """Return the place that a view belongs to."""
    return next(place for place, views in PLACES.items() if view in views)
