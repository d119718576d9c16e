"""What hides what: segments cut where faces stand before them, exactly."""

from __future__ import annotations

from itertools import groupby

import numpy as np
import shapely

from layout.views.axonometric.bodies import Floats
from layout.views.axonometric.pieces import Pieces

Span = tuple[float, float]
# What touches does not hide: a face must stand this far before a line, mm.
DEPTH = 0.05
# Faces reach this far over their sides, mm, so that no line shines through between two that meet.
_GROWN = 1e-3
# Shorter gaps between two hidden stretches, and shorter stretches that show, are no lines, mm.
_SPECK = 0.5


def visible(segments: Floats, faces: Pieces) -> list[list[Span]]:
    """Return from where to where each segment shows, as shares of its length.

    Parameters
    ----------
    segments
        Ends as u, v, w (mm; w toward the eye), shape (m, 2, 3).
    faces
        What may hide them.

    Notes
    -----
    Along a segment, how far it lies inside a side of a convex face, as seen, and how far behind the face's plane, are
    linear in the share t. Each of them is positive on one side of a single t, so a face hides one stretch, whose ends
    are the largest and the smallest of these.
    """
    if not len(segments):
        return []
    lengths = np.linalg.norm(segments[:, 1, :2] - segments[:, 0, :2], axis=1)
    of, low, high = _hidden(segments, faces)
    order = np.lexsort((high, low, of))
    stretches: dict[int, list[Span]] = {
        key: [(float(low[i]), float(high[i])) for i in each] for key, each in groupby(order, key=lambda i: int(of[i]))
    }
    return [_rest(stretches.get(i, []), _SPECK / max(float(lengths[i]), _SPECK)) for i in range(len(segments))]


def _hidden(segments: Floats, faces: Pieces) -> tuple[Floats, Floats, Floats]:
    """Return hidden stretches: which segment's, and from which share of it to which."""
    shapes = shapely.polygons(faces.corners[:, :, :2])
    lines = shapely.linestrings(segments[:, :, :2])
    of, by = shapely.STRtree(shapes).query(lines, predicate="intersects")
    start, run = segments[of, 0], segments[of, 1] - segments[of, 0]
    plane, sides = faces.plane[by], faces.sides[by]
    bounds = np.concatenate([sides, plane[:, None, :]], axis=1)
    slack = np.array([_GROWN] * 4 + [-DEPTH])
    at = (bounds[:, :, :2] * start[:, None, :2]).sum(axis=2) + bounds[:, :, 2] + slack
    by_t = (bounds[:, :, :2] * run[:, None, :2]).sum(axis=2)
    at[:, 4] -= start[:, 2]
    by_t[:, 4] -= run[:, 2]
    low, high = positive(at, by_t)
    kept = high > low
    return of[kept], low[kept], high[kept]


def positive(at: Floats, by_t: Floats) -> tuple[Floats, Floats]:
    """Return from where to where, within 0 to 1, all of `at + by_t t` are positive; shape (k, n) to (k,) and (k,)."""
    level = np.abs(by_t) < 1e-12  # noqa: PLR2004 (mm over a whole segment: it runs along)
    with np.errstate(divide="ignore", invalid="ignore"):
        root = -at / np.where(level, 1.0, by_t)
    low = np.where(~level & (by_t > 0), root, 0.0).max(axis=1)
    high = np.where(~level & (by_t < 0), root, 1.0).min(axis=1)
    never = (level & (at <= 0)).any(axis=1)
    return np.clip(low, 0.0, 1.0), np.where(never, -1.0, np.clip(high, 0.0, 1.0))


def _rest(stretches: list[Span], speck: float) -> list[Span]:
    """Return what the stretches, by their starts, leave of 0 to 1, without specks."""
    found, at = [], 0.0
    for low, high in stretches:
        if low - at > speck:
            found.append((at, low))
        at = max(at, high)
    if 1.0 - at > speck:
        found.append((at, 1.0))
    return found
