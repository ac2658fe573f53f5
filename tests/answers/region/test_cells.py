"""Which land a region's cells are, and where in them people live."""

from __future__ import annotations

import numpy as np
import pytest

from solarsim.answers.region.cells import Cell, region_cells
from solarsim.errors import InputError
from solarsim.weather.elevation import lookup_elevation_m
from solarsim.weather.places import find_place
from solarsim.weather.towns import towns_in


@pytest.fixture(scope="module")
def spain():
    return region_cells("ES", 1.0)


@pytest.mark.slow
def test_the_cells_cover_the_country_s_land(spain):
    # By the country's own statistics (from memory).
    assert spain.land_km2.sum() == pytest.approx(506_000, rel=0.03)
    assert region_cells("ES", 0.25).land_km2.sum() == pytest.approx(506_000, rel=0.03)


def test_the_grid_is_the_same_whatever_the_region(spain):
    box = region_cells("36, -10, 44, 4", 1.0)
    centres = {(cell.latitude_deg, cell.longitude_deg) for cell in box.cells}
    inside = [
        cell for cell in spain.cells if cell.latitude_deg < 43 and -9 < cell.longitude_deg < 4
    ]
    inside = [cell for cell in inside if cell.latitude_deg > 36]
    assert len(inside) > 40
    assert all((cell.latitude_deg, cell.longitude_deg) in centres for cell in inside)
    assert np.all(spain.latitude_deg % 1.0 == 0.5)


def test_towns_of_the_country_alone_and_every_one_of_them(spain):
    towns = [cell.town for cell in spain.cells if cell.town]
    assert {town.country_code for town in towns} == {"ES"}
    # Islets whose outline is too small for the map are there by their town.
    names = {town.name for town in towns_in(spain.region.box) if town.country_code == "ES"}
    assert {"Madrid", "Las Palmas de Gran Canaria", "Palma"} <= names & {t.name for t in towns}


def test_a_cell_s_place_is_its_centre_at_its_town_s_height(spain):
    granada = next(c for c in spain.cells if c.town and c.town.name == "Granada")
    place = granada.place()
    assert (place.latitude_deg, place.longitude_deg) == (
        granada.latitude_deg,
        granada.longitude_deg,
    )
    town = granada.town
    assert place.elevation_m == lookup_elevation_m(town.latitude_deg, town.longitude_deg)
    assert place.timezone == "Europe/Madrid"
    assert granada.town_label == "Granada, ES"


def test_a_cell_without_a_town_is_its_own_ground():
    empty = Cell(37.75, -108.25)
    assert empty.place() == find_place("37.75, -108.25")
    assert empty.town_label == ""


def test_a_box_across_the_antimeridian():
    cells = region_cells("62, 176, 70, -170", 1.0)
    assert {np.sign(longitude) for longitude in cells.longitude_deg} == {1.0, -1.0}
    assert cells.map_longitude_deg.min() == 176.5
    assert 185.0 < cells.map_longitude_deg.max() < 190.0
    assert cells.region.name == "62 N to 70 N, 176 E to 170 W"


def test_what_is_left_out_is_said():
    assert "more than 1,500 km away" in region_cells("FR", 1.0).region.notes[0]
    assert "north of 72 N" in region_cells("NO", 2.0).region.notes[0]
    assert region_cells("NO", 2.0).latitude_deg.max() < 73.0


def test_islets_that_no_cell_stands_for_are_counted_and_said(spain):
    # El Hierro lies across four cells and has no town so large; its area, 269 km2, is from memory.
    note = spain.region.notes[-1]
    assert spain.islets == 1
    assert spain.islets_km2 == pytest.approx(269.0, rel=0.06)
    assert (
        f"1 islet with {spain.islets_km2:,.0f} km2 of land is left out: it fills too little" in note
    )


def test_a_finer_grid_leaves_fewer_islets_out():
    coarse, fine = (region_cells("GR", step) for step in (0.5, 0.25))
    assert coarse.islets > fine.islets > 0
    assert coarse.islets_km2 > fine.islets_km2
    assert f"{coarse.islets} islets" in coarse.region.notes[-1]


def test_land_without_islets_says_nothing_of_them():
    cells = region_cells("US-CO", 1.0)
    assert (cells.islets, cells.islets_km2, cells.region.notes) == (0, 0.0, ())


@pytest.mark.parametrize(
    ("region", "step", "told"),
    [
        ("Germnay", 0.5, "region: .*'DE' \\(Germany\\)"),
        ("30, -10, 20, 4", 0.5, "south must be below north"),
        ("30, 10, 40, 10", 0.5, "must differ"),
        ("30, 0, 40, 200", 0.5, "east 200; must lie between -180 and 180"),
        ("30, 0, 95, 20", 0.5, "north 95"),
        ("36, -10, 44", 0.5, "such as '36, -10, 44, 4'"),
        ("1, 2, 3, 4.5.6", 0.5, "a box is"),
        ("", 0.5, "give a country or area"),
        ("1, 2, 1.1, 2.1", 0.5, "no cell of 0.5 degrees"),
        ("-80, 0, -60, 10", 0.5, "no cell"),
        ("ES", 0.01, "step: got 0.01; must lie between 0.05 and 5"),
        ("ES", float("nan"), "step"),
        ("US", 0.1, "gives about 111,\\d+ cells .* at most 40,000: take a step of 0.2 or more"),
        ("-57, -180, 72, 180", 0.05, "up to 18,\\d+,\\d+ cells"),
    ],
)
def test_a_region_that_cannot_be_is_refused(region, step, told):
    with pytest.raises(InputError, match=told):
        region_cells(region, step)
