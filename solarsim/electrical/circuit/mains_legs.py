"""Which runs of mains cable a van has, and the breaker of each."""

from __future__ import annotations

from typing import NamedTuple

from solarsim.electrical.currents import charger_input_w, next_up
from solarsim.electrical.rule_set import RuleSet
from solarsim.inputs.van import Van
from solarsim.inputs.wiring import AcRun

__all__ = ["MainsLeg", "inverter_breaker_a", "mains_legs", "mains_voltage_v"]


class MainsLeg(NamedTuple):
    """One mains run: its table, what it joins, and the current that its breaker lets through, A.

    Where no breaker of the rules' list is large enough, ``has_breaker`` is false and ``breaker_a``
    what it would have to carry.
    """

    key: str
    name: str
    start: str
    end: str
    run: AcRun
    breaker_a: float
    breaker_place: str
    has_breaker: bool = True


def mains_voltage_v(rules: RuleSet, van: Van) -> float:
    """Mains voltage aboard, V: the post's, the inverter's, or that of the rules' country."""
    if van.shore is not None:
        return van.shore.mains_voltage_v
    made_v = None if van.inverter is None else van.inverter.output_v
    return rules.ac.voltage_v if made_v is None else made_v


def mains_legs(van: Van, rules: RuleSet) -> list[MainsLeg]:
    """Return the runs of mains cable from the inlet and the inverter to the outlets."""
    shore = [] if van.shore is None else _shore_legs(rules, van)
    return shore + ([] if van.inverter is None else _inverter_legs(rules, van))


def _shore_legs(rules: RuleSet, van: Van) -> list[MainsLeg]:
    shore, wiring = van.shore, van.wiring
    assert shore is not None
    inlet, guard, post_a = "shore inlet", "mains protection", shore.breaker_a
    at_inlet = "at the mains protection, within reach of the inlet"
    own = "at the post; the van's own follows at its end"
    found = [
        MainsLeg(
            "ac_inlet", "shore inlet to protection", inlet, guard, wiring.ac_inlet, post_a, own
        )
    ]
    if shore.charger_a > 0.0:
        draws_a = charger_input_w(van) / shore.mains_voltage_v
        wanted_a = rules.rule("continuous_factor").value * draws_a
        charger = min(next_up(rules.ac.breakers, wanted_a) or post_a, post_a)
        name, target = "protection to shore charger", "shore charger"
        found.append(
            MainsLeg("ac_charger", name, guard, target, wiring.ac_charger, charger, at_inlet)
        )
    target = "outlets" if van.inverter is None else "transfer switch"
    through_a = min(post_a, rules.ac.outlet_a) if van.inverter is None else post_a
    name = f"protection to {target}"
    found.append(
        MainsLeg("ac_transfer", name, guard, target, wiring.ac_transfer, through_a, at_inlet)
    )
    return found


def _inverter_legs(rules: RuleSet, van: Van) -> list[MainsLeg]:
    inverter, shore, wiring = van.inverter, van.shore, van.wiring
    assert inverter is not None
    out_a, made = inverter_breaker_a(rules, van)
    at_output = "at the inverter's output"
    target = "outlets" if shore is None else "transfer switch"
    through_a = min(out_a, rules.ac.outlet_a) if shore is None else out_a
    name, run = f"inverter to {target}", wiring.ac_inverter
    made = made or through_a < out_a
    found = [MainsLeg("ac_inverter", name, "inverter", target, run, through_a, at_output, made)]
    if shore is not None:
        outlet_a = min(max(out_a, shore.breaker_a), rules.ac.outlet_a)
        name, place = "transfer switch to outlets", "at the transfer switch, one for each circuit"
        found.append(
            MainsLeg("ac_outlets", name, target, "outlets", wiring.ac_outlets, outlet_a, place)
        )
    return found


def inverter_breaker_a(rules: RuleSet, van: Van) -> tuple[float, bool]:
    """Breaker at the inverter's output, A, and whether one is made; else what it would carry, A.

    References
    ----------
    .. [1] NEC (NFPA 70) 690.9(B) and 705.30, from memory: an inverter's rated output counts as
       continuous, and its breaker is 125 % of it at least.
    """
    assert van.inverter is not None
    rated_a = van.inverter.power_w / mains_voltage_v(rules, van)
    wanted_a = rules.rule("continuous_factor").value * rated_a
    found_a = next_up(rules.ac.breakers, wanted_a)
    return (wanted_a, False) if found_a is None else (found_a, True)
