"""Write a whole file or none of it."""

from __future__ import annotations

import os
import stat
import tempfile
from collections.abc import Sequence
from pathlib import Path

from solarsim.errors import InputError

__all__ = ["check_ending", "check_writable", "write_file"]


def check_ending(path: Path, endings: Sequence[str], *, field: str) -> None:
    """Refuse a file's name whose ending says none of the kinds that can be written.

    Raises
    ------
    InputError
        Names the endings.
    """
    if path.suffix.lower() not in endings:
        message = f"must end in {', '.join(endings[:-1])} or {endings[-1]}"
        raise InputError(message, source=str(path), field=field)


def check_writable(path: Path) -> None:
    """Refuse a target that could not be written, before any work is done for it.

    Raises
    ------
    InputError
        The folder does not exist or may not be entered, or the path is a folder, no ordinary file
        (a device, a pipe), protected against writing, or no path at all.
    """
    source = str(path)
    try:
        target = path.resolve()
        if not target.parent.is_dir():
            raise InputError("its folder does not exist", source=source)
        mode = target.stat().st_mode if target.exists() else None
    except OSError as error:
        raise InputError(f"cannot be written: {error.strerror}", source=source) from None
    except (ValueError, RuntimeError) as error:
        # A NUL in the name; links that lead in a circle.
        raise InputError(f"is no file name: {error}", source=source) from None
    if mode is None:
        return
    if stat.S_ISDIR(mode):
        raise InputError("is a folder; give a file's name", source=source)
    if not stat.S_ISREG(mode):
        raise InputError("is no ordinary file; give a file's name", source=source)
    if not mode & 0o222 or not os.access(target, os.W_OK):
        raise InputError("is protected against writing", source=source)


def write_file(path: Path, content: bytes) -> None:
    """Write `content` beside the target first and move it into place in one step.

    A link is followed: what it points to is written. A file that is there keeps its mode.

    Raises
    ------
    InputError
        The file cannot be written.
    """
    check_writable(path)
    target = path.resolve()
    try:
        handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name[:40]}.")
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(content)
                file.flush()
                # Else a loss of power could leave the new name on an empty file.
                os.fsync(file.fileno())
            Path(name).chmod(_mode(target))
            Path(name).replace(target)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise
    except OSError as error:
        raise InputError(f"cannot be written: {error.strerror}", source=str(path)) from None


def _mode(target: Path) -> int:
    """Rights of the file that is there, or the usual ones, not those of a private temporary one."""
    if target.exists():
        return stat.S_IMODE(target.stat().st_mode)
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
