"""Where a bicycle is free: the open room with nothing in it, less what the things that stand there take of it.

A bicycle is followed past ever other sets of the same things, so what one thing takes is worked out once, and so are
the places that are left at heights and past things that make no difference.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from layout.checks.bicycle_stood import Flags, Stood, stood
from layout.checks.bicycle_taken import Taken, joined, taken_by
from layout.model.solid import Solid
from layout.space.carry_room import Clear, OpenRoom, Outline, opened
from layout.space.space import Space

_FAR = 1e6

#: An outline about the bicycle's middle between two heights, mm.
Body = tuple[Outline, float, float]


@dataclass(frozen=True, kw_only=True)
class EmptyRoom(OpenRoom):
    """The room with open doors and nothing in it; between heights at which it is alike it gives the same answer."""

    _alike: dict[bytes, tuple[float, float]] = field(default_factory=dict, init=False, repr=False, compare=False)

    def clear(self, z0: float, z1: float) -> Clear:
        """Return what is free for a body from `z0` to `z1` mm."""
        key = (round(z0, 3), round(z1, 3))
        if key not in self._clear:
            free = shapely.union_all([self.space.common_room(*key), *self._ways_out(*key)])
            alike = self._alike.setdefault(shapely.to_wkb(free), key)
            self._clear[key] = super().clear(*alike)
        return self._clear[key]

    @cached_property
    def plan(self) -> Polygon:
        """Return the plan of the room and its walls: what reaches beyond them is in nobody's way."""
        x0, y0, _, y1 = self.space.bounds
        out = self._thickness
        return shapely.box(x0 - out, y0 - out, _FAR, y1 + out)


def empty_room(space: Space, frame: float) -> EmptyRoom:
    """Return the room of `space` with all its doors open, in walls and frames `frame` mm thick."""
    room = opened(space, space.doors, frame)
    return EmptyRoom(space=room.space, doors=room.doors, frame=frame)


@dataclass(frozen=True, kw_only=True)
class Places:
    """The places of outlines in `room` past things of known `solids`; names tell the things apart."""

    room: EmptyRoom
    _stood: dict[str, Stood] = field(default_factory=dict, init=False, repr=False)
    _levels: dict[tuple[str, float, float], Flags | None] = field(default_factory=dict, init=False, repr=False)
    _taken: dict[tuple[str, bytes], Taken] = field(default_factory=dict, init=False, repr=False)
    _left: dict[object, BaseGeometry] = field(default_factory=dict, init=False, repr=False)

    def add(self, name: str, solids: Sequence[Solid]) -> None:
        """Tell the solids of a thing, unless they are known."""
        if name not in self._stood:
            self._stood[name] = stood(solids, self.room.plan)

    def tops(self, names: Sequence[str]) -> tuple[float, ...]:
        """Return the heights at which the solids of things end, below the highest roof, mm."""
        tops = {float(round(z, 3)) for name in names for z in self._stood[name].high if z < self.room.space.height}
        return tuple(sorted(tops))

    def free(self, bodies: Sequence[Body], things: Sequence[Sequence[str]]) -> BaseGeometry:
        """Return where the origin of all `bodies` can be with each of them in the room and clear of all `things`.

        The things come in groups, those first that are there most often: what is left past the first groups is kept.
        """
        free, key = self._alone(bodies)
        for group in things:
            free, key = self._less(free, key, bodies, group)
        return free

    def _alone(self, bodies: Sequence[Body]) -> tuple[BaseGeometry, object]:
        """Return the places in the room with nothing in it, and by what they are known."""
        clears = [(self.room.clear(z0, z1), outline) for outline, z0, z1 in bodies]
        key: object = tuple((id(clear), outline.tobytes()) for clear, outline in clears)
        if key not in self._left:
            self._left[key] = shapely.intersection_all([clear.places(outline) for clear, outline in clears])
        return self._left[key], key

    def _less(
        self, free: BaseGeometry, key: object, bodies: Sequence[Body], things: Sequence[str]
    ) -> tuple[BaseGeometry, object]:
        """Return the places `free`, known by `key`, less those that `things` take, and by what these are known."""
        levels = [
            (name, outline, level)
            for name in things
            for outline, z0, z1 in bodies
            if (level := self._level(name, z0, z1)) is not None
        ]
        if not levels:
            return free, key
        more = (key, tuple((name, outline.tobytes(), level.tobytes()) for name, outline, level in levels))
        if more not in self._left:
            self._left[more] = joined([self._take(name, outline).of(level) for name, outline, level in levels]).off(
                free
            )
        return self._left[more], more

    def _level(self, name: str, z0: float, z1: float) -> Flags | None:
        """Return which outlines of a thing are in the way between two heights, None for none."""
        key = (name, round(z0, 3), round(z1, 3))
        if key not in self._levels:
            level = self._stood[name].between(z0, z1)
            self._levels[key] = level if level.any() else None
        return self._levels[key]

    def _take(self, name: str, outline: Outline) -> Taken:
        key = (name, outline.tobytes())
        if key not in self._taken:
            self._taken[key] = taken_by(self._stood[name], outline)
        return self._taken[key]
