"""The drawn sheets of one state for CAD: plan at the project's own coordinates, the other views beside it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil
from typing import TYPE_CHECKING, Literal

from layout.drawing.paper import paper
from layout.drawing.text_width import Box
from layout.export.dxf_model import CadDrawing, CadMark, Circle, Line, Measure, Page, Words, bounds_of
from layout.export.dxf_views import LOOKS, TEXT, View, plan_view, rear_view, side_view
from layout.model.layout import Placed
from layout.model.solid import Point

if TYPE_CHECKING:
    from layout.space.space import Space

Units = Literal["mm", "in"]
# Scales that are tried for the sheet of paper, the largest drawing first; the last one is taken anyway.
_SCALES = (20, 50, 100)
# Room between views and below them for titles, mm on paper; views are moved by whole steps, mm.
_BETWEEN, _TITLE, _STEP = 12.0, 3.5, 100.0
_MARGIN = 10.0


@dataclass(frozen=True, kw_only=True, slots=True)
class RoomState:
    """What is drawn: the space and what stands in it, in `state`; `states` names all that look so."""

    space: Space
    placed: tuple[Placed, ...]
    state: str
    states: tuple[str, ...]


def room_drawing(room: RoomState, units: Units) -> CadDrawing:
    """Return plan, both side elevations and the rear elevation, and a sheet of paper for each, all at one scale.

    The plan has the coordinates of the project: x forward from the rear edge of the floor, y to the left from its
    middle. Above it stands the left side, with the same x; right of it the rear, and above that the right side.
    """
    views: dict[str, tuple[CadMark, ...]] = {}
    scale = _SCALES[0]
    for scale in _SCALES:
        views = _arranged(_views(room, scale), room, scale)
        pages = [_page(name, bounds_of(marks), scale, units) for name, marks in views.items()]
        if None not in pages:
            break
    marks = tuple(mark for one in views.values() for mark in one)
    used = {mark.layer for mark in marks}
    return CadDrawing(
        marks=marks, layers={name: look for name, look in LOOKS.items() if name in used}, units=units, scale=scale,
        pages=tuple(page for page in pages if page is not None),
    )  # fmt: skip


def _views(room: RoomState, scale: int) -> tuple[View, ...]:
    return (
        plan_view(room.space, room.placed, room.state, scale),
        side_view(room.space, room.placed, "left", scale),
        side_view(room.space, room.placed, "right", scale),
        rear_view(room.space, room.placed, scale),
    )


def _arranged(views: Sequence[View], room: RoomState, scale: int) -> dict[str, tuple[CadMark, ...]]:
    """Return all views by name, side by side and above each other, each with its title below it."""
    titled = [_titled(view, room, scale) for view in views]
    plan, left, right, rear = (bounds_of(marks) for marks in titled)
    gap = _BETWEEN * scale
    up = _whole(plan[3] + gap - min(left[1], right[1]))
    beside = max(plan[2], left[2]) + gap
    shifts = (
        (0.0, 0.0),
        (0.0, up),
        (_whole(beside - right[0]), up),
        (_whole(beside - rear[0]), _whole(plan[1] - rear[1])),
    )
    return {
        view.name: tuple(moved(mark, by) for mark in marks)
        for view, marks, by in zip(views, titled, shifts, strict=True)
    }


def _whole(mm: float) -> float:
    return ceil(mm / _STEP) * _STEP


def _titled(view: View, room: RoomState, scale: int) -> tuple[CadMark, ...]:
    x0, y0, _, _ = bounds_of(view.marks)
    height = _TITLE * scale
    title = Words(layer=TEXT, at=(x0, y0 - 2 * height), text=f"{view.name}, {', '.join(room.states)}", height=height)
    note = Words(layer=TEXT, at=(x0, y0 - 3.5 * height), text=view.note, height=height / 1.4)
    return (*view.marks, title, note)


def moved(mark: CadMark, by: Point) -> CadMark:
    """Return the mark shifted by x and y mm."""

    def shifted(point: Point) -> Point:
        return point[0] + by[0], point[1] + by[1]

    if isinstance(mark, Line):
        return replace(mark, points=tuple(shifted(point) for point in mark.points))
    if isinstance(mark, Circle):
        return replace(mark, centre=shifted(mark.centre))
    if isinstance(mark, Measure):
        return replace(mark, start=shifted(mark.start), end=shifted(mark.end), base=shifted(mark.base))
    return replace(mark, at=shifted(mark.at))


def _page(name: str, extent: Box, scale: int, units: Units) -> Page | None:
    """Return the sheet of paper that shows a view at 1:`scale`, None where it is too small."""
    sheet = paper("Tabloid" if units == "in" else "A3")
    room = (sheet.width - 2 * _MARGIN, sheet.height - 2 * _MARGIN)
    if extent[2] - extent[0] > room[0] * scale or extent[3] - extent[1] > room[1] * scale:
        return None
    return Page(name=name, width=sheet.width, height=sheet.height, window=extent, scale=scale)
