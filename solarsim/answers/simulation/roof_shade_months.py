"""What shade on the roof takes in every month of the year, for panels that lie in a layout."""

from __future__ import annotations

from solarsim.answers.question import Question
from solarsim.answers.simulation.roof_shades import bus_voltage_v
from solarsim.answers.simulation.scene import question_times
from solarsim.arrays import FloatArray
from solarsim.inputs.panels import Panels
from solarsim.packing.geometry import PER_M, free_space, free_spans
from solarsim.packing.layout import Layout
from solarsim.packing.obstacle_costs import ObstacleCosts, obstacle_costs
from solarsim.solar.shade.geometry import Box
from solarsim.solar.shade.roof_shade import panel_places
from solarsim.weather.record import Weather
from solarsim.weather.synthesis.runs import synthesise
from solarsim.weather.years.windows import file_windows

__all__ = ["shade_by_month"]

# A share of energy needs fewer runs than a chance: four times as many moved no month's share by
# more than 0.2 points at 36 and 48 N, and by 1.6 points in the dim months at 70 N.
_RUNS = 40
_DAYS = 3


def shade_by_month(
    question: Question, lying: Layout, drawn: Layout
) -> tuple[ObstacleCosts, FloatArray]:
    """Run the van's panels with and without what stands on its roof, January to December.

    Parameters
    ----------
    question : Question
        About a van with a roof; its own month plays no part.
    lying, drawn : Layout
        Where panels of the van's own kind lie: those that it has, in whole strings, and those that
        the plan shows.

    Returns
    -------
    costs : ObstacleCosts
        Of the panels `lying`.
    panel_shade_share : ndarray
        ``(panels, 12)`` the part of its energy that each panel `drawn` would lose if it worked
        alone.

    Raises
    ------
    InputError
        Panels that make no whole strings; a weather file without one of the months.
    """
    van = question.van
    assert van.roof is not None
    roof = van.roof
    months = [_weather(question, month) for month in range(1, 13)]
    facing = van.panels.model_copy(update={"azimuth_deg": van.faces_deg(van.panels)})
    space = free_space(roof.model_copy(update={"obstacles": ()}))

    def inside(box: Box) -> bool:
        sides = round(box.length_m * PER_M), round(box.width_m * PER_M)
        x, y = round(box.x_m * PER_M), round(box.y_m * PER_M)
        return any(first <= x <= last for first, last in free_spans(space, *sides, y))

    def costs(layout: Layout, panels: Panels, *, one_by_one: bool) -> ObstacleCosts:
        return obstacle_costs(
            months,
            panel_places(layout.panels, panels),
            roof.obstacles,
            panels,
            van.controller,
            bus_voltage_v=bus_voltage_v(van) * panels.series / van.panels.series,
            heading_deg=van.heading_deg,
            parking=van.stay.parking,
            brush_snow=van.stay.brush_snow,
            horizon=question.horizon,
            roof_size_m=(roof.length_m, roof.width_m),
            margin_m=roof.margin_m,
            inside=inside,
            one_by_one=one_by_one,
        )

    own = costs(lying, facing, one_by_one=True)
    if drawn == lying:
        return own, own.panel_shade_share
    # What is drawn need not make whole strings.
    single = facing.model_copy(update={"series": 1, "count": 1})
    return own, costs(drawn, single, one_by_one=False).panel_shade_share


def _weather(question: Question, month: int) -> Weather:
    times = question_times(
        question.replace(month=month, days=_DAYS, follow_days=_DAYS, with_loads=False)
    )
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
