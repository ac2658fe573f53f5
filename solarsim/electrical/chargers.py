"""Chargers: the alternator behind the DC-DC charger, and set-points against the chemistry."""

from __future__ import annotations

from collections.abc import Iterator

from solarsim.electrical.currents import absorption_v, charger_input_w, dcdc_input_a, scale
from solarsim.electrical.findings import Compared, Finding, Severity
from solarsim.electrical.rules import Rule, rule
from solarsim.inputs.van import Van

__all__ = ["alternator_findings", "generator_findings", "set_point_findings"]

_WHERE = "chargers"


def alternator_findings(van: Van) -> Iterator[Finding]:
    """Check the DC-DC charger against the alternator, and the starter battery's protection."""
    alternator = van.alternator
    if alternator is None or alternator.dcdc_a == 0.0:
        return
    given_a = alternator.rating_a
    assumed = rule("alternator_rating_a")
    rating_a = assumed.value if given_a is None else given_a
    share = rule("alternator_share")
    input_a = dcdc_input_a(van)
    if input_a > share.value * rating_a:
        size = "its alternator of" if given_a is not None else "an alternator that is taken as"
        yield Finding(
            "alternator-load",
            "warn",
            "alternator",
            Compared(input_a, share.value * rating_a, "A"),
            share.source,
            f"the DC-DC charger takes {input_a:.0f} A from {size} {rating_a:g} A; idling, that "
            "overheats it",
            "a smaller DC-DC charger or one that can be limited, or a larger alternator "
            "(alternator.rating_a)",
        )
    yield from _relay(van)
    yield from _second(van)
    if not alternator.starter_protected:
        yield Finding(
            "alternator-starter",
            "warn",
            "alternator",
            Compared(0.0, 1.0, "cut-offs"),
            "common practice, no source: the engine must still start",
            "nothing keeps the DC-DC charger from draining the starter battery",
            "a charger that works only while the engine runs (ignition signal, voltage sensing)",
        )


def _relay(van: Van) -> Iterator[Finding]:
    """A relay lets through what the batteries' voltages drive; a DC-DC charger does not."""
    alternator = van.alternator
    assert alternator is not None
    if alternator.coupling != "split relay":
        return
    if alternator.smart:
        yield Finding(
            "alternator-smart",
            "warn",
            "alternator",
            Compared(0.0, 1.0, "DC-DC chargers"),
            "common practice, no source: smart alternators fall to some 12.5 V on the road",
            "behind a relay a smart alternator hardly charges the bank, and its surges reach it",
            "a DC-DC charger in place of the relay (alternator.coupling = 'dcdc')",
        )
    if van.battery.chemistry == "lfp":
        yield Finding(
            "alternator-relay",
            "warn",
            "alternator",
            Compared(0.0, 1.0, "current limits"),
            "common practice, no source: lithium takes all that an alternator gives",
            "nothing limits what a lithium bank draws through a relay: cable, relay and alternator "
            "overheat",
            "a DC-DC charger in place of the relay (alternator.coupling = 'dcdc')",
        )


def _second(van: Van) -> Iterator[Finding]:
    """A second alternator on the bank's own voltage, against its rating and what limits it."""
    second = None if van.alternator is None else van.alternator.second
    if second is None:
        return
    share = rule("alternator_share")
    if second.rating_a is not None and second.charging_a > share.value * second.rating_a:
        yield Finding(
            "second-alternator-load",
            "warn",
            "second alternator",
            Compared(second.charging_a, share.value * second.rating_a, "A"),
            share.source,
            f"the second alternator of {second.rating_a:g} A is to give {second.charging_a:g} A; "
            "idling, that overheats it",
            "a lower limit in its regulator (alternator.second.charging_a), or a larger one",
        )
    if van.battery.chemistry == "lfp" and not second.regulated:
        yield Finding(
            "second-alternator-regulator",
            "warn",
            "second alternator",
            Compared(0.0, 1.0, "current limits"),
            "common practice, no source: lithium takes all that an alternator gives",
            "nothing limits what a lithium bank draws from the second alternator: it overheats",
            "an external regulator with a temperature sensor and a current limit",
        )


def generator_findings(van: Van) -> Iterator[Finding]:
    """Check a generator against what its charger takes at full current."""
    generator = van.generator
    if generator is None:
        return
    if generator.charger_a is None:
        named, taken_w = "the shore charger", charger_input_w(van)
    else:
        output_w = generator.charger_a * absorption_v(van)
        named, taken_w = "its charger", output_w / generator.charger_efficiency
    if taken_w > generator.power_w:
        yield Finding(
            "generator-load",
            "warn",
            "generator",
            Compared(taken_w, generator.power_w, "W"),
            "common practice, no source: a charger takes its full current where nothing limits it",
            f"{named} takes {taken_w:,.0f} W at full current; the generator gives "
            f"{generator.power_w:,.0f} W",
            "a charger whose input can be limited, a smaller one, or a larger generator; the days "
            "count on a limit",
        )


def set_point_findings(van: Van) -> Iterator[Finding]:
    """Check the chargers' set-points against what the chemistry takes."""
    battery = van.battery
    chemistry, lead = battery.chemistry, battery.chemistry != "lfp"
    kind = "lead" if lead else "lfp"
    absorption_v = battery.charger_absorption_v
    if absorption_v is not None:
        high, low = rule(f"absorption_high_{chemistry}"), rule(f"absorption_low_{chemistry}")
        if absorption_v > high.value * scale(van):
            yield _set_point(
                van, "charger-absorption-high", "stop", absorption_v, high, "absorption", "most"
            )
        if absorption_v < low.value * scale(van):
            yield _set_point(
                van, "charger-absorption-low", "warn", absorption_v, low, "absorption", "least"
            )
    float_v = battery.charger_float_v
    high = rule(f"float_high_{kind}")
    if float_v is not None and float_v > high.value * scale(van):
        yield _set_point(van, "charger-float-high", "warn", float_v, high, "float", "most")
    equalize_v = battery.charger_equalize_v
    if equalize_v is not None and chemistry != "flooded":
        yield Finding(
            "charger-equalize",
            "stop",
            _WHERE,
            Compared(equalize_v, rule(f"absorption_high_{chemistry}").value * scale(van), "V"),
            "common practice, no source: only flooded batteries are equalised",
            f"equalising at {equalize_v:g} V ruins a {chemistry.upper()} bank",
            "switch equalising off in every charger",
        )
    if battery.charger_compensated is (not lead):
        yield Finding(
            "charger-compensation",
            "warn",
            _WHERE,
            Compared(0.0 if lead else 1.0, 1.0 if lead else 0.0, "compensated chargers"),
            "lead-acid -3 mV per cell and kelvin: makers' manuals; none for lithium: common "
            "practice, no source",
            "the chargers do not follow the bank's temperature, as lead-acid needs"
            if lead
            else "the chargers follow the bank's temperature and overcharge lithium in the cold",
            f"switch temperature compensation {'on' if lead else 'off'} in every charger",
        )


def _set_point(
    van: Van, identity: str, severity: Severity, given_v: float, limit: Rule, name: str, side: str
) -> Finding:
    limit_v = limit.value * scale(van)
    return Finding(
        identity,
        severity,
        _WHERE,
        Compared(given_v, limit_v, "V"),
        limit.source,
        f"the chargers' {name} of {given_v:g} V; for {van.battery.chemistry.upper()} at "
        f"{van.van.system_voltage_v} V it is at {side} {limit_v:g} V",
        f"set {name} by the battery's manual, at {side} {limit_v:g} V",
    )
