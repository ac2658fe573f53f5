"""Object files in the user's cache: read where they are whole and ours, written whole or not."""

from __future__ import annotations

import contextlib
import hashlib
import os
import sys
from collections.abc import Sequence
from pathlib import Path

from solarsim.errors import InputError
from solarsim.inputs.files.cache import CACHE_VARIABLE, cache_folder
from solarsim.inputs.files.write import write_file

__all__ = ["code_path", "keep_code", "kept_code"]

_DIGEST_BYTES = 32
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
    return folder / "compiled" / f"{name}-{key[:24]}.o"


def kept_code(path: Path | None) -> bytes | None:
    """The code that is kept there; None where there is none, or none that may be run.

    A damaged file is deleted. What another user has written is not run, unless that is the
    administrator.
    """
    if path is None:
        return None
    try:
        if path.stat().st_uid not in _trusted_owners():
            return None
        content = path.read_bytes()
    except OSError:
        return None
    digest, code = content[:_DIGEST_BYTES], content[_DIGEST_BYTES:]
    if code and hashlib.sha256(code).digest() == digest:
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
    except InputError as error:
        _tell(str(error))
    except OSError as error:
        _tell(f"{path.parent} cannot be made: {error.strerror}")


def _tell(why: str) -> None:
    if not _told:
        print(
            f"solarsim: compiled for this process alone, for it cannot be kept ({why}); "
            f"{CACHE_VARIABLE} can name a folder for it",
            file=sys.stderr,
        )
    _told.add(why)
