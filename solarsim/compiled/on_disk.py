"""Object files in the user's cache: read where they are whole and ours, written whole or not."""

from __future__ import annotations

import contextlib
import hashlib
import os
import re
import sys
import time
from collections.abc import Sequence
from pathlib import Path

from solarsim.errors import InputError
from solarsim.inputs.files.cache import CACHE_VARIABLE, cache_folder
from solarsim.inputs.files.write import write_file

__all__ = ["code_path", "keep_code", "kept_code"]

_DIGEST_BYTES = 32
_KEY_LETTERS = 24
_OURS = re.compile(rf"[a-z_]+-[0-9a-f]{{{_KEY_LETTERS}}}\.o")
_DAY_S = 86_400.0
# Code of other versions goes when nobody has used it for so long, or when so much is newer: each
# version has one file a loop.
_UNUSED_DAYS = 90
_MOST_FILES = 60
# Each loop that cannot be kept need not say so.
_told: set[str] = set()


def code_path(name: str, made_of: Sequence[bytes]) -> Path | None:
    """Where the code of that name is kept that was made of just this; None without a folder.

    Parameters
    ----------
    name : str
        What it is called.
    made_of : sequence of bytes
        Sources, versions, processor: all that it depends on.
    """
    folder = cache_folder()
    if folder is None:
        return None
    key = hashlib.sha256(b"".join(hashlib.sha256(part).digest() for part in made_of)).hexdigest()
    return folder / "compiled" / f"{name}-{key[:_KEY_LETTERS]}.o"


def kept_code(path: Path | None) -> bytes | None:
    """The code that is kept there; None where there is none, or none that may be run.

    A damaged file is deleted. What another user has written is not run, unless that is the
    administrator.
    """
    if path is None:
        return None
    try:
        found = path.stat()
        if found.st_uid not in _trusted_owners():
            return None
        content = path.read_bytes()
    except OSError:
        return None
    digest, code = content[:_DIGEST_BYTES], content[_DIGEST_BYTES:]
    if code and hashlib.sha256(code).digest() == digest:
        if time.time() - found.st_mtime > _DAY_S:
            # Its time tells when it was last used, to the day.
            with contextlib.suppress(OSError):
                os.utime(path)
        return code
    with contextlib.suppress(OSError):
        path.unlink()
    return None


def _trusted_owners() -> set[int]:
    """Users whose files are run; where there are no user numbers, every file's owner is 0."""
    return {0, os.geteuid()} if hasattr(os, "geteuid") else {0}


def keep_code(path: Path | None, code: bytes) -> None:
    """Keep code for later processes; where that cannot be, say so in one line on standard error."""
    if path is None:
        _tell("there is no home folder")
        return
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_file(path, hashlib.sha256(code).digest() + code)
        _clear_out(path)
    except InputError as error:
        _tell(str(error))
    except OSError as error:
        _tell(f"{path.parent} cannot be made: {error.strerror}")


def _clear_out(kept: Path) -> None:
    """Delete code beside `kept` that has long not been used, and the oldest of very many files.

    Other processes may do the same, or use a file meanwhile: who has read one needs it no more, and
    who finds one gone compiles it anew.
    """
    used: list[tuple[float, Path]] = []
    for path in kept.parent.iterdir():
        if path != kept and _OURS.fullmatch(path.name):
            with contextlib.suppress(OSError):
                used.append((path.stat().st_mtime, path))
    used.sort(reverse=True)
    oldest = time.time() - _UNUSED_DAYS * _DAY_S
    for number, (last_used, path) in enumerate(used, 2):
        if last_used < oldest or number > _MOST_FILES:
            with contextlib.suppress(OSError):
                path.unlink()


def _tell(why: str) -> None:
    if not _told:
        print(
            f"solarsim: compiled for this process alone, for it cannot be kept ({why}); "
            f"{CACHE_VARIABLE} can name a folder for it",
            file=sys.stderr,
        )
    _told.add(why)
