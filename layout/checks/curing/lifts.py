"""Lifts and lowerings that free what hangs in the air or is in the floor."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from layout.checks.context import Context
from layout.checks.curing.offer import NO_SHIFT
from layout.checks.curing.standing import stands
from layout.checks.moves import Scene, is_free
from layout.model.cure import Shift3
from layout.space.space import TOUCH


def upright_shift(context: Context, tried: Sequence[Scene]) -> Shift3 | None:
    """Return the shortest lift or lowering that cures what hangs in the air or is in the floor."""
    if tried[0].mover.box.z0 >= -TOUCH and all(stands(context, scene, NO_SHIFT) for scene in tried):
        return None
    return next((shift for shift in _lifts(context, tried) if is_free(context, tried, shift)), None)


def carried_lift(context: Context, tried: Sequence[Scene]) -> Shift3 | None:
    """Return the shortest lift or lowering after which the thing is carried, in every scene."""
    free = (shift for shift in _lifts(context, tried) if is_free(context, tried, shift))
    return next((shift for shift in free if all(stands(context, scene, shift) for scene in tried)), None)


def _lifts(context: Context, tried: Sequence[Scene]) -> list[Shift3]:
    """Return lifts and lowerings at which something touches, the shortest first.

    Rounded up to be out of something, and down so as not to be lowered into it.
    """
    exact = {by for scene in tried for by in _heights(context, scene)}
    ways = {said(abs(by)) * (1 if by > 0 else -1) for by in exact for said in (context.down, context.up)}
    return [(0.0, 0.0, by) for by in sorted(ways, key=lambda by: (abs(by), by)) if by]


def _heights(context: Context, scene: Scene) -> Iterator[float]:
    """Yield the lifts at which the thing touches something above or below it."""
    space = context.space
    foot = scene.mover.box.z0
    yield from (-foot, *(-foot - hole.depth for hole in space.holes))
    still = [solid for placed in scene.still for solid in placed.solids]
    for solid in scene.solids:
        x0, y0, x1, y1 = solid.bounds
        yield min(space.roof_at(x) for x in (x0, x1, *(x for x, _ in space.roof if x0 < x < x1))) - solid.z1
        fixed = [(o.z0, o.z1, o.outline) for o in space.obstacles]
        for z0, z1, outline in [*((s.z0, s.z1, s.outline) for s in still), *fixed]:
            xs, ys = zip(*outline, strict=True)
            if min(xs) < x1 and max(xs) > x0 and min(ys) < y1 and max(ys) > y0:
                yield from (z1 - solid.z0, z0 - solid.z1)
