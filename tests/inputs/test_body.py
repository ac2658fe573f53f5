"""The van's size and the heat that it loses."""

from __future__ import annotations

import pytest

from solarsim.errors import InputError
from solarsim.inputs.body import Body, body_of_roof
from solarsim.inputs.files.van import read_van
from solarsim.inputs.profile import Cabin


def van(*settings):
    return read_van("weekender", settings=settings)


def test_size_follows_the_roof_unless_given():
    bus = ("roof.length_m=12", "roof.width_m=2.3")
    assert van(*bus).body == Body(14.4, 2.5, 2.0)
    assert van(*bus, "van.length_m=9", "van.height_m=1.9").body == Body(9.0, 2.5, 1.9)
    assert body_of_roof(None) == Body(6.0, 2.0, 2.0)


def test_loss_by_hand():
    # 2 (8 x 2 + 8 x 2 + 2 x 2) = 72 m2; half of 32 m3 of air once an hour, 0.335 Wh/(m3 K).
    by_hand_w_k = 0.8 * 72.0 + 16.0 * 0.3353
    assert Body(8.0, 2.0, 2.0).heat_loss_w_k("good") == pytest.approx(by_hand_w_k, rel=1e-3)


@pytest.mark.parametrize("insulation", ["none", "light", "good"])
def test_a_larger_van_loses_and_stores_more(insulation):
    small, large = (
        Cabin(insulation=insulation).sized(body) for body in (Body(5.4), Body(11.0, 2.5))
    )
    assert large.loss_w_k > 1.5 * small.loss_w_k
    assert large.capacity_wh_k > 1.5 * small.capacity_wh_k


def test_what_is_given_stays():
    cabin = Cabin(heat_loss_w_k=33.0, heat_capacity_wh_k=111.0).sized(Body(11.0))
    assert (cabin.loss_w_k, cabin.capacity_wh_k) == (33.0, 111.0)


@pytest.mark.parametrize("setting", ["van.length_m=0.5", "van.width_m=9", "van.height_m=nan"])
def test_impossible_sizes_are_refused(setting):
    with pytest.raises(InputError, match=setting.split("=")[0]):
        van(setting)
