"""Offsets: a curved edge told as distances from a straight line, to be marked, joined by hand and sawn."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from layout.model.panel import Panel, Side
from layout.model.solid import Point

Way = Literal["length", "width"]
_SAME = 1e-6


@dataclass(frozen=True, kw_only=True, slots=True)
class Offsets:
    """One edge of a panel that is not straight, as offsets from a base line in the panel's own plane, mm.

    `side` is the side of the panel that the edge is; the base line runs along `along` (its length or its width) at
    `base` across it. `rows` are places along the base line, and how far the edge is from the line there; two rows at
    one place are a step, and between rows the edge is straight. `oversize` is what is left on, to be cut to fit.
    `whole` tells that the edge has no undercut: then the rows are all of it.
    """

    name: str
    side: Side
    along: Way
    base: float
    rows: tuple[Point, ...]
    oversize: float
    whole: bool = True

    @property
    def note(self) -> str:
        """Return what is written beside the edge."""
        return f"cut to fit, oversize by {self.oversize:g}" if self.oversize else "cut to the line"


def offsets(panel: Panel, every: float) -> tuple[Offsets, ...]:
    """Return the offsets of all edges of a panel that are not straight; none for a rectangle.

    Parameters
    ----------
    panel
        The panel; its holes are not looked at.
    every
        How far apart rows are at most, mm; there is one at each place where the edge bends besides, so that the rows
        are the edge itself.

    Notes
    -----
    The base line is the opposite edge where that is straight, and the middle of the panel where both are curved. It
    runs along the length if every line across meets the panel in one stretch, else along the width if that is so.
    """
    ways: tuple[Way, ...] = ("length", "width")
    rings = {way: _corners(panel, way) for way in ways}
    single = [way for way in ways if _is_single(rings[way])]
    way = single[0] if single else ways[0]
    return tuple(_edges(panel, way, rings[way], every))


def _corners(panel: Panel, way: Way) -> tuple[Point, ...]:
    """Return the outline as (along the base line, across it), without idle corners."""
    ring = panel.outline if way == "length" else tuple((v, u) for u, v in panel.outline)
    return tuple(here for before, here, after in zip((ring[-1], *ring), ring, (*ring[1:], ring[0]), strict=False)
                 if _turns(before, here, after))  # fmt: skip


def _turns(a: Point, b: Point, c: Point) -> bool:
    return abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])) > _SAME * max(
        1.0, abs(c[0] - a[0]) + abs(c[1] - a[1])
    )


def _places(ring: Sequence[Point]) -> list[float]:
    return sorted({at for at, _ in ring})


def _crossing(ring: Sequence[Point], low: float, high: float) -> list[tuple[float, float]]:
    """Return where the edges that pass from place to place begin and end across, the nearest first."""
    found = []
    for a, b in pairwise((*ring, ring[0])):
        start, end = min(a, b), max(a, b)
        if start[0] <= low and end[0] >= high and start[0] < end[0]:
            slope = (end[1] - start[1]) / (end[0] - start[0])
            found.append((start[1] + slope * (low - start[0]), start[1] + slope * (high - start[0])))
    return sorted(found, key=sum)


def _is_single(ring: Sequence[Point]) -> bool:
    return all(len(_crossing(ring, a, b)) == 2 for a, b in pairwise(_places(ring)))  # noqa: PLR2004 (one stretch)


def _edges(panel: Panel, way: Way, ring: Sequence[Point], every: float) -> Iterator[Offsets]:
    low, high = min(across for _, across in ring), max(across for _, across in ring)
    lines = {"low": _line(ring, every, 0), "high": _line(ring, every, -1)}
    straight = {end: len({round(across, 6) for _, across in line}) == 1 for end, line in lines.items()}
    middle = round((low + high) / 2)
    sides: dict[Way, tuple[Side, Side]] = {"length": ("bottom", "top"), "width": ("left", "right")}
    for end, side in zip(("low", "high"), sides[way], strict=True):
        other = "high" if end == "low" else "low"
        if straight[end]:
            continue
        base = lines[other][0][1] if straight[other] else float(middle)
        sign = -1 if end == "low" else 1
        rows = tuple((at, sign * (across - base)) for at, across in lines[end])
        yield Offsets(
            name=panel.name, side=side, along=way, base=base, rows=rows, oversize=panel.oversize, whole=_is_single(ring)
        )


def _line(ring: Sequence[Point], every: float, end: int) -> tuple[Point, ...]:
    """Return one edge as places along and across: at each bend, and so often between, from the low end of the panel."""
    places = _places(ring)
    ticks = [places[0] + every * i for i in range(1, int((places[-1] - places[0]) / every) + 1)]
    rows: list[Point] = []
    for low, high in pairwise(places):
        start, stop = _crossing(ring, low, high)[end]
        for at in (low, *(tick for tick in ticks if low < tick < high), high):
            row = (at, start + (stop - start) * (at - low) / (high - low))
            if not rows or abs(rows[-1][0] - row[0]) > _SAME or abs(rows[-1][1] - row[1]) > _SAME:
                rows.append(row)
    return tuple(rows)
