"""The empty room with its doors open: what is in the way of a body that is carried in level.

Walls are as thick as the door frames are deep, all round; beyond them everything is free. Between two heights
the room is where a body of that height may be (`Space.common_room`), and an opening is a passage through the
wall for whatever is wholly between its sill and its top. Fixed obstacles stay; a closed door is none, since it
is open. Both are exact for what the space says, to a thousandth of a millimetre; what stands outside is not known.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from layout.space.parts import Door
from layout.space.space import TOUCH, Space
from layout.space.walls import interpolate

#: Corners in order, shape (n, 2), mm.
Outline = npt.NDArray[np.float64]

_OUTSIDE = 100_000.0  # how far the yard goes on: much more than any body or room is long
_ON_LINE = 1e-3
_GRAIN = 1e-3  # mm: a tenth of what a touch is
_SAME_AREA = 1e-3  # mm2
_THINNEST = 1.0  # a wall without thickness would be none
_CLOSED = "closed "  # how the obstacles are called that an open door takes away


@dataclass(frozen=True, kw_only=True, slots=True)
class Clear:
    """What is free between two heights: its convex hull, less what is solid in that.

    `parts` are point sets whose hulls are the convex parts of the solid and the edges of its other parts; `bent` are
    those other parts. `points` has the points of all, shape (n, 2), and `owners` the number of the set of each.
    """

    hull: BaseGeometry
    solid: BaseGeometry
    bent: BaseGeometry
    points: npt.NDArray[np.float64]
    owners: npt.NDArray[np.int64]
    # What was asked already, by outline: many units are alike.
    _places: dict[bytes, BaseGeometry] = field(default_factory=dict, init=False, repr=False, compare=False)

    def places(self, outline: Outline) -> BaseGeometry:
        """Return where the origin of a convex `outline` can be with the outline clear of all that is solid."""
        key = outline.tobytes()
        if key not in self._places:
            self._places[key] = self._found(outline)
        return self._places[key]

    def _found(self, outline: Outline) -> BaseGeometry:
        """Return where the origin of a convex `outline` can be with the outline clear of all that is solid: exact.

        A convex outline is in the convex hull exactly when its corners are: so the origin is in the hull moved back
        by each of them. In there it is barred from the sum (Minkowski's) of the solid and Q, the outline mirrored
        in its origin. For a convex part that is the hull of its corners moved by those of Q. For any other it is
        the part moved by one corner q of Q, and the sum of each edge with Q: for a point s + p, with s solid and p
        in Q, the line from s to s + p - q either ends in the solid, or crosses an edge at s + p - p', where p' is
        in Q since Q is convex. That edge is not on the hull: there the outline, all in the hull, leaves the solid.
        """
        mirrored = -shapely.get_coordinates(shapely.convex_hull(shapely.multipoints(outline)))[:-1]
        inside = shapely.intersection_all([_moved(self.hull, by) for by in mirrored])
        if inside.is_empty or not len(self.points):
            return inside
        corners = (self.points[:, None, :] + mirrored[None]).reshape(-1, 2)
        sums = shapely.convex_hull(shapely.linestrings(corners, indices=np.repeat(self.owners, len(mirrored))))
        near = sums[shapely.intersects(sums, inside)]
        return inside.difference(shapely.union_all([_moved(self.bent, mirrored[0]), *near]))


@dataclass(frozen=True, kw_only=True)
class OpenRoom:
    """A space with nothing loose in it and with `doors` open; its walls and frames are `frame` mm thick."""

    space: Space
    doors: tuple[Door, ...]
    frame: float
    # Worked out already, by heights; derived from the rest.
    _clear: dict[tuple[float, float], Clear] = field(default_factory=dict, repr=False, compare=False)

    def clear(self, z0: float, z1: float) -> Clear:
        """Return what is free for a body from `z0` to `z1` mm: the room, and the yard where a door takes it."""
        key = (round(z0, 3), round(z1, 3))
        if key not in self._clear:
            self._clear[key] = _clear(shapely.union_all([self.space.common_room(*key), *self._ways_out(*key)]))
        return self._clear[key]

    def is_outside(self, places: BaseGeometry) -> bool:
        """Return whether an area of free places reaches the far end of the yard."""
        return float(max(abs(value) for value in places.bounds)) > _OUTSIDE / 2

    def passed_by(self, z0: float, z1: float) -> tuple[Door, ...]:
        """Return the doors whose opening takes a body from `z0` to `z1` mm in height."""
        return tuple(door for door in self.doors if door.sill <= z0 + TOUCH and z1 <= self.top(door) + TOUCH)

    def top(self, door: Door) -> float:
        """Return how high the opening is above the floor, mm: no higher than the roof behind it."""
        if door.side == "rear":
            return min(door.top, self.space.roof_at(self.space.bounds[0]))
        xs = (door.low, door.high, *(x for x, _ in self.space.roof if door.low < x < door.high))
        return min(door.top, *(self.space.roof_at(x) for x in xs))

    def _ways_out(self, z0: float, z1: float) -> Iterator[BaseGeometry]:
        """Yield the passage through the wall and the yard beyond it, for each door that takes the body."""
        sections = [o.section(max(z0, o.z0)) for o in self.space.obstacles if o.z0 < z1 - TOUCH and z0 < o.z1 - TOUCH]
        fixed = shapely.union_all([Polygon(section) for section in sections if section])
        for door in self.passed_by(z0, z1):
            yield self._passage(door).difference(fixed)
            yield self._yard(door)

    def _passage(self, door: Door) -> Polygon:
        """Return the plan of the way through the wall and its ribs, from its innermost place there to the yard."""
        x0, y0, _, y1 = self.space.bounds
        out = self._thickness + TOUCH
        heights = self.space.bends(door.sill, max(self.top(door), door.sill))
        if door.side == "rear":
            inner = max([x0, *(interpolate(self.space.rear, z) for z in heights if self.space.rear)])
            return shapely.box(x0 - out, door.low, inner + TOUCH, door.high)
        left = door.side == "left"
        wall = self.space.left if left else self.space.right
        xs = (door.low, door.high, *(x for x in wall.xs if door.low < x < door.high))
        ribs = self.space.ribs.depth if self.space.ribs else 0.0
        inner = min(wall.half_width(x, z) for x in xs for z in heights) - ribs - TOUCH
        low, high = (inner, y1 + out) if left else (y0 - out, -inner)
        return shapely.box(door.low, low, door.high, high)

    def _yard(self, door: Door) -> Polygon:
        """Return all that is beyond the wall with the door; how one goes round to another is not asked."""
        x0, y0, _, y1 = self.space.bounds
        far, out = _OUTSIDE, self._thickness
        if door.side == "rear":
            return shapely.box(-far, -far, x0 - out, far)
        return shapely.box(-far, y1 + out, far, far) if door.side == "left" else shapely.box(-far, -far, far, y0 - out)

    @property
    def _thickness(self) -> float:
        return max(self.frame, _THINNEST)


def opened(space: Space, doors: Sequence[Door], frame: float) -> OpenRoom:
    """Return the empty room of `space` with `doors` open, in walls and frames `frame` mm thick."""
    fixed = tuple(o for o in space.obstacles if not o.name.startswith(_CLOSED))
    return OpenRoom(space=replace(space, obstacles=fixed), doors=tuple(doors), frame=frame)


def _clear(free: BaseGeometry) -> Clear:
    # Corners nearer to each other than the grain would cross over when the shape is moved.
    free = shapely.set_precision(free, _GRAIN)
    hull = free.convex_hull
    solid = shapely.set_precision(hull.difference(free), _GRAIN)
    bent = [part for part in shapely.get_parts(solid) if part.convex_hull.area - part.area > _SAME_AREA]
    sets = [shapely.get_coordinates(part)[:-1] for part in shapely.get_parts(solid) if part not in bent]
    sets += [edge for part in bent for edge in _edges(part, hull)]
    owners = np.repeat(np.arange(len(sets)), [len(one) for one in sets])
    points = np.concatenate(sets) if sets else np.empty((0, 2))
    return Clear(hull=hull, solid=solid, bent=shapely.union_all(bent), points=points, owners=owners)


def _edges(part: BaseGeometry, hull: BaseGeometry) -> Iterator[Outline]:
    """Yield the two ends of each edge of the part, but for those on the hull's own line."""
    for ring in shapely.get_rings(part):
        for a, b in pairwise(shapely.get_coordinates(ring)):
            if hull.exterior.distance(shapely.Point((a + b) / 2)) > _ON_LINE:
                yield np.stack([a, b])


def _moved(shape: BaseGeometry, by: Outline) -> BaseGeometry:
    return shapely.transform(shape, lambda at: at + by)
