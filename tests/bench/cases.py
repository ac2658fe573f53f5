"""What is measured: a scene of the shipped example, as the kernel takes it."""

from __future__ import annotations

import dataclasses

import numpy as np

from solarsim.answers.question import ask
from solarsim.answers.simulation.scene import build_scene, question_times
from solarsim.power.chemistry import capacity_share_at, charge_share_at, load_chemistry
from solarsim.power.design import design_of, design_rows
from solarsim.power.dispatch import HEATED_BELOW_C
from solarsim.power.kernel import dispatch_kernel
from solarsim.power.ledger import Term

START_SOC, LEDGER_H = 1.0, 168


def designs(count):
    """Banks of 1 to 16 units under as many panels as it takes."""
    van = ask(runs=1).van
    base = design_of(van)
    return [
        dataclasses.replace(
            base, capacity_ah=100.0 * (1 + i % 16), panel_count=i // 16 % 9, controller_max_a=60.0
        )
        for i in range(count)
    ]


def hourly(runs, **asked):
    """Inputs by the hour, in the kernel's order."""
    question = ask(runs=runs, **{"month": 10} | asked)
    scene = build_scene(question, question_times(question), first_run=0, runs=runs)
    curves = load_chemistry("lfp")
    temp_c = scene.bank_temp_c
    none = np.zeros((1, scene.panel.power_w.shape[1]))
    arrays = (
        scene.panel.power_w,
        *(none, none),
        *(scene.demand.dc_w, scene.ac_inverter_w, scene.inverter_loss_w),
        *(scene.pulses.power_w, scene.pulses.share),
        *(scene.chargers.alternator_a, scene.chargers.shore_a, none),
        *(capacity_share_at(curves, temp_c), charge_share_at(curves, temp_c)),
        temp_c < HEATED_BELOW_C,
    )
    return tuple(np.require(array, np.float64, ["C", "W"]) for array in arrays)


def kernel(inputs, chosen, rows=None):
    """Call the kernel alone and return ledger, first cut and depletion days."""
    rows = design_rows(chosen) if rows is None else rows
    runs, hours = inputs[0].shape
    ledger_wh = np.empty((runs, len(Term), len(chosen)))
    cut_h, days = np.empty((runs, len(chosen))), np.empty((runs, len(chosen)))
    dispatch_kernel(
        inputs[0][np.newaxis],
        inputs[1:],
        rows,
        np.zeros(len(chosen), dtype=np.int64),
        START_SOC,
        LEDGER_H,
        ledger_wh,
        cut_h,
        days,
        np.empty((runs, hours + 1, 0)),
    )
    return ledger_wh, cut_h, days
