"""How much less of a thing would fit where it stands: taken off its ends, its sides or its top."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from layout.checks.context import Context
from layout.model.cure import Cure
from layout.model.layout import Placed
from layout.model.solid import Solid, outer_box
from layout.space.space import TOUCH

Trim = tuple[float, float, float, float, float]
# What one solid has too much of, seen from above.
TooMuch = Callable[[Solid], BaseGeometry]
Span = tuple[float, float]
_MOST = 0.5  # of a size: who is told to take off more rather leaves the thing out


@dataclass(frozen=True, kw_only=True, slots=True)
class Smaller:
    """A size to make less: by how much, in which words, and what then fits, mm."""

    by: float
    word: str
    fits: float
    cure: Cure


def smaller(placed: Placed, too_much: TooMuch, tops: Iterable[float], context: Context) -> tuple[Smaller, ...]:
    """Return ways to make the thing fit where it stands by taking some off one of its sizes, the least first.

    `too_much` tells what of a solid is in the way, seen from above; `tops` are heights at which it might end instead.
    Each way is to be tried. What does not stand square is only made lower.
    """
    axes = () if placed.turn_deg % 90 else ("y", "x")
    found = [*(_lower(context, placed, top) for top in tops),
             *(_narrower(context, placed, too_much, axis) for axis in axes)]  # fmt: skip
    return tuple(sorted((way for way in found if way is not None), key=lambda way: way.by))


def trimmed(placed: Placed, trim: Trim) -> Placed:
    """Return the thing less what `trim` takes off at its rear, front, right and left (as the room has them) and top.

    It may have no solid left, where all of them stood in what is taken off.
    """
    (x0, y0, x1, y1), (rear, front, right, left, up) = placed.box.bounds, trim
    plan, top = shapely.box(x0 + rear, y0 + right, x1 - front, y1 - left), placed.box.z1 - up
    solids = tuple(
        replace(solid, outline=ring, z1=min(solid.z1, top))
        for solid in placed.solids
        if solid.z0 < top - TOUCH and (ring := _cut(solid, plan))
    )
    return replace(placed, solids=solids, box=outer_box(solids, placed.name) if solids else placed.box)


def _cut(solid: Solid, plan: Polygon) -> tuple[tuple[float, float], ...]:
    outline = Polygon(solid.outline)
    if plan.covers(outline):
        return solid.outline
    left = plan.intersection(outline)
    if left.geom_type != "Polygon" or left.area <= TOUCH:
        return ()
    return tuple((float(x), float(y)) for x, y in left.exterior.coords[:-1])


def _lower(context: Context, placed: Placed, top: float) -> Smaller | None:
    size, by = placed.box.z1 - placed.box.z0, context.up(max(placed.box.z1 - top, 0.0))
    if not 0 < by < size * _MOST:
        return None
    return Smaller(by=by, word="lower", fits=size - by, cure=Cure(things=(placed.name,), trim=(0.0, 0.0, 0.0, 0.0, by)))


def _narrower(context: Context, placed: Placed, too_much: TooMuch, axis: str) -> Smaller | None:
    x0, y0, x1, y1 = placed.box.bounds
    whole = (y0, y1) if axis == "y" else (x0, x1)
    taken = [_span(part, axis) for solid in placed.solids for part in shapely.get_parts(too_much(solid))]
    low, high = _widest_left(whole, [span for span in taken if span[1] - span[0] > TOUCH])
    surplus = low - whole[0], whole[1] - high
    size, by = whole[1] - whole[0], context.up(sum(surplus))
    if not 0 < by < size * _MOST:
        return None
    # What is told is the sum; what it is rounded up by is shared between the ends that are cut.
    cut = [end > 0 for end in surplus]
    share = (by - sum(surplus)) / sum(cut)
    ends = surplus[0] + share * cut[0], surplus[1] + share * cut[1]
    trim: Trim = (0.0, 0.0, *ends, 0.0) if axis == "y" else (*ends, 0.0, 0.0, 0.0)
    return Smaller(by=by, word=_side(axis, ends), fits=size - by, cure=Cure(things=(placed.name,), trim=trim))


def _span(part: BaseGeometry, axis: str) -> Span:
    x0, y0, x1, y1 = part.bounds
    return (y0, y1) if axis == "y" else (x0, x1)


def _widest_left(whole: Span, taken: Sequence[Span]) -> Span:
    """Return the widest stretch of `whole` that none of the spans takes."""
    best, edge = (whole[0], whole[0]), whole[0]
    for low, high in [*sorted(taken), (whole[1], whole[1])]:
        if low - edge > best[1] - best[0]:
            best = (edge, low)
        edge = max(edge, high)
    return best


def _side(axis: str, ends: Sequence[float]) -> str:
    if all(ends):
        return "smaller across" if axis == "y" else "smaller along"
    words = {"y": ("right", "left"), "x": ("rear", "front")}[axis]
    return f"smaller at its {words[0] if ends[0] else words[1]} side"
