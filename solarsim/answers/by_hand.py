"""Autonomy by hand, in the manner of IEEE 1013: the cross-check beside the simulated bank.

IEEE 1013 and 1562 size lead-acid banks where the sun is the only source. They cover neither
lithium nor an alternator or shore power, so the figure here is a cross-check, not the answer.
"""

from __future__ import annotations

import dataclasses
import math

from solarsim.power.chemistry import capacity_share_at, load_chemistry

__all__ = ["Autonomy", "autonomy"]

# End of life at 80 % of rated capacity and a design margin of 10 %: IEEE 1013-2007, from memory.
END_OF_LIFE_SHARE = 0.8
DESIGN_MARGIN = 1.1


@dataclasses.dataclass(frozen=True)
class Autonomy:
    """By-hand figures for a bank without any charging.

    Attributes
    ----------
    load_ah_per_day : float
        Mean daily load at the bank's terminals, Ah.
    days : float
        Days that the given bank carries it from full to its floor, without any sun.
    required_ah : float
        Rated capacity for the stay's days of autonomy, with the allowances below, Ah.
    max_depth, end_of_life_share, temperature_factor, margin : float
        What the required capacity allows for.
    """

    load_ah_per_day: float
    days: float
    required_ah: float
    max_depth: float
    end_of_life_share: float
    temperature_factor: float
    margin: float


def autonomy(
    *,
    load_wh_per_day: float,
    system_voltage_v: float,
    capacity_ah: float,
    chemistry: str,
    floor_soc: float,
    bank_temp_c: float,
    days: float,
) -> Autonomy:
    """Size a bank by hand for `days` without charging.

    ``required = max(load x days / depth, load x days / end of life) x temperature x margin``

    References
    ----------
    .. [1] IEEE 1013-2007, "Recommended Practice for Sizing Lead-Acid Batteries for Stand-Alone
       Photovoltaic Systems", clause 6 (formula from memory).

    Examples
    --------
    A worked chain: 100 Ah a day, 5 days, depth 0.8, end of life 0.8, 10 C, margin 1.1.

    >>> round(autonomy(load_wh_per_day=1200, system_voltage_v=12, capacity_ah=800,
    ...     chemistry="agm", floor_soc=0.2, bank_temp_c=10.0, days=5).required_ah)
    818
    """
    load_ah = load_wh_per_day / system_voltage_v
    depth = 1.0 - floor_soc
    curves = load_chemistry(chemistry)
    share = float(capacity_share_at(curves, bank_temp_c))
    # Too cold to give anything: no bank is large enough.
    factor = 1.0 / share if share > 0.0 else math.inf
    unadjusted_ah = load_ah * days
    required_ah = max(unadjusted_ah / depth, unadjusted_ah / END_OF_LIFE_SHARE)
    return Autonomy(
        load_ah_per_day=load_ah,
        days=capacity_ah * depth / factor / load_ah if load_ah > 0.0 else math.inf,
        required_ah=required_ah * factor * DESIGN_MARGIN if load_ah > 0.0 else 0.0,
        max_depth=depth,
        end_of_life_share=END_OF_LIFE_SHARE,
        temperature_factor=factor,
        margin=DESIGN_MARGIN,
    )
