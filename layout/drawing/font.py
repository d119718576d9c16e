"""The one font of all drawings, read from its own file: how wide each sign is, and how high a capital.

DejaVu Sans Condensed: digits with open forms, a 1 that is no l, and the fractions and primes of inches. It is narrow
for its height, so that where an SVG is shown without it, the usual stand-ins take less room, not more.
"""

from __future__ import annotations

from array import array
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from struct import unpack_from
from sys import byteorder

FAMILY = "DejaVu Sans Condensed"
_FILE = "DejaVuSansCondensed.ttf"
# A map from signs to glyphs in segments, of the basic plane of Unicode (platform, encoding).
_BASIC = (3, 1)


@dataclass(frozen=True, kw_only=True, slots=True)
class Font:
    """The advance of each sign and the height of a capital, as shares of the font's size."""

    advances: Mapping[str, float]
    capital: float


def font_data() -> bytes:
    """Return the bytes of the font's TrueType file."""
    return files("layout.drawing").joinpath("fonts", _FILE).read_bytes()


@cache
def font() -> Font:
    """Return the font's metrics, read from its file once.

    The tables are those of the OpenType specification: head, hhea, hmtx, loca, glyf, and cmap in format 4.
    """
    data = font_data()
    at = _tables(data)
    (em,) = unpack_from(">H", data, at["head"] + 18)
    glyphs = _glyphs(data, at["cmap"])
    (wide,) = unpack_from(">H", data, at["hhea"] + 34)
    widths = _numbers("H", data, at["hmtx"], 2 * wide)[::2]
    # Glyphs after the last that has a width of its own are as wide as that one.
    advances = {sign: widths[min(glyph, wide - 1)] / em for sign, glyph in glyphs.items()}
    return Font(advances=advances, capital=_top(data, at, glyphs["H"]) / em)


def _tables(data: bytes) -> dict[str, int]:
    (count,) = unpack_from(">H", data, 4)
    entries = (unpack_from(">4sIII", data, 12 + 16 * i) for i in range(count))
    return {tag.decode(): start for tag, _, start, _ in entries}


def _numbers(kind: str, data: bytes, start: int, count: int) -> array[int]:
    """Return `count` 16-bit numbers, which the file holds with the high byte first."""
    numbers = array(kind, data[start : start + 2 * count])
    if byteorder == "little":
        numbers.byteswap()
    return numbers


def _glyphs(data: bytes, cmap: int) -> dict[str, int]:
    """Return the number of each sign's glyph."""
    (count,) = unpack_from(">H", data, cmap + 2)
    maps = (unpack_from(">HHI", data, cmap + 4 + 8 * i) for i in range(count))
    start = cmap + next(offset for platform, encoding, offset in maps if (platform, encoding) == _BASIC)
    segments = unpack_from(">H", data, start + 6)[0] // 2
    first = start + 14
    ends = _numbers("H", data, first, segments)
    starts, deltas, offsets = (_numbers("H", data, first + 2 + 2 * i * segments, segments) for i in (1, 2, 3))
    table = first + 2 + 6 * segments
    found: dict[str, int] = {}
    for i, (low, high, delta, offset) in enumerate(zip(starts, ends, deltas, offsets, strict=True)):
        plain = range(low, high + 1) if offset == 0 else _numbers("H", data, table + 2 * i + offset, high + 1 - low)
        for sign, glyph in zip(range(low, high + 1), plain, strict=True):
            if glyph and (glyph + delta) & 0xFFFF:
                found[chr(sign)] = (glyph + delta) & 0xFFFF
    return found


def _top(data: bytes, at: Mapping[str, int], glyph: int) -> int:
    """Return how far a glyph reaches above the baseline, in the font's units."""
    (long,) = unpack_from(">h", data, at["head"] + 50)
    place = unpack_from(">I" if long else ">H", data, at["loca"] + glyph * (4 if long else 2))[0]
    return int(unpack_from(">h", data, at["glyf"] + place * (1 if long else 2) + 8)[0])
