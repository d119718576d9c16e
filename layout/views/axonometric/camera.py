"""How the scene is looked at: isometric, from above the rear corner on one side, near walls and roof taken away."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Literal

import numpy as np

from layout.views.axonometric.bodies import Floats

Side = Literal["right", "left"]
End = Literal["rear", "front"]
SIDES: tuple[Side, Side] = ("right", "left")
ENDS: tuple[End, End] = ("rear", "front")


@dataclass(frozen=True, kw_only=True, slots=True)
class Camera:
    """An isometric view (ISO 5456-3) from above one end and one side.

    Lengths along x, y and z are true to scale: what the tilt takes off is put back.
    """

    side: Side = "right"
    end: End = "rear"

    @property
    def _ways(self) -> tuple[float, float]:
        """Return the ways along x and y toward the eye, as signs."""
        return (-1.0 if self.end == "rear" else 1.0), (-1.0 if self.side == "right" else 1.0)

    @property
    def to_eye(self) -> Floats:
        """Return the direction toward the eye, of length 1."""
        return np.array([*self._ways, 1.0]) / sqrt(3)

    @property
    def matrix(self) -> Floats:
        """Return the rows that give u (right), v (up) and w (toward the eye) of a point."""
        x, y = self._ways
        right = np.array([-y, x, 0.0]) * sqrt(3) / 2
        up = np.array([-x / 2, -y / 2, 1.0])
        return np.array([right, up, self.to_eye])

    def seen(self, points: Floats) -> Floats:
        """Return u, v, w of points, mm; shape (..., 3)."""
        made: Floats = np.asarray(points, dtype=float) @ self.matrix.T
        return made
