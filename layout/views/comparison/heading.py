"""The number and the name of an arrangement in large letters."""

from __future__ import annotations

from collections.abc import Iterator

from layout.drawing.lines import circle
from layout.drawing.model import SMALL_TEXT, TEXT, TITLE_TEXT, Mark, Text
from layout.drawing.text_width import Box, text_width, wrap

LAYER = "heading"
_NUMBER = 7.0
_RADIUS = 5.6
_PITCH = 1.45
_MOST = 3
_HEIGHTS = (TITLE_TEXT, 4.2, TEXT, SMALL_TEXT)


def heading_height(name: str, width: float) -> float:
    """Return the height in mm that a heading takes on `width` mm."""
    height, lines = _lines(name, width)
    return max(2 * _RADIUS, len(lines) * height * _PITCH) + 2.0


def heading_marks(number: int, name: str, box: Box) -> Iterator[Mark]:
    """Yield the number in a circle and the name beside it, at the top of a box."""
    centre = (box[0] + _RADIUS, box[3] - _RADIUS)
    yield circle(LAYER, centre, _RADIUS, fill=0.0)
    yield circle(LAYER, centre, _RADIUS - 0.7)
    said = str(number)
    height = _NUMBER if len(said) == 1 else TITLE_TEXT
    yield Text(layer=LAYER, at=(centre[0], centre[1] - height / 2), text=said, height=height, anchor="middle")
    size, lines = _lines(name, box[2] - box[0])
    top = box[3] - _RADIUS + len(lines) * size * _PITCH / 2 if len(lines) * size * _PITCH < 2 * _RADIUS else box[3]
    for i, line in enumerate(lines):
        at = (box[0] + 2 * _RADIUS + 2.5, top - (i + 0.5) * size * _PITCH - size / 2)
        yield Text(layer=LAYER, at=at, text=line, height=size)


def _lines(name: str, width: float) -> tuple[float, tuple[str, ...]]:
    """Return the height of the letters and the lines: as large as goes into a few lines without a broken word."""
    room = width - 2 * _RADIUS - 3.5
    for height in _HEIGHTS:
        lines = wrap(name, room, height)
        whole = all(text_width(word, height) <= room for word in name.split())
        if whole and len(lines) <= _MOST:
            return height, lines
    return SMALL_TEXT, wrap(name, room, SMALL_TEXT)
