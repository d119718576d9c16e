"""The scene in lines: every thing's lines that show, wide at its outline and narrow inside."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from layout.views.axonometric.bodies import Body, Floats
from layout.views.axonometric.camera import Camera
from layout.views.axonometric.edges import lines_of
from layout.views.axonometric.hiding import visible
from layout.views.axonometric.pieces import Pieces, pieces

Ints = NDArray[np.int64]
Segment = tuple[tuple[float, float], tuple[float, float]]
_ON_OUTLINE = 0.3  # mm


@dataclass(frozen=True, kw_only=True, eq=False)
class Group:
    """What is one thing to the eye: its name, and its bodies."""

    name: str
    bodies: tuple[Body, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Stroke:
    """A line that shows: from where to where (mm of the picture), of which group, at its outline or not."""

    group: int
    ends: Segment
    outline: bool


def occluders(groups: Sequence[Group], camera: Camera) -> tuple[Pieces, Ints]:
    """Return the pieces of all groups, and which group each is of."""
    bodies = [body for group in groups for body in group.bodies]
    of = np.array([i for i, group in enumerate(groups) for _ in group.bodies], dtype=np.int64)
    made = pieces(bodies, camera)
    return made, of[made.body]


def strokes(groups: Sequence[Group], camera: Camera, faces: Pieces, of: Ints) -> tuple[Stroke, ...]:
    """Return all lines of the groups that show."""
    found = [camera.seen(lines_of(group.bodies, camera)) for group in groups]
    segments = np.concatenate([*found, np.zeros((0, 2, 3))])
    owner = [i for i, lines in enumerate(found) for _ in lines]
    rims = {i: _rim(faces, of == i) for i in range(len(groups))}
    shown = visible(segments, faces)
    ends = [(owner[i], _part(segments[i], span)) for i, spans in enumerate(shown) for span in spans]
    return tuple(_split(ends, rims))


def shown_of(segments: Floats, faces: Pieces) -> list[Segment]:
    """Return what shows of segments in u, v, w that belong to nothing, such as the edges of the room."""
    shown = visible(segments, faces)
    return [_part(segments[i], span) for i, spans in enumerate(shown) for span in spans]


def _part(segment: Floats, span: tuple[float, float]) -> Segment:
    (u0, v0), (u1, v1) = ((segment[0] + (segment[1] - segment[0]) * t)[:2].tolist() for t in span)
    return (u0, v0), (u1, v1)


def _rim(faces: Pieces, mine: NDArray[np.bool_]) -> BaseGeometry:
    """Return a narrow band round the outline of a group as seen."""
    shapes = shapely.polygons(faces.corners[mine][:, :, :2])
    whole = shapely.union_all(shapely.buffer(shapes, _ON_OUTLINE / 10, join_style="mitre"))
    return shapely.buffer(whole.boundary, _ON_OUTLINE)


def _split(ends: Sequence[tuple[int, Segment]], rims: Mapping[int, BaseGeometry]) -> list[Stroke]:
    """Return the lines as strokes, parted where they enter or leave the band round their group's outline."""
    lines = np.array([shapely.LineString(segment) for _, segment in ends])
    groups = np.array([group for group, _ in ends], dtype=np.int64)
    made: list[Stroke] = []
    for group in np.unique(groups).tolist():
        band, mine = rims[group], lines[groups == group]
        shapely.prepare(band)
        # Most lines lie wholly in the band or wholly outside it, which is soon known.
        within, outside = shapely.contains(band, mine), shapely.disjoint(band, mine)
        both = mine[~within & ~outside]
        inner = [*mine[outside], *shapely.difference(both, band)]
        outer = [*mine[within], *shapely.intersection(both, band)]
        for outline, parts in ((False, inner), (True, outer)):
            made += [Stroke(group=group, ends=s, outline=outline) for part in parts for s in _segments(part)]
    return made


def _segments(shape: BaseGeometry) -> list[Segment]:
    """Return the pieces of a line; specks left out."""
    coords = [shapely.get_coordinates(part) for part in shapely.get_parts(shape) if part.length > 2 * _ON_OUTLINE]
    return [(tuple(c[0].tolist()), tuple(c[-1].tolist())) for c in coords]
