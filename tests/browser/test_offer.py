"""An offer and prices beside designs, with a price file that is uploaded once."""

from __future__ import annotations

import pytest

from solarsim.inputs.files.toml import shipped_folder
from tests.browser.test_nothing_lost import give
from tests.browser.test_story import close_inputs, fits, open_inputs, settled, view

PRICES = str(shipped_folder("prices") / "example.toml")


@pytest.mark.parametrize("size", ["phone", "desk"])
def test_designs_are_priced_side_by_side_and_offered(open_page, faults, size):
    page = open_page(size)
    settled(page)
    view(page, "Compare")
    page.get_by_role("button", name="Keep the present design").click()
    settled(page)
    open_inputs(page, size)
    give(page, "Batteries", "3")
    close_inputs(page, size)
    main = page.get_by_test_id("stMain")
    main.locator("input[type=file]").set_input_files(PRICES)
    page.get_by_text("Prices of example.toml").wait_for()
    settled(page)
    assert main.get_by_text("Parts, price: ").count() == 2
    assert main.get_by_text("less than now").count() == 1
    assert fits(page) == [True, []]
    view(page, "Offer")
    # It was uploaded in another view.
    page.get_by_text("Prices of example.toml").wait_for()
    page.get_by_label("Labour, without tax").fill("1500")
    page.get_by_label("Tax, %").fill("19")
    page.get_by_role("button", name="Make the offer").click()
    page.get_by_role("heading", name="What each step buys").wait_for(timeout=90_000)
    settled(page)
    assert fits(page) == [True, []]
    assert faults(page) == []
    for name, ending in (("as PDF", ".pdf"), ("as a workbook", ".xlsx"), ("as CSV", ".csv")):
        with page.expect_download() as download:
            page.get_by_role("button", name=f"The offer, {name}").click()
        assert download.value.suggested_filename == f"weekender-offer{ending}"
        assert download.value.path().stat().st_size > 1000
    assert page.get_by_test_id("stException").count() == 0
