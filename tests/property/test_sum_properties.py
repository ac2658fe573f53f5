"""Totals add up: what people ask for is what they get and what they miss, on any van."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solarsim.answers.question import ask
from solarsim.answers.stay import stay

SETTINGS = st.fixed_dictionaries(
    {
        "battery.part": st.sampled_from(["100 Ah LFP", "100 Ah AGM"]),
        "battery.units": st.integers(1, 4),
        "battery.location": st.sampled_from(["inside", "outside"]),
        "panels.count": st.integers(0, 2),
        "stay.days": st.integers(1, 9),
        "stay.month": st.integers(1, 12),
        "stay.start_soc": st.sampled_from([0.2, 0.6, 1.0]),
        "alternator.every_days": st.integers(1, 4),
    }
)


@settings(max_examples=12)
@given(
    changes=SETTINGS,
    place=st.sampled_from(["Bergen, NO", "Nairobi, KE", "Santa Fe, NM, US"]),
    profile=st.sampled_from(["weekend-couple", "heavy", "ski-trip"]),
)
def test_what_is_asked_for_is_served_or_missed(changes, place, profile):
    chosen = [f"{name}={value}" for name, value in changes.items()]
    answer = stay(ask("weekender", place=place, profile=profile, settings=chosen, runs=8))
    ledger = answer.ledger_wh_per_day
    asked = sum(answer.conditions.demand_wh_per_day.values())
    assert ledger["load_dc"] + ledger["load_ac"] + ledger["unserved"] == pytest.approx(asked)
