"""Labels: one for every part as it comes off the saw, in the grid of a sheet of stickers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from layout.drawing.lines import arrow, box_points, line, polygon
from layout.drawing.model import NARROW, SMALL_TEXT, SMALLEST_TEXT, TEXT, Drawing, Mark, Pen, Text
from layout.drawing.paper import Paper
from layout.drawing.text_width import Box, text_width, wrap
from layout.drawing.title_block import fitted
from layout.model.panel import Side
from layout.model.worked import Face, Work

LAYER = "labels"
_PAD = 3.0
_NAME = 5.0
_LEAST_NAME = 3.0
_PITCH = 1.45
# The picture takes this share of a label, across and up; the arrow for up stands left of it.
_PICTURE = (0.26, 0.32)
_UP = 5.0
_CLEAR = 1.5
_HEIGHTS = (4.2, TEXT, 3.0, SMALL_TEXT, 2.1, SMALLEST_TEXT)
_BAND = 1.2
_GREY = 0.7


@dataclass(frozen=True, kw_only=True, slots=True)
class Grid:
    """Labels on a sheet: how many across and down, their size and the gap between columns, the printer's margin, mm."""

    columns: int
    rows: int
    width: float
    height: float
    between: float
    printer: float

    def boxes(self, paper: Paper) -> tuple[Box, ...]:
        """Return the labels of a sheet, row after row from the top left; the grid lies in the middle of the paper."""
        left = (paper.width - self.columns * self.width - (self.columns - 1) * self.between) / 2
        top = (paper.height + self.rows * self.height) / 2
        return tuple(
            (x, top - (row + 1) * self.height, x + self.width, top - row * self.height)
            for row in range(self.rows)
            for column in range(self.columns)
            for x in (left + column * (self.width + self.between),)
        )


@dataclass(frozen=True, kw_only=True, slots=True)
class Label:
    """What a label says of one part: its name, and lines below; `work` for the picture of bands, grain and top."""

    name: str
    lines: tuple[str, ...]
    work: Work


def label_pages(labels: Sequence[Label], grid: Grid, paper: Paper) -> tuple[Drawing, ...]:
    """Return the labels on as many sheets as they need, none for no labels; sheets carry nothing but labels."""
    many = grid.columns * grid.rows
    pages = [labels[i : i + many] for i in range(0, len(labels), many)]
    return tuple(_page(page, grid, paper, i, len(pages)) for i, page in enumerate(pages))


def _page(page: Sequence[Label], grid: Grid, paper: Paper, i: int, pages: int) -> Drawing:
    marks: list[Mark] = []
    boxes = grid.boxes(paper)
    rooms = [_printed(box, grid, paper) for box in boxes[: len(page)]]
    # One size of letters for all labels of a page: the largest at which every one has room.
    heights = (h for h in _HEIGHTS if all(_fits(one, room, h) for one, room in zip(page, rooms, strict=True)))
    height = next(heights, SMALLEST_TEXT)
    for label, box, room in zip(page, boxes, rooms, strict=False):
        marks.append(polygon("cut lines", box_points(box), pen=Pen(width=NARROW, grey=_GREY)))
        marks += _label(label, room, height)
    return Drawing(
        name=f"labels-{i + 1}", title=f"labels, page {i + 1} of {pages}", width=paper.width, height=paper.height,
        scale=None, marks=tuple(marks),
    )  # fmt: skip


def _printed(box: Box, grid: Grid, paper: Paper) -> Box:
    """Return the part of a label that is written on: within its own margin, and where a printer prints."""
    near, x1, y1 = grid.printer + 1.0, paper.width - grid.printer - 1.0, paper.height - grid.printer - 1.0
    return max(box[0] + _PAD, near), max(box[1] + _PAD, near), min(box[2] - _PAD, x1), min(box[3] - _PAD, y1)


def _label(label: Label, room: Box, height: float) -> list[Mark]:
    x0, y0, x1, y1 = room
    name = _name_height(label, room)
    marks: list[Mark] = [fitted(LAYER, label.name, (x0, y1 - name * 1.3, x1, y1), name)]
    across, up = _picture_size(room)
    marks += _picture(label.work, (x1 - across, y0, x1, y0 + up))
    for level, said in _placed(label, room, height):
        if level >= y0:
            marks.append(Text(layer=LAYER, at=(x0, level + 0.35 * height), text=said, height=height))
    return marks


def _name_height(label: Label, room: Box) -> float:
    wide = max(text_width(label.name, _NAME), 1e-6)
    return max(_LEAST_NAME, min(_NAME, _NAME * (room[2] - room[0]) / wide))


def _picture_size(room: Box) -> tuple[float, float]:
    return _PICTURE[0] * (room[2] - room[0]), _PICTURE[1] * (room[3] - room[1])


def _placed(label: Label, room: Box, height: float) -> list[tuple[float, str]]:
    """Return the lines with the foot of each, broken where the label ends, or before the picture beside it."""
    y = room[3] - _name_height(label, room) * 1.3 - 0.8
    wide, (across, up) = room[2] - room[0], _picture_size(room)
    placed: list[tuple[float, str]] = []
    for said in label.lines:
        lines = wrap(said, wide, height)
        if y - len(lines) * height * _PITCH < room[1] + up + _CLEAR:
            lines = wrap(said, wide - across - _UP - 2, height)
        for line_ in lines:
            y -= height * _PITCH
            placed.append((y, line_))
    return placed


def _fits(label: Label, room: Box, height: float) -> bool:
    return all(level >= room[1] for level, _ in _placed(label, room, height))


def _picture(work: Work, box: Box) -> list[Mark]:
    """Return the panel as a rectangle of its own shape: bands as thick lines, grain as a double arrow."""
    share = min((box[2] - box[0]) / work.length, (box[3] - box[1]) / work.width)
    wide, high = max(work.length * share, 3.0), max(work.width * share, 3.0)
    x0, y0 = box[2] - wide, box[1]
    x1, y1, d = x0 + wide, y0 + high, _BAND / 2
    ends: dict[Side, tuple[tuple[float, float], tuple[float, float]]] = {
        "left": ((x0 + d, y0), (x0 + d, y1)), "right": ((x1 - d, y0), (x1 - d, y1)),
        "bottom": ((x0, y0 + d), (x1, y0 + d)), "top": ((x0, y1 - d), (x1, y1 - d)),
    }  # fmt: skip
    marks: list[Mark] = [polygon("panel", box_points((x0, y0, x1, y1)), pen=Pen(width=NARROW))]
    marks += [line("bands", *ends[side], pen=Pen(width=_BAND)) for side, _ in work.bands]
    marks.append(Text(layer=LAYER, at=(x0 - 1.2, y0), text="up", height=SMALLEST_TEXT, anchor="end"))
    marks += arrow(LAYER, (x0 - 2.6, y0 + SMALLEST_TEXT + 0.7), (x0 - 2.6, y0 + SMALLEST_TEXT + 3.7), size=1.5)
    x, y = (x0 + x1) / 2, (y0 + y1) / 2
    if work.grain != "free":
        half = (wide if work.grain == "along" else high) * 0.3
        a, b = ((x - half, y), (x + half, y)) if work.grain == "along" else ((x, y - half), (x, y + half))
        marks += [*arrow("grain", a, b, size=1.5), *arrow("grain", b, a, size=1.5)]
    return marks


FACES: dict[Face | None, str] = {
    "near": "good face: this one, the label comes off",
    "far": "good face: the other side",
    None: "",
}
