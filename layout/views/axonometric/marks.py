"""Lines and areas of a picture as marks on paper."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from layout.drawing.lines import line, polygon
from layout.drawing.model import NARROW, WIDE, Dash, Mark, Pen
from layout.views.axonometric.areas import Shown
from layout.views.axonometric.scene import Group, Segment, Stroke
from layout.views.figure import Window

# Greys of what looks up, to the rear and aside.
GREYS = (1.0, 0.9, 0.78)
# Fills get a line of their own grey, so that no light shines through between two that meet.
_SEAM = 0.05


def area_marks(areas: Iterable[Shown], groups: Sequence[Group], window: Window) -> Iterator[Mark]:
    """Yield the areas, shaded by the way that they look."""
    for shown in areas:
        grey = GREYS[shown.tone]
        for part in shapely.get_parts(shown.area):
            for whole in _without_holes(part):
                ring = window.ring(whole.exterior.coords[:-1])
                pen = Pen(width=_SEAM, grey=grey)
                yield polygon("faces", ring, pen=pen, fill=grey, id=groups[shown.group].name)


def _without_holes(shape: BaseGeometry) -> Iterator[Polygon]:
    """Yield the shape cut up so that no part has a hole: along an upright line through a hole's middle."""
    if not isinstance(shape, Polygon):
        return
    if not shape.interiors:
        yield shape
        return
    x0, y0, x1, y1 = shape.bounds
    at = shape.interiors[0].centroid.x
    for half in (shapely.box(x0, y0, at, y1), shapely.box(at, y0, x1, y1)):
        for part in shapely.get_parts(shape.intersection(half)):
            yield from _without_holes(part)


def stroke_marks(strokes: Iterable[Stroke], groups: Sequence[Group], window: Window) -> Iterator[Mark]:
    """Yield the lines of things: inner ones narrow, outlines wide and over them."""
    kept = list(strokes)
    for layer, outline, width in (("edges", False, NARROW), ("outlines", True, WIDE)):
        for one in kept:
            if one.outline == outline:
                yield line(layer, *window.ring(one.ends), pen=Pen(width=width), id=groups[one.group].name)


def segment_marks(layer: str, segments: Iterable[Segment], window: Window, dash: Dash = "solid") -> Iterator[Mark]:
    """Yield narrow lines."""
    for ends in segments:
        yield line(layer, *window.ring(ends), pen=Pen(width=NARROW, dash=dash))
