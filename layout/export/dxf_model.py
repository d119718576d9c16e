"""What goes into a DXF file: lines and words on named layers, at true size in mm, x right and y up."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from layout.drawing.model import Dash
from layout.drawing.text_width import Box
from layout.model.solid import Point

Anchor = Literal["start", "middle"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Layer:
    """How a layer looks: `colour` by the number of the AutoCAD colour index, `width` of its lines on paper in mm."""

    colour: int = 7
    width: float = 0.25
    dash: Dash = "solid"


@dataclass(frozen=True, kw_only=True, slots=True)
class Line:
    """A polyline, closed into an outline unless said otherwise.

    `shows` is the name of what it is the outline of, in the project file's words, and `view` in which view: both are
    kept with it in the file for whoever works on with it.
    """

    layer: str
    points: tuple[Point, ...]
    closed: bool = True
    shows: str = ""
    view: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Circle:
    """A round hole or a mark: centre and radius, mm."""

    layer: str
    centre: Point
    radius: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Words:
    """One line of text as high as `height` mm; `at` is on its baseline, `angle` in degrees."""

    layer: str
    at: Point
    text: str
    height: float
    anchor: Anchor = "start"
    angle: float = 0.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Measure:
    """A dimension from `start` to `end`, level or upright, its line through `base`; all mm."""

    layer: str
    start: Point
    end: Point
    base: Point
    upright: bool = False

    @property
    def length(self) -> float:
        """Return what it measures, mm."""
        i = 1 if self.upright else 0
        return abs(self.end[i] - self.start[i])


CadMark = Line | Circle | Words | Measure


@dataclass(frozen=True, kw_only=True, slots=True)
class Page:
    """A sheet of paper, width and height in mm, that shows `window` (mm of the thing) at 1:`scale`."""

    name: str
    width: float
    height: float
    window: Box
    scale: int


@dataclass(frozen=True, kw_only=True, slots=True)
class CadDrawing:
    """The content of one file: marks, how their layers look, and for which 1:`scale` words and dimensions are sized.

    A layer that `layers` does not tell of is drawn with thin lines. `units` are those of the file's coordinates.
    """

    marks: tuple[CadMark, ...]
    layers: dict[str, Layer]
    units: Literal["mm", "in"]
    scale: int
    pages: tuple[Page, ...] = ()


def bounds_of(marks: tuple[CadMark, ...]) -> Box:
    """Return the box round all lines, circles and dimension lines, mm; words are not looked at."""
    points = [point for mark in marks for point in _points(mark)]
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def _points(mark: CadMark) -> tuple[Point, ...]:
    if isinstance(mark, Line):
        return mark.points
    if isinstance(mark, Measure):
        return mark.start, mark.end, mark.base
    if isinstance(mark, Circle):
        (x, y), r = mark.centre, mark.radius
        return (x - r, y - r), (x + r, y + r)
    return (mark.at,)
