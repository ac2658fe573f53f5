"""The wiring plan and the list of what to buy in the electrical view."""

from __future__ import annotations

import pytest

from solarsim.answers.question import ask
from solarsim.answers.wiring.wiring import wiring
from solarsim.app.uploads.price_file import PriceFile, bought
from solarsim.app.uploads.upload import read_upload
from solarsim.errors import InputError
from solarsim.inputs.prices import read_prices
from tests.app.test_roof_and_electrical import WRONG, with_van


@pytest.mark.slow
def test_the_plan_is_drawn_with_its_files(app, visit):
    page = visit(app, "Electrical")
    drawn = [block.proto.body for block in page.get("html")]
    pictures = [body for body in drawn if "data:image/svg+xml" in body]
    assert len(pictures) == 3
    assert all('tabindex="0"' in body and 'alt="Single-line' in body for body in pictures)
    words = " ".join(element.value for element in page.markdown)
    assert "on the roof: " in words
    assert "Bank, chargers and buses" in words


@pytest.mark.slow
def test_what_is_stopped_stands_on_top_of_the_plan(app, visit):
    def boxes(page):
        page = visit(page, "Electrical")
        return [b.proto.body for b in page.get("html") if "STOP: do not build" in b.proto.body]

    assert boxes(app) == []
    (box,) = boxes(with_van(app, *WRONG))
    assert "16 AWG of" in box


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"[prices]\ncurrency = 'EUR'\n[[parts]]\npart = 'gold'\ncost = 1", "no such part"),
        (b"[prices]\ncurrency = 'euro'", "prices.currency"),
    ],
)
def test_prices_that_cannot_be_are_told_by_the_file_s_own_name(content, told):
    check = wiring(ask("weekender")).check
    with pytest.raises(InputError) as refused:
        bought(check, PriceFile("mine.toml", content))
    assert "mine.toml" in str(refused.value)
    assert told in str(refused.value)


def test_an_upload_of_prices_is_spoken_of_by_its_own_name():
    with pytest.raises(InputError, match=r"^mine\.toml: "):
        read_upload(lambda path: read_prices(str(path)), "mine.toml", b"not = [toml")
