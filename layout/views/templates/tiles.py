"""A panel's outline on pages at full size: where each page lies, which register marks it carries, what it shows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import ceil
from string import ascii_uppercase

import shapely

from layout.drawing.text_width import Box
from layout.model.solid import Point
from layout.model.worked import Ring, Work

OVERLAP = 12.0  # mm by which neighbouring pages show the same
_HAIR = 1e-6
#: Edges that slant but do not bend are told by their offsets as well; they get a template of at most so many pages.
_FEW_PAGES = 4
_LEVEL = 0.3  # mm: what rises by less is level


@dataclass(frozen=True, kw_only=True, slots=True)
class Tile:
    """One page: its name (row letter, column number), and the part of the panel that it shows, mm of the panel."""

    name: str
    window: Box
    lines: tuple[Ring, ...]
    areas: tuple[Ring, ...]
    marks: tuple[tuple[str, Point], ...]

    @property
    def straight(self) -> bool:
        """Return whether nothing on it slants or bends."""
        return not any(_slants(a, b) for stretch in self.lines for a, b in pairwise(stretch))


@dataclass(frozen=True, kw_only=True)
class Tiling:
    """A panel's outline on pages that show `room` mm each: their middles are a room less the overlap apart."""

    work: Work
    room: tuple[float, float]

    @property
    def step(self) -> tuple[float, float]:
        """Return how far pages lie apart, mm."""
        return self.room[0] - OVERLAP, self.room[1] - OVERLAP

    @property
    def counts(self) -> tuple[int, int]:
        """Return how many pages there would be along the length and up the width."""
        sizes = zip((self.work.length, self.work.width), self.step, strict=True)
        columns, rows = (max(1, ceil(size / step - _HAIR)) for size, step in sizes)
        return columns, rows

    @property
    def start(self) -> Point:
        """Return the low left corner of the grid of register marks, so that the panel lies in the middle of it."""
        (columns, rows), (du, dv) = self.counts, self.step
        return (self.work.length - columns * du) / 2, (self.work.width - rows * dv) / 2

    def place(self, column: int, row: int) -> Point:
        """Return the register mark at a corner of the grid, mm of the panel."""
        return self.start[0] + column * self.step[0], self.start[1] + row * self.step[1]

    @cached_property
    def tiles(self) -> tuple[Tile, ...]:
        """Return the pages through which the outline passes, from the top left, row after row.

        Pages wholly within the panel, or outside it, show nothing to cut along and are left out.
        """
        columns, rows = self.counts
        found = (self._tile(column, row) for row in reversed(range(rows)) for column in range(columns))
        return tuple(tile for tile in found if tile.lines)

    def _tile(self, column: int, row: int) -> Tile:
        (u0, v0), (u1, v1), half = self.place(column, row), self.place(column + 1, row + 1), OVERLAP / 2
        window = u0 - half, v0 - half, u1 + half, v1 + half
        corners = [(column + i, row + j) for j in (0, 1) for i in (0, 1)]
        marks = tuple((self._mark(i, j), self.place(i, j)) for i, j in corners)
        return Tile(
            name=self.name(column, row), window=window, lines=clipped(self.work.outline, window), marks=marks,
            areas=_inside(self.work.outline, window),
        )  # fmt: skip

    def name(self, column: int, row: int) -> str:
        """Return the name of a page: A is the top row, 1 the first column from the left."""
        return f"{_letters(self.counts[1] - 1 - row)}{column + 1}"

    def _mark(self, column: int, row: int) -> str:
        """Return the name of a register mark, the same on every page that carries it."""
        return f"{self.counts[1] - row}-{column}"


def clipped(ring: Sequence[Point], window: Box) -> tuple[Ring, ...]:
    """Return the stretches of an outline within a window, each as a line."""
    edge = shapely.LineString([*ring, ring[0]]).intersection(shapely.box(*window))
    merged = shapely.line_merge(edge) if edge.geom_type == "MultiLineString" else edge
    parts = shapely.get_parts(merged)
    return tuple(tuple((float(x), float(y)) for x, y in part.coords) for part in parts if part.length > _HAIR)


def _inside(ring: Ring, window: Box) -> tuple[Ring, ...]:
    """Return what of the panel lies within a window, each piece as its outline."""
    found = shapely.Polygon(ring).intersection(shapely.box(*window))
    parts = [part for part in shapely.get_parts(found) if part.geom_type == "Polygon"]
    return tuple(tuple((float(x), float(y)) for x, y in part.exterior.coords[:-1]) for part in parts)


def _letters(place: int) -> str:
    before, last = divmod(place, len(ascii_uppercase))
    return (_letters(before - 1) if before else "") + ascii_uppercase[last]


def wants_template(tiling: Tiling) -> bool:
    """Return whether a panel is drawn at full size: an edge of it bends, or it slants and few pages do.

    A straight slanting edge is marked by two offsets with a straightedge, which is quicker and no less exact than
    putting many pages together.
    """
    return _bends(tiling.work.outline) or len(tiling.tiles) <= _FEW_PAGES


def _bends(ring: Ring) -> bool:
    """Return whether two edges that both slant follow each other."""
    slants = [_slants(a, b) for a, b in pairwise((*ring, ring[0], ring[1]))]
    return any(one and other for one, other in pairwise(slants))


def _slants(a: Point, b: Point) -> bool:
    return abs(a[0] - b[0]) > _LEVEL and abs(a[1] - b[1]) > _LEVEL
