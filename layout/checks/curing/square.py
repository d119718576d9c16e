"""Setting a bin square on, or under, an equal one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from layout.checks.context import Context
from layout.checks.curing.offer import Offer, offer_of
from layout.checks.moves import Scene, is_free, rests_on, shifted
from layout.model.cure import Shift3
from layout.space.space import TOUCH


def square_shifts(context: Context, tried: Sequence[Scene]) -> Iterator[Offer]:
    """Yield the shortest shift that sets a bin, with all on it, square on or under an equal one that it is askew to.

    The shift is exact, not rounded to what can be said, since bins nest only where they stand square.
    """
    for cost, onto, shift in sorted(_askew(tried[0])):
        if is_free(context, tried, shift):
            yield replace(offer_of(tried, shift), cost=cost, onto=onto)
            return


def square_alone(context: Context, tried: Sequence[Scene]) -> Iterator[Offer]:
    """Yield the shortest shift that sets a bin square under another that stands on it, and stays where it is."""
    alone = [replace(scene, group=scene.group[:1]) for scene in tried]
    for cost, onto, shift in sorted(_askew(alone[0])):
        if is_free(context, alone, shift) and all(_still_carries(scene, shift) for scene in tried):
            # To pull a bin out from under another is worth twice the way.
            yield replace(offer_of(alone, shift), cost=2 * cost, onto=onto)
            return


def _askew(scene: Scene) -> Iterator[tuple[float, str, Shift3]]:
    """Yield how far the bin is shifted to be square with equal ones, a step above or below, that it is askew to."""
    mover, step = scene.mover, scene.mover.thing.stack_step
    x0, y0, x1, y1 = mover.box.bounds
    for other in scene.still if step > 0 else ():
        (ox0, oy0, ox1, oy1), apart = other.box.bounds, abs(other.box.z0 - mover.box.z0)
        over = min(x1, ox1) > max(x0, ox0) and min(y1, oy1) > max(y0, oy0) and (x0, y0) != (ox0, oy0)
        if over and other.thing.group == mover.thing.group and abs(apart - step) <= TOUCH:
            by = (ox0 - x0, oy0 - y0)
            if max(abs(ox1 - x1 - by[0]), abs(oy1 - y1 - by[1])) <= TOUCH:
                yield abs(by[0]) + abs(by[1]), other.name, (*by, 0.0)


def _still_carries(scene: Scene, shift: Shift3) -> bool:
    moved = shifted(scene.mover, shift)
    return all(rests_on(rider, moved) or not rests_on(rider, scene.mover) for rider in scene.group[1:])
