"""Which lines a thing has: its bodies' edges where it really bends, and where its bodies pierce each other.

Two panels that lie flush have no line between them, and what lies inside another piece of the same thing is no line
either. Whether the thing is flat at a line is asked of points close beside it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
import shapely
from numpy.typing import NDArray

from layout.views.axonometric.bodies import Body, Floats, plane_axes
from layout.views.axonometric.camera import Camera
from layout.views.axonometric.hiding import positive
from layout.views.axonometric.pieces import facing

# Points are asked this far beside a line in the plane of a face, and this far above and below it, mm.
_ASIDE, _OFF = 0.4, 0.08
# Bodies that reach into each other by less pierce nothing, mm.
_PIERCED = 0.3
# Faces that meet at a smaller angle than this stand for a round one: cosine of 25 degrees.
_SMOOTH = 0.906
_SAME = 1e-9
_TWO = 2
_REACH = 1e5  # mm


@dataclass(frozen=True, kw_only=True, eq=False)
class Lines:
    """Lines in space, m of them: `ends` (m, 2, 3), mm; the `normals` of the two faces there (m, 2, 3); their body.

    `contour` (m,) tells that one of the two faces looks away from the eye.
    """

    ends: Floats
    normals: Floats
    contour: NDArray[np.bool_]
    body: NDArray[np.int64]

    def part(self, keep: NDArray[np.int64] | NDArray[np.bool_]) -> Lines:
        """Return some of them."""
        return Lines(ends=self.ends[keep], normals=self.normals[keep], contour=self.contour[keep], body=self.body[keep])


def lines_of(bodies: Sequence[Body], camera: Camera) -> Floats:
    """Return the lines of one thing that are turned toward the eye, hidden or not: ends, shape (m, 2, 3), mm."""
    lines = _edges(bodies, camera)
    if len(bodies) == 1:
        return lines.ends
    lines = _together(lines, _pierced(bodies, camera))
    return _bending(lines, bodies)


def sharp_edges(bodies: Sequence[Body]) -> Floats:
    """Return all edges at which the bodies bend sharply, whichever way they look: ends, shape (m, 2, 3), mm."""
    found = [
        (body.points[list(ends)], body.normals[faces], False, number)
        for number, body in enumerate(bodies)
        for ends, faces in body.edges().items()
        if body.normals[faces[0]] @ body.normals[faces[-1]] < _SMOOTH
    ]
    return _lines(found).ends if len(bodies) == 1 else _bending(_lines(found), bodies)


def _edges(bodies: Sequence[Body], camera: Camera) -> Lines:
    """Return the edges of the bodies at which a face looks toward the eye, those between flats of a round left out."""
    found = [line for number, body in enumerate(bodies) for line in _of_body(number, body, camera)]
    return _lines(found)


_Line = tuple[Floats, Floats, bool, int]


def _of_body(number: int, body: Body, camera: Camera) -> Iterator[_Line]:
    front = set(facing(body, camera))
    for ends, faces in body.edges().items():
        near = [face for face in faces if face in front]
        normals = body.normals[faces]
        if near and (len(near) < _TWO or normals[0] @ normals[1] < _SMOOTH):
            yield body.points[list(ends)], normals, len(near) < _TWO, number


def _lines(found: Sequence[_Line]) -> Lines:
    return Lines(
        ends=np.array([f[0] for f in found]).reshape(-1, 2, 3),
        normals=np.array([f[1] for f in found]).reshape(-1, 2, 3),
        contour=np.array([f[2] for f in found], dtype=bool),
        body=np.array([f[3] for f in found], dtype=np.int64),
    )


def _together(a: Lines, b: Lines) -> Lines:
    return Lines(
        ends=np.concatenate([a.ends, b.ends]),
        normals=np.concatenate([a.normals, b.normals]),
        contour=np.concatenate([a.contour, b.contour]),
        body=np.concatenate([a.body, b.body]),
    )


def boxes_of(bodies: Sequence[Body]) -> Floats:
    """Return the upright boxes round the bodies, shape (n, 2, 3), mm."""
    return np.array([body.box for body in bodies]).reshape(-1, 2, 3)


def _near(boxes: Floats, gap: float) -> Iterator[tuple[int, int]]:
    """Yield each two boxes that come nearer to each other than `gap`, along every axis; below 0: that overlap by it."""
    for a, b in combinations(range(len(boxes)), 2):
        if (np.minimum(boxes[a, 1], boxes[b, 1]) - np.maximum(boxes[a, 0], boxes[b, 0]) > -gap).all():
            yield a, b


def _pierced(bodies: Sequence[Body], camera: Camera) -> Lines:
    """Return the lines in which faces of two bodies that look toward the eye cross each other."""
    rims = [_rims(body, camera) for body in bodies]
    starts = np.cumsum([0, *(len(normals) for normals, _ in rims)])
    pairs = [
        np.stack(np.meshgrid(np.arange(starts[a], starts[a + 1]), np.arange(starts[b], starts[b + 1])), -1)
        for a, b in _near(boxes_of(bodies), -_PIERCED)
    ]
    if not pairs:
        return _lines([])
    one, other = np.concatenate([p.reshape(-1, _TWO) for p in pairs]).T
    normals, corners = (np.concatenate([rim[i] for rim in rims]) for i in (0, 1))
    of = np.repeat(np.arange(len(bodies)), np.diff(starts))
    return _crossings(normals[one], corners[one], normals[other], corners[other], of[one])


def _rims(body: Body, camera: Camera) -> tuple[Floats, Floats]:
    """Return the convex pieces that look toward the eye: normals (k, 3) and corners (k, 4, 3), as of pieces."""
    normals, corners = [np.zeros((0, 3))], [np.zeros((0, 4, 3))]
    for number in facing(body, camera):
        for ring in body.convex(number):
            normals.append(body.normals[number][None])
            corners.append(body.points[list(ring)][None])
    return np.concatenate(normals), np.concatenate(corners)


def _crossings(n: Floats, p: Floats, m: Floats, q: Floats, body: NDArray[np.int64]) -> Lines:
    """Return the stretches that convex faces have in common, k pairs of them, where they cross.

    The planes n.x = c and m.x = d cross along w = n x m, through (c m x w + d w x n) / w.w.
    """
    way = np.cross(n, m)
    square = (way**2).sum(axis=1)
    kept = square > _SAME
    n, p, m, q, way, square = n[kept], p[kept], m[kept], q[kept], way[kept], square[kept, None]
    c, d = (n * p[:, 0]).sum(axis=1)[:, None], (m * q[:, 0]).sum(axis=1)[:, None]
    foot = (c * np.cross(m, way) + d * np.cross(way, n)) / square
    way = way / np.sqrt(square)
    bounds = [_inside_sides(n, p, foot, way), _inside_sides(m, q, foot, way)]
    at, by_t = (np.concatenate(each, axis=1) for each in zip(*bounds, strict=True))
    # From 0 to 1 is far beyond every room both ways.
    low, high = positive(at - by_t * _REACH, by_t * 2 * _REACH)
    low, high = (low * 2 - 1) * _REACH, (high * 2 - 1) * _REACH
    long = high - low > _PIERCED
    ends = np.stack([foot + way * low[:, None], foot + way * high[:, None]], axis=1)[long]
    return Lines(
        ends=ends,
        normals=np.stack([n, m], axis=1)[long],
        contour=np.zeros(len(ends), dtype=bool),
        body=body[kept][long],
    )


def _inside_sides(normal: Floats, corners: Floats, foot: Floats, way: Floats) -> tuple[Floats, Floats]:
    """Return how far inside each side of a face a point at `t` along the line is: `at + by_t t`, each (k, 4)."""
    run = np.roll(corners, -1, axis=1) - corners
    length = np.linalg.norm(run, axis=2, keepdims=True)
    inward = np.cross(normal[:, None, :], run / np.where(length > 0, length, 1.0))
    at = (inward * (foot[:, None, :] - corners)).sum(axis=2)
    # The side between the two equal corners of a triangle bounds nothing.
    return np.where(length[:, :, 0] > 0, at, 1.0), (inward * way[:, None, :]).sum(axis=2)


def _bending(lines: Lines, bodies: Sequence[Body]) -> Floats:
    """Return the stretches of the lines at which the bodies together bend, shape (m, 2, 3)."""
    of, low, high = _stretches(lines, bodies)
    start, run = lines.ends[of, 0], lines.ends[of, 1] - lines.ends[of, 0]
    middles = start + run * ((low + high) / 2)[:, None]
    bends = _bends(middles, run, lines.normals[of], bodies)
    return _rejoined(lines.ends, of[bends], low[bends], high[bends])


def _rejoined(ends: Floats, of: NDArray[np.int64], low: Floats, high: Floats) -> Floats:
    """Return stretches of lines as segments; those that follow each other as one."""
    made: list[Floats] = []
    last = (-1, -1.0)
    for i, a, b in zip(of.tolist(), low.tolist(), high.tolist(), strict=True):
        start, end = ends[i]
        if last == (i, a):
            made[-1][1] = start + (end - start) * b
        else:
            made.append(np.array([start + (end - start) * a, start + (end - start) * b]))
        last = (i, b)
    return np.array(made).reshape(-1, 2, 3)


def _stretches(lines: Lines, bodies: Sequence[Body]) -> tuple[NDArray[np.int64], Floats, Floats]:
    """Return every line in stretches, cut wherever it passes through the plane of a face of a body that is near."""
    count = len(lines.ends)
    cuts = [(np.arange(count), np.zeros(count)), (np.arange(count), np.ones(count))]
    low, high = lines.ends.min(axis=1) - _ASIDE, lines.ends.max(axis=1) + _ASIDE
    for box, body in zip(boxes_of(bodies), bodies, strict=True):
        near = np.flatnonzero(((low <= box[1]) & (high >= box[0])).all(axis=1))
        start, run = lines.ends[near, 0], lines.ends[near, 1] - lines.ends[near, 0]
        levels = np.array([body.points[face[0][0]] @ n for face, n in zip(body.faces, body.normals, strict=True)])
        slope = run @ body.normals.T
        with np.errstate(divide="ignore", invalid="ignore"):
            t = (levels - start @ body.normals.T) / slope
        rows, columns = np.nonzero((np.abs(slope) > _SAME) & (t > 0) & (t < 1))
        cuts.append((near[rows], t[rows, columns]))
    of, t = (np.concatenate(each) for each in zip(*cuts, strict=True))
    order = np.lexsort((t, of))
    of, t = of[order], t[order]
    kept = (of[1:] == of[:-1]) & (t[1:] > t[:-1])
    return of[:-1][kept], t[:-1][kept], t[1:][kept]


def _bends(points: Floats, run: Floats, normals: Floats, bodies: Sequence[Body]) -> NDArray[np.bool_]:
    """Return of each point on a line whether the bodies together are neither flat nor solid there.

    They are flat if, for one of its two faces, all is free just above the face's plane and filled just below it, on
    both sides of the line; solid if all of these places are filled.
    """
    along = run / np.linalg.norm(run, axis=1)[:, None]
    flat = np.zeros(len(points), dtype=bool)
    solid = np.ones(len(points), dtype=bool)
    for face in (0, 1):
        normal = normals[:, face]
        aside = np.cross(normal, along) * _ASIDE
        above = [_filled(points + normal * _OFF + sign * aside, bodies) for sign in (1, -1)]
        below = [_filled(points - normal * _OFF + sign * aside, bodies) for sign in (1, -1)]
        flat |= ~above[0] & ~above[1] & below[0] & below[1]
        solid &= above[0] & above[1] & below[0] & below[1]
    return ~flat & ~solid


def _filled(points: Floats, bodies: Sequence[Body]) -> NDArray[np.bool_]:
    """Return of each point whether any of the bodies, which are prisms, holds it."""
    made = np.zeros(len(points), dtype=bool)
    for body, (low, high) in zip(bodies, boxes_of(bodies), strict=True):
        near = np.flatnonzero(((points > low) & (points < high)).all(axis=1) & ~made)
        made[near] = _holds(body, points[near])
    return made


def _holds(body: Body, points: Floats) -> NDArray[np.bool_]:
    top = body.normals[1]
    first, second = plane_axes(top)
    corners = [[(p @ first, p @ second) for p in body.points[list(ring)]] for ring in body.faces[1]]
    area = shapely.Polygon(corners[0], corners[1:])
    return np.asarray(shapely.contains_xy(area, points @ first, points @ second), dtype=bool)
