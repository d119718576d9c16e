"""What is asked of the ways in one state: its floors, worked out once, and the best way to each goal."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field, replace

from shapely.geometry.base import BaseGeometry

from layout.checks.bodies import bodies_of
from layout.checks.context import Context
from layout.checks.moves import shifted
from layout.checks.walking.core import NOWHERE
from layout.checks.walking.doorways import Measures, Span
from layout.checks.walking.floors import Floor, between, door_of, floor, from_outside
from layout.checks.walking.goals import Arm, Goal, goals
from layout.checks.walking.site import Site
from layout.checks.walking.straight import Limits, Reached, widest_straight
from layout.model.cure import Shift3
from layout.model.finding import Severity
from layout.model.motion import Motion
from layout.model.rule import Rule
from layout.model.spot import Spot
from layout.space.aisle import Way
from layout.space.space import TOUCH, Space

#: The rule whose numbers say how people walk, also for other rules.
WALKING = "aisle"
_WIDTHS = ("least", "squeeze", "walk", "work", "drawer")
_THIN = 100.0  # mm: no way that narrow is sought
#: What is swept and stays there while the part is open.
_STAYS = ("drawer", "door", "lid", "flap", "sweep")
Part = tuple[str, Motion]


@dataclass(frozen=True, kw_only=True)
class Scene:
    """One state: the site, the `goals` in it, and the `parts` that may be open, with the names of their owners."""

    state: str
    rule: Rule
    site: Site
    spots: tuple[Spot, ...]
    goals: tuple[Goal, ...]
    parts: tuple[Part, ...]
    # Worked out when first asked for, by the height of the body.
    _floors: dict[str, Floor] = field(default_factory=dict, init=False, repr=False, compare=False)

    def alike(self, other: Scene) -> bool:
        """Return whether both have the same things in the same places, used the same way."""
        used = self.spots == other.spots and [p[1].name for p in self.parts] == [p[1].name for p in other.parts]
        return used and self.site.bodies.things == other.site.bodies.things

    def moved(self, names: Collection[str], shift: Shift3) -> Scene:
        """Return the scene with the things of those names shifted by x, y, z mm."""
        things = [shifted(p, shift) if p.name in names else p for p in self.site.bodies.things]
        return _scene(self.state, self.rule, Site(space=self.site.space, bodies=bodies_of(things)), self.spots)

    @property
    def upright(self) -> str:
        """Return how people go where the room is high: stooped, or in a low room on hands and knees."""
        return "crawl" if self.site.space.height < self.rule["stoop"] else "stoop"

    def floor(self, posture: str) -> Floor:
        """Return the free floor for a body that stoops or crawls."""
        if posture not in self._floors:
            heights = (self.rule["step_over"], self.rule[posture])
            self._floors[posture] = floor(self.site, heights, self.site.space.doors, measures(self.rule))
        return self._floors[posture]

    @property
    def most(self) -> float:
        """Return the width beyond which nobody asks, mm."""
        return max(self.rule[width] for width in _WIDTHS)


@dataclass(frozen=True, kw_only=True)
class Found:
    """The best way to a goal: over the `floor`, or `straight` through a door.

    `stooped` is the best way upright, where nobody passes by that and one crawls in a room high enough to walk in.
    """

    width: float
    way: Way
    floor: Floor
    posture: str
    straight: Reached | None = None
    stooped: Found | None = None
    barred_by: tuple[str, ...] = ()

    @property
    def told(self) -> Found:
        """Return the way whose width is told: that on which people walk as the room lets them."""
        return self.stooped or self

    def severity(self, rule: Rule) -> Severity:
        """Return how grave it is."""
        if self.width < rule["least"] - TOUCH:
            return "fail"
        return "warn" if self.stooped or self.width < rule["squeeze"] - TOUCH else "note"

    def door(self) -> str:
        """Return the name of the door that it is by; only where there is a way."""
        return self.straight.door.name if self.straight else door_of(self.floor, self.way.route).name


def measures(rule: Rule, *more: float) -> Measures:
    """Return how a door is gone through by those whom the walking rule knows, and by others `more` mm wide."""
    widths = [*(rule[name] for name in _WIDTHS), *more]
    # Deep enough for the widest body to stand wholly outside.
    return Measures(wall=rule["wall"], lean=rule["lean"], yard=max(widths) + TOUCH, thin=min(_THIN, min(widths) / 2))


def limits(rule: Rule) -> Limits:
    """Return what counts as straight through a door."""
    return Limits(far=rule["straight"], over=rule["over"], step=rule["step_over"])


def scene_of(context: Context, space: Space, state: str) -> Scene:
    """Return the scene of a state; `space` is the room with its doors open."""
    spots = tuple(spot for spot in context.layout.spots if spot.used_in(state))
    return _scene(state, context.rules[WALKING], Site(space=space, bodies=context.bodies(state)), spots)


def _scene(state: str, rule: Rule, site: Site, spots: tuple[Spot, ...]) -> Scene:
    moving = [(placed.name, motion) for placed in site.bodies.things for motion in placed.motions]
    moving += [("", motion) for motion in site.space.motions]
    parts = tuple((name, motion) for name, motion in moving if motion.used_in(state) and motion.kind in _STAYS)
    wanted = goals(site, spots, Arm(near=rule["near"], over=rule["over"], cook=rule["cook"]))
    return Scene(state=state, rule=rule, site=site, spots=spots, goals=tuple(wanted), parts=parts)


def found_way(scene: Scene, goal: Goal) -> Found:
    """Return the best way to a goal; one that is crawled counts only where no other is passed."""
    rule = scene.rule
    through, over = _through_a_door(scene, goal), walked(scene, goal, scene.upright, scene.most)
    best = _better(through, over)
    if not best.width:
        best = replace(best, barred_by=_bars(best.floor, goal))
    # Nobody gets onto a high bunk from hands and knees.
    may_crawl = scene.upright != "crawl" and goal.place.top <= rule["stoop"]
    if may_crawl and best.severity(rule) == "fail" and not _crawl_fails(scene, goal):
        crawl = replace(walked(scene, goal, "crawl", scene.most), stooped=best)
        return crawl if crawl.severity(rule) != "fail" else best
    return best


def _crawl_fails(scene: Scene, goal: Goal) -> bool:
    """Return whether it is certain at little cost that nobody passes on hands and knees either."""
    ground = _beside(scene.floor("crawl"), goal)
    return ground.is_barred(zone_inside(ground, goal, scene.most), scene.rule["least"])


def _better(through: Found, over: Found) -> Found:
    """Return the wider way; of two as wide, the one over the floor, unless both are by the same door."""
    if abs(through.width - over.width) > TOUCH or not over.width:
        return through if through.width > over.width else over
    return through if through.door() == over.door() else over


def _through_a_door(scene: Scene, goal: Goal) -> Found:
    best = widest_straight(scene.site, scene.site.space.doors, goal.place, limits(scene.rule))
    way = Way(width=min(best.width, scene.most), limit="most") if best and best.width else NOWHERE
    floor = scene.floor(scene.upright)
    return Found(width=way.width, way=way, floor=floor, posture=scene.upright, straight=best)


def walked(scene: Scene, goal: Goal, posture: str, most: float) -> Found:
    """Return the widest way to a goal over the floor, up to `most` mm."""
    ground = _beside(scene.floor(posture), goal)
    # A route tells by which door one comes, and what parts get in its way.
    routed = bool(scene.parts) or len(ground.doorways) > 1
    way = ground.way_from_outside(zone_inside(ground, goal, most), most, routed=routed)
    return Found(width=way.width, way=way, floor=ground, posture=posture)


def wide_enough(scene: Scene, goal: Goal, wanted: float, posture: str) -> bool:
    """Return whether a goal is reached by a way `wanted` mm wide, straight through a door or over the floor."""
    if _through_a_door(scene, goal).width >= wanted - TOUCH:
        return True
    ground = _beside(scene.floor(posture), goal)
    return ground.lets_out(zone_inside(ground, goal, wanted), wanted)


def bars(scene: Scene, goal: Goal, wanted: float) -> list[Span]:
    """Return spans of x that bar all ways `wanted` mm wide to a goal, each by itself and whatever stands far from it.

    None of them counts where the goal lies straight behind a door.
    """
    if widest_straight(scene.site, scene.site.space.doors, goal.place, limits(scene.rule)) is not None:
        return []
    ground = _beside(scene.floor(scene.upright), goal)
    return ground.bars(goal.zone, wanted)


def zone_inside(ground: Floor, goal: Goal, width: float) -> BaseGeometry:
    """Return from where the goal is in reach for those inside; straight through a door is another question."""
    return goal.zone if goal.place.plan.is_empty else ground.from_inside(goal.zone, width)


def _beside(ground: Floor, goal: Goal) -> Floor:
    """Return the floor without what lies under the goal, if that hangs higher: nobody comes up through it."""
    return ground.less(goal.place.plan) if goal.body.z0 >= ground.z[1] - TOUCH else ground


def _bars(ground: Floor, goal: Goal) -> tuple[str, ...]:
    """Return what stands on the straight line from where one gets from outside to a goal that is not reached."""
    return between(ground, from_outside(ground), goal.zone if goal.place.plan.is_empty else goal.place.plan)
