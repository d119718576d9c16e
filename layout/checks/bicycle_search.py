"""The search for a bicycle's way: it stays upright, and is lifted a little at most."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from heapq import heappop, heappush
from itertools import count

import shapely
from shapely.geometry.base import BaseGeometry

from layout.checks.bicycle_places import Body, Places
from layout.space.carry_search import Node, Search, Setting
from layout.space.space import TOUCH

_LIFTS = 2  # heights that are tried besides what is on the way, up to the highest


@dataclass(frozen=True, kw_only=True)
class Wheeled(Search):
    """A search in which the body stays upright and its foot at most `lift` mm above its place or the floor.

    `things` are the names of what stands in its way, in groups as `Places.free` takes them, and `tops` where they end.
    """

    lift: float
    places: Places
    things: tuple[tuple[str, ...], ...]
    tops: tuple[float, ...]
    _numbers: dict[float, int] = field(default_factory=dict, init=False, repr=False)

    def __post_init__(self) -> None:
        """List the angles and the heights of the foot."""
        Search.__post_init__(self)
        least = min(0.0, self.unit.at[2])
        highest = max(0.0, self.unit.at[2]) + self.lift + TOUCH
        steps = {round(least + self.lift * i / _LIFTS, 3) for i in range(1, _LIFTS + 1)}
        self._feet[:] = sorted(z for z in {*self._feet, *self.tops, *steps} if z <= highest)

    def found(self) -> bool:
        """Return whether the yard is reached."""
        return self.way() is not None

    def way(self) -> tuple[Node, ...] | None:
        """Return the nodes of a way from where it stands to the yard; None if none is found.

        Settings that pass an opening straight are looked at first.
        """
        node, order = self.start(), count()
        if node is None:
            return None
        came, heap = {node: node}, [(0.0, next(order), node)]
        while heap and not self.is_out(node):
            here = heappop(heap)[2]
            for after in self._neighbours(here):
                if after in came:
                    continue
                came[after] = here
                if self.is_out(after):
                    node = after
                    break
                heappush(heap, (self._effort(after[0]), next(order), after))
        return self._back(node, came) if self.is_out(node) else None

    def _back(self, node: Node, came: Mapping[Node, Node]) -> tuple[Node, ...]:
        nodes = [node]
        while came[nodes[-1]] != nodes[-1]:
            nodes.append(came[nodes[-1]])
        return tuple(reversed(nodes))

    def pose(self, node: Node) -> tuple[float, float]:
        """Return the height of the foot, mm, and the angle, degrees, of a node."""
        _, foot, angle = node[0]
        return self._feet[foot], self._angles[angle]

    def area(self, node: Node) -> BaseGeometry:
        """Return the area in which the body's middle can be moved about in a node that was reached."""
        return self._areas[node[0]][node[1]]

    def crossing(self, a: Node, b: Node) -> shapely.Point:
        """Return a place at which node `a` leads to its neighbour `b`."""
        for part in self._inside(self._between(a[0], b[0])):
            point = part.representative_point()
            if (self._area_at(a[0], point), self._area_at(b[0], point)) == (a[1], b[1]):
                return point
        raise ValueError(f"{a} does not lead to {b}")

    def is_out(self, node: Node) -> bool:
        """Return whether the area of a node that was reached is the yard, or leads there as it is."""
        return self.room.is_outside(self._areas[node[0]][node[1]])

    @property
    def feet(self) -> Sequence[float]:
        """Return the heights that the foot is tried at, rising, mm."""
        return self._feet

    def lifted(self, node: Node) -> Iterator[Node]:
        """Yield what is reached from a node by a lift to the next height, or down to the last."""
        (tilt, foot, angle), area = node
        for i in (foot - 1, foot + 1):
            if 0 <= i < len(self._feet):
                after = (tilt, i, angle)
                yield from ((after, there) for here, there in self._joined(node[0], after) if here == area)

    def turning(self, setting: Setting, by: int) -> list[tuple[Node, shapely.Point]]:
        """Return where it can be turned by one step, `by` 1 or -1: nodes of the setting, with a place for each way."""
        tilt, foot, angle = setting
        parts = self._inside(self._between(setting, (tilt, foot, (angle + by) % len(self._angles))))
        points = [part.representative_point() for part in parts]
        return [((setting, area), point) for point in points if (area := self._area_at(setting, point)) is not None]

    def free(self, bodies: Sequence[Body]) -> tuple[BaseGeometry, ...]:
        """Return the areas in which the middle of all `bodies` can be."""
        parts = shapely.get_parts(self.places.free(bodies, self.things))
        return tuple(part for part in parts if part.area > 0)

    def _free(self, bodies: Sequence[Body]) -> tuple[BaseGeometry, ...]:
        return self.free(bodies)

    def _inside(self, bodies: Sequence[Body]) -> list[BaseGeometry]:
        """Return the areas that do not lead out: one that does is the end of the search and leads nowhere else."""
        return [part for part in self._free(bodies) if not self.room.is_outside(part)]

    def _joined(self, a: Setting, b: Setting) -> tuple[tuple[int, int], ...]:
        """Return which area of setting `a` leads to which of `b`."""
        if (b, a) in self._joints:
            return tuple((there, here) for here, there in self._joints[b, a])
        if (a, b) not in self._joints:
            points = [part.representative_point() for part in self._inside(self._between(a, b))]
            pairs = [(self._area_at(a, point), self._area_at(b, point)) for point in points]
            self._joints[a, b] = tuple(dict.fromkeys((i, j) for i, j in pairs if i is not None and j is not None))
        return self._joints[a, b]

    def _first_tilts(self, setting: Setting) -> Iterator[Setting]:
        yield from ()

    def _nearest(self, angle: float) -> int:
        if angle not in self._numbers:
            self._numbers[angle] = Search._nearest(self, angle)
        return self._numbers[angle]
