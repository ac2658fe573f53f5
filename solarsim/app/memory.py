"""What a server may keep of the machine's memory."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path

__all__ = ["memory_share"]

# Where the system does not say how much there is, as on Windows.
_UNKNOWN_BYTES = 4_000_000_000
# A container's limit, in Linux's control groups of version 2; "max" where there is none.
_LIMIT = Path("/sys/fs/cgroup/memory.max")


def memory_share(share: float) -> int:
    """Return a share of the memory that there is, or that a container is allowed, in bytes."""
    most = [_UNKNOWN_BYTES]
    with contextlib.suppress(AttributeError, ValueError, OSError):
        most = [os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES")]
    with contextlib.suppress(ValueError, OSError):
        most.append(int(_LIMIT.read_text()))
    return int(share * min(most))
