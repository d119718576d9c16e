"""Volumes: what a thing fills, and what must stay free for it."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import cos, radians, sin
from typing import Literal

Point = tuple[float, float]
ZoneKind = Literal["lift", "pull", "headroom"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Solid:
    """A plan outline between two heights: corners in order (mm), not repeated; z0 < z1 (mm)."""

    name: str
    outline: tuple[Point, ...]
    z0: float
    z1: float
    #: x0, y0, x1, y1 of the outline, mm; kept, since every check asks for it again and again.
    bounds: tuple[float, float, float, float] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Work out the bounds."""
        xs, ys = zip(*self.outline, strict=True)
        object.__setattr__(self, "bounds", (min(xs), min(ys), max(xs), max(ys)))

    def moved(self, x: float, y: float, z: float) -> Solid:
        """Return the solid shifted by x, y, z mm."""
        outline = tuple((px + x, py + y) for px, py in self.outline)
        return replace(self, outline=outline, z0=self.z0 + z, z1=self.z1 + z)

    def turned(self, angle_deg: float) -> Solid:
        """Return the solid turned about the origin, anticlockwise seen from above; right angles are exact."""
        c, s = _cos_sin(angle_deg)
        outline = tuple((px * c - py * s, px * s + py * c) for px, py in self.outline)
        return replace(self, outline=outline)


def _cos_sin(angle_deg: float) -> tuple[float, float]:
    exact = {0.0: (1.0, 0.0), 90.0: (0.0, 1.0), 180.0: (-1.0, 0.0), 270.0: (0.0, -1.0)}
    turn = angle_deg % 360
    return exact.get(turn) or (cos(radians(turn)), sin(radians(turn)))


def box(name: str, x: tuple[float, float], y: tuple[float, float], z: tuple[float, float]) -> Solid:
    """Return the upright box between the given coordinates, mm."""
    (x0, x1), (y0, y1) = x, y
    return Solid(name=name, outline=((x0, y0), (x1, y0), (x1, y1), (x0, y1)), z0=z[0], z1=z[1])


def outer_box(solids: tuple[Solid, ...], name: str = "") -> Solid:
    """Return the smallest upright box that holds all `solids`."""
    bounds = [solid.bounds for solid in solids]
    return box(
        name,
        (min(b[0] for b in bounds), max(b[2] for b in bounds)),
        (min(b[1] for b in bounds), max(b[3] for b in bounds)),
        (min(s.z0 for s in solids), max(s.z1 for s in solids)),
    )
