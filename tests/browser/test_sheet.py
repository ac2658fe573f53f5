"""From the page to the buyer's sheet in hand: made, looked at, downloaded, read."""

from __future__ import annotations

import io
import re

import pypdf
import pytest
from PIL import Image

from solarsim.answers.question import ask
from solarsim.answers.sheet.sheet import sheet
from solarsim.present.sheet.texts import days_number, load_texts
from tests.browser.test_story import settled, view


def downloaded(page, name):
    with page.expect_download() as waiting:
        page.get_by_role("button", name=name).click()
    return waiting.value


@pytest.mark.parametrize("size", ["phone", pytest.param("desk", marks=pytest.mark.slow)])
def test_the_sheet_is_made_and_taken_away(open_page, faults, size, tmp_path):
    page = open_page(size)
    settled(page)
    view(page, "Sheet")
    page.get_by_role("heading", name="The buyer's sheet").wait_for()
    page.get_by_label("More places").fill("Bergen, NO")
    photo = tmp_path / "van.jpg"
    Image.new("RGB", (800, 500), "teal").save(photo)
    page.locator("input[type=file]").last.set_input_files(photo)
    page.get_by_text("van.jpg").wait_for()
    page.get_by_role("button", name="Make the sheet").click()
    page.get_by_role("button", name="The sheet, as PDF").wait_for(timeout=120_000)
    picture = page.get_by_role("img", name="The page as it prints")
    picture.wait_for()
    assert faults(page) == []
    wide = page.evaluate("document.documentElement.clientWidth")
    assert picture.bounding_box()["width"] <= wide
    got = downloaded(page, "The sheet, as PDF")
    assert got.suggested_filename == "weekender-sheet.pdf"
    pdf = pypdf.PdfReader(io.BytesIO(got.path().read_bytes()))
    said = re.sub(r"\s+", " ", pdf.pages[0].extract_text().replace("\u00a0", " "))
    assert len(pdf.pages) == 1
    assert "Bergen, NO" in said
    # The figures are those of the command line at as many runs.
    answer = sheet(ask("weekender"), regions=["Bergen, NO"])
    row = answer.regions[1].days["typical"]
    texts = load_texts()
    assert (
        " ".join(
            f"{days_number(texts, one.days.p50, 30)} "
            f"≥ {days_number(texts, one.days.p10, 30, at_least=True)}"
            for one in row
        )
        in said
    )
    with Image.open(downloaded(page, "A square card").path()) as card:
        assert card.size == (1080, 1080)
    web = downloaded(page, "The sheet, as HTML").path().read_text(encoding="utf-8")
    page.set_content(web)
    page.get_by_role("heading", name="Weekender").wait_for()
    assert page.evaluate("document.documentElement.scrollWidth") <= wide
    assert page.evaluate("document.images.length") == 1
    assert faults(page) == []
