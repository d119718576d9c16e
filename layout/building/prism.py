"""Prisms: pieces as they stand, an outline and a thickness along one axis, and how two of them meet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from itertools import pairwise

import shapely
from shapely.geometry.base import BaseGeometry

from layout.model.panel import Panel
from layout.model.solid import Point, Solid

AXES = "xyz"
HAIR = 0.02  # mm that sums of sizes may leave
Span = tuple[float, float]
Box = tuple[Span, Span, Span]
_SPECK = 1.0  # mm² that is no face
# Two points of an interval whose mean is the mean of any cubic over it (Gauss), as shares of the interval.
_GAUSS = (0.21132486540518713, 0.7886751345948129)


@dataclass(frozen=True, kw_only=True, slots=True)
class Prism:
    """An outline, extruded from `low` to `high` along `axis` (0, 1, 2 for x, y, z); all mm.

    `face` is the outline with its holes, in the other two axes in their order: (x, y), (x, z) or (y, z).
    """

    axis: int
    low: float
    high: float
    face: shapely.Polygon
    #: From where to where it reaches along x, y and z.
    box: Box = field(init=False, repr=False, compare=False)
    #: Whether it is a box, so that plain arithmetic does.
    square: bool = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Work out its box."""
        x0, y0, x1, y1 = self.face.bounds
        spans = [(x0, x1), (y0, y1)]
        spans.insert(self.axis, (self.low, self.high))
        object.__setattr__(self, "box", tuple(spans))
        object.__setattr__(self, "square", abs(self.face.area - (x1 - x0) * (y1 - y0)) < 1e-6)  # noqa: PLR2004 (mm²)

    @property
    def flat(self) -> tuple[int, int]:
        """Return the two axes of its outline."""
        one, other = (axis for axis in range(3) if axis != self.axis)
        return one, other

    @property
    def volume(self) -> float:
        """Return its volume, mm³."""
        return float(self.face.area) * (self.high - self.low)

    def moved(self, axis: int, by: float) -> Prism:
        """Return it shifted by `by` mm along an axis."""
        if axis == self.axis:
            return replace(self, low=self.low + by, high=self.high + by)
        shift = [by if flat == axis else 0.0 for flat in self.flat]
        return replace(self, face=shapely.transform(self.face, lambda points: points + shift))

    def section(self, axis: int, span: Span) -> BaseGeometry:
        """Return the part of its outline that lies within `span` of one of its two flat axes."""
        bounds = list(self.face.bounds)
        at = self.flat.index(axis)
        bounds[at], bounds[at + 2] = span
        if bounds[at] >= bounds[at + 2]:
            return shapely.Polygon()
        return self.face.intersection(shapely.box(*bounds))


def of_panel(panel: Panel) -> Prism:
    """Return the prism that a panel is, holes taken out, in the axes of its unit."""
    at = dict(zip(AXES, panel.at, strict=True))
    axis = AXES.index(panel.through)
    turned = AXES.index(panel.along) > AXES.index(panel.across)

    def placed(ring: tuple[Point, ...]) -> list[Point]:
        points = [(at[panel.along] + u, at[panel.across] + v) for u, v in ring]
        return [point[::-1] for point in points] if turned else points

    face = shapely.Polygon(placed(panel.outline), [placed(hole) for hole in panel.holes])
    low = at[panel.through]
    return Prism(axis=axis, low=low, high=low + panel.sheet.thickness, face=face)


def of_solid(solid: Solid) -> Prism:
    """Return the prism that a solid is: its plan, extruded upward."""
    return Prism(axis=2, low=solid.z0, high=solid.z1, face=shapely.Polygon(solid.outline))


def apart(a: Prism, b: Prism) -> tuple[float, float, float]:
    """Return how far the boxes of two prisms reach into each other along x, y, z, mm; negative where apart."""
    x, y, z = (min(p[1], q[1]) - max(p[0], q[0]) for p, q in zip(a.box, b.box, strict=True))
    return x, y, z


def shared(a: Prism, b: Prism) -> Box | None:
    """Return from where to where what two prisms share reaches along each axis; None if they share nothing."""
    if min(apart(a, b)) <= 0:
        return None
    low_high = [(max(p[0], q[0]), min(p[1], q[1])) for p, q in zip(a.box, b.box, strict=True)]
    if not (a.square and b.square):
        for axis, span in _outlined(a, b):
            low_high[axis] = (max(low_high[axis][0], span[0]), min(low_high[axis][1], span[1]))
    if any(high <= low for low, high in low_high):
        return None
    x, y, z = low_high
    return x, y, z


def _outlined(a: Prism, b: Prism) -> Iterator[tuple[int, Span]]:
    """Yield, for the axes of the outlines, from where to where both prisms reach within each other's thickness."""
    if a.axis == b.axis:
        common = a.face.intersection(b.face)
        yield from _spans(a, common)
        return
    yield from _spans(a, a.section(b.axis, (b.low, b.high)))
    yield from _spans(b, b.section(a.axis, (a.low, a.high)))


def _spans(prism: Prism, face: BaseGeometry) -> Iterator[tuple[int, Span]]:
    x0, y0, x1, y1 = face.bounds if face.area > 0 else (0.0, 0.0, 0.0, 0.0)
    yield from zip(prism.flat, ((x0, x1), (y0, y1)), strict=True)


def shared_volume(a: Prism, b: Prism) -> float:
    """Return the volume that two prisms share, mm³; exact for outlines of straight edges.

    Where they stand across each other, what they share is, at each place along the axis that both outlines have, a
    rectangle: as wide as the one outline there within the other's thickness, and the other way round. Its area is a
    product of two straight lines between corners, which two points of Gauss sum up exactly.
    """
    sizes = apart(a, b)
    if min(sizes) <= 0:
        return 0.0
    if a.square and b.square:
        return sizes[0] * sizes[1] * sizes[2]
    if a.axis == b.axis:
        return float(a.face.intersection(b.face).area) * sizes[a.axis]
    along = 3 - a.axis - b.axis
    one, other = a.section(b.axis, (b.low, b.high)), b.section(a.axis, (a.low, a.high))
    edges = [_edges(one, a.flat.index(along)), _edges(other, b.flat.index(along))]
    places = sorted({end for each in edges for edge in each for end in (edge[0][0], edge[1][0])})
    return sum(
        (high - low) / 2 * sum(_width(edges[0], at) * _width(edges[1], at) for at in _points(low, high))
        for low, high in pairwise(places)
    )


Edge = tuple[Point, Point]


def _edges(face: BaseGeometry, along: int) -> list[Edge]:
    """Return the edges of an outline, each from low to high along one of its two axes, which comes first."""
    found: list[Edge] = []
    for part in shapely.get_parts(face):
        if part.geom_type == "Polygon":
            for ring in (part.exterior, *part.interiors):
                points = [(x, y) if along == 0 else (y, x) for x, y in ring.coords]
                found += [(min(p, q), max(p, q)) for p, q in pairwise(points) if p[0] != q[0]]
    return found


def _points(low: float, high: float) -> tuple[float, float]:
    return low + (high - low) * _GAUSS[0], low + (high - low) * _GAUSS[1]


def _width(edges: list[Edge], at: float) -> float:
    """Return how much of the line across an outline at a place lies inside it, mm."""
    cuts = sorted(p[1] + (q[1] - p[1]) * (at - p[0]) / (q[0] - p[0]) for p, q in edges if p[0] <= at < q[0])
    return sum(high - low for low, high in zip(cuts[::2], cuts[1::2], strict=False))


@dataclass(frozen=True, kw_only=True, slots=True)
class Meeting:
    """How one prism meets another along an axis: `depth` mm in it (0: they touch), over an `area` in mm².

    `box` is from where to where they meet, along each axis.
    """

    depth: float
    area: float
    box: Box


def meeting(a: Prism, b: Prism, axis: int) -> Meeting | None:
    """Return how `a` meets `b` along an axis: touching it, or in a groove of it; None where they are apart.

    Slanting edges are met exactly: pushed by p, `a` shares a volume of area x (p + depth) with `b`, so that two pushes
    tell both.
    """
    sizes = apart(a, b)
    if sizes[axis] < -HAIR or any(size <= HAIR for i, size in enumerate(sizes) if i != axis):
        return None
    if a.square and b.square:
        one, other = (size for i, size in enumerate(sizes) if i != axis)
        x, y, z = ((max(p[0], q[0]), min(p[1], q[1])) for p, q in zip(a.box, b.box, strict=True))
        return Meeting(depth=sizes[axis], area=one * other, box=(x, y, z))
    return max((m for way in (1, -1) if (m := _pushed(a, b, axis, way))), key=lambda m: m.area, default=None)


def _pushed(a: Prism, b: Prism, axis: int, way: int) -> Meeting | None:
    push = 2.5 * HAIR
    first, second = (shared_volume(a.moved(axis, way * by), b) for by in (push, 2 * push))
    area = (second - first) / push
    box = shared(a.moved(axis, way * 2 * push), b)
    if area <= _SPECK or box is None or first / area - push < -HAIR:
        return None
    return Meeting(depth=first / area - push, area=area, box=box)
