"""Rule ``inside``: everything stands inside the room, over its whole height."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from shapely.geometry import Polygon

from layout.checks.context import Context, is_square
from layout.checks.moves import works
from layout.model.finding import Finding
from layout.model.layout import Placed
from layout.model.solid import Point, Solid
from layout.space.slide import Axis, clear_span, fitting_shifts
from layout.space.space import TOUCH, Space

_WORDS = {("y", 1): "left", ("y", -1): "right", ("x", 1): "forward", ("x", -1): "back"}


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
    """Yield a failing finding for each thing that is outside the room, with the smallest move that cures it."""
    for state, things in context.states:
        for placed in things:
            outside = [solid for solid in placed.solids if not context.space.holds(solid)]
            if outside:
                yield _finding(context, state, things, placed, outside)


def _finding(context: Context, state: str, things: Sequence[Placed], placed: Placed, outside: list[Solid]) -> Finding:
    worst = max((_excess(context.space, solid) for solid in outside), key=lambda e: e.depth)
    piece = f" ({worst.solid.name})" if worst.solid.name not in ("", placed.name) else ""
    return Finding(
        rule="inside", severity="fail", things=(placed.name,), states=(state,),
        measured=round(worst.span, 3), wanted=round(worst.size, 3), short_by=round(worst.depth, 3),
        where=worst.solid, cure=_cure(context, things, placed, worst),
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
    x0, _, x1, _ = solid.bounds
    roof = min(space.roof_at(x) for x in (x0, x1, *(x for x, _ in space.roof if x0 < x < x1)))
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


def _cure(context: Context, things: Sequence[Placed], placed: Placed, worst: _Excess) -> str:
    """Say the shortest move that frees the thing and hits nothing; else how much smaller it would have to be."""
    axes: tuple[Axis, ...] = ("x", "y")
    moves = sorted((abs(s), axis, s) for axis in axes for s in fitting_shifts(context.space, placed.solids, axis))
    for size, axis, shift in moves:
        whole = context.up(size) * (1 if shift > 0 else -1)
        if works(context, things, placed, (whole, 0.0) if axis == "x" else (0.0, whole)):
            return f"move it {context.say(abs(whole))} {_WORDS[axis, 1 if shift > 0 else -1]}"
    if worst.what == "floor":
        return f"lift it by {context.say(context.up(worst.depth))}"
    if worst.what == "roof" and _fits_lower(context, placed, worst.depth):
        what = "it or what carries it" if placed.box.z0 > TOUCH else "it"
        return f"make {what} {context.say(context.up(worst.depth))} lower"
    return _smaller(context, placed)


def _fits_lower(context: Context, placed: Placed, by: float) -> bool:
    """Return whether the thing, cut off `by` mm below its top, is inside."""
    top = placed.box.z1 - context.up(by)
    cut = [replace(solid, z1=min(solid.z1, top)) for solid in placed.solids if solid.z0 < top - TOUCH]
    return bool(cut) and all(context.space.holds(solid) for solid in cut)


def _smaller(context: Context, placed: Placed) -> str:
    """Say how much narrower or shorter, and on which side, the thing would have to be to fit on the spot."""
    if placed.turn_deg % 90:
        return "no free move along one axis; turn it square, or stand it elsewhere"
    x0, y0, x1, y1 = placed.box.bounds
    sides: tuple[tuple[Axis, float], ...] = (("y", y1 - y0), ("x", x1 - x0))
    cuts = [(*_surplus(context.space, placed, axis), size, axis) for axis, size in sides]
    usable = [(low + high, low, high, size, axis) for low, high, size, axis in cuts if 0 < low + high < size / 2]
    if not usable:
        return "no free move along one axis; stand it elsewhere"
    cut, low, high, size, axis = min(usable)
    by, fits = context.say(context.up(cut)), context.say(context.down(size - cut))
    return f"no free move along one axis; make it {by} smaller {_side_word(axis, low, high)}: {fits} fit"


def _side_word(axis: Axis, low: float, high: float) -> str:
    if low > TOUCH and high > TOUCH:
        return "across" if axis == "y" else "along"
    words = {"y": ("right", "left"), "x": ("rear", "front")}[axis]
    return f"at its {words[0] if low > TOUCH else words[1]} side"


def _surplus(space: Space, placed: Placed, axis: Axis) -> tuple[float, float]:
    """Return how much of the thing's size along `axis` does not fit at its low and at its high side, mm."""
    low_side = high_side = 0.0
    for solid in placed.solids:
        span = clear_span(space, solid, axis)
        if span is None:
            return 0.0, 0.0
        x0, y0, x1, y1 = solid.bounds
        low, high = (y0, y1) if axis == "y" else (x0, x1)
        low_side, high_side = max(low_side, span[0] - low), max(high_side, high - span[1])
    return low_side, high_side
