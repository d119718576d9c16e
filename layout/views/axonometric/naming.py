"""Names on a picture: on the largest face where they fit, else a number with a leader; what is hidden is told."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from layout.drawing.labels import Labels
from layout.drawing.lines import circle, line
from layout.drawing.model import NARROW, SMALL_TEXT, SMALLEST_TEXT, Mark, Path, Pen, Point, Text
from layout.drawing.text_width import Box, text_width, wrap
from layout.views.axonometric.areas import Shown
from layout.views.axonometric.marks import GREYS
from layout.views.figure import Window

_HEIGHTS = (SMALL_TEXT, 2.1, SMALLEST_TEXT)
_STEPS = 13
# What labels keep free between letters and the edge of their area, mm, and a hair for rounding.
_PAD = 0.75
# What the circle of a number takes beside the number, mm; at an area of less than this, mm², nothing can point.
_NUMBER = 1.62
_SPECK = 0.8
_DOT = 0.45


def name_shown(name: str, areas: Sequence[Shown], window: Window, labels: Labels) -> bool:
    """Write a name where what is named shows; return whether enough of it shows.

    Where no face has room for the words it gets a number, with a leader where not even that has room.
    """
    parts = _parts(areas, window)
    if not parts:
        return False
    for tone, box in ((t, b) for size in _sizes(name) for t, p in parts for b in _boxes(p, size, labels)):
        before = len(labels.marks)
        labels.name(name, box, id=name)
        _tinted(labels.marks, before, GREYS[tone])
        return True
    wide = max(text_width(str(len(labels.notes) + 1), SMALLEST_TEXT), SMALLEST_TEXT) + _NUMBER
    for _, part in parts:
        for box in _boxes(part, (wide, wide), labels):
            labels.number(name, box, id=name)
            return True
    _point_at(name, parts[0][1], labels)
    return True


def mark_key(key: str, areas: Sequence[Shown], window: Window, labels: Labels, *, wanted: bool = True) -> bool:
    """Put a key in a circle where what it stands for shows, or near it with a leader if that is `wanted`.

    Return whether it was put anywhere.
    """
    radius = _radius(key)
    parts = _parts(areas, window)
    for _, part in parts:
        for box in _boxes(part, (2 * radius, 2 * radius), labels):
            _circled(key, ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2), labels)
            return True
    for _, part in parts if wanted else ():
        at = part.representative_point()
        for spot in _round_about((at.x, at.y)):
            if labels.free((spot[0] - radius, spot[1] - radius, spot[0] + radius, spot[1] + radius)):
                labels.marks.append(line("labels", (at.x, at.y), spot, pen=Pen(width=NARROW)))
                labels.marks.append(circle("labels", (at.x, at.y), _DOT, fill=0.0))
                _circled(key, spot, labels)
                return True
    return False


def _radius(key: str) -> float:
    return max(text_width(key, SMALL_TEXT), SMALL_TEXT) / 2 + 0.9


def _circled(key: str, centre: Point, labels: Labels) -> None:
    radius, (x, y) = _radius(key), centre
    labels.marks.append(circle("labels", centre, radius))
    labels.marks.append(Text(layer="labels", at=(x, y - SMALL_TEXT / 2), text=key, anchor="middle"))
    labels.taken.append((x - radius, y - radius, x + radius, y + radius))


def _round_about(at: Point) -> Iterator[Point]:
    ways = ((1, 1), (-1, 1), (1, -1), (-1, -1), (1, 0), (-1, 0), (0, 1), (0, -1))
    yield from ((at[0] + 3.0 * n * dx, at[1] + 3.0 * n * dy) for n in range(2, 14) for dx, dy in ways)


def _parts(areas: Sequence[Shown], window: Window) -> list[tuple[int, BaseGeometry]]:
    """Return the parts on paper that are large enough to be named, the largest first, each with its tone."""
    found = [(s.tone, _on_paper(part, window)) for s in areas for part in shapely.get_parts(s.area)]
    return sorted((f for f in found if f[1].area > _SPECK), key=lambda f: (-f[1].area, f[1].bounds))


def _tinted(marks: list[Mark], start: int, grey: float) -> None:
    """Give the patches behind letters the grey of the face that they lie on."""
    for i in range(start, len(marks)):
        mark = marks[i]
        if isinstance(mark, Path) and mark.fill == 1.0 and not mark.pen.width:
            marks[i] = replace(mark, fill=grey)


def _point_at(name: str, part: BaseGeometry, labels: Labels) -> None:
    """Give a part a number at the end of a leader, which ends in a dot on it."""
    at = part.representative_point()
    spot = (at.x - 1e-3, at.y - 1e-3, at.x + 1e-3, at.y + 1e-3)
    before = len(labels.marks)
    labels.number(name, spot, id=name)
    if len(labels.marks) > before:
        labels.marks.append(circle("labels", (at.x, at.y), _DOT, fill=0.0))


def _on_paper(part: BaseGeometry, window: Window) -> BaseGeometry:
    return shapely.transform(part, lambda points: np.array([window.at((x, y)) for x, y in points.tolist()]))


def _sizes(name: str) -> Iterator[tuple[float, float]]:
    """Yield the sizes of the name as labels write it: letters large before small, in one line before several."""
    for height in _HEIGHTS:
        longest = max(text_width(word, height) for word in name.split(" "))
        ways = {(name,), *(wrap(name, max(longest, text_width(name, height) * s), height) for s in (0.6, 0.4))}
        for lines in sorted(ways, key=len):
            wide = max(text_width(said, height) for said in lines)
            yield wide + 2 * _PAD, height * (1.35 + 1.5 * (len(lines) - 1)) + 2 * _PAD


def _boxes(part: BaseGeometry, size: tuple[float, float], labels: Labels) -> Iterator[Box]:
    """Yield boxes of that size within the part that are free, the nearest to its middle first."""
    x0, y0, x1, y1 = part.bounds
    if x1 - x0 < size[0] or y1 - y0 < size[1]:
        return
    middles = [
        (x0 + size[0] / 2 + u * (x1 - x0 - size[0]), y0 + size[1] / 2 + v * (y1 - y0 - size[1]))
        for u, v in product(np.linspace(0, 1, _STEPS).tolist(), repeat=2)
    ]
    centre = part.centroid
    middles.sort(key=lambda m: (round(np.hypot(m[0] - centre.x, m[1] - centre.y), 6), m))
    boxes = [(x - size[0] / 2, y - size[1] / 2, x + size[0] / 2, y + size[1] / 2) for x, y in middles]
    held = shapely.contains(part, shapely.box(*np.array(boxes).T))
    yield from (box for box, inside in zip(boxes, held, strict=True) if inside and labels.free(box))
