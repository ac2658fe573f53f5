"""Whether the panels have room on the roof: what cannot be built is not wired either."""

from __future__ import annotations

from collections.abc import Iterator

from solarsim.electrical.findings import Compared, Finding
from solarsim.inputs.van import Van
from solarsim.packing.fit import fitting_counts

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
