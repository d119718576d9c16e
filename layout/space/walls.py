"""Leaning walls: half-widths at heights, at stations along the space, linear in between."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass

Pairs = tuple[tuple[float, float], ...]


def interpolate(pairs: Sequence[tuple[float, float]], at: float) -> float:
    """Return the value at `at` of the broken line through `pairs` (sorted); level beyond its ends."""
    keys = [key for key, _ in pairs]
    i = bisect_right(keys, at)
    if i == 0:
        return pairs[0][1]
    if i == len(pairs):
        return pairs[-1][1]
    (k0, v0), (k1, v1) = pairs[i - 1], pairs[i]
    return v0 + (v1 - v0) * (at - k0) / (k1 - k0)


@dataclass(frozen=True, kw_only=True, slots=True)
class Station:
    """A wall's profile at `x` mm: pairs of height and half-width (mm from the centreline), by height."""

    x: float
    profile: Pairs


@dataclass(frozen=True, kw_only=True, slots=True)
class Wall:
    """One side wall: its stations, by x."""

    stations: tuple[Station, ...]

    def half_width(self, x: float, z: float) -> float:
        """Return the distance in mm from the centreline to the wall at `x`, `z` mm."""
        return interpolate([(s.x, interpolate(s.profile, z)) for s in self.stations], x)

    @property
    def heights(self) -> tuple[float, ...]:
        """Return the heights at which a profile bends, mm."""
        return tuple(sorted({z for s in self.stations for z, _ in s.profile}))

    @property
    def xs(self) -> tuple[float, ...]:
        """Return where the stations stand, mm."""
        return tuple(s.x for s in self.stations)
