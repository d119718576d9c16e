"""The roof from above: what is mounted on it and where it is cut through."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from layout.model.solid import Point

RoofKind = Literal["panel", "fan", "hatch", "rack foot", "gland", "other"]


@dataclass(frozen=True, kw_only=True, slots=True)
class RoofThing:
    """A thing on the roof: `at` is its middle, `length` runs along and `width` across, mm.

    `hole` tells that the roof is cut through under it, as large as it is.
    """

    name: str
    kind: RoofKind
    at: Point
    length: float
    width: float
    hole: bool = False

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Return x0, y0, x1, y1 of the thing in plan, mm."""
        (x, y), dx, dy = self.at, self.length / 2, self.width / 2
        return x - dx, y - dy, x + dx, y + dy


@dataclass(frozen=True, kw_only=True, slots=True)
class RoofTop:
    """The outside of the roof in plan: its corners in order, its ribs along x (from, to), what is on it; all mm.

    Its axes are those of the space.
    """

    outline: tuple[Point, ...]
    ribs: tuple[tuple[float, float], ...] = ()
    things: tuple[RoofThing, ...] = ()
