"""Uploaded files, read as files of ours."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from solarsim.errors import InputError

__all__ = ["read_upload"]

_Found = TypeVar("_Found")


def read_upload(reader: Callable[[Path], _Found], name: str, content: bytes) -> _Found:
    """Read an upload as a file of ours, and speak of it by its own name.

    Parameters
    ----------
    reader : callable
        Reads a path.
    name : str
        What the file was called, for messages alone.
    content : bytes
        What is in it.

    Raises
    ------
    InputError
        As the reader does, with `name` in place of the path.
    """
    with tempfile.TemporaryDirectory(prefix="solarsim-") as folder:
        path = Path(folder) / "upload"
        path.write_bytes(content)
        try:
            return reader(path)
        except InputError as error:
            source = error.source.replace(str(path), name)
            first, *more = error.message.replace(str(path), name).split("\n")
            raise InputError(first, source=source, field=error.field, more=tuple(more)) from None
