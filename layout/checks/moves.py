"""Moves that a cure offers: tried on the layout, with what stands on the thing, before anybody is told."""

from __future__ import annotations

from collections.abc import Sequence

from shapely.geometry import Polygon

from layout.checks.context import Context, meets
from layout.model.layout import Placed
from layout.model.solid import Solid
from layout.space.space import TOUCH

Shift = tuple[float, float]


def rests_on(upper: Placed, lower: Placed, slack: float = TOUCH) -> bool:
    """Return whether `upper` stands on `lower` to within `slack` mm: on its top, or nested in an equal bin's rim."""
    if upper.box.z0 <= TOUCH:
        return False
    nested = upper.thing.group == lower.thing.group and lower.thing.stack_step > 0
    tops = {round(solid.z1, 3) for solid in lower.solids} | (
        {round(lower.box.z0 + lower.thing.stack_step, 3)} if nested else set()
    )
    return any(abs(upper.box.z0 - top) <= slack for top in tops) and _above(upper.box, lower)


def _above(upper: Solid, lower: Placed) -> bool:
    plan = Polygon(upper.outline)
    return any(plan.intersection(Polygon(solid.outline)).area > TOUCH for solid in lower.solids)


def with_riders(placed: Placed, things: Sequence[Placed]) -> tuple[Placed, ...]:
    """Return the thing and all that stands on it, directly or on what stands on it."""
    group = [placed]
    names = {placed.name}
    for carrier in group:
        riders = [p for p in things if p.name not in names and rests_on(p, carrier)]
        names |= {p.name for p in riders}
        group += riders
    return tuple(group)


def works(context: Context, things: Sequence[Placed], placed: Placed, shift: Shift) -> bool:
    """Return whether the thing, with what stands on it, is inside and clear of all others after `shift` (x, y; mm).

    Tried with `things`, and in every other state in which the thing stands at the same place.
    """
    same = [others for _, others in context.states if others is not things and _stands(placed, others)]
    return all(_clear(context, others, placed, shift) for others in (things, *same))


def _stands(placed: Placed, things: Sequence[Placed]) -> bool:
    return any(p.name == placed.name and p.solids == placed.solids for p in things)


def _clear(context: Context, things: Sequence[Placed], placed: Placed, shift: Shift) -> bool:
    group = with_riders(placed, things)
    names = {p.name for p in group}
    moved = [solid.moved(*shift, 0.0) for p in group for solid in p.solids]
    others = [solid for p in things if p.name not in names for solid in p.solids]
    return all(context.space.holds(solid) for solid in moved) and not meets(moved, others)
