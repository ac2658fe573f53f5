"""Vans, places and months in which chargers meet banks of every kind, for the minute-step check."""

from __future__ import annotations

import dataclasses

import numpy as np

from solarsim.answers.question import ask
from solarsim.inputs.profile import profile_from_data

DAYS, FOLLOW_DAYS = 7, 30
# Fridge at night, breakfast, an evening under the lights: a day's course about its mean.
COURSE = np.array([0.6] * 7 + [1.3] * 2 + [0.8] * 8 + [1.9] * 6 + [0.6])
COURSE = COURSE / COURSE.mean()


@dataclasses.dataclass(frozen=True)
class Case:
    """One van, where and when; the loads in Wh a day."""

    name: str
    battery: str
    system_v: int
    units: int
    dc_wh: float
    panel: str
    count: int
    series: int
    place: str
    month: int
    controller: str = "mppt"
    limit_a: float = 60.0
    dcdc_a: float = 0.0
    drive_h: float = 2.0
    drive_days: int = 1
    shore_a: float = 0.0
    breaker_a: float = 16.0
    plugged_h: float = 3.0
    shore_days: int = 2
    ac_w: float = 0.0
    mounting: str = "gap"
    quick: bool = False

    def question(self, *, runs, seed=5):
        """Ask the case of the shipped example's van, with nothing on its roof to shade it."""
        van = ask("weekender").van.model_copy(update={"roof": None})
        hourly = {"dc_w": list(self.dc_wh / 24.0 * COURSE)}
        if self.ac_w:
            hourly["ac_w"] = [self.ac_w if hour in (8, 18, 19) else 0.0 for hour in range(24)]
        data = {"profile": {"name": self.name}, "hourly": hourly}
        settings = {
            "van.system_voltage_v": self.system_v,
            "panels.part": f'"{self.panel}"',
            "panels.count": self.count,
            "panels.series": self.series,
            "controller.kind": f'"{self.controller}"',
            "controller.max_output_a": self.limit_a,
            "panels.mounting": f'"{self.mounting}"',
            "battery.part": f'"{self.battery}"',
            "battery.units": self.units * self.system_v // 12,
            "alternator.dcdc_a": self.dcdc_a,
            "alternator.drive_h": self.drive_h if self.dcdc_a else 0.0,
            "alternator.every_days": self.drive_days,
            "shore.charger_a": self.shore_a,
            "shore.breaker_a": self.breaker_a,
            "shore.mains_voltage_v": 120,
            "shore.plugged_h": self.plugged_h if self.shore_a else 0.0,
            "shore.every_days": self.shore_days,
        }
        return ask(
            van,
            profile=profile_from_data(data, source="loads"),
            place=self.place,
            month=self.month,
            days=DAYS,
            runs=runs,
            seed=seed,
            follow_days=FOLLOW_DAYS,
            settings=[f"{name}={value}" for name, value in settings.items()],
        )


SALZBURG, OSLO, SEVILLE, PHOENIX = "Salzburg, AT", "Oslo, NO", "Seville, ES", "Phoenix, US"
LFP, AGM, GEL, WET = "100 Ah LFP", "100 Ah AGM", "100 Ah gel", "105 Ah flooded"
SMALL, OLD = "175 W rigid", "100 W rigid low voltage"
TALL = "330 W residential 60 cells"
PWM = {"controller": "pwm", "limit_a": 40.0}

CASES = (
    # Sun alone through MPPT.
    Case("LFP, MPPT, July", LFP, 12, 2, 1600, SMALL, 2, 1, SALZBURG, 7),
    Case("AGM, MPPT, July", AGM, 12, 3, 1470, SMALL, 2, 1, SALZBURG, 7),
    Case("gel, MPPT, March", GEL, 12, 3, 880, SMALL, 2, 1, SALZBURG, 3),
    Case("flooded, MPPT, March", WET, 12, 3, 880, SMALL, 2, 1, SALZBURG, 3),
    Case("AGM 24 V, MPPT, May", AGM, 24, 2, 2020, TALL, 2, 1, SALZBURG, 5),
    Case("LFP 24 V, MPPT, January", LFP, 24, 2, 2070, TALL, 3, 1, SEVILLE, 1),
    # MPPT at its limit in amperes.
    Case("AGM, MPPT clipping, July", AGM, 12, 4, 2430, SMALL, 4, 1, SALZBURG, 7, limit_a=20.0,
         quick=True),
    Case("LFP, MPPT clipping, July", LFP, 12, 3, 2670, SMALL, 4, 1, SALZBURG, 7, limit_a=20.0),
    Case("gel, MPPT clipping, May", GEL, 12, 4, 2300, SMALL, 4, 1, SEVILLE, 5, limit_a=15.0),
    Case("flooded 24 V, MPPT clipping, July", WET, 24, 2, 3040, TALL, 3, 1, SALZBURG, 7,
         limit_a=15.0),
    # PWM, cold and hot.
    Case("AGM, PWM, July", AGM, 12, 2, 1100, SMALL, 2, 1, SALZBURG, 7, **PWM, quick=True),
    Case("AGM, PWM, January", AGM, 12, 4, 420, SMALL, 3, 1, SALZBURG, 1, **PWM),
    Case("LFP, PWM, July", LFP, 12, 2, 1400, SMALL, 2, 1, SALZBURG, 7, **PWM),
    Case("gel, PWM, March", GEL, 12, 3, 730, SMALL, 2, 1, SALZBURG, 3, **PWM),
    Case("flooded, PWM, October", WET, 12, 3, 730, SMALL, 3, 1, SALZBURG, 10, **PWM),
    Case("AGM, PWM, hot glued panels", AGM, 12, 3, 1280, OLD, 3, 1, PHOENIX, 7, **PWM,
         mounting="glued"),
    Case("LFP, PWM, hot glued panels", LFP, 12, 2, 1480, OLD, 3, 1, PHOENIX, 7, **PWM,
         mounting="glued"),
    Case("AGM 24 V, PWM, strings of two", AGM, 24, 2, 2200, SMALL, 4, 2, SALZBURG, 7, **PWM),
    Case("flooded, PWM, 60 cells", WET, 12, 3, 1030, TALL, 2, 1, SALZBURG, 5, **PWM),
    Case("AGM, PWM clipping, July", AGM, 12, 4, 2110, SMALL, 4, 1, SALZBURG, 7, controller="pwm",
         limit_a=20.0),
    # Alternator.
    Case("AGM, alternator, January", AGM, 12, 3, 790, SMALL, 1, 1, SALZBURG, 1, dcdc_a=30.0,
         quick=True),
    Case("LFP, alternator, January", LFP, 12, 2, 460, SMALL, 1, 1, OSLO, 1, dcdc_a=30.0),
    Case("gel, alternator, October", GEL, 12, 3, 870, SMALL, 1, 1, SALZBURG, 10, dcdc_a=40.0,
         drive_h=3.0, drive_days=2),
    Case("flooded, alternator, July", WET, 12, 2, 1120, SMALL, 1, 1, SALZBURG, 7, dcdc_a=20.0),
    Case("LFP 24 V, alternator, October", LFP, 24, 1, 1290, TALL, 1, 1, SALZBURG, 10, dcdc_a=20.0,
         drive_days=2, drive_h=3.0),
    # Shore power: by the charger's rating, and by the post's breaker.
    Case("AGM, shore, January", AGM, 12, 3, 690, SMALL, 1, 1, SALZBURG, 1, shore_a=30.0,
         quick=True),
    Case("LFP, shore, January", LFP, 12, 2, 430, SMALL, 1, 1, OSLO, 1, shore_a=40.0),
    Case("AGM, shore by the breaker, January", AGM, 12, 4, 300, SMALL, 1, 1, SALZBURG, 1,
         shore_a=60.0, breaker_a=4.0, shore_days=1, ac_w=150.0),
    Case("LFP, shore by the breaker, March", LFP, 12, 2, 1000, SMALL, 1, 1, SALZBURG, 3,
         shore_a=80.0, breaker_a=6.0, shore_days=1, ac_w=200.0),
    Case("AGM, shore near the charger's rating, January", AGM, 12, 3, 690, SMALL, 1, 1, SALZBURG, 1,
         shore_a=30.0, breaker_a=3.85),
    Case("flooded 24 V, all at once, March", WET, 24, 2, 2250, TALL, 2, 1, SALZBURG, 3,
         limit_a=15.0, dcdc_a=15.0, shore_a=20.0, plugged_h=2.0),
)  # fmt: skip
