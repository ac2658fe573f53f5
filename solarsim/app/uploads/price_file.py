"""An uploaded price file, read as one of ours."""

from __future__ import annotations

import dataclasses

from solarsim.answers.buy.buy import BuyAnswer, buy_of
from solarsim.app.uploads.upload import read_upload
from solarsim.electrical.check import Check
from solarsim.inputs.prices import Prices, read_prices

__all__ = ["PriceFile", "bought", "prices_of"]


@dataclasses.dataclass(frozen=True)
class PriceFile:
    """A price file: what it was called, for messages alone, and what is in it."""

    name: str
    content: bytes


def prices_of(file: PriceFile) -> Prices:
    """Read a price file.

    Raises
    ------
    InputError
        As for `read_prices`; the file is spoken of by its own name.
    """
    return read_upload(lambda path: read_prices(str(path)), file.name, file.content)


def bought(check: Check, file: PriceFile | None) -> BuyAnswer:
    """Return what is bought for a checked van, priced where there is a price file.

    Raises
    ------
    InputError
        The file cannot be read, or prices what no list could hold.
    """
    if file is None:
        return buy_of(check)
    return buy_of(check, prices_of(file), source=file.name)
