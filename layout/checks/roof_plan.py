"""Rule ``roof-plan``: holes and loads on the roof keep off ribs, edges and each other; what is under each hole."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from shapely.geometry import Point, Polygon
from shapely.geometry import box as area

from layout.checks.context import Context
from layout.model.finding import Finding
from layout.model.layout import Placed
from layout.model.roof_top import RoofThing, RoofTop
from layout.model.rule import Rule
from layout.space.space import TOUCH

RULE = "roof-plan"
_LIDS = ("fan", "hatch")
# A panel stands over the feet that carry it and the gland of its own cable.
_UNDER_A_PANEL = ("rack foot", "gland")
_WAYS = (("forward", 1, 0), ("back", -1, 0), ("left", 0, 1), ("right", 0, -1))
_FAR = 1e6


@dataclass(frozen=True, kw_only=True, slots=True)
class _Trouble:
    """What is wrong with a place: with what, in words and as a box in plan (None: the edge); measured, wanted, mm."""

    what: str
    measured: float
    wanted: float
    bounds: tuple[float, float, float, float] | None = None
    other: str = ""


def check(context: Context) -> Iterator[Finding]:
    """Yield what is too near to ribs, edges and others, and as a note what is under each hole in each state."""
    roof = context.space.roof_top
    if roof is None:
        return
    for i, thing in enumerate(roof.things):
        # What two things do to each other is told of the later one in the file.
        for trouble in _troubles(context, roof, thing, roof.things[:i]):
            yield _finding(context, roof, thing, trouble)
        if thing.hole:
            for state, things in context.states:
                yield _under(context, thing, state, things)


def _troubles(context: Context, roof: RoofTop, thing: RoofThing, others: Sequence[RoofThing]) -> Iterator[_Trouble]:
    """Yield what is wrong with the place of a thing; less than nothing is measured where two reach into each other."""
    rule = context.rules[RULE]
    inside = _inside(roof, thing)
    # Feet often stand at the very edge, in a gutter.
    edge = 0.0 if thing.kind == "rack foot" else rule["edge"]
    if inside < edge - TOUCH:
        yield _Trouble(what="the roof's edge", measured=inside, wanted=edge)
    for low, high in roof.ribs if thing.hole else ():
        gap = max(thing.bounds[0] - high, low - thing.bounds[2])
        if gap < rule["rib"] - TOUCH:
            said = f"the rib at {context.say((low + high) / 2)}"
            yield _Trouble(what=said, measured=gap, wanted=rule["rib"], bounds=(low, -_FAR, high, _FAR))
    for other in others:
        kinds = {thing.kind, other.kind}
        gap, wanted = _gap(thing, other), rule["lid" if kinds & {*_LIDS} else "apart"]
        if gap < wanted - TOUCH and not ("panel" in kinds and kinds & {*_UNDER_A_PANEL}):
            yield _Trouble(what=other.name, measured=gap, wanted=wanted, bounds=other.bounds, other=other.name)


def _finding(context: Context, roof: RoofTop, thing: RoofThing, trouble: _Trouble) -> Finding:
    fails = trouble.measured < -TOUCH
    short = trouble.wanted - trouble.measured
    if trouble.bounds is None:
        said = f"hangs {context.say(-trouble.measured)} over {trouble.what}"
    else:
        said = f"reaches {context.say(-trouble.measured)} into {trouble.what}"
    near = f"is {context.say(max(trouble.measured, 0.0))} from {trouble.what}"
    return Finding(
        rule=RULE, severity="fail" if fails else "warn", states=(), things=(),
        text=f"on the roof: {thing.name} {said if fails else near}; {context.say(trouble.wanted)} wanted between them",
        measured=round(trouble.measured, 3), wanted=round(trouble.wanted, 3), short_by=round(short, 3),
        cure=_cure(context, roof, thing, trouble),
    )  # fmt: skip


def _cure(context: Context, roof: RoofTop, thing: RoofThing, trouble: _Trouble) -> str:
    """Return the smallest straight move after which nothing at all is wrong with the place, if there is one."""
    x0, y0, x1, y1 = thing.bounds
    wanted = trouble.wanted
    a0, b0, a1, b1 = trouble.bounds or (0.0, 0.0, 0.0, 0.0)
    by = [wanted - trouble.measured] * 4
    if trouble.bounds is not None:
        by = [a1 + wanted - x0, x1 + wanted - a0, b1 + wanted - y0, y1 + wanted - b0]
    others = [other for other in roof.things if other.name != thing.name]
    for amount, (said, dx, dy) in sorted(zip(by, _WAYS, strict=True)):
        way = context.up(amount)
        moved = replace(thing, at=(thing.at[0] + dx * way, thing.at[1] + dy * way))
        if not any(_troubles(context, roof, moved, others)):
            return f"move it {context.say(way)} {said}"
    return ""


def _under(context: Context, thing: RoofThing, state: str, things: Sequence[Placed]) -> Finding:
    """Return what is under a hole: a warning where it takes the room of the frame, else a note."""
    found = under_hole(things, thing)
    roof = min(context.space.roof_at(x) for x in (thing.bounds[0], thing.bounds[2]))
    name, top = found or ("the floor", 0.0)
    free, wanted = roof - top, context.rules[RULE]["below"]
    near = free < wanted - TOUCH
    return Finding(
        rule=RULE, severity="warn" if near else "note", states=(state,), things=(name,) if found else (),
        text=f"under the hole of {thing.name}: {name}, {context.say(free)} below the ceiling"
             + (f"; {context.say(wanted)} wanted for its frame" if near else ""),
        measured=round(free, 3), wanted=round(wanted, 3), short_by=round(max(wanted - free, 0.0), 3),
        cure=f"put {thing.name} or {name} elsewhere" if near else "",
    )  # fmt: skip


def under_hole(things: Sequence[Placed], thing: RoofThing) -> tuple[str, float] | None:
    """Return the highest thing under something on the roof, and the height of its top there, mm; None if none is."""
    plan = area(*thing.bounds)
    under = [
        (solid.z1, placed.name)
        for placed in things
        for solid in placed.solids
        if Polygon(solid.outline).intersection(plan).area > TOUCH
    ]
    if not under:
        return None
    top, name = max(under)
    return name, top


def round_it(rule: Rule, thing: RoofThing) -> float:
    """Return how much is to be left round a thing, mm: more round what has a lid; nothing round feet."""
    if thing.kind == "rack foot":
        return 0.0
    return rule["lid" if thing.kind in _LIDS else "apart"]


def _inside(roof: RoofTop, thing: RoofThing) -> float:
    """Return how far a thing is from the roof's edge, mm; less than nothing as far as it hangs over."""
    plan, outline = area(*thing.bounds), Polygon(roof.outline)
    if outline.covers(plan):
        return float(outline.exterior.distance(plan))
    return -float(max(outline.distance(Point(corner)) for corner in plan.exterior.coords))


def _gap(a: RoofThing, b: RoofThing) -> float:
    """Return how far two things are apart, mm; less than nothing as far as they must be moved to part."""
    ax0, ay0, ax1, ay1 = a.bounds
    bx0, by0, bx1, by1 = b.bounds
    dx, dy = max(ax0 - bx1, bx0 - ax1), max(ay0 - by1, by0 - ay1)
    return float((dx**2 + dy**2) ** 0.5) if dx > 0 and dy > 0 else max(dx, dy)
