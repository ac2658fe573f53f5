"""What the panels hand to the bank: the van's own array and any further ones."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence

import numpy as np
import pandas as pd

from solarsim.answers.question import Question
from solarsim.answers.simulation.roof_shades import absorption_voltage_v, bus_voltage_v
from solarsim.arrays import FloatArray
from solarsim.inputs.panels import FurtherArray, Panels
from solarsim.power.chemistry import charging_voltage_v, load_chemistry
from solarsim.power.design import Design
from solarsim.power.sources import plan_share
from solarsim.records import ArrayRecord
from solarsim.solar.common_voltage import Source, at_common_voltages, common_share
from solarsim.solar.output import PanelOutput, panel_output, shaded_power_w
from solarsim.solar.shade.roof_shade import RoofShade
from solarsim.weather.record import Weather

__all__ = ["Supply", "array_sources", "supply_of"]

_AIM_DEG = 45.0
# Strings this near to each other in voltage lose next to nothing on one controller.
_LIKE_SHARE = 0.1


@dataclasses.dataclass(frozen=True, eq=False, repr=False)
class Supply(ArrayRecord):
    """What `solarsim.power.dispatch.dispatch` takes of the sun.

    Attributes
    ----------
    panel_w : ndarray
        ``(runs, hours, variants)`` power of one panel of a design, W.
    designs : tuple of Design
        The designs asked for, each pointing at its variant.
    other_solar_w, other_solar_a, other_clipped_w : ndarray
        ``(runs, hours)`` what arrays with controllers of their own give, W, or A where those are
        PWM or at their limit, and what they clip, W; None where there is no such array.
    """

    panel_w: FloatArray
    designs: tuple[Design, ...]
    other_solar_w: FloatArray | None
    other_solar_a: FloatArray | None
    other_clipped_w: FloatArray | None


def array_sources(
    question: Question, weather: Weather, times: pd.DatetimeIndex
) -> tuple[Source, ...]:
    """Work out one panel of each further array of the van, in their order."""
    return tuple(_source(question, array, weather, times) for array in question.van.arrays)


def supply_of(
    question: Question,
    weather: Weather,
    panel: PanelOutput,
    sources: Sequence[Source],
    designs: Sequence[Design],
    shades: Mapping[int, RoofShade | None],
) -> Supply:
    """Put the arrays together for designs that may differ in their number of panels.

    Parameters
    ----------
    question : Question
        The van with its arrays.
    weather : Weather
        Runs that `panel` and `sources` were worked out from.
    panel : PanelOutput
        One panel of the van's own array.
    sources : sequence of Source
        Of the further arrays, see `array_sources`.
    designs : sequence of Design
        What is asked for; a number of panels that shade, or an array beside them, makes a variant.
    shades : mapping of int to RoofShade or None
        By number of panels, see `solarsim.answers.simulation.roof_shades.shades_by_count`.
    """
    van = question.van
    pairs = list(zip(van.arrays, sources, strict=True))
    own = [(array, source) for array, source in pairs if array.controller is not None]
    beside = [(array, source) for array, source in pairs if array.controller is None]
    other_w, other_a, clipped_w = _with_own_controllers(question, own)
    counts = sorted({design.panel_count for design in designs})
    series: list[FloatArray] = []
    variants: dict[int, int] = {}
    if beside:
        at_voltages = _common_voltages(question, panel, beside)
        beside_counts = [array.count for array, _ in beside]
        beside_w = sum(array.count * each.output.power_w * each.use_share for array, each in beside)
        for count in counts:
            variants[count] = len(series)
            whole_w = count * shaded_power_w(panel, weather, shades[count]) + beside_w
            if at_voltages:
                whole_w = whole_w * common_share(at_voltages, [count, *beside_counts])
            series.append(whole_w)
        # The array as a whole counts as one panel.
        placed = [
            dataclasses.replace(d, panel_count=1, panel_variant=variants[d.panel_count])
            for d in designs
        ]
    else:
        by_shade: dict[int, int] = {}
        for count in counts:
            shade = shades[count]
            if id(shade) not in by_shade:
                by_shade[id(shade)] = len(series)
                series.append(shaded_power_w(panel, weather, shade))
            variants[count] = by_shade[id(shade)]
        placed = [dataclasses.replace(d, panel_variant=variants[d.panel_count]) for d in designs]
    # Each variant in one piece, as the kernel reads it.
    variants_w = series[0][np.newaxis] if len(series) == 1 else np.stack(series)
    return Supply(np.moveaxis(variants_w, 0, -1), tuple(placed), other_w, other_a, clipped_w)


def _common_voltages(
    question: Question, panel: PanelOutput, beside: Sequence[tuple[FurtherArray, Source]]
) -> list[FloatArray]:
    """Powers of the panels and the arrays on their controller over voltages; none for PWM."""
    van = question.van
    if van.controller.kind != "mppt":
        return []
    always = np.ones((1, panel.power_w.shape[1]))
    sources = [Source(van.panels, panel, always), *(source for _, source in beside)]
    return at_common_voltages(sources, van.controller, bus_voltage_v=bus_voltage_v(van))


def _source(
    question: Question, array: FurtherArray, weather: Weather, times: pd.DatetimeIndex
) -> Source:
    van, latitude_deg = question.van, question.place.latitude_deg
    use_share = np.ones((1, len(times)))
    facing_deg = van.faces_deg(array)
    hourly_deg: FloatArray | None = None
    if array.kind == "ground":
        use_share[0] = plan_share(
            times,
            question.place.timezone,
            start_hour=array.from_hour,
            duration_h=array.to_hour - array.from_hour,
            every_days=array.every_days,
        )
        equator_deg = 180.0 if latitude_deg >= 0.0 else 0.0
        facing_deg = equator_deg if array.azimuth_deg is None else array.azimuth_deg
        if array.aim != "fixed":
            east = np.atleast_2d(weather.azimuth_deg) < 180.0
            turn_deg = _AIM_DEG if latitude_deg >= 0.0 else -_AIM_DEG
            hourly_deg = np.where(east, facing_deg - turn_deg, facing_deg + turn_deg) % 360.0
    output = panel_output(
        weather,
        array.model_copy(update={"azimuth_deg": facing_deg}),
        array.controller or van.controller,
        bus_voltage_v=bus_voltage_v(van),
        parking=van.stay.parking,
        # Who puts a panel out wipes it.
        brush_snow="morning" if array.kind == "ground" else van.stay.brush_snow,
        horizon=question.horizon,
        azimuth_deg=hourly_deg,
    )
    return Source(
        array, dataclasses.replace(output, notes=(_note(array, van.panels, facing_deg),)), use_share
    )


def _with_own_controllers(
    question: Question, own: Sequence[tuple[FurtherArray, Source]]
) -> tuple[FloatArray, FloatArray, FloatArray] | tuple[None, None, None]:
    """Power and current that arrays with controllers of their own give, and what these clip.

    Whether one is at its limit is told at the voltage of a bank on charge; what it gives there are
    amperes, whatever the bank's voltage is, but never more than its panels have at absorption.
    """
    if not own:
        return None, None, None
    van = question.van
    chemistry, system_v = load_chemistry(van.battery.chemistry), float(van.van.system_voltage_v)
    charging_v, highest_v = charging_voltage_v(chemistry, system_v), absorption_voltage_v(van)
    pwm_v = bus_voltage_v(van)
    other_w = np.zeros_like(own[0][1].output.power_w)
    other_a, clipped_w = np.zeros_like(other_w), np.zeros_like(other_w)
    for array, source in own:
        controller = array.controller
        assert controller is not None
        whole_w = array.count * source.output.power_w * source.use_share
        pwm = controller.kind == "pwm"
        most_w = controller.max_output_a * (pwm_v if pwm else charging_v)
        in_amperes = (whole_w > most_w) | pwm
        whole_a = whole_w / (pwm_v if pwm else highest_v)
        other_w += np.where(in_amperes, 0.0, whole_w)
        other_a += np.where(in_amperes, np.minimum(whole_a, controller.max_output_a), 0.0)
        clipped_w += np.maximum(whole_w - most_w, 0.0)
    return other_w, other_a, clipped_w


def _note(array: FurtherArray, panels: Panels, facing_deg: float | None) -> str:
    faces = ""
    if array.aim != "fixed":
        faces = ", turned from the morning's sun to the afternoon's at noon"
    elif array.tilt_deg > 0.0:
        faces = ", averaged over headings" if facing_deg is None else f", facing {facing_deg:g} deg"
    when = "on the roof; its room there and the shade on it are not counted"
    if array.kind == "ground":
        days = "day" if array.every_days == 1 else f"{array.every_days} days"
        when = f"out from {array.from_hour:g} to {array.to_hour:g} o'clock every {days}"
    shared = "one of its own" if array.controller is not None else "the van's own controller"
    own_v, array_v = (each.vmp_v * each.series for each in (panels, array))
    unlike = array.controller is None and abs(array_v / own_v - 1.0) > _LIKE_SHARE
    held = f"; its strings of {array_v:.0f} V and those of {own_v:.0f} V hold each other back"
    return (
        f"Array '{array.name}': {array.count} x {array.power_w:g} W, tilted {array.tilt_deg:g} deg"
        f"{faces}, on {shared}, {when}{held if unlike else ''}."
    )
