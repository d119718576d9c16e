"""Labels that never overlap: made smaller, broken into lines, turned, or keyed by a number to a list."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import product
from math import hypot
from string import ascii_uppercase

from layout.drawing.lines import circle, line, mask
from layout.drawing.model import NARROW, SMALL_TEXT, SMALLEST_TEXT, Mark, Pen, Point, Text
from layout.drawing.text_width import Box, inside, overlap, text_box, text_width, words, wrap

LAYER = "labels"

# The key and the text of a line in the list.
Note = tuple[str, str]
_HEIGHTS = (SMALL_TEXT, 2.1, SMALLEST_TEXT)
_GAP = 0.4
# Letters keep this far from the outline of their area, mm.
_PAD = 0.7
# Where the middle of a label is tried, as shares of the free play from the middle outwards.
_SHARES = (0.5, 0.25, 0.75, 0.0, 1.0, 0.125, 0.875, 0.375, 0.625)
_FAR_STEPS = 14


@dataclass
class Labels:
    """The labels of one figure; `bounds` is the box in mm that none may leave, `notes` the keyed list.

    `letters` makes the keys letters instead of numbers, where numbers already mean something else.
    """

    bounds: Box
    marks: list[Mark] = field(default_factory=list)
    notes: list[Note] = field(default_factory=list)
    taken: list[Box] = field(default_factory=list)
    letters: bool = False

    def name(self, text: str, area: Box, avoid: tuple[Box, ...] = (), id: str = "") -> bool:  # noqa: A002 (the mark's own word)
        """Write `text` into `area`, clear of `avoid` where that can be; else key it by number to the list.

        Return whether it stands in the area in words.
        """
        for shunned in (avoid, ()) if avoid else ((),):
            for lines in _choices(text, area, self, shunned):
                self._write(lines, id)
                return True
        self.number(text, area, id)
        return False

    def number(self, note: str, area: Box, id: str = "") -> None:  # noqa: A002 (the mark's own word)
        """Add `note` to the list and put its number in a circle into the area, or near it with a leader."""
        said = key(len(self.notes), letters=self.letters)
        self.notes.append((said, note))
        radius = max(text_width(said, SMALLEST_TEXT) / 2, SMALLEST_TEXT / 2) + 0.8
        middle = ((area[0] + area[2]) / 2, (area[1] + area[3]) / 2)
        centre = next(iter(self._near(area, middle, radius)), None)
        if centre is None:
            self.notes[-1] = (said, f"{note} (no room to mark it)")
            return
        if not inside(_round_box(centre, 0.0), area):
            self.marks.append(line(LAYER, middle, centre, pen=Pen(width=NARROW)))
        self._circle(said, centre, radius, id)

    def circled(self, said: str, start: Point, end: Point, out: float) -> list[Mark]:
        """Return `said` in a circle on the line from `start` to `end`, `out` mm before its start if free.

        Otherwise the circle slides along the line; where all of it is taken, it goes beside the line.
        """
        run = hypot(end[0] - start[0], end[1] - start[1]) or 1.0
        ux, uy = (end[0] - start[0]) / run, (end[1] - start[1]) / run
        radius = max(text_width(said, SMALLEST_TEXT), SMALLEST_TEXT) / 2 + 0.7
        along = [-out, *(radius + 0.5 + 2.0 * i for i in range(max(1, int((run - 2 * radius) / 2))))]
        spots = [(start[0] + ux * a - uy * b, start[1] + uy * a + ux * b) for b in (0.0, 3.0, -3.0) for a in along]
        centre = next((spot for spot in spots if self.free(_round_box(spot, radius))), None)
        if centre is None:
            self.notes.append(("", f"cut {said} has no room for its number"))
            return []
        before = len(self.marks)
        self._circle(said, centre, radius, "")
        made = self.marks[before:]
        del self.marks[before:]
        return made

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
            (
                area[0] + radius + u * (area[2] - area[0] - 2 * radius),
                area[1] + radius + v * (area[3] - area[1] - 2 * radius),
            )
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


def key(place: int, *, letters: bool) -> str:
    """Return the key of the note at `place` from 0: 1, 2, 3 ... or A ... Z, AA, AB ..."""
    if not letters:
        return str(place + 1)
    before, last = divmod(place, len(ascii_uppercase))
    return (key(before - 1, letters=True) if before else "") + ascii_uppercase[last]


def _round_box(centre: Point, radius: float) -> Box:
    return centre[0] - radius, centre[1] - radius, centre[0] + radius, centre[1] + radius


def _choices(text: str, area: Box, labels: Labels, avoid: tuple[Box, ...]) -> list[tuple[Text, ...]]:
    """Return the best way to write the text into the area (one or none): large before small, level first."""
    for height, angle in product(_HEIGHTS, (0.0, 90.0)):
        run = (area[2] - area[0] if angle == 0.0 else area[3] - area[1]) - 2 * _PAD
        for lines in _broken(text, run, height):
            for shares in product(_SHARES, _SHARES):
                block = _block(lines, area, shares, height, angle)
                boxes = [text_box(t) for t in block]
                if _clear(boxes, area, labels, avoid):
                    return [block]
    return []


def _broken(text: str, run: float, height: float) -> list[tuple[str, ...]]:
    """Return the text in one line, and in lines of at most the run's width, words kept whole."""
    longest = max((text_width(word, height) for word in words(text)), default=run + 1)
    if longest > run:
        return []
    one, more = (" ".join(words(text)),), wrap(text, run, height)
    half = wrap(text, max(text_width(text, height) * 0.6, longest), height)
    fitting = [lines for lines in (one, more, half) if max(text_width(s, height) for s in lines) <= run]
    return list(dict.fromkeys(fitting))


def _block(lines: tuple[str, ...], area: Box, shares: Point, height: float, angle: float) -> tuple[Text, ...]:
    pitch, wide = height * 1.5, max(text_width(s, height) for s in lines)
    tall = height * 1.35 + pitch * (len(lines) - 1)
    size = (wide, tall) if angle == 0.0 else (tall, wide)
    x = area[0] + _PAD + size[0] / 2 + shares[0] * (area[2] - area[0] - size[0] - 2 * _PAD)
    y = area[1] + _PAD + size[1] / 2 + shares[1] * (area[3] - area[1] - size[1] - 2 * _PAD)
    first = tall / 2 - height * 1.05
    marks = []
    for i, said in enumerate(lines):
        drop = first - i * pitch
        at = (x, y + drop) if angle == 0.0 else (x - drop, y)
        marks.append(Text(layer=LAYER, at=at, text=said, height=height, anchor="middle", angle=angle))
    return tuple(marks)


def _clear(boxes: list[Box], area: Box, labels: Labels, avoid: tuple[Box, ...]) -> bool:
    return all(
        inside(box, area) and labels.free(box) and not any(overlap(box, other) for other in avoid) for box in boxes
    )
