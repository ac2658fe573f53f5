"""The sheet of vans that lack something, carry more, or are lived in in fewer ways."""

from __future__ import annotations

import copy
import json

import pytest

from solarsim.answers.question import ask
from solarsim.answers.sheet.sheet import sheet
from solarsim.present.sheet.document import sheet_document
from solarsim.present.sheet.glyphs import Cleaner
from solarsim.present.sheet.page import sheet_page
from solarsim.present.sheet.texts import load_texts
from solarsim.present.stay.documents import to_json
from tests.present.sheet.test_files import DATE, pdf_text, words_of


@pytest.fixture(scope="module")
def plain():
    """The sheet without the builder's pages."""
    answer = sheet(ask("weekender", runs=8), regions=["Bergen, NO", "Hobart, AU"])
    return json.loads(to_json(sheet_document(answer, date=DATE)))


@pytest.mark.slow
def test_the_roof_of_a_van_whose_panels_do_not_fit(plain):
    changed = copy.deepcopy(plain)
    changed["van"] |= {"panels": 9, "panels_w": 1800.0}
    changed["roof"]["own"] |= {"count": 9, "panels": None}
    shown = len(changed["roof"]["panels"])
    assert f"9 panels of 200 W. The plan shows the {shown} that fit." in pdf_text(changed)


@pytest.mark.slow
def test_portable_panels_are_told_apart_and_their_setting_up_is_said(plain):
    changed = copy.deepcopy(plain)
    changed["van"] |= {"more_roof_w": 100.0, "portable_w": 120.0}
    said = pdf_text(changed)
    assert "500 W of solar panels · 120 W of portable panels" in said
    assert "without driving or plugging in and with the portable panels set up" in said


@pytest.mark.slow
def test_a_van_of_lead_without_chargers_sockets_roof_and_panels(plain):
    changed = copy.deepcopy(plain)
    changed["van"] |= {
        "chemistry": "flooded",
        "inverter_w": None,
        "dcdc_a": 0.0,
        "charger_a": 0.0,
        "panels": 0,
        "panels_w": 0.0,
    }
    changed["recharge"] |= {
        "drive_hour_share": None,
        "shore_night_share": None,
        "sun_june_share": 0.0,
        "sun_december_share": 0.0,
    }
    changed["roof"] = None
    kettle = {"name": "kettle", "power_w": 1500.0, "reason": "no inverter"}
    changed["ways"][2]["left_out"] = [kettle]
    said = pdf_text(changed)
    assert "Kettle – – not on this van –" in said
    assert "What is not on this van is not in the days above." in said
    for words in ("no solar panels", "no mains sockets", "flooded lead-acid", "not fitted"):
        assert words in said
    assert "top up with distilled water" in said
    assert "lithium battery" not in said.lower()
    assert "The roof" not in said
    assert "Mains voltage can kill" not in said


@pytest.mark.slow
def test_a_use_that_is_left_out_has_no_column(plain):
    changed = copy.deepcopy(plain)
    changed["ways"] = [way for way in changed["ways"] if way["way"] != "light"]
    changed["ways_left_out"] = ["light"]
    for region in changed["regions"]:
        del region["days"]["light"]
    page = sheet_page(changed, load_texts(), units="metric", clean=Cleaner(limited=True))
    said = pdf_text(changed)
    rows = [words_of(" ".join(row)) for row in page["runs"]["rows"]]
    assert len(rows) >= 5
    assert [row for row in rows if row not in said] == []
