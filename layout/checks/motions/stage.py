"""Everything that moves or is kept free in each state, with the rooms that it moves in: made once for a rule."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from layout.checks.context import Context, meets, shared_box
from layout.checks.motions.moving import Moving
from layout.checks.motions.room import Room
from layout.checks.moves import with_riders
from layout.model.layout import Placed
from layout.model.solid import Solid, outer_box

#: A solid of a thing that is in the way, and whose it is.
Hit = tuple[Placed, Solid]


@dataclass(frozen=True, kw_only=True, slots=True)
class Zone:
    """Room that must be free of all but its `owners`, in `room` if that counts too."""

    owners: tuple[str, ...]
    solids: tuple[Solid, ...]
    around: Solid
    room: Room | None

    def meets(self, solids: Sequence[Solid]) -> bool:
        """Return whether any of `solids` reaches into it."""
        near = [solid for solid in solids if meets([solid], [self.around])]
        return meets(near, self.solids)


class Stage:
    """The moving parts of a layout, state by state."""

    def __init__(self, context: Context) -> None:
        self.context = context
        self._moving: dict[str, tuple[Moving, ...]] = {}
        self._zones: dict[str, tuple[Zone, ...]] = {}

    @cached_property
    def shut(self) -> Room:
        """Return the room with its doors shut."""
        return Room(self.context.space, self._rule("frame"), doors_open=False)

    @cached_property
    def open(self) -> Room:
        """Return the room with its doors open."""
        return Room(self.context.space, self._rule("frame"), doors_open=True)

    def room(self, state: str) -> Room:
        """Return the room as it is when parts are used in the state: on the road the doors are shut."""
        return self.shut if state == "drive" else self.open

    def _rule(self, number: str) -> float:
        return self.context.rules["sweep"][number]

    def moving(self, state: str) -> tuple[Moving, ...]:
        """Return the parts of things that are used in the state, in the order of the file."""
        if state not in self._moving:
            self._moving[state] = tuple(self._parts(self.context.layout.placed[state], state))
        return self._moving[state]

    def vehicle(self, state: str) -> tuple[Moving, ...]:
        """Return the parts of the vehicle that come into the room in the state."""
        return tuple(Moving(motion=m, placed=None) for m in self.context.space.motions if m.used_in(state))

    @staticmethod
    def _parts(things: Sequence[Placed], state: str) -> Iterator[Moving]:
        for placed in things:
            for motion in placed.thing.motions:
                if motion.used_in(state):
                    riders = with_riders(placed, things)[1:] if motion.carries else ()
                    yield Moving(motion=motion, placed=placed, riders=riders)

    def hits(self, state: str, solids: Sequence[Solid], but: Sequence[str]) -> list[Hit]:
        """Return what stands in the way of `solids` in the state, each solid once, without things named in `but`."""
        bodies = self.context.bodies(state)
        found: dict[int, Hit] = {}
        for i, j in bodies.near(solids):
            owner = bodies.things[bodies.owner[j]]
            if j not in found and owner.name not in but and shared_box(solids[i], bodies.solids[j]) is not None:
                found[j] = (owner, bodies.solids[j])
        return [found[j] for j in sorted(found)]

    def person(self, part: Moving, depth: float | None = None) -> Solid | None:
        """Return the room of whoever uses a part, from what is stepped over up to the height that a body takes."""
        return part.person(self._rule("step"), self._rule("body"), depth)

    def zones(self, state: str) -> tuple[Zone, ...]:
        """Return all room that must be free in the state: for parts, for people at them, for air."""
        if state not in self._zones:
            self._zones[state] = tuple(self._all_zones(state))
        return self._zones[state]

    def _all_zones(self, state: str) -> Iterator[Zone]:
        for part in (*self.moving(state), *self.vehicle(state)):
            room = self.room(state) if part.placed else None
            yield _zone(part.owners, part.swept, room)
            person = self.person(part)
            if person is not None:
                yield _zone(part.owners, (person,), room)
        for placed in self.context.layout.placed[state]:
            for clear in placed.clears:
                yield _zone((placed.name,), (clear.solid,), self.shut)


def _zone(owners: tuple[str, ...], solids: tuple[Solid, ...], room: Room | None) -> Zone:
    return Zone(owners=owners, solids=solids, around=outer_box(solids), room=room)
