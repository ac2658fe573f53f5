"""TOML in and out, and the files that ship with the package."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

from solarsim.errors import InputError

__all__ = [
    "apply_settings",
    "parse_toml",
    "read_text",
    "read_toml",
    "resolve_file",
    "shipped_folder",
]

_MAX_BYTES = 1_000_000
# A key in full, dotted or not; possessive, so that no letter is looked at twice.
_KEY = r"""(?:[A-Za-z0-9_-]++|"[^"\n]*+"|'[^'\n]*+')"""
_DOTTED = re.compile(rf"{_KEY}(?:[ \t]*+\.[ \t]*+{_KEY})*+")
_BEFORE_KEYS = ("", "\n", "[", "{", ",")
_PART = re.compile(_KEY)
_MOST_PARTS = 16


def shipped_folder(kind: str) -> Path:
    """Return the folder of shipped examples; `kind` is ``"vans"`` or ``"loads"``."""
    package = Path(__file__).resolve().parents[2]
    inside = package / "profiles" / kind
    return inside if inside.is_dir() else package.parent / "profiles" / kind


def resolve_file(name: str, kind: str, *, beside: Path | None = None) -> Path:
    """Find a TOML (or CSV) file by path or by the name of a shipped example.

    Parameters
    ----------
    name : str
        A path, or a shipped example's name with or without ``.toml``.
    kind : str
        ``"vans"`` or ``"loads"``.
    beside : Path, optional
        Folder that relative paths may start from, tried before the working folder.

    Raises
    ------
    InputError
        Nothing of that name; the shipped names are listed.
    """
    shipped = shipped_folder(kind)
    candidates = [folder / name for folder in (beside, Path()) if folder is not None]
    candidates.append(shipped / (name if name.endswith(".toml") else f"{name}.toml"))
    # A folder is taken only where there is nothing else, so that the message can say so.
    for exists in (Path.is_file, Path.exists):
        for candidate in candidates:
            try:
                if exists(candidate):
                    return candidate
            except OSError as error:
                raise InputError(f"cannot be read: {error.strerror}", source=name) from None
    known = ", ".join(sorted(path.stem for path in shipped.glob("*.toml")))
    raise InputError(f"no such file or shipped example; shipped: {known}", source=name)


def read_text(path: Path, kind: str, *, max_bytes: int = _MAX_BYTES) -> str:
    """Read a small text file in UTF-8; `kind` says what was expected, for the messages.

    Raises
    ------
    InputError
        The file is missing, a folder, too large, or not text.
    """
    source = str(path)
    try:
        if not path.is_file() and not path.is_dir() and path.exists():
            raise InputError("is not an ordinary file", source=source)
        if path.stat().st_size > max_bytes:
            raise InputError(f"is larger than {max_bytes} bytes", source=source)
        return path.read_bytes().decode("utf-8-sig")
    except IsADirectoryError:
        raise InputError(f"is a folder, not a {kind} file", source=source) from None
    except OSError as error:
        raise InputError(f"cannot be read: {error.strerror}", source=source) from None
    except UnicodeDecodeError:
        raise InputError("is not a text file in UTF-8", source=source) from None


def read_toml(path: Path) -> dict[str, Any]:
    """Read one TOML file.

    Raises
    ------
    InputError
        The file is missing, a folder, too large, not text, or not TOML; the line is named.
    """
    source = str(path)
    text = read_text(path, "TOML")
    return parse_toml(text, source=source)


def parse_toml(text: str, *, source: str) -> dict[str, Any]:
    """Return the tables of a TOML text.

    Keys of more than 16 parts are refused before the text is parsed: the parser's time grows with
    the square of a key's parts.

    Raises
    ------
    InputError
        Not TOML; the line is named.
    """
    for found in _DOTTED.finditer(text):
        if found[0].count(".") >= _MOST_PARTS:
            parts = len(_PART.findall(found[0]))
            # Where a key may begin; other dots are a value's.
            before = text[max(found.start() - 99, 0) : found.start()].rstrip(" \t")[-1:]
            if parts > _MOST_PARTS and before in _BEFORE_KEYS:
                message = f"a key of {parts} parts; at most {_MOST_PARTS} are read"
                line = text.count("\n", 0, found.start()) + 1
                raise InputError(f"line {line}: {message}", source=source)
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError(_explain(str(error), text), source=source) from None
    except RecursionError:
        raise InputError("not valid TOML: nested too deeply", source=source) from None
    except ValueError as error:
        # A whole number of thousands of digits.
        raise InputError(f"not valid TOML: {error}", source=source) from None


def apply_settings(data: dict[str, Any], settings: list[str], *, source: str) -> dict[str, Any]:
    """Return a copy of `data` with each ``TABLE.FIELD=VALUE`` of `settings` put in.

    A value is read as TOML and, where that fails, as plain text.

    Raises
    ------
    InputError
        A setting without ``=`` or a path that runs through something that is no table.

    Examples
    --------
    >>> apply_settings({"battery": {"units": 2}}, ["battery.units=3"], source="van.toml")
    {'battery': {'units': 3}}
    """
    changed: dict[str, Any] = _copy(data)
    for setting in settings:
        path, equals, text = setting.partition("=")
        keys = [key.strip() for key in path.split(".")]
        if not equals or not all(keys):
            raise InputError("must look like TABLE.FIELD=VALUE", source=f"--set {setting}")
        table = changed
        for key in keys[:-1]:
            table = table.setdefault(key, {})
            if not isinstance(table, dict):
                raise InputError(f"'{key}' is not a table of {source}", source=f"--set {setting}")
        table[keys[-1]] = _value(text.strip())
    return changed


def _copy(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _copy(item) for key, item in value.items()}
    return value


def _value(text: str) -> Any:
    try:
        return parse_toml(f"value = {text}", source="--set")["value"]
    except InputError:
        return text


def _explain(message: str, text: str) -> str:
    line_number = re.search(r"at line (\d+)", message)
    if line_number is not None:
        line = text.splitlines()[int(line_number[1]) - 1]
        if re.search(r"=\s*-?\d+,\d+\s*(#.*)?$", line):
            return f"line {line_number[1]}: '{line.strip()}': decimals take a point, not a comma"
    return f"not valid TOML: {message}"
