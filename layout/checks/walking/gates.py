"""What stays free of a door: its widest stretch behind the opening, how high that is, and what is left above things."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import shapely

from layout.checks.bodies import Bodies
from layout.checks.walking.doorways import Span, along, area, begins, clipped, opened, widest_stretch, zone
from layout.checks.walking.site import Named, Site, fixed_within
from layout.model.rule import Rule
from layout.model.solid import Solid
from layout.space.parts import Door
from layout.space.space import TOUCH, Space

_THIRD = 1 / 3  # of a low opening that is at most stepped over, or ducked under
Stop = tuple[str, Span, Span]


@dataclass(frozen=True, kw_only=True, slots=True)
class Gate:
    """A door as measured in the empty room: the step in behind it, and what of it no thing leaves free anyway.

    A body needs it free between the heights `walked`; `walls` are the stretches along it that walls and ends take at
    those, `fixed` the fixed obstacles; `top` is that of the opening, or the roof where that is lower.
    """

    space: Space
    door: Door
    zone: Solid
    walked: Span
    walls: tuple[Span, ...]
    fixed: tuple[Stop, ...]
    top: float

    @property
    def whole(self) -> Span:
        """Return from where to where it reaches along its wall."""
        return self.door.low, self.door.high


@dataclass(frozen=True, kw_only=True, slots=True)
class Above:
    """What stays free of an opening above a thing, mm."""

    name: str
    width: float
    height: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Opening:
    """What stays free of a door in a state: its widest stretch, how high that is, what narrows it; mm."""

    gate: Gate
    width: float
    height: float
    blockers: tuple[str, ...]
    over: Above | None

    @property
    def door(self) -> Door:
        """Return the door."""
        return self.gate.door


def gates(space: Space, rule: Rule) -> tuple[Gate, ...]:
    """Return the doors as measured in the empty room, with all of them open."""
    room = opened(space)
    bare = room.with_obstacles(())
    return tuple(_gate(room, bare, door, rule) for door in space.doors)


def _gate(space: Space, bare: Space, door: Door, rule: Rule) -> Gate:
    walked, bounds = _walked(door, rule), space.bounds
    room, span = bare.common_room(*walked), (door.low, door.high)
    seen = clipped(span, along(door.side, room.bounds)) if not room.is_empty else span
    first = begins(bare, door, seen, walked, rule["lean"])
    missing = area(door.side, bounds, span, (first, first + rule["depth"])).difference(room)
    volume = zone(door, bounds, span, (0.0, first + rule["depth"]), (door.sill, door.top))
    fixed = fixed_within(space, volume)
    x0, _, x1, _ = volume.bounds
    roof = min(space.roof_at(x) for x in (x0, x1, *(x for x, _ in space.roof if x0 < x < x1)))
    return Gate(
        space=space, door=door, zone=volume, walked=walked, fixed=tuple(_stops(door, fixed)), top=min(door.top, roof),
        walls=tuple(along(door.side, part.bounds) for part in shapely.get_parts(missing) if part.area > TOUCH),
    )  # fmt: skip


def _walked(door: Door, rule: Rule) -> Span:
    """Return the heights of an opening that a body needs free: not what is stepped over, or ducked under."""
    third = (door.top - door.sill) * _THIRD
    return door.sill + min(rule["step_over"], third), door.top - min(rule["duck"], third)


def _stops(door: Door, found: Iterable[Named]) -> Iterable[Stop]:
    return ((name, along(door.side, solid.bounds), (solid.z0, solid.z1)) for name, solid in found)


def opening(gate: Gate, bodies: Bodies) -> Opening:
    """Return what stays free of the door with those bodies in place."""
    things = list(_stops(gate.door, Site(space=gate.space, bodies=bodies).within(gate.zone)))
    stops = [*gate.fixed, *things]
    low, high = widest_stretch(gate.whole, [*gate.walls, *_taken(stops, gate.walked)])
    return Opening(
        gate=gate, width=high - low, height=_height(gate, stops, (low, high)), over=_above(gate, things, stops),
        blockers=tuple(dict.fromkeys(name for name, _, z in things if _meet(z, gate.walked))),
    )  # fmt: skip


def _taken(stops: Iterable[Stop], z: Span) -> list[Span]:
    return [span for _, span, heights in stops if _meet(heights, z)]


def _meet(a: Span, b: Span) -> bool:
    return min(a[1], b[1]) - max(a[0], b[0]) > TOUCH


def _height(gate: Gate, stops: Iterable[Stop], stretch: Span) -> float:
    """Return how high a stretch is that is free where one walks: from what is stepped over to what one ducks under."""
    here = [z for _, span, z in stops if _meet(span, stretch)]
    low = max((z1 for _, z1 in here if z1 <= gate.walked[0] + TOUCH), default=gate.door.sill)
    high = min((z0 for z0, _ in here if z0 >= gate.walked[1] - TOUCH), default=gate.top)
    return max(min(high, gate.top) - max(low, gate.door.sill), 0.0)


def _above(gate: Gate, things: Sequence[Stop], stops: Sequence[Stop]) -> Above | None:
    """Return the largest opening above a thing that reaches down to that, up to the top of the door."""
    found = []
    for name, _, (_, foot) in sorted(things, key=lambda stop: (stop[2][1], stop[0])):
        low, high = widest_stretch(gate.whole, [*gate.walls, *_taken(stops, (foot, gate.top))])
        if foot < gate.top - TOUCH and high - low > TOUCH:
            found.append(Above(name=name, width=high - low, height=gate.top - foot))
    return max(found, key=lambda one: one.width * one.height, default=None)
