"""Processes that are broken off."""

from __future__ import annotations

import signal


def heeds_interrupts():
    """Let a child heed Ctrl-C, which it ignores where the tests run in the background."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)
