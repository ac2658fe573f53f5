"""What partly shaded panels give: bypass diodes, strings in series, strings in parallel.

Every bypass group of a string is a source of current that its darkest cell limits. At a voltage
that ``k`` of the string's groups hold, the string carries the ``k``-th largest of their currents
and the others are bypassed; strings in parallel share the voltage and add their currents. The
controller takes the best voltage it may, or the bank's (PWM).
"""

from __future__ import annotations

import numpy as np

from solarsim.arrays import FloatArray
from solarsim.errors import InputError
from solarsim.inputs.panels import Controller, Panels
from solarsim.solar.controller import panel_voltage_v

__all__ = ["GROUPS", "array_factor", "diode_drop_share", "group_light", "least_groups"]

# A junction box with three diodes: common practice, no source; older 36-cell panels have two.
GROUPS = 3
# A Schottky diode that carries a panel's current: common practice, no source.
_DIODE_DROP_V = 0.5
# Cells of a panel in the sun on a mild day, at which the voltage of its groups is taken; common
# practice, no source.
_SUNNY_CELL_C = 45.0
_REFERENCE_C = 25.0


def group_light(
    cell_share: FloatArray, hidden_sky_share: FloatArray, beam_share: FloatArray
) -> FloatArray:
    """Light of a group's darkest cell over the light of an unshaded one.

    Parameters
    ----------
    cell_share : ndarray
        Share of the group's darkest cell that the beam does not reach, 0 to 1.
    hidden_sky_share : ndarray
        Share of the sky's light that obstacles keep from the group, 0 to 1.
    beam_share : ndarray
        Share of the unshaded light that comes from the sun and close around it, 0 to 1. All three
        broadcast.

    Returns
    -------
    ndarray
        0 to 1; exactly 1 where nothing is hidden.

    Examples
    --------
    >>> float(group_light(np.array(1.0), np.array(0.0), np.array(0.8)))  # diffuse light is left
    0.19999999999999996
    """
    light: FloatArray = 1.0 - beam_share * cell_share - (1.0 - beam_share) * hidden_sky_share
    return light


def array_factor(
    light_share: FloatArray,
    *,
    series: int = 1,
    least: int = 1,
    fixed_voltage: bool = False,
    drop_share: float = 0.0,
) -> FloatArray:
    """Power of an array over that of the same array without shade, 0 to 1.

    Parameters
    ----------
    light_share : ndarray
        ``(panels, groups, ...)`` light of each group's darkest cell over unshaded light, 0 to 1,
        see `group_light`. Panels are listed string by string.
    series : int
        Panels in each string.
    least : int
        Fewest groups of a string that must carry its current for the voltage that the bank asks
        for, see `least_groups`.
    fixed_voltage : bool
        True for PWM: exactly `least` groups set the current, and power is current at the bank's
        voltage. False for MPPT: the best number of groups from `least` up.
    drop_share : float
        Voltage lost in a conducting bypass diode over that of a lit group, see `diode_drop_share`.

    Returns
    -------
    ndarray
        Of the shape that is left without panels and groups.

    Raises
    ------
    InputError
        Panels that do not make up whole strings.

    Notes
    -----
    For one panel of three groups of which ``m`` are in full shade this is the better of bypassing
    them, ``(3 - m) / 3``, and of working all three on the light that the shaded ones still have.
    Every lit group is taken at its voltage at maximum power. That it falls in dim light (by 2.5 %
    at a fifth of the light, De Soto et al. 2006) and rises where half shade holds the current down
    is left out: against added single-diode curves full shade agrees within 3 points, and half shade
    comes out up to 7 points too dark. Shade makes nothing better: the result never passes 1.

    Examples
    --------
    One of three groups in full shade under a sky of 20 % diffuse light:

    >>> light = np.array([[0.2, 1.0, 1.0]])
    >>> round(float(array_factor(light)), 4), round(float(array_factor(light, least=3)), 4)
    (0.6667, 0.2)
    """
    panels, groups = light_share.shape[:2]
    if series < 1 or panels % series:
        message = f"got {series}; {panels} panels must make up whole strings"
        raise InputError(message, field="panels.series")
    in_string = series * groups
    strings = light_share.reshape(panels // series, in_string, *light_share.shape[2:])
    # The k-th largest current of each string, and their mean over the strings in parallel.
    current = np.sort(strings, axis=1)[:, ::-1].mean(axis=0)
    least = min(max(least, 1), in_string)
    if fixed_voltage:
        at_bank: FloatArray = np.minimum(current[least - 1], 1.0)
        return at_bank
    held = np.arange(least, in_string + 1)
    voltage = (held - drop_share * (in_string - held)) / in_string
    power = current[least - 1 :] * voltage.reshape(-1, *(1,) * (current.ndim - 1))
    best: FloatArray = np.clip(power.max(axis=0), 0.0, 1.0)
    return best


def least_groups(panels: Panels, controller: Controller, *, bus_voltage_v: float) -> int:
    """Fewest bypass groups of a string that hold the voltage which the bank asks for.

    A controller steps down, so that a string of bypassed panels may fall below the bank: a 36-cell
    panel alone on a 12 V bank cannot spare a group.

    Parameters
    ----------
    panels : Panels
        Datasheet and panels in series.
    controller : Controller
        Kind and margin.
    bus_voltage_v : float
        What the bank sits at while it is charged, V.

    Returns
    -------
    int
        1 to the groups of the string. A group holds its share of Vmp at 45 C cells; at the fixed
        voltage of a PWM controller, its share of Voc less one part in twenty.
    """
    warmer_c = _SUNNY_CELL_C - _REFERENCE_C
    slope_v_k = panels.beta_voc_pct_k / 100.0 * panels.voc_v
    # On PWM the knee is out of reach of the controller: a group counts almost up to open circuit.
    cold_v = panels.vmp_v if controller.kind == "mppt" else 0.95 * panels.voc_v
    group_v = max((cold_v + slope_v_k * warmer_c) / GROUPS, 1e-6)
    needed_v = panels.series * panel_voltage_v(
        controller, bus_voltage_v=bus_voltage_v, series=panels.series
    )
    return int(min(max(np.ceil(needed_v / group_v), 1), panels.series * GROUPS))


def diode_drop_share(panels: Panels) -> float:
    """Voltage of a conducting bypass diode (0.5 V) over that of a lit group."""
    return _DIODE_DROP_V / (panels.vmp_v / GROUPS)
