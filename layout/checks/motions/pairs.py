"""Two parts of a layout that are in each other's way when one stays open."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from layout.checks.context import meets
from layout.checks.motions.moving import Moving
from layout.checks.motions.stage import Stage
from layout.checks.motions.stop import FINEST, first_meeting
from layout.model.solid import Solid, outer_box


@dataclass(frozen=True, kw_only=True, slots=True)
class Trap:
    """While `left` stays open, `part` opens `free` of `full` (`person`: whoever uses it has so much room before it)."""

    left: Moving
    part: Moving
    free: float
    full: float
    person: bool
    where: Solid

    @property
    def share(self) -> float:
        """Return how much of the whole is left."""
        return self.free / self.full if self.full else 0.0


def traps(stage: Stage, state: str) -> Iterator[Trap]:
    """Yield for each two things the pair of parts that leave each other least, parts never open together left out."""
    parts = [part for part in (*stage.moving(state), *stage.vehicle(state)) if not part.motion.alone]
    outer = [_around(stage, part) for part in parts]
    worst: dict[tuple[str, ...], Trap] = {}
    for i, j in combinations(range(len(parts)), 2):
        if (parts[i].placed or parts[j].placed) is None or not meets([outer[i]], [outer[j]]):
            continue
        for trap in _between(stage, parts[i], parts[j]):
            key = (*parts[i].owners[:1], *parts[j].owners[:1])
            if key not in worst or trap.share < worst[key].share:
                worst[key] = trap
    yield from worst.values()


def _around(stage: Stage, part: Moving) -> Solid:
    person = stage.person(part)
    return outer_box((*part.swept, *([person] if person else [])))


def _between(stage: Stage, a: Moving, b: Moving) -> list[Trap]:
    """Return how two parts trap each other.

    In one thing a part behind another is meant so, as a drawer behind a door: there only two that trap each
    other, whichever is opened first, are told.
    """
    same = a.placed is not None and b.placed is not None and a.placed.name == b.placed.name
    if same and (a.motion.after == b.motion.name or b.motion.after == a.motion.name):
        return []
    parts = [trap for trap in (_trapped(a, b), _trapped(b, a)) if trap]
    people = [trap for trap in (_crowded(stage, a, b), _crowded(stage, b, a)) if trap]
    return [*(parts if not same or len(parts) > 1 else []), *people]


def _trapped(left: Moving, part: Moving) -> Trap | None:
    open_leaf = left.left_open
    if not meets(part.swept, open_leaf):
        return None
    free, _ = first_meeting(lambda opening: meets(part.swept_at(opening), open_leaf), part.full, FINEST[part.degrees])
    return Trap(left=left, part=part, free=free, full=part.full, person=False, where=_where(part.swept, open_leaf))


def _crowded(stage: Stage, left: Moving, part: Moving) -> Trap | None:
    """Return how deep the room of whoever uses `part` is while `left` stays open."""
    person, open_leaf = stage.person(part), left.left_open
    if person is None or not meets([person], open_leaf):
        return None

    def stops(depth: float) -> bool:
        room = stage.person(part, depth)
        return room is not None and meets([room], open_leaf)

    free, _ = first_meeting(stops, part.depth, FINEST[False])
    return Trap(left=left, part=part, free=free, full=part.depth, person=True, where=person)


def _where(swept: Sequence[Solid], open_leaf: Sequence[Solid]) -> Solid:
    return next(solid for solid in swept if meets([solid], open_leaf))
