"""The days of a question at one-minute steps: loads as pulses, sun through the clouds.

The hours' means are those of the hourly model, exactly; what happens within the hour is made up:

- A load runs in one block at its running watts, somewhere in the hour.
- The sun changes smoothly in an hour as bright as any, and comes and goes with the clouds in
  others: as much of the brightest seen at that hour as the mean allows, a quarter of it between.
"""

from __future__ import annotations

import dataclasses

import numpy as np

from solarsim.answers.simulation.run import simulate
from solarsim.answers.simulation.scene import build_scene, question_times
from solarsim.power.chemistry import capacity_share_at, charge_share_at, load_chemistry
from solarsim.power.design import design_of
from solarsim.power.dispatch import HEATED_BELOW_C
from solarsim.power.inverter import loss_coefficients
from solarsim.power.ledger import Term
from solarsim.power.uses import load_uses
from tests.power.twin import twin

MINUTES = 60
CLOUD_MINUTES = 4
CLOUD_SHARE = 0.25


@dataclasses.dataclass(frozen=True)
class Compared:
    """One run both ways: ledgers (terms,) in Wh, SOC at the hours' stamps, hours to the cut-off."""

    hourly_wh: np.ndarray
    fine_wh: np.ndarray
    hourly_soc: np.ndarray
    fine_soc: np.ndarray
    hourly_cut_h: float
    fine_cut_h: float

    @property
    def demand_wh(self):
        loads = [Term.LOAD_DC, Term.LOAD_AC, Term.INVERTER_LOSS, Term.UNSERVED]
        return self.hourly_wh[loads].sum()

    @property
    def connected(self):
        """Stamps before either cut-off."""
        return slice(0, int(min(self.hourly_cut_h, self.fine_cut_h)) + 1)

    @property
    def differences(self):
        """Hourly less fine of every term, as a share of the demand."""
        return (self.hourly_wh - self.fine_wh) / self.demand_wh

    @property
    def soc_differences(self):
        """Hourly less fine at the stamps before either cut-off."""
        return (self.hourly_soc - self.fine_soc)[self.connected]


def compare(question, *, runs, within_hour=True):
    """`Compared` for each of the first runs of a question; without `within_hour` all is steady."""
    hours = 24 * question.van.stay.days
    own = design_of(question.van)
    outcome = simulate(question, [own]).outcome
    scene = build_scene(question, question_times(question), first_run=0, runs=question.runs)
    brightest_w = scene.panel.power_w.max(axis=0)[:hours]
    found = []
    for run in range(runs):
        rng = np.random.default_rng([7, run])

        def row(array, run=run):
            return np.broadcast_to(array, (question.runs, array.shape[1]))[run, :hours]

        panel_w = row(scene.panel.power_w)
        dc_w, ac_w, loss_w, sun_w = map(
            repeat,
            (
                row(scene.demand.dc_w),
                row(scene.demand.ac_w),
                row(scene.inverter_loss_w),
                panel_w,
            ),
        )
        if within_hour:
            dc_w, ac_w, on = pulsed_loads(question, scene, run, rng)
            a, b, c = loss_coefficients(question.van.inverter)
            loss_w = a * on + b * ac_w + c * ac_w**2
            sun_w = sun_and_clouds(panel_w, brightest_w, rng)
        # What was made up keeps each hour's mean: all that differs is the step.
        np.testing.assert_allclose(sun_w.mean(axis=1), panel_w, atol=1e-9)
        np.testing.assert_allclose(dc_w.mean(axis=1), row(scene.demand.dc_w), atol=1e-9)
        np.testing.assert_allclose(ac_w.mean(axis=1), row(scene.demand.ac_w), atol=1e-9)
        chemistry = load_chemistry(own.chemistry)
        temp_c = repeat(row(scene.bank_temp_c))
        none = np.zeros_like(sun_w).ravel()
        ledger, cut_h, _, soc = twin(
            own,
            sun_w.ravel(),
            dc_w.ravel(),
            ac_w.ravel(),
            loss_w.ravel(),
            none,
            none,
            capacity_share_at(chemistry, temp_c).ravel(),
            charge_share_at(chemistry, temp_c).ravel(),
            (temp_c < HEATED_BELOW_C).ravel(),
            start_soc=question.van.stay.start_soc,
            ledger_hours=hours,
            step_h=1.0 / MINUTES,
        )
        found.append(
            Compared(
                hourly_wh=outcome.ledger_wh[run, :, 0],
                fine_wh=np.array([ledger[term] for term in Term]),
                hourly_soc=outcome.soc[run, : hours + 1, 0],
                fine_soc=soc[::MINUTES],
                hourly_cut_h=min(outcome.first_cut_h[run, 0], hours),
                fine_cut_h=cut_h,
            )
        )
    return found


def repeat(hourly):
    return np.repeat(hourly[:, np.newaxis], MINUTES, axis=1)


def pulsed_loads(question, scene, run, rng):
    """DC and AC power and whether the inverter is on, ``(hours, minutes)``."""
    hours = 24 * question.van.stay.days
    watts = {"dc": np.zeros((hours, MINUTES)), "ac": np.zeros((hours, MINUTES))}
    on = np.full((hours, MINUTES), question.van.inverter.always_on)
    uses, _ = load_uses(question.profile, scene.weather, seed=question.seed, van=question.van)
    shape = (scene.weather.hours, scene.weather.runs)
    for use in uses:
        share = np.zeros(shape)
        share[use.rows] = use.on_share
        running_w = np.zeros(shape)
        running_w[use.rows] = use.running_w
        watts[use.current] += use.standby_w
        for hour in np.flatnonzero(share[:hours, run]):
            minutes = max(round(share[hour, run] * MINUTES), 1)
            first = rng.integers(0, MINUTES - minutes + 1)
            block = slice(first, first + minutes)
            above_w = running_w[hour, run] - use.standby_w
            watts[use.current][hour, block] += above_w * share[hour, run] * MINUTES / minutes
            if use.current == "ac":
                on[hour, block] = True
    return watts["dc"], watts["ac"], on


def sun_and_clouds(panel_w, brightest_w, rng):
    """Power of a panel, ``(hours, minutes)``, with the hours' means."""
    hours = len(panel_w)
    at_h = (np.arange(hours * MINUTES) + 0.5) / MINUTES
    course_w = np.interp(at_h, np.arange(hours) + 0.5, brightest_w).reshape(hours, MINUTES)
    power_w = np.zeros((hours, MINUTES))
    for hour in np.flatnonzero(panel_w > 0.0):
        bright = panel_w[hour] / brightest_w[hour]
        sunny = np.clip((bright - CLOUD_SHARE) / (1.0 - CLOUD_SHARE), 0.0, 1.0)
        blocks = MINUTES // CLOUD_MINUTES
        order = rng.permutation(blocks) < round(sunny * blocks)
        shine = np.where(np.repeat(order, CLOUD_MINUTES), 1.0, CLOUD_SHARE)
        course = course_w[hour] * shine
        power_w[hour] = course * panel_w[hour] / course.mean()
    return power_w
