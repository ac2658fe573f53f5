"""Prices and weights: one currency, each part once, all checked like a file."""

from __future__ import annotations

import pytest

from solarsim.errors import InputError
from solarsim.inputs.prices import Part, Prices, PricesIdentity, checked_prices, read_prices


def file(tmp_path, text):
    path = tmp_path / "mine.toml"
    path.write_text(text, encoding="utf-8")
    return str(path)


def test_the_shipped_example_says_that_it_is_one():
    prices = read_prices("example")
    assert "Invented" in prices.prices.description
    assert all(part.cost is not None for part in prices.parts)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("[[parts]]\npart = 'x'\ncost = 1", "prices: is required"),
        ("[prices]\ncurrency = 'Euro'", "prices.currency: got 'Euro'"),
        ("[prices]\ncurrency = 'EUR'\n[[parts]]\npart = 'x'", "give cost, weight_kg or both"),
        ("[prices]\ncurrency = 'EUR'\n[[parts]]\npart = 'x'\ncost = -1", "parts.0.cost: got -1"),
        ("[prices]\ncurrency = 'EUR'\n[[parts]]\npart = 'x'\ncost = nan", "parts.0.cost"),
        (
            "[prices]\ncurrency = 'EUR'\n[[parts]]\npart = 'x'\ncost = 1\ncurrency = 'USD'",
            "'x' is in USD, the file in EUR",
        ),
        (
            "[prices]\ncurrency = 'EUR'\n[[parts]]\npart='x'\ncost=1\n[[parts]]\npart='x'\ncost=2",
            "'x' is given twice",
        ),
        (
            "[prices]\ncurrency = 'EUR'\n[[parts]]\npart = 'x'\nprice = 1\ncost = 1",
            "parts.0.price: unknown key",
        ),
    ],
)
def test_what_cannot_be_is_refused(tmp_path, text, told):
    with pytest.raises(InputError) as refused:
        read_prices(file(tmp_path, text))
    assert told in str(refused.value)
    assert "mine.toml" in str(refused.value)


def test_no_such_file_tells_the_shipped_ones():
    with pytest.raises(InputError, match="shipped: example"):
        read_prices("no-such-prices")


def test_a_changed_copy_is_checked_like_a_file():
    good = Prices(prices=PricesIdentity(currency="USD"), parts=(Part(part="shunt", cost=20.0),))
    assert checked_prices(good) == good
    spoiled = good.model_copy(update={"parts": (*good.parts, *good.parts)})
    with pytest.raises(InputError, match="given twice"):
        checked_prices(spoiled)
