"""Two bicycles that meet, mostly at the bars: the turn, the height or the stagger that frees them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from math import cos, radians, sin

from layout.checks.bicycle_stagger import free_rise, free_shift, turned_round
from layout.checks.context import Context, meets, shared_box
from layout.checks.moves import with_riders, works
from layout.model.cure import Cure, Shift3
from layout.model.finding import Finding
from layout.model.layout import Placed
from layout.model.solid import Solid

RULE = "bicycles"
#: How far, by what words, and which bicycle by which shift.
Move = tuple[float, str, Cure]


def meeting(context: Context, state: str, things: Sequence[Placed], bicycles: Sequence[Placed]) -> Iterator[Finding]:
    """Yield for each two bicycles that overlap what frees them."""
    for a, b in combinations(bicycles, 2):
        worst = max(
            ((min(shared), one.name, other.name) for one in a.solids for other in b.solids
             if (shared := shared_box(one, other)) is not None),
            default=None,
        )  # fmt: skip
        if worst is not None:
            yield _hint(context, state, things, (a, b), worst)


def _hint(
    context: Context,
    state: str,
    things: Sequence[Placed],
    pair: tuple[Placed, Placed],
    worst: tuple[float, str, str],
) -> Finding:
    a, b = pair
    depth, one, other = worst
    turns = [f"turn {p.name} round" for p in reversed(pair) if _stands_free(context, things, p, turned_round(p))]
    along, up = (
        min(found, default=None)
        for found in (list(_shifts(context, things, pair)), list(_rises(context, things, pair)))
    )
    moves = [move for move in (up, along) if move is not None]
    ways = [*turns[:1], *(words for _, words, _ in moves)]
    return Finding(
        rule=RULE, severity="note", things=(a.name, b.name), states=(state,), measured=round(-depth, 3),
        wanted=0.0, short_by=round(depth, 3), text=f"the {one} of {a.name} and the {other} of {b.name} meet",
        cure=", or ".join(ways) or "no turn, lift or shift of one of them alone is free here",
        does=min(moves)[2] if moves else None,
    )  # fmt: skip


def _shifts(context: Context, things: Sequence[Placed], pair: tuple[Placed, Placed]) -> Iterator[Move]:
    """Yield the least shifts of either along itself that free the two and are free."""
    for mover, still in (pair, pair[::-1]):
        for back in (0.0, 180.0):
            way = _heading(mover.turn_deg + back)
            by = context.up(free_shift(mover.solids, still.solids, way))
            shift = (way[0] * by, way[1] * by)
            if works(context, things, mover, shift):
                words = f"set {mover.name} {context.say(by)} {_word(way)}"
                yield by, words, Cure(things=(mover.name,), shift=(*shift, 0.0))


def _rises(context: Context, things: Sequence[Placed], pair: tuple[Placed, Placed]) -> Iterator[Move]:
    """Yield the least heights by which either stands higher that free the two and are free."""
    for mover, still in (pair, pair[::-1]):
        by = context.up(free_rise(mover.solids, still.solids))
        shift: Shift3 = (0.0, 0.0, by)
        if _stands_free(context, things, mover, tuple(solid.moved(*shift) for solid in mover.solids)):
            yield by, f"set {mover.name} {context.say(by)} higher", Cure(things=(mover.name,), shift=shift)


def _heading(angle_deg: float) -> tuple[float, float]:
    """Return the unit vector at that angle; right angles are exact."""
    return round(cos(radians(angle_deg)), 12), round(sin(radians(angle_deg)), 12)


def _word(way: tuple[float, float]) -> str:
    """Return the words for a way: that of the axis that it is nearest to."""
    if abs(way[0]) >= abs(way[1]):
        return "further forward" if way[0] > 0 else "further back"
    return "further left" if way[1] > 0 else "further right"


def _stands_free(context: Context, things: Sequence[Placed], placed: Placed, solids: Sequence[Solid]) -> bool:
    """Return whether the thing is inside and free of all others with these solids, in every state alike.

    No for what carries something, which would stay behind.
    """
    if len(with_riders(placed, things)) > 1 or not all(context.space.holds(solid) for solid in solids):
        return False
    scenes = [others for _, others in context.states if any(_same(p, placed) for p in others)]
    return not any(meets(solids, [s for p in others if p.name != placed.name for s in p.solids]) for others in scenes)


def _same(a: Placed, b: Placed) -> bool:
    return a.name == b.name and a.solids == b.solids
