"""Rule ``sweep``: what moves has room to move, and whoever uses it has room to stand."""

from __future__ import annotations

from collections.abc import Iterator
from math import floor

from layout.checks.context import Context, shared_box
from layout.checks.motions.cure import Trouble, shortest_move
from layout.checks.motions.moving import Moving
from layout.checks.motions.pairs import Trap, traps
from layout.checks.motions.stage import Stage
from layout.checks.motions.stop import Stop, of_full, stop_of, stopped
from layout.model.finding import Finding
from layout.model.solid import Solid, outer_box
from layout.space.space import TOUCH

RULE = "sweep"
_OPENS = {"drawer": "comes out", "lift off": "lifts", "door": "opens to", "flap": "opens to", "lid": "opens to"}


def check(context: Context) -> Iterator[Finding]:
    """Yield a failing finding for each part that meets a thing or the room, and a warning for two that meet.

    What opens upward is looked at by the rule ``lids``; here only whoever uses it, and against other parts.
    """
    stage = Stage(context)
    for state, _ in context.states:
        for part in stage.moving(state):
            yield from _part(stage, state, part)
        for part in stage.vehicle(state):
            yield from _vehicle(stage, state, part)
        for trap in traps(stage, state):
            yield _pair(context, state, trap)


def _part(stage: Stage, state: str, part: Moving) -> Iterator[Finding]:
    stop = None if part.motion.lifted else stop_of(stage, state, part)
    if stop is not None:
        yield _stopped(stage, state, part, stop)
        return
    person = stage.person(part)
    if person is not None:
        hits = stage.hits(state, [person], part.owners)
        crowd = stopped(lambda depth: _room_of(stage, part, depth), (part.depth, False), hits, stage.room(state))
        if crowd is not None:
            yield _crowded(stage, state, part, person, crowd)


def _room_of(stage: Stage, part: Moving, depth: float) -> list[Solid]:
    person = stage.person(part, depth)
    return [person] if person else []


def _stopped(stage: Stage, state: str, part: Moving, stop: Stop) -> Finding:
    context, mm = stage.context, bool(part.full) and not part.degrees
    how = of_full(context, stop.free, stop.full, degrees=part.degrees)
    words = f"{_OPENS[part.motion.kind]} {how}" if part.motion.kind in _OPENS else "has no room to move"
    move = shortest_move(stage, _trouble(stage, state, part))
    return Finding(
        rule=RULE, severity="fail", things=(*part.owners[:1], *_names(stop)), states=(state,),
        measured=stop.gap if mm else None, wanted=round(stop.full, 3) if mm else None,
        short_by=stop.short if mm else None, where=_around(part.swept),
        text=f"{part.label} {words}; {stop.who} is in the way",
        cure=move[0] if move else _otherwise(stage, state, part, stop), does=move[1] if move else None,
    )  # fmt: skip


def _names(stop: Stop) -> tuple[str, ...]:
    return tuple(dict.fromkeys([*stop.things, *(placed.name for placed, _ in stop.hits)]))


def _trouble(stage: Stage, state: str, part: Moving) -> Trouble:
    """Return all the room that the part and whoever uses it need, so that a move does not help one of them only."""
    person, room = stage.person(part), stage.room(state)
    solids = (*(() if part.motion.lifted else part.swept), *([person] if person else []))
    return Trouble(
        state=state, solids=solids, owner=part.placed, owners=part.owners,
        hits=tuple(stage.hits(state, solids, part.owners)), room=room, blocked=room.blocks_any(solids),
    )  # fmt: skip


def _around(solids: tuple[Solid, ...]) -> Solid:
    return solids[0] if len(solids) == 1 else outer_box(solids)


def _otherwise(stage: Stage, state: str, part: Moving, stop: Stop) -> str:
    """Say what helps where no move of one thing does: another hinge, or a part that opens less far."""
    hinge = rehung_at(stage, state, part)
    if hinge:
        return f"hang it on its other edge, {hinge}: there it opens all the way"
    if part.motion.kind == "drawer" and stop.free >= stage.context.grain:
        return f"no move of one thing helps; build it to come out {stage.context.say(stage.context.down(stop.free))}"
    if part.degrees and stop.free >= 1:
        return f"no move of one thing helps; stop it at {floor(stop.free)} degrees, or set one of them elsewhere"
    return "no move of one thing along one axis helps; turn it, or set one of them elsewhere"


def rehung_at(stage: Stage, state: str, part: Moving) -> str:
    """Return the opposite edge if the part would open all the way when hung there, else nothing."""
    other = part.rehung()
    if other is None or other.motion.opening is None:
        return ""
    free = not stage.hits(state, other.swept, other.owners) and not stage.room(state).blocks_any(other.swept)
    return f"hinge: {other.motion.opening.hinge}" if free else ""


def _crowded(stage: Stage, state: str, part: Moving, person: Solid, stop: Stop) -> Finding:
    context = stage.context
    move = shortest_move(stage, _trouble(stage, state, part))
    how = of_full(context, stop.free, stop.full, degrees=False)
    return Finding(
        rule=RULE, severity="fail", things=(*part.owners[:1], *_names(stop)), states=(state,),
        measured=stop.gap, wanted=round(stop.full, 3), short_by=stop.short, where=person,
        text=f"whoever uses {part.label} has {how} to stand; {stop.who} is in the way",
        cure=move[0] if move else f"free {context.say(context.up(stop.short))} more before it",
        does=move[1] if move else None,
    )  # fmt: skip


def _vehicle(stage: Stage, state: str, part: Moving) -> Iterator[Finding]:
    """Yield a finding for each thing that a part of the vehicle comes into."""
    hits = stage.hits(state, part.swept, ())
    for name in dict.fromkeys(placed.name for placed, _ in hits):
        mine = tuple(hit for hit in hits if hit[0].name == name)
        depth = max(min(shared_box(a, b) or (0.0,)) for a in part.swept for _, b in mine)
        trouble = Trouble(state=state, solids=part.swept, owner=None, owners=(), hits=mine, room=None, blocked=False)
        move = shortest_move(stage, trouble)
        yield Finding(
            rule=RULE, severity="fail", things=(name,), states=(state,), measured=round(-depth, 3), wanted=0.0,
            short_by=round(depth, 3), where=part.swept[0],
            text=f"{part.label} comes {stage.context.say(depth)} into {name}",
            cure=move[0] if move else f"keep {name} out of its way", does=move[1] if move else None,
        )  # fmt: skip


def _pair(context: Context, state: str, trap: Trap) -> Finding:
    degrees = trap.part.degrees and not trap.person
    how = of_full(context, trap.free, trap.full, degrees=degrees)
    if trap.person:
        words = f"whoever uses {trap.part.label} has {how} to stand"
    elif trap.part.full:
        words = f"{trap.part.label} {_OPENS[trap.part.motion.kind]} {how}"
    else:
        words = f"{trap.part.label} has no room to move"
    measured = None if degrees or not trap.full else round(max(trap.free - TOUCH, 0.0), 2)
    return Finding(
        rule=RULE, severity="warn", things=(*trap.left.owners[:1], *trap.part.owners[:1]), states=(state,),
        measured=measured, wanted=None if measured is None else round(trap.full, 3),
        short_by=None if measured is None else round(trap.full - measured, 2), where=trap.where,
        text=f"while {trap.left.label} is open, {words}",
        cure="use one after the other, and close the first before; alone: yes says that it is never left open",
    )  # fmt: skip
