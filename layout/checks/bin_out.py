"""Rule ``bin-out``: every bin can be taken out, after those that come out before it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import shapely
from shapely.geometry import Polygon

from layout.checks.context import Context, shared_box
from layout.checks.moves import rests_on
from layout.model.finding import Finding
from layout.model.layout import Placed
from layout.model.solid import Solid, box
from layout.space.parts import Door
from layout.space.space import TOUCH, Space

RULE = "bin-out"
_WAYS = ("up", "front", "rear", "left", "right")
_OUT = 20_000.0


def check(context: Context) -> Iterator[Finding]:
    """Yield a failing finding for each bin that no order of taking bins out frees.

    Taking a bin away never blocks another, so taking out whatever is free, again and again, is exact.
    """
    for state, things in context.states:
        for placed in _stuck(context, things):
            yield _finding(context, state, placed, things)


def _stuck(context: Context, things: Sequence[Placed]) -> list[Placed]:
    left = list(things)
    while True:
        free = [p for p in left if p.thing.take_out and _comes_out(context, p, left)]
        if not free:
            return [p for p in left if p.thing.take_out and not p.thing.sleeps]
        left = [p for p in left if p not in free]


def _comes_out(context: Context, placed: Placed, things: Sequence[Placed]) -> bool:
    return any(_missing(context, placed, things, way) <= TOUCH for way in _ways(placed))


def _ways(placed: Placed) -> tuple[str, ...]:
    return _WAYS if placed.thing.take_out == "any" else (str(placed.thing.take_out),)


def _wanted(context: Context, placed: Placed, way: str) -> float:
    x0, y0, x1, y1 = placed.box.bounds
    size = {"up": placed.box.z1 - placed.box.z0, "front": x1 - x0, "rear": x1 - x0}.get(way, y1 - y0)
    return size + context.rules[RULE]["hand"]


def zone(placed: Placed, way: str, reach: float) -> Solid:
    """Return the room that the bin sweeps when it moves `reach` mm that way: up, front, rear, left or right."""
    (x0, y0, x1, y1), z0, z1 = placed.box.bounds, placed.box.z0, placed.box.z1
    spans = {
        "up": ((x0, x1), (y0, y1), (z1, z1 + reach)),
        "front": ((x1, x1 + reach), (y0, y1), (z0, z1)),
        "rear": ((x0 - reach, x0), (y0, y1), (z0, z1)),
        "left": ((x0, x1), (y1, y1 + reach), (z0, z1)),
        "right": ((x0, x1), (y0 - reach, y0), (z0, z1)),
    }
    return box(f"{placed.name} out {way}", *spans[way])


def _missing(context: Context, placed: Placed, things: Sequence[Placed], way: str) -> float:
    """Return how much of the room that the bin needs that way is not free, mm."""
    wanted = _wanted(context, placed, way)
    if way != "up" and any(rests_on(p, placed) for p in things if p is not placed):
        return wanted
    swept = zone(placed, way, wanted)
    others = [s for p in things if p.name != placed.name for s in p.solids if shared_box(swept, s) is not None]
    free = min((_gap(placed.box, other, way) for other in others), default=wanted)
    return wanted - min(free, _room(context, placed, way, wanted))


def _gap(body: Solid, other: Solid, way: str) -> float:
    (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = body.bounds, other.bounds
    gaps = {
        "up": other.z0 - body.z1,
        "front": bx0 - ax1,
        "rear": ax0 - bx1,
        "left": by0 - ay1,
        "right": ay0 - by1,
    }
    return max(gaps[way], 0.0)


def _room(context: Context, placed: Placed, way: str, wanted: float) -> float:
    """Return how far the bin can go that way before the room, or the door that it leaves by, ends."""
    space, swept = context.space, zone(placed, way, wanted)
    if way == "up":
        return wanted if space.holds(swept) else _roof_gap(space, placed, wanted)
    room = space.common_room(swept.z0, swept.z1)
    frame = context.rules[RULE]["frame"]
    doors = [
        _corridor(space, door, frame)
        for door in space.doors
        if door.sill <= swept.z0 + TOUCH and swept.z1 <= door.top + TOUCH
    ]
    blocked = Polygon(swept.outline).buffer(-TOUCH, join_style="mitre").difference(shapely.union_all([room, *doors]))
    if blocked.is_empty:
        return wanted
    x0, y0, x1, y1 = blocked.bounds
    bx0, by0, bx1, by1 = placed.box.bounds
    gaps: dict[str, float] = {"front": x0 - bx1, "rear": bx0 - x1, "left": y0 - by1, "right": by0 - y1}
    return max(gaps[way], 0.0)


def _roof_gap(space: Space, placed: Placed, wanted: float) -> float:
    """Return how far a bin can rise, to 1 mm."""
    low, high = 0.0, wanted
    while high - low > 1.0:
        middle = (low + high) / 2
        low, high = (middle, high) if space.holds(zone(placed, "up", middle)) else (low, middle)
    return low


def _corridor(space: Space, door: Door, frame: float) -> Polygon:
    """Return the plan of the way through an open door, from a little inside its end to far outside."""
    x0, y0, _, y1 = space.bounds
    if door.side == "rear":
        return shapely.box(x0 - _OUT, door.low, x0 + frame, door.high)
    if door.side == "left":
        return shapely.box(door.low, y1 - frame, door.high, y1 + _OUT)
    return shapely.box(door.low, y0 - _OUT, door.high, y0 + frame)


def _finding(context: Context, state: str, placed: Placed, things: Sequence[Placed]) -> Finding:
    fixed = [p for p in things if not p.thing.take_out]
    short, way = min((_missing(context, placed, fixed, way), way) for way in _ways(placed))
    wanted = _wanted(context, placed, way)
    word = {"up": "above it", "front": "in front of it", "rear": "behind it"}.get(way, f"to its {way}")
    if short <= TOUCH:
        short, text = 0.0, "only bins that cannot be taken out themselves block it"
    else:
        text = f"{context.say(wanted - short)} free {word}, {context.say(wanted)} wanted"
    return Finding(
        rule=RULE, severity="fail", things=(placed.name,), states=(state,), measured=round(wanted - short, 3),
        wanted=round(wanted, 3), short_by=round(short, 3), where=zone(placed, way, wanted),
        text=f"{placed.name} cannot be taken out: {text}",
        cure=f"free {context.say(short)} more {word}" if short else "free one of the bins round it",
    )  # fmt: skip
