"""The offer in Python."""

from __future__ import annotations

from pathlib import Path

import pandas as pd

from solarsim.answers.offer.offer import OfferAnswer
from solarsim.answers.offer.offered import Offered
from solarsim.cards import Card
from solarsim.inputs.files.write import check_writable, write_file
from solarsim.present.offer import words
from solarsim.present.offer.document import offer_document
from solarsim.present.offer.make import check_offer_path, offer_bytes
from solarsim.present.offer.rows import NOT_TO_BE_BUILT
from solarsim.present.sheet.texts import load_texts
from solarsim.present.sheet.typeset import Paper
from solarsim.present.words import CAUTIONS, days_text

__all__ = ["card", "document", "frame", "save"]

document = offer_document


def card(answer: OfferAnswer) -> Card:
    """Return a line a design, what each step buys, and the caution."""
    valid = "" if answer.valid_until is None else f", valid until {answer.valid_until}"
    full = words.not_full(answer)
    return Card(
        f"Offer of {answer.date}{valid}: {words.intro(answer)[1]}",
        [
            *((one.letter, _line(answer, one)) for one in answer.designs),
            *(("step", step) for step in words.step_texts(answer)),
            *([("price", full)] if full else []),
            ("make it", ".save('offer.pdf'), .html, .xlsx, .csv or .json"),
            ("caution", CAUTIONS),
        ],
    )


def _line(answer: OfferAnswer, one: Offered) -> str:
    days = days_text(one.stay.safe_days, one.stay.days.follow_days)
    said = f"{one.van.van.name}: {days} safe, {one.list.total_kg:.1f} kg"
    if one.reasons:
        return f"{NOT_TO_BE_BUILT}: {one.reasons[0]}; {said}"
    if one.price is None or answer.prices is None:
        return said
    tax = "without tax" if answer.tax_pct is None else "with tax"
    return f"{said}, {one.price.gross:,.2f} {answer.prices.prices.currency} {tax}"


def frame(answer: OfferAnswer) -> pd.DataFrame:
    """Return one row a design: safe days first, then checks, weights and prices."""
    rows = []
    for one in answer.designs:
        row = {
            "letter": one.letter,
            "van": one.van.van.name,
            "safe_days": one.stay.safe_days,
            "p10_days": one.stay.days.p10,
            "p50_days": one.stay.days.p50,
            "p90_days": one.stay.days.p90,
            "chance_lasts": one.stay.chance_lasts,
            "may_be_built": not one.reasons,
            "worst_finding": one.worst or "",
            "panels": one.van.panels.count,
            "panels_that_fit": one.fits,
            "largest_cable": one.wiring.largest_cable,
            "largest_fuse_a": one.wiring.largest_fuse_a,
            "total_kg": one.list.total_kg,
            "roof_kg": one.list.roof_kg,
            "payload_left_kg": one.list.payload_left_kg,
        }
        if answer.prices is not None:
            price = one.price
            row |= {
                "currency": answer.prices.prices.currency,
                "parts_cost": None if price is None else price.parts,
                "labour": None if price is None else price.labour,
                "net": None if price is None else price.net,
                "tax": None if price is None else price.tax,
                "gross": None if price is None else price.gross,
                "unpriced_lines": None if price is None else price.unpriced,
            }
        rows.append(row)
    return pd.DataFrame(rows)


def save(answer: OfferAnswer, path: Path, *, paper: Paper, language: str) -> None:
    """Write the offer to a file; otherwise as `OfferAnswer.save`."""
    check_offer_path(path, field="path")
    check_writable(path)
    load_texts(language)
    write_file(path, offer_bytes(answer, path.suffix.lower(), paper=paper, language=language))
