"""A state as people move in it: the room with its doors open, and what stands there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from layout.checks.bodies import Bodies
from layout.model.solid import Solid
from layout.space.parts import Obstacle
from layout.space.space import TOUCH, Space

Named = tuple[str, Solid]


@dataclass(frozen=True, kw_only=True, slots=True)
class Site:
    """`space` has its doors open, `bodies` is what stands in it."""

    space: Space
    bodies: Bodies

    def within(self, volume: Solid) -> Iterator[Named]:
        """Yield what reaches into the box round a volume: the solids of things by the thing's name."""
        (x0, y0, x1, y1), bodies = volume.bounds, self.bodies
        found = bodies.within(np.array((x0, y0, volume.z0)), np.array((x1, y1, volume.z1)))
        yield from ((bodies.things[bodies.owner[k]].name, bodies.solids[k]) for k in found.tolist())


def fixed_within(space: Space, volume: Solid) -> Iterator[Named]:
    """Yield the fixed obstacles that reach into the box round a volume, as if none were rounded off."""
    yield from ((s.name, s) for o in space.obstacles if meet(s := as_solid(o), volume))


def meet(a: Solid, b: Solid) -> bool:
    """Return whether the boxes round two solids reach into each other."""
    (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = a.bounds, b.bounds
    level = min(ax1, bx1) - max(ax0, bx0), min(ay1, by1) - max(ay0, by0)
    return min(*level, min(a.z1, b.z1) - max(a.z0, b.z0)) > TOUCH


def as_solid(obstacle: Obstacle) -> Solid:
    """Return a fixed obstacle as if it were not rounded off."""
    return Solid(name=obstacle.name, outline=obstacle.outline, z0=obstacle.z0, z1=obstacle.z1)


def union_of(solids: Iterable[Solid]) -> BaseGeometry:
    """Return the outlines of all solids together."""
    return shapely.union_all([Polygon(solid.outline) for solid in solids])
