"""What the real years of a place say of the very dates of a stay, beside the climate's answer."""

from __future__ import annotations

import dataclasses

from solarsim.answers.question import Question
from solarsim.answers.simulation.run import simulate
from solarsim.answers.simulation.scene import question_times
from solarsim.answers.simulation.summary import DaysUnplugged, days_unplugged
from solarsim.power.design import design_of
from solarsim.weather.years.history import cached_years, history_series
from solarsim.weather.years.windows import year_windows

__all__ = ["RealYears", "real_years"]


@dataclasses.dataclass(frozen=True)
class RealYears:
    """The stay in real years, one window a year, each from the stay's own first day.

    Attributes
    ----------
    years : tuple of int
        Which.
    lasted : int
        How many of them the van came through without a cut-off.
    days : DaysUnplugged
        Days to the first cut-off over the years.
    ghi_kwh_m2_day, temp_air_c : float
        Light and air, means over the stay and the years.
    """

    years: tuple[int, ...]
    lasted: int
    days: DaysUnplugged
    ghi_kwh_m2_day: float
    temp_air_c: float


def real_years(question: Question) -> RealYears | None:
    """Ask the fetched years of the question's place about its dates; None where there are none.

    A question on a weather file is not asked again: its weather is not the place's climate.

    Raises
    ------
    InputError
        Years in the cache that cannot be read.
    """
    if question.on_file:
        return None
    years = cached_years(question.place)
    if not years:
        return None
    series = history_series(question.place, years)
    weather = year_windows(series, question_times(question))
    simulation = simulate(question, [design_of(question.van)], weather=weather)
    cut_h = simulation.outcome.first_cut_h[:, 0]
    return RealYears(
        years=weather.run_years,
        lasted=int((cut_h >= simulation.stay_hours).sum()),
        days=days_unplugged(simulation, 0),
        ghi_kwh_m2_day=simulation.conditions.ghi_kwh_m2_day,
        temp_air_c=simulation.conditions.temp_air_c,
    )
