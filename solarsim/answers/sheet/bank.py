"""What a full bank alone carries, and how fast driving and shore power fill an empty one."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping

import numpy as np

from solarsim.answers.simulation.roof_shades import absorption_voltage_v
from solarsim.arrays import FloatArray
from solarsim.inputs.appliance import Appliance
from solarsim.inputs.van import Van
from solarsim.power.design import Design, design_of
from solarsim.power.dispatch import Chargers, dispatch
from solarsim.power.inverter import loss_coefficients
from solarsim.power.sources import shore_offer

__all__ = ["ALONE_HOURS", "SHORE_NIGHT_H", "Filled", "alone_hours", "filled_shares"]

ALONE_HOURS = 720
SHORE_NIGHT_H = 8
# A bank in a lived-in van, where capacity tables are at their rating.
_BANK_TEMP_C = 25.0


@dataclasses.dataclass(frozen=True)
class Filled:
    """Share of the usable bank that comes back from its floor, 0 to 1; None without a charger."""

    drive_hour_share: float | None
    shore_night_share: float | None


def alone_hours(van: Van, appliances: Mapping[str, tuple[Appliance, float]]) -> dict[str, float]:
    """Hours that each appliance, as the only load, runs on a full bank without any charging.

    Parameters
    ----------
    van : Van
        Whose bank and inverter.
    appliances : mapping of str to (Appliance, float)
        Each with the mean power of all its pieces while it runs without a pause, W.

    Returns
    -------
    dict of str to float
        At most `ALONE_HOURS`, which stands for that many or more.
    """
    if not appliances:
        return {}
    watts = [_at_bank_w(van, appliance, power_w) for appliance, power_w in appliances.values()]
    load_w = np.repeat(np.array(watts)[:, np.newaxis], ALONE_HOURS, axis=1)
    nothing = np.zeros((1, ALONE_HOURS))
    chargers = Chargers(nothing, nothing, nothing)
    hours = _run(design_of(van), load_w, chargers, start_soc=1.0)[0]
    return dict(zip(appliances, hours.tolist(), strict=True))


def filled_shares(van: Van) -> Filled:
    """How much of the usable bank an hour's drive and a night on shore power bring back.

    From the floor, with nothing switched on, in a bank at 25 degrees C.
    """
    design = design_of(van)
    usable = 1.0 - design.floor_soc

    def filled(chargers: Chargers) -> float:
        load_w = np.zeros_like(chargers.shore_a)
        soc = _run(design, load_w, chargers, start_soc=design.floor_soc)[1]
        return float(soc[0, -1, 0] - design.floor_soc) / usable

    drive = night = None
    if van.alternator is not None and van.alternator.rated_a > 0.0:
        nothing = np.zeros((1, 1))
        drive = filled(Chargers(nothing + van.alternator.driven_a, nothing, nothing))
    if van.shore is not None and van.shore.charger_a > 0.0:
        nothing = np.zeros((1, SHORE_NIGHT_H))
        post_w = van.shore.breaker_a * van.shore.mains_voltage_v * van.shore.charger_efficiency
        shore_a, shore_w = shore_offer(van.shore, nothing + post_w, absorption_voltage_v(van))
        rated_a = np.full(SHORE_NIGHT_H, van.shore.charger_a)
        night = filled(Chargers(nothing, shore_a, nothing, shore_w, shore_rated_a=rated_a))
    return Filled(drive, night)


def _at_bank_w(van: Van, appliance: Appliance, power_w: float) -> float:
    if appliance.current == "dc":
        return power_w
    assert van.inverter is not None
    a, b, c = loss_coefficients(van.inverter)
    return power_w + a + b * power_w + c * power_w**2


def _run(
    design: Design, load_w: FloatArray, chargers: Chargers, *, start_soc: float
) -> tuple[FloatArray, FloatArray]:
    """Hours to the cut-off of each load, and the state of charge."""
    nothing = np.zeros((1, load_w.shape[1]))
    outcome = dispatch(
        panel_w=np.zeros(load_w.shape),
        dc_w=load_w,
        ac_w=nothing,
        inverter_loss_w=nothing,
        chargers=chargers,
        bank_temp_c=nothing + _BANK_TEMP_C,
        designs=[design],
        start_soc=start_soc,
        ledger_hours=0,
        soc_designs=1,
    )
    return outcome.first_cut_h[:, 0], outcome.soc
