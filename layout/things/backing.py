"""Battens behind a board across the room: on the floor, under the ceiling, over its joints, on the walls."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from layout.model.building import Bar, Batten
from layout.model.solid import box
from layout.things.base import Span
from layout.things.follow import Room, clear_spans, wall_line

FOOT, HEAD, JOINT, CLEAT = "foot batten", "head batten", "joint batten", "wall cleat"
_NEAR = 1.0  # mm off the gap to the wall at which a cleat still lies on that wall


@dataclass(frozen=True, kw_only=True, slots=True)
class Backing:
    """Where battens may lie: `region` across the room (y, z), behind the board and clear of its hatch.

    They fill `x` along the room; `cleat` is the length of a cleat, and the shortest batten, mm.
    """

    region: BaseGeometry
    x: Span
    bar: Bar
    cleat: float

    def battens(self, room: Room, edges: Sequence[float], ends: tuple[bool, bool]) -> tuple[Batten, ...]:
        """Return the battens, over joints at `edges`; `ends` tells whether there are any on the floor, the ceiling."""
        found: list[Batten] = []
        for stage in (self._levels(ends), self._joints(edges, found), self._cleats(room, found)):
            found += stage
        return tuple(found)

    @property
    def face(self) -> float:
        """Return how broad a batten lies on the board, mm."""
        return self.bar.section[1]

    def _levels(self, ends: tuple[bool, bool]) -> Iterator[Batten]:
        if self.region.is_empty:
            return
        _, low, _, high = self.region.bounds
        for name, there, z in ((FOOT, ends[0], (low, low + self.face)), (HEAD, ends[1], (high - self.face, high))):
            for y in clear_spans(self.region, z, least=self.cleat) if there else ():
                yield self._batten(name, y, z)

    def _joints(self, edges: Sequence[float], found: Sequence[Batten]) -> Iterator[Batten]:
        free = self._free(found)
        for at in edges:
            y = (at - self.face / 2, at + self.face / 2)
            for z in clear_spans(free, y, least=self.cleat, upright=True):
                yield self._batten(JOINT, y, z)

    def _cleats(self, room: Room, found: Sequence[Batten]) -> Iterator[Batten]:
        """Yield a cleat in the middle of each stretch of wall between two bends that is long enough for one."""
        free = self._free(found)
        if free.is_empty:
            return
        _, low, _, high = free.bounds
        for left in (False, True):
            for (z0, _), (z1, _) in pairwise(wall_line(room.space, self.x, (low, high), left=left)):
                if z1 - z0 >= self.cleat:
                    yield from self._cleat(room, free, ((z0 + z1 - self.cleat) / 2, (z0 + z1 + self.cleat) / 2), left)

    def _cleat(self, room: Room, free: BaseGeometry, z: Span, left: bool) -> Iterator[Batten]:
        wall = min(half for _, half in wall_line(room.space, self.x, z, left=left)) - room.gap
        spans = clear_spans(free, z, least=self.face)
        ends = [s[1] for s in spans[-1:]] if left else [-s[0] for s in spans[:1]]
        for end in ends:
            if wall - end <= _NEAR:
                yield self._batten(CLEAT, (end - self.face, end) if left else (-end, self.face - end), z)

    def _free(self, found: Sequence[Batten]) -> BaseGeometry:
        return self.region.difference(shapely.union_all([across(batten) for batten in found]))

    def _batten(self, name: str, y: Span, z: Span) -> Batten:
        long = max(y[1] - y[0], z[1] - z[0])
        return Batten(name=name, bar=self.bar, solid=box(name, self.x, y, z), length=long)


def across(batten: Batten) -> Polygon:
    """Return what a batten covers across the room (y, z), mm."""
    _, y0, _, y1 = batten.solid.bounds
    return shapely.box(y0, batten.solid.z0, y1, batten.solid.z1)
