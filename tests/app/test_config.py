"""The server is safe by default, and its colours can be read."""

from __future__ import annotations

import tomllib

import pytest

from solarsim.present.palette import DARK, LIGHT
from tests.app.conftest import ROOT
from tests.contrast import contrast

CONFIG = tomllib.loads((ROOT / ".streamlit" / "config.toml").read_text())


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
        assert contrast(theme["borderColor"], page) >= 3.0


@pytest.mark.parametrize(("name", "palette"), [("light", LIGHT), ("dark", DARK)])
def test_pictures_stand_out_from_the_page(name, palette):
    page = CONFIG["theme"][name]["backgroundColor"]
    for colour in (palette.blue, palette.vermillion, palette.green):
        assert contrast(colour, page) >= 3.0
    for ink in (palette.ink, palette.quiet):
        assert contrast(ink, page) >= 4.5
        assert contrast(ink, palette.night) >= 4.5
