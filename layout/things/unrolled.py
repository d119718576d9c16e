"""Surfaces of the room laid out flat: a side wall or the ceiling as it would be if it were rolled off the room."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise
from math import dist, hypot

from shapely.geometry import Polygon

from layout.model.solid import Point
from layout.space.walls import Pairs, Wall, interpolate

Point3 = tuple[float, float, float]


@dataclass(frozen=True, kw_only=True, slots=True)
class Facets:
    """A surface over a plane of two coordinates, bent only where one of them is at one of its marks.

    `first` and `second` are the marks of the two coordinates, upward; between marks a straight line stays straight.
    """

    first: tuple[float, ...]
    second: tuple[float, ...]

    def point(self, at: Point) -> Point3:
        """Return where the surface is in the room, mm."""
        raise NotImplementedError

    def flat(self, at: Point) -> Point:
        """Return where that place comes to lie when the surface is laid out flat, mm."""
        raise NotImplementedError

    def laid(self, shape: Polygon) -> Polygon:
        """Return a shape on the surface laid out flat."""
        return Polygon(self._ring(shape.exterior.coords), [self._ring(hole.coords) for hole in shape.interiors])

    def _ring(self, ring: Sequence[Point]) -> list[Point]:
        """Return a closed ring laid flat, with a corner wherever it crosses a mark."""
        return [self.flat(at) for a, b in pairwise(ring) for at in self._broken(a, b)]

    def _broken(self, a: Point, b: Point) -> list[Point]:
        shares = {0.0}
        for marks, low, high in ((self.first, a[0], b[0]), (self.second, a[1], b[1])):
            shares |= {(m - low) / (high - low) for m in marks if min(low, high) < m < max(low, high)}
        return [(a[0] + (b[0] - a[0]) * s, a[1] + (b[1] - a[1]) * s) for s in sorted(shares)]

    def strain(self, shape: Polygon) -> float:
        """Return by how much the distance of two corners of a shape is another on the surface than flat, at most, mm.

        Nothing on a surface that bends one way only; where a wall twists it is small, and is what must be cut to fit.
        """
        corners = [(float(x), float(y)) for x, y in shape.exterior.coords[:-1]]
        return max(
            (
                abs(dist(self.point(a), self.point(b)) - dist(self.flat(a), self.flat(b)))
                for a, b in combinations(corners, 2)
            ),
            default=0.0,
        )


@dataclass(frozen=True, kw_only=True, slots=True)
class WallFacets(Facets):
    """A side wall over x and z: the distance along it at the height `level`, and the distance up it."""

    wall: Wall
    sign: int
    level: float

    def point(self, at: Point) -> Point3:
        """Return where the wall is, mm."""
        return at[0], self.sign * self.wall.half_width(*at), at[1]

    def flat(self, at: Point) -> Point:
        """Return the distances along and up the wall, mm; straight on between marks."""
        return self._along(at[0]), self._up(*at)

    def _along(self, x: float) -> float:
        """Return how far along the wall a place is from the first mark, where the first mark counts as itself."""
        line = [(mark, self.wall.half_width(mark, self.level)) for mark in self.first]
        return _length(line, x)

    def _up(self, x: float, z: float) -> float:
        """Return how far up the wall a place is: worked out at each mark along, and straight between those."""
        ups = [(at, _length([(mark, self.wall.half_width(at, mark)) for mark in self.second], z)) for at in self.first]
        return interpolate(ups, x)


def _length(line: Sequence[Point], at: float) -> float:
    """Return how far along a broken line the place `at` is, from its first corner, which counts as its own number."""
    total = line[0][0]
    for a, b in pairwise(line):
        share = min(max((at - a[0]) / (b[0] - a[0]), 0.0), 1.0)
        total += share * hypot(b[0] - a[0], b[1] - a[1])
    return total + min(at - line[0][0], 0.0) + max(at - line[-1][0], 0.0)


@dataclass(frozen=True, kw_only=True, slots=True)
class RoofFacets(Facets):
    """The ceiling over x and y: its distance along the roof, and across as it is."""

    roof: Pairs

    def point(self, at: Point) -> Point3:
        """Return where the roof is, mm."""
        return at[0], at[1], interpolate(self.roof, at[0])

    def flat(self, at: Point) -> Point:
        """Return the distance along the roof, and across, mm."""
        return _length([(mark, interpolate(self.roof, mark)) for mark in self.first], at[0]), at[1]


def wall_facets(wall: Wall, x: tuple[float, float], z: tuple[float, float], *, left: bool) -> WallFacets:
    """Return the wall over a stretch and between two heights, laid out from its corner there."""
    return WallFacets(
        wall=wall,
        sign=1 if left else -1,
        level=(z[0] + z[1]) / 2,
        first=_marks(x, wall.xs),
        second=_marks(z, wall.heights),
    )


def longer(facets: Facets) -> float:
    """Return how much longer a surface is along its slope than along the room, at its steepest: 1 for a level one."""
    ends = [(at, facets.flat((at, facets.second[0] if facets.second else 0.0))[0]) for at in facets.first]
    return max((b[1] - a[1]) / (b[0] - a[0]) for a, b in pairwise(ends))


def bends(facets: WallFacets, least: float, sliver: float) -> tuple[float, ...]:
    """Return the heights at which the wall bends by `least` mm or more somewhere, from its foot to its top, mm.

    None is nearer than `sliver` to the one before it or to the top.
    """
    found, top = list(facets.second[:1]), facets.second[-1]
    for here, after in pairwise(facets.second[1:]):
        at = (found[-1], here, after)
        bend = max(_off(*((h, facets.wall.half_width(x, h), 0.0) for h in at)) for x in facets.first)
        if bend >= least and min(here - found[-1], top - here) >= sliver:
            found.append(here)
    return (*found, top)


def roof_facets(roof: Pairs, x: tuple[float, float]) -> RoofFacets:
    """Return the ceiling over a stretch."""
    return RoofFacets(roof=roof, first=_marks(x, [at for at, _ in roof]), second=())


def _marks(span: tuple[float, float], inner: Sequence[float]) -> tuple[float, ...]:
    return (span[0], *(mark for mark in inner if span[0] < mark < span[1]), span[1])


def ridges(facets: WallFacets | RoofFacets, least: float) -> tuple[float, ...]:
    """Return the marks along at which the surface bends by `least` mm or more off the straight line, mm."""
    found = []
    for before, here, after in zip(facets.first, facets.first[1:], facets.first[2:], strict=False):
        heights = facets.second or (0.0,)
        bend = max(_off(*(facets.point((x, h)) for x in (before, here, after))) for h in heights)
        if bend >= least:
            found.append(here)
    return tuple(found)


def _off(a: Point3, b: Point3, c: Point3) -> float:
    """Return how far b is off the straight line from a to c, mm, across the line."""
    share = (b[0] - a[0]) / (c[0] - a[0])
    return dist(b[1:], tuple(p + (q - p) * share for p, q in zip(a[1:], c[1:], strict=True)))


def twist(facets: WallFacets, x: tuple[float, float], z: tuple[float, float]) -> float:
    """Return how far one corner of a facet lies out of the plane through the other three, at most, mm."""
    a, b, c, d = (facets.point(at) for at in ((x[0], z[0]), (x[1], z[0]), (x[1], z[1]), (x[0], z[1])))
    return max(_out_of_plane(*corners) for corners in ((a, b, c, d), (b, c, d, a)))


def _out_of_plane(a: Point3, b: Point3, c: Point3, d: Point3) -> float:
    (ux, uy, uz), (vx, vy, vz), w = (tuple(q - p for p, q in zip(a, corner, strict=True)) for corner in (b, c, d))
    normal = (uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx)
    return abs(sum(n * m for n, m in zip(normal, w, strict=True))) / hypot(*normal)
