"""The shortest move of one thing that frees what must be free, tried before anybody is told."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from layout.checks.bodies import bodies_of
from layout.checks.context import Context, shared_box
from layout.checks.door_opening import too_narrow
from layout.checks.motions.room import Room
from layout.checks.motions.stage import Hit, Stage, Zone
from layout.checks.moves import rests_on, shifted, with_riders, works
from layout.model.cure import Cure
from layout.model.layout import Placed
from layout.model.solid import Solid
from layout.space.space import TOUCH

_STEPS = 12
_WAYS = ((1.0, 0.0, "forward"), (-1.0, 0.0, "back"), (0.0, 1.0, "left"), (0.0, -1.0, "right"))
Way = tuple[float, float]
#: How far something must go along a way to be past what it meets there now, one number for each; none: it is free.
Needed = Callable[[Sequence[Solid], Way], Iterator[float]]


@dataclass(frozen=True, kw_only=True, slots=True)
class Trouble:
    """Room of the thing `owner` (None: of the vehicle) that is not free: `hits` are in it.

    `room` is where all of it must be (None: anywhere), and `blocked` tells that part of it is not.
    """

    state: str
    solids: tuple[Solid, ...]
    owner: Placed | None
    owners: tuple[str, ...]
    hits: tuple[Hit, ...]
    room: Room | None
    blocked: bool


def shortest_move(stage: Stage, trouble: Trouble) -> tuple[str, Cure] | None:
    """Return the shortest move along one axis of one thing, with what stands on it, that ends the trouble.

    Offered is only what leaves the thing inside and clear of all others in every state where it stands at the same
    place, takes away no room that others need for their parts or their air, and keeps the doors as free as they are.
    """
    context = stage.context
    for size, word, mover, shift in sorted(_moves(stage, trouble), key=lambda move: (move[0], move[2].name, move[1])):
        things = context.layout.placed[trouble.state]
        if works(context, things, mover, shift) and _is_quiet(stage, mover, shift):
            names = tuple(p.name for p in with_riders(mover, things))
            cure = Cure(things=names, shift=(*shift, 0.0))
            return f"move {mover.name} {context.say(size)} {word}", cure
    return None


def _moves(stage: Stage, trouble: Trouble) -> Iterator[tuple[float, str, Placed, Way]]:
    things = stage.context.layout.placed[trouble.state]
    blockers = {placed.name: placed for placed, _ in trouble.hits}
    for blocker in blockers.values():
        group = with_riders(blocker, things)
        names = {p.name for p in group}
        if not trouble.blocked and set(blockers) <= names and names.isdisjoint(trouble.owners):
            solids = [solid for p in group for solid in p.solids]
            yield from _pushed(stage.context, blocker, solids, lambda moved, way: _past(moved, trouble.solids, way))
    along = {p.name for p in with_riders(trouble.owner, things)} if trouble.owner else set()
    # What stands on the thing and is in its way goes along, and stays in its way.
    if trouble.owner is not None and along.isdisjoint(blockers):
        needs = _own_needs(stage, trouble, tuple(sorted(along | set(trouble.owners))))
        yield from _pushed(stage.context, trouble.owner, trouble.solids, needs)


def _own_needs(stage: Stage, trouble: Trouble, but: tuple[str, ...]) -> Needed:
    """Return what the room of a thing, moved with it, has still to go past, without the things named in `but`."""

    def needs(moved: Sequence[Solid], way: Way) -> Iterator[float]:
        yield from _past(moved, [solid for _, solid in stage.hits(trouble.state, moved, but)], way)
        if trouble.room is not None:
            yield from _into_room(moved, trouble.room, way)

    return needs


def _into_room(moved: Sequence[Solid], room: Room, way: Way) -> Iterator[float]:
    """Yield how long what lies outside the room is along `way`, for each solid that reaches out."""
    for excess in room.excesses(moved):
        if not excess.is_empty:
            x0, y0, x1, y1 = excess.bounds
            yield max(x1 - x0 if way[0] else y1 - y0, TOUCH)


def _pushed(
    context: Context, mover: Placed, solids: Sequence[Solid], needs: Needed
) -> Iterator[tuple[float, str, Placed, Way]]:
    for dx, dy, word in _WAYS:
        most = _room_beyond(context, mover.box, (dx, dy))
        size = _far_enough(context, _left_along(solids, needs, (dx, dy)), most)
        if size is not None:
            yield size, word, mover, (dx * size, dy * size)


def _left_along(solids: Sequence[Solid], needs: Needed, way: Way) -> Callable[[float], Iterator[float]]:
    """Return what `solids` have still to go past when they have gone so far along a way."""
    return lambda far: needs([solid.moved(way[0] * far, way[1] * far, 0.0) for solid in solids], way)


def _room_beyond(context: Context, body: Solid, way: Way) -> float:
    """Return how far the body can go along `way` before it is beyond all of the room, mm."""
    (x0, y0, x1, y1), (rx0, ry0, rx1, ry1) = body.bounds, context.space.bounds
    if way[0]:
        return rx1 - x1 if way[0] > 0 else x0 - rx0
    return ry1 - y1 if way[1] > 0 else y0 - ry0


def _far_enough(context: Context, left: Callable[[float], Iterator[float]], most: float) -> float | None:
    """Return how far to move until nothing is `left` to go past, rounded up to what can be said; None if never."""
    low = high = 0.0
    for _ in range(_STEPS):
        missing = list(left(high))
        if not missing:
            return _less(context, lambda size: next(left(size), None) is None, low, high) if high else None
        low, high = high, context.up(high + max(missing))
        if high > most + TOUCH:
            break
    return None


def _less(context: Context, frees: Callable[[float], bool], low: float, high: float) -> float:
    """Return a shorter way than `high` that still frees, by halving: what is round is passed sooner than its bounds."""
    while high - low > 1.5 * context.grain:
        middle = context.up((low + high) / 2)
        low, high = (low, middle) if frees(middle) else (middle, high)
    return high


def _past(moved: Sequence[Solid], others: Sequence[Solid], way: Way) -> Iterator[float]:
    return (_step(a, b, way) for a in moved for b in others if shared_box(a, b) is not None)


def _step(a: Solid, b: Solid, way: Way) -> float:
    """Return how far `a` goes along `way` to be past `b`, as their bounds tell."""
    (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = a.bounds, b.bounds
    if way[0]:
        return bx1 - ax0 if way[0] > 0 else ax1 - bx0
    return by1 - ay0 if way[1] > 0 else ay1 - by0


def _is_quiet(stage: Stage, mover: Placed, shift: Way) -> bool:
    """Return whether a move takes no room that is kept free now, of its own or of others, in any state."""
    context = stage.context
    states = [state for state, things in context.states if _stands(mover, things)]
    if not all(_keeps(stage, state, mover, shift) and _is_carried(context, state, mover, shift) for state in states):
        return False
    return all(_keeps_doors(context, state, mover, shift) for state in states)


def _stands(mover: Placed, things: Sequence[Placed]) -> bool:
    """Return whether the thing stands among `things`, and at the same place."""
    return any(p.name == mover.name and p.solids == mover.solids for p in things)


def _is_carried(context: Context, state: str, mover: Placed, shift: Way) -> bool:
    """Return whether the thing still stands on something that does not move along, where it does so now."""
    things = context.layout.placed[state]
    along = {p.name for p in with_riders(mover, things)}
    below = [p for p in things if p.name not in along and rests_on(mover, p)]
    after = shifted(mover, (*shift, 0.0))
    return not below or any(rests_on(after, p) for p in things if p.name not in along)


def _keeps(stage: Stage, state: str, mover: Placed, shift: Way) -> bool:
    group = with_riders(mover, stage.context.layout.placed[state])
    names = tuple(p.name for p in group)
    solids = [solid for p in group for solid in p.solids]
    moved = [solid.moved(*shift, 0.0) for solid in solids]
    # What rides on a part of another thing is not moved without it.
    for zone in stage.zones(state):
        if zone.owners and zone.owners[0] in names:
            if not _own_keeps(stage, state, zone, names, shift):
                return False
        elif not set(names).isdisjoint(zone.owners) or (zone.meets(moved) and not zone.meets(solids)):
            return False
    return True


def _own_keeps(stage: Stage, state: str, zone: Zone, names: tuple[str, ...], shift: Way) -> bool:
    """Return whether a moved thing's own room is as free as it was."""

    def taken(solids: Sequence[Solid]) -> bool:
        hit = stage.hits(state, solids, tuple({*zone.owners, *names}))
        return bool(hit) or (zone.room is not None and zone.room.blocks_any(solids))

    return taken(zone.solids) or not taken([solid.moved(*shift, 0.0) for solid in zone.solids])


def _keeps_doors(context: Context, state: str, mover: Placed, shift: Way) -> bool:
    """Return whether no door of the vehicle is too narrow that was not so before."""
    things = context.layout.placed[state]
    names = {p.name for p in with_riders(mover, things)}
    moved = tuple(shifted(p, (*shift, 0.0)) if p.name in names else p for p in things)
    return too_narrow(context, state, bodies_of(moved)) <= too_narrow(context, state, context.bodies(state))
