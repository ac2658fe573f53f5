"""Where the command begins, also as ``python -m solarsim``: it heeds Ctrl-C from the start."""

from __future__ import annotations

import os
import signal
import sys

__all__ = ["main"]

_INTERRUPTED = 128 + signal.SIGINT


def main() -> None:
    """Run the command line; Ctrl-C ends it with 130 and no traceback, however early or late."""
    # Where Ctrl-C is ignored, as behind nohup, or is somebody else's, it stays so.
    heeds = signal.getsignal(signal.SIGINT) is signal.default_int_handler
    if heeds:
        # Nothing is written while libraries load, and some of them would swallow an exception.
        signal.signal(signal.SIGINT, _leave)
    try:
        from solarsim.cli.main import main as run

        if heeds:
            signal.signal(signal.SIGINT, signal.default_int_handler)
        run()
    except KeyboardInterrupt:
        sys.exit(_INTERRUPTED)
    finally:
        if heeds:
            # All is written, or taken away again.
            signal.signal(signal.SIGINT, _leave)


def _leave(*_: object) -> None:
    os._exit(_INTERRUPTED)


if __name__ == "__main__":
    main()
