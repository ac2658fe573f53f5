"""Whether the panels have room on the roof: what cannot be built is not wired either."""

from __future__ import annotations

from collections.abc import Iterator

from solarsim.electrical.findings import Compared, Finding
from solarsim.inputs.counts import count_text
from solarsim.inputs.roof import Roof
from solarsim.inputs.van import Van
from solarsim.packing.by_hand import room_faults
from solarsim.packing.fit import fitting_counts
from solarsim.packing.layout import panel_size

__all__ = ["placement_findings"]

_SOURCE = "the roof as the van's file draws it: outline, margin, gaps, obstacles and walkway"


def placement_findings(van: Van) -> Iterator[Finding]:
    """Yield a finding where the van's own panels do not fit on its roof, in whole strings.

    Nothing is said of a van without a ``[roof]`` table, nor of further arrays, which are not
    placed.
    """
    count = van.panels.count
    if van.roof is None or not count:
        return
    if van.roof.panels:
        yield from _by_hand(van, van.roof)
    fitting = fitting_counts(van)
    if count in fitting:
        return
    most = max(fitting)
    fewer = [each for each in fitting if each < count]
    yield Finding(
        id="roof-room",
        severity="stop",
        where="roof",
        compared=Compared(float(count), float(most), "panels"),
        source=_SOURCE,
        message=f"the roof as drawn has no room for {count} panels; {most} fit"
        + (f" in whole strings of {van.panels.series}" if van.panels.series > 1 else ""),
        advice=f"take {max(fewer)} panels of this size or smaller ones, or move what stands there"
        if max(fewer)
        else "take smaller panels, or move what stands there",
    )


def _by_hand(van: Van, roof: Roof) -> Iterator[Finding]:
    """Yield what is wrong with places that were given for the panels."""
    given, count = len(roof.panels), van.panels.count
    if given != count:
        yield Finding(
            id="roof-places",
            severity="note",
            where="roof",
            compared=Compared(float(given), float(count), "panels"),
            source=_SOURCE,
            message=f"roof.panels names {count_text(given, 'place')} and the van has "
            f"{count_text(count, 'panel')}: they are laid out anew",
            advice="give a place for each panel, or leave roof.panels out",
        )
        return
    faults = room_faults(roof, panel_size(van.panels))
    if faults:
        yield Finding(
            id="roof-places",
            severity="stop",
            where="roof",
            compared=Compared(float(len(faults)), 0.0, "panels"),
            source=_SOURCE,
            message="the panels have no room where roof.panels puts them: " + "; ".join(faults),
            advice="move them, or leave roof.panels out, which lays them out anew",
        )
