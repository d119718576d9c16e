"""Rule ``overlap``: no two things take the same room in the same state."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from layout.checks.context import Context, meets, shared_box
from layout.checks.moves import with_riders, works
from layout.model.finding import Finding
from layout.model.layout import Placed
from layout.model.solid import Solid
from layout.space.space import TOUCH

_STEPS = 12
_MOVES = ((1.0, 0.0, "forward"), (-1.0, 0.0, "back"), (0.0, 1.0, "left"), (0.0, -1.0, "right"))
Shared = tuple[float, Solid]
Move = tuple[float, str, str]


def check(context: Context) -> Iterator[Finding]:
    """Yield a failing finding for each pair of things that overlap, with the smallest move that frees them."""
    for state, things in context.states:
        moves: dict[str, list[Move]] = {}
        for a, b in _near_pairs(context, state):
            worst = _worst(a, b)
            if worst is not None:
                for mover in (a, b):
                    if mover.name not in moves:
                        moves[mover.name] = sorted(_free_moves(context, things, mover))
                yield _finding(context, state, (a, b), worst, sorted(moves[a.name] + moves[b.name]))


def _near_pairs(context: Context, state: str) -> list[tuple[Placed, Placed]]:
    bodies = context.bodies(state)
    pairs = {(int(bodies.owner[i]), int(bodies.owner[j])) for i, j in bodies.near_each_other()}
    return [(bodies.things[a], bodies.things[b]) for a, b in sorted(pairs)]


def _worst(a: Placed, b: Placed) -> Shared | None:
    """Return how deep the two are in each other (the least of the three axes) and the solid of `b` that is deepest."""
    found = [
        (min(shared), other)
        for one in a.solids
        for other in b.solids
        if (shared := shared_box(one, other)) is not None and not _nested(a, b, shared[2])
    ]
    return max(found, key=lambda pair: pair[0]) if found else None


def _nested(a: Placed, b: Placed, dz: float) -> bool:
    """Return whether equal bins merely stand in each other's rims."""
    rim = a.box.z1 - a.box.z0 - a.thing.stack_step
    aligned = all(abs(p - q) <= TOUCH for p, q in zip(a.box.bounds, b.box.bounds, strict=True))
    return aligned and a.thing.group == b.thing.group and a.thing.stack_step > 0 and dz <= rim + TOUCH


def _finding(
    context: Context, state: str, pair: tuple[Placed, Placed], worst: Shared, moves: Sequence[Move]
) -> Finding:
    a, b = pair
    depth, solid = worst
    cure = "no move of one of them along one axis is free; stand one elsewhere"
    if moves:
        size, name, word = moves[0]
        cure = f"move {name} {context.say(size)} {word}"
    return Finding(
        rule="overlap", severity="fail", things=(a.name, b.name), states=(state,),
        measured=round(-depth, 3), wanted=0.0, short_by=round(depth, 3), where=solid,
        text=f"{a.name} and {b.name} are {context.say(depth)} in each other", cure=cure,
    )  # fmt: skip


def _free_moves(context: Context, things: Sequence[Placed], mover: Placed) -> Iterator[Move]:
    group = with_riders(mover, things)
    names = {placed.name for placed in group}
    moving = [solid for placed in group for solid in placed.solids]
    others = [solid for placed in things if placed.name not in names for solid in placed.solids]
    for dx, dy, word in _MOVES:
        size = _free_distance(moving, others, (dx, dy))
        if size is None:
            continue
        whole = context.up(size)
        if works(context, things, mover, (dx * whole, dy * whole)):
            yield whole, mover.name, word


def _free_distance(solids: Sequence[Solid], others: Sequence[Solid], way: tuple[float, float]) -> float | None:
    """Return how far `solids` go along `way` until they meet nothing; None if they do not get free."""
    size = 0.0
    for _ in range(_STEPS):
        moved = [solid.moved(way[0] * size, way[1] * size, 0.0) for solid in solids]
        steps = [_step(a, b, way) for a in moved for b in others if shared_box(a, b) is not None]
        if not steps:
            return size if size and not meets(moved, others) else None
        size += max(steps)
    return None


def _step(a: Solid, b: Solid, way: tuple[float, float]) -> float:
    """Return how far `a` goes along `way` to be past `b`."""
    (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = a.bounds, b.bounds
    if way[0]:
        return bx1 - ax0 if way[0] > 0 else ax1 - bx0
    return by1 - ay0 if way[1] > 0 else ay1 - by0
