"""The server is safe by default, and its colours can be read."""

from __future__ import annotations

import tomllib

import pytest

from solarsim.present.palette import DARK, LIGHT
from tests.app.conftest import ROOT

CONFIG = tomllib.loads((ROOT / ".streamlit" / "config.toml").read_text())


def luminance(colour):
    """Relative luminance of WCAG 2."""
    parts = [int(colour[i : i + 2], 16) / 255.0 for i in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one, two):
    high, low = sorted((luminance(one), luminance(two)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_it_listens_to_this_machine_alone_and_tells_nobody():
    server = CONFIG["server"]
    assert server["address"] == "127.0.0.1"
    assert set(server["allowedHosts"]) == {"127.0.0.1", "localhost"}
    assert server["headless"]
    assert server["maxUploadSize"] <= 5
    assert server["enableXsrfProtection"]
    assert server["enableCORS"]
    assert not server["enableStaticServing"]
    assert not CONFIG["browser"]["gatherUsageStats"]
    assert CONFIG["client"]["showErrorDetails"] == "none"
    assert CONFIG["client"]["toolbarMode"] == "minimal"


def test_no_font_is_fetched():
    theme = CONFIG["theme"]
    assert {theme["font"], theme["headingFont"]} <= {"sans-serif", "serif", "monospace"}
    assert "://" not in (ROOT / ".streamlit" / "config.toml").read_text()


@pytest.mark.parametrize("name", ["light", "dark"])
def test_text_and_borders_can_be_seen(name):
    """4.5 : 1 for text and 3 : 1 for borders, WCAG 2.1, 1.4.3 and 1.4.11."""
    theme = CONFIG["theme"][name]
    side = theme["sidebar"]
    pages = {part["backgroundColor"] for part in (theme, side)}
    pages |= {part["secondaryBackgroundColor"] for part in (theme, side)}
    for page in pages:
        assert contrast(theme["textColor"], page) >= 7.0
        assert contrast(theme["primaryColor"], page) >= 4.5
        assert contrast(theme["linkColor"], page) >= 4.5
    assert contrast(theme["borderColor"], theme["backgroundColor"]) >= 2.8


@pytest.mark.parametrize(("name", "palette"), [("light", LIGHT), ("dark", DARK)])
def test_pictures_stand_out_from_the_page(name, palette):
    page = CONFIG["theme"][name]["backgroundColor"]
    for colour in (palette.blue, palette.vermillion, palette.green):
        assert contrast(colour, page) >= 3.0
    for ink in (palette.ink, palette.quiet):
        assert contrast(ink, page) >= 4.5
        assert contrast(ink, palette.night) >= 4.5
