"""What a server keeps is a share of what the machine, or its container, has."""

from __future__ import annotations

import pytest

from solarsim.app.memory import memory_share


def test_a_container_s_limit_bounds_the_share(tmp_path, monkeypatch):
    limit = tmp_path / "memory.max"
    monkeypatch.setattr("solarsim.app.memory._LIMIT", limit)
    whole = memory_share(1.0)
    for text, share in (("max\n", whole // 2), ("1000000\n", 500_000)):
        limit.write_text(text)
        assert memory_share(0.5) == pytest.approx(share, abs=1)
    monkeypatch.delattr("os.sysconf")
    limit.unlink()
    assert memory_share(0.5) == 2_000_000_000
