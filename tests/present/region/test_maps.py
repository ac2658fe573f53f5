"""Maps and gridded files of a region, drawn from figures that are made up and so known."""

from __future__ import annotations

import dataclasses
import io
import re

import numpy as np
import pytest

from solarsim.answers.question import ask
from solarsim.answers.region.asked import ask_region
from solarsim.answers.region.block import Block
from solarsim.answers.region.region import RegionAnswer
from solarsim.errors import InputError
from solarsim.present.region.netcdf import check_netcdf, netcdf_bytes
from solarsim.present.region.page_map import map_bytes, region_figure
from solarsim.present.region.picture import check_shown, map_picture
from solarsim.present.region.table import grid_of
from solarsim.weather.outlines import LineKind


def made_up(region="PT", *, months=(1,), beside=(), step_deg=1.0):
    """Days by latitude: 30 in the south, fewer to the north; the second van lasts a day less."""
    asked = ask_region(
        ask(runs=1), region, months=list(months), beside=list(beside), step_deg=step_deg
    )
    latitude = asked.cells.latitude_deg
    days = np.interp(latitude, [latitude.min(), latitude.max()], [30.0, 3.0])
    shape = (len(asked.vans), len(months), len(latitude))
    p50 = np.broadcast_to(days, shape) - np.arange(shape[0])[:, None, None]
    figures = Block(
        has_climate=np.ones(len(latitude), dtype=bool),
        elevation_m=np.full(len(latitude), 100.0),
        timezone=np.full(len(latitude), "Etc/UTC"),
        p10_days=p50 * 0.5,
        p50_days=p50,
        chance_lasts=p50 / 30.0,
        bank_units=np.where(p50 > 10.0, 2, 0),
    )
    return RegionAnswer(asked, figures, ())


@pytest.fixture(scope="module")
def portugal():
    return made_up()


def test_figures_stand_where_their_cells_are(portugal):
    picture = map_picture(portugal)
    (panel,) = picture.panels
    cells = portugal.asked.cells
    assert np.isfinite(panel.values).sum() == len(cells.cells)
    for index, cell in enumerate(cells.cells):
        row = picture.latitude_deg.tolist().index(cell.latitude_deg)
        column = picture.longitude_deg.tolist().index(cell.longitude_deg)
        assert panel.values[row, column] == portugal.figures.p50_days[0, 0, index]


def test_a_cell_without_a_climate_stays_blank(portugal):
    without = portugal.figures.has_climate.copy()
    without[0] = False
    answer = RegionAnswer(
        portugal.asked, dataclasses.replace(portugal.figures, has_climate=without), ()
    )
    values = map_picture(answer).panels[0].values
    assert np.isfinite(values).sum() == without.sum()


def test_a_bank_that_none_is_stays_blank(portugal):
    values = map_picture(portugal, "bank").panels[0].values
    assert np.isfinite(values).sum() == (portugal.figures.bank_units > 0).sum()


def test_panels_are_months_or_vans():
    year = map_picture(made_up(months=range(1, 13)))
    assert [panel.title for panel in year.panels][::11] == ["January", "December"]
    assert year.title == "Where can 'Weekender' winter? Portugal, month by month"
    vans = map_picture(made_up(beside=["long-stayer"]))
    assert [panel.title for panel in vans.panels] == ["Weekender", "Long-stayer"]
    difference = map_picture(made_up(beside=["long-stayer"], months=(1, 7)), "difference")
    assert [panel.title for panel in difference.panels] == ["January", "July"]
    assert np.nanmax(np.abs(difference.panels[0].values - 1.0)) < 1e-12
    assert difference.scale.low == -difference.scale.high
    unseen = "Where both last the 30 days that were followed, no difference is seen."
    assert unseen in difference.below
    assert unseen not in map_picture(made_up(beside=["long-stayer"]), "p50").below


def test_the_stay_s_own_length_is_the_strong_contour(portugal):
    picture = map_picture(portugal)
    assert picture.strong_level == 7.0
    assert 7.0 in picture.scale.levels
    assert map_picture(portugal, "chance").strong_level == 90.0


def test_van_caution_and_sources_stand_below(portugal):
    below = map_picture(portugal).below
    for part in ("Weekender", "Weekend couple", "Expected, not guaranteed", "Natural Earth"):
        assert part in below


def test_towns_are_those_of_the_land_and_do_not_crowd(portugal):
    picture = map_picture(portugal)
    names = [town.name for town in picture.towns]
    assert names[0] == "Lisbon"
    assert "Porto" in names
    assert {town.country_code for town in picture.towns} == {"PT"}


def test_lines_are_cut_to_the_map(portugal):
    picture = map_picture(portugal)
    points = np.concatenate(picture.lines(LineKind.COAST))
    box = picture.box
    inside = (points[:, 1] > box.south_deg - 1.0) & (points[:, 1] < box.north_deg + 1.0)
    assert inside.all()


def test_a_map_across_the_antimeridian_is_in_one_piece():
    picture = map_picture(made_up("62, 176, 70, -170"))
    assert np.all(np.diff(picture.longitude_deg) == 1.0)
    assert picture.longitude_deg[-1] > 185.0
    coast = np.concatenate(picture.lines(LineKind.COAST))
    assert (coast[:, 0] > 180.0).any()


def test_a_picture_is_drawn(portugal):
    assert map_bytes(portugal, ".png").startswith(b"\x89PNG")


@pytest.mark.slow
@pytest.mark.parametrize("shown", ["p50", "bank"])
def test_equal_maps_give_equal_bytes(portugal, shown):
    svg = map_bytes(portugal, ".svg", shown)
    assert svg == map_bytes(portugal, ".svg", shown)
    assert b"<svg" in svg


def test_the_page_holds_the_map_with_contours_towns_and_words(portugal):
    page = map_bytes(portugal, ".html").decode()
    assert "Lisbon" in page
    assert "Expected, not guaranteed" in page
    assert not re.search(r'<(script|link|img)[^>]*(src|href)="https?://', page)
    figure = region_figure(portugal)
    kinds = [trace.type for trace in figure.data]
    assert kinds.count("heatmap") == 1
    levels = {trace.contours.start for trace in figure.data if trace.type == "contour"}
    assert 7.0 in levels
    assert any(trace.mode == "markers+text" for trace in figure.data if trace.type == "scatter")


def test_a_name_cannot_write_into_the_page(portugal):
    van = portugal.asked.vans[0]
    named = van.model_copy(update={"van": van.van.model_copy(update={"name": "<img src=x>"})})
    asked = ask_region(ask(named, runs=1), "PT", months=[1], step_deg=1.0)
    page = map_bytes(RegionAnswer(asked, portugal.figures, ()), ".html").decode()
    assert "<img src=x>" not in page


@pytest.mark.parametrize(
    ("asked", "shown", "told"),
    [
        ({}, "p90", "known: p50, p10, chance, bank, difference"),
        ({}, "difference", "takes two vans"),
        ({"beside": ["long-stayer"], "months": (1, 2)}, "p50", "several vans in one month"),
    ],
)
def test_what_cannot_be_drawn_is_refused(asked, shown, told):
    question = made_up(**asked).asked
    with pytest.raises(InputError, match=told):
        check_shown(shown, question)
    if told.startswith("several"):
        assert check_shown(shown, question, drawn=False) == shown


@pytest.mark.slow
def test_the_gridded_file_follows_the_conventions(portugal):
    import xarray as xr

    with xr.open_dataset(io.BytesIO(netcdf_bytes(portugal)), engine="h5netcdf") as data:
        assert data.attrs["Conventions"] == "CF-1.11"
        assert data.latitude.attrs["standard_name"] == "latitude"
        assert data.longitude.attrs["units"] == "degrees_east"
        assert data.elevation.attrs["standard_name"] == "surface_altitude"
        assert set(data.p50_days.dims) == {"van", "month", "latitude", "longitude"}
        for name in data.data_vars:
            assert {"units", "long_name"} <= set(data[name].attrs)
        for index, cell in enumerate(portugal.asked.cells.cells):
            here = data.sel(latitude=cell.latitude_deg, longitude=cell.longitude_deg)
            assert here.p50_days.item() == portugal.figures.p50_days[0, 0, index]
            units = portugal.figures.bank_units[0, 0, index]
            assert here.bank_units.item() == units or (units == 0 and np.isnan(here.bank_units))


def test_what_is_not_installed_is_said(monkeypatch):
    monkeypatch.setattr("importlib.util.find_spec", lambda name: None)
    with pytest.raises(InputError, match=r"pip install 'solarsim\[netcdf\]'"):
        check_netcdf()


def test_the_grid_has_holes_where_there_is_no_cell(portugal):
    cells = portugal.asked.cells
    latitudes, longitudes, grid = grid_of(cells, cells.latitude_deg)
    assert grid.shape == (len(latitudes), len(longitudes))
    rows, columns = np.nonzero(np.isfinite(grid))
    assert len(rows) == len(cells.cells)
    assert np.array_equal(grid[rows, columns], latitudes[rows])


def test_the_page_s_land_lies_below_the_cells_and_is_the_pictures(portugal):
    picture = map_picture(portugal)
    shapes = region_figure(portugal).layout.shapes
    assert [(shape.type, shape.layer) for shape in shapes] == [("path", "below")]
    rings = [re.findall(r"(-?[\d.]+),(-?[\d.]+)", ring) for ring in shapes[0].path.split("Z")[:-1]]
    assert len(rings) == len(picture.land) > 5
    for ring, drawn in zip(picture.land, rings, strict=True):
        assert np.allclose(np.array(drawn, dtype=float), ring[:, :2], atol=5.1e-4)
