"""Single steps on the way to an answer, and the slowest pictures."""

from __future__ import annotations

import pathlib

import numpy as np
import pandas as pd
import pvlib

from solarsim.answers.peaks import find_peaks, scheduled_loads
from solarsim.answers.question import ask
from solarsim.answers.simulation.scene import build_scene, question_times
from solarsim.answers.stay import stay
from solarsim.electrical.check import check_van
from solarsim.inputs.roof import Obstacle
from solarsim.packing.fit import fit_roof
from solarsim.packing.layout import panel_size
from solarsim.power.design import design_of
from solarsim.present.stay.charts import stay_figure
from solarsim.solar.controller import controller_table
from solarsim.solar.module import fit_panels
from solarsim.solar.shade.geometry import PanelPlace
from solarsim.solar.shade.roof_shade import roof_shade, shade_factor
from solarsim.solar.shade.table import shade_table
from solarsim.weather.climate.bundle import load_site_climate
from solarsim.weather.readers.file import read_weather_file

STATION = pathlib.Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"
EIGHT = [PanelPlace(0.1 + 1.6 * (i % 4), 0.1 + 0.9 * (i // 4), 1.49, 0.67, 0.06) for i in range(8)]
SIX = [
    Obstacle(name=f"{i}", x_m=0.4 + 1.1 * i, y_m=0.77, length_m=0.4, width_m=0.15, height_m=0.25)
    for i in range(6)
]


def test_scene_of_a_default_question(benchmark):
    question = ask()
    times = question_times(question)
    benchmark(build_scene, question, times, first_run=0, runs=175)


def test_peaks_of_300_runs_of_a_week(benchmark):
    question, runs, hours = ask("long-stayer"), 300, 168
    inverter, design = question.van.inverter, design_of(question.van)
    scene = build_scene(question, question_times(question)[:hours], first_run=0, runs=runs)
    times = pd.date_range("2026-01-12", periods=hours, freq="h", tz="Etc/GMT-1")
    benchmark(
        lambda: find_peaks(
            loads=scheduled_loads(question.profile, inverter, times, "Etc/GMT-1"),
            demand=scene.demand,
            shore_ac_w=scene.chargers.shore_ac_w,
            inverter=inverter,
            design=design,
            soc=np.random.default_rng(3).random((runs, hours + 1)),
            bank_temp_c=scene.bank_temp_c,
            first_cut_h=np.full(runs, 999.0),
        )
    )


def test_power_table_of_a_panel(benchmark):
    module = fit_panels(ask().van.panels)

    def fresh():
        controller_table.cache_clear()
        return controller_table(module, "mppt", 14.3)

    benchmark(fresh)


def test_shade_table_of_eight_panels_and_six_obstacles(benchmark):
    benchmark(shade_table, EIGHT, SIX)


def test_shade_of_a_month_of_hours(benchmark):
    van, table = ask().van, shade_table(EIGHT, SIX)
    shade = roof_shade(
        table, EIGHT, van.panels, van.controller, bus_voltage_v=14.3, heading_deg=30.0
    )
    zenith, azimuth = np.linspace(0.0, 95.0, 720), np.linspace(0.0, 359.0, 720)
    benchmark(shade_factor, shade, zenith, azimuth, np.full(720, 0.6))


def test_roof_of_the_long_van(benchmark):
    van = ask("long-stayer").van
    # A roof of its own each time: layouts are kept.
    roofs = iter(
        van.roof.model_copy(update={"length_m": van.roof.length_m + 1e-3 * n}) for n in range(9)
    )
    benchmark.pedantic(lambda: fit_roof(next(roofs), [panel_size(van.panels)]), rounds=5)


def test_electrical_check(benchmark):
    question = ask("long-stayer")
    benchmark(check_van, question.van, question.profile, question.place, climate=question.climate)


def test_reading_a_station(benchmark):
    benchmark.pedantic(read_weather_file, (STATION,), rounds=5, warmup_rounds=1)


def test_climate_of_a_place(benchmark):
    benchmark(load_site_climate, ask().place)


def test_drawing_a_year(benchmark):
    year = stay(ask(runs=3, days=365))
    benchmark.pedantic(stay_figure, (year,), rounds=3, warmup_rounds=1)
