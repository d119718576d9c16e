"""Rows of removable things: those on one line between two faces that stay where they are.

A row is told by a line along or across the room. All its things reach over the line; the ends of the opening are
the walls, fixed obstacles and fixed things that the first and the last of the row meet, over their own breadth
and height. Things that are turned askew, and mattresses, are in no row.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon

from layout.checks.bodies import corners
from layout.checks.context import Context
from layout.checks.motions.room import Room
from layout.model.layout import Placed
from layout.model.solid import Solid, box, outer_box
from layout.space.holding import is_square
from layout.space.slide import Axis, clear_spans
from layout.space.space import TOUCH

_HAIR = 2 * TOUCH
_PROBE = 1.0  # mm beyond a face of the room that is looked at to name it


@dataclass(frozen=True, kw_only=True, slots=True)
class Face:
    """Where an opening ends along its axis, mm: at the room, or at a fixed thing, by name."""

    at: float
    name: str
    of_room: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class Row:
    """At least two things on one line along `axis`, in order, between two faces."""

    axis: Axis
    things: tuple[Placed, ...]
    low: Face
    high: Face

    @property
    def names(self) -> tuple[str, ...]:
        """Return the names of the things, in their order."""
        return tuple(placed.name for placed in self.things)

    @property
    def sizes(self) -> tuple[float, ...]:
        """Return how much each takes of the opening, mm."""
        return tuple(high - low for low, high in (span_of(placed.box, self.axis) for placed in self.things))

    @property
    def total(self) -> float:
        """Return how much all take together, mm."""
        return sum(self.sizes)

    @property
    def opening(self) -> float:
        """Return how far apart the two faces are, mm."""
        return self.high.at - self.low.at

    @property
    def left_over(self) -> float:
        """Return how much of the opening is left for all gaps, mm; less than nothing if they do not go in."""
        return self.opening - self.total

    @property
    def where(self) -> Solid:
        """Return the box round the row."""
        return outer_box(tuple(placed.box for placed in self.things), "row")


def span_of(solid: Solid, axis: Axis) -> tuple[float, float]:
    """Return from where to where a solid reaches along x or y, mm."""
    x0, y0, x1, y1 = solid.bounds
    return (x0, x1) if axis == "x" else (y0, y1)


def rows_of(context: Context, state: str, chosen: Callable[[Row], bool] = lambda _: True) -> Iterator[Row]:
    """Yield every row of the state that is `chosen`, across first; one that is part of a longer row is not told apart.

    To say what the ends of a row are takes longest, so `chosen` is asked first and sees no names of the room.
    """
    axes: tuple[Axis, ...] = ("y", "x")
    for axis in axes:
        faces = _Faces(context, state, axis)
        found: dict[tuple[str, ...], Row] = {}
        for line in _lines(faces.removable, axis):
            for row in _cut(faces, line):
                found.setdefault(row.names, row)
        rows = [row for row in found.values() if chosen(row)]
        sets = [set(names) for names in found] if rows else []
        yield from (faces.named(row) for row in rows if not any(set(row.names) < other for other in sets))


def _lines(things: Sequence[Placed], axis: Axis) -> Iterator[list[Placed]]:
    """Yield the things on every line on which a set of them is complete: just past where two of them begin."""
    across: Axis = "x" if axis == "y" else "y"
    spans = np.array([(*span_of(p.box, across), p.box.z0, _top(p)) for p in things], dtype=float).reshape(-1, 4)
    seen: set[bytes] = set()
    for z in np.unique(spans[:, 2]) + _HAIR:
        high = (spans[:, 2] < z) & (z < spans[:, 3])
        marks = (np.unique(spans[high, 0]) + _HAIR)[:, None]
        lines = high & (spans[:, 0] < marks) & (marks < spans[:, 1])
        for on in lines[lines.sum(axis=1) > 1]:
            if on.tobytes() not in seen:
                seen.add(on.tobytes())
                yield sorted((things[int(k)] for k in np.flatnonzero(on)), key=lambda p: sum(span_of(p.box, axis)))


def _top(placed: Placed) -> float:
    """Return up to where a thing is alone at its place: the next of a stack begins at its step, within its rim."""
    return placed.box.z0 + placed.thing.stack_step if placed.thing.stack_step else placed.box.z1


def _cut(faces: _Faces, line: Sequence[Placed]) -> Iterator[Row]:
    """Yield the rows of a line: it is cut where something fixed stands between two things."""
    start = 0
    for k in range(1, len(line) + 1):
        if k == len(line) or faces.parted(line[k - 1], line[k]):
            row = faces.row(line[start:k]) if k - start > 1 else None
            if row is not None:
                yield row
            start = k


class _Faces:
    """What ends an opening along one axis in one state."""

    def __init__(self, context: Context, state: str, axis: Axis) -> None:
        self.context, self.axis = context, axis
        things = context.layout.placed[state]
        self.removable = [p for p in things if _is_removable(p)]
        self._fixed = [(p.name, s) for p in things if p.thing.take_out is None for s in p.solids]
        self._parted: dict[tuple[str, str], bool] = {}

    @cached_property
    def _room(self) -> Room:
        return Room(self.context.space, 0.0, doors_open=False)

    @cached_property
    def _spans(self) -> dict[str, tuple[float, float]]:
        return {p.name: span_of(p.box, self.axis) for p in self.removable}

    @cached_property
    def _known(self) -> dict[str, tuple[Face, Face] | None]:
        """Return what each thing meets first on both sides, over its own breadth and height."""
        bodies = [p.box for p in self.removable]
        spans = clear_spans(self.context.space, bodies, self.axis)
        parts = self._beside(bodies)
        found = (self._found(*of) for of in zip(bodies, spans, parts, strict=True))
        return dict(zip((p.name for p in self.removable), found, strict=True))

    def parted(self, a: Placed, b: Placed) -> bool:
        """Return whether something fixed stands between two things that follow each other, or one is in the other."""
        key = (a.name, b.name)
        if key not in self._parted:
            self._parted[key] = self._are_parted(*key)
        return self._parted[key]

    def _are_parted(self, a: str, b: str) -> bool:
        (a0, a1), (b0, b1) = self._spans[a], self._spans[b]
        if min(a1, b1) - max(a0, b0) > min(a1 - a0, b1 - b0) / 2:
            return True
        faces, others = self._known[a], self._known[b]
        if faces is None or others is None:
            return True
        return faces[1].at < (b0 + b1) / 2 or others[0].at > (a0 + a1) / 2

    def row(self, things: Sequence[Placed]) -> Row | None:
        """Return the row of things that nothing parts, None where an end stands in something."""
        first, last = self._known[things[0].name], self._known[things[-1].name]
        if first is None or last is None:
            return None
        return Row(axis=self.axis, things=tuple(things), low=first[0], high=last[1])

    def _found(
        self, body: Solid, span: tuple[float, float] | None, fixed: Sequence[tuple[float, float, str]]
    ) -> tuple[Face, Face] | None:
        """Return what a body meets first, in the room's clear span and beside the parts of what is fixed."""
        middle = sum(span_of(body, self.axis)) / 2
        if span is None or any(low < middle < high for low, high, _ in fixed):
            return None
        below = max(((high, name) for low, high, name in fixed if high <= middle), default=(span[0], ""))
        above = min(((low, name) for low, high, name in fixed if low >= middle), default=(span[1], ""))
        low = Face(at=below[0], name=below[1], of_room=False) if below[1] and below[0] >= span[0] else None
        high = Face(at=above[0], name=above[1], of_room=False) if above[1] and above[0] <= span[1] else None
        # What of the room it is costs a while to say, and most faces end no row: that is asked for last.
        return low or Face(at=span[0], name="", of_room=True), high or Face(at=span[1], name="", of_room=True)

    def _beside(self, bodies: Sequence[Solid]) -> list[list[tuple[float, float, str]]]:
        """Return what of each fixed solid stands within the breadth and height of each body: its span, and its name."""
        found: list[list[tuple[float, float, str]]] = [[] for _ in bodies]
        across = 1 if self.axis == "x" else 0
        low, high = corners(bodies)
        fixed_low, fixed_high = corners([solid for _, solid in self._fixed])
        meet = [
            np.minimum(high[:, None, k], fixed_high[:, k]) - np.maximum(low[:, None, k], fixed_low[:, k]) > TOUCH
            for k in (across, 2)
        ]
        for i, j in np.argwhere(self._counts(meet[0] & meet[1], (low + high)[:, 1 - across] / 2)).tolist():
            name, solid = self._fixed[j]
            found[i].append((*self._part(solid, bodies[i]), name))
        return found

    def _counts(self, meet: NDArray[np.bool_], middles: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Return of what meets each body what may end its opening: of square ones the nearest, or what is in it."""
        square = np.array([is_square(solid) for _, solid in self._fixed], dtype=bool)
        spans = np.array([span_of(solid, self.axis) for _, solid in self._fixed], dtype=float).reshape(-1, 2)
        (low, high), at = spans.T, middles[:, None]
        ends = np.where(meet & square & (high <= at), high, -np.inf).max(axis=1, initial=-np.inf)
        starts = np.where(meet & square & (low >= at), low, np.inf).min(axis=1, initial=np.inf)
        nearest = (high == ends[:, None]) | (low == starts[:, None]) | ((low < at) & (at < high))
        found: NDArray[np.bool_] = meet & (nearest | ~square)
        return found

    def _part(self, solid: Solid, body: Solid) -> tuple[float, float]:
        """Return from where to where along the axis a fixed solid stands within the breadth of a body."""
        if is_square(solid):
            return span_of(solid, self.axis)
        across: Axis = "x" if self.axis == "y" else "y"
        low, high = span_of(body, across)
        strip = shapely.box(low, -_FAR, high, _FAR) if self.axis == "y" else shapely.box(-_FAR, low, _FAR, high)
        part = Polygon(solid.outline).intersection(strip).bounds
        return (part[1], part[3]) if self.axis == "y" else (part[0], part[2])

    def named(self, row: Row) -> Row:
        """Return the row with what each end is of the room."""
        low, high = self._named(row.low, row.things[0], -_PROBE), self._named(row.high, row.things[-1], _PROBE)
        return replace(row, low=low, high=high)

    def _named(self, face: Face, placed: Placed, beyond: float) -> Face:
        return self._probed(face, placed.box, beyond) if face.of_room else face

    def _probed(self, face: Face, body: Solid, beyond: float) -> Face:
        """Return the face with what a thin probe just beyond it finds."""
        x0, y0, x1, y1 = body.bounds
        span = (min(face.at, face.at + beyond), max(face.at, face.at + beyond))
        x, y = (span, (y0, y1)) if self.axis == "x" else ((x0, x1), span)
        probe = box("", x, y, (body.z0, body.z1))
        name = self._room.named(probe) if self._room.blocks(probe) else "the wall"
        return replace(face, name=name)


_FAR = 100_000.0


def _is_removable(placed: Placed) -> bool:
    soft = bool(placed.thing.sleeps) or placed.thing.kind == "mattress"
    return placed.thing.take_out is not None and not soft and placed.turn_deg % 90 == 0
