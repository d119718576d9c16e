"""Moves that a cure offers: tried on the layout, with what stands on the thing, before anybody is told."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from shapely.geometry import Polygon

from layout.checks.bodies import Bodies, bodies_of
from layout.checks.context import Context, shared_box
from layout.checks.meeting import nests
from layout.model.cure import Shift3
from layout.model.layout import Placed
from layout.model.solid import Solid
from layout.space.holding import is_square
from layout.space.space import TOUCH

Shift = tuple[float, float]


@dataclass(frozen=True, kw_only=True, slots=True)
class Scene:
    """What goes along when a thing moves in one state: `group`, the thing first, then all that stands on it.

    `bodies` is everything that stands there, the group included.
    """

    group: tuple[Placed, ...]
    bodies: Bodies

    @property
    def mover(self) -> Placed:
        """Return the thing that is moved."""
        return self.group[0]

    @property
    def solids(self) -> tuple[Solid, ...]:
        """Return all solids that move."""
        return tuple(solid for placed in self.group for solid in placed.solids)

    @property
    def still(self) -> tuple[Placed, ...]:
        """Return the things that are not moved."""
        names = {placed.name for placed in self.group}
        return tuple(placed for placed in self.bodies.things if placed.name not in names)


def rests_on(upper: Placed, lower: Placed, slack: float = TOUCH) -> bool:
    """Return whether `upper` stands on `lower` to within `slack` mm: on its top, or nested in an equal bin's rim."""
    if upper.box.z0 <= TOUCH:
        return False
    tops = tops_under(upper, lower, slack)
    feet = [solid for solid in upper.solids if solid.z0 <= upper.box.z0 + slack] if tops else []
    return any(_share_plan(foot, top) for foot in feet for top in tops)


def tops_under(upper: Placed, lower: Placed, slack: float) -> Sequence[Solid]:
    """Return the solids of `lower` that end at the foot of `upper`, or all if that is in its rim."""
    foot, step = upper.box.z0, lower.thing.stack_step
    if step > 0 and upper.thing.group == lower.thing.group and abs(foot - lower.box.z0 - step) <= slack:
        return lower.solids
    return [solid for solid in lower.solids if abs(solid.z1 - foot) <= slack]


def _share_plan(a: Solid, b: Solid) -> bool:
    (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = a.bounds, b.bounds
    dx, dy = min(ax1, bx1) - max(ax0, bx0), min(ay1, by1) - max(ay0, by0)
    if min(dx, dy) <= TOUCH:
        return False
    if is_square(a) and is_square(b):
        return True
    return bool(Polygon(a.outline).intersection(Polygon(b.outline)).area > TOUCH)


def with_riders(placed: Placed, things: Sequence[Placed]) -> tuple[Placed, ...]:
    """Return the thing and all that stands on it, directly or on what stands on it."""
    group = [placed]
    names = {placed.name}
    for carrier in group:
        riders = [p for p in things if p.name not in names and rests_on(p, carrier)]
        names |= {p.name for p in riders}
        group += riders
    return tuple(group)


def carriers(placed: Placed, things: Iterable[Placed], slack: float = TOUCH) -> tuple[Placed, ...]:
    """Return what the thing stands on, in the order of `things`."""
    return tuple(p for p in things if p.name != placed.name and rests_on(placed, p, slack))


def shifted(placed: Placed, shift: Shift3) -> Placed:
    """Return the thing shifted by x, y, z mm."""
    solids = tuple(solid.moved(*shift) for solid in placed.solids)
    return replace(placed, solids=solids, box=placed.box.moved(*shift))


def works(context: Context, things: Sequence[Placed], placed: Placed, shift: Shift) -> bool:
    """Return whether the thing, with what stands on it, is inside and clear of all others after `shift` (x, y; mm).

    Tried with `things`, and in every other state in which the thing stands at the same place.
    """
    return is_free(context, scenes(context, things, placed), (*shift, 0.0))


def scenes(context: Context, things: Sequence[Placed], placed: Placed) -> tuple[Scene, ...]:
    """Return what goes along with the thing in each state where it stands at this place, in the order of the states.

    `things` are those of one of the states; or others that are tried in place of one, which come first then.
    """
    others = [] if any(known is things for _, known in context.states) else [bodies_of(things)]
    same = [known for _, known in context.states if known is things or _stands(placed, known)]
    # States that are alike are tried once.
    first = [known for i, known in enumerate(same) if known not in same[:i]]
    bodies = [context.bodies(next(state for state, k in context.states if k is known)) for known in first]
    return tuple(_scene(placed, standing) for standing in (*others, *bodies))


def _scene(placed: Placed, bodies: Bodies) -> Scene:
    return Scene(group=with_riders(placed, bodies.things), bodies=bodies)


def _stands(placed: Placed, things: Sequence[Placed]) -> bool:
    return any(p.name == placed.name and p.solids == placed.solids for p in things)


def is_free(context: Context, tried: Sequence[Scene], shift: Shift3) -> bool:
    """Return whether what moves in each scene is inside and clear of all that does not after `shift` mm."""
    return all(_clear(context, scene, shift) for scene in tried)


def _clear(context: Context, scene: Scene, shift: Shift3) -> bool:
    moved = [solid.moved(*shift) for solid in scene.solids]
    if not all(context.space.holds_all(moved)):
        return False
    movers = [placed for placed in scene.group for _ in placed.solids]
    names = {placed.name for placed in scene.group}
    return not any(
        (shared := shared_box(moved[i], scene.bodies.solids[j])) is not None
        and not nests(movers[i], other, shared[2], shift[:2])
        for i, j in scene.bodies.near(moved)
        if (other := scene.bodies.things[scene.bodies.owner[j]]).name not in names
    )
