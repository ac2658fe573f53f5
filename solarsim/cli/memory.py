"""What the process does with the memory that it is done with."""

from __future__ import annotations

import ctypes

__all__ = ["keep_memory"]

# Options of the C library's `mallopt`, by malloc.h of glibc.
_TRIM_THRESHOLD, _MMAP_THRESHOLD = -1, -3
_BYTES = 2**30


def keep_memory() -> None:
    """Let freed memory stay with the process, for the next arrays; only glibc knows of it.

    A chunk of runs makes and frees hundreds of arrays of a megabyte. Each would go back to the
    system and come again page by page, empty, which takes a tenth of an answer's time.
    """
    try:
        options = ctypes.CDLL(None).mallopt
    except (AttributeError, OSError, TypeError):
        return
    options(_TRIM_THRESHOLD, _BYTES)
    options(_MMAP_THRESHOLD, _BYTES)
