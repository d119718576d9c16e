"""The boxes of the measure sheet in columns: what is known stands in them, what is not is for the pencil."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from layout.drawing.lines import arc_points, box_points, polygon
from layout.drawing.model import MEDIUM, NARROW, SMALL_TEXT, TEXT, Mark, Pen, Text
from layout.drawing.text_width import Box, shorten, text_width, wrap
from layout.drawing.title_block import fitted
from layout.views.measure_sheet.entries import Entry, Group

_KNOWN, _OPEN = Pen(width=NARROW, grey=0.3), Pen(width=MEDIUM)
_KEY = 8.0
_NARROWEST = 15.0  # mm of a box into which one writes by hand


@dataclass(frozen=True, kw_only=True, slots=True)
class Form:
    """The sizes of a form in mm: a box's height and the gap below it, letters of headings and of notes."""

    box: float
    gap: float
    heading: float
    small: float

    @classmethod
    def ways(cls, width: float) -> tuple[tuple[Form, int], ...]:
        """Return the sizes to try for a sheet that leaves `width` mm, largest first, with the columns to stand in."""
        if width > 300:  # noqa: PLR2004 (mm: A3 and larger)
            small = cls(box=10.0, gap=1.6, heading=TEXT, small=SMALL_TEXT)
            tight = cls(box=8.5, gap=1.2, heading=TEXT, small=SMALL_TEXT)
            return (cls(box=14.0, gap=2.4, heading=TEXT, small=SMALL_TEXT), 1), (small, 1), (tight, 1), (small, 2)
        small = cls(box=8.0, gap=1.2, heading=SMALL_TEXT, small=2.1)
        return (cls(box=10.0, gap=1.6, heading=SMALL_TEXT, small=2.1), 1), (small, 1), (small, 2)


def best_form(
    groups: Sequence[Group], room: Box, width: float, known: Mapping[str, str]
) -> tuple[Form, tuple[tuple[Mark, ...], ...]]:
    """Return the largest sizes with which all boxes stand on one sheet, or the smallest, and the boxes page by page."""
    made: list[tuple[Form, tuple[tuple[Mark, ...], ...]]] = []
    for form, columns in Form.ways(width):
        if made and _narrowest_box(groups, room, columns, form) < _NARROWEST:
            continue
        pages = form_pages(groups, room, columns, form, known)
        made.append((form, pages))
        if len(pages) == 1:
            break
    return made[-1]


def _narrowest_box(groups: Sequence[Group], room: Box, columns: int, form: Form) -> float:
    wide = (room[2] - room[0]) / columns - 4 - _KEY
    return min((wide - _says(group, form)) / len(entry.boxes) for group in groups for entry in group.entries)


@dataclass(frozen=True, slots=True)
class _Block:
    """A heading with its notes, or a line of boxes, and the height that it takes, mm."""

    group: Group
    entry: Entry | None
    height: float


def form_pages(
    groups: Sequence[Group], room: Box, columns: int, form: Form, known: Mapping[str, str]
) -> tuple[tuple[Mark, ...], ...]:
    """Return the marks of the boxes page by page, in `columns` columns of the `room`."""
    wide = (room[2] - room[0]) / columns - 4
    pages: list[list[Mark]] = []
    column, y = columns, 0.0
    for group in groups:
        head = _Block(group, None, _head_height(group, wide, form))
        for i, entry in enumerate(group.entries):
            need = form.box + form.gap + (head.height if i == 0 else 0.0)
            broken = column >= columns or y - need < room[1]
            if broken:
                column, y = column + 1, room[3]
                if column >= columns:
                    pages.append([])
                    column = 0
            x = room[0] + column * (wide + 4)
            if i == 0 or broken:
                pages[-1] += _head(group, x, y, wide, form)
                y -= head.height
            pages[-1] += _line(entry, (x, y - form.box, x + wide, y), _says(group, form), form, known)
            y -= form.box + form.gap
        y -= 2.5
    return tuple(tuple(page) for page in pages)


def _says(group: Group, form: Form) -> float:
    return max((text_width(entry.says, form.heading) + 2 for entry in group.entries if entry.says), default=0.0)


def _head_height(group: Group, wide: float, form: Form) -> float:
    return form.heading * 1.7 + len(wrap(group.how, wide, form.small)) * form.small * 1.5 + 1.2


def _head(group: Group, x: float, y: float, wide: float, form: Form) -> list[Mark]:
    said = shorten(group.heading, wide, form.heading)
    marks: list[Mark] = [Text(layer="form", at=(x, y - form.heading * 1.2), text=said, height=form.heading)]
    y -= form.heading * 1.7
    for part in wrap(group.how, wide, form.small):
        y -= form.small * 1.5
        marks.append(Text(layer="form", at=(x, y + form.small * 0.35), text=part, height=form.small))
    return marks


def _line(entry: Entry, room: Box, says: float, form: Form, known: Mapping[str, str]) -> list[Mark]:
    marks: list[Mark] = []
    x, low, right, high = room
    middle = (low + high) / 2
    if entry.key:
        radius = max(text_width(entry.key, SMALL_TEXT) / 2 + 0.9, 2.3)
        marks.append(polygon("form", arc_points((x + radius, middle), radius, 0, 360)[:-1], pen=Pen(width=NARROW)))
        at = (x + radius, middle - SMALL_TEXT / 2)
        marks.append(Text(layer="form", at=at, text=entry.key, height=SMALL_TEXT, anchor="middle"))
    x += _KEY
    says = min(says, (right - x) * 0.72)
    for i, part in enumerate(parts := wrap(entry.says, says, form.heading) if says else ()):
        drop = ((len(parts) - 1) / 2 - i) * form.heading * 1.35 - form.heading / 2
        marks.append(Text(layer="form", at=(x, middle + drop), text=part, height=form.heading))
    x += says
    wide = (right - x) / len(entry.boxes)
    for i, (caption, name) in enumerate(entry.boxes):
        marks += _box((x + i * wide, low, x + (i + 1) * wide - 1.2, high), caption, known.get(name, ""), form)
    return marks


def _box(box: Box, caption: str, said: str, form: Form) -> list[Mark]:
    """Return a box: its caption small at the top, what is known large below, or room for the pencil."""
    height = form.heading
    marks: list[Mark] = [
        polygon("form", box_points(box), pen=_KNOWN if said else _OPEN),
        Text(layer="form", at=(box[0] + 0.8, box[3] - form.small * 1.4), text=shorten(caption, box[2] - box[0] - 1.6,
             form.small), height=form.small),
    ]  # fmt: skip
    if said:
        room = (box[0] + 0.8, box[1] + 1.0, box[2] - 1.0, box[1] + 1.6 + height)
        marks.append(fitted("form", said, room, height, "end"))
    return marks
