"""A state by night: beds with their sleepers' strips, the floor for somebody on hands and knees, and what may burn."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from layout.checks.walking.beds import Strip, in_reach, sleepers, strips
from layout.checks.walking.floors import Floor, floor
from layout.checks.walking.goals import covered
from layout.checks.walking.scene import measures
from layout.checks.walking.site import Site, union_of
from layout.model.layout import Placed
from layout.model.rule import Rule
from layout.space.parts import Door
from layout.space.space import TOUCH

_HOT = ("flame", "gas")


@dataclass(frozen=True, kw_only=True)
class Bed:
    """A mattress with its sleepers' strips, and from where each strip is in reach."""

    placed: Placed
    strips: tuple[Strip, ...]
    reach: tuple[BaseGeometry, ...]

    @property
    def name(self) -> str:
        """Return what it is called."""
        return self.placed.name

    @property
    def top(self) -> float:
        """Return how high it is, mm."""
        return self.placed.box.z1

    @property
    def plan(self) -> BaseGeometry:
        """Return its outline."""
        return union_of(strip.body for strip in self.strips)

    @property
    def whole_reach(self) -> BaseGeometry:
        """Return from where some strip is in reach."""
        return shapely.union_all(self.reach)


@dataclass(frozen=True, kw_only=True)
class Night:
    """One state by night: the numbers of the rules how people `walk`, and of the own one; `doors` open from inside."""

    walk: Rule
    rule: Rule
    site: Site
    doors: tuple[Door, ...]
    # Worked out when first asked for.
    _grounds: dict[str, Floor] = field(default_factory=dict, init=False, repr=False, compare=False)

    @property
    def width(self) -> float:
        """Return how wide somebody is who crawls, mm."""
        return self.rule["width"]

    def ground(self, bed: Bed) -> Floor:
        """Return the free floor for somebody on hands and knees; nobody comes up through a bed that hangs."""
        if "" not in self._grounds:
            heights = (self.walk["step_over"], self.walk["crawl"])
            self._grounds[""] = floor(self.site, heights, self.doors, measures(self.walk, self.width))
        ground = self._grounds[""]
        if bed.placed.box.z0 < ground.z[1] - TOUCH:
            return ground
        if bed.name not in self._grounds:
            self._grounds[bed.name] = ground.less(bed.plan)
        return self._grounds[bed.name]

    def ground_of(self, bed: Bed, k: int) -> Floor:
        """Return the same without where others lie: a mattress on the floor itself might be walked over."""
        ground = self.ground(bed)
        low = [strip.body for placed in sleepers(self.site.bodies.things) if placed.box.z0 < ground.z[1]
               for strip in strips(placed, 0.0) if strip.body != bed.strips[k].body]  # fmt: skip
        return ground.less(union_of(low))

    def lets_out(self, ground: Floor, reach: BaseGeometry) -> bool:
        """Return whether somebody comes out of a door over the ground, from where a bed is in reach inside."""
        return ground.lets_out(ground.from_inside(reach, self.width), self.width)

    def over_things(self, bed: Bed) -> Floor:
        """Return what is free above the mattress, for somebody who crawls over all that is no higher."""
        low, high = bed.top, bed.top + self.walk["over"]
        doors = [d for d in self.doors if d.sill <= low + self.walk["step_over"] and d.top >= high - TOUCH]
        return floor(self.site, (low, high), doors, measures(self.walk, self.width))

    @property
    def hot_things(self) -> tuple[Placed, ...]:
        """Return what burns or can, unless it is stowed under something."""
        hot = (p for p in self.site.bodies.things if any(hazard in _HOT for hazard in p.thing.hazards))
        return tuple(p for p in hot if not covered(self.site, p, self.walk["cook"]))

    @property
    def hot(self) -> BaseGeometry:
        """Return the plan that is too near to what burns or can."""
        return shapely.union_all([Polygon(p.box.outline).buffer(self.rule["flame"]) for p in self.hot_things])


def beds(site: Site, walk: Rule) -> tuple[Bed, ...]:
    """Return the mattresses that somebody sleeps on; a strip is not in reach over somebody else's."""
    lying = [(placed, strips(placed, walk["near"])) for placed in sleepers(site.bodies.things)]
    return tuple(
        Bed(placed=placed, strips=own, reach=tuple(_reach(site, strip, _mates(lying, placed, strip, over), over)
                                                   for strip in own))
        for over in (walk["over"],)
        for placed, own in lying
    )  # fmt: skip


def _reach(site: Site, strip: Strip, mates: Iterable[Strip], over: float) -> BaseGeometry:
    return in_reach(site, (strip.body,), strip.beside, over).difference(union_of(mate.body for mate in mates))


def _mates(
    lying: Iterable[tuple[Placed, tuple[Strip, ...]]], placed: Placed, strip: Strip, over: float
) -> Iterable[Strip]:
    """Return the strips of all others who lie beside, not above or below."""
    low, high = placed.box.z0, placed.box.z1 + over
    return (s for p, own in lying if p.box.z1 > low and p.box.z0 < high for s in own if s is not strip)
