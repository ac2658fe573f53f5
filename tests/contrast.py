"""How far two colours are apart."""

from __future__ import annotations

import re

NAMED = {"white": "#FFFFFF", "black": "#000000"}


def luminance(colour):
    """Relative luminance of WCAG 2.2, of ``#RRGGBB``, ``rgb(r, g, b)`` or a name."""
    colour = NAMED.get(colour, colour)
    if colour.startswith("#"):
        parts = [int(colour[i : i + 2], 16) / 255.0 for i in (1, 3, 5)]
    else:
        parts = [float(part) / 255.0 for part in re.findall(r"[\d.]+", colour)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one, two):
    """Contrast ratio of WCAG 2.2."""
    high, low = sorted((luminance(one), luminance(two)), reverse=True)
    return (high + 0.05) / (low + 0.05)
