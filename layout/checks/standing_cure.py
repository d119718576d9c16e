"""What gives more height where somebody stands, sits or lies: tried before it is told."""

from __future__ import annotations

from collections.abc import Sequence

from layout.checks.context import Context
from layout.checks.moves import is_free, scenes, with_riders
from layout.checks.spot_room import SpotRoom, room_of
from layout.checks.stack import CEILING
from layout.model.cure import Cure
from layout.model.layout import Placed
from layout.model.spot import Spot
from layout.space.space import TOUCH

Told = tuple[str, Cure | None]


def help_for(context: Context, things: Sequence[Placed], spot: Spot, room: SpotRoom, wanted: float) -> Told:
    """Return what gives `wanted` mm at the spot, as words and, where a thing only has to go up, as numbers."""
    by = context.up(wanted - room.free)
    if room.over.thing:
        cure = _raised(context, things, spot, room, wanted)
        if cure is not None:
            return cure
    if spot.does != "stand" and room.foot >= by:
        what = "seat" if spot.does == "sit" else "bed"
        return f"a {what} {context.say(by)} lower, at {context.say(room.foot - by)}, would do", None
    if spot.does == "stand" and room.foot - room.ground >= by - TOUCH:
        return f"without {room.under[-1].name} underfoot it would do" if room.under else "", None
    return _highest(context, room, wanted), None


def _raised(context: Context, things: Sequence[Placed], spot: Spot, room: SpotRoom, wanted: float) -> Told | None:
    """Return the lifting of what hangs too low, if it may go so much higher, and nothing else hangs too low then."""
    hanging = next(p for p in things if p.name == room.over.thing)
    lowest = min(s.z0 for s in hanging.solids)
    by = context.up(room.foot + wanted - room.over.z)
    group = with_riders(hanging, things)
    names = {p.name for p in group}
    rest = [p for p in things if p.name not in names]
    if room_of(context, rest, spot).free < wanted - TOUCH or lowest <= TOUCH:
        return None
    if not is_free(context, scenes(context, things, hanging), (0.0, 0.0, by)):
        return None
    cure = Cure(things=tuple(p.name for p in group), shift=(0.0, 0.0, by))
    return f"hang {hanging.name} {context.say(by)} higher", cure


def _highest(context: Context, room: SpotRoom, wanted: float) -> str:
    """Say where the roof is high enough, or that it is nowhere."""
    high, x = max((z, -x) for x, z in context.space.roof)
    need = room.foot + wanted
    if room.over.what == CEILING and high < need - TOUCH:
        return f"nowhere in this room: its roof is at most {context.say(high)} above the floor"
    return f"choose a place with {context.say(need)} of height; the roof is highest at x {context.say(-x)}"
