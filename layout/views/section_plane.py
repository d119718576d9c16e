"""A plane that cuts the space: what of a solid it cuts, what lies beyond it, how far; in the figure's own axes.

Across (at an x) a figure has y and z, along (at a y) it has x and z, level (at a z) it has x and y, all in mm. A face
that lies in the plane belongs to what is beyond it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import shapely
from shapely.geometry import LineString, Polygon, box
from shapely.geometry.base import BaseGeometry

from layout.model.solid import Point, Solid
from layout.views.people import Axis, Figure

_FAR = 1e6
_HAIR = 1e-3
_NOTHING = Polygon()


@dataclass(frozen=True, kw_only=True, slots=True)
class Plane:
    """A plane across `axis` at `at` mm, looked through `toward` the higher (1) or the lower values (-1)."""

    axis: Axis
    at: float
    toward: Literal[1, -1]

    @property
    def knife(self) -> float:
        """Return where the plane really cuts: a hair further on, so that what only touches it is not cut."""
        return self.at + self.toward * _HAIR

    def span(self, solid: Solid) -> tuple[float, float]:
        """Return from where to where the solid reaches, as distances beyond the plane, the nearer first, mm."""
        x0, y0, x1, y1 = solid.bounds
        low, high = {"x": (x0, x1), "y": (y0, y1), "z": (solid.z0, solid.z1)}[self.axis]
        return self.distances(low, high)

    def distances(self, low: float, high: float) -> tuple[float, float]:
        """Return two places along the axis as distances beyond the plane, the nearer first, mm."""
        one, other = (low - self.at) * self.toward, (high - self.at) * self.toward
        return min(one, other), max(one, other)

    def cut(self, solid: Solid) -> BaseGeometry:
        """Return what the plane cuts of a solid; empty where it does not."""
        near, far = self.span(solid)
        if not near < _HAIR < far:
            return _NOTHING
        if self.axis == "z":
            return Polygon(solid.outline)
        spans = self.crossings(Polygon(solid.outline))
        return shapely.union_all([box(low, solid.z0, high, solid.z1) for low, high in spans])

    def beyond(self, solid: Solid) -> BaseGeometry:
        """Return the outline of what of a solid is beyond the plane; empty where nothing is."""
        if self.span(solid)[1] <= _HAIR:
            return _NOTHING
        plan = Polygon(solid.outline)
        if self.axis == "z":
            return plan
        left = plan.intersection(self._half())
        if left.is_empty or left.area <= 0:
            return _NOTHING
        x0, y0, x1, y1 = left.bounds
        low, high = (y0, y1) if self.axis == "x" else (x0, x1)
        return box(low, solid.z0, high, solid.z1)

    def crossings(self, plan: BaseGeometry) -> list[tuple[float, float]]:
        """Return the stretches of an area in plan that an upright plane crosses, along the figure, upward."""
        ends = (
            ((self.knife, -_FAR), (self.knife, _FAR)) if self.axis == "x" else ((-_FAR, self.knife), (_FAR, self.knife))
        )
        crossed = shapely.get_parts(LineString(ends).intersection(plan))
        axis = 1 if self.axis == "x" else 0
        spans = [sorted(point[axis] for point in part.coords) for part in crossed if part.length > 0]
        return sorted((float(span[0]), float(span[-1])) for span in spans)

    def figure_point(self, at: tuple[float, float, float]) -> Point:
        """Return where a point of the space lies in the figure, mm."""
        x, y, z = at
        return {"x": (y, z), "y": (x, z), "z": (x, y)}[self.axis]

    def _half(self) -> Polygon:
        low, high = (self.knife, _FAR) if self.toward > 0 else (-_FAR, self.knife)
        return box(low, -_FAR, high, _FAR) if self.axis == "x" else box(-_FAR, low, _FAR, high)

    def body_span(self, person: Figure) -> tuple[float, float]:
        """Return from where to where a body reaches, as distances beyond the plane, mm."""
        return self.distances(*person.span(self.axis))
