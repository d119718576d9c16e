"""What tells kinds of things apart in black and white: white beds, grey bins, dark bicycles, hatched all else."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry import LineString, MultiLineString
from shapely.geometry.base import BaseGeometry

from layout.drawing.lines import box_points, line, polygon
from layout.drawing.model import NARROW, SMALL_TEXT, Mark, Pen, Text
from layout.drawing.text_width import Box, text_width
from layout.model.thing import Thing

Tones = tuple[float, float, float]
_SWATCH = (9.0, 5.0)
_HATCH = 1.6  # mm of paper
_INK = Pen(width=NARROW)


@dataclass(frozen=True, kw_only=True, slots=True)
class Look:
    """How a kind of thing is drawn: greys of what looks up, to an end and aside; hatched or not; words for it."""

    said: str
    greys: Tones
    hatched: bool = False

    @property
    def patch(self) -> float | None:
        """Return the grey of the patch that letters need to be read on it, if they need one."""
        return 1.0 if self.hatched or min(self.greys) < _READABLE else None


_READABLE = 0.6
BED = Look(said="bed", greys=(1.0, 0.96, 0.92))
BIN = Look(said="bins", greys=(0.88, 0.8, 0.7))
BICYCLE = Look(said="bicycles and wheels", greys=(0.45, 0.35, 0.25))
OTHER = Look(said="other things", greys=(1.0, 1.0, 1.0), hatched=True)
ROOM = Look(said="wheel wells and the like", greys=(0.97, 0.93, 0.88))
LOOKS = (BED, BIN, BICYCLE, OTHER)
_KINDS = {
    "bed platform": BED, "slide-out bed": BED, "mattress": BED, "bin": BIN, "lidded bin": BIN, "bicycle": BICYCLE,
    "wheel": BICYCLE,
}  # fmt: skip


def look_of(thing: Thing) -> Look:
    """Return how a thing is drawn."""
    return _KINDS.get(thing.kind, OTHER)


def hatching(shape: BaseGeometry, tone: int = 0) -> Iterator[LineString]:
    """Yield the lines, on paper, that hatch a shape: closer where it looks aside, so that faces are told apart."""
    if shape.is_empty:
        return
    x0, y0, x1, y1 = shape.bounds
    step, rise = (_HATCH, 1.0) if tone == 0 else (_HATCH * 0.75, -1.0) if tone == 1 else (_HATCH * 0.55, 1.0)
    # Lines u = x - rise * y stand at whole steps of u, so that neighbouring shapes share them.
    us = [x - rise * y for x in (x0, x1) for y in (y0, y1)]
    first, last = int(min(us) // step) + 1, int(max(us) // step)
    lines = [((k * step + rise * y0, y0), (k * step + rise * y1, y1)) for k in range(first, last + 1)]
    for part in shapely.get_parts(MultiLineString(lines).intersection(shape) if lines else shape.boundary):
        if isinstance(part, LineString) and part.length > _HATCH / 4:
            yield part


def hatch_marks(shape: BaseGeometry, layer: str, tone: int = 0, id: str = "") -> Iterator[Mark]:  # noqa: A002 (the mark's own word)
    """Yield the hatching of a shape on paper."""
    for part in hatching(shape, tone):
        yield line(layer, *((x, y) for x, y in part.coords), pen=Pen(width=NARROW, grey=0.35), id=id)


def legend(looks: Sequence[Look], x: float, y: float, *, upright: bool, height: float = SMALL_TEXT) -> Iterator[Mark]:
    """Yield a swatch and its words for each look, below each other or in a row, from x and down from y, mm."""
    for look in looks:
        box = (x, y - _SWATCH[1], x + _SWATCH[0], y)
        yield from swatch(look, box)
        at = (x + _SWATCH[0] + 2, y - (_SWATCH[1] + height) / 2)
        yield Text(layer="legend", at=at, text=look.said, height=height)
        if upright:
            y -= _SWATCH[1] + 3.0
        else:
            x += legend_width(look, height)


def legend_width(look: Look, height: float = SMALL_TEXT) -> float:
    """Return how much of a row a swatch with its words takes, mm."""
    return _SWATCH[0] + 2 + text_width(look.said, height) + 7


def swatch(look: Look, box: Box) -> Iterator[Mark]:
    """Yield a box filled as the look is."""
    yield polygon("legend", box_points(box), pen=Pen(width=0.0), fill=look.greys[1])
    if look.hatched:
        yield from hatch_marks(shapely.box(*box), "legend")
    yield polygon("legend", box_points(box), pen=_INK)
