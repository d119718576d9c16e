"""What solids take of the places of an outline: where its origin may not be, or the outline would reach into them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from layout.checks.bicycle_stood import Flags, Floats, Stood, covered, is_square
from layout.space.carry_room import Outline

Shapes = npt.NDArray[np.object_]


@dataclass(frozen=True, kw_only=True, slots=True)
class Taken:
    """Shapes of places that are taken; `bounds` of each, shape (n, 4), and which of them are upright `boxes`."""

    shapes: Shapes
    bounds: Floats
    boxes: Flags

    def of(self, chosen: Flags) -> Taken:
        """Return those that are chosen, by a flag for each."""
        return Taken(shapes=self.shapes[chosen], bounds=self.bounds[chosen], boxes=self.boxes[chosen])

    def off(self, free: BaseGeometry) -> BaseGeometry:
        """Return the places `free` less all that is taken."""
        if free.is_empty or not len(self.shapes):
            return free
        shapely.prepare(free)
        near = self.of(shapely.intersects(free, self.shapes))
        if not len(near.shapes):
            return free
        return free.difference(shapely.union_all(near.of(~covered(near.bounds, near.boxes)).shapes))


def joined(taken: Sequence[Taken]) -> Taken:
    """Return all that is taken as one."""
    return Taken(
        shapes=np.concatenate([t.shapes for t in taken]),
        bounds=np.concatenate([t.bounds for t in taken]),
        boxes=np.concatenate([t.boxes for t in taken]),
    )


def taken_by(stood: Stood, outline: Outline) -> Taken:
    """Return what each outline that stands there takes of the places of a convex `outline`: the Minkowski sums, exact.

    Those of what stands there and the outline mirrored in its origin. Of two upright boxes it is a box. Of two convex
    shapes it is the hull of the sums of their corners. Of any other shape it is the shape moved by one corner of the
    mirrored outline, and the sum of each of its edges with that.
    """
    mirrored = -shapely.get_coordinates(shapely.convex_hull(shapely.multipoints(outline)))[:-1]
    shapes = np.empty(len(stood.outlines), dtype=object)
    boxes = stood.square & is_square(mirrored)
    square, hulls, bent = (np.flatnonzero(f) for f in (boxes, stood.convex & ~boxes, ~stood.convex & ~boxes))
    shapes[square] = _boxes([stood.outlines[i] for i in square], mirrored)
    shapes[hulls] = _hulls([stood.outlines[i] for i in hulls], mirrored)
    for i in bent:
        own = stood.outlines[i]
        edges = [np.stack(edge) for edge in pairwise([*own, own[0]])]
        shapes[i] = shapely.union_all([Polygon(own + mirrored[0]), *_hulls(edges, mirrored)])
    return Taken(shapes=shapes, bounds=shapely.bounds(shapes).reshape(-1, 4), boxes=boxes)


def _boxes(corners: Sequence[Outline], mirrored: Outline) -> Shapes:
    """Return the sums of upright boxes and a mirrored outline that is one."""
    low = np.array([one.min(axis=0) for one in corners]).reshape(-1, 2) + mirrored.min(axis=0)
    high = np.array([one.max(axis=0) for one in corners]).reshape(-1, 2) + mirrored.max(axis=0)
    boxes: Shapes = shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1])
    return boxes


def _hulls(corners: Sequence[Outline], mirrored: Outline) -> Shapes:
    """Return the hulls of the sums of each point set with the corners of a mirrored outline."""
    if not len(corners):
        return np.empty(0, dtype=object)
    sums = (np.concatenate(corners)[:, None, :] + mirrored[None]).reshape(-1, 2)
    owners = np.repeat(np.arange(len(corners)), [len(one) * len(mirrored) for one in corners])
    hulls: Shapes = shapely.convex_hull(shapely.linestrings(sums, indices=owners))
    return hulls
