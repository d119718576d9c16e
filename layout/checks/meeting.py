"""How far two things are in each other."""

from __future__ import annotations

from layout.checks.context import shared_box
from layout.model.layout import Placed
from layout.model.solid import Point, Solid
from layout.space.space import TOUCH

Shared = tuple[float, Solid]


def deepest(a: Placed, b: Placed) -> Shared | None:
    """Return how deep the two are in each other (the least of the three axes) and the solid of `b` that is deepest."""
    found = [
        (min(shared), other)
        for one in a.solids
        for other in b.solids
        if (shared := shared_box(one, other)) is not None and not nests(a, b, shared[2])
    ]
    return max(found, key=lambda pair: pair[0]) if found else None


def nests(a: Placed, b: Placed, dz: float, shift: Point = (0.0, 0.0)) -> bool:
    """Return whether equal bins, `dz` mm in each other, merely stand in each other's rims, `a` shifted in x and y."""
    rim = a.box.z1 - a.box.z0 - a.thing.stack_step
    if a.thing.group != b.thing.group or a.thing.stack_step <= 0 or dz > rim + TOUCH:
        return False
    sides = zip(a.box.bounds, b.box.bounds, (*shift, *shift), strict=True)
    return all(abs(p + by - q) <= TOUCH for p, q, by in sides)
