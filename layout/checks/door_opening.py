"""Rule ``door-opening``: doors stay open far enough to get in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from layout.checks.context import Context
from layout.checks.moves import Shift, with_riders, works
from layout.model.finding import Finding
from layout.model.layout import Placed
from layout.model.solid import Solid
from layout.space.parts import Door
from layout.space.space import TOUCH, Space

RULE = "door-opening"
_FAR = 100_000.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Opening:
    """What stays free of a door in a state: the widest free stretch, mm, and what narrows it."""

    door: Door
    clear: float
    blockers: tuple[str, ...]


def check(context: Context) -> Iterator[Finding]:
    """Yield a finding for each door below its wanted width, and one when no door keeps a way in."""
    if not context.space.doors:
        yield Finding(rule=RULE, severity="note", things=(), states=(), text="the space has no door; add its openings")
        return
    wanted = context.rules[RULE]["way_in"]
    for state, things in context.states:
        openings = [opening(context, door, things) for door in context.space.doors]
        for found in openings:
            if found.door.keep_clear is not None and found.clear < found.door.keep_clear - TOUCH:
                yield _finding(context, state, things, found, found.door.keep_clear)
        best = max(openings, key=lambda o: o.clear)
        if state != "drive" and best.clear < wanted - TOUCH:
            yield _finding(context, state, things, best, wanted)


def opening(context: Context, door: Door, things: Sequence[Placed]) -> Opening:
    """Return what stays free of `door` with `things` in place, between the walls and past fixed obstacles."""
    rule = context.rules[RULE]
    zone = _step_in(context.space, door, rule["depth"])
    high_enough = replace(zone, z0=min(zone.z0 + rule["step_over"], zone.z1))
    stops = [(placed.name, solid) for placed in things for solid in placed.solids if _in(solid, high_enough)]
    fixed = [Solid(name=o.name, outline=o.outline, z0=o.z0, z1=o.z1) for o in context.space.obstacles
             if not o.name.startswith("closed ")]  # fmt: skip
    spans = [_across(solid, door) for solid in (*(s for _, s in stops), *(f for f in fixed if _in(f, high_enough)))]
    x0, y0, x1, y1 = context.space.bounds
    ends = [(-_FAR, y0), (y1, _FAR)] if door.side == "rear" else [(-_FAR, x0), (x1, _FAR)]
    return Opening(door=door, clear=_widest(door, [*spans, *ends]), blockers=tuple(dict.fromkeys(n for n, _ in stops)))


def _step_in(space: Space, door: Door, depth: float) -> Solid:
    """Return the volume of a step behind the opening."""
    x0, y0, _, y1 = space.bounds
    if door.side == "rear":
        x, y = (x0, x0 + depth), (door.low, door.high)
    else:
        y = (y1 - depth, y1) if door.side == "left" else (y0, y0 + depth)
        x = (door.low, door.high)
    outline = ((x[0], y[0]), (x[1], y[0]), (x[1], y[1]), (x[0], y[1]))
    return Solid(name=door.name, outline=outline, z0=door.sill, z1=door.top)


def _in(solid: Solid, zone: Solid) -> bool:
    (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = solid.bounds, zone.bounds
    apart = ax1 <= bx0 + TOUCH or bx1 <= ax0 + TOUCH or ay1 <= by0 + TOUCH or by1 <= ay0 + TOUCH
    return not apart and solid.z1 > zone.z0 + TOUCH and solid.z0 < zone.z1 - TOUCH


def _across(solid: Solid, door: Door) -> tuple[float, float]:
    x0, y0, x1, y1 = solid.bounds
    return (y0, y1) if door.side == "rear" else (x0, x1)


def _widest(door: Door, spans: Sequence[tuple[float, float]]) -> float:
    edge, widest = door.low, 0.0
    for low, high in sorted(spans):
        widest = max(widest, min(low, door.high) - edge)
        edge = max(edge, high)
    return max(widest, door.high - edge, 0.0)


def _finding(context: Context, state: str, things: Sequence[Placed], found: Opening, wanted: float) -> Finding:
    lead = (
        f"the {found.door.name} keeps only"
        if found.door.keep_clear == wanted
        else f"no way in: the {found.door.name} keeps only"
    )
    free = f"{context.say(found.clear)} of {context.say(found.door.width)}"
    return Finding(
        rule=RULE, severity="fail", things=found.blockers, states=(state,), measured=round(found.clear, 3),
        wanted=round(wanted, 3), short_by=round(wanted - found.clear, 3),
        where=_step_in(context.space, found.door, context.rules[RULE]["depth"]),
        text=f"{lead} {free} free, wanted {context.say(wanted)}", cure=_cure(context, things, found, wanted),
    )  # fmt: skip


def _cure(context: Context, things: Sequence[Placed], found: Opening, wanted: float) -> str:
    """Say the shortest move of one thing that opens the door far enough and hits nothing."""
    moves = sorted(
        (abs(dx) + abs(dy), placed.name, word)
        for placed in things
        if placed.name in found.blockers
        for dx, dy, word in _moves(context, found, placed, wanted)
        if works(context, things, placed, (dx, dy)) and _opens(context, things, found, (placed, (dx, dy)), wanted)
    )
    if moves:
        size, name, word = moves[0]
        return f"move {name} {context.say(size)} {word}"
    who = ", ".join(found.blockers) or "the space itself"
    return f"{context.say(wanted - found.clear)} more wanted; in the way: {who}"


def _moves(context: Context, found: Opening, placed: Placed, wanted: float) -> Iterator[tuple[float, float, str]]:
    """Yield moves along the opening by what is missing, and away from the door out of the step in."""
    missing = context.up(wanted - found.clear)
    (x0, y0, _, y1), (_, zy0, zx1, zy1) = (
        placed.box.bounds, _step_in(context.space, found.door, context.rules[RULE]["depth"]).bounds,
    )  # fmt: skip
    if found.door.side == "rear":
        yield from ((0.0, missing, "left"), (0.0, -missing, "right"), (zx1 - x0, 0.0, "forward"))
    else:
        yield from ((missing, 0.0, "forward"), (-missing, 0.0, "back"))
        yield (0.0, zy0 - y1, "right") if found.door.side == "left" else (0.0, zy1 - y0, "left")


def _opens(
    context: Context, things: Sequence[Placed], found: Opening, move: tuple[Placed, Shift], wanted: float
) -> bool:
    placed, shift = move
    names = {p.name for p in with_riders(placed, things)}
    moved = [_shifted(p, shift) if p.name in names else p for p in things]
    return opening(context, found.door, moved).clear >= wanted - TOUCH


def _shifted(placed: Placed, shift: Shift) -> Placed:
    solids = tuple(solid.moved(*shift, 0.0) for solid in placed.solids)
    return replace(placed, solids=solids, box=placed.box.moved(*shift, 0.0))
