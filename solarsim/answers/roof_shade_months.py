"""What shade on the roof takes in every month of the year, for panels that lie in a layout."""

from __future__ import annotations

import dataclasses

from solarsim.answers.question import Question
from solarsim.answers.scene import question_times
from solarsim.power.chemistry import charging_voltage_v, load_chemistry
from solarsim.solar.obstacle_costs import ObstacleCosts, obstacle_costs
from solarsim.solar.roof_layout import Layout
from solarsim.solar.roof_shade import front_heading_deg, panel_places
from solarsim.weather.record import Weather
from solarsim.weather.synthesis import synthesise
from solarsim.weather.windows import file_windows

__all__ = ["shade_by_month"]

# A share of energy needs fewer runs than a chance: four times as many moved no month's share by
# more than 0.2 points at 36 and 48 N, and by 1.6 points in the dim months at 70 N.
_RUNS = 40
_DAYS = 3


def shade_by_month(question: Question, layout: Layout) -> ObstacleCosts:
    """Run the van's panels with and without what stands on its roof, January to December.

    Parameters
    ----------
    question : Question
        About a van with a roof; its own month plays no part.
    layout : Layout
        Where panels of the van's own kind lie, in whole strings.

    Raises
    ------
    InputError
        Panels that make no whole strings; a weather file without one of the months.
    """
    van = question.van
    assert van.roof is not None
    return obstacle_costs(
        [_weather(question, month) for month in range(1, 13)],
        panel_places(layout.panels, van.panels),
        van.roof.obstacles,
        van.panels,
        van.controller,
        bus_voltage_v=charging_voltage_v(
            load_chemistry(van.battery.chemistry), float(van.van.system_voltage_v)
        ),
        heading_deg=front_heading_deg(van.panels),
        parking=van.stay.parking,
        brush_snow=van.stay.brush_snow,
        horizon=question.horizon,
    )


def _weather(question: Question, month: int) -> Weather:
    stay = question.van.stay.model_copy(update={"month": month, "start": None, "days": _DAYS})
    van = question.van.model_copy(update={"stay": stay})
    times = question_times(dataclasses.replace(question, van=van, horizon_days=_DAYS))
    if question.series is not None:
        return file_windows(question.series, times, runs=_RUNS, month=month)
    assert question.climate is not None
    return synthesise(
        question.place,
        question.climate,
        times,
        runs=_RUNS,
        seed=question.seed,
        site_uncertainty=question.site_uncertainty,
    )
