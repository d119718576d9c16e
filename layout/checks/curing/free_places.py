"""Where things may be shifted to: seen from above, all shifts at which they touch nothing that is in their way.

A shift is a point of the plane, x and y in mm. A solid `m` meets an outline `o` at just the shifts in the sum of `o`
and `m` turned round (Minkowski's sum), and the room's border at those in the sums with its edges. What is left of
the plane is free; its corners, and where its border crosses the axes, are shifts at which something touches.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from layout.checks.context import Context
from layout.checks.moves import Scene
from layout.model.solid import Solid
from layout.space.holding import is_square, shrunk
from layout.space.slide import edges_of
from layout.space.space import TOUCH

_ALMOST = 1e-9


def free_shifts(
    context: Context, tried: Sequence[Scene], lift: float, reach: float, within: BaseGeometry | None = None
) -> BaseGeometry:
    """Return the shifts of up to `reach` mm along each axis at which what moves, lifted by `lift`, is in nothing's way.

    Only those `within` that geometry, if given. Solids whose outline is hollow are taken as if filled up, so that some
    shifts may be missing. A shift to outside of the whole room counts as free: nothing is in the way there.
    """
    window = shapely.box(-reach, -reach, reach, reach)
    asked = window if within is None else window.intersection(within)
    if asked.is_empty:
        return asked
    taken = np.concatenate(
        [np.zeros(0, dtype=object), *_walls(context, tried, lift, reach), *_others(tried, lift, reach)]
    )
    if within is not None:
        shapely.prepare(asked)
        taken = taken[shapely.intersects(asked, taken)]
    return shapely.difference(asked, shapely.union_all(taken))


def touching(free: BaseGeometry, reach: float) -> list[tuple[float, float]]:
    """Return the corners of `free` and where its border crosses the axes."""
    axes = shapely.linestrings([[(-reach, 0), (reach, 0)], [(0, -reach), (0, reach)]])
    points = [shapely.get_coordinates(free), shapely.get_coordinates(shapely.intersection(free, axes))]
    return [(float(x), float(y)) for x, y in np.concatenate(points) if max(abs(x), abs(y)) > _ALMOST]


def _walls(context: Context, tried: Sequence[Scene], lift: float, reach: float) -> Iterator[Any]:
    for solid in dict.fromkeys(solid for scene in tried for solid in scene.solids):
        edges = edges_of(context.space.common_room(solid.z0 + lift, solid.z1 + lift))
        x0, y0, x1, y1 = solid.bounds
        low, high = edges.min(axis=1), edges.max(axis=1)
        near = ((high > (x0 - reach, y0 - reach)) & (low < (x1 + reach, y1 + reach))).all(axis=1)
        if near.any():
            yield _sums(edges[near], solid)


def _others(tried: Sequence[Scene], lift: float, reach: float) -> Iterator[Any]:
    """Yield what other things take; what stands alike in several scenes is asked of once."""
    seen: set[tuple[Solid, Solid]] = set()
    for scene in tried:
        names = {placed.name for placed in scene.group}
        still = [placed.name not in names for placed in scene.bodies.things]
        for solid in scene.solids:
            found = _in_reach(scene, solid, lift, reach)
            others = [scene.bodies.solids[j] for j in found if still[scene.bodies.owner[j]]]
            fresh = [other for other in others if (solid, other) not in seen]
            seen.update((solid, other) for other in fresh)
            yield from _sums_with(fresh, solid)


def _in_reach(scene: Scene, solid: Solid, lift: float, reach: float) -> Any:
    x0, y0, x1, y1 = solid.bounds
    low, high = (x0 - reach, y0 - reach, solid.z0 + lift), (x1 + reach, y1 + reach, solid.z1 + lift)
    return scene.bodies.within(np.array(low), np.array(high))


def _sums_with(others: Sequence[Solid], solid: Solid) -> Iterator[Any]:
    square = [is_square(other) and is_square(solid) for other in others]
    boxes = np.array([o.bounds for o, flat in zip(others, square, strict=True) if flat]).reshape(-1, 4)
    x0, y0, x1, y1 = solid.bounds
    inset = TOUCH / 2
    if len(boxes):
        yield shapely.box(
            boxes[:, 0] - x1 + inset, boxes[:, 1] - y1 + inset, boxes[:, 2] - x0 - inset, boxes[:, 3] - y0 - inset
        )
    for other in (o for o, flat in zip(others, square, strict=True) if not flat):
        yield _sums(np.array([other.outline], dtype=float), solid)


def _sums(shapes: Any, solid: Solid) -> Any:
    """Return the sums of each of n shapes (n x corners x 2) and the solid's outline turned round, drawn in a hair."""
    # A hair less, so that what may just touch on both sides still has its place.
    ring = shapely.get_coordinates(shrunk([solid], TOUCH / 2)[0])
    if not len(ring):
        return np.zeros(0, dtype=object)
    points = (shapes[:, :, None, :] - ring[None, None]).reshape(len(shapes), -1, 2)
    return shapely.convex_hull(shapely.linestrings(points))
