"""Rule ``bicycles``: each comes out without the others, its wheel has a place, and bars that meet are set apart."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from layout.checks.bicycle_hints import RULE, meeting
from layout.checks.bicycle_order import Order, order_of
from layout.checks.bicycle_ways import Ways
from layout.checks.context import Context
from layout.model.finding import Finding
from layout.model.layout import Placed
from layout.model.solid import Solid, outer_box
from layout.things.bicycle import wheel_off

Known = dict[tuple[tuple[str, tuple[Solid, ...]], ...], Order]


def check(context: Context) -> Iterator[Finding]:
    """Yield what keeps bicycles from coming out one by one, loose wheels without a place, and how to free bars."""
    known: Known = {}
    for state, things in context.states:
        bicycles = [placed for placed in things if placed.thing.kind == "bicycle"]
        if bicycles:
            yield from _wheels(context, state, things, bicycles)
            yield from meeting(context, state, things, bicycles)
        if bicycles and context.space.doors:
            yield from _out(context, state, things, bicycles, known)


def _wheels(context: Context, state: str, things: Sequence[Placed], bicycles: Sequence[Placed]) -> Iterator[Finding]:
    """Yield a warning when there are fewer loose wheels inside, by size, than bicycles ride without."""
    off = {placed.name: size for placed in bicycles if (size := wheel_off(placed.thing)) is not None}
    missing = _unmatched(sorted(off.values()), _loose(things), context.rules[RULE]["same"])
    if missing:
        sizes = " and ".join(f"{missing.count(s)} of {context.say(s)}" for s in sorted(set(missing), reverse=True))
        ride = "rides without its" if len(off) == 1 else "ride without their"
        yield Finding(
            rule=RULE, severity="warn", things=tuple(off), states=(state,),
            text=f"{_listed(tuple(off))} {ride} front wheel, and loose wheels have no place: {sizes} across",
            cure="list each as a thing of kind: wheel, and give it a place, such as between two bicycles",
        )  # fmt: skip


def _loose(things: Sequence[Placed]) -> list[float]:
    """Return the diameters of the loose wheels, mm, rising."""
    boxes = [outer_box(placed.thing.solids).bounds for placed in things if placed.thing.kind == "wheel"]
    return sorted(x1 - x0 for x0, _, x1, _ in boxes)


def _unmatched(wanted: list[float], wheels: list[float], same: float) -> list[float]:
    """Return the sizes for which no wheel is left that is as large, to within `same`; both rise.

    The largest wheel is given to the largest size that it is large enough for: that leaves out the fewest.
    """
    left, missing = list(wheels), []
    for size in reversed(wanted):
        if left and left[-1] >= size - same:
            left.pop()
        else:
            missing.append(size)
    return missing


def _out(
    context: Context, state: str, things: Sequence[Placed], bicycles: Sequence[Placed], known: Known
) -> Iterator[Finding]:
    if len(bicycles) > context.rules[RULE]["most"]:
        yield Finding(
            rule=RULE, severity="note", things=(), states=(state,),
            text=f"{len(bicycles)} bicycles: whether each comes out alone is not looked at for so many",
        )  # fmt: skip
        return
    fixed = [placed for placed in things if placed not in bicycles and not _goes_before(placed)]
    key = tuple((placed.name, placed.solids) for placed in (*bicycles, *fixed))
    rule = context.rules[RULE]
    if key not in known:
        ways = Ways(space=context.space, frame=rule["frame"], lift=rule["lift"])
        known[key] = order_of(ways, bicycles, fixed)
    order = known[key]
    for name, first in order.after.items():
        turn = f", or turn the bars of {name} along the frame" if name in order.eased else ""
        yield Finding(
            rule=RULE, severity="warn", things=(name, *first), states=(state,),
            text=f"{name} comes out only after {_listed(first)}",
            cure=f"take {_listed(first)} out first{turn}",
        )  # fmt: skip
    for name in order.turned:
        yield Finding(
            rule=RULE, severity="warn", things=(name,), states=(state,),
            text=f"{name} comes out only with its bars turned along the frame", cure="turn its bars before it is moved",
        )  # fmt: skip
    yield from (_stuck(context, state, placed, fixed, order) for placed in bicycles if placed.name in order.stuck)


def _goes_before(placed: Placed) -> bool:
    """Return whether a thing is out before a bicycle is moved: what comes out anyway, a mattress, a loose wheel."""
    return placed.thing.take_out is not None or placed.thing.kind == "wheel"


def _stuck(context: Context, state: str, placed: Placed, fixed: Sequence[Placed], order: Order) -> Finding:
    holders, lift = order.stuck[placed.name], context.say(context.rules[RULE]["lift"])
    if placed.name in order.too_large:
        held = "the room and its doors are too small for it"
        cure = "it stays outside, or comes in with more taken off it"
    elif holders:
        held, cure = f"held by {_listed(holders)}", f"with {' or '.join(holders)} elsewhere it comes out"
        if {*holders}.isdisjoint(p.name for p in fixed):
            cure = f"with {_listed(holders)} elsewhere it comes out"
    else:
        held, cure = f"held by {_listed([p.name for p in fixed])}", "stand it nearer to a door; several things hold it"
    return Finding(
        rule=RULE, severity="fail", things=(placed.name, *holders), states=(state,), where=placed.box, cure=cure,
        text=f"no way out was found for {placed.name}, rolled, turned or lifted by up to {lift}: {held}",
    )  # fmt: skip


def _listed(names: Sequence[str]) -> str:
    return ", ".join(names[:-1]) + " and " + names[-1] if len(names) > 1 else "".join(names)
