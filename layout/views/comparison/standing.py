"""Somebody who stands beside a picture, to scale, so that one sees how large all is."""

from __future__ import annotations

from collections.abc import Iterator

from layout.drawing.lines import polygon
from layout.drawing.model import MEDIUM, NARROW, SMALL_TEXT, Mark, Pen, Text
from layout.model.solid import Point
from layout.views.people import Figure

Stands = tuple[Figure, str]
_BESIDE = 150.0  # mm of the scene kept free beside somebody


def standing_room(stands: Stands | None) -> float:
    """Return how much breadth somebody takes, mm of the scene."""
    if stands is None:
        return 0.0
    x0, _, x1, _ = stands[0].seen("x")[0].bounds
    return float(x1 - x0) + 2 * _BESIDE


def standing_height(stands: Stands | None, scale: int) -> float:
    """Return how much height somebody takes on paper with the words below, mm."""
    return 0.0 if stands is None else stands[0].body.stature / scale + SMALL_TEXT * 1.6 * 2


def standing_marks(stands: Stands, scale: int, feet: Point) -> Iterator[Mark]:
    """Yield somebody who stands with the feet at a place on paper."""
    for i, part in enumerate(stands[0].seen("x")):
        ring = tuple((feet[0] + y / scale, feet[1] + z / scale) for y, z in part.exterior.coords[:-1])
        yield polygon("somebody", ring, pen=Pen(width=MEDIUM if i == 0 else NARROW), fill=1.0 if i == 0 else None)


def standing_words(stands: Stands, feet: Point) -> Iterator[Mark]:
    """Yield who that is, below the feet."""
    yield Text(layer="somebody", at=(feet[0], feet[1] - SMALL_TEXT * 1.6), text=stands[1], height=SMALL_TEXT)
