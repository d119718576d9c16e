"""The scene as one picture in mm of the scene: what the sheet draws and where names may stand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely

from layout.drawing.text_width import Box
from layout.model.layout import Placed
from layout.space.parts import Door
from layout.views.axonometric.areas import Shown, shown_areas
from layout.views.axonometric.bodies import Body, Floats, of_obstacle, of_placed
from layout.views.axonometric.camera import SIDES, Camera
from layout.views.axonometric.pieces import Pieces
from layout.views.axonometric.room import (
    Polyline,
    door_lines,
    far_walls,
    fixed,
    floor_ring,
    pit_lines,
    segments,
    wall_lines,
)
from layout.views.axonometric.scene import Group, Segment, Stroke, occluders, shown_of, strokes

if TYPE_CHECKING:
    from layout.space.space import Space

_ENOUGH = 0.5  # of a thing's area

Opening = tuple[str, tuple[Segment, ...]]


@dataclass(frozen=True, kw_only=True, eq=False)
class Picture:
    """What is seen: groups (things, then what is fixed), lines that show, areas that show, lines of the room.

    `things` tells how many of the groups are things. `openings` are the doors by name. All in mm of the scene, u to
    the right and v upward.
    """

    groups: tuple[Group, ...]
    things: int
    strokes: tuple[Stroke, ...]
    areas: tuple[Shown, ...]
    room: tuple[Segment, ...]
    openings: tuple[Opening, ...]
    extent: Box


def picture(space: Space, placed: Sequence[Placed], camera: Camera) -> Picture:
    """Return what is seen of the room and of what stands in it."""
    groups = (*groups_of(placed), *fixed_groups(space, camera))
    faces, of = occluders(groups, camera)
    return Picture(
        groups=groups,
        things=len(placed),
        strokes=strokes(groups, camera, faces, of),
        areas=shown_areas(faces, of, tones(groups, faces)),
        room=tuple(shown_of(camera.seen(segments(_room(space, camera))), faces) + _pits(space, camera, faces)),
        openings=tuple(_opening(door, line, camera, faces) for door, line in door_lines(space, camera)),
        extent=_extent(space, groups, camera),
    )


def groups_of(placed: Sequence[Placed]) -> tuple[Group, ...]:
    """Return the things as groups of bodies."""
    return tuple(Group(name=p.name, bodies=of_placed(p)) for p in placed)


def fixed_groups(space: Space, camera: Camera) -> tuple[Group, ...]:
    """Return what stands in the room for good, wheel wells and the like, as groups of one body."""
    return tuple(Group(name=o.name, bodies=(of_obstacle(o),)) for o in fixed(space, camera))


def best_side(space: Space, states: Sequence[Sequence[Placed]]) -> Camera:
    """Return the camera from whose side more of the things shows, over all states; the right side if equal."""

    def seen(camera: Camera) -> float:
        stood = [fixed_groups(space, camera) for _ in states]
        every = [shares((*groups_of(placed), *well), camera) for placed, well in zip(states, stood, strict=True)]
        # Half of a thing tells what it is; more of one thing does not make up for less of another.
        return sum(min(s, _ENOUGH) for each, placed in zip(every, states, strict=True) for s in each[: len(placed)])

    return max((Camera(side=side) for side in SIDES), key=seen)


def shares(groups: Sequence[Group], camera: Camera) -> list[float]:
    """Return how much of each group shows, as a share of what would if it stood alone."""
    faces, of = occluders(groups, camera)
    shown = [0.0] * len(groups)
    for one in shown_areas(faces, of, np.zeros(len(faces), dtype=np.int64)):
        shown[one.group] += float(one.area.area)
    shapes = shapely.polygons(faces.corners[:, :, :2])
    return [shown[i] / float(shapely.union_all(shapes[of == i]).area) for i in range(len(groups))]


def tones(groups: Sequence[Group], faces: Pieces) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
    """Return of each piece which way it looks: 0 up, 1 to the rear, 2 aside."""
    bodies = [body for group in groups for body in group.bodies]
    return np.array([_tone(bodies[b], f) for b, f in zip(faces.body, faces.face, strict=True)], dtype=np.int64)


def _tone(body: Body, face: int) -> int:
    x, y, z = np.abs(body.normals[face])
    return 0 if z >= max(x, y) else 1 if x >= y else 2


def _room(space: Space, camera: Camera) -> list[Polyline]:
    ring = floor_ring(space)
    return [(*ring, ring[0]), *wall_lines(far_walls(space, camera)), *(pit_lines(hole)[0] for hole in space.holes)]


def _pits(space: Space, camera: Camera, faces: Pieces) -> list[Segment]:
    """Return what shows of the edges down in places where the floor lies lower: what is seen through their rims."""
    found: list[Segment] = []
    for hole in space.holes:
        rim, deep = pit_lines(hole)
        window = shapely.Polygon(camera.seen(np.array(rim))[:, :2])
        for ends in camera.seen(segments(deep)):
            for part in shapely.get_parts(shapely.LineString(ends[:, :2]).intersection(window)):
                if part.length > 1.0:
                    found += shown_of(_deep(part, ends)[None], faces)
    return found


def _deep(part: shapely.Geometry, ends: Floats) -> Floats:
    """Return a part of a segment as seen with its depth toward the eye again."""
    coords = shapely.get_coordinates(part)[[0, -1]]
    run = ends[1] - ends[0]
    share = (coords - ends[0, :2]) @ run[:2] / (run[:2] @ run[:2])
    made: Floats = ends[0] + share[:, None] * run
    return made


def _opening(door: Door, line: Polyline, camera: Camera, faces: Pieces) -> Opening:
    return door.name, tuple(shown_of(camera.seen(segments([line])), faces))


def _extent(space: Space, groups: Sequence[Group], camera: Camera) -> Box:
    lines = segments(_room(space, camera)).reshape(-1, 3)
    points = np.concatenate([lines, *(body.points for group in groups for body in group.bodies)])
    seen = camera.seen(points)
    (u0, v0), (u1, v1) = seen[:, :2].min(axis=0).tolist(), seen[:, :2].max(axis=0).tolist()
    return u0, v0, u1, v1
