"""The panel library: every part is a whole, valid array with its source."""

import pytest

from solarsim.inputs.panels import Panels
from solarsim.inputs.parts import part_table, part_tables

PARTS = part_tables("panels")
CHOICES_OF_THE_BUILDER = {"part", "count", "series", "tilt_deg", "azimuth_deg", "age_years"}


@pytest.mark.parametrize("name", list(PARTS))
def test_part_is_a_plausible_panel(name):
    assert PARTS[name]["source"]
    table = part_table("panels", name)
    assert not CHOICES_OF_THE_BUILDER & set(table)
    panels = Panels(**table)
    watts_m2 = panels.power_w / (panels.length_m * panels.width_m)
    assert 120.0 < watts_m2 < 240.0
    assert 0.70 < panels.vmp_v * panels.imp_a / (panels.voc_v * panels.isc_a) < 0.82
    assert (panels.mounting == "glued") == ("flexible" in name)
    assert name.startswith(f"{panels.power_w:g} W ")


def test_library_covers_what_workshops_fit():
    assert {"100 W rigid", "200 W rigid", "400 W rigid", "100 W flexible"} <= set(PARTS)
