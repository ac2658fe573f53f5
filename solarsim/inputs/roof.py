"""The van's roof: its outline, what stands on it, and what must stay free."""

from __future__ import annotations

from typing import Annotated, Any, Literal, Self

from pydantic import Field, model_validator

from solarsim.inputs.base import Record
from solarsim.inputs.lengths import Metres

__all__ = ["FACING_DEG", "ROOF_TEMPLATES", "Facing", "Obstacle", "PanelPlace", "Point", "Roof"]

Facing = Literal["front", "right", "rear", "left"]
# Sides of the van, clockwise from its front.
FACING_DEG: dict[str, float] = {"front": 0.0, "right": 90.0, "rear": 180.0, "left": 270.0}

# Length and width of the flat part, m: round figures of the class, common practice, no source.
# Measure the van before anything is drilled.
ROOF_TEMPLATES = {
    "medium van": (3.6, 1.6),
    "long van": (4.6, 1.6),
    "short bus": (6.5, 2.1),
    "full bus": (12.0, 2.3),
}
_MAX_LENGTH_M, _MAX_WIDTH_M = 20.0, 5.0
_SAME_M = 1e-6

Along = Annotated[Metres, Field(ge=0.0, le=_MAX_LENGTH_M)]
Across = Annotated[Metres, Field(ge=0.0, le=_MAX_WIDTH_M)]


class Point(Record):
    """A corner of the roof's outline; ``[x, y]`` is read too."""

    x_m: Along
    """Forwards from the roof's rear edge."""
    y_m: Across
    """To the right from the roof's left edge."""

    @model_validator(mode="before")
    @classmethod
    def _from_pair(cls, data: Any) -> Any:
        if isinstance(data, list | tuple):
            if len(data) != 2:
                raise ValueError(f"a corner is [x, y], not {len(data)} values")
            return {"x_m": data[0], "y_m": data[1]}
        return data


class Obstacle(Record):
    """Something on the roof that panels must leave free and that throws a shadow.

    ``x_m`` runs forwards and ``y_m`` to the right from the roof's rear left corner; they place the
    obstacle's own rear left corner.
    """

    name: Annotated[str, Field(min_length=1, max_length=200)]
    """What stands there; settings and answers use this name."""
    x_m: Along
    """How far the obstacle's rear edge is in front of the roof's rear edge."""
    y_m: Across
    """How far the obstacle's left edge is to the right of the roof's left edge."""
    length_m: Annotated[Metres, Field(gt=0.0, le=_MAX_LENGTH_M)]
    """Its size along the van."""
    width_m: Annotated[Metres, Field(gt=0.0, le=_MAX_WIDTH_M)]
    """Its size across the van."""
    height_m: Annotated[Metres, Field(ge=0.0, le=3.0)] = 0.0
    """How high it stands above the roof, for its shadow."""
    # Room for the flange, its sealant and a hand. Common practice, no source.
    clearance_m: Annotated[Metres, Field(ge=0.0, le=2.0)] = 0.05
    """What stays free around it."""


class PanelPlace(Record):
    """Where one of the van's own panels lies, by its rear left corner."""

    x_m: Along
    """How far the panel's rear edge is in front of the roof's rear edge."""
    y_m: Across
    """How far the panel's left edge is to the right of the roof's left edge."""
    lies: Literal["lengthwise", "crosswise"] = "lengthwise"
    """Whether the panel's long side runs along the van or across it."""


class Roof(Record):
    """The flat part of the roof, a rectangle or a polygon.

    The origin is the rear left corner, as one looks forwards: ``x`` runs forwards along the van,
    ``y`` to the right. Give ``length_m`` and ``width_m``, or a ``template`` whose numbers they then
    are unless given too, or an ``outline``, whose extent they then are. Without this table nothing
    shades the panels, and nobody looks whether they fit. With it every answer counts the shade of
    what stands there, on strings and bypass groups; panels lie where their number loses least, and
    `tune` and `levers` go up to what fits.
    """

    template: Literal["medium van", "long van", "short bus", "full bus"] | None = None
    """Length and width by the class of van, instead of numbers; measure before you drill."""
    length_m: Annotated[Metres, Field(gt=0.0, le=_MAX_LENGTH_M)]
    """Length of the flat part, along the van."""
    width_m: Annotated[Metres, Field(gt=0.0, le=_MAX_WIDTH_M)]
    """Width of the flat part, across the van."""
    outline: Annotated[tuple[Point, ...], Field(strict=False, max_length=200)] = ()
    """Corners in order around a roof that is no rectangle, as `[[0, 0], [3.4, 0], ...]`."""
    margin_m: Annotated[Metres, Field(ge=0.0, le=1.0)] = 0.05
    """What stays free along the roof's edge."""
    # Brackets between frames, and room to grow in the heat. Common practice, no source.
    gap_m: Annotated[Metres, Field(ge=0.0, le=1.0)] = 0.02
    """What stays free between two panels."""
    walkway_m: Annotated[Metres, Field(ge=0.0, le=_MAX_WIDTH_M)] = 0.0
    """Width of a strip to walk on that stays free over the whole length; 0 for none."""
    walkway: Literal["middle", "left", "right"] = "middle"
    """Where the walkway lies: in the middle, or along a side, left as one looks forwards."""
    obstacles: Annotated[tuple[Obstacle, ...], Field(strict=False, max_length=100)] = ()
    """What stands on the roof: fans, vents, hatches."""
    panels: Annotated[tuple[PanelPlace, ...], Field(strict=False, max_length=100)] = ()
    """Where the van's own panels lie, one place for each; without it the program lays them out."""

    @model_validator(mode="before")
    @classmethod
    def _sizes(cls, data: Any) -> Any:
        if not isinstance(data, dict):
            return data
        sizes: tuple[float, float] | None = None
        template = data.get("template")
        if isinstance(template, str):
            sizes = ROOF_TEMPLATES.get(template)
        outline = data.get("outline")
        if isinstance(outline, list | tuple) and outline:
            if template is not None:
                raise ValueError("give a template or an outline, not both")
            try:
                corners = [Point.model_validate(corner) for corner in outline]
            except ValueError:
                # Each faulty corner is told by its own place; the extent waits for them.
                return {"length_m": 1.0, "width_m": 1.0} | data
            sizes = max(corner.x_m for corner in corners), max(corner.y_m for corner in corners)
            if min(sizes) <= 0.0:
                raise ValueError("outline encloses nothing")
        if sizes is None:
            return data
        return dict(zip(("length_m", "width_m"), sizes, strict=True)) | data

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        if self.outline:
            _check_outline(self.outline)
            extent = (
                ("length_m", self.length_m, max(corner.x_m for corner in self.outline)),
                ("width_m", self.width_m, max(corner.y_m for corner in self.outline)),
            )
            for name, given_m, found_m in extent:
                if abs(given_m - found_m) > _SAME_M:
                    raise ValueError(
                        f"{name} ({given_m:g}) is not the outline's ({found_m:g}); leave it out"
                    )
        for obstacle in self.obstacles:
            if obstacle.x_m >= self.length_m or obstacle.y_m >= self.width_m:
                raise ValueError(
                    f"the obstacle '{obstacle.name}' at x_m {obstacle.x_m:g}, y_m {obstacle.y_m:g} "
                    f"stands beside the roof of {self.length_m:g} x {self.width_m:g} m"
                )
        if self.walkway_m > self.width_m:
            raise ValueError(
                f"walkway_m ({self.walkway_m:g}) must not exceed width_m ({self.width_m:g})"
            )
        return self

    @property
    def corners_m(self) -> tuple[tuple[float, float], ...]:
        """The outline's corners in order; of a rectangle its four."""
        if self.outline:
            return tuple((corner.x_m, corner.y_m) for corner in self.outline)
        length_m, width_m = self.length_m, self.width_m
        return (0.0, 0.0), (length_m, 0.0), (length_m, width_m), (0.0, width_m)

    @property
    def walkway_y_m(self) -> tuple[float, float] | None:
        """From where to where across the van the walkway runs; None without one."""
        if self.walkway_m == 0.0:
            return None
        free_m = self.width_m - self.walkway_m
        start_m = {"left": 0.0, "middle": free_m / 2.0, "right": free_m}[self.walkway]
        return start_m, start_m + self.walkway_m


def _check_outline(corners: tuple[Point, ...]) -> None:
    if len(corners) < 3:
        raise ValueError(f"outline needs three corners or more, not {len(corners)}")
    points = [(corner.x_m, corner.y_m) for corner in corners]
    edges = list(zip(points, points[1:] + points[:1], strict=True))
    if any(start == end for start, end in edges):
        raise ValueError("outline names a corner twice in a row; it closes by itself")
    for first, one in enumerate(edges):
        # Neighbours share a corner.
        others = edges[first + 2 : len(edges) - (1 if first == 0 else 0)]
        if any(_cross(one, other) for other in others):
            raise ValueError("outline crosses itself; give the corners in order around the roof")
    area_m2 = sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in edges) / 2.0
    if abs(area_m2) < _SAME_M:
        raise ValueError("outline encloses nothing")


Edge = tuple[tuple[float, float], tuple[float, float]]


def _cross(one: Edge, other: Edge) -> bool:
    """Whether two edges touch or cross."""

    def side(edge: Edge, point: tuple[float, float]) -> float:
        (x0, y0), (x1, y1) = edge
        return (x1 - x0) * (point[1] - y0) - (y1 - y0) * (point[0] - x0)

    def within(edge: Edge, point: tuple[float, float]) -> bool:
        (x0, y0), (x1, y1) = edge
        return min(x0, x1) <= point[0] <= max(x0, x1) and min(y0, y1) <= point[1] <= max(y0, y1)

    ends = [(one, other[0]), (one, other[1]), (other, one[0]), (other, one[1])]
    sides = [side(edge, point) for edge, point in ends]
    if sides[0] * sides[1] < 0.0 and sides[2] * sides[3] < 0.0:
        return True
    return any(s == 0.0 and within(edge, p) for s, (edge, p) in zip(sides, ends, strict=True))
