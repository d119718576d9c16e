"""Rule ``air-gap``: what needs air, or hands round it, has it on each side."""

from __future__ import annotations

from collections.abc import Iterator

from layout.checks.context import Context
from layout.checks.motions.cure import Trouble, shortest_move
from layout.checks.motions.moving import depth_of, slice_of
from layout.checks.motions.stage import Stage
from layout.checks.motions.stop import Stop, of_full, stopped
from layout.model.finding import Finding
from layout.model.layout import Placed
from layout.model.motion import Clear, Face
from layout.model.thing import Thing

RULE = "air-gap"
_WHERE: dict[Face, str] = {"front": "in front of it", "rear": "behind it", "left": "on its left",
                           "right": "on its right", "top": "above it", "bottom": "below it"}  # fmt: skip
_COLD = ("fridge", "freezer", "cool box", "coolbox")


def check(context: Context) -> Iterator[Finding]:
    """Yield a failing finding for each side of a thing that is not as free as it must be, and notes where none is said.

    The doors of the vehicle are taken as shut, since the air is wanted all day.
    """
    stage = Stage(context)
    for state, things in context.states:
        for placed in things:
            for own, stood in zip(placed.thing.clears, placed.clears, strict=True):
                yield from _side(stage, state, placed, own, stood)
    yield from _unsaid(context)


def _side(stage: Stage, state: str, placed: Placed, own: Clear, stood: Clear) -> Iterator[Finding]:
    hits = stage.hits(state, [stood.solid], (placed.name,))
    full = depth_of(own.solid, own.face)
    stop = stopped(lambda depth: [placed.stood(slice_of(own.solid, own.face, depth))], (full, False), hits, stage.shut)
    if stop is not None:
        yield _finding(stage, state, placed, stood, stop)


def _finding(stage: Stage, state: str, placed: Placed, clear: Clear, stop: Stop) -> Finding:
    context, where = stage.context, _WHERE[clear.face]
    trouble = Trouble(
        state=state, solids=(clear.solid,), owner=placed, owners=(placed.name,), hits=stop.hits, room=stage.shut,
        blocked=stop.blocked,
    )  # fmt: skip
    move = shortest_move(stage, trouble)
    names = dict.fromkeys([placed.name, *stop.things, *(p.name for p, _ in stop.hits)])
    missing = context.say(context.up(stop.short))
    return Finding(
        rule=RULE, severity="fail", things=tuple(names), states=(state,), measured=stop.gap,
        wanted=round(stop.full, 3), short_by=stop.short, where=clear.solid,
        text=f"{placed.name} has {of_full(context, stop.free, stop.full, degrees=False)} free {where} "
             f"({stop.who.removeprefix('the ')})",
        cure=move[0] if move else f"no move of one thing along one axis helps; free {missing} more {where}",
        does=move[1] if move else None,
    )  # fmt: skip


def _unsaid(context: Context) -> Iterator[Finding]:
    """Yield a note for each kind of thing that gets warm or is dangerous, and of which no room round it is said."""
    standing = {placed.name for _, things in context.states for placed in things}
    told: set[str] = set()
    for thing in context.layout.things:
        usual = _usual(context, thing)
        if usual and thing.name in standing and thing.group not in told and not _says_clear(thing):
            told.add(thing.group)
            yield Finding(
                rule=RULE, severity="note", things=(thing.name,), states=(),
                text=f"{thing.group} has no room of its own for air; its maker's handbook says how much{usual}",
                cure="say it under clear:, with front, rear, left, right, top",
            )  # fmt: skip


def _says_clear(thing: Thing) -> bool:
    return bool(thing.clears) or any(form.clears for form in thing.forms.values())


def _usual(context: Context, thing: Thing) -> str:
    """Return what is usual round such a thing, in words; nothing for a thing that wants no room."""
    rule, say = context.rules[RULE], context.say
    if "battery" in thing.hazards:
        return f" (usual: {say(rule['battery'])} round each block)"
    if "heater" in thing.hazards:
        return f" (usual: {say(rule['heater'])} all round, and nothing that burns before its outlet)"
    if thing.hazards:
        return ", and so do local codes"
    if thing.kind == "box" and any(word in thing.group.lower() for word in _COLD):
        sides, rear, top = (say(rule[number]) for number in ("cold_side", "cold_rear", "cold_top"))
        return f" (usual for a box with a compressor: {sides} at its sides, {rear} behind it, {top} above it)"
    return ""
