"""Labels that never overlap: made smaller, broken into lines, turned, or keyed by a number to a list."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import product

from layout.drawing.lines import circle, line, mask
from layout.drawing.model import NARROW, SMALL_TEXT, SMALLEST_TEXT, Mark, Pen, Point, Text
from layout.drawing.text_width import Box, inside, overlap, text_box, text_width, wrap

LAYER = "labels"
_HEIGHTS = (SMALL_TEXT, 2.1, SMALLEST_TEXT)
_GAP = 0.4
# Where the middle of a label is tried, as shares of the free play from the middle outwards.
_SHARES = (0.5, 0.25, 0.75, 0.0, 1.0, 0.125, 0.875, 0.375, 0.625)
_FAR_STEPS = 14


@dataclass
class Labels:
    """The labels of one figure; `bounds` is the box in mm that none may leave, `notes` the numbered list."""

    bounds: Box
    marks: list[Mark] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    taken: list[Box] = field(default_factory=list)

    def name(self, text: str, area: Box, avoid: tuple[Box, ...] = (), id: str = "") -> bool:  # noqa: A002
        """Write `text` into `area`, clear of `avoid` where that can be; else key it by number to the list.

        Return whether it stands in the area in words.
        """
        for shunned in (avoid, ()) if avoid else ((),):
            for lines in _choices(text, area, self.taken, shunned):
                self._write(lines, id)
                return True
        self.number(text, area, id)
        return False

    def number(self, note: str, area: Box, id: str = "") -> int:  # noqa: A002
        """Add `note` to the list and put its number in a circle into the area, or near it with a leader."""
        self.notes.append(note)
        said = str(len(self.notes))
        radius = max(text_width(said, SMALLEST_TEXT) / 2, SMALLEST_TEXT / 2) + 0.8
        middle = ((area[0] + area[2]) / 2, (area[1] + area[3]) / 2)
        centre = next(iter(self._near(area, middle, radius)), None)
        if centre is None:
            self.notes[-1] += " (no room for its number)"
            return len(self.notes)
        if not inside(_round_box(centre, 0.0), area):
            self.marks.append(line(LAYER, middle, centre, pen=Pen(width=NARROW)))
        self._circle(said, centre, radius, id)
        return len(self.notes)

    def _circle(self, said: str, centre: Point, radius: float, name: str) -> None:
        at = (centre[0], centre[1] - SMALLEST_TEXT / 2)
        self.marks += [
            circle(LAYER, centre, radius),
            Text(layer=LAYER, at=at, text=said, height=SMALLEST_TEXT, anchor="middle", id=name),
        ]
        self.taken.append(_round_box(centre, radius))

    def _near(self, area: Box, middle: Point, radius: float) -> list[Point]:
        """Return the first free centre for a circle: in the area, then farther and farther from it."""
        within = [
            (area[0] + radius + u * (area[2] - area[0] - 2 * radius), area[1] + radius + v * (area[3] - area[1] - 2 * radius))
            for u, v in product(_SHARES, _SHARES)
        ]
        around = [
            (middle[0] + dx * step * 3, middle[1] + dy * step * 3)
            for step in range(1, _FAR_STEPS)
            for dx, dy in ((1, 1), (1, -1), (-1, 1), (-1, -1), (1, 0), (0, 1), (-1, 0), (0, -1))
        ]
        wide = area[2] - area[0] >= 2 * radius and area[3] - area[1] >= 2 * radius
        for centre in (within if wide else []) + around:
            if self.free(_round_box(centre, radius)):
                return [centre]
        return []

    def free(self, box: Box) -> bool:
        """Return whether the box is within bounds and touches no label."""
        return inside(box, self.bounds) and not any(overlap(box, other, _GAP) for other in self.taken)

    def _write(self, lines: tuple[Text, ...], name: str) -> None:
        for text in lines:
            box = text_box(text)
            self.taken.append(box)
            self.marks += [mask(LAYER, box)]
        self.marks += [
            Text(layer=t.layer, at=t.at, text=t.text, height=t.height, anchor=t.anchor, angle=t.angle, id=name)
            for t in lines
        ]


def _round_box(centre: Point, radius: float) -> Box:
    return centre[0] - radius, centre[1] - radius, centre[0] + radius, centre[1] + radius


def _choices(text: str, area: Box, taken: list[Box], avoid: tuple[Box, ...]) -> list[tuple[Text, ...]]:
    """Return the best way to write the text into the area (one or none): large before small, level first."""
    for height, angle in product(_HEIGHTS, (0.0, 90.0)):
        run = (area[2] - area[0] if angle == 0.0 else area[3] - area[1]) - 2 * _GAP
        for lines in _broken(text, run, height):
            for shares in product(_SHARES, _SHARES):
                block = _block(lines, area, shares, height, angle)
                boxes = [text_box(t) for t in block]
                if _clear(boxes, area, taken, avoid):
                    return [block]
    return []


def _broken(text: str, run: float, height: float) -> list[tuple[str, ...]]:
    """Return the text in one line, and in lines of at most the run's width, words kept whole."""
    words = text.split()
    if not words or max(text_width(word, height) for word in words) > run:
        return []
    one, more = (" ".join(words),), wrap(text, run, height)
    half = wrap(text, max(text_width(text, height) * 0.6, max(text_width(w, height) for w in words)), height)
    fitting = [lines for lines in (one, more, half) if max(text_width(s, height) for s in lines) <= run]
    return list(dict.fromkeys(fitting))


def _block(lines: tuple[str, ...], area: Box, shares: Point, height: float, angle: float) -> tuple[Text, ...]:
    pitch, wide = height * 1.5, max(text_width(s, height) for s in lines)
    tall = height * 1.35 + pitch * (len(lines) - 1)
    size = (wide, tall) if angle == 0.0 else (tall, wide)
    x = area[0] + _GAP + size[0] / 2 + shares[0] * (area[2] - area[0] - size[0] - 2 * _GAP)
    y = area[1] + _GAP + size[1] / 2 + shares[1] * (area[3] - area[1] - size[1] - 2 * _GAP)
    first = tall / 2 - height * 1.05
    marks = []
    for i, said in enumerate(lines):
        drop = first - i * pitch
        at = (x, y + drop) if angle == 0.0 else (x - drop, y)
        marks.append(Text(layer=LAYER, at=at, text=said, height=height, anchor="middle", angle=angle))
    return tuple(marks)


def _clear(boxes: list[Box], area: Box, taken: list[Box], avoid: tuple[Box, ...]) -> bool:
    return all(
        inside(box, area)
        and not any(overlap(box, other, _GAP) for other in taken)
        and not any(overlap(box, other) for other in avoid)
        for box in boxes
    )
