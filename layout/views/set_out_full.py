"""The set-out at full size, for rolls of wide paper: outlines, datum lines and a grid to lay the strips together by."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, floor
from typing import TYPE_CHECKING

import shapely
from shapely.geometry import Polygon

from layout.drawing.lines import cross, line, mask
from layout.drawing.model import MEDIUM, WIDE, Drawing, Mark, Pen, Point, Text
from layout.drawing.text_width import Box, inside, overlap, text_box, text_width
from layout.model.layout import Layout
from layout.views.options import ViewOptions
from layout.views.set_out_marks import FloorMark, floor_marks

if TYPE_CHECKING:
    from layout.space.space import Space

# mm of paper: the widest strip, for a roll of 36 in, which is 914 mm (common practice, no source); the longest page,
# for a PDF knows none of more than 5080 mm (14,400 units of 1/72 in: ISO 32000-1, annex C, from memory).
_WIDEST, _LONGEST = 900.0, 5000.0
_EDGE, _FOOT = 10.0, 45.0  # mm of paper round what is shown, and below it for the title and the length to measure
_LAP = 30.0  # mm that neighbouring strips both show
_GRID = {"mm": 500.0, "in": 508.0}
_CHECK = {"mm": (1000.0, "1000 mm"), "in": (1016.0, "40 in")}
_NAMES, _MIDDLE, _SMALL = (20.0, 14.0, 10.0, 7.0), 10.0, 5.0  # heights of letters (ISO 3098), mm
_CHAIN = Pen(width=MEDIUM, dash="chain")
_DASHED = Pen(width=WIDE, dash="dashed")
_STEPS = tuple(
    (dx, dy) for r in range(4) for dx in range(-r, r + 1) for dy in range(-r, r + 1) if max(abs(dx), abs(dy)) == r
)


def set_out_full(
    space: Space,
    layout: Layout,
    state: str,
    options: ViewOptions = ViewOptions(),  # noqa: B008 (frozen)
) -> tuple[Drawing, ...]:
    """Return the floor of a state at 1:1 in strips for a roll of paper; none where nothing stands on the floor.

    Every strip has a length to measure, 1000 mm or 40 in, and crosses with their x and y, the same on the strip beside
    it, so that strips are laid together without a tape.
    """
    marks = floor_marks(layout.placed.get(state, ()))
    if not marks:
        return ()
    whole = _whole(space, marks)
    windows = [(x0, y0, x1, y1) for y0, y1 in _parts(whole[1], whole[3], _WIDEST - 2 * _EDGE - _FOOT)
               for x0, x1 in _parts(whole[0], whole[2], _LONGEST - 2 * _EDGE)]  # fmt: skip
    return tuple(
        _Strip(
            space=space,
            marks=marks,
            state=state,
            options=options,
            window=window,
            whole=whole,
            number=i,
            count=len(windows),
        ).drawing()
        for i, window in enumerate(windows, 1)
    )


def _whole(space: Space, marks: Sequence[FloorMark]) -> Box:
    boxes = [space.shell(0.0).bounds, *(mark.box for mark in marks), (0.0, 0.0, 0.0, 0.0)]
    x0, y0, x1, y1 = zip(*boxes, strict=True)
    return min(x0) - _EDGE, min(y0) - _EDGE, max(x1) + _EDGE, max(y1) + _EDGE


def _parts(low: float, high: float, most: float) -> list[tuple[float, float]]:
    """Return a span in the fewest equal parts of at most `most` mm that overlap by the lap."""
    count = max(1, ceil((high - low - _LAP) / (most - _LAP)))
    step = (high - low - _LAP) / count
    return [(low + i * step, low + (i + 1) * step + _LAP) for i in range(count)]


def _fitting(mark: FloorMark, room: Box) -> tuple[str, float]:
    """Return the words for an outline and their height, mm: the largest that cover none of its lines."""
    ways = [(said, height) for said in (f"{mark.letter} {mark.name}", mark.letter) for height in _NAMES]
    wide, high = room[2] - room[0], room[3] - room[1]
    return next(
        ((said, h) for said, h in ways if text_width(said, h) < wide - h and 2 * h < high), (mark.letter, _NAMES[-1])
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class _Strip:
    space: Space
    marks: tuple[FloorMark, ...]
    state: str
    options: ViewOptions
    window: Box
    whole: Box
    number: int
    count: int

    @property
    def size(self) -> tuple[float, float]:
        """Return width and height of the page, mm."""
        x0, y0, x1, y1 = self.window
        length = _CHECK[self.options.units][0]
        return max(x1 - x0, length) + 2 * _EDGE, y1 - y0 + 2 * _EDGE + _FOOT

    def at(self, point: Point) -> Point:
        """Return the place on the paper of a point of the floor, mm."""
        return point[0] - self.window[0] + _EDGE, point[1] - self.window[1] + _EDGE + _FOOT

    def drawing(self) -> Drawing:
        title = f"set-out at full size, {self.options.said_state(self.state)}, strip {self.number} of {self.count}"
        taken: list[Box] = []
        # Names first: they have the least choice. Texts stand on top of all lines.
        texts = [*self._names(taken), *self._datum_names(taken), *self._grid_names(taken)]
        width, height = self.size
        return Drawing(
            name=f"set-out-full-{self.state}-{self.number}", title=title, width=width, height=height, scale=1,
            marks=(*self._lines(), *texts, *self._foot(title)),
        )  # fmt: skip

    def _lines(self) -> Iterator[Mark]:
        yield from self._clipped("walls", [*self.space.shell(0.0).exterior.coords], Pen(width=WIDE))
        for obstacle in self.space.obstacles:
            ring = obstacle.outline
            if obstacle.z0 <= 0:
                yield from self._clipped("obstacles", [*ring, ring[0]], Pen(width=MEDIUM))
        for mark in self.marks:
            pen = _DASHED if mark.above else Pen(width=WIDE)
            yield from self._clipped("outlines", [*mark.corners, mark.corners[0]], pen, mark.name)
        x0, y0, x1, y1 = self.window
        yield from self._clipped("datum", [(x0, 0.0), (x1, 0.0)], _CHAIN)
        yield from self._clipped("datum", [(0.0, y0), (0.0, y1)], _CHAIN)
        for point in self._grid():
            yield from cross("grid", self.at(point), _MIDDLE)

    def _clipped(self, layer: str, points: Sequence[Sequence[float]], pen: Pen, name: str = "") -> Iterator[Mark]:
        """Yield what of a line is in the window, edge by edge, so that corners are not rounded by joining."""
        frame = shapely.box(*self.window)
        for a, b in pairwise(points):
            part = shapely.LineString([a[:2], b[:2]]).intersection(frame)
            if part.length > 0:
                yield line(layer, *(self.at((x, y)) for x, y in part.coords), pen=pen, id=name)

    def _grid(self) -> list[Point]:
        """Return where crosses stand: on a grid, and along each lap, where the next strip has them too."""
        x0, y0, x1, y1 = self.window
        half = _MIDDLE / 2
        xs, ys = (self._steps(low + half, high - half) for low, high in ((x0, x1), (y0, y1)))
        laps_x = [
            x for x, edge in ((x0 + _LAP / 2, self.whole[0]), (x1 - _LAP / 2, self.whole[2])) if abs(x - edge) > _LAP
        ]
        laps_y = [
            y for y, edge in ((y0 + _LAP / 2, self.whole[1]), (y1 - _LAP / 2, self.whole[3])) if abs(y - edge) > _LAP
        ]
        points = [(x, y) for x in xs for y in (*ys, *laps_y)] + [(x, y) for x in laps_x for y in ys]
        return list(dict.fromkeys((round(x, 3), round(y, 3)) for x, y in points))

    def _steps(self, low: float, high: float) -> list[float]:
        step = _GRID[self.options.units]
        return [step * i for i in range(ceil(low / step), floor(high / step) + 1)]

    def _names(self, taken: list[Box]) -> Iterator[Mark]:
        for mark in sorted(self.marks, key=lambda m: Polygon(m.corners).area):
            part = Polygon(mark.corners).intersection(shapely.box(*self.window))
            if part.area > 0:
                said, height = _fitting(mark, part.bounds)
                middle = part.representative_point()
                yield from self._text((middle.x, middle.y), said, height, taken)

    def _datum_names(self, taken: list[Box]) -> Iterator[Mark]:
        x0, y0, x1, y1 = self.window
        if y0 < 0 < y1:
            yield from self._text((x0 + (x1 - x0) / 3, _MIDDLE), "centreline, y 0", _MIDDLE, taken)
        if x0 < 0 < x1:
            yield from self._text((0.0, y0 + (y1 - y0) / 3), "cross line, x 0", _MIDDLE, taken, 90.0)

    def _grid_names(self, taken: list[Box]) -> Iterator[Mark]:
        for x, y in self._grid():
            side = "left" if y > 0 else "right"
            words = f"{self.options.said(x)}, {self.options.said(abs(y))} {side}" if y else self.options.said(x)
            yield from self._text((x, y + 2 * _SMALL), words, _SMALL, taken)

    def _text(self, middle: Point, said: str, height: float, taken: list[Box], angle: float = 0.0) -> Iterator[Mark]:
        """Yield a text as near to its place as it is free and on the paper; none where there is no room."""
        x, y = self.at(middle)
        x0, y0, x1, y1 = self.window
        paper = (*self.at((x0, y0)), *self.at((x1, y1)))
        wide = text_box(Text(layer="names", at=(0.0, 0.0), text=said, height=height))
        for dx, dy in _STEPS:
            at = (x + dx * (wide[2] - wide[0]) / 2, y - height / 2 + dy * 1.6 * height)
            text = Text(layer="names", at=at, text=said, height=height, anchor="middle", angle=angle)
            box = text_box(text)
            if inside(box, paper) and not any(overlap(box, other, 1.0) for other in taken):
                taken.append(box)
                yield from (mask("names", box), text)
                return

    def _foot(self, title: str) -> Iterator[Mark]:
        length, said = _CHECK[self.options.units]
        y, left = _EDGE + 4.0, _EDGE
        yield line("check", (left, y), (left + length, y), pen=Pen(width=MEDIUM), id="check-length")
        for x in (left, left + length):
            yield line("check", (x, y - 3.0), (x, y + 3.0), pen=Pen(width=MEDIUM))
        words = f"{said}: measure me after printing; check before cutting: not certified for safety"
        yield Text(layer="check", at=(left + 3.0, y + 4.0), text=words, height=_SMALL)
        yield Text(layer="check", at=(left + 3.0, y + 16.0), text=f"{title}: {self.options.project}", height=_MIDDLE)
