"""Shares in words."""

from __future__ import annotations

import pytest

from solarsim.inputs.percent import chance_text


@pytest.mark.parametrize(
    ("lasting", "text", "short"),
    [
        (700, "100 %", "100 %"),
        (699, "over 99 %", "99 %"),
        (697, "over 99 %", "99 %"),
        (696, "99 %", "99 %"),
        (4, "1 %", "1 %"),
        (3, "under 1 %", "1 %"),
        (0, "0 %", "0 %"),
    ],
)
def test_a_chance_that_is_not_certain_never_reads_as_certain(lasting, text, short):
    assert chance_text(lasting / 700) == text
    assert chance_text(lasting / 700, short=True) == short
