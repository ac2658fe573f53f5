"""Write a whole file or none of it."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from solarsim.errors import InputError

__all__ = ["check_writable", "write_file"]


def check_writable(path: Path) -> None:
    """Refuse a target that could not be written, before any work is done for it.

    Raises
    ------
    InputError
        The folder does not exist or the path is a folder.
    """
    if path.is_dir():
        raise InputError("is a folder; give a file's name", source=str(path))
    if not path.resolve().parent.is_dir():
        raise InputError("its folder does not exist", source=str(path))


def write_file(path: Path, content: bytes) -> None:
    """Write `content` beside the target first and move it into place in one step.

    Raises
    ------
    InputError
        The file cannot be written.
    """
    check_writable(path)
    folder = path.resolve().parent
    try:
        handle, name = tempfile.mkstemp(dir=folder, prefix=f".{path.name}.")
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(content)
            # A new file gets the usual rights, not those of a private temporary one.
            mask = os.umask(0)
            os.umask(mask)
            Path(name).chmod(0o666 & ~mask)
            Path(name).replace(path)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise
    except OSError as error:
        raise InputError(f"cannot be written: {error.strerror}", source=str(path)) from None
