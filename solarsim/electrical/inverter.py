"""The inverter against the loads that run together, and shore power against both."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from solarsim.electrical.currents import charger_input_w, inverter_surge_w
from solarsim.electrical.findings import Compared, Finding
from solarsim.electrical.loads import Running, runs_in_week, worst_hour
from solarsim.electrical.rules import rule
from solarsim.inputs.percent import percent
from solarsim.inputs.profile import Profile
from solarsim.inputs.van import Van
from solarsim.power.design import design_of, usable_wh

__all__ = ["inverter_findings", "shore_findings"]

_WHERE = "inverter"
_RATING = "the inverter's rating"
_EUROPEAN_V = 200.0
# Posts as campsites have them.
_BREAKERS_A = {"120 V": (15.0, 20.0, 30.0, 50.0), "230 V": (6.0, 10.0, 13.0, 16.0, 32.0)}


def inverter_findings(van: Van, profile: Profile) -> Iterator[Finding]:
    """Check running watts, surge and idle draw."""
    yield from _unknown_names(van, profile)
    if van.inverter is None:
        return
    loads = runs_in_week(profile, "ac")
    rated_w = van.inverter.power_w
    too_large = {
        appliance.name: appliance.power_w
        for appliance in profile.appliances
        if appliance.enabled and appliance.current == "ac" and appliance.power_w > rated_w
    }
    for name, power_w in too_large.items():
        yield Finding(
            "inverter-single",
            "stop",
            name,
            Compared(power_w, rated_w, "W"),
            _RATING,
            f"'{name}' draws {power_w:,.0f} W; the inverter gives {rated_w:,.0f} W",
            "a larger inverter, a smaller appliance, or gas",
        )
    carried = [load for load in loads if load.name not in too_large]
    worst = worst_hour(carried)
    if worst.power_w > rated_w:
        yield Finding(
            "inverter-together",
            "warn",
            _WHERE,
            Compared(worst.power_w, rated_w, "W"),
            _RATING,
            f"{_listed(worst.names)} may run at once and add up to {worst.power_w:,.0f} W; the "
            f"inverter gives {rated_w:,.0f} W",
            "run them one after the other, or fit a larger inverter",
        )
    yield from _pairs(van, carried)
    yield from _surge(van, carried)
    yield from _idle(van)


def shore_findings(van: Van, profile: Profile) -> Iterator[Finding]:
    """Check the post's breaker."""
    shore = van.shore
    if shore is None:
        return
    continuous = rule("continuous_factor")
    post_w = shore.breaker_a * shore.mains_voltage_v
    loads_w = worst_hour(runs_in_week(profile, "ac")).power_w
    charger_w = continuous.value * charger_input_w(van)
    if loads_w + charger_w > post_w:
        yield Finding(
            "shore-breaker",
            "warn",
            "shore",
            Compared((loads_w + charger_w) / shore.mains_voltage_v, shore.breaker_a, "A"),
            continuous.source,
            f"AC loads of {loads_w:,.0f} W with the charger (counted as {charger_w:,.0f} W, for it "
            f"runs for hours) trip a post of {shore.breaker_a:g} A, {post_w:,.0f} W",
            "limit the charger's input in its settings, or run loads one after the other",
        )
    kind = "230 V" if shore.mains_voltage_v >= _EUROPEAN_V else "120 V"
    usual = _BREAKERS_A[kind]
    if shore.breaker_a not in usual:
        near_a = min(usual, key=lambda size_a: abs(size_a - shore.breaker_a))
        yield Finding(
            "shore-breaker-size",
            "note",
            "shore",
            Compared(shore.breaker_a, near_a, "A"),
            "common practice, no source: 15, 20, 30 or 50 A at 120 V, 6 to 32 A at 230 V",
            f"a post of {shore.breaker_a:g} A at {shore.mains_voltage_v:g} V is unusual",
            f"check shore.breaker_a; usual are {', '.join(f'{size:g}' for size in usual)} A",
        )


def _unknown_names(van: Van, profile: Profile) -> Iterator[Finding]:
    known = {appliance.name for appliance in profile.appliances}
    unknown = sorted({name for group in van.wiring.together for name in group} - known)
    if unknown:
        yield Finding(
            "together-unknown",
            "note",
            "wiring.together",
            Compared(float(len(unknown)), 0.0, "names"),
            "the profile",
            f"the profile '{profile.profile.name}' has no {_listed(unknown)}",
            f"names of this profile: {', '.join(sorted(known)) or 'none'}",
        )


def _pairs(van: Van, loads: Sequence[Running]) -> Iterator[Finding]:
    assert van.inverter is not None
    for group in van.wiring.together:
        power_w = sum(load.power_w for load in loads if load.name in group)
        if power_w > van.inverter.power_w:
            yield Finding(
                "inverter-pair",
                "stop",
                _WHERE,
                Compared(power_w, van.inverter.power_w, "W"),
                _RATING,
                f"{_listed(group)} run together and take {power_w:,.0f} W; the inverter gives "
                f"{van.inverter.power_w:,.0f} W",
                "a larger inverter, or do not run them together",
            )


def _surge(van: Van, loads: Sequence[Running]) -> Iterator[Finding]:
    """Each load's start alone and on top of those that are marked to run with it."""
    assert van.inverter is not None
    limit_w = inverter_surge_w(van)
    groups = [[load] for load in loads]
    groups += [[load for load in loads if load.name in group] for group in van.wiring.together]
    worst_w, names = 0.0, [""]
    for group in groups:
        start_w = max((load.start_extra_w for load in group), default=0.0)
        asked_w = sum(load.power_w for load in group) + start_w
        if start_w > 0.0 and asked_w > worst_w:
            worst_w, names = asked_w, [load.name for load in group]
    if worst_w > limit_w:
        given = van.inverter.surge_w is not None
        yield Finding(
            "inverter-surge",
            "warn",
            _WHERE,
            Compared(worst_w, limit_w, "W"),
            "the inverter's surge rating" if given else rule("surge_rating_ratio").source,
            f"{_listed(names)}: the start takes {worst_w:,.0f} W; the inverter gives "
            f"{limit_w:,.0f} W for seconds",
            "an inverter with a larger surge, or an appliance with a soft start",
        )


def _idle(van: Van) -> Iterator[Finding]:
    assert van.inverter is not None
    usable = usable_wh(design_of(van))
    limit = rule("idle_share")
    idle_wh = 24.0 * van.inverter.idle_w
    if van.inverter.always_on and idle_wh > limit.value * usable:
        yield Finding(
            "inverter-idle",
            "warn",
            _WHERE,
            Compared(idle_wh, limit.value * usable, "Wh a day"),
            limit.source,
            f"always on, the inverter itself takes {idle_wh:,.0f} Wh a day, "
            f"{percent(idle_wh / max(usable, 1.0))} of the usable bank",
            "switch it off when idle (inverter.always_on = false)",
        )


def _listed(names: Sequence[str]) -> str:
    return " and ".join(f"'{name}'" for name in names)
