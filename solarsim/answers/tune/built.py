"""The van that a candidate stands for, and what speaks against building it."""

from __future__ import annotations

from collections.abc import Callable

from solarsim.answers.buy.buy import buy_of
from solarsim.answers.question import Question
from solarsim.answers.tune.candidates import varied_van
from solarsim.answers.tune.designs import TunedDesign
from solarsim.electrical.check import check_van
from solarsim.inputs.prices import Prices
from solarsim.inputs.van import Battery, Van

__all__ = ["Stops", "built_van", "charges", "design_stops"]

Stops = Callable[[TunedDesign], tuple[str, ...]]


def built_van(van: Van, design: TunedDesign) -> Van:
    """Return the van with a candidate's panels, bank, DC-DC charger and controller."""
    own = van.controller
    grown = design.controller_a / own.max_output_a
    controller = {"max_output_a": design.controller_a}
    if own.max_input_a is not None:
        # A larger controller takes more current on the panels' side too.
        controller["max_input_a"] = own.max_input_a * grown
    battery = van.battery.model_copy(update={"units": design.units})
    if design.chemistry != battery.chemistry:
        # What the van says of its own units and chargers' set-points is not of another chemistry.
        kept = battery.model_dump(
            include={"unit_capacity_ah", "unit_voltage_v", "units", "location", "vented"}
        )
        battery = Battery.model_validate({"chemistry": design.chemistry} | kept)
    own_dcdc_a = 0.0 if van.alternator is None else van.alternator.dcdc_a
    van = varied_van(
        van,
        dcdc_a=None if design.dcdc_a == own_dcdc_a else design.dcdc_a,
        tilt_deg=None if design.tilt_deg == van.panels.tilt_deg else design.tilt_deg,
    )
    return van.model_copy(
        update={
            "panels": van.panels.model_copy(update={"count": design.panels}),
            "controller": own.model_copy(update=controller),
            "battery": battery,
        }
    )


def charges(van: Van) -> bool:
    """Whether anything charges the bank during the stay: sun, plan or generator."""
    alternator, shore = van.alternator, van.shore
    return (
        van.panels.count > 0
        or any(array.count > 0 for array in van.arrays)
        or (alternator is not None and alternator.rated_a > 0.0 and alternator.drive_h > 0.0)
        or (shore is not None and shore.charger_a > 0.0 and shore.plugged_h > 0.0)
        or van.generator is not None
    )


def design_stops(
    question: Question,
    *,
    sourceless_asked: bool = False,
    prices: Prices | None = None,
    max_kg: float | None = None,
) -> Stops:
    """Return what tells of a candidate why it may not be built; each is looked at once.

    Parameters
    ----------
    question : Question
        The van as it is, its people and its place.
    sourceless_asked : bool
        Whether a van that nothing charges was asked for.
    prices : Prices, optional
        The user's own weights; the library's examples stand in.
    max_kg : float, optional
        What all that is bought for a candidate may weigh, kg.
    """
    known: dict[TunedDesign, tuple[str, ...]] = {}

    def stops(design: TunedDesign) -> tuple[str, ...]:
        if design not in known:
            known[design] = tuple(found(design))
        return known[design]

    def found(design: TunedDesign) -> list[str]:
        van = built_van(question.van, design)
        said = []
        if not sourceless_asked and not charges(van):
            said.append("nothing charges it: no panels, and no driving or shore power in the plan")
        check = check_van(
            van, question.profile, question.place, climate=question.climate, series=question.series
        )
        said += [finding.message for finding in check.findings if finding.severity == "stop"]
        if max_kg is not None:
            weight_kg = buy_of(check, prices).total_kg
            if weight_kg > max_kg:
                said.append(
                    f"all that is bought for it weighs {weight_kg:.0f} kg, at most {max_kg:g} kg "
                    "was asked for"
                )
        return said

    return stops
