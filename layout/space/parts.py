"""What bounds the room besides its walls: wells, obstacles, holes, doors, tie-down points."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Literal

from layout.model.solid import Point

DoorSide = Literal["rear", "left", "right"]
DoorKind = Literal["two leaves", "one leaf", "lift up", "sliding", "ramp"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Obstacle:
    """A fixed solid in the room: an outline (mm) between two heights; its long section rounds off at the top.

    `top_radius` rounds the rear and front top edges in side view (mm; 0: square): the outline then has
    four corners: rear, front, front, rear. The section never grows with height, so its lowest section in a
    span of heights is the largest.
    """

    name: str
    outline: tuple[Point, ...]
    z0: float
    z1: float
    top_radius: float = 0.0

    def section(self, z: float) -> tuple[Point, ...]:
        """Return the outline at height `z` in mm, empty above or below the obstacle."""
        if not self.z0 <= z <= self.z1:
            return ()
        rise = z - (self.z1 - self.top_radius)
        if rise <= 0:
            return self.outline
        inset = self.top_radius - sqrt(max(self.top_radius**2 - rise**2, 0.0))
        return self._shortened(inset)

    def _shortened(self, inset: float) -> tuple[Point, ...]:
        """Return the outline with its two ends drawn in; its corners are rear, front, front, rear."""
        (x0, a0), (x1, a1), _, _ = self.outline
        _, _, (_, b1), (_, b0) = self.outline
        low, high = x0 + inset, x1 - inset
        share0, share1 = (low - x0) / (x1 - x0), (high - x0) / (x1 - x0)
        return (
            (low, a0 + (a1 - a0) * share0),
            (high, a0 + (a1 - a0) * share1),
            (high, b0 + (b1 - b0) * share1),
            (low, b0 + (b1 - b0) * share0),
        )


@dataclass(frozen=True, kw_only=True, slots=True)
class Hole:
    """A place where the floor lies `depth` mm lower, such as a step well."""

    name: str
    outline: tuple[Point, ...]
    depth: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Door:
    """A door opening, along y at the rear and along x in a side, from `low` to `high`, `sill` to `top`, mm.

    `keep_clear` is the width in mm that the owner wants to stay free (None: no wish for this door).
    `opens_inside` tells that whoever sleeps behind it can open it.
    """

    name: str
    side: DoorSide
    kind: DoorKind
    low: float
    high: float
    sill: float
    top: float
    keep_clear: float | None = None
    opens_inside: bool = True

    @property
    def width(self) -> float:
        """Return the width of the opening, mm."""
        return self.high - self.low


@dataclass(frozen=True, kw_only=True, slots=True)
class WayOut:
    """A window or hatch that a person can leave by: the box of its opening, mm, which lies in a wall or the roof."""

    name: str
    side: Literal["left", "right", "front", "rear", "roof"]
    x: tuple[float, float]
    y: tuple[float, float]
    z: tuple[float, float]

    @property
    def sizes(self) -> tuple[float, float]:
        """Return the two sizes of the opening, the smaller first, mm."""
        spans = {
            "left": (self.x, self.z), "right": (self.x, self.z), "front": (self.y, self.z), "rear": (self.y, self.z),
            "roof": (self.x, self.y),
        }  # fmt: skip
        one, other = sorted(high - low for low, high in spans[self.side])
        return one, other


@dataclass(frozen=True, kw_only=True, slots=True)
class Ribs:
    """Ribs of the body: each `width` mm along, its middle at one of `at`, `depth` mm in from the measured walls."""

    at: tuple[float, ...]
    width: float
    depth: float

    def spans(self) -> tuple[tuple[float, float], ...]:
        """Return from where to where along x each rib reaches, mm."""
        return tuple((x - self.width / 2, x + self.width / 2) for x in self.at)


@dataclass(frozen=True, kw_only=True, slots=True)
class TieDown:
    """A lashing point at x, y, z mm; `rated_n` is the force that its maker states, N (None: not stated)."""

    at: tuple[float, float, float]
    rated_n: float | None = None
