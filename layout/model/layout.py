"""A layout: where every thing stands, in every state."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from layout.model.motion import Clear, Motion
from layout.model.person import Person
from layout.model.solid import Solid
from layout.model.spot import Spot
from layout.model.thing import Thing


@dataclass(frozen=True, kw_only=True, slots=True)
class Placed:
    """A thing where it stands in one state: its solids in the axes of the space, mm."""

    thing: Thing
    solids: tuple[Solid, ...]
    box: Solid
    turn_deg: float = 0.0

    @property
    def name(self) -> str:
        """Return the thing's name."""
        return self.thing.name

    @property
    def at(self) -> tuple[float, float, float]:
        """Return where the thing's own origin stands, mm: its first solid, before and after placing, tells."""
        before, after = self.thing.solids[0].turned(self.turn_deg), self.solids[0]
        (bx, by), (ax, ay) = before.outline[0], after.outline[0]
        return ax - bx, ay - by, after.z0 - before.z0

    def stood(self, solid: Solid) -> Solid:
        """Return a solid of the thing's own axes in those of the space."""
        return solid.turned(self.turn_deg).moved(*self.at)

    @property
    def motions(self) -> tuple[Motion, ...]:
        """Return the parts that move, where they stand."""
        return tuple(
            replace(
                motion,
                swept=tuple(self.stood(solid) for solid in motion.swept),
                person=motion.person and self.stood(motion.person),
            )
            for motion in self.thing.motions
        )

    @property
    def clears(self) -> tuple[Clear, ...]:
        """Return the room to keep free round the thing, where it stands."""
        return tuple(replace(clear, solid=self.stood(clear.solid)) for clear in self.thing.clears)


@dataclass(frozen=True, kw_only=True, slots=True)
class Layout:
    """All things in all states; `placed` maps a state to what stands inside in it, in the file's order.

    `outside` maps a state to the names that are out of the space in it; `unplaced` are the things that
    have no position yet.
    """

    things: tuple[Thing, ...]
    people: tuple[Person, ...]
    placed: Mapping[str, tuple[Placed, ...]]
    outside: Mapping[str, tuple[str, ...]]
    unplaced: tuple[str, ...] = ()
    spots: tuple[Spot, ...] = ()
