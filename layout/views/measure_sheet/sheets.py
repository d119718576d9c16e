"""The measure sheets: three sketches with boxes, and what must agree before one leaves the vehicle."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from layout.drawing.model import Drawing, Mark, Text
from layout.drawing.text_width import Box, text_width, wrap
from layout.drawing.title_block import sheet_marks, sheet_room
from layout.views.measure_sheet.entries import Group, check_groups, cross_groups, floor_groups, side_groups
from layout.views.measure_sheet.figures import Draw, across, from_above, from_the_side
from layout.views.measure_sheet.form import Form, best_form
from layout.views.measure_sheet.sketch import Sketch
from layout.views.measure_sheet.typed import typed_lines
from layout.views.options import ViewOptions

_SHARE = 0.55  # of the sheet for the sketch
RULES = (
    "On bare metal, before any lining. Snap the centreline first, halfway between the walls at the rear and at the "
    "front, and the cross line square to it at the rear end of the floor.",
    "x runs forward from the cross line, y from the centreline, heights square to the floor: not plumb, not level.",
    "Read each length twice, from both ends, and write both down before comparing them.",
)
OPEN = "Boxes with a thick edge are still to be measured; in the others stands what the project file says."


@dataclass(frozen=True, slots=True)
class _Page:
    name: str
    title: str
    draw: Draw | None
    groups: tuple[Group, ...]


def measure_sheets(sketch: Sketch, options: ViewOptions, limits: tuple[float, float]) -> tuple[Drawing, ...]:
    """Return the sheets: from above, from the side, across, checks; more where boxes do not fit on one.

    Parameters
    ----------
    sketch
        The space; what is known of it stands in the boxes.
    options
        Paper and units.
    limits
        How far two readings of one length, and left and right, may be apart before they are read again, mm.
    """
    known = {name: options.said(mm) for name, mm in sketch.known.items()}
    made = [sheet for page in _pages(sketch, options) for sheet in _sheets(page, sketch, options, known, limits)]
    return tuple(_with_block(sheet, replace(options, sheet=i, sheets=len(made))) for i, sheet in enumerate(made, 1))


def _pages(sketch: Sketch, options: ViewOptions) -> Iterator[_Page]:
    yield _Page("measure-floor", "measure, floor", from_above, tuple(floor_groups(sketch)))
    yield _Page("measure-side", "measure, side", from_the_side, tuple(side_groups(sketch)))
    crossed = tuple(
        replace(
            g,
            entries=tuple(replace(e, says=options.said(float(e.says))) if _is_height(e.says) else e for e in g.entries),
        )
        for g in cross_groups(sketch)
    )
    yield _Page("measure-across", "measure, across", across, crossed)
    yield _Page("measure-checks", "measure, checks", None, tuple(check_groups(sketch)))


def _is_height(says: str) -> bool:
    return says.replace(".", "", 1).isdigit()


def _sheets(
    page: _Page, sketch: Sketch, options: ViewOptions, known: dict[str, str], limits: tuple[float, float]
) -> Iterator[Drawing]:
    x0, y0, x1, y1 = sheet_room(options.page)
    split = x0 + (x1 - x0) * _SHARE
    panel = (split + 3, y0 + 1, x1 - 1, y1 - 2)
    form, pages = best_form(page.groups, panel, x1 - x0, known)
    for i, boxes in enumerate(pages, 1):
        more = f" {i}" if i > 1 else ""
        notes = _notes(page, sketch, options, limits)
        text, top = _paragraphs(notes, (x0 + 2, y0 + 1, split - 3, y1), form)
        room = (x0 + 2, top + 3, split - 3, y1 - 2)
        left = page.draw(sketch, room) if page.draw else _typed(sketch, options, room, form)
        yield Drawing(
            name=f"{page.name}{more.replace(' ', '-')}", title=f"{page.title}{more}", width=options.page.width,
            height=options.page.height, scale=None, marks=(*left, *text, *boxes),
        )  # fmt: skip


def _notes(page: _Page, sketch: Sketch, options: ViewOptions, limits: tuple[float, float]) -> list[str]:
    notes = [*RULES] if page.draw is from_above else [RULES[1]] if page.draw else []
    if page.draw is None:
        twice, alike = (options.said(mm) for mm in limits)
        unit = "" if options.units == "in" else " mm"
        notes = [
            f"Two readings of one length more than {twice}{unit} apart: read both again. Left and right more than "
            f"{alike}{unit} apart: read both again; if it stays, the body is so, and each side is typed by itself.",
            "Typed in with these names, the figures are adjusted together, and a wrong one is named.",
        ]
    return [*notes, OPEN] if sketch.known else notes


def _paragraphs(notes: list[str], room: Box, form: Form) -> tuple[list[Mark], float]:
    """Return the notes at the foot of the room, and where they begin, mm."""
    lines = [(i == 0, part) for note in notes for i, part in enumerate(wrap(note, room[2] - room[0] - 4, form.small))]
    y = room[1] + len(lines) * form.small * 1.6
    top, marks = y, []
    for first, part in lines:
        y -= form.small * 1.6
        at = (room[0] + 4, y + form.small * 0.4)
        marks.append(Text(layer="notes", at=at, text=part, height=form.small))
        if first:
            marks.append(Text(layer="notes", at=(room[0], at[1]), text="•", height=form.small))
    return list[Mark](marks), top


def _typed(sketch: Sketch, options: ViewOptions, room: Box, form: Form) -> tuple[Mark, ...]:
    """Return the lines to type, as large as they have room."""
    lines = typed_lines(sketch, options.units, lambda z: options.said(z).removesuffix('"'))
    heading = "how it is typed into the project file"
    longest = max(text_width(said, 1.0) + deep * 2.0 for deep, said in lines)
    across_, down = (room[2] - room[0] - 4) / longest, (room[3] - room[1]) / ((len(lines) + 2) * 1.7)
    height = max(1.8, min(form.heading, across_, down))
    y = room[3] - form.heading * 1.4
    marks: list[Mark] = [Text(layer="typed", at=(room[0] + 2, y), text=heading, height=form.heading)]
    for deep, said in lines:
        y -= height * 1.7
        marks.append(Text(layer="typed", at=(room[0] + 2 + deep * height * 2.0, y), text=said, height=height))
    return tuple(marks)


def _with_block(sheet: Drawing, options: ViewOptions) -> Drawing:
    return replace(sheet, marks=(*sheet_marks(options.page, options.block(sheet.title, None)), *sheet.marks))
