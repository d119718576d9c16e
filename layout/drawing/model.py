"""A drawing: marks on layers of a sheet of paper, in paper mm, x right and y up from the low left corner."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Point = tuple[float, float]
Dash = Literal["solid", "dashed", "chain", "dotted"]
Anchor = Literal["start", "middle", "end"]

# ISO 128-20 line widths in mm, each √2 times the one before. A pen of any other width draws nothing but white gaps.
LINE_WIDTHS = (0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0)
# The frame of the sheet; outlines; edges; dimensions, hatching and hidden edges.
FRAME = 0.7
WIDE = 0.5
MEDIUM = 0.35
NARROW = 0.18
# ISO 3098 lettering heights in mm.
SMALL_TEXT = 2.5
TEXT = 3.5
TITLE_TEXT = 5.0
SMALLEST_TEXT = 1.8


@dataclass(frozen=True, kw_only=True, slots=True)
class Pen:
    """How a line is drawn: width in mm (0: no line), dash pattern, grey from 0 (black) to 1 (white)."""

    width: float = MEDIUM
    dash: Dash = "solid"
    grey: float = 0.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Path:
    """A polyline, closed into a polygon if said so; `fill` is a grey from 0 to 1, or None for none.

    `id` is the name of the thing that it shows, in the project file's words, or empty.
    """

    layer: str
    points: tuple[Point, ...]
    closed: bool = False
    pen: Pen = Pen()
    fill: float | None = None
    id: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Text:
    """One line of text; `at` is on its baseline, `height` the height of a capital in mm, `angle` in degrees."""

    layer: str
    at: Point
    text: str
    height: float = SMALL_TEXT
    anchor: Anchor = "start"
    angle: float = 0.0
    id: str = ""


Mark = Path | Text


@dataclass(frozen=True, kw_only=True, slots=True)
class Drawing:
    """One sheet of paper: size in mm, title, scale as the 20 of 1:20 (None: not to scale), marks.

    Layers are painted in the order of `layers`, and the marks of one layer in their own order.
    """

    name: str
    title: str
    width: float
    height: float
    scale: int | None
    marks: tuple[Mark, ...]

    @property
    def layers(self) -> tuple[str, ...]:
        """Return the names of the layers, in the order in which they are first drawn on."""
        return tuple(dict.fromkeys(mark.layer for mark in self.marks))

    def painted(self) -> tuple[Mark, ...]:
        """Return the marks in the order in which they are painted: layer by layer."""
        place = {layer: i for i, layer in enumerate(self.layers)}
        return tuple(sorted(self.marks, key=lambda mark: place[mark.layer]))
