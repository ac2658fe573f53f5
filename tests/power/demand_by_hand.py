"""Profiles of a few appliances, written down by hand."""

from __future__ import annotations

from solarsim.inputs.profile import profile_from_data

NO_GAINS = {"people": 0, "solar_gain_m2": 0.0}


def profile(*appliances, cabin=None, hourly=None):
    data = {"profile": {"name": "x"}, "appliances": list(appliances), "cabin": cabin or NO_GAINS}
    if hourly is not None:
        data["hourly"] = hourly
    return profile_from_data(data, source="x")


def load(name="x", power_w=100.0, **fields):
    return {"name": name, "power_w": power_w} | fields
