"""Published figures for voltages, currents, wires and fuses of a van's DC side."""

from __future__ import annotations

from collections.abc import Callable

from solarsim.data.accuracy.comparison import Comparison
from solarsim.electrical.ampacity import ampacity_of
from solarsim.electrical.currents import array_short_circuit_a, dc_current_a
from solarsim.electrical.rule_set import rule_set
from solarsim.electrical.string_voltage import coefficient_voc_v, cold_voc_factor
from solarsim.electrical.wire import awg, least_area_mm2, resistance_ohm_m
from solarsim.electrical.wired_arrays import arrays_by_controller
from solarsim.inputs.files.van import van_from_data
from solarsim.inputs.van import Van

__all__ = ["COMPARISONS", "van_with_strings"]

_SUBJECT = "wires and fuses"
_MM2_PER_CIRCULAR_MIL = 0.78539816339744831 * 0.0254**2
_WORKED_FT = 21.0


def van_with_strings(isc_a: float, strings: int) -> Van:
    """Return a van whose panels have that short-circuit current, in so many strings."""
    panels = {
        "power_w": 380.0,
        "vmp_v": 41.2,
        "imp_a": 380.0 / 41.2,
        "voc_v": 49.5,
        "isc_a": isc_a,
        "cells_in_series": 72,
        "length_m": 2.0,
        "width_m": 1.0,
        "count": strings,
    }
    data = {
        "van": {"name": "worked example"},
        "panels": panels,
        "battery": {"part": "100 Ah LFP", "units": 2},
    }
    return van_from_data(data, source="worked example")


def _short_circuit_a(van: Van) -> float:
    ((array,),) = arrays_by_controller(van)
    return array_short_circuit_a(array)


def _comparison(
    what: str,
    source: str,
    expected: float,
    unit: str,
    got: Callable[[], float],
    *,
    tolerance: float,
    subject: str = _SUBJECT,
) -> Comparison:
    return Comparison(
        subject=subject,
        what=what,
        source=source,
        expected=expected,
        tolerance=tolerance,
        unit=unit,
        got=got,
    )


def _circular_mils(share: float) -> float:
    """Worked example of E-11: 10 A, 21 ft there and back, 12 V."""
    one_way_m = _WORKED_FT / 2.0 * 0.3048
    return least_area_mm2(10.0, one_way_m, share * 12.0) / _MM2_PER_CIRCULAR_MIL


def _area_comparison(name: str, expected_mm2: float) -> Comparison:
    return _comparison(
        f"area of {name} AWG",
        "ASTM B258",
        expected_mm2,
        "mm2",
        lambda: awg(name).area_mm2,
        tolerance=1e-3 * expected_mm2,
    )


def _ampacity_comparison(name: str, expected_a: float, *, engine_space: bool = False) -> Comparison:
    return _comparison(
        f"{name} AWG of 105 C insulation{', engine space' if engine_space else ''}",
        "33 CFR 183.425, table 5",
        expected_a,
        "A",
        lambda: ampacity_of(rule_set("boat"), awg(name), 105, engine_space=engine_space).ampacity_a,
        # The law's note gives the factor, and the trade's charts round it to whole amperes.
        tolerance=0.5 if engine_space else 1e-6,
    )


COMPARISONS: tuple[Comparison, ...] = (
    _comparison(
        "cold Voc of a 49.5 V panel (-0.27 %/K) at -10 C, by its coefficient",
        "NEC 690.7(A)(1), worked example",
        54.18,
        "V",
        lambda: coefficient_voc_v(49.5, -0.27, -10.0),
        tolerance=0.01,
        subject="array, cold",
    ),
    _comparison(
        "the same by the code's table for crystalline silicon",
        "NEC 690.7(A)(2), worked example",
        56.43,
        "V",
        lambda: 49.5 * (cold_voc_factor(-10.0) or 0.0),
        tolerance=0.01,
        subject="array, cold",
    ),
    _comparison(
        "current of three strings of 10.07 A",
        "NEC 690.8(A)(1), worked example",
        37.76,
        "A",
        lambda: _short_circuit_a(van_with_strings(10.07, 3)),
        tolerance=0.01,
        subject="array, current",
    ),
    _comparison(
        "conductor and fuse of one string of 11 A",
        "NEC 690.8(B), worked example",
        17.19,
        "A",
        lambda: (
            rule_set("us-rv").rule("pv_conductor_factor").value
            * _short_circuit_a(van_with_strings(11.0, 1))
        ),
        tolerance=0.01,
        subject="array, current",
    ),
    _area_comparison("12", 3.309),
    _area_comparison("2", 33.631),
    _area_comparison("4/0", 107.219),
    _comparison(
        "10 AWG at 75 C (solid), per 1000 ft",
        "NEC chapter 9, table 8",
        1.21,
        "ohm",
        lambda: 304.8 * resistance_ohm_m(awg("10"), 75.0),
        # The table's copper is not quite that of 100 % IACS.
        tolerance=0.0121,
    ),
    _comparison(
        "10 A, 21 ft there and back, 12 V: area for 3 %",
        "ABYC E-11, worked example",
        6271.0,
        "circular mils",
        lambda: _circular_mils(0.03),
        tolerance=1.0,
    ),
    _comparison(
        "the same for 10 %",
        "ABYC E-11, worked example",
        1881.0,
        "circular mils",
        lambda: _circular_mils(0.10),
        tolerance=1.0,
    ),
    _ampacity_comparison("10", 60.0),
    _ampacity_comparison("2/0", 330.0),
    _ampacity_comparison("2/0", 280.0, engine_space=True),
    _comparison(
        "running current of 120 W on 12 V",
        "IEEE 1013-2007, 5.2.2",
        10.53,
        "A",
        lambda: dc_current_a(van_with_strings(10.0, 1), 120.0),
        tolerance=0.01,
        subject="bank by hand",
    ),
)
