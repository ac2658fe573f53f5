"""Voltage of a string of panels on the coldest morning and on the hottest day."""

from __future__ import annotations

from solarsim.electrical.rules import read_table, rule
from solarsim.inputs.panels import Panels

__all__ = [
    "COLDEST_C",
    "coefficient_voc_v",
    "cold_string_v",
    "cold_voc_factor",
    "holds_down_to_c",
    "hot_string_v",
]

_STC_C = 25.0
COLDEST_C = -60.0


def cold_voc_factor(lowest_c: float) -> float | None:
    """Factor on Voc for crystalline silicon at the lowest air temperature.

    Parameters
    ----------
    lowest_c : float
        Lowest expected air temperature, degrees C; between two rows the colder one counts.

    Returns
    -------
    float or None
        1 from 25 C up; None below -40 C, where the table ends.

    References
    ----------
    .. [1] NEC (NFPA 70) 690.7(A) and its table.

    Examples
    --------
    >>> cold_voc_factor(-10.0), cold_voc_factor(-10.1), cold_voc_factor(-41.0)
    (1.14, 1.16, None)
    """
    if lowest_c >= _STC_C:
        return 1.0
    for row in read_table("nec_690_7a"):
        if lowest_c >= float(row["lowest_c"]):
            return float(row["factor"])
    return None


def coefficient_voc_v(voc_v: float, beta_voc_pct_k: float, temp_c: float) -> float:
    """Open-circuit voltage at a cell temperature by the datasheet's coefficient, V.

    References
    ----------
    .. [1] NEC (NFPA 70) 690.7(A)(1).

    Examples
    --------
    >>> round(coefficient_voc_v(49.5, -0.27, -10.0), 2)
    54.18
    """
    return voc_v * (1.0 + beta_voc_pct_k / 100.0 * (temp_c - _STC_C))


def cold_string_v(panels: Panels, lowest_c: float) -> tuple[float, str]:
    """Open-circuit voltage of a string on the coldest morning, V, and the rule that gives it.

    The larger of the coefficient's and the table's; never less than at 25 C.
    """
    coldest_c = min(lowest_c, _STC_C)
    by_slope_v = panels.series * coefficient_voc_v(panels.voc_v, panels.beta_voc_pct_k, coldest_c)
    factor = cold_voc_factor(lowest_c)
    by_table_v = 0.0 if factor is None else factor * panels.voc_v * panels.series
    if by_slope_v >= by_table_v:
        return by_slope_v, "NEC 690.7(A)(1), by the panel's coefficient"
    return by_table_v, "NEC 690.7(A)(2), table for crystalline silicon"


def holds_down_to_c(panels: Panels, bears_v: float) -> float | None:
    """Coldest air, in whole degrees C, at which a string stays within a voltage.

    Returns
    -------
    float or None
        Not below -60 C; None where it exceeds the voltage at 25 C already.
    """
    down_c = None
    for temp_c in range(int(_STC_C), int(COLDEST_C) - 1, -1):
        if cold_string_v(panels, float(temp_c))[0] > bears_v:
            break
        down_c = float(temp_c)
    return down_c


def hot_string_v(panels: Panels, highest_c: float) -> float:
    """Voltage of a string at its maximum power at the record high in full sun, V."""
    import numpy as np

    from solarsim.solar.cell_temperature import MOUNTINGS, cell_temperature
    from solarsim.solar.module import fit_panels
    from solarsim.solar.single_diode import curve_parameters, max_power_point

    sun_w_m2 = rule("hot_sun_w_m2").value
    cell_c = cell_temperature(
        np.array(sun_w_m2),
        np.array(highest_c),
        np.array(rule("hot_wind_m_s").value),
        MOUNTINGS[panels.mounting],
    )
    _, best_v = max_power_point(curve_parameters(fit_panels(panels), sun_w_m2, cell_c))
    return float(best_v) * panels.series
