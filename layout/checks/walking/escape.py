"""Who gets out of a bed by which door or window: over the floor, straight through a door, or over things."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from layout.checks.walking.exits import Window, published, window
from layout.checks.walking.floors import between, ends, from_outside
from layout.checks.walking.night import Bed, Night
from layout.checks.walking.scene import limits
from layout.checks.walking.straight import Place, straight
from layout.checks.walking.words import listed
from layout.space.parts import Door, WayOut
from layout.space.space import TOUCH

_NOTHING = Polygon()
_SMALL = "is smaller than any published figure"


@dataclass(frozen=True, kw_only=True, slots=True)
class Exit:
    """A door or window as a way out of a bed: good if it has no `fault`, which is told in words, with what `stops` it.

    `figures` are the published ones that it comes up to.
    """

    name: str
    fault: str = ""
    stops: tuple[str, ...] = ()
    figures: tuple[str, ...] = ()
    window: bool = False

    @property
    def good(self) -> bool:
        """Return whether it counts."""
        return not self.fault


def doors_from(night: Night, bed: Bed, k: int) -> tuple[str, ...]:
    """Return the names of the doors that the sleeper of strip `k` reaches over nobody else's."""
    ground, own = night.ground_of(bed, k), [Polygon(bed.strips[k].body.outline)]
    return tuple(
        door.name for door in night.doors
        if _opens_onto(night, bed, door, own) or night.lets_out(ground.by(door.name), bed.reach[k])
    )  # fmt: skip


def room_out(night: Night, bed: Bed, k: int) -> float:
    """Return how wide the best way out from strip `k` is over the floor, up to what somebody takes who crawls, mm."""
    ground = night.ground_of(bed, k)
    return ground.way_from_outside(ground.from_inside(bed.reach[k], night.width), night.width, routed=False).width


def over_things(night: Night, bed: Bed) -> tuple[str, ...]:
    """Return the doors that are reached by crawling over all that is no higher than the mattress, others included."""
    high = night.over_things(bed)
    return tuple(d.door.name for d in high.doorways if night.lets_out(high.by(d.door.name), bed.plan))


def exits(night: Night, bed: Bed, doors: Iterable[Door], ways_out: Iterable[WayOut]) -> tuple[Exit, ...]:
    """Return every door and window as a way out for those in the bed, good or not."""
    return (*(_door_exit(night, bed, door) for door in doors), *(_window_exit(night, bed, out) for out in ways_out))


def _door_exit(night: Night, bed: Bed, door: Door) -> Exit:
    name, figures = f"the {door.name}", published((door.width, door.top - door.sill), night.rule)
    if not door.opens_inside:
        return Exit(name=name, fault="does not open from inside")
    if not figures:
        return Exit(name=name, fault=_SMALL)
    if not _reaches_door(night, bed, door, _NOTHING):
        return _barred(name, _in_the_way(night, bed, door))
    if not _reaches_door(night, bed, door, night.hot):
        return _past(name, night)
    return Exit(name=name, figures=figures)


def _reaches_door(night: Night, bed: Bed, door: Door, hot: BaseGeometry) -> bool:
    if _opens_onto(night, bed, door, [Polygon(strip.body.outline).difference(hot) for strip in bed.strips]):
        return True
    ground = night.ground(bed).by(door.name).less(hot)
    return night.lets_out(ground, bed.whole_reach.difference(hot))


def _opens_onto(night: Night, bed: Bed, door: Door, plans: Iterable[BaseGeometry]) -> bool:
    how = limits(night.walk)
    reached = (straight(night.site, door, Place(plan=plan, top=bed.top), how) for plan in plans)
    return any(one is not None and one.width >= night.width - TOUCH for one in reached)


def _in_the_way(night: Night, bed: Bed, door: Door) -> tuple[str, ...]:
    """Return what narrows or bars the way from a bed to a door."""
    ground = night.ground(bed).by(door.name)
    way = ground.way_from_outside(ground.from_inside(bed.whole_reach, night.width), night.width, routed=False)
    if way.pinch is not None:
        return tuple(dict.fromkeys(name for name in ends(ground, way.pinch) if name))
    return tuple(name for name in between(ground, from_outside(ground), bed.plan) if name != bed.name)


def _barred(name: str, stops: tuple[str, ...]) -> Exit:
    return Exit(name=name, fault=f"is barred by {listed(stops)}" if stops else "is not reached", stops=stops)


def _past(name: str, night: Night) -> Exit:
    stops = tuple(placed.name for placed in night.hot_things)
    return Exit(name=name, fault=f"lies past {listed(stops)}", stops=stops)


def _window_exit(night: Night, bed: Bed, out: WayOut) -> Exit:
    if not published(out.sizes, night.rule):
        return Exit(name=out.name, fault=_SMALL)
    found = window(night.site, out, night.rule)
    figures = published(found.left, night.rule)
    if not figures:
        return _barred(out.name, found.stops)
    if not _reaches_window(night, bed, found, _NOTHING):
        return Exit(name=out.name, fault="is not reached")
    if not _reaches_window(night, bed, found, night.hot):
        return _past(out.name, night)
    return Exit(name=out.name, figures=figures, window=True)


def _reaches_window(night: Night, bed: Bed, found: Window, hot: BaseGeometry) -> bool:
    """Return whether somebody in the bed gets before a window: from the bed itself, or over the floor."""
    before, (low, high) = found.plan.difference(hot), found.out.z
    hatch, sill = found.out.side == "roof", night.rule["sill"]
    if (hatch or (low - bed.top <= sill and high > bed.top)) and before.intersection(bed.whole_reach).area > TOUCH:
        return True
    if not hatch and low > sill:
        return False
    return night.ground(bed).less(hot).joins(bed.whole_reach.difference(hot), before, night.width)
