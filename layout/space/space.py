"""The room: a polygon at any height, exact where the measurements are joined by straight lines.

The edges of the floor that are the feet of the two walls lean with them; all others, the ends, cut corners
and notches, stand upright. Between two stations a wall is the straight-line blend of their profiles, so at a
fixed place its distance from the centreline is a broken line of the height. An upright solid is therefore inside
over its whole height exactly when its outline is inside at its two ends and at every bend between them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import reduce
from itertools import pairwise
from math import copysign

import shapely
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from layout.model.motion import Motion
from layout.model.roof_top import RoofTop
from layout.model.solid import Point, Solid
from layout.model.survey import Surveyed
from layout.space.holding import are_inside
from layout.space.parts import Door, Hole, Obstacle, Ribs, TieDown, WayOut
from layout.space.walls import Pairs, Wall, interpolate

TOUCH = 0.01
_FAR = 100_000.0
_HAIR = 1e-4
_ON_WALL = 0.05
_MOST_HELD = 20_000  # answers kept; a search that asks for ever new places must not fill the memory


@dataclass(frozen=True, kw_only=True)
class Space:
    """A cargo space in its own axes: x forward, y left, z up from the finished floor, mm.

    `outline` is the floor inside the lining, corners in order; `left` and `right` the walls; `roof` pairs of
    x and height; `front` and `rear` pairs of height and x where the ends lean in (empty: upright). `motions` are
    parts of the vehicle that come into the room, such as a seat's back; `rake_deg` how far the floor falls toward the
    front when parked, degrees: nothing here depends on it, since all heights are square to the floor. The
    build-ups are what floor and ceiling have already taken off the bare height, mm. `survey` is what a tape measured
    on the bare floor, adjusted, if it did; `roof_top` the roof from above, if the file tells of it.
    """

    outline: tuple[Point, ...]
    left: Wall
    right: Wall
    roof: Pairs
    front: Pairs = ()
    rear: Pairs = ()
    obstacles: tuple[Obstacle, ...] = ()
    holes: tuple[Hole, ...] = ()
    doors: tuple[Door, ...] = ()
    tie_downs: tuple[TieDown, ...] = ()
    ways_out: tuple[WayOut, ...] = ()
    ribs: Ribs | None = None
    motions: tuple[Motion, ...] = ()
    rake_deg: float = 0.0
    floor_build_up: float = 0.0
    ceiling_build_up: float = 0.0
    wall_build_up: float = 0.0
    survey: Surveyed | None = None
    roof_top: RoofTop | None = None
    # Rooms already worked out, by height; derived from the rest, so no part of what the space is.
    _shells: dict[float, BaseGeometry] = field(default_factory=dict, init=False, repr=False, compare=False)
    _regions: dict[float, BaseGeometry] = field(default_factory=dict, init=False, repr=False, compare=False)
    _plans: dict[str, BaseGeometry] = field(default_factory=dict, init=False, repr=False, compare=False)
    _commons: dict[tuple[float, float], BaseGeometry] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )
    _held: dict[Solid, bool] = field(default_factory=dict, init=False, repr=False, compare=False)
    _bounds: list[tuple[float, float, float, float]] = field(
        default_factory=list, init=False, repr=False, compare=False
    )
    _without: dict[tuple[Obstacle, ...], Space] = field(default_factory=dict, init=False, repr=False, compare=False)

    @property
    def upright(self) -> BaseGeometry:
        """Return what bounds the room alike at every height: ends, cut and rounded corners, notches."""
        if "upright" not in self._plans:
            self._plans["upright"] = _upright(self)
        return self._plans["upright"]

    @property
    def length(self) -> float:
        """Return the length of the floor between its ends, mm."""
        x0, _, x1, _ = self.shell(0.0).bounds
        return float(x1 - x0)

    @property
    def height(self) -> float:
        """Return the height under the highest place of the roof, mm."""
        return max(z for _, z in self.roof)

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Return x0, y0, x1, y1 of the room at its widest, mm."""
        if not self._bounds:
            boxes = [self.shell(z).bounds for z in self.bends(0.0, self.height) if not self.shell(z).is_empty]
            x0, y0, x1, y1 = zip(*boxes, strict=True)
            self._bounds.append((min(x0), min(y0), max(x1), max(y1)))
        return self._bounds[0]

    def with_obstacles(self, kept: tuple[Obstacle, ...]) -> Space:
        """Return the space with only those obstacles: the same one whenever it is asked for, with what it knows."""
        if kept == self.obstacles:
            return self
        if kept not in self._without:
            self._without[kept] = replace(self, obstacles=kept)
        return self._without[kept]

    def roof_at(self, x: float) -> float:
        """Return the height of the roof at `x` mm."""
        return interpolate(self.roof, x)

    def half_width(self, x: float, z: float, *, left: bool) -> float:
        """Return the distance in mm from the centreline to the left or right wall at `x`, `z` mm."""
        return (self.left if left else self.right).half_width(x, z)

    def bends(self, z0: float, z1: float) -> tuple[float, ...]:
        """Return `z0`, `z1` and every height between them at which a wall or an end bends, mm, upward."""
        heights = {*self.left.heights, *self.right.heights, *(z for z, _ in self.front + self.rear)}
        return (z0, *sorted(z for z in heights if z0 < z < z1), z1)

    def shell(self, z: float) -> BaseGeometry:
        """Return the room within walls, ends and roof at height `z` mm, obstacles not taken off.

        Below the floor this is the holes that reach so deep; above the roof it is empty.
        """
        key = round(z, 6)
        if key not in self._shells:
            self._shells[key] = _areas(_shell(self, key))
        return self._shells[key]

    def region(self, z: float) -> BaseGeometry:
        """Return the free room at height `z` mm: the shell less the obstacles."""
        key = round(z, 6)
        if key not in self._regions:
            self._regions[key] = _areas(_region(self, key))
        return self._regions[key]

    def clear_width(self, x: float, z: float) -> float:
        """Return the width in mm of the free room on the line across at `x`, `z`: the widest stretch."""
        return _longest(self.region(z), ((x, -_FAR), (x, _FAR)))

    def clear_length(self, y: float, z: float) -> float:
        """Return the length in mm of the free room on the line along at `y`, `z`: the longest stretch."""
        return _longest(self.region(z), ((-_FAR, y), (_FAR, y)))

    @property
    def floor_area(self) -> float:
        """Return the floor that carries, mm²: inside the walls, less what stands on it, less holes."""
        holes = [Polygon(hole.outline) for hole in self.holes]
        return float(self.region(0.0).difference(shapely.union_all(holes)).area)

    @property
    def volume(self) -> float:
        """Return the free room above the floor, mm³: Simpson's rule between bends, exact for flat walls."""
        heights = self._slices()
        return sum(_simpson(self, a, b) for a, b in pairwise(heights))

    def _slices(self) -> list[float]:
        marks = {*self.bends(0.0, self.height), *(z for _, z in self.roof)}
        for o in self.obstacles:
            marks |= {o.z0, o.z1, *(o.z1 - o.top_radius * i / 8 for i in range(9) if o.top_radius)}
        return sorted(z for z in marks if 0 <= z <= self.height)

    def cross_section(self, x: float) -> tuple[Point, ...]:
        """Return the room across at `x` mm, as corners (y, z) in order, obstacles not taken off."""
        roof = self.roof_at(x)
        heights = self.bends(0.0, roof)
        left = [(self.left.half_width(x, z), z) for z in heights]
        right = [(-self.right.half_width(x, z), z) for z in heights]
        return (*right, *reversed(left))

    def long_section(self) -> tuple[Point, ...]:
        """Return the room seen from the side, as corners (x, z) in order: floor, front, roof, rear."""
        xs = [x for x, _ in self.outline]
        x0, x1 = min(xs), max(xs)
        under = [(x0, 0.0), *((x, self.roof_at(x)) for x, _ in self.roof if x0 < x < x1), (x1, 0.0)]
        roof = Polygon([(x0, 0.0), (x1, 0.0), (x1, self.roof_at(x1)), *reversed(under[1:-1]), (x0, self.roof_at(x0))])
        lean = Polygon([*_lean(self.front, x1, self.height), *reversed(_lean(self.rear, x0, self.height))])
        corners = shapely.get_coordinates(roof.intersection(lean).exterior)[:-1]
        return tuple((float(x), float(z)) for x, z in corners)

    def critical_heights(self, z0: float, z1: float) -> tuple[float, ...]:
        """Return the heights whose rooms decide whether a solid from `z0` to `z1` mm is inside.

        The bends, and the foot of each obstacle, where its section is largest. The ends are taken a hair
        inside the span, so that a solid may touch what ends or begins there.
        """
        low, high = z0 + _HAIR, z1 - _HAIR
        feet = {o.z0 + _HAIR for o in self.obstacles if low < o.z0 + _HAIR < high}
        return tuple(sorted({low, high, *self.bends(low, high), *feet}))

    def common_room(self, z0: float, z1: float) -> BaseGeometry:
        """Return where an upright solid from `z0` to `z1` mm may stand: free at each of its heights."""
        key = (round(z0, 6), round(z1, 6))
        if key not in self._commons:
            self._commons[key] = _common(self, *key)
            shapely.prepare(self._commons[key])
        return self._commons[key]

    def holds(self, solid: Solid) -> bool:
        """Return whether the solid is inside over its whole height, to within `TOUCH` mm."""
        known = self._held.get(solid)
        return self.holds_all((solid,))[0] if known is None else known

    def holds_all(self, solids: Sequence[Solid]) -> tuple[bool, ...]:
        """Return of each solid whether it is inside over its whole height, to within `TOUCH` mm."""
        answers = {solid: self._held.get(solid) for solid in solids}
        fresh = [solid for solid, known in answers.items() if known is None]
        if fresh:
            inside = are_inside(self.common_room, fresh, TOUCH)
            answers.update(zip(fresh, (bool(answer) for answer in inside), strict=True))
            if len(self._held) > _MOST_HELD:
                self._held.clear()
            self._held.update((solid, bool(answers[solid])) for solid in fresh)
        return tuple(bool(answers[solid]) for solid in solids)


def _areas(room: BaseGeometry) -> BaseGeometry:
    """Return the areas of a geometry, without the lines and points at which two rooms merely touch."""
    if room.geom_type in ("Polygon", "MultiPolygon"):
        return room
    parts = shapely.get_parts(room)
    return shapely.union_all(parts[shapely.get_dimensions(parts) == 2])  # noqa: PLR2004 (an area has two dimensions)


def _common(space: Space, z0: float, z1: float) -> BaseGeometry:
    """Return the shells common to all heights of a span, less each obstacle in it where it is largest: low down."""
    low, high = z0 + _HAIR, z1 - _HAIR
    room = reduce(
        lambda one, other: _areas(one.intersection(other)),
        [space.shell(z) for z in sorted({low, *space.bends(low, high), high})],
    )
    lowest = [(o, max(low, o.z0 + _HAIR)) for o in space.obstacles if o.z0 + _HAIR < high and o.z1 >= low]
    sections = [Polygon(section) for o, z in lowest if (section := o.section(z))]
    return _areas(room.difference(shapely.union_all(sections))) if sections else room


def _lean(pairs: Pairs, x: float, height: float) -> list[Point]:
    if not pairs:
        return [(x, 0.0), (x, height)]
    return [
        (pairs[0][1], 0.0),
        *((v, z) for z, v in pairs if 0 < z < height),
        (interpolate(pairs, height), height),
    ]


def _simpson(space: Space, a: float, b: float) -> float:
    # Just inside the slice: an obstacle that ends at the slice's edge belongs to one side only.
    inset = min(1e-6, (b - a) / 4)
    ends = space.region(a + inset).area + space.region(b - inset).area
    return float((b - a) / 6 * (ends + 4 * space.region((a + b) / 2).area))


def _longest(room: BaseGeometry, line: tuple[Point, Point]) -> float:
    cut = shapely.LineString(line).intersection(room)
    return float(max((part.length for part in shapely.get_parts(cut)), default=0.0))


def _shell(space: Space, z: float) -> BaseGeometry:
    if z < 0:
        deep = [Polygon(hole.outline) for hole in space.holes if hole.depth >= -z]
        return shapely.union_all(deep) if deep else Polygon()
    room = band(space, z).intersection(space.upright)
    if space.ribs is not None:
        room = room.difference(_between_ribs(space, z))
    if space.front or space.rear:
        room = room.intersection(_between_ends(space, z))
    # Under the lowest place of the roof it takes nothing off.
    return room.intersection(_under_roof(space, z)) if z > min(height for _, height in space.roof) else room


def band(space: Space, z: float) -> Polygon:
    """Return the strip between the two walls at height `z` mm, from the rearmost to the foremost corner."""
    xs = [x for x, _ in space.outline]
    left = _edge(space.left, min(xs), max(xs), z)
    right = [(x, -y) for x, y in _edge(space.right, min(xs), max(xs), z)]
    return Polygon([*right, *reversed(left)])


def _between_ribs(space: Space, z: float) -> BaseGeometry:
    """Return what the ribs take off the room at height `z`: strips along both walls, as they lean."""
    if space.ribs is None:
        return Polygon()
    strips = [
        Polygon([*inner, *((x, sign * _FAR) for x, _ in reversed(inner))])
        for low, high in space.ribs.spans()
        for wall, sign in ((space.left, 1), (space.right, -1))
        for inner in [[(x, sign * (y - space.ribs.depth)) for x, y in _edge(wall, low, high, z)]]
    ]
    return shapely.union_all(strips)


def _edge(wall: Wall, x0: float, x1: float, z: float) -> list[Point]:
    between = [(s.x, interpolate(s.profile, z)) for s in wall.stations if x0 < s.x < x1]
    return [(x0, wall.half_width(x0, z)), *between, (x1, wall.half_width(x1, z))]


def _upright(space: Space) -> BaseGeometry:
    """Return the floor, open outward wherever its edge is the foot of a wall: what bounds the room at every height."""
    corners = space.outline
    open_strips = [
        Polygon([a, b, (b[0], copysign(_FAR, b[1])), (a[0], copysign(_FAR, a[1]))])
        for a, b in pairwise((*corners, corners[0]))
        if _is_foot(space, a, b)
    ]
    return shapely.union_all([Polygon(corners), *open_strips])


def _is_foot(space: Space, a: Point, b: Point) -> bool:
    middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    wall = space.left if middle[1] > 0 else space.right
    level = a[0] != b[0] and a[1] * b[1] > 0
    return level and all(abs(abs(y) - wall.half_width(x, 0.0)) <= _ON_WALL for x, y in _near_ends(a, b, middle))


def _near_ends(a: Point, b: Point, middle: Point) -> tuple[Point, ...]:
    """Return three points of the edge; the outer ones a hair inside it, since a wall may step at a corner."""
    return tuple((p[0] + (middle[0] - p[0]) * 1e-6, p[1] + (middle[1] - p[1]) * 1e-6) for p in (a, middle, b))


def _between_ends(space: Space, z: float) -> Polygon:
    low = interpolate(space.rear, z) if space.rear else -_FAR
    high = interpolate(space.front, z) if space.front else _FAR
    return box(low, -_FAR, max(high, low), _FAR)


def _under_roof(space: Space, z: float) -> BaseGeometry:
    """Return the plan area over which the roof is at least `z` mm high."""
    ends = ((-_FAR, space.roof[0][1]), *space.roof, (_FAR, space.roof[-1][1]))
    strips = [_high_enough(a, b, z) for a, b in pairwise(ends)]
    return shapely.union_all([strip for strip in strips if strip is not None])


def _high_enough(a: Point, b: Point, z: float) -> Polygon | None:
    (x0, z0), (x1, z1) = a, b
    if max(z0, z1) < z or x0 == x1:
        return None
    if z0 < z:
        x0 += (x1 - x0) * (z - z0) / (z1 - z0)
    elif z1 < z:
        x1 -= (x1 - x0) * (z - z1) / (z0 - z1)
    return box(x0, -_FAR, x1, _FAR)


def _region(space: Space, z: float) -> BaseGeometry:
    sections = [o.section(z) for o in space.obstacles]
    solid = [Polygon(s) for s in sections if s]
    room = space.shell(z)
    return room.difference(shapely.union_all(solid)) if solid else room
