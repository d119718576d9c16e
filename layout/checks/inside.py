"""Rule ``inside``: everything stands inside the room, over its whole height."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from layout.checks.context import Context
from layout.checks.curing.cures import Cured, Shifts, first_that_fits
from layout.checks.curing.offer import Offer, Window, in_words
from layout.checks.curing.trims import Smaller, smaller
from layout.model.finding import Finding
from layout.model.layout import Placed
from layout.model.solid import Point, Solid
from layout.space.holding import is_square
from layout.space.slide import Axis, clear_span, fitting_shifts
from layout.space.space import TOUCH, Space


@dataclass(frozen=True, kw_only=True, slots=True)
class _Excess:
    """How far a solid is beyond the room: `depth` mm into `what`; `span` is the room's clear measure there."""

    depth: float
    what: str
    solid: Solid
    height: float
    size: float
    span: float


def check(context: Context) -> Iterator[Finding]:
    """Yield a failing finding for each thing that is outside the room, with the smallest change that cures it."""
    shifts = Shifts(context=context)
    for state, things in context.states:
        yield from (finding for _, finding, _ in among(shifts, state, range(len(things))))


def among(shifts: Shifts, state: str, which: Iterable[int]) -> Iterator[tuple[int, Finding, Window]]:
    """Yield of the things of those numbers which are outside in the state, the finding, and on which place it rests."""
    context = shifts.context
    things = context.layout.placed[state]
    for k, solids in outside(context, state, which).items():
        worst = max((_excess(context.space, solid) for solid in solids), key=lambda e: e.depth)
        cured = _cured(shifts, things, things[k])
        yield k, _finding(context, state, things[k], worst, cured), cured.window


def outside(context: Context, state: str, which: Iterable[int]) -> dict[int, list[Solid]]:
    """Return the solids that are outside the room, by the number of the thing, of the things of those numbers."""
    owned = [(k, solid) for k in which for solid in context.layout.placed[state][k].solids]
    found: dict[int, list[Solid]] = {}
    for (k, solid), held in zip(owned, context.space.holds_all([solid for _, solid in owned]), strict=True):
        if not held:
            found.setdefault(k, []).append(solid)
    return found


def _finding(context: Context, state: str, placed: Placed, worst: _Excess, cured: Cured) -> Finding:
    piece = f" ({worst.solid.name})" if worst.solid.name not in ("", placed.name) else ""
    return Finding(
        rule="inside", severity="fail", things=(placed.name,), states=(state,),
        measured=round(worst.span, 3), wanted=round(worst.size, 3), short_by=round(worst.depth, 3),
        where=worst.solid, cure=cured.text, does=cured.does,
        text=f"{placed.name}{piece}: {context.say(worst.depth)} into the {worst.what} "
             f"at height {context.say(worst.height)}",
    )  # fmt: skip


def _excess(space: Space, solid: Solid) -> _Excess:
    """Return the shallowest way in which the solid is beyond the room: that is the one to mend."""
    found = [
        e
        for e in (_beyond(space, solid, "y"), _beyond(space, solid, "x"), _above(space, solid), _below(space, solid))
        if e
    ]
    if not found:
        return _astray(space, solid)
    worst = min(found, key=lambda e: e.depth)
    if is_square(solid):
        return worst
    # The spans are told by the bounding box; what is turned may need a shorter way.
    astray = _astray(space, solid)
    return replace(worst, depth=min(worst.depth, astray.depth))


def _astray(space: Space, solid: Solid) -> _Excess:
    """Return how far a solid whose very middle is not free is from where it would be, or its own size if nowhere."""
    axes: tuple[Axis, ...] = ("x", "y")
    ways = [abs(s) for axis in axes for s in fitting_shifts(space, [solid], axis)]
    x0, y0, x1, y1 = solid.bounds
    depth = min(ways, default=min(x1 - x0, y1 - y0))
    return _Excess(
        depth=depth, what=_what(space, solid, "room's edge"), solid=solid, height=solid.z0, size=depth, span=0.0
    )


def _below(space: Space, solid: Solid) -> _Excess | None:
    """Return how far the solid is below the floor where there is no hole for it."""
    if solid.z0 >= -TOUCH or space.holds(solid):
        return None
    depth = min([-solid.z0, *(-solid.z0 - hole.depth for hole in space.holes if _over(solid, hole.outline))])
    if depth <= TOUCH:
        return None
    return _Excess(depth=depth, what="floor", solid=solid, height=solid.z0, size=solid.z1 - solid.z0, span=solid.z1)


def _over(solid: Solid, outline: tuple[Point, ...]) -> bool:
    return bool(Polygon(outline).buffer(TOUCH, join_style="mitre").covers(Polygon(solid.outline)))


def _beyond(space: Space, solid: Solid, axis: Axis) -> _Excess | None:
    span = clear_span(space, solid, axis)
    if span is None:
        return None
    x0, y0, x1, y1 = solid.bounds
    low, high = (y0, y1) if axis == "y" else (x0, x1)
    over, under = high - span[1], span[0] - low
    if max(over, under) <= TOUCH:
        return None
    depth = over + under if min(over, under) > 0 else max(over, under)
    side = {"y": ("left wall", "right wall"), "x": ("front", "rear end")}[axis][0 if over >= under else 1]
    side = {"y": "walls on both sides", "x": "front and rear ends"}[axis] if min(over, under) > 0 else side
    return _Excess(depth=depth, what=_what(space, solid, side), solid=solid, height=_height(space, solid),
                   size=high - low, span=span[1] - span[0])  # fmt: skip


def _above(space: Space, solid: Solid) -> _Excess | None:
    roof = _roof_over(space, solid)
    if solid.z1 - roof <= TOUCH:
        return None
    return _Excess(
        depth=solid.z1 - roof,
        what="roof",
        solid=solid,
        height=roof,
        size=solid.z1 - solid.z0,
        span=roof - solid.z0,
    )


def _roof_over(space: Space, solid: Solid) -> float:
    x0, _, x1, _ = solid.bounds
    return min(space.roof_at(x) for x in (x0, x1, *(x for x, _ in space.roof if x0 < x < x1)))


def _what(space: Space, solid: Solid, otherwise: str) -> str:
    """Return the name of the obstacle that the solid is in, or `otherwise`."""
    outline = Polygon(solid.outline).buffer(-TOUCH, join_style="mitre")
    for obstacle in space.obstacles:
        section = obstacle.section(max(solid.z0, obstacle.z0)) if solid.z1 > obstacle.z0 + TOUCH else ()
        if section and outline.intersects(Polygon(section)):
            return obstacle.name
    return otherwise


def _height(space: Space, solid: Solid) -> float:
    """Return the lowest height at which most of the solid is beyond the room."""
    heights = space.critical_heights(solid.z0, solid.z1)
    outline = Polygon(solid.outline)
    areas = [round(outline.difference(space.region(z)).area, 3) for z in heights]
    return heights[areas.index(max(areas))]


def _cured(shifts: Shifts, things: Sequence[Placed], placed: Placed) -> Cured:
    context = shifts.context

    def takes_along(offer: Offer) -> bool:
        return placed.name in offer.cure.things

    found = shifts.best(things, [placed], takes_along)
    way = _less(context, things, placed) if found.best is None else None
    if way is not None:
        return Cured(text=_less_in_words(context, placed, way), does=way.cure, window=found.window)
    if found.best is None:
        found = shifts.on_floor(things, [placed], takes_along)
    if found.best is None:
        elsewhere = "stand it elsewhere" if placed.turn_deg % 90 == 0 else "turn it square, or stand it elsewhere"
        return Cured(text=f"no free place at this height; {elsewhere}", does=None, window=found.window)
    mover = "it" if found.best.mover == placed.name else found.best.mover
    return Cured(text=in_words(context, found.best, mover), does=found.best.cure, window=found.window)


def _less(context: Context, things: Sequence[Placed], placed: Placed) -> Smaller | None:
    space = context.space

    def outside(solid: Solid) -> BaseGeometry:
        return Polygon(solid.outline).difference(space.common_room(solid.z0, solid.z1))

    tops = {_roof_over(space, solid) for solid in placed.solids} | {o.z0 for o in space.obstacles}
    ways = smaller(placed, outside, sorted(tops), context)
    return first_that_fits(context, things, placed, ways, lambda less: all(space.holds_all(less.solids)))


def _less_in_words(context: Context, placed: Placed, way: Smaller) -> str:
    by = context.say(way.by)
    if way.word == "lower":
        what = "it or what carries it" if placed.box.z0 > TOUCH else "it"
        return f"make {what} {by} lower"
    return f"no free move; make it {by} {way.word}: {context.say(way.fits)} fit"
