"""Poses of a box that is carried: upright, on its end, on its side, and the tilts between two of them."""

from __future__ import annotations

from math import atan2, cos, degrees, radians, sin
from typing import Literal

#: Length, width and height of the unit as it stands, or its sizes along, across and up in a pose; mm.
Sizes = tuple[float, float, float]
#: As it stands, on its rear or front end, or laid on its left or right side.
Pose = Literal["upright", "on end", "on its side"]
#: From a pose to another, and how many steps of the tip are done.
Tilt = tuple[Pose, Pose, int]

POSES: tuple[Pose, ...] = ("upright", "on end", "on its side")
#: The tips, by the pose in whose axes they are told. What lay along lies across after the last of them.
TIPS: tuple[tuple[Pose, Pose], ...] = (("upright", "on end"), ("upright", "on its side"), ("on end", "on its side"))
TIP_STEPS = 6  # of 15 degrees


def posed(sizes: Sizes, pose: Pose) -> Sizes:
    """Return the sizes along, across and up of a box in that pose."""
    length, width, height = sizes
    return {"upright": sizes, "on end": (height, width, length), "on its side": (length, height, width)}[pose]


def tilted(sizes: Sizes, tip: tuple[Pose, Pose], first: int, last: int) -> Sizes:
    """Return a box that holds a box of `sizes` at every tilt from step `first` to step `last` of the tip.

    Sizes along, across and up, mm, in the axes of the tip's first pose. At the tilt t a rectangle a x c is
    a cos t + c sin t long and a sin t + c cos t high. Its foot may slide on the floor, so that all tilts can be
    kept in one box.
    """
    along, across, up = posed(sizes, tip[0])
    turned = along if tip == TIPS[0] else across
    span = (first * 90.0 / TIP_STEPS, last * 90.0 / TIP_STEPS)
    long, high = _most(turned, up, span), _most(up, turned, span)
    return (long, across, high) if tip == TIPS[0] else (along, long, high)


def tip_height(sizes: Sizes, tip: tuple[Pose, Pose]) -> float:
    """Return how high a box of `sizes` is in the course of the tip, mm: the diagonal of the side that turns."""
    return tilted(sizes, tip, 0, TIP_STEPS)[2]


def _most(a: float, c: float, span: tuple[float, float]) -> float:
    """Return the most of a cos t + c sin t for t in `span` (degrees, 0 to 90): it rises to one peak, then falls."""
    peak = min(max(degrees(atan2(c, a)), span[0]), span[1])
    return max(a * cos(radians(t)) + c * sin(radians(t)) for t in (*span, peak))
