"""Which deck height gives a bed the length that its sleepers want, at its place or anywhere beside it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil, floor

from layout.checks.bed_line import Bed, Span, edges_of, longest_strip
from layout.checks.peak import Measure, highest, peaks
from layout.space.parts import Obstacle
from layout.space.space import TOUCH, Space

_ROUNDING = 8
_HALVINGS = 24


@dataclass(frozen=True, kw_only=True, slots=True)
class Wish:
    """What is looked for: `lengths` by sleeper, longest first, on `breadth` each; the deck at most at `highest`; mm."""

    lengths: tuple[float, ...]
    breadth: float
    highest: float


@dataclass(frozen=True, kw_only=True, slots=True)
class DeckSearch:
    """What all deck heights give: `clear` is the longest line on the mattress, mm, with the deck at `at`.

    `nearest` is the height nearest to that of now at which all sleepers fit (None: none). `widest` is the longest
    line at any one height, `widest_at`, whatever the mattress's thickness.
    """

    clear: float
    at: float
    nearest: float | None
    widest: float
    widest_at: float


def search(space: Space, bed: Bed, wish: Wish, grain: float) -> DeckSearch:
    """Return what raising or lowering the bed at its place gives; a height told is a whole number of `grain` mm."""
    lines = _Lines(space=space, bed=bed, wish=wish)
    (at, _), nearest = _tried(lines, grain)
    marks = deck_marks(space, 0.0, wish.highest + bed.thickness)
    widest_at, widest = highest(lambda z: max(lines.at_heights((z, z))), marks)
    clear = max(lines.at_heights((at, at + bed.thickness)))
    return DeckSearch(clear=clear, at=at, nearest=nearest, widest=widest, widest_at=widest_at)


def whole_fits(space: Space, bed: Bed, wish: Wish, grain: float) -> float | None:
    """Return the deck height nearest to that of now at which a mattress of the wished length lies whole; None: none."""
    alone = Wish(lengths=wish.lengths[:1], breadth=bed.width, highest=wish.highest)
    return _tried(_Lines(space=space, bed=bed, wish=alone), grain)[1]


def anywhere(space: Space, bed: Bed, wish: Wish) -> tuple[float, float]:
    """Return the deck height at which the whole mattress finds the longest place anywhere beside, and that length."""
    room = endless(space, bed)

    def length(z: float) -> float:
        edges = edges_of(space.common_room(z, z + bed.thickness), bed.turn_deg)
        return longest_strip(edges, room, room.across, bed.width, beyond=True).length

    return highest(length, deck_marks(space, bed.thickness, wish.highest))


def endless(space: Space, bed: Bed) -> Bed:
    """Return a bed at the same heights, turned alike, that reaches over all of the room."""
    reach = sum(abs(bound) for bound in space.bounds)
    return replace(bed, along=(-reach, reach), across=(-reach, reach))


@dataclass(frozen=True, kw_only=True, slots=True)
class _Lines:
    """The sleepers' lines at its place, on a deck at any height."""

    space: Space
    bed: Bed
    wish: Wish

    def at_heights(self, z: Span) -> list[float]:
        """Return the longest line of each share between two heights, or at one, mm."""
        room = self.space.common_room(*z) if z[1] > z[0] else self.space.region(z[0])
        edges = edges_of(room, self.bed.turn_deg)
        shares = self.bed.shares(len(self.wish.lengths))
        return [longest_strip(edges, self.bed, s, self.wish.breadth, beyond=True).length for s in shares]

    def spare(self, z: float) -> float:
        """Return what the sleeper who is worst off has to spare on a deck at `z`; the tallest has the longest share."""
        found = sorted(self.at_heights((z, z + self.bed.thickness)), reverse=True)
        return min(clear - wanted for clear, wanted in zip(found, self.wish.lengths, strict=True))


def _tried(lines: _Lines, grain: float) -> tuple[tuple[float, float], float | None]:
    """Return the height with most to spare and how much that is, and the nearest height at which all fit."""
    now = lines.bed.z[0]
    tried = list(peaks(lines.spare, deck_marks(lines.space, lines.bed.thickness, lines.wish.highest)))
    good = sorted((abs(z - now), z) for z, spare in tried if spare >= -TOUCH)
    return max(tried, key=lambda found: found[1]), _nearest(lines.spare, now, good[0][1], grain) if good else None


def _nearest(spare: Measure, now: float, good: float, grain: float) -> float:
    """Return the height nearest to `now` on the way to `good` at which all fit, rounded away from `now`."""
    if spare(now) >= -TOUCH:
        return now
    low, high = now, good
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (low, middle) if spare(middle) >= -TOUCH else (middle, high)
    steps = round(high / grain, 3)
    whole = (ceil(steps) if good > now else floor(steps)) * grain
    return whole if spare(whole) >= -TOUCH else good


def deck_marks(space: Space, thickness: float, most: float) -> tuple[float, ...]:
    """Return, upward, the deck heights at which a mattress of that thickness begins or ends at a bend of the room.

    Between two of them the room at the mattress changes along straight lines; the rounded top of a wheel well is
    taken in steps.
    """
    bends = [*space.bends(0.0, space.height), *(z for _, z in space.roof)]
    bends += [z for obstacle in space.obstacles for z in _steps(obstacle)]
    marks = {0.0, most, *bends, *(z - thickness for z in bends)}
    return tuple(sorted(z for z in marks if 0.0 <= z <= most))


def _steps(obstacle: Obstacle) -> Sequence[float]:
    radius = obstacle.top_radius
    rounded = [obstacle.z1 - radius * i / _ROUNDING for i in range(_ROUNDING + 1)] if radius else []
    return (obstacle.z0, obstacle.z1, *rounded)
