"""The builder's annex in words: ledger, months, findings, cables and fuses as plain tables."""

from __future__ import annotations

import functools
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

from solarsim.inputs.counts import count_text
from solarsim.present.sheet.forms import Texts, language_name, month_name
from solarsim.present.sheet.texts import chance_words, load_texts, percent_text, whole

__all__ = ["annex_page", "unreviewed"]

Clean = Callable[[str, str], str]


def annex_page(
    document: dict[str, Any], *, clean: Clean, language: str = "en"
) -> dict[str, Any] | None:
    """Return the annex's strings, in English; None where the document holds none.

    Parameters
    ----------
    document : dict
        From `sheet_document`.
    clean : callable
        As for `sheet_page`.
    language : str
        Of the sheet before it: where no native reader has reviewed its words, the annex says so.
    """
    annex = document["annex"]
    if annex is None:
        return None
    texts = load_texts() | _annex_words()
    words, stay = texts["annex"], annex["stay"]
    days = stay["days_unplugged"]
    p10, p50, p90 = (_days(days[key], days["follow_days"], texts) for key in ("p10", "p50", "p90"))
    real = stay["real_years"]
    return {
        "title": words["title"],
        "intro": words["intro"].format(
            van=clean(document["van"]["name"], "van") or texts["title"]["unnamed"],
            place=clean(stay["place"]["name"], "places"),
            month=month_name(texts, stay["stay"]["month"]),
            days=count_text(stay["stay"]["days"], "day"),
            way=texts["with_ways"]["typical"],
            p10=p10,
            p50=p50,
            p90=p90,
            chance=chance_words(texts, stay["chance_lasts"]),
        )
        + ("" if real is None else f" {clean(real['text'], 'annex')}")
        + "".join(f" {said}" for said in unreviewed(language)),
        "plan": _plan(document, texts, clean),
        "tables": [
            _ledger(stay, document["van"], texts),
            _months(annex["seasons"], days["follow_days"], texts),
            _findings(annex, texts, clean),
            _cables(annex["check"], texts, clean),
        ],
        "assumed": words["assumed"].format(
            items="; ".join(
                clean(one, "annex")
                for one in (annex["check"]["rules_why"].rstrip("."), *annex["check"]["assumed"])
            ),
            unlooked="; ".join(clean(one, "annex") for one in annex["check"]["not_looked_at"]),
        ),
        "cautions": annex["check"]["cautions"],
    }


def unreviewed(language: str, what: str = "sheet") -> list[str]:
    """Say, in English, that no native reader has reviewed a language's texts, where so."""
    texts = load_texts(language)
    said = str(_annex_words()["annex"]["unreviewed"])
    return [] if texts["reviewed"] else [said.format(language=language_name(texts), what=what)]


@functools.cache
def _annex_words() -> Texts:
    path = Path(__file__).with_name("annex.toml")
    return tomllib.loads(path.read_text(encoding="utf-8"))


def _plan(document: dict[str, Any], texts: Texts, clean: Clean) -> dict[str, Any]:
    """Return the wiring plan: what is stopped, and its panels with the place of every mark."""
    # Few sheets have an annex, and most of the wiring's room is loaded for its plan alone.
    from solarsim.present.wiring.page import LEGEND, cleaned_panels
    from solarsim.present.wiring.read_back import stopped_of_document, topology_of_document

    check = document["annex"]["check"]
    topology = topology_of_document(check["circuit"])
    stops = [one for one in check["findings"] if one["severity"] == "stop"]
    title = texts["annex"]["plan"]
    return {
        "title": title,
        "stops": [
            f"{texts['severities']['stop'].upper()}: {clean(one['where'], 'annex')}: "
            f"{clean(one['message'], 'annex')}"
            for one in stops
        ],
        "legend": LEGEND,
        "alt": title,
        "panels": cleaned_panels(topology, stopped_of_document(check, topology), clean),
    }


def _table(
    title: str, head: list[str], rows: list[list[str]], words: int, widths: list[int] | None = None
) -> dict[str, Any]:
    """Return a table whose first `words` columns are words, the others numbers.

    `widths` are shares of what is left beside columns of width 0, which take what they need.
    """
    widths = [0, *[1] * (len(head) - 1)] if widths is None else widths
    return {"title": title, "head": head, "rows": rows, "words": words, "widths": widths}


def _minus(number: str) -> str:
    return number.replace("-", "−")


def _ledger(stay: dict[str, Any], van: dict[str, Any], texts: Texts) -> dict[str, Any]:
    words, labels = texts["annex"], dict(texts["ledger"])
    ledger = stay["ledger_wh_per_day"]
    share = van["dcdc_output_share"]
    if share is not None and share < 1.0 and ledger["alternator"] + ledger["alternator_refused"]:
        labels["alternator"] = words["alternator"].format(share=percent_text(texts, share))
    rows = [
        [labels[term], _minus(whole(texts, value) if round(value) else "0")]
        for term, value in ledger.items()
    ]
    return _table(words["ledger"], [words["ledger_item"], words["ledger_value"]], rows, 1, [0, 0])


def _days(days: float, follow_days: int, texts: Texts) -> str:
    """Days with one decimal as in the builder's other tables; those followed or beyond as "30+"."""
    if days >= follow_days:
        return str(texts["units"]["or_more"].format(number=follow_days))
    return f"{days:.1f}"


def _months(seasons: dict[str, Any], follow_days: int, texts: Texts) -> dict[str, Any]:
    words = texts["annex"]
    days = count_text(seasons["stay"]["days"], "day")
    head = [
        words["month"],
        words["chance"].format(days=days),
        "P10",
        "P50",
        "P90",
    ]
    head += [words["light"], words["air"], words["load"]]
    rows = [
        [
            month_name(texts, month["month"]),
            chance_words(texts, month["chance_lasts"]),
            *(_days(month[key], follow_days, texts) for key in ("p10", "p50", "p90")),
            f"{month['ghi_kwh_m2_day']:.2f}",
            _minus(f"{month['temp_air_c']:z.1f}"),
            whole(texts, month["demand_wh_per_day"]),
        ]
        for month in seasons["months"]
    ]
    return _table(words["months"], head, rows, 1)


def _findings(annex: dict[str, Any], texts: Texts, clean: Clean) -> dict[str, Any]:
    words = texts["annex"]
    title = words["check"].format(way=texts["with_ways"][annex["check_way"]])
    rows = [
        [
            texts["severities"][finding["severity"]],
            clean(f"{finding['message']} {finding['advice']}".strip(), "annex"),
            clean(finding["source"], "annex"),
        ]
        for finding in annex["check"]["findings"]
    ]
    if not rows:
        rows = [[words["none"], words["no_findings"], words["none"]]]
    return _table(title, [words["severity"], words["finding"], words["source"]], rows, 3, [0, 2, 1])


def _cables(check: dict[str, Any], texts: Texts, clean: Clean) -> dict[str, Any]:
    words = texts["annex"]
    head = [words[key] for key in ("cable", "wire", "fuse_place", "current", "length", "drop")]
    rows = [
        [
            clean(cable["name"], "annex"),
            _wire(cable, texts),
            clean(cable["fuse_place"] or words["none"], "annex"),
            f"{cable['design_a']:.1f}",
            f"{cable['length_m']:.2f}",
            words["none"]
            if cable["drop_end_share"] is None
            else percent_text(texts, cable["drop_end_share"]),
            words["none"] if cable["fuse_a"] is None else f"{cable['fuse_a']:g}",
        ]
        for cable in check["cables"]
    ]
    rows += [
        _mains(run, texts, clean) for run in check["circuit"]["runs"] if run["side"] == "mains"
    ]
    return _table(words["cables"], [*head, words["fuse"]], rows, 3, [0, 0, 1, 0, 0, 0, 0])


def _mains(run: dict[str, Any], texts: Texts, clean: Clean) -> list[str]:
    """A run of mains cable as a row among the cables, by its breaker's current."""
    words, guard = texts["annex"], run["protection"]
    other = run["awg"] if "mm2" in run["wire"] else run["metric"]
    names = [run["wire"], *([other] if other else [])]
    return [
        clean(run["name"], "annex"),
        words["too_large"]
        if run["ampacity_a"] is None
        else " / ".join(name.replace("mm2", "mm²") for name in names),
        clean(run["unprotected_why"] if guard is None else guard["place"], "annex"),
        f"{run['design_a']:.1f}",
        f"{run['length_m']:.2f}",
        words["none"]
        if run["drop_end_share"] is None
        else percent_text(texts, run["drop_end_share"]),
        words["none"] if guard is None else f"{guard['rating_a']:g}",
    ]


def _wire(cable: dict[str, Any], texts: Texts) -> str:
    if cable["wire"] is None:
        return str(texts["annex"]["too_large"])
    other = cable["gauge"] if "mm2" in cable["wire"] else cable["metric"]
    names = [cable["wire"], *([other] if other else [])]
    return " / ".join(name.replace("mm2", "mm²") for name in names)
