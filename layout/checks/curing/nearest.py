"""The shortest shift that frees a thing and all that stands on it: in the plan, up and down, or square on its like."""

from __future__ import annotations

from collections.abc import Sequence

from shapely.geometry import Point, Polygon

from layout.checks.context import Context
from layout.checks.curing.level import level_shift
from layout.checks.curing.lifts import carried_lift, upright_shift
from layout.checks.curing.offer import Search, offer_of, window_of
from layout.checks.curing.square import square_alone, square_shifts
from layout.checks.moves import scenes
from layout.model.layout import Placed
from layout.space.space import TOUCH


def shortest_shift(context: Context, things: Sequence[Placed], placed: Placed) -> Search:
    """Return the shortest shifts that bring the thing, with what stands on it, inside and clear of all others.

    Tried in every state in which it stands at the same place. What stands on something still does afterwards. A bin may
    also be set square under another, alone.
    """
    tried = scenes(context, things, placed)
    upright = upright_shift(context, tried)
    known = [*square_shifts(context, tried), *([offer_of(tried, upright)] if upright else [])]
    level, reach = level_shift(context, tried, _out_of_floor(context, placed), [offer.cost for offer in known])
    offers = [*known, *([offer_of(tried, level)] if level else []), *square_alone(context, tried)]
    x0, y0, x1, y1 = placed.box.bounds
    return Search(offers=tuple(offers), window=window_of(tried, max(reach, x1 - x0 + y1 - y0)))


def onto_something(context: Context, things: Sequence[Placed], placed: Placed) -> Search:
    """Return the shortest lift or lowering after which something carries the thing, the floor or another."""
    tried = scenes(context, things, placed)
    found = carried_lift(context, tried)
    return Search(offers=(offer_of(tried, found),) if found else (), window=window_of(tried, 0.0))


def down_to_floor(context: Context, things: Sequence[Placed], placed: Placed) -> Search:
    """Return the shortest shift to a free place on the floor for what stands or hangs above it."""
    tried = scenes(context, things, placed)
    lowered = -context.down(placed.box.z0)
    if lowered >= 0:
        return Search(offers=(), window=window_of(tried, 0.0))
    shift, reach = level_shift(context, tried, lowered, [])
    return Search(offers=(offer_of(tried, shift),) if shift else (), window=window_of(tried, reach))


def _out_of_floor(context: Context, placed: Placed) -> float:
    """Return how far the thing is lifted before it is moved: out of the floor, unless a hole is meant."""
    foot, (x0, y0, x1, y1) = placed.box.z0, placed.box.bounds
    middle = Point((x0 + x1) / 2, (y0 + y1) / 2)
    meant = any(-foot <= hole.depth + TOUCH and Polygon(hole.outline).covers(middle) for hole in context.space.holes)
    return 0.0 if foot >= -TOUCH or meant else context.up(-foot)
