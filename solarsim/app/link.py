"""A design as text: for a file, and for a link that works on another machine.

A link holds the design's TOML, compressed and written in letters that an address may hold. What
comes back is a stranger's text: its size is bounded before and after it is unpacked, and its tables
pass the same checks as a file's.
"""

from __future__ import annotations

import base64
import binascii
import contextlib
import dataclasses
import zlib
from collections.abc import Sequence
from typing import Any
from urllib.parse import parse_qs, urlencode, urlsplit

import tomli_w

from solarsim.app.draft import Draft
from solarsim.app.plain import one_line
from solarsim.app.tables import profile_tables, van_tables
from solarsim.app.translate import tr
from solarsim.errors import InputError
from solarsim.inputs.files.horizon import Horizon
from solarsim.inputs.files.toml import parse_toml
from solarsim.inputs.files.van import van_from_data
from solarsim.inputs.profile import Profile, profile_from_data
from solarsim.inputs.van import Van

__all__ = [
    "KEPT",
    "MAX_LINK_CHARACTERS",
    "MAX_PROJECT_CHARACTERS",
    "PARAMETER",
    "VIEW",
    "address_query",
    "design_code",
    "design_from_code",
    "design_from_link",
    "profile_from_tables",
    "profile_toml",
    "van_toml",
]

PARAMETER, KEPT, VIEW = "design", "kept", "view"
MAX_LINK_CHARACTERS = 8_000
# What a browser keeps, which no address has to hold.
MAX_PROJECT_CHARACTERS = 60_000
_MAX_TEXT_BYTES = 100_000
_VERSION = "1"
_PEOPLE, _HORIZON = "people", "horizon"


def van_toml(van: Van) -> str:
    """Return the van's file."""
    return tomli_w.dumps(van_tables(van))


def profile_toml(profile: Profile) -> str:
    """Return the profile's file."""
    return tomli_w.dumps(profile_tables(profile))


def profile_from_tables(tables: dict[str, Any], *, source: str) -> Profile:
    """Build a profile from tables that somebody sent.

    Raises
    ------
    InputError
        As for `profile_from_data`; and a profile that points to another file, which is not read.
    """
    hourly = tables.get("hourly")
    if isinstance(hourly, dict) and "file" in hourly:
        message = tr("another file is not read here; put its watts into dc_w and ac_w")
        raise InputError(message, source=source, field="hourly.file")
    return profile_from_data(tables, source=source)


def design_code(design: Draft, *, most: int = MAX_LINK_CHARACTERS) -> str:
    """Return the design in an address's letters; a weather file stays behind.

    Parameters
    ----------
    design : Draft
        Van, people and horizon.
    most : int
        Characters that it may take.

    Raises
    ------
    InputError
        The design does not fit into a link.
    """
    tables = van_tables(design.van) | {_PEOPLE: profile_tables(design.profile)}
    if design.horizon is not None:
        tables[_HORIZON] = dataclasses.asdict(design.horizon)
    text = tomli_w.dumps(tables).encode()
    packed = base64.urlsafe_b64encode(zlib.compress(text, 9)).decode().rstrip("=")
    code = f"{_VERSION}.{packed}"
    if len(code) > most or len(text) > _MAX_TEXT_BYTES:
        message = tr("is too large for a project; save it as files")
        if most == MAX_LINK_CHARACTERS:
            message = tr("is too large for a link; save it as files")
        raise InputError(message, source=tr("the design"))
    return code


def design_from_code(code: str, *, most: int = MAX_LINK_CHARACTERS, source: str = "") -> Draft:
    """Return the design that `design_code` wrote.

    Parameters
    ----------
    code : str
        What somebody sent.
    most : int
        Characters that are read.
    source : str
        What messages call it; the link without.

    Raises
    ------
    InputError
        The code is damaged, too large, of another version, or its tables do not pass.
    """
    source = source or tr("the link")
    tables = _unpacked(code, most, source)
    people = tables.pop(_PEOPLE, None)
    if not isinstance(people, dict):
        raise InputError(tr("holds no people; it may be damaged"), source=source)
    horizon = _horizon(tables.pop(_HORIZON, None), source)
    van = van_from_data(tables, source=source)
    return Draft(van, profile_from_tables(people, source=source), horizon=horizon)


def address_query(
    design: Draft, kept: Sequence[Draft], view: str, more: Sequence[tuple[str, str]] = ()
) -> str:
    """Return what the page's address ends with, so that loading it anew loses nothing.

    A design that does not fit into a link is left out, as is a weather file. `more` are pairs that
    say how the page looks.
    """
    pairs = []
    for name, each in ((PARAMETER, design), *((KEPT, one) for one in kept)):
        with contextlib.suppress(InputError):
            pairs.append((name, design_code(each)))
    return urlencode([*pairs, (VIEW, view), *more])


def design_from_link(text: str) -> Draft:
    """Return the design of a whole link, or of the code in it.

    Raises
    ------
    InputError
        As for `design_from_code`.
    """
    text = text.strip()
    if len(text) > 2 * MAX_LINK_CHARACTERS:
        raise InputError(tr("is too long to be one of this app's"), source=tr("the link"))
    try:
        codes = parse_qs(urlsplit(text).query).get(PARAMETER)
    except ValueError:
        codes = None
    return design_from_code(codes[-1] if codes else text)


def _horizon(table: Any, whence: str) -> Horizon | None:
    if table is None:
        return None
    message = tr(
        "needs azimuth_deg and elevation_deg, two lists of numbers of one length, and source"
    )
    refused = InputError(message, source=whence, field=_HORIZON)
    if not isinstance(table, dict) or set(table) != {"azimuth_deg", "elevation_deg", "source"}:
        raise refused
    sides = [table["azimuth_deg"], table["elevation_deg"]]
    if not all(isinstance(side, list) for side in sides) or len(sides[0]) != len(sides[1]):
        raise refused
    if not all(type(value) in {int, float} for side in sides for value in side):
        raise refused
    azimuth_deg, elevation_deg = (tuple(map(float, side)) for side in sides)
    source = one_line(str(table["source"]))[:200]
    try:
        return Horizon(azimuth_deg, elevation_deg, source)
    except InputError as error:
        raise InputError(error.message, source=whence, field=_HORIZON) from None


def _unpacked(code: str, most: int, source: str) -> dict[str, Any]:
    if len(code) > most:
        message = tr(
            "holds {number} characters; at most {most} are read", number=len(code), most=most
        )
        raise InputError(message, source=source)
    version, dot, packed = code.partition(".")
    if not dot or version != _VERSION:
        raise InputError(tr("is none of this app's, or of another version"), source=source)
    damaged = InputError(tr("is damaged; ask for it again"), source=source)
    try:
        raw = base64.b64decode(
            packed.encode("ascii") + b"=" * (-len(packed) % 4), altchars=b"-_", validate=True
        )
        unpacker = zlib.decompressobj()
        text = unpacker.decompress(raw, _MAX_TEXT_BYTES + 1)
        if len(text) > _MAX_TEXT_BYTES:
            raise InputError(tr("unpacks to more than a design ever holds"), source=source)
        if not unpacker.eof:
            raise damaged
        written = text.decode()
    except (binascii.Error, UnicodeError, zlib.error):
        raise damaged from None
    try:
        return parse_toml(written, source=source)
    except InputError:
        raise damaged from None
