"""Panels: the flat pieces that furniture is made of, where they stand and how they are joined."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from layout.model.cutting import Grain
from layout.model.solid import Point, Solid, box

Axis = Literal["x", "y", "z"]
Side = Literal["left", "right", "bottom", "top"]
JointKind = Literal["butt", "rebate", "groove", "housing", "batten", "corner block", "insert", "bolt", "hinge", "loose"]
Point3 = tuple[float, float, float]
_AXES: tuple[Axis, ...] = ("x", "y", "z")
_FLAT = 1e-6
_SLAB = 5.0  # mm of height of the slabs that stand for a slanting edge; half a slab's run is what they miss


@dataclass(frozen=True, kw_only=True, slots=True)
class Sheet:
    """A material as the furniture sees it: the real thickness in mm and the density in kg/m³."""

    material: str
    thickness: float
    density_kg_m3: float

    def mass_kg(self, length: float, width: float) -> float:
        """Return the mass of a panel of `length` x `width` mm: volume x density, kg."""
        return length * width * self.thickness * self.density_kg_m3 * 1e-9


@dataclass(frozen=True, kw_only=True, slots=True)
class Joint:
    """How a panel's `side` (None: its face) meets the panel called `to`.

    With `depth` mm it reaches into the other: a groove, a housing or a rebate is cut there, so that the two overlap
    in space by that much. ``insert`` and ``bolt`` come apart; ``hinge`` turns; ``loose`` only lies there.
    """

    kind: JointKind
    to: str
    side: Side | None = None
    depth: float = 0.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Panel:
    """One flat piece of a unit, finished size in mm.

    `outline` are its corners in its own plane, `u` along its length and `v` along its width, from its low corner
    `at` in the unit's own axes; `along` and `across` are the axes of the unit that u and v follow. `holes` are
    outlines cut out of it. `grain`: ``along`` its length, ``across`` it or ``free``. `good` is the face that is seen,
    toward the low or the high end of the third axis (None: either). `bands` are sides with edge band and its
    thickness: the part that is sawn is less by so much. `oversize` is what is left on to be cut to fit. `role` is the
    word under which the unit promised it (its name without one).
    """

    name: str
    sheet: Sheet
    outline: tuple[Point, ...]
    at: Point3
    along: Axis
    across: Axis
    grain: Grain = "along"
    holes: tuple[tuple[Point, ...], ...] = ()
    good: Literal["low", "high"] | None = None
    bands: tuple[tuple[Side, float], ...] = ()
    joints: tuple[Joint, ...] = ()
    oversize: float = 0.0
    role: str = ""

    @property
    def length(self) -> float:
        """Return the finished length: the extent along u, mm."""
        return max(u for u, _ in self.outline) - min(u for u, _ in self.outline)

    @property
    def width(self) -> float:
        """Return the finished width: the extent along v, mm."""
        return max(v for _, v in self.outline) - min(v for _, v in self.outline)

    @property
    def cut_length(self) -> float:
        """Return the length to saw: without the bands on its ends, with what is cut to fit, mm."""
        return self.length - sum(mm for side, mm in self.bands if side in ("left", "right")) + self.oversize

    @property
    def cut_width(self) -> float:
        """Return the width to saw, mm."""
        return self.width - sum(mm for side, mm in self.bands if side in ("bottom", "top")) + self.oversize

    @property
    def through(self) -> Axis:
        """Return the axis along which it is as thick as its sheet."""
        return next(axis for axis in _AXES if axis not in (self.along, self.across))

    @property
    def is_rectangle(self) -> bool:
        """Return whether it is a plain rectangle without holes."""
        return _is_box(self.outline) and not self.holes

    @property
    def area(self) -> float:
        """Return the area of its face, holes taken off, mm²."""
        return abs(_area(self.outline)) - sum(abs(_area(hole)) for hole in self.holes)

    @property
    def mass_kg(self) -> float:
        """Return the mass: area x thickness x density, kg."""
        return self.sheet.mass_kg(self.area, 1.0)

    @property
    def span(self) -> Point3:
        """Return its sizes along x, y and z, mm."""
        sizes = {self.along: self.length, self.across: self.width, self.through: self.sheet.thickness}
        return sizes["x"], sizes["y"], sizes["z"]

    @property
    def solid(self) -> Solid:
        """Return the box round it, in the unit's own axes."""
        low = tuple(a + m for a, m in zip(self.at, self._low(), strict=True))
        ends = [(a, a + size) for a, size in zip(low, self.span, strict=True)]
        return box(self.name, ends[0], ends[1], ends[2])

    def _low(self) -> Point3:
        """Return where its outline begins along each axis, from its corner."""
        lows = {self.along: min(u for u, _ in self.outline), self.across: min(v for _, v in self.outline)}
        return lows.get("x", 0.0), lows.get("y", 0.0), lows.get("z", 0.0)

    @property
    def solids(self) -> tuple[Solid, ...]:
        """Return upright solids that fill it: exact if it lies flat or is square, else flat slabs, holes not taken off.

        A slab is as long as its outline is in the middle of it, so that a slanting edge is met on the average.
        """
        if self.is_rectangle or _is_box(self.outline):
            return (self.solid,)
        if self.through == "z":
            x, y, z = self.at
            turned = self.along == "y"
            corners = tuple((x + (v if turned else u), y + (u if turned else v)) for u, v in self.outline)
            return (Solid(name=self.name, outline=corners, z0=z, z1=z + self.sheet.thickness),)
        return tuple(self._slabs())

    def _slabs(self) -> list[Solid]:
        ring = self.outline if self.across == "z" else tuple((v, u) for u, v in self.outline)
        level: Axis = self.along if self.across == "z" else self.across
        slabs: list[Solid] = []
        for low, high in pairwise(_heights(ring)):
            for start, end in _stretches(ring, (low + high) / 2):
                slabs.append(self._slab(level, (start, end), (low, high)))
        return slabs

    def _slab(self, level: Axis, run: tuple[float, float], rise: tuple[float, float]) -> Solid:
        x, y, z = self.at
        t = self.sheet.thickness
        xs = (x + run[0], x + run[1]) if level == "x" else (x, x + t)
        ys = (y + run[0], y + run[1]) if level == "y" else (y, y + t)
        return box(self.name, xs, ys, (z + rise[0], z + rise[1]))


def _is_box(outline: tuple[Point, ...]) -> bool:
    us, vs = {u for u, _ in outline}, {v for _, v in outline}
    return len(outline) == 4 and len(us) == len(vs) == 2  # noqa: PLR2004 (four corners on two levels each way)


def _area(ring: tuple[Point, ...]) -> float:
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise((*ring, ring[0]))) / 2


def _heights(ring: tuple[Point, ...]) -> list[float]:
    """Return the heights of the slabs' edges: every corner, and between corners of slanting edges every few mm."""
    corners = sorted({v for _, v in ring})
    heights: list[float] = []
    for low, high in pairwise(corners):
        slants = any(min(a[1], b[1]) <= low and max(a[1], b[1]) >= high and a[0] != b[0] for a, b in _edges(ring))
        steps = max(1, round((high - low) / _SLAB)) if slants else 1
        heights += [low + (high - low) * i / steps for i in range(steps)]
    return [*heights, corners[-1]]


def _stretches(ring: tuple[Point, ...], height: float) -> list[tuple[float, float]]:
    """Return from where to where the outline is filled on the line at a height."""
    cuts = sorted(
        a[0] + (b[0] - a[0]) * (height - a[1]) / (b[1] - a[1])
        for a, b in _edges(ring)
        if abs(b[1] - a[1]) > _FLAT and (a[1] <= height) != (b[1] <= height)
    )
    return list(zip(cuts[::2], cuts[1::2], strict=False))


def _edges(ring: tuple[Point, ...]) -> list[tuple[Point, Point]]:
    return list(pairwise((*ring, ring[0])))
