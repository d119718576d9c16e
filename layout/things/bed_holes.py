"""Holes in deck panels: slots for hands, and round holes that let air under the mattress."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from math import ceil, cos, pi, sin

from layout.model.solid import Point
from layout.things.base import Shop, Span

Ring = tuple[Point, ...]
_CORNERS = 12  # of the outline that stands for a round hole: it takes 4.5 % less of the area


@dataclass(frozen=True, kw_only=True, slots=True)
class Vents:
    """Round holes `width` mm wide, at most `pitch` apart, their middles `edge` from edges and cross members."""

    width: float
    pitch: float
    edge: float

    @classmethod
    def of(cls, shop: Shop) -> Vents:
        """Return the holes that the numbers of building say."""
        return cls(
            width=shop.number("bed", "vent"),
            pitch=shop.number("bed", "vent_pitch"),
            edge=shop.number("bed", "vent_edge"),
        )

    def rings(self, fields: tuple[Span, ...], y: Span, but: tuple[Ring, ...]) -> tuple[Ring, ...]:
        """Return the holes over the open fields, between the sides `y`, clear of the outlines `but`."""
        places = [p for x in fields for p in product(self._along(x), self._along(y))]
        free = (p for p in places if not any(self._is_near(p, ring) for ring in but))
        return tuple(_round(p, self.width / 2) for p in free)

    def _along(self, span: Span) -> list[float]:
        """Return the middles of holes along a span: evenly, the first and the last `edge` from its ends.

        Where two would have less wood between them than they are wide there is one, in the middle.
        """
        low, high = span[0] + self.edge, span[1] - self.edge
        if high - low < 2 * self.width:
            return [(low + high) / 2] if high >= low else []
        steps = ceil(round((high - low) / self.pitch, 6))
        return [low + (high - low) * i / steps for i in range(steps + 1)]

    def _is_near(self, middle: Point, ring: Ring) -> bool:
        xs, ys = zip(*ring, strict=True)
        away = self.width
        return bool(min(xs) - away < middle[0] < max(xs) + away and min(ys) - away < middle[1] < max(ys) + away)


@dataclass(frozen=True, kw_only=True, slots=True)
class HandSlots:
    """Slots for hands, `length` along the bed and `width` across, `edge` mm from what is under the panel's side."""

    length: float
    width: float
    edge: float

    @classmethod
    def of(cls, shop: Shop) -> HandSlots:
        """Return the slots that the numbers of building say."""
        number = shop.number
        return cls(
            length=number("hand-slots", "length"),
            width=number("hand-slots", "height"),
            edge=number("hand-slots", "down"),
        )

    def ring(self, field: Span, side: float, inward: int) -> Ring | None:
        """Return the slot over an open field, its middle along that; None for a field that is too short.

        It begins at `side`, where the panel's wood below ends, plus `edge`, toward the panel's middle (`inward`: 1 or
        -1 along y).
        """
        if field[1] - field[0] < self.length:
            return None
        middle, near = (field[0] + field[1]) / 2, side + inward * self.edge
        x, y = (middle - self.length / 2, middle + self.length / 2), sorted((near, near + inward * self.width))
        return (x[0], y[0]), (x[1], y[0]), (x[1], y[1]), (x[0], y[1])


def _round(middle: Point, radius: float) -> Ring:
    angles = [2 * pi * i / _CORNERS for i in range(_CORNERS)]
    return tuple((middle[0] + radius * cos(a), middle[1] + radius * sin(a)) for a in angles)
