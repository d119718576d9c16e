"""Rule ``door-opening``: doors stay open far enough to get in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from layout.checks.context import Context
from layout.model.finding import Finding
from layout.model.layout import Placed
from layout.model.solid import Solid
from layout.space.parts import Door
from layout.space.space import TOUCH, Space

RULE = "door-opening"


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
                yield _finding(context, state, found, found.door.keep_clear, f"the {found.door.name} keeps only")
        best = max(openings, key=lambda o: o.clear)
        if state != "drive" and best.clear < wanted - TOUCH:
            yield _finding(context, state, best, wanted, f"no way in: the widest is the {best.door.name} with")


def opening(context: Context, door: Door, things: Sequence[Placed]) -> Opening:
    """Return what stays free of `door` with `things` in place."""
    zone = _step_in(context.space, door, context.rules[RULE]["depth"])
    stops = [(placed.name, solid) for placed in things for solid in placed.solids if _in(solid, zone)]
    spans = [_across(solid, door) for _, solid in stops]
    return Opening(door=door, clear=_widest(door, spans), blockers=tuple(dict.fromkeys(name for name, _ in stops)))


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


def _finding(context: Context, state: str, found: Opening, wanted: float, words: str) -> Finding:
    names, missing = ", ".join(found.blockers), context.say(wanted - found.clear)
    free = f"{context.say(found.clear)} of {context.say(found.door.width)}"
    return Finding(
        rule=RULE, severity="fail", things=found.blockers, states=(state,), measured=round(found.clear, 3),
        wanted=round(wanted, 3), short_by=round(wanted - found.clear, 3),
        where=_step_in(context.space, found.door, context.rules[RULE]["depth"]),
        text=f"{words} {free} free, wanted {context.say(wanted)}",
        cure=f"clear {missing} more: {names} stand in the way" if names else "choose a smaller keep_clear",
    )  # fmt: skip
