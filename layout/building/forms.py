"""The shapes of a panel in all the ways that it can be turned, so that alike panels are known as such."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from layout.model.cutting import Grain
from layout.model.panel import Panel, Side
from layout.model.solid import Point

DIGITS = 1  # of a millimetre: what two saws make alike
Face = Literal["low", "high"]
Rect = tuple[float, float, float, float]
#: Where a groove lies in the plane of its panel, in which face, and how deep.
Groove = tuple[Rect, Face, float]
Ring = tuple[Point, ...]
#: Outline, holes, edge bands by side, grooves.
Shape = tuple[Ring, tuple[Ring, ...], tuple[tuple[Side, float], ...], tuple[Groove, ...]]
Form = tuple[Shape, Grain, Face | None]
_TURNED: dict[Grain, Grain] = {"along": "across", "across": "along", "free": "free"}
_OVER: dict[Face, Face] = {"low": "high", "high": "low"}
_SWAPPED: dict[Side, Side] = {"left": "bottom", "right": "top", "bottom": "left", "top": "right"}
_ALONG: dict[Side, Side] = {"left": "right", "right": "left"}
_ACROSS: dict[Side, Side] = {"bottom": "top", "top": "bottom"}


@dataclass(frozen=True, kw_only=True, slots=True)
class Turn:
    """A panel with its axes swapped or not, then mirrored along its first (`u`) and its second axis (`v`).

    An odd number of these turns it over, so that its low face is its high one.
    """

    panel: Panel
    swap: bool
    u: bool
    v: bool

    def form(self, grooves: Sequence[Groove]) -> Form:
        """Return the panel's shape from its low corner, its grain, and which of its faces is the good one."""
        panel = self.panel
        shape = (
            _ring(tuple(self._point(p) for p in panel.outline)),
            tuple(sorted(_ring(tuple(self._point(p) for p in hole)) for hole in panel.holes)),
            tuple(sorted((self._side(side), mm) for side, mm in panel.bands)),
            tuple(sorted((self._rect(rect), self._face(face), depth) for rect, face, depth in grooves)),
        )
        return shape, _TURNED[panel.grain] if self.swap else panel.grain, self._face(panel.good) if panel.good else None

    def _point(self, p: Point) -> Point:
        us, vs = zip(*self.panel.outline, strict=True)
        at, size = (p[0] - min(us), p[1] - min(vs)), (self.panel.length, self.panel.width)
        (a, b), (length, width) = (at[::-1], size[::-1]) if self.swap else (at, size)
        # Adding nought makes nought of minus nought.
        return round(length - a if self.u else a, DIGITS) + 0.0, round(width - b if self.v else b, DIGITS) + 0.0

    def _rect(self, rect: Rect) -> Rect:
        p, q = self._point(rect[:2]), self._point(rect[2:])
        return min(p[0], q[0]), min(p[1], q[1]), max(p[0], q[0]), max(p[1], q[1])

    def _side(self, side: Side) -> Side:
        side = _SWAPPED[side] if self.swap else side
        side = _ALONG.get(side, side) if self.u else side
        return _ACROSS.get(side, side) if self.v else side

    def _face(self, face: Face) -> Face:
        return _OVER[face] if (self.swap + self.u + self.v) % 2 else face


def _ring(points: Ring) -> Ring:
    """Return a ring told from its lowest corner on, in the direction that tells the lower corners first."""
    ways = [points, points[::-1]]
    starts = [way.index(min(way)) for way in ways]
    return min(way[at:] + way[:at] for way, at in zip(ways, starts, strict=True))
