"""Arrays of panels and the controllers that they charge through."""

from __future__ import annotations

from typing import Annotated, Any, Literal, Self

from pydantic import Field, model_validator

from solarsim.inputs.base import Record
from solarsim.inputs.lengths import Metres
from solarsim.inputs.limits import Amperes, ClockHour, Share
from solarsim.inputs.roof import Facing
from solarsim.inputs.wiring import CableRun, PanelsRun

__all__ = ["Controller", "FurtherArray", "Panels"]

# Propped up after breakfast, put away before dusk: common practice, no source.
_GROUND_DEFAULTS = {"tilt_deg": 40.0, "from_hour": 9.0, "to_hour": 17.0}


class Panels(Record):
    """One array of like panels, by its datasheet at standard test conditions (IEC 60904-3).

    A ``part`` of the library gives the datasheet's numbers; what the table gives itself stands over
    them. Tilted panels face the side ``facing`` of the van.
    """

    part: str | None = None
    """A panel of the library by its name (`solarsim parts`), instead of the numbers that it
    fills in."""
    power_w: Annotated[float, Field(gt=0.0, le=1000.0)]
    """Rated power of one panel; must agree with vmp_v x imp_a within 5 %."""
    vmp_v: Annotated[float, Field(gt=1.0, le=150.0)]
    """Voltage of one panel at its maximum power (Vmp)."""
    imp_a: Annotated[float, Field(gt=0.05, le=30.0)]
    """Current of one panel at its maximum power (Imp)."""
    voc_v: Annotated[float, Field(gt=1.0, le=200.0)]
    """Open-circuit voltage of one panel (Voc), above vmp_v."""
    isc_a: Annotated[float, Field(gt=0.05, le=35.0)]
    """Short-circuit current of one panel (Isc), above imp_a."""
    alpha_isc_pct_k: Annotated[float, Field(ge=-0.05, le=0.2)] = 0.05
    """Change of Isc for each degree above 25 C."""
    beta_voc_pct_k: Annotated[float, Field(ge=-0.6, lt=0.0)] = -0.28
    """Change of Voc for each degree above 25 C; negative."""
    gamma_pmp_pct_k: Annotated[float, Field(ge=-0.8, lt=0.0)] = -0.36
    """Change of the maximum power for each degree above 25 C; negative."""
    cells_in_series: Annotated[int, Field(ge=1, le=300)]
    """Cells of one panel in series: 36, 60 or 72 as a rule; half-cells in parallel halves count
    once."""
    length_m: Annotated[Metres, Field(gt=0.0, le=3.0)]
    """Long side of one panel, frame and all."""
    width_m: Annotated[Metres, Field(gt=0.0, le=2.0)]
    """Short side of one panel, frame and all."""
    mounting: Literal["gap", "close", "glued"] = "gap"
    """How air reaches the back: on brackets with a gap, laid close on the roof, or glued to it."""
    count: Annotated[int, Field(ge=0, le=60)] = 1
    """How many panels the array has; 0 for none."""
    series: Annotated[int, Field(ge=1, le=20)] = 1
    """How many panels stand in series in one string; count is a multiple of it."""
    tilt_deg: Annotated[float, Field(ge=0.0, le=90.0)] = 0.0
    """How steeply the panels stand; 0 lies flat."""
    azimuth_deg: Annotated[float, Field(ge=0.0, le=360.0)] | None = None
    """Compass direction that tilted panels face, clockwise from north. Left out, it follows
    from stay.heading_deg; where that is unknown too, all headings are averaged."""
    # Panels on legs mostly tip over a long edge of the roof: common practice, no source.
    facing: Facing = "right"
    """Side of the van that tilted panels face."""
    soiling_share: Share = 0.04
    """Share of the light that dirt on the glass keeps away."""
    degradation_share_per_year: Annotated[float, Field(ge=0.0, le=0.05)] = 0.005
    """Share of its power that a panel loses each year."""
    age_years: Annotated[float, Field(ge=0.0, le=40.0)] = 0.0
    """Age of the panels, for what they have lost since."""
    max_series_fuse_a: Amperes | None = None
    """Largest string fuse that the datasheet allows (`check`); left out, that is not looked at."""
    cost: Annotated[float, Field(ge=0.0)] | None = None
    """Price of one panel; with battery.cost, `tune` picks the cheapest
    design."""

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        if self.vmp_v >= self.voc_v:
            raise ValueError(f"vmp_v ({self.vmp_v}) must be below voc_v ({self.voc_v})")
        if self.imp_a >= self.isc_a:
            raise ValueError(f"imp_a ({self.imp_a}) must be below isc_a ({self.isc_a})")
        product_w = self.vmp_v * self.imp_a
        if abs(product_w / self.power_w - 1.0) > 0.05:
            raise ValueError(
                f"power_w ({self.power_w}) must agree with vmp_v x imp_a ({product_w:.1f} W) "
                "within 5 %"
            )
        if self.count % self.series:
            raise ValueError(f"count ({self.count}) must be a multiple of series ({self.series})")
        return self


class Controller(Record):
    """Solar charge controller."""

    kind: Literal["mppt", "pwm"] = "mppt"
    """MPPT converts the panels' voltage; PWM pulls it down to the bank's."""
    max_input_v: Annotated[float, Field(gt=5.0, le=1000.0)] = 100.0
    """Highest voltage of the strings that the controller bears, reached on a cold morning."""
    max_input_a: Amperes | None = None
    """Largest short-circuit current of the array that its maker allows; left out, that is not
    looked at."""
    max_output_a: Annotated[float, Field(gt=0.0, le=500.0)] = 30.0
    """Largest current into the bank; what the sun gives above it is clipped."""
    efficiency: Annotated[float, Field(gt=0.5, le=1.0)] = 0.96
    """Share of the panels' power that reaches the bank, MPPT's own losses taken off."""
    start_margin_v: Annotated[float, Field(ge=0.0, le=10.0)] = 1.0
    """How far the string's Vmp must stand above the bank before an MPPT controller charges."""


class FurtherArray(Panels):
    """A further array of like panels, on the van's controller or on one of its own.

    On the van's own MPPT controller its strings lie in parallel to the others and share their
    voltage. A string is of like panels: unlike ones get an array each. One of ``kind = "ground"``
    stands at 40 degrees from 9 to 17 o'clock unless its keys say otherwise.
    """

    name: Annotated[str, Field(min_length=1, max_length=200)]
    """What the array is called; settings reach it by this name."""
    kind: Literal["roof", "ground"] = "roof"
    """On the roof, or on the ground beside the van."""
    aim: Literal["fixed", "morning and afternoon"] = "fixed"
    """Whether a ground array stays as it is set up or is turned at solar noon, from 45 degrees
    east of the equator's direction to 45 degrees west of it. A fixed one without azimuth_deg
    faces the equator."""
    from_hour: ClockHour = 0.0
    """Clock hour at which a ground array is set up."""
    to_hour: Annotated[float, Field(gt=0.0, le=24.0)] = 24.0
    """Clock hour at which a ground array is put away, after from_hour."""
    every_days: Annotated[int, Field(ge=1, le=365)] = 1
    """A ground array is set up every so many days, from the first whole day on."""
    controller: Controller | None = None
    """A controller of its own; left out, the array lies on the van's."""
    panels_string: PanelsRun = PanelsRun()
    """From each of several strings to where they join, for `check`."""
    panels_controller: PanelsRun = PanelsRun()
    """From the array to its controller, for `check`."""
    controller_bank: CableRun = CableRun()
    """From a controller of its own to the bank's positive bus, for `check`."""

    @model_validator(mode="before")
    @classmethod
    def _of_its_kind(cls, data: Any) -> Any:
        if isinstance(data, dict) and data.get("kind") == "ground":
            return _GROUND_DEFAULTS | data
        return data

    @model_validator(mode="after")
    def _used(self) -> Self:
        if self.to_hour <= self.from_hour:
            raise ValueError(f"to_hour ({self.to_hour:g}) must be after from_hour")
        always = (self.from_hour, self.to_hour, self.every_days) == (0.0, 24.0, 1)
        if self.kind == "roof" and not always:
            raise ValueError("from_hour, to_hour and every_days are for an array of kind 'ground'")
        if self.aim != "fixed" and (self.kind == "roof" or self.azimuth_deg is not None):
            raise ValueError(f"aim '{self.aim}' is for a ground array without azimuth_deg")
        return self
