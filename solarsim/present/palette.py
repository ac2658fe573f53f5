"""Colours of the pictures on a light and on a dark page; never the only carrier of a meaning.

Chosen from the set of Okabe and Ito so that lines and bars stand out from the page by 3 : 1 and
from each other for most readers who confuse colours.

References
----------
.. [1] M. Okabe and K. Ito, "Color universal design", 2008.
"""

from __future__ import annotations

import dataclasses

__all__ = ["DARK", "LIGHT", "Palette"]


@dataclasses.dataclass(frozen=True)
class Palette:
    """Colours by their part; `page` and the pale ones lie behind, `ink` is written on them."""

    page: str
    ink: str
    quiet: str
    grid: str
    night: str
    band: str
    pale_band: str
    blue: str
    vermillion: str
    green: str
    pale_blue: str
    pale_vermillion: str
    shaded: str


LIGHT = Palette(
    page="#FFFFFF",
    ink="#22302F",
    quiet="#4D4D4D",
    grid="#DDE2E0",
    night="#E8E8EE",
    band="rgba(0,114,178,0.25)",
    pale_band="rgba(0,114,178,0.12)",
    blue="#0072B2",
    vermillion="#D55E00",
    green="#009E73",
    pale_blue="#D6E9F5",
    pale_vermillion="#FBE3D2",
    shaded="#8FA9BC",
)
DARK = Palette(
    page="#15201F",
    ink="#E6ECEA",
    quiet="#A9B5B2",
    grid="#33413F",
    night="#0B1211",
    band="rgba(86,180,233,0.30)",
    pale_band="rgba(86,180,233,0.15)",
    blue="#56B4E9",
    vermillion="#E9803A",
    green="#2FB58C",
    pale_blue="#1F3C4D",
    pale_vermillion="#4A2E1C",
    shaded="#0B1211",
)
