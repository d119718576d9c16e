"""Proof that a search for a bicycle's way will find none, at a small part of its cost.

A bicycle is lifted and rolled as it stands exactly as the search does it. Once it is turned, less is asked than the
search asks: only what of its box is there at every height of the foot must be free, and within a sector of angles only
what of that is there at every angle. Whatever way the search could take is one here too; so where this leads nowhere,
no way is found. Where it leads out nothing is shown.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from math import ceil, cos, radians, sin
from typing import Literal, TypeVar

import numpy as np
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from layout.checks.bicycle_search import Wheeled
from layout.space.carry_body import block
from layout.space.carry_room import Outline
from layout.space.carry_search import Node

_HAIR = 1e-5
_LEAST = 1.0  # mm: of a box of less height than this nothing is asked

Found = TypeVar("Found")
#: The number of a level, that of an angle (even) or of the sector after it (odd), and that of one of its areas.
Turned = tuple[int, int, int]


@dataclass(frozen=True, kw_only=True)
class Relaxed:
    """What a `search` can reach at most, in sectors of at most `sector` degrees.

    With one of `levels` for all heights of the foot, or one for each.
    """

    search: Wheeled
    sector: float
    levels: Literal["one", "each"]
    _areas: dict[tuple[int, int], tuple[BaseGeometry, ...]] = field(default_factory=dict, init=False, repr=False)
    _ways: dict[tuple[int, int], list[tuple[Node, Turned]]] = field(default_factory=dict, init=False, repr=False)

    def leads_nowhere(self) -> bool:
        """Return whether no way out is left: the search will find none then, nor will one in larger steps."""
        start = self.search.start()
        low, high = self._core(0)
        if start is None or high - low < _LEAST:
            return False
        stood: set[Node] = set()
        fresh = [start]
        while fresh:
            more = _reached(fresh, self.search.lifted, self.search.is_out)
            if more is None:
                return False
            turned = _reached(self._first_turned(more), self._turned_on, self._is_out)
            if turned is None:
                return False
            stood |= more
            fresh = [node for node in self._back(turned, start) if node not in stood]
        return True

    @property
    def _count(self) -> int:
        """Return how many sectors half a turn has: turned by that, a box is as before."""
        return ceil(180.0 / self.sector)

    def _core(self, level: int) -> tuple[float, float]:
        """Return between which heights the box is, wherever at the level its foot is, mm."""
        feet, height = self.search.feet, self.search.unit.sizes[2]
        return (feet[-1], feet[0] + height) if self.levels == "one" else (feet[level], feet[level] + height)

    def _first_turned(self, nodes: Iterable[Node]) -> Iterator[Turned]:
        """Yield what is reached by a first turn from nodes as it stands."""
        for node in sorted(nodes):
            yield from (there for by in (1, -1) for here, there in self._turns(node, by) if here == node)

    def _back(self, turned: set[Turned], start: Node) -> Iterator[Node]:
        """Yield the nodes, as it stands, that are reached by a last turn."""
        if not turned:
            return
        tilt, _, angle = start[0]
        for foot in range(len(self.search.feet)):
            for by in (1, -1):
                yield from (here for here, there in self._turns(((tilt, foot, angle), 0), by) if there in turned)

    def _turns(self, node: Node, by: int) -> list[tuple[Node, Turned]]:
        """Return what leads from the nodes of that node's height to the sector on that side, and back."""
        key = (node[0][1], by)
        if key not in self._ways:
            level, number = 0 if self.levels == "one" else key[0], by % (2 * self._count)
            ways = [(here, self._area_at(level, number, point)) for here, point in self.search.turning(node[0], by)]
            self._ways[key] = [(here, (level, number, area)) for here, area in ways if area is not None]
        return self._ways[key]

    def _turned_on(self, node: Turned) -> Iterator[Turned]:
        """Yield the areas of the sectors beside an angle; of the angles at both ends of a sector, and lifts."""
        level, number, area = node
        own = self._at(level, number)[area]
        for there in ((number + 1) % (2 * self._count), (number - 1) % (2 * self._count)):
            if number % 2:
                points = [part.representative_point() for part in self._at(level, there)]
                yield from ((level, there, i) for i, point in enumerate(points) if shapely.dwithin(own, point, _HAIR))
            elif (found := self._area_at(level, there, own.representative_point())) is not None:
                yield level, there, found
        if number % 2 and self.levels == "each":
            yield from self._lifted(level, number, own)

    def _lifted(self, level: int, number: int, own: BaseGeometry) -> Iterator[Turned]:
        for other in (level - 1, level + 1):
            if 0 <= other < len(self.search.feet):
                low, high = sorted((level, other))
                between = self.search.free([(self._outline(number), self._core(low)[0], self._core(high)[1])])
                for point in (part.representative_point() for part in between):
                    area = self._area_at(other, number, point) if shapely.dwithin(own, point, _HAIR) else None
                    if area is not None:
                        yield other, number, area

    def _is_out(self, node: Turned) -> bool:
        return self.search.room.is_outside(self._at(*node[:2])[node[2]])

    def _area_at(self, level: int, number: int, point: shapely.Point) -> int | None:
        near = [i for i, area in enumerate(self._at(level, number)) if shapely.dwithin(area, point, _HAIR)]
        return near[0] if near else None

    def _at(self, level: int, number: int) -> tuple[BaseGeometry, ...]:
        if (level, number) not in self._areas:
            self._areas[level, number] = self.search.free([(self._outline(number), *self._core(level))])
        return self._areas[level, number]

    def _outline(self, number: int) -> Outline:
        """Return the outline of the box at an angle, or what it holds at every angle of a sector."""
        unit, step = self.search.unit, 180.0 / self._count
        own, angle = block(unit.sizes).outline(), unit.turn_deg + number // 2 * step
        return common_outline(own, angle, step) if number % 2 else turned(own, angle)


def common_outline(outline: Outline, angle_deg: float, gap_deg: float) -> Outline:
    """Return corners of a shape inside a convex outline about the origin, however it is turned from an angle by a gap.

    The outline is an intersection of half-planes n(t) p <= w, t the turn. Where that holds at both ends of the gap g,
    p is at most w / cos(g / 2) from the origin in every direction between n's two, so that it holds at every t for
    p cos(g / 2).
    """
    one, other = (Polygon(turned(outline, angle)) for angle in (angle_deg, angle_deg + gap_deg))
    corners = shapely.get_coordinates(one.intersection(other).exterior)[:-1]
    return np.asarray(corners * cos(radians(gap_deg / 2)), dtype=np.float64)


def turned(outline: Outline, angle_deg: float) -> Outline:
    """Return the outline turned about the origin."""
    c, s = cos(radians(angle_deg)), sin(radians(angle_deg))
    return np.asarray(outline @ np.array([[c, s], [-s, c]]), dtype=np.float64)


def _reached(
    first: Iterable[Found], after: Callable[[Found], Iterator[Found]], is_out: Callable[[Found], bool]
) -> set[Found] | None:
    """Return all that is reached from the first nodes and these; None as soon as one of them is out."""
    seen: set[Found] = set()
    left = list(first)
    while left:
        node = left.pop()
        if node in seen:
            continue
        if is_out(node):
            return None
        seen.add(node)
        left.extend(after(node))
    return seen
