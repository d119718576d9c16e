"""Short names on pictures: on what they name where they have room, else beside the picture with a line to it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import product

import numpy as np
import shapely
from shapely.geometry import LineString
from shapely.geometry.base import BaseGeometry

from layout.drawing.lines import box_points, circle, line, polygon
from layout.drawing.model import NARROW, SMALL_TEXT, TEXT, Mark, Pen, Point, Text
from layout.drawing.text_width import Box, inside, overlap, text_box, text_width

LAYER = "names"
_HEIGHTS = (TEXT, SMALL_TEXT)
_STEPS = 11
_PAD = 0.6
_GAP = 0.8
_SPECK = 1.5  # mm²: what shows less than this cannot be pointed at
_DOT = 0.45
_AWAY = 3.0  # mm from the picture


@dataclass(frozen=True, kw_only=True, slots=True)
class Wanted:
    """A name that is to be written: the areas that show of what it names, on paper.

    All names of one `group` say the same, so that one that has no room is left away where another has. `patch` is the
    grey of a patch that the letters need to be read there. What is not `needed` is left away rather than written
    beside; what may be `turned` may read upward.
    """

    text: str
    areas: tuple[BaseGeometry, ...]
    group: str
    patch: float | None = None
    needed: bool = True
    turned: bool = False


@dataclass
class Tags:
    """The names of one picture; `bounds` are what none may leave, `picture` what those beside it keep clear of."""

    bounds: Box
    picture: BaseGeometry
    marks: list[Mark] = field(default_factory=list)
    taken: list[Box] = field(default_factory=list)
    leaders: list[LineString] = field(default_factory=list)
    left_out: list[str] = field(default_factory=list)

    def write(self, wanted: Sequence[Wanted]) -> None:
        """Write the names: those on what they name first, then the others beside; what has no room is `left_out`."""
        ordered = sorted(wanted, key=lambda w: (sum(a.area for a in w.areas), w.text))
        rest = [one for one in ordered if not self._on(one)]
        told = {one.group for one in ordered if one not in rest}
        for one in rest:
            if one.group not in told and one.needed and self._beside(one):
                told.add(one.group)
        missing = [one.text for one in ordered if one.group not in told and one.needed]
        self.left_out += list(dict.fromkeys(missing))

    def keep_free(self, mark: Text) -> Text:
        """Return a text that stands already, kept clear of."""
        self.taken.append(text_box(mark))
        return mark

    def _on(self, one: Wanted) -> bool:
        for height, turned in product(_HEIGHTS, (False, True) if one.turned else (False,)):
            size = _size(one.text, height)
            for part in _parts(one.areas):
                for box in self._boxes(part, size[::-1] if turned else size):
                    self._put(one, box, height, turned=turned)
                    return True
        return False

    def _boxes(self, part: BaseGeometry, size: tuple[float, float]) -> Iterator[Box]:
        """Yield free boxes of that size within the part, the nearest to its middle first."""
        x0, y0, x1, y1 = part.bounds
        wide, high = x1 - x0 - size[0], y1 - y0 - size[1]
        if wide < 0 or high < 0:
            return
        shares = np.linspace(0, 1, _STEPS).tolist()
        corners = [(x0 + u * wide, y0 + v * high) for u, v in product(shares, shares)]
        middle = part.centroid
        corners.sort(
            key=lambda c: (round(abs(c[0] + size[0] / 2 - middle.x) + abs(c[1] + size[1] / 2 - middle.y), 6), c)
        )
        boxes = [(x, y, x + size[0], y + size[1]) for x, y in corners]
        held = shapely.contains(part, shapely.box(*np.array(boxes).T))
        yield from (box for box, within in zip(boxes, held, strict=True) if within and self._free(box))

    def _free(self, box: Box) -> bool:
        if not inside(box, self.bounds) or any(overlap(box, other, _GAP) for other in self.taken):
            return False
        shape = shapely.box(*box)
        return not any(leader.intersects(shape) for leader in self.leaders)

    def _put(self, one: Wanted, box: Box, height: float, *, turned: bool = False, patch: bool = True) -> None:
        """Write a name into the middle of a box, on its patch if it needs one."""
        x, y = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
        middle = 0.375 * height  # of the letters, above the line that they stand on
        at, angle = ((x + middle, y), 90.0) if turned else ((x, y - middle), 0.0)
        text = Text(layer=LAYER, at=at, text=one.text, height=height, anchor="middle", angle=angle, id=one.text)
        held = text_box(text)
        self.taken.append(held)
        if one.patch is not None and patch:
            self.marks.append(polygon(LAYER, box_points(held), pen=Pen(width=0.0), fill=one.patch))
        self.marks.append(text)

    def _beside(self, one: Wanted) -> bool:
        """Write a name outside the picture, as near as can be, with a line to the largest part that shows."""
        part = next(iter(_parts(one.areas)), None)
        if part is None or part.area < _SPECK:
            return False
        at = part.representative_point()
        height = SMALL_TEXT
        for box in self._outside((at.x, at.y), _size(one.text, height)):
            end = _nearest(box, (at.x, at.y))
            leader = LineString([(at.x, at.y), end])
            crossed = any(leader.intersects(other) for other in self.leaders)
            if not crossed and not any(leader.intersects(shapely.box(*taken)) for taken in self.taken):
                self.leaders.append(leader)
                self.marks.append(line(LAYER, (at.x, at.y), end, pen=Pen(width=NARROW)))
                self.marks.append(circle(LAYER, (at.x, at.y), _DOT, fill=0.0))
                self._put(one, box, height, patch=False)
                return True
        return False

    def _outside(self, at: Point, size: tuple[float, float]) -> Iterator[Box]:
        """Yield free boxes of that size beside the picture, the nearest to `at` first."""
        x0, y0, x1, y1 = self.bounds
        xs = np.arange(x0, x1 - size[0] + 1e-9, 3.0).tolist()
        ys = np.arange(y0, y1 - size[1] + 1e-9, 2.0).tolist()
        boxes = [(x, y, x + size[0], y + size[1]) for x, y in product(xs, ys)]
        if not boxes:
            return
        around = self.picture.buffer(_AWAY)
        clear = ~shapely.intersects(around, shapely.box(*np.array(boxes).T))
        kept = [box for box, free in zip(boxes, clear, strict=True) if free]
        kept.sort(key=lambda b: (round(np.hypot(*np.subtract(_nearest(b, at), at)), 6), b))
        yield from (box for box in kept if self._free(box))


def _size(text: str, height: float) -> tuple[float, float]:
    """Return the width and the height in mm that a name takes, with what is kept free round it."""
    return text_width(text, height) + 2 * _PAD, height * 1.35 + 2 * _PAD


def _parts(areas: Sequence[BaseGeometry]) -> list[BaseGeometry]:
    """Return the connected parts of areas, the largest first."""
    parts = [part for area in areas for part in shapely.get_parts(area) if not part.is_empty]
    return sorted(parts, key=lambda part: (-part.area, part.bounds))


def _nearest(box: Box, at: Point) -> Point:
    """Return the middle of the side of a box that is nearest to a point."""
    x, y = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
    sides = ((box[0], y), (box[2], y), (x, box[1]), (x, box[3]))
    return min(sides, key=lambda s: (np.hypot(s[0] - at[0], s[1] - at[1]), s))
