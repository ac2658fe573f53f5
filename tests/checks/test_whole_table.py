"""A second pass over a whole table: the short bus by US rules, anew from the code's own tables.

Fuses, gauges and drops come from the figures in the van's file, the tables as they stand below and
ohms of copper; of the package only what the loads draw is taken.
"""

from __future__ import annotations

import math

import pytest

from solarsim.answers.question import ask
from solarsim.electrical.check import check_van

# NEC tables 310.16 (75 C, what lugs are held to by 110.14(C)(1)), 310.17 (one conductor in free
# air, 90 C) and 551.10(E)(1), from memory; areas are ASTM B258's, mm2. 105 C insulation is looked
# up in the 90 C column; lugs are for 75 C. Table 310.16 begins at 14 AWG; below, the fuse is the
# limit.
TABLE = {
    "18 AWG": (0.823, 12, 18, 6),
    "16 AWG": (1.309, 15, 24, 8),
    "14 AWG": (2.081, 20, 35, 15),
    "12 AWG": (3.309, 25, 40, 20),
    "10 AWG": (5.261, 35, 55, 30),
    "8 AWG": (8.366, 50, 80, math.inf),
    "6 AWG": (13.302, 65, 105, math.inf),
    "4 AWG": (21.151, 85, 140, math.inf),
    "3 AWG": (26.67, 100, 165, math.inf),
    "2 AWG": (33.631, 115, 190, math.inf),
    "1 AWG": (42.408, 130, 220, math.inf),
    "1/0 AWG": (53.475, 150, 260, math.inf),
    "2/0 AWG": (67.431, 175, 300, math.inf),
    "3/0 AWG": (85.029, 200, 350, math.inf),
    "4/0 AWG": (107.219, 230, 405, math.inf),
}
FUSES_A = [5, 7.5, 10, 15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175]
FUSES_A += [200, 225, 250, 300]
# ABYC E-11's copper, ohm mm2/m, from K = 10.75 ohm circular mil a foot.
OHM_MM2_M = 10.75 * math.pi / 4 * 0.0254**2 / 0.3048


def fuse_of(current_a):
    return next(size for size in FUSES_A if size >= 1.25 * current_a * (1 - 1e-9))


def smallest(current_a, length_m, volts, share, *, air_c=30.0):
    """Thinnest gauge that bears the fuse at 75 C lugs and in its air, and loses little enough."""
    fuse_a = fuse_of(current_a)
    for name, (area_mm2, lugs_a, bears_a, thin_fuse_a) in TABLE.items():
        heat = min(1.0, math.sqrt((105.0 - air_c) / 60.0))
        most_a = min(lugs_a, bears_a * heat, thin_fuse_a)
        lost = 2 * OHM_MM2_M * length_m * current_a / area_mm2 / volts
        if fuse_a <= most_a and lost <= share * (1 + 1e-9):
            return name, lost
    raise AssertionError("no gauge does")


@pytest.fixture(scope="module")
def table():
    question = ask("long-stayer")
    check = check_van(question.van, question.profile, question.place, climate=question.climate)
    assert check.findings == ()
    return {cable.circuit.name: cable for cable in check.cables}


def test_every_dc_run_of_the_short_bus(table):
    """3,000 W at 88 % on 21 V; four batteries of 24 V; 60 A of sun, 40 A from engine and shore."""
    inverter_a = 3000 / 0.88 / 21.0
    # The fridge takes 24 V, all else hangs on the converter.
    converter_a = table["fuse block to converter"].circuit.current_a
    fridge_a = table["compressor fridge 90 L"].circuit.current_a
    loads_a = converter_a + fridge_a
    main_a = inverter_a + loads_a
    # One of 4/0 AWG bears 230 A at its lugs; two of 1/0 AWG, four conductors together, bear
    # 2 x 170 A x 0.8 = 272 A (tables 310.16 and 310.15(C)(1)).
    assert 230.0 < 1.25 * main_a <= 250.0 == fuse_of(main_a) <= 272.0
    main, main_mm2 = "2 x 1/0 AWG", 2 * 53.475
    main_share = 2 * OHM_MM2_M * main_a / main_mm2 / 24.0
    feeder, _ = smallest(loads_a, 1.0, 24.0, 0.01)
    charged_share = main_share * min(1.0, (40.0 + 1320 / 26.6) / main_a)
    expected = {
        "bank to positive bus": (main, fuse_of(main_a)),
        "positive bus to fuse block": (feeder, fuse_of(loads_a)),
        "each battery string to the bank's terminals": (
            smallest(main_a * 1.1 / 4, 0.5, 24.0, 0.01)[0],
            fuse_of(main_a * 1.1 / 4),
        ),
        "positive bus to inverter": (
            smallest(inverter_a, 1.0, 24.0, 0.03 - main_share)[0],
            fuse_of(inverter_a),
        ),
        "solar controller to positive bus": (
            smallest(60.0, 1.5, 24.0, 0.03 - charged_share)[0],
            fuse_of(60.0),
        ),
        "DC-DC charger to positive bus": (
            smallest(40.0, 1.5, 24.0, 0.03 - charged_share)[0],
            fuse_of(40.0),
        ),
        "shore charger to positive bus": (
            smallest(40.0, 1.5, 24.0, 0.03 - charged_share)[0],
            fuse_of(40.0),
        ),
        "starter battery to DC-DC": (
            smallest(40 * 28.8 / 0.9 / 12, 5.0, 12.0, 0.03, air_c=50.0)[0],
            fuse_of(40 * 28.8 / 0.9 / 12),
        ),
    }
    for name, (wire, fuse_a) in expected.items():
        cable = table[name]
        assert (cable.wire.name, cable.fuse_a) == (wire, fuse_a), name
    assert main_a == pytest.approx(table["bank to positive bus"].circuit.current_a, rel=1e-3)


def test_branches_behind_the_converter(table):
    """At 12 V from the converter on: 5 % for what is not critical, 3 % for heater and fridge."""
    behind = [
        "diesel heater 2 kW",
        "laptop",
        "water pump",
        "satellite terminal",
        "small 12 V loads",
    ]
    for name in behind:
        circuit = table[name].circuit
        share = 0.03 if name.startswith("diesel") else 0.05
        wire, lost = smallest(circuit.current_a, 4.0, 12.0, share)
        assert table[name].wire.name == wire, name
        assert table[name].fuse_a == fuse_of(circuit.current_a)
        assert table[name].drop_end_share == pytest.approx(lost, rel=2e-3)


def test_array_of_the_short_bus(table):
    """Three strings: 125 % of Isc, 156 % for the string's fuse, 73 C on the roof."""
    isc_a = table["each string of panels"].circuit.current_a / 1.25
    assert table["panels to controller"].circuit.current_a == pytest.approx(3 * 1.25 * isc_a)
    assert table["each string of panels"].fuse_a == fuse_of(1.25 * isc_a)
    string = TABLE[table["each string of panels"].wire.name]
    assert min(string[2] * math.sqrt(17 / 60), string[3]) >= table["each string of panels"].fuse_a
    bears_a = TABLE[table["panels to controller"].wire.name][2]
    assert bears_a * math.sqrt(17 / 60) >= 3 * 1.25 * isc_a
    assert TABLE[table["panels to controller"].wire.name][1] >= 3 * 1.5625 * isc_a
