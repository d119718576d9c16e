"""The search for a way: from a unit's place out of the empty room by moves that are shown to be free.

The unit has a tilt (none in a pose), its foot is at a height, and it lies at an angle in plan. For each such
setting the places of its middle that are free are found exactly, as areas (`Clear.places`); within one area it may be
moved about. From one area to another lead

- a turn in plan by one step: free where the hull of all that the unit sweeps is;
- a lift to the next height: free where the unit is, stretched over both heights;
- one step of a tip: free where the box is that holds the unit meanwhile (`tilted`).

These three ask for a little more than is needed, and few heights are tried: so a way that is found is a way, and
one that wants the last millimetres in a turn or tip may not be found. What needs neither turn, lift nor tip is
exact. The unit is level but for the tip itself, so that what is only got aslant through an opening is not found.
A unit of several pieces is those while it lies as at its place; turned or tipped, it is the box round it.
It is followed from its place outward: what can be carried out that way comes in by it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from heapq import heappop, heappush
from itertools import count
from math import ceil, cos, radians, sin

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from layout.space.carry_body import Piece, Unit, block
from layout.space.carry_pose import TIP_STEPS, TIPS, Pose, Tilt, tilted, tip_height
from layout.space.carry_room import OpenRoom, Outline
from layout.space.space import TOUCH

_SAME = 1e-5
_ROUND = 45.0  # degrees: at every so many a lift or a tip is tried

#: A tilt, the number of the foot's height and of the angle.
Setting = tuple[Tilt, int, int]
#: A setting and the number of one of its areas.
Node = tuple[Setting, int]
#: An outline about the unit's middle between two heights.
Body = tuple[Outline, float, float]


@dataclass(frozen=True, kw_only=True)
class Search:
    """One search, in turns of `step` degrees: the areas met so far, and what joins them."""

    room: OpenRoom
    unit: Unit
    step: float
    _areas: dict[Setting, tuple[BaseGeometry, ...]] = field(default_factory=dict)
    _joints: dict[tuple[Setting, Setting], tuple[tuple[int, int], ...]] = field(default_factory=dict)
    _angles: list[float] = field(default_factory=list)
    _feet: list[float] = field(default_factory=list)

    def __post_init__(self) -> None:
        """List the angles and the heights of the foot that are tried."""
        self._angles.extend(self._all_angles())
        obstacles = [o.z1 for o in self.room.space.obstacles if o.z1 < self.room.space.height]
        feet = {0.0, self.unit.at[2], *obstacles, *(door.sill for door in self.room.doors)}
        self._feet.extend(sorted({round(z, 3) for z in feet}))

    @property
    def _period(self) -> float:
        """Return the turn after which the unit is as before: half a turn for a box."""
        return 180.0 if self.unit.is_box else 360.0

    def _all_angles(self) -> list[float]:
        """Return the angles that are tried, degrees; with each the one a right angle on, as a tip may want it."""
        first = [*(i * self.step for i in range(ceil(90.0 / self.step))), self.unit.turn_deg]
        return sorted({round(a + q, 6) % self._period for a in first for q in (0.0, 90.0, 180.0, 270.0)})

    def start(self) -> Node | None:
        """Return where the unit stands at its place; None if it is not free there."""
        x, y, z = self.unit.at
        setting = (_settled("upright"), self._feet.index(round(z, 3)), self._nearest(self.unit.turn_deg))
        area = self._area_at(setting, shapely.Point(x, y), slack=2 * TOUCH)
        return None if area is None else (setting, area)

    def found(self) -> bool:
        """Return whether the yard is reached; settings that pass an opening straight are looked at first."""
        node, order = self.start(), count()
        if node is None:
            return False
        seen, heap = {node}, [(0.0, next(order), node)]
        while heap:
            node = heappop(heap)[2]
            if self.room.is_outside(self._areas[node[0]][node[1]]):
                return True
            for after in self._neighbours(node):
                if after not in seen:
                    seen.add(after)
                    heappush(heap, (self._effort(after[0]), next(order), after))
        return False

    def _effort(self, setting: Setting) -> float:
        """Return how far the setting is from one in which an opening is passed straight."""
        off = min(self._angles[setting[2]] % 90.0, -self._angles[setting[2]] % 90.0)
        foot, pieces = self._feet[setting[1]], self._pieces(setting)
        passes = self.room.passed_by(foot + pieces[0].z[0], foot + pieces[-1].z[1])
        return off if passes else off + self._period

    def _neighbours(self, node: Node) -> Iterator[Node]:
        setting, area = node
        for after in self._next_settings(setting):
            yield from ((after, there) for here, there in self._joined(setting, after) if here == area)

    def _next_settings(self, setting: Setting) -> Iterator[Setting]:
        tilt, foot, angle = setting
        if tilt[0] == tilt[1]:
            yield from ((tilt, foot, (angle + by) % len(self._angles)) for by in (1, -1))
            if min(self._angles[angle] % _ROUND, (self._angles[angle] - self.unit.turn_deg) % 90.0) < _SAME:
                yield from ((tilt, i, angle) for i in (foot - 1, foot + 1) if 0 <= i < len(self._feet))
                yield from self._first_tilts(setting)
        else:
            yield from (self._on_the_way(tilt, step, foot, angle) for step in (tilt[2] - 1, tilt[2] + 1))

    def _first_tilts(self, setting: Setting) -> Iterator[Setting]:
        (pose, _, _), foot, angle = setting
        for tip in self._free_tips(self._feet[foot]):
            if pose == tip[0]:
                yield (*tip, 1), foot, angle
            elif pose == tip[1]:
                yield (*tip, TIP_STEPS - 1), foot, self._nearest(self._angles[angle] - _turn_of(tip))

    def _free_tips(self, foot: float) -> Iterator[tuple[Pose, Pose]]:
        """Yield the tips that the highest roof leaves room for, with the foot at that height."""
        # Of a unit that is no box, the end that is up after two tips is not kept account of.
        for tip in TIPS if self.unit.is_box else TIPS[:2]:
            if foot + tip_height(self.unit.sizes, tip) <= self.room.space.height + 2 * TOUCH:
                yield tip

    def _on_the_way(self, tilt: Tilt, step: int, foot: int, angle: int) -> Setting:
        """Return the setting at that step of a tip: at its ends the pose, in the pose's own axes."""
        tip = (tilt[0], tilt[1])
        if step == TIP_STEPS:
            return _settled(tip[1]), foot, self._nearest(self._angles[angle] + _turn_of(tip))
        return (_settled(tip[0]) if step == 0 else (*tip, step)), foot, angle

    def _nearest(self, angle: float) -> int:
        offs = [abs(self._gap(angle, own)) for own in self._angles]
        return offs.index(min(offs))

    def _gap(self, a: float, b: float) -> float:
        """Return the shortest turn from angle `a` to one that is as good as `b`, degrees."""
        return (b - a + self._period / 2) % self._period - self._period / 2

    def _joined(self, a: Setting, b: Setting) -> tuple[tuple[int, int], ...]:
        """Return which area of setting `a` leads to which of `b`."""
        if (b, a) in self._joints:
            return tuple((there, here) for here, there in self._joints[b, a])
        if (a, b) not in self._joints:
            points = [part.representative_point() for part in self._free(self._between(a, b))]
            pairs = [(self._area_at(a, point), self._area_at(b, point)) for point in points]
            self._joints[a, b] = tuple(dict.fromkeys((i, j) for i, j in pairs if i is not None and j is not None))
        return self._joints[a, b]

    def _between(self, a: Setting, b: Setting) -> Sequence[Body]:
        """Return a body that holds the unit on its move from `a` to `b`."""
        angle, foot = self._angles[a[2]], self._feet[a[1]]
        if a[0] != b[0]:
            return self._tipping(a, b)
        if a[1] != b[1]:
            low, high = sorted((foot, self._feet[b[1]]))
            return [(_turned(p.outline(), angle), low + p.z[0], high + p.z[1]) for p in self._pieces(a)]
        box = self._box(a[0])
        return [(_swept(box.outline(), angle, self._gap(angle, self._angles[b[2]])), foot, foot + box.z[1])]

    def _tipping(self, a: Setting, b: Setting) -> Sequence[Body]:
        tilt, angle = next((s[0], s[2]) for s in (a, b) if s[0][0] != s[0][1])
        tip = (tilt[0], tilt[1])
        first, last = sorted(_step_of(s[0], tip) for s in (a, b))
        return self._bodies((block(tilted(self.unit.sizes, tip, first, last)),), angle, a[1])

    def _pieces(self, setting: Setting) -> tuple[Piece, ...]:
        as_placed = setting[0][:2] == ("upright", "upright") and setting[2] == self._nearest(self.unit.turn_deg)
        return self.unit.pieces if as_placed else (self._box(setting[0]),)

    def _box(self, tilt: Tilt) -> Piece:
        tip = next(tip for tip in TIPS if tilt[0] in tip and tilt[1] in tip)
        step = _step_of(tilt, tip)
        return block(tilted(self.unit.sizes, tip, step, step))

    def _bodies(self, pieces: Sequence[Piece], angle: int, foot: int) -> Sequence[Body]:
        z = self._feet[foot]
        return [(_turned(p.outline(), self._angles[angle]), z + p.z[0], z + p.z[1]) for p in pieces]

    def _area_at(self, setting: Setting, point: shapely.Point, slack: float = _SAME) -> int | None:
        if setting not in self._areas:
            self._areas[setting] = self._free(self._bodies(self._pieces(setting), setting[2], setting[1]))
        near = [i for i, area in enumerate(self._areas[setting]) if shapely.dwithin(area, point, slack)]
        return near[0] if near else None

    def _free(self, bodies: Sequence[Body]) -> tuple[BaseGeometry, ...]:
        places = [self.room.clear(z0, z1).places(outline) for outline, z0, z1 in bodies]
        free = places[0] if len(places) == 1 else shapely.intersection_all(places)
        return tuple(part for part in shapely.get_parts(free) if part.area > 0)


def _settled(pose: Pose) -> Tilt:
    return (pose, pose, 0)


def _step_of(tilt: Tilt, tip: tuple[Pose, Pose]) -> int:
    """Return the step of the tip at which the tilt is."""
    if tilt[0] != tilt[1]:
        return tilt[2]
    return 0 if tilt[0] == tip[0] else TIP_STEPS


def _turn_of(tip: tuple[Pose, Pose]) -> float:
    """Return by how much the axes of the tip's last pose are turned from those of its first, degrees."""
    return 90.0 if "upright" not in tip else 0.0


def _turned(outline: Outline, angle_deg: float) -> Outline:
    c, s = cos(radians(angle_deg)), sin(radians(angle_deg))
    return np.asarray(outline @ np.array([[c, s], [-s, c]]), dtype=np.float64)


def _swept(outline: Outline, angle_deg: float, gap_deg: float) -> Outline:
    """Return the corners of a hull that holds the outline while it turns about the origin by `gap_deg`.

    Each corner runs along an arc, which lies in the triangle of its ends and the point where the tangents there meet.
    """
    ends = [_turned(outline, angle_deg), _turned(outline, angle_deg + gap_deg)]
    beyond = _turned(outline, angle_deg + gap_deg / 2) / cos(radians(gap_deg / 2))
    return np.concatenate([*ends, beyond])
