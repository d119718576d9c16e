"""How far a part gets before it meets something, and what that is."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from layout.checks.context import Context, meets
from layout.checks.motions.moving import Moving
from layout.checks.motions.room import Room
from layout.checks.motions.stage import Hit, Stage
from layout.model.solid import Solid
from layout.space.space import TOUCH

#: Degrees, or mm, to which the first meeting is found.
FINEST = {True: 0.02, False: 0.0005}
Shape = Callable[[float], Sequence[Solid]]


@dataclass(frozen=True, kw_only=True, slots=True)
class Stop:
    """A part, or somebody's room, that is stopped at `free` of `full`, degrees or mm, by `things` or the `room`.

    `things` and `room` (a word for what of it, or nothing) are what is met first; `hits` and `blocked` tell all that
    is in the way of the whole. Things may touch, so that `free` is up to `TOUCH` more than the gap.
    """

    free: float
    full: float
    things: tuple[str, ...]
    room: str
    hits: tuple[Hit, ...]
    blocked: bool

    @property
    def gap(self) -> float:
        """Return how far it gets before it touches, mm."""
        return round(max(self.free - TOUCH, 0.0), 2)

    @property
    def short(self) -> float:
        """Return how much is missing of the whole, mm."""
        return round(self.full - self.gap, 2)

    @property
    def who(self) -> str:
        """Return what is met first, in words."""
        return " and ".join([*self.things, *([self.room] if self.room else [])])


def stop_of(stage: Stage, state: str, part: Moving) -> Stop | None:
    """Return what stops a part in the state, and where; None if nothing does."""
    room = stage.room(state) if part.placed else None
    hits = stage.hits(state, part.swept, part.owners)
    return stopped(part.swept_at, (part.full, part.degrees), hits, room)


def stopped(shape: Shape, opens: tuple[float, bool], hits: Sequence[Hit], room: Room | None) -> Stop | None:
    """Return where `shape`, which grows up to its full opening (and whether that is degrees), is stopped.

    `hits` is what stands in the way of the whole. Found by halving, since a shape never shrinks as it opens.
    """
    full, degrees = opens
    blocked = room is not None and room.blocks_any(shape(full))
    if not hits and not blocked:
        return None
    solids = [solid for _, solid in hits]

    def stops(opening: float) -> bool:
        grown = shape(opening)
        return meets(grown, solids) or (blocked and room is not None and room.blocks_any(grown))

    free, first = first_meeting(stops, full, FINEST[degrees])
    things, word = _first(shape(first), hits, room if blocked else None)
    return Stop(free=free, full=full, things=things, room=word, hits=tuple(hits), blocked=blocked)


def first_meeting(stops: Callable[[float], bool], full: float, finest: float) -> tuple[float, float]:
    """Return the last opening at which nothing stops, and the first at which something does, `finest` apart."""
    low, high = 0.0, full
    while high - low > finest:
        middle = (low + high) / 2
        low, high = (low, middle) if stops(middle) else (middle, high)
    return low, high


def _first(solids: Sequence[Solid], hits: Sequence[Hit], room: Room | None) -> tuple[tuple[str, ...], str]:
    things = tuple(dict.fromkeys(placed.name for placed, solid in hits if meets(solids, [solid])))
    named = next((room.named(solid) for solid in solids if room.blocks(solid)), "") if room else ""
    return things, named


def of_full(context: Context, free: float, full: float, *, degrees: bool) -> str:
    """Return how far of how far, in the units of the project: ``310 of 500 mm``, ``62 of 90 degrees``."""
    if degrees:
        return f"{int(free + FINEST[True])} of {full:g} degrees"
    said, whole = context.say(context.down(free)), context.say(full)
    return f"{said.split(' ')[0] if context.grain < 1 else said} of {whole}"
