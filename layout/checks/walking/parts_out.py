"""What remains of a way while a drawer is out, a door or a lid open."""

from __future__ import annotations

from dataclasses import dataclass

from shapely.geometry import LineString, Polygon

from layout.checks.walking.floors import reaches
from layout.checks.walking.goals import Goal
from layout.checks.walking.scene import Found, Part, Scene, zone_inside
from layout.checks.walking.site import union_of
from layout.space.aisle import Way
from layout.space.space import TOUCH


@dataclass(frozen=True, kw_only=True, slots=True)
class PartOut:
    """A part that is open, whose it is ('' for the vehicle's own), and the way that remains."""

    owner: str
    name: str
    way: Way

    @property
    def words(self) -> str:
        """Return how the part is called."""
        return f"{self.name} of {self.owner}" if self.owner else self.name


def parts_out(scene: Scene, goal: Goal, found: Found) -> tuple[PartOut, ...]:
    """Return the parts that leave less than a squeeze of the way, each alone, the tightest first.

    A way that is narrower anyway, or goes straight through a door, has none. Parts of the goal itself, and of what is
    under or over it, do not count: they open toward whoever stands there.
    """
    if found.straight is not None or found.width < scene.rule["squeeze"] - TOUCH:
        return ()
    own = _own(scene, goal)
    line = LineString(found.way.route)
    left = [(part, _left(scene, part, goal, found, line)) for part in scene.parts if part[0] not in own]
    out = [PartOut(owner=owner, name=motion.name, way=way) for (owner, motion), way in left if way is not None]
    return tuple(sorted(out, key=lambda part: (part.way.width, part.words)))


def _own(scene: Scene, goal: Goal) -> set[str]:
    """Return the names of the goal and of those owners of parts that are under or over it."""
    owners = {owner for owner, _ in scene.parts}
    others = (p for p in scene.site.bodies.things if p.name in owners)
    here = (p for p in others if Polygon(p.box.outline).intersection(goal.place.plan).area > TOUCH)
    return {goal.name, *(placed.name for placed in here)}


def _left(scene: Scene, part: Part, goal: Goal, found: Found, line: LineString) -> Way | None:
    """Return the way that is left with a part open, None where it is not narrowed below a squeeze."""
    squeeze = scene.rule["squeeze"]
    swept = union_of(solid for solid in part[1].swept if reaches(solid, found.floor.z))
    # The way that was found keeps clear of it: nothing to ask.
    if swept.is_empty or swept.distance(line) >= found.width / 2:
        return None
    way = found.floor.less(swept).way_from_outside(zone_inside(found.floor, goal, squeeze), squeeze, routed=False)
    return way if way.width < squeeze - TOUCH else None
