"""The free floor at the height of a body."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from layout.model.solid import Solid
from layout.space.erosion import only_areas
from layout.space.space import TOUCH, Space


def free_floor(space: Space, solids: Sequence[Solid], z0: float, z1: float) -> BaseGeometry:
    """Return where an upright body from `z0` to `z1` mm above the floor may be: a multipolygon, perhaps empty.

    The room common to those heights less the outlines of all `solids` that reach into them by more than `TOUCH`.
    """
    room = only_areas(space.common_room(z0, z1))
    inside = [solid.outline for solid in solids if min(solid.z1, z1) - max(solid.z0, z0) > TOUCH]
    if not inside:
        return room
    corners = np.array([corner for outline in inside for corner in outline])
    owner = np.repeat(np.arange(len(inside)), [len(outline) for outline in inside])
    outlines = shapely.polygons(shapely.linearrings(corners, indices=owner))
    return only_areas(shapely.difference(room, shapely.union_all(outlines)))
