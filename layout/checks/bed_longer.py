"""Whether a mattress can be moved, made longer or wider where it lies, in the room and among what stands there."""

from __future__ import annotations

from collections.abc import Sequence

import shapely
from shapely.geometry import Polygon

from layout.checks.bed_line import Bed, Span, bed_of, edges_of, longest_strip
from layout.checks.context import Context
from layout.checks.moves import with_riders, works
from layout.model.cure import Cure
from layout.model.layout import Placed
from layout.model.solid import Solid
from layout.space.space import TOUCH

# What lies at the low and at the high end of a thing turned by so much, and the way from one to the other.
_ENDS = {0: ("rear", "front"), 90: ("right", "left"), 180: ("front", "rear"), 270: ("left", "right")}
_WAYS = {"rear": "back", "front": "forward", "right": "right", "left": "left"}
Told = tuple[str, Cure | None]


def longer(context: Context, things: Sequence[Placed], placed: Placed, wanted: float) -> Told | None:
    """Return the cure that gives the sleepers `wanted` mm on the spot, as words and, where it is a move, as numbers.

    None where the room itself is not so long there. Where only another thing is in the way, it is named.
    """
    bed = bed_of(placed)
    whole, needed = _free(context, bed, []), max(wanted, bed.length) - TOUCH
    if whole[1] - whole[0] < needed:
        return None
    others = others_of(context, things, placed)
    free = _free(context, bed, [solid for _, solid in others])
    if free[1] - free[0] < needed:
        names = ", ".join(dict.fromkeys(name for name, solid in others if _in_line(bed, whole, solid)))
        return f"the room is long enough there, but not beside what else stands there ({names})", None
    missing = context.up(max(wanted - bed.length, 0.0))
    if free[0] <= bed.along[0] + TOUCH and bed.along[1] - TOUCH <= free[1]:
        return _grown(context, bed, free, missing, "longer"), None
    if missing > 0:
        return f"bring it inside, and make it {context.say(missing)} longer: there is room for both", None
    return _moved(context, things, placed, bed, free)


def wider(context: Context, things: Sequence[Placed], placed: Placed, wanted: float) -> str:
    """Return the cure that makes the mattress as wide as `wanted` on the spot."""
    bed = bed_of(placed).quarter()
    free = _free(context, bed, [solid for _, solid in others_of(context, things, placed)])
    missing = context.up(wanted - bed.length)
    if free[0] <= bed.along[0] + TOUCH and bed.along[1] - TOUCH <= free[1] and free[1] - free[0] >= wanted - TOUCH:
        return _grown(context, bed, free, missing, "wider")
    return f"{context.say(missing)} more wanted, and no room for it there; let fewer sleep on it"


def _free(context: Context, bed: Bed, others: Sequence[Solid]) -> Span:
    """Return the longest stretch that is free over the whole width of the bed and meets it."""
    room = context.space.common_room(*bed.z)
    taken = [Polygon(solid.outline) for solid in others if _level(bed, solid)]
    edges = edges_of(room.difference(shapely.union_all(taken)) if taken else room, bed.turn_deg)
    return longest_strip(edges, bed, bed.across, bed.width, beyond=True).along


def _level(bed: Bed, solid: Solid) -> bool:
    return min(bed.z[1], solid.z1) - max(bed.z[0], solid.z0) > TOUCH


def _in_line(bed: Bed, along: Span, solid: Solid) -> bool:
    """Return whether a solid is at the mattress's height, and in line with it."""
    u0, v0, u1, v1 = solid.turned(-bed.turn_deg).bounds
    apart = u1 <= along[0] or along[1] <= u0 or v1 <= bed.across[0] or bed.across[1] <= v0
    return _level(bed, solid) and not apart


def others_of(context: Context, things: Sequence[Placed], placed: Placed) -> list[tuple[str, Solid]]:
    """Return all other solids, by name, of every state in which the mattress lies so."""
    scenes = [things, *(other for _, other in context.states if other is not things and placed in other)]
    found = {
        (p.name, solid): None
        for scene in scenes
        for p in scene
        if p.name not in {rider.name for rider in with_riders(placed, scene)}
        for solid in p.solids
    }
    return list(found)


def _grown(context: Context, bed: Bed, free: Span, missing: float, word: str) -> str:
    """Say how much longer it is to be, and at which end where only one has the room."""
    cure = f"make it {context.say(missing)} {word}"
    ends = _ENDS.get(round(bed.turn_deg) % 360)
    at_low, at_high = bed.along[0] - free[0], free[1] - bed.along[1]
    if ends is None or min(at_low, at_high) >= missing - TOUCH:
        return cure
    high = missing if at_high >= missing - TOUCH else context.down(max(at_high, 0.0))
    parts = zip((missing - high, high), ends, strict=True)
    return f"{cure}: {' and '.join(f'{context.say(part)} at its {end} end' for part, end in parts if part > 0)}"


def _moved(context: Context, things: Sequence[Placed], placed: Placed, bed: Bed, free: Span) -> Told:
    """Say how far to move it along its length, which brings it inside."""
    up, down = context.up(max(free[0] - bed.along[0], 0.0)), context.up(max(bed.along[1] - free[1], 0.0))
    ends, by = _ENDS.get(round(bed.turn_deg) % 360), up - down
    turned = Solid(name="", outline=((by, 0.0), (0.0, 0.0), (0.0, 1.0)), z0=0.0, z1=1.0).turned(bed.turn_deg)
    # Nought is added, so that no -0 is told.
    way = turned.outline[0][0] + 0.0, turned.outline[0][1] + 0.0
    if ends is None or not works(context, things, placed, way):
        return "bring it inside: there is room for it", None
    cure = Cure(things=tuple(p.name for p in with_riders(placed, things)), shift=(*way, 0.0))
    return f"move it {context.say(abs(by))} {_WAYS[ends[1 if by > 0 else 0]]}", cure
