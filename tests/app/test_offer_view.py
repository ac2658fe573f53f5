"""The offer and prices in the app: the figures are the command line's."""

from __future__ import annotations

import dataclasses

import pytest

from solarsim.answers.buy.buy import buy_of
from solarsim.app import answering
from solarsim.app.draft import example
from solarsim.app.tables import profile_tables, van_tables, with_changes
from solarsim.app.uploads.price_file import PriceFile, bought
from solarsim.app.views.offer import designs_to_offer
from solarsim.inputs.files.toml import shipped_folder
from solarsim.inputs.files.van import van_from_data
from solarsim.inputs.prices import read_prices
from solarsim.inputs.profile import profile_from_data
from solarsim.present.buy.document import totals
from solarsim.present.offer.rows import heads, offer_rows
from solarsim.present.offer.rows import shown as cell_text
from tests.app.conftest import tables

PRICES = PriceFile("mine.toml", (shipped_folder("prices") / "example.toml").read_bytes())
WRONG = PriceFile("wrong.toml", b"[prices]\ncurrency = 'euro'")


def changed(**changes):
    tables_ = with_changes(van_tables(example().van), changes)
    return dataclasses.replace(example(), van=van_from_data(tables_, source="test"))


LARGER = changed(**{"battery.units": 3, "van.name": "Larger"})
# The check stops it: a fuse that does not protect its wire.
STOPPED = changed(**{"wiring.main.wire": "16 AWG", "van.name": "Stopped"})


def with_kept(page, view, *kept, prices=PRICES):
    page.session_state["kept"] = kept
    page.session_state["price_file"] = prices
    page.session_state["view"] = view
    page.run()
    assert not page.exception
    return page


def test_designs_are_offered_for_the_present_people_and_place():
    moved = changed(**{"stay.place": "Bergen, NO", "stay.days": 3, "battery.units": 3})
    other = profile_tables(example().profile)
    other["cabin"]["people"] = 4
    people = dataclasses.replace(moved, profile=profile_from_data(other, source="test"))
    first, second = designs_to_offer(example(), (people, example(), moved))
    assert first == example()
    assert second.profile == example().profile
    assert second.van.stay.place == example().van.stay.place
    assert second.van.battery.units == 3


def test_compare_says_what_each_design_s_parts_cost(app):
    page = with_kept(app, "Compare", LARGER)
    said = " ".join(element.value for element in page.markdown)
    costs = []
    for design in (example(), LARGER):
        answer = buy_of(answering.electrical_answer(design), read_prices("example"))
        price = dict(totals(answer))["price"]
        assert f"**{price}**".replace(",", "").split("*")[2].split(".")[0] in said.replace(",", "")
        costs.append(answer.total_cost)
    apart = costs[1] - costs[0]
    assert apart > 0.0
    assert f"{apart:,.2f}" in said
    assert "more than now" in said


@pytest.mark.slow
def test_what_must_not_be_built_has_no_price(app):
    page = with_kept(app, "Compare", STOPPED)
    said = [element.value for element in page.markdown]
    assert sum(value.startswith("**No price**") for value in said) == 1
    assert sum("Parts, price: " in value for value in said) == 1


@pytest.mark.one_plain
@pytest.mark.parametrize("view", ["Compare", "Offer", "Electrical"])
def test_prices_that_cannot_be_are_told_in_every_view(app, view):
    page = with_kept(app, view, prices=WRONG)
    if view == "Offer":
        page.button(key="FormSubmitter:offer_form-Make the offer").click().run()
    assert any("wrong" in error.value and "currency" in error.value for error in page.error)
    assert not page.exception


def test_an_offer_holds_the_command_line_s_rows(app):
    page = with_kept(app, "Offer", LARGER, STOPPED)
    page.text_input(key="offer_labour").set_value("1200,50")
    page.text_input(key="offer_tax").set_value("20")
    page.button(key="FormSubmitter:offer_form-Make the offer").click().run()
    assert not page.exception
    wish = page.session_state["offer_made"]
    assert (wish.labour, wish.tax_pct) == (1200.5, 20.0)
    answer = answering.offer_answer(
        wish.designs,
        PRICES,
        labour=1200.5,
        tax_pct=20.0,
        date=wish.date,
        valid_until=None,
    )
    assert [one.price is None for one in answer.designs] == [False, False, True]
    rows = offer_rows(answer)
    drawn = {}
    for table in tables(page):
        for at, what in enumerate(table.get("", ())):
            drawn[what] = [table[head][at] for head in heads(answer)]
    for row in rows:
        assert drawn[row.what] == [cell_text(row, index) for index in range(3)]
    assert any("STOP" in error.value for error in page.error)
    page.text_input(key="in_panels.count").set_value("1").run()
    assert any("make the offer again" in info.value for info in page.info)


@pytest.mark.one_plain
@pytest.mark.parametrize(
    ("labour", "tax", "words"), [("1,200", "", "1.200"), ("", "-3", "Tax"), ("abc", "", "number")]
)
def test_terms_that_cannot_be_are_said(app, labour, tax, words):
    page = with_kept(app, "Offer")
    page.text_input(key="offer_labour").set_value(labour)
    page.text_input(key="offer_tax").set_value(tax)
    page.button(key="FormSubmitter:offer_form-Make the offer").click().run()
    assert not page.exception
    assert any(words in error.value.replace("&#46;", ".") for error in page.error)
    assert "offer_made" not in page.session_state


def test_without_a_price_file_nothing_is_priced():
    check = answering.electrical_answer(example())
    assert bought(check, None).unpriced == len(bought(check, None).items)
    assert bought(check, PRICES).unpriced < len(bought(check, PRICES).items)
