"""A change that a finding offers, as numbers: what a program, or a test, can carry out."""

from __future__ import annotations

from dataclasses import dataclass

Shift3 = tuple[float, float, float]


@dataclass(frozen=True, kw_only=True, slots=True)
class Cure:
    """Shift `things` by `shift` (x, y, z; mm), or take `trim` off the first of them.

    `trim` is how much less the thing reaches to its rear, front, right and left, and up, mm.
    """

    things: tuple[str, ...]
    shift: Shift3 = (0.0, 0.0, 0.0)
    trim: tuple[float, float, float, float, float] = (0.0, 0.0, 0.0, 0.0, 0.0)
