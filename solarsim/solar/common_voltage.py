"""Unlike strings in parallel on one MPPT controller: they share one voltage."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.inputs.panels import Controller, Panels
from solarsim.solar.controller import controller_table, panel_voltage_v
from solarsim.solar.module import fit_panels
from solarsim.solar.output import PanelOutput
from solarsim.solar.power_table import look_up

__all__ = ["Source", "at_common_voltages", "common_share"]

_VOLTAGES = 24
# The best common voltage lies between those of the strings alone; a hot panel's Vmp falls to three
# quarters of the datasheet's, a frosty one's rises by a fifth.
_LOWEST_SHARE, _HIGHEST_SHARE = 0.7, 1.25


@dataclasses.dataclass(frozen=True)
class Source:
    """One array on the controller: its panels, what one of them does, and when it is there.

    Attributes
    ----------
    panels : Panels
        Datasheet and panels in series.
    output : PanelOutput
        Of one panel alone on the controller.
    use_share : ndarray
        ``(1, hours)`` share of the hour that the array is in use, 0 to 1.
    """

    panels: Panels
    output: PanelOutput
    use_share: FloatArray


def at_common_voltages(
    sources: Sequence[Source], controller: Controller, *, bus_voltage_v: float
) -> list[FloatArray]:
    """Power of one panel of each source at every voltage that all strings might share.

    Parameters
    ----------
    sources : sequence of Source
        What hangs on the controller.
    controller : Controller
        An MPPT controller.
    bus_voltage_v : float
        What the bank sits at while it is charged, V.

    Returns
    -------
    list of ndarray
        One a source, ``(voltages, runs, hours)``, W before the controller's losses. A string never
        draws current: one blocks it, or the voltage lies below its open circuit.
    """
    strings_v = [source.panels.vmp_v * source.panels.series for source in sources]
    needed_v = panel_voltage_v(controller, bus_voltage_v=bus_voltage_v, series=1)
    low_v = max(needed_v, _LOWEST_SHARE * min(strings_v))
    voltages_v = np.geomspace(low_v, max(_HIGHEST_SHARE * max(strings_v), low_v), _VOLTAGES)
    found = []
    for source in sources:
        light = source.output.absorbed_w_m2
        power_w = np.zeros((_VOLTAGES, *light.shape))
        # Nights are half of the work.
        lit = np.flatnonzero(light.any(axis=0) & (source.use_share[0] > 0.0))
        for at, voltage_v in enumerate(voltages_v):
            panel_v = float(voltage_v) / source.panels.series
            table = controller_table(fit_panels(source.panels), "pwm", panel_v)
            at_v = look_up(table, light[:, lit], source.output.temp_cell_c[:, lit])
            power_w[at][:, lit] = at_v * source.use_share[:, lit]
        found.append(power_w)
    return found


def common_share(at_voltages: Sequence[FloatArray], counts: Sequence[int]) -> FloatArray:
    """Power at the best common voltage over what the sources would give each at its own.

    Parameters
    ----------
    at_voltages : sequence of ndarray
        See `at_common_voltages`.
    counts : sequence of int
        Panels of each source.

    Returns
    -------
    ndarray
        ``(runs, hours)``, 0 to 1; 1 where at most one source gives power.

    Notes
    -----
    Power over voltage has a flat top: a parabola through the best voltage and its neighbours, 3 to
    6 % apart, errs by less than half a percent there, and the same way above and below the line.
    """
    own = [count * _top(at) for count, at in zip(counts, at_voltages, strict=True) if count]
    together = sum(count * at for count, at in zip(counts, at_voltages, strict=True) if count)
    shape = at_voltages[0].shape[1:]
    if len(own) < 2 or isinstance(together, int):
        return np.ones(shape)
    apart_w = np.sum(own, axis=0)
    share = np.where(apart_w > 0.0, _top(together) / np.maximum(apart_w, 1e-12), 1.0)
    return np.clip(share, 0.0, 1.0)


def _top(power_w: FloatArray) -> FloatArray:
    """Peak over the first axis, by a parabola through the highest node and its neighbours."""
    best = np.clip(power_w.argmax(axis=0), 1, len(power_w) - 2)[np.newaxis]
    low, middle, high = (np.take_along_axis(power_w, best + step, axis=0)[0] for step in (-1, 0, 1))
    bend = 2.0 * middle - low - high
    lift = np.where(bend > 0.0, (low - high) ** 2 / (8.0 * np.maximum(bend, 1e-12)), 0.0)
    # Off the ends of the grid and where the curve is no hill the node itself is the peak.
    peak: FloatArray = np.where(
        (middle >= low) & (middle >= high), middle + lift, np.maximum(np.maximum(low, high), middle)
    )
    return peak
