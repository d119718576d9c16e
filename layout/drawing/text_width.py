"""How wide text comes out in Helvetica, from the advance widths of the font's published metrics."""

from __future__ import annotations

from collections.abc import Mapping
from math import cos, radians, sin
from types import MappingProxyType

from layout.drawing.model import Text

Box = tuple[float, float, float, float]

# Height of a capital as a share of the font's size; exporters divide by it to get the size.
CAPITAL = 0.72
# How far letters reach below the baseline and above the capitals, as a share of a capital's height.
_BELOW, _ABOVE = 0.3, 1.05
# Wider than any letter but the widest, so that an unknown sign is rather given too much room.
_UNKNOWN = 1000


def _table() -> Mapping[str, int]:
    """Return the advance widths in 1/1000 of the font size, by character."""
    by_width = {
        191: "'",
        222: "ijl",
        260: "|",
        278: " \u00a0!,./:;I[\\]ft",
        333: "()-`r",
        334: "{}",
        350: "•",
        355: '"',
        389: "*",
        400: "°",
        469: "^",
        500: "Jcksvxyzçšžýÿ",
        556: "#$0123456789?L_abdeghnopqu–áàâäãåéèêëñóòôöõúùûü€",
        584: "+<=>~×÷±",
        611: "FTZßøŽ",
        667: "&ABEKPSVXYÄÁÀÂÅÉÈÊËŠÝ",
        722: "CDHNRUwÜÚÙÛÑÇ",
        778: "GOQÖÓÒÔÕØ",
        833: "Mm",
        834: "½¼¾",
        889: "%æ",
        944: "Wœ",
        1000: "…—ÆŒ",
        1015: "@",
    }
    return MappingProxyType({sign: width for width, signs in by_width.items() for sign in signs})


_WIDTHS = _table()


def text_width(text: str, height: float) -> float:
    """Return the width in mm of `text` whose capitals are `height` mm high."""
    return sum(_WIDTHS.get(sign, _UNKNOWN) for sign in text) * height / CAPITAL / 1000


def text_box(mark: Text) -> Box:
    """Return x0, y0, x1, y1 in mm of the upright box around the text as it is turned."""
    width = text_width(mark.text, mark.height)
    start = {"start": 0.0, "middle": -width / 2, "end": -width}[mark.anchor]
    c, s = cos(radians(mark.angle)), sin(radians(mark.angle))
    heights = (-_BELOW * mark.height, _ABOVE * mark.height)
    corners = [(u * c - v * s, u * s + v * c) for u in (start, start + width) for v in heights]
    xs, ys = zip(*corners, strict=True)
    x, y = mark.at
    return x + min(xs), y + min(ys), x + max(xs), y + max(ys)


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
