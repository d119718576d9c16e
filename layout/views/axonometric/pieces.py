"""What can hide: the faces that look toward the eye, in pieces of three or four corners, as arrays."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from layout.views.axonometric.bodies import Body, Floats
from layout.views.axonometric.camera import Camera

# A face of less than this share of its size squared, as seen, is looked at along its edge.
_EDGE_ON = 1e-7
_CORNERS = 4


@dataclass(frozen=True, kw_only=True, eq=False)
class Pieces:
    """Convex pieces of faces, k of them.

    `body` and `face` (k,) tell what they are of; `corners` (k, 4, 3) are u, v, w of their corners, anticlockwise, of a
    triangle the last one twice; `plane` (k, 3) gives w of the plane at u, v as p0 u + p1 v + p2; `sides` (k, 4, 3)
    give how far a place lies inside each side as s0 u + s1 v + s2, mm.
    """

    body: NDArray[np.int64]
    face: NDArray[np.int64]
    corners: Floats
    plane: Floats
    sides: Floats

    def __len__(self) -> int:
        """Return how many there are."""
        return len(self.body)


def pieces(bodies: Sequence[Body], camera: Camera) -> Pieces:
    """Return the pieces of all faces of `bodies` that look toward the eye."""
    found = [piece for number, body in enumerate(bodies) for piece in _pieces(number, body, camera)]
    corners = np.array([c for _, _, c in found]).reshape(-1, _CORNERS, 3)
    return Pieces(
        body=np.array([b for b, _, _ in found], dtype=np.int64),
        face=np.array([f for _, f, _ in found], dtype=np.int64),
        corners=corners,
        plane=_planes(corners),
        sides=_sides(corners),
    )


def _pieces(number: int, body: Body, camera: Camera) -> Iterator[tuple[int, int, Floats]]:
    seen = camera.seen(body.points)
    for face in facing(body, camera):
        for ring in body.convex(face):
            corners = seen[list(ring)]
            if _area(corners) > _EDGE_ON * float(np.ptp(corners[:, :2], axis=0).max()) ** 2:
                yield number, face, corners


def facing(body: Body, camera: Camera) -> list[int]:
    """Return the faces of a body that look toward the eye."""
    return [int(i) for i in np.flatnonzero(body.normals @ camera.to_eye > _EDGE_ON)]


def _area(corners: Floats) -> float:
    u, v = corners[:, 0], corners[:, 1]
    return float(u @ np.roll(v, -1) - v @ np.roll(u, -1)) / 2


def _planes(corners: Floats) -> Floats:
    """Return the plane of each piece; the diagonals of a quadrilateral span it better than two of its sides."""
    across, other = corners[:, 2] - corners[:, 0], corners[:, 3] - corners[:, 1]
    n = np.cross(across, other)
    slope = -n[:, :2] / n[:, 2:]
    level = corners[:, 0, 2] - (slope * corners[:, 0, :2]).sum(axis=1)
    return np.column_stack([slope, level])


def _sides(corners: Floats) -> Floats:
    flat = corners[:, :, :2]
    run = np.roll(flat, -1, axis=1) - flat
    length = np.linalg.norm(run, axis=2)
    # The side between the two equal corners of a triangle bounds nothing.
    keeps = length > 0
    unit = run / np.where(keeps, length, 1.0)[:, :, None]
    inward = np.stack([-unit[:, :, 1], unit[:, :, 0]], axis=2)
    offset = np.where(keeps, -(inward * flat).sum(axis=2), 1.0)
    return np.concatenate([np.where(keeps[:, :, None], inward, 0.0), offset[:, :, None]], axis=2)
