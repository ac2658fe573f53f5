"""The van's body as a box, and the heat that its skin and leaks let out."""

from __future__ import annotations

import dataclasses
from typing import Literal

from solarsim.inputs.roof import Roof

__all__ = ["AIR_HEAT_WH_M3_K", "INSULATION", "Body", "Insulation", "body_of_roof"]

Insulation = Literal["none", "light", "good"]

# Heat transfer of the skin, W/(m2 K), and air changes an hour: bare metal, carpet or foam of some
# 20 mm with bridges, and foam of some 40 mm. Estimates; no published source.
INSULATION: dict[str, tuple[float, float]] = {
    "none": (2.0, 3.0),
    "light": (1.2, 2.0),
    "good": (0.8, 1.0),
}
# Half of the box is furniture, cab and what is stowed; the rest is air that leaks out.
_AIR_SHARE = 0.5
# Density x specific heat of air near 20 C: 1.2 kg/m3 x 1006 J/(kg K) / 3600 s/h.
AIR_HEAT_WH_M3_K = 1.2 * 1006.0 / 3600.0
# The flat part of a panel van's roof ends at the windscreen's slope and inside the gutters; no
# body is wider than the law's 2.55 m. Round figures of the class, common practice, no source.
_CAB_M, _GUTTERS_M, _WIDEST_M, _LONGEST_M = 2.4, 0.4, 2.5, 15.0


@dataclasses.dataclass(frozen=True)
class Body:
    """The living space with its cab, as a box; the default is a 6 m panel van.

    Attributes
    ----------
    length_m, width_m, height_m : float
        Outside length and width, and the height from floor to roof.
    """

    length_m: float = 6.0
    width_m: float = 2.0
    height_m: float = 2.0

    @property
    def skin_m2(self) -> float:
        """Surface of the box.

        Examples
        --------
        >>> Body().skin_m2
        56.0
        """
        return 2.0 * (
            self.length_m * self.width_m
            + self.length_m * self.height_m
            + self.width_m * self.height_m
        )

    def heat_loss_w_k(self, insulation: Insulation) -> float:
        """Heat lost per kelvin between inside and outside, through skin and leaks, W/K.

        Areas and air changes as in textbooks on building physics; an estimate.

        Examples
        --------
        >>> [round(Body().heat_loss_w_k(kind)) for kind in ("none", "light", "good")]
        [124, 75, 49]
        >>> round(Body(11.0, 2.5, 2.0).heat_loss_w_k("light"))
        149
        """
        transfer_w_m2_k, changes_per_h = INSULATION[insulation]
        air_m3 = _AIR_SHARE * self.length_m * self.width_m * self.height_m
        return transfer_w_m2_k * self.skin_m2 + changes_per_h * air_m3 * AIR_HEAT_WH_M3_K


def body_of_roof(
    roof: Roof | None,
    *,
    length_m: float | None = None,
    width_m: float | None = None,
    height_m: float | None = None,
) -> Body:
    """The body by what is given of it, else by its roof, else a 6 m panel van.

    Examples
    --------
    >>> body_of_roof(None, length_m=5.4)
    Body(length_m=5.4, width_m=2.0, height_m=2.0)
    """
    usual = Body()
    if roof is not None:
        usual = Body(
            min(roof.length_m + _CAB_M, max(_LONGEST_M, roof.length_m)),
            min(roof.width_m + _GUTTERS_M, max(_WIDEST_M, roof.width_m)),
        )
    return Body(
        usual.length_m if length_m is None else length_m,
        usual.width_m if width_m is None else width_m,
        usual.height_m if height_m is None else height_m,
    )
