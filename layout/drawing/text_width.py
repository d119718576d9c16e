"""How wide text comes out, by the advance widths of the font itself; where it is broken and cut off."""

from __future__ import annotations

from math import cos, radians, sin

from layout.drawing.font import font
from layout.drawing.model import Point, Text

Box = tuple[float, float, float, float]

# How far letters reach below the baseline and above the capitals, as a share of a capital's height.
_BELOW, _ABOVE = 0.3, 1.05
# Wider than any letter but the widest, as a share of the font's size, so that an unknown sign is rather given too
# much room.
_UNKNOWN = 1.0


def font_size(height: float) -> float:
    """Return the size of the font, in mm, at which capitals are `height` mm high."""
    return height / font().capital


def text_width(text: str, height: float) -> float:
    """Return the width in mm of `text` whose capitals are `height` mm high."""
    advances = font().advances
    return sum([advances.get(sign, _UNKNOWN) for sign in text]) * height / font().capital


def text_corners(mark: Text) -> tuple[Point, ...]:
    """Return the corners of the rectangle around the text as it is turned, mm, in order round it."""
    width = text_width(mark.text, mark.height)
    start = {"start": 0.0, "middle": -width / 2, "end": -width}[mark.anchor]
    c, s = cos(radians(mark.angle)), sin(radians(mark.angle))
    low, high = -_BELOW * mark.height, _ABOVE * mark.height
    corners = ((start, low), (start + width, low), (start + width, high), (start, high))
    x, y = mark.at
    return tuple((x + u * c - v * s, y + u * s + v * c) for u, v in corners)


def text_box(mark: Text) -> Box:
    """Return x0, y0, x1, y1 in mm of the upright box around the text as it is turned."""
    xs, ys = zip(*text_corners(mark), strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def overlap(a: Box, b: Box, gap: float = 0.0) -> bool:
    """Return whether two boxes come nearer to each other than `gap` mm."""
    return a[0] < b[2] + gap and b[0] < a[2] + gap and a[1] < b[3] + gap and b[1] < a[3] + gap


def inside(inner: Box, outer: Box) -> bool:
    """Return whether `inner` does not leave `outer`, to within a rounding error."""
    slack = 1e-6
    low = inner[0] >= outer[0] - slack and inner[1] >= outer[1] - slack
    return low and inner[2] <= outer[2] + slack and inner[3] <= outer[3] + slack


def words(text: str) -> list[str]:
    """Return the pieces of `text` between blanks; a no-break space does not part them."""
    return [word for word in text.split(" ") if word]


def wrap(text: str, width: float, height: float) -> tuple[str, ...]:
    """Return `text` broken into lines no wider than `width` mm; a word longer than that is broken too.

    Words end at blanks; a no-break space keeps together what it joins.
    """
    lines: list[str] = []
    for word in words(text):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, height) <= width:
            lines[-1] = longer
        else:
            lines += _pieces(word, width, height)
    return tuple(lines)


def _pieces(word: str, width: float, height: float) -> list[str]:
    pieces = [""]
    for sign in word:
        if pieces[-1] and text_width(pieces[-1] + sign, height) > width:
            pieces.append("")
        pieces[-1] += sign
    return pieces


def shorten(text: str, width: float, height: float) -> str:
    """Return `text`, cut off with an ellipsis where it would be wider than `width` mm."""
    if text_width(text, height) <= width:
        return text
    while text and text_width(text + "…", height) > width:
        text = text[:-1]
    return text.rstrip() + "…"
