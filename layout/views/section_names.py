"""The names of what is seen in a section: each where there is room for it on what it names."""

from __future__ import annotations

from collections.abc import Sequence

import shapely
from shapely.geometry.base import BaseGeometry

from layout.drawing.labels import Labels
from layout.views.figure import Window
from layout.views.people import trunk
from layout.views.section_seen import Scene

# What shows nowhere more than this on paper (mm) beyond the plane is not named.
_NAMED = 3.0
_LONG = 4.0  # a name is about so many times as long as high
_FULL = 0.55  # of its box: an area that fills less has arms
_SPOT = 200.0  # mm: the spot on such an area where its name goes is no larger


def name_scene(seen: Scene, fixed: Sequence[tuple[str, BaseGeometry]], window: Window, labels: Labels) -> None:
    """Write the names of things, people and fixed parts, the smallest first, since they have the least choice."""
    places = [(one.name, trunk(one.area)) for one in seen.beyond if one.body]
    places += [(name, area) for name in seen.names if (area := _place(seen, name, window)) is not None]
    places += list(fixed)
    for name, area in sorted(places, key=lambda named: (named[1].area, named[0])):
        labels.name(name, window.box(_compact(area).bounds), id=name)


def _place(seen: Scene, name: str, window: Window) -> BaseGeometry | None:
    """Return where the name of a thing is written: where there is most room for it on what is seen of it."""
    pieces = [piece.shape for piece in seen.cut if piece.thing == name]
    parts = [part for one in seen.beyond if one.name == name for part in shapely.get_parts(one.area)]
    best = max((*pieces, *parts), key=lambda shape: (_room(shape), shape.bounds))
    return best if pieces or _room(best) / window.scale >= _NAMED else None


def _room(shape: BaseGeometry) -> float:
    """Return how high a name could be written on a shape, roughly, mm; less where the shape has arms."""
    x0, y0, x1, y1 = shape.bounds
    low, high = sorted((x1 - x0, y1 - y0))
    return float(min(low, high / _LONG) * shape.area / max(shape.envelope.area, 1.0))


def _compact(area: BaseGeometry) -> BaseGeometry:
    """Return the area, or of one with arms a spot well within it, so that what is written stands on it."""
    if area.area >= _FULL * area.envelope.area:
        return area
    return area.representative_point().buffer(min(area.area**0.5 / 4, _SPOT))
