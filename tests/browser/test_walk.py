"""A walk through all that can be changed.

``SOLARSIM_WALK`` says how many changes, ``SOLARSIM_SEED`` which ones.
"""

from __future__ import annotations

import os

from tests.browser.walk import walk

CHANGES = int(os.environ.get("SOLARSIM_WALK", "25"))
SEED = int(os.environ.get("SOLARSIM_SEED", "1"))


def test_nothing_is_lost_or_wrong_on_a_random_walk(open_page):
    """No error of the page's own, no lost input, and the command line's figure every 20 changes."""

    def opened(query):
        page = open_page("desk", query=query, ready="Expected, not guaranteed")
        page.set_default_timeout(60_000)
        return page

    one, wrong = walk(opened, CHANGES, SEED)
    assert wrong == []
    assert one.done >= CHANGES
    assert one.compared >= CHANGES // 20
