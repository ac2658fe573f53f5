"""The sheet in a few words, for a listing: 60, 300 and 1,200 characters at most."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Any

from solarsim.present.sheet.forms import Texts, date_text, given
from solarsim.present.sheet.page import plan_text, start_text, van_line
from solarsim.present.sheet.safe import medical_text, often, safe_days
from solarsim.present.sheet.texts import (
    days_phrase,
    load_texts,
    percent_text,
    whole,
)

__all__ = ["LENGTHS", "at_word", "listing_text", "listing_texts"]

LENGTHS = (60, 300, 1200)
# A place's and a van's name in a text, and the description of the typical use.
_NAME, _PLACE, _DESCRIPTION = 80, 40, 160
# Of a sentence the variants, the longest first; "" is none at all.
Variants = Sequence[str]


def listing_texts(document: dict[str, Any], language: str = "en") -> dict[str, str]:
    """Return the three texts by their largest length; the figures are the sheet's.

    The days that are safe lead, and the caution stands in the longer two. A text is never longer
    than it may be: what does not fit is left out by whole sentences, names at the end of a word.

    Parameters
    ----------
    document : dict
        From `solarsim.present.sheet.document.sheet_document`.
    language : str
        Of the catalogue.
    """
    texts = load_texts(language)
    made = {
        "60": _shortest(document, texts),
        "300": _fitted(_sentences(document, texts), 300),
        "1200": _fitted(_sentences(document, texts, long=True), 1200),
    }
    for length, text in made.items():
        assert len(text) <= int(length), (length, len(text))
    return made


def listing_text(document: dict[str, Any]) -> str:
    """Return the three texts one below the other, as a file or on a terminal."""
    return "\n\n".join(
        f"{int(length):,} characters at most ({len(text):,}):\n{text}"
        for length, text in document["listing"].items()
    )


def at_word(text: str, most: int) -> str:
    """Return a person's text on one line, cut at the end of a word; empty where none fits.

    Examples
    --------
    >>> at_word("Salzburg, AT", 40), at_word("a long name of a van", 12), at_word("abcdef", 3)
    ('Salzburg, AT', 'a long name…', '')
    """
    line = " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())
    if len(line) <= most:
        return line
    cut = line[:most].rpartition(" ")[0].rstrip(" ,;:-")
    return f"{cut}…" if cut else ""


def _shortest(document: dict[str, Any], texts: Texts) -> str:
    words = texts["listing"]
    days = _safe_pair(document["regions"][0]["days"]["typical"], document, texts)
    said = days | {"often": often(document, texts, short=True)}
    place = at_word(document["regions"][0]["place"]["name"], _PLACE)
    near = words["shortest_near"].format(place=place, **said) if place else ""
    tried = (near, words["shortest"].format(**said), words["shortest_bare"].format(**said))
    return next(text for text in map(_plain, tried) if 0 < len(text) <= 60)


def _sentences(
    document: dict[str, Any], texts: Texts, *, long: bool = False
) -> list[tuple[int, Variants]]:
    """Sentences in their order, each with its rank: 0 must stand, 1 comes first of the others."""
    words, van = texts["listing"], document["van"]
    home = document["regions"][0]
    caution = texts["cautions"]["expected"] if long else words["expected"]
    named = medical_text(
        document, texts, lambda one: at_word(given(texts, "appliances", one), _PLACE)
    )
    medical = [named, texts["medical"]["short"]]
    found: list[tuple[int, Variants]] = [
        (0, _safe(document, texts)),
        (2, [words["has"].format(line=van_line(van, texts).replace("\u00a0·", ","))]),
    ]
    if long:
        name = at_word(van["name"], _NAME)
        found.insert(0, (1, [f"{name}." if name else ""]))
        found += [
            (3, [_half(home["days"]["typical"], texts)]),
            *((5, [_other_way(way, home, document, texts)]) for way in _others(home)),
            (4, [_use(document, texts)]),
            (6, [_recharge(document, texts)]),
            *((7, [_other_place(region, document, texts)]) for region in document["regions"][1:]),
            (8, [_made(document, texts)]),
        ]
    if document["medical"]:
        found.append((0, medical if long else medical[1:]))
    found.append((0, [caution, words["expected"], texts["card"]["footer"]]))
    return [(rank, [_plain(text) for text in variants]) for rank, variants in found]


def _safe(document: dict[str, Any], texts: Texts) -> list[str]:
    words, home = texts["listing"], document["regions"][0]
    given = _safe_pair(home["days"]["typical"], document, texts) | {
        "often": often(document, texts),
        "way": texts["with_ways"]["typical"],
        "start": start_text(document, texts),
        "plan": plan_text(document, texts),
    }
    # The place at its full length first, then shorter.
    near = [place for most in (_PLACE, 20) if (place := at_word(home["place"]["name"], most))]
    brief = given | {"often": often(document, texts, short=True)}
    briefest = brief | {"plan": plan_text(document, texts, brief=True)}
    return [
        *(words["safe_near"].format(place=one, **given) for one in near),
        *(words["safe_nearby"].format(place=one, **given) for one in near),
        words["safe"].format(**given),
        words["safe"].format(**brief),
        words["safe"].format(**briefest),
    ]


def _safe_pair(
    rows: list[dict[str, Any]], document: dict[str, Any], texts: Texts
) -> dict[str, str]:
    """What is safe in winter and in summer, with their units."""
    return {
        row["season"]: days_phrase(
            texts, safe_days(document, row), row["follow_days"], at_least=True
        )
        for row in rows
        if row["season"] in {"winter", "summer"}
    }


def _half(rows: list[dict[str, Any]], texts: Texts) -> str:
    pair = {row["season"]: row for row in rows}
    days = {
        season: days_phrase(texts, pair[season]["p50"], pair[season]["follow_days"])
        for season in ("winter", "summer")
    }
    reached = any(pair[one]["p50"] >= pair[one]["follow_days"] for one in days)
    return str(texts["listing"]["half_or_more" if reached else "half"].format(**days))


def _others(home: dict[str, Any]) -> list[str]:
    return [way for way in home["days"] if way != "typical"]


def _other_way(way: str, home: dict[str, Any], document: dict[str, Any], texts: Texts) -> str:
    named = texts["with_ways"][way]
    pair = _safe_pair(home["days"][way], document, texts)
    return str(texts["listing"]["other_way"].format(way=named[:1].upper() + named[1:], **pair))


def _other_place(region: dict[str, Any], document: dict[str, Any], texts: Texts) -> str:
    place = at_word(region["place"]["name"], _PLACE)
    if not place:
        return ""
    pair = _safe_pair(region["days"]["typical"], document, texts)
    return str(texts["listing"]["other_place"].format(place=place, **pair))


def _use(document: dict[str, Any], texts: Texts) -> str:
    way = next(way for way in document["ways"] if way["way"] == "typical")
    described = at_word(given(texts, "ways", way["description"] or way["name"]), _DESCRIPTION)
    if not described:
        return ""
    text = str(texts["listing"]["use"].format(description=described))
    return text if text.endswith((".", "…")) else f"{text}."


def _recharge(document: dict[str, Any], texts: Texts) -> str:
    words, got, van = texts["listing"], document["recharge"], document["van"]
    said = []
    if van["panels_w"] + van["more_roof_w"] + van["portable_w"]:
        june, december = (
            percent_text(texts, got[f"sun_{month}_share"]) for month in ("june", "december")
        )
        said.append(words["sun"].format(june=june, december=december))
    if got["drive_hour_share"] is not None:
        said.append(words["drive"].format(share=percent_text(texts, got["drive_hour_share"])))
    return " ".join(said)


def _made(document: dict[str, Any], texts: Texts) -> str:
    date = dt.date.fromisoformat(document["date"])
    day = date_text(texts, date)
    runs = whole(texts, min(region["runs"] for region in document["regions"]))
    return str(texts["listing"]["made"].format(runs=runs, date=day))


def _fitted(sentences: list[tuple[int, Variants]], most: int) -> str:
    """Put together what fits: what must stand first, then the others by their rank."""
    taken: dict[int, str] = {
        index: variants[-1] for index, (rank, variants) in enumerate(sentences) if rank == 0
    }
    # Of what must stand the cautions at their full length first.
    order = sorted(
        range(len(sentences)),
        key=lambda index: (sentences[index][0], index if sentences[index][0] else -index),
    )
    for index in order:
        for text in sentences[index][1]:
            tried = taken | {index: text}
            if len(_joined(tried)) <= most:
                taken = tried
                break
    return _joined(taken)


def _joined(taken: dict[int, str]) -> str:
    return " ".join(taken[index] for index in sorted(taken) if taken[index])


def _plain(text: str) -> str:
    """The text with plain spaces, for a form that takes no others."""
    return text.replace("\u00a0", " ").replace("\u202f", " ")
