"""Words that other rooms make for the views, in the visitor's language.

Charts, tables and short sentences come from there in English, finished. Their translations stand
with the app's own under ``[app]``, here by the pattern that they were made from.
"""

from __future__ import annotations

import functools
import re

from solarsim.app.dates import in_dates
from solarsim.app.translate import ENGLISH, catalogue, tr_line
from solarsim.app.units.chosen import digits, shown, units
from solarsim.app.units.words import in_signs
from solarsim.app.worded.circuit import CIRCUIT
from solarsim.app.worded.headlines import HEADLINES
from solarsim.app.worded.notes import NOTES
from solarsim.app.worded.reasons import JOINED, PARTS, REASONS, WHOLE
from solarsim.app.worded.search import SEARCH
from solarsim.present.sheet.forms import plural

__all__ = ["INNER", "WORDED", "capital", "worded", "worded_each"]

# What stands in braces may be worded itself; a name that begins with "number" is one.
WORDED = (
    *HEADLINES,
    *REASONS,
    *CIRCUIT,
    *NOTES,
    *SEARCH,
    # The state of charge.
    "8 in 10 runs",
    "down to what 99 in 100 runs keep",
    "median of each hour",
    "worst run",
    "1 in 10<br>cut off",
    "1 in 100<br>cut off",
    "half<br>cut off",
    "local standard time, ticks at midnight",
    "worst %{y:.0f} %",
    "cut-off at {here} ({rated} at {number} °C)",
    "cut-off at {here}",
    "A run that is cut off leaves its loads off until the bank is back at {share}: without them "
    "it fills faster than the others and may stand above them.",
    "State of charge over {number} days from {when}.",
    "The median of each hour begins at {begin} and is lowest on {when}, at {low}; the worst run "
    "comes down to {worst}, with the {cut_off}.",
    "99 in 100 runs keep {low} or more in every hour.",
    "One run in {number} is cut off within {first}, half of them within {half}.",
    # The energy of a day.
    "Energy a day.",
    "Comes in: {list}.",
    "Goes out: {list}.",
    "Missed: {list}.",
    "{label} (comes in)",
    "{label} (goes out)",
    "{label} (missed)",
    "in",
    "out",
    "missed",
    "sun, used",
    "alternator",
    "alternator, counted at {share} of its rating",
    "alternator, counted at {share} of both ratings",
    "shore power",
    "generator",
    "taken from the bank",
    "DC loads",
    "AC loads",
    "inverter's own use",
    "lost in the bank",
    "put into the bank",
    "sun refused, bank full",
    "sun refused, bank too cold",
    "sun clipped by the controller",
    "alternator not taken, bank full or cold",
    "shore power not taken, bank full or cold",
    "generator not taken, bank full or cold",
    "demand not served",
    # The stay.
    "The van '{van}' near {place}, on its own.",
    "The van '{van}' near {place}, with {charging}.",
    "{bank}, {ah} Ah, {number} Wh usable as rated, {number_cold} Wh at the bank's {number_temp} C",
    "{bank}, {ah} Ah, {number} Wh usable",
    "No real years of {place} are at hand to hold this against; `solarsim weather get --place "
    "{typed}` fetches them.",
    "Fuel is not counted: the van's table [fuel] does not say what heat, hot water and cooking "
    "run on.",
    # Changes, months and designs side by side.
    "What to build",
    "How to live",
    "build",
    "live",
    "STOP",
    "ok",
    "without: {name}",
    "{number} more panels",
    "{number} panels fewer",
    "{number} more batteries",
    "{number} batteries fewer",
    "half an hour more driving a day ({number} h more every {number_days} days)",
    "Chance of {number} days, %",
    "Days unplugged: {least} to P90, dot at P50",
    "P50 %{y:.1f} days",
    "{name}, cut off at {share}",
    "cut off",
    "Now",
    "Design {letter}",
    "price",
    "weight",
    "on the roof",
    "payload left",
    "{price}, and {number} lines without a price",
    "{kilograms}: OVERLOADED before anybody is aboard",
    # Panels against units.
    "panels",
    "battery units",
    "One more {part} adds {number} days to that design and {points} to its chance (mean over the "
    "runs).",
    "One more {part} adds {number} days for {number_price} to that design and {points} to its "
    "chance (mean over the runs).",
    "{number} more {part} add {number_days} days to that design and {points} to its chance (mean "
    "over the runs).",
    # The search.
    "cost, watts of panel",
    "days in 9 stays in 10",
    "days in 99 stays in 100",
    "No design of this space may be built.",
    "Build {parts}: the cheapest that lasts {target} and that nothing speaks against; {chance} "
    "where and when it is worst.",
    "Build {parts}: the cheapest that lasts {target}; {chance} where and when it is worst.",
    "{parts}: {number} days, {number_kg} kg",
    "no panels, {number} x {battery} and a DC-DC charger of {number_dcdc} A",
    "no panels, {number} x {battery}",
    "{number} x {panel} on a controller of {number_a} A, {number_units} x {battery} and a DC-DC "
    "charger of {number_dcdc} A",
    "{number} x {panel} on a controller of {number_a} A, {number_units} x {battery}",
    # Counts and shares.
    "over {number} %",
    "under {number} %",
)
# Tried inside the braces of the others alone: by themselves they would fit almost anything.
INNER = (
    *PARTS,
    "an hour's driving a day",
    "an hour's driving every {number} days",
    "an hour's shore power a day",
    "an hour's shore power every {number} days",
    "{number} h of driving a day",
    "{number} h of driving every {number_days} days",
    "{number} h of shore power a day",
    "{number} h of shore power every {number_days} days",
    "a generator from {hours}",
    "{one} and {other}",
    "{what} {number} Wh",
    "the whole stay of {number} days in at least {share} of runs",
    "{panel}, tilted {number} degrees,",
    "{number} points",
    "panel",
    "battery",
    "batteries",
)
# Counted with the app's own, under the second form.
_COUNTED = ("{number} days", "{number} units", "{number} panels", "{number} hours")
_ONES = {
    "1 unit": "{number} units",
    "1 panel": "{number} panels",
    "1 hour": "{number} hours",
    "1.0 day": "{number} days",
    "1 day": "{number} days",
}
_NUMBER = r"[-+\N{MINUS SIGN}]?\d[\d,]*(?:\.\d+)?\+?"
_BARE = re.compile(_NUMBER + "%?")
# What a quantity has none of.
_WORD = re.compile("[a-z]{3}")
_SENTENCES = re.compile(r"(?<=\.) (?=[A-Z0-9])")
# Where braces hold several, by their name.
_SPLIT = {"list": re.compile(r"(?<= Wh), "), "uses": re.compile(", "), "at": re.compile(", ")}


def worded(text: str) -> str:
    """Return what another room says in the visitor's language, or in English in their units."""
    if catalogue()["language"] == ENGLISH:
        return shown(text)
    found = _said(text, (*_COUNTED, *WORDED))
    if found is None:
        found = tr_line(text)
    return in_dates(shown(text) if found is None else found)


def worded_each(text: str) -> str:
    """Return several sentences of another room, each by itself as `worded` does."""
    return " ".join(map(worded, _SENTENCES.split(text)))


def capital(text: str) -> str:
    """Return a reason or a warning of another room as it begins a sentence."""
    said = worded(text)
    return said[:1].upper() + said[1:]


def _said(text: str, patterns: tuple[str, ...]) -> str | None:
    """The text by its own translation or by a pattern's; None where neither is there."""
    texts = catalogue()
    own = texts.get("app", {})
    if text in _ONES:
        return _filled(own.get(_ONES[text]), {"number": text.partition(" ")[0]})
    if isinstance(own.get(text), str):
        return in_signs(shown(own[text]), units())
    # As the buyer's sheet calls a change; one in kelvins is said otherwise here.
    change = texts["levers"].get(text, "{")
    if "{" not in change:
        return shown(change)
    for pattern in patterns:
        if pattern in own and "{" in pattern and (match := _compiled(pattern).fullmatch(text)):
            values = match.groupdict()
            if pattern not in WHOLE or all(map(_sayable, values.values())):
                return _filled(own[pattern], values)
    return None


def _filled(said: str | dict[str, str] | None, values: dict[str, str]) -> str | None:
    if said is None:
        return None
    if isinstance(said, dict):
        count = re.sub(r"[^\d.]", "", values["number"])
        said = plural(catalogue(), said, count)
    return said.format(**{name: _inner(name, value) for name, value in values.items()})


def _inner(name: str, value: str) -> str:
    if _BARE.fullmatch(value):
        return digits(value)
    if name in _SPLIT:
        return ", ".join(_inner("", one) for one in _SPLIT[name].split(value))
    found = _known(value)
    if found is None and "; " in value:
        found = _said(value, JOINED)
    return in_signs(shown(value), units()) if found is None else found


def _known(value: str) -> str | None:
    """What stands in braces in the visitor's language; None where no text or pattern has it."""
    found = _said(value, (*_COUNTED, *WORDED, *INNER))
    if found is None and _WORD.search(value):
        found = tr_line(value)
    return found


def _sayable(value: str) -> bool:
    return not _WORD.search(value) or _known(value) is not None


@functools.cache
def _compiled(pattern: str) -> re.Pattern[str]:
    parts = re.split(r"(?<!%)\{(\w+)\}", pattern)
    for index in range(1, len(parts), 2):
        kind = _NUMBER if parts[index].startswith("number") else ".+?"
        parts[index] = f"(?P<{parts[index]}>{kind})"
    parts[::2] = map(re.escape, parts[::2])
    return re.compile("".join(parts))
