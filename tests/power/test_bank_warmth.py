"""What follows from the bank's warmth is worked out once for the vans that are compared."""

from __future__ import annotations

import numpy as np

from solarsim.power import dispatch as dispatch_module
from solarsim.power.dispatch import dispatch
from tests.power.test_dispatch import design, scenario


def test_it_is_kept_only_where_it_cannot_change():
    case = scenario(1, runs=2, cold=True)
    lasting = {"designs": [design(capacity_ah=60.0)], "start_soc": 0.5, "ledger_hours": 24}
    known = dispatch_module._KNOWN
    before = len(known)
    temp_c = np.array(np.broadcast_to(case["bank_temp_c"], case["panel_w"].shape))
    first = dispatch(**case | {"bank_temp_c": temp_c}, **lasting)
    assert len(known) == before
    temp_c += 30.0
    warmer = dispatch(**case | {"bank_temp_c": temp_c}, **lasting)
    assert not np.array_equal(first.ledger_wh, warmer.ledger_wh)
    temp_c.setflags(write=False)
    for _ in range(2):
        again = dispatch(**case | {"bank_temp_c": temp_c}, **lasting)
        np.testing.assert_array_equal(again.ledger_wh, warmer.ledger_wh)
        assert len(known) == before + 1
    del temp_c
    assert len(known) == before
