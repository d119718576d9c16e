"""A part that moves, where it stands, and the slices of room next to a thing."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import cos, radians, sin

from shapely.geometry import MultiPoint

from layout.model.layout import Placed
from layout.model.motion import Face, Motion
from layout.model.solid import Solid, box

_WAYS: dict[Face, tuple[float, float]] = {"front": (1.0, 0.0), "rear": (-1.0, 0.0), "left": (0.0, 1.0),
                                          "right": (0.0, -1.0)}  # fmt: skip


@dataclass(frozen=True, kw_only=True, slots=True)
class Moving:
    """A part of the thing `placed`, in the thing's own axes, with what rides on it; or of the vehicle (None)."""

    motion: Motion
    placed: Placed | None
    riders: tuple[Placed, ...] = ()

    @property
    def label(self) -> str:
        """Return how people call the part."""
        name = self.motion.name
        return f"the {name} of {self.placed.name}" if self.placed else f"the {name} of the vehicle"

    @property
    def owners(self) -> tuple[str, ...]:
        """Return the names of the thing and of all that goes along with its part."""
        return tuple(p.name for p in (self.placed, *self.riders) if p is not None)

    @property
    def full(self) -> float:
        """Return how far it opens, degrees or mm; 0 where it is all or nothing, or the file does not say."""
        return self.motion.opening.full if self.motion.opening else 0.0

    @property
    def degrees(self) -> bool:
        """Return whether it opens by degrees."""
        return self.motion.opening is not None and self.motion.opening.degrees

    @property
    def swept(self) -> tuple[Solid, ...]:
        """Return all that it sweeps, in the axes of the space."""
        return (*self._stood(self.motion.swept), *self._ridden(self.full))

    def swept_at(self, opening: float) -> tuple[Solid, ...]:
        """Return what it sweeps when it opens only so far; nothing where it is all or nothing and stays shut."""
        if self.motion.opening is None:
            return self.swept
        return (*self._stood(self.motion.opening.swept(opening)), *self._ridden(opening))

    @property
    def left_open(self) -> tuple[Solid, ...]:
        """Return what it fills while it stays open."""
        if self.motion.opening is None:
            return self.swept
        return (*self._stood(self.motion.opening.left_open()), *self._ridden(self.full))

    def person(self, foot: float, head: float, depth: float | None = None) -> Solid | None:
        """Return the room of whoever uses it between two heights, only so deep as told, mm."""
        if self.motion.person is None:
            return None
        room = self.motion.person if depth is None else slice_of(self.motion.person, self.motion.face, depth)
        [stood] = self._stood([room])
        return Solid(name=stood.name, outline=stood.outline, z0=foot, z1=head)

    @property
    def depth(self) -> float:
        """Return how deep the room of whoever uses it is, mm; 0 where nobody is foreseen."""
        return depth_of(self.motion.person, self.motion.face) if self.motion.person else 0.0

    def rehung(self) -> Moving | None:
        """Return the part with its hinge at the opposite edge, None if it has no hinge."""
        other = self.motion.opening.rehung() if self.motion.opening else None
        if other is None:
            return None
        return replace(self, motion=replace(self.motion, opening=other, swept=other.swept(other.full)))

    def _stood(self, solids: Iterable[Solid]) -> tuple[Solid, ...]:
        return tuple(self.placed.stood(solid) if self.placed else solid for solid in solids)

    def _ridden(self, out: float) -> tuple[Solid, ...]:
        """Return what is swept by all that stands on the thing and comes out with it."""
        if not self.riders or self.placed is None:
            return ()
        (x, y), turn = _WAYS[self.motion.face], radians(self.placed.turn_deg)
        shift = ((x * cos(turn) - y * sin(turn)) * out, (x * sin(turn) + y * cos(turn)) * out)
        return tuple(_drawn(solid, shift) for rider in self.riders for solid in rider.solids)


def _drawn(solid: Solid, shift: tuple[float, float]) -> Solid:
    """Return what holds a solid all the way along a shift: exact for outlines without notches."""
    ends = [*solid.outline, *((x + shift[0], y + shift[1]) for x, y in solid.outline)]
    hull = MultiPoint(ends).convex_hull.exterior.coords[:-1]
    return Solid(name=solid.name, outline=tuple((float(x), float(y)) for x, y in hull), z0=solid.z0, z1=solid.z1)


def slice_of(room: Solid, face: Face, depth: float) -> Solid:
    """Return the part of a box before a thing's `face` that lies within `depth` mm of the thing, in its own axes."""
    (x0, y0, x1, y1), z = room.bounds, (room.z0, room.z1)
    spans = {
        "front": ((x0, x0 + depth), (y0, y1), z),
        "rear": ((x1 - depth, x1), (y0, y1), z),
        "left": ((x0, x1), (y0, y0 + depth), z),
        "right": ((x0, x1), (y1 - depth, y1), z),
        "top": ((x0, x1), (y0, y1), (room.z0, room.z0 + depth)),
        "bottom": ((x0, x1), (y0, y1), (room.z1 - depth, room.z1)),
    }
    return box(room.name, *spans[face])


def depth_of(room: Solid, face: Face) -> float:
    """Return how deep a box before a thing's `face` is, away from the thing, mm."""
    x0, y0, x1, y1 = room.bounds
    if face in ("top", "bottom"):
        return room.z1 - room.z0
    return x1 - x0 if face in ("front", "rear") else y1 - y0
