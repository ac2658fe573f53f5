"""A van without sun that a generator charges is one that something charges."""

from __future__ import annotations

from solarsim.answers.tune.built import charges
from solarsim.inputs.files.van import read_van


def test_a_generator_charges():
    dark = ["panels.count=0", "alternator.drive_h=0", "shore.plugged_h=0"]
    assert not charges(read_van("weekender", settings=dark))
    assert charges(read_van("weekender", settings=[*dark, "generator.power_w=1000"]))
