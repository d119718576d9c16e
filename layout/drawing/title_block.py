"""What every sheet carries: frame, title block, scale bar, and a length to measure after printing."""

from __future__ import annotations

from dataclasses import dataclass

from layout.drawing.lines import box_points, line, polygon
from layout.drawing.model import (
    MEDIUM,
    NARROW,
    SMALL_TEXT,
    SMALLEST_TEXT,
    TEXT,
    TITLE_TEXT,
    WIDE,
    Anchor,
    Mark,
    Pen,
    Text,
)
from layout.drawing.paper import Paper
from layout.drawing.text_width import Box, shorten, text_width

LAYER = "sheet"
CHECK = "check before cutting: not certified for safety"
_BLOCK = (180.0, 28.0)
_RULERS = (116.0, 26.0)
_THIN = Pen(width=NARROW)


@dataclass(frozen=True, kw_only=True, slots=True)
class TitleBlock:
    """What the title block says; `scale` is the 20 of 1:20 (None: not to scale), `units` mm or in."""

    title: str
    project: str = ""
    scale: int | None = None
    sheet: int = 1
    sheets: int = 1
    units: str = "mm"
    program: str = "layout"


def sheet_room(paper: Paper) -> Box:
    """Return x0, y0, x1, y1 in mm of what the frame and the strip at its foot leave free."""
    x0, y0, x1, y1 = paper.frame
    stacked = x1 - x0 < _BLOCK[0] * 0.8 + _RULERS[0]
    strip = _BLOCK[1] + (_RULERS[1] if stacked else 0.0)
    return x0 + 2, y0 + strip + 2, x1 - 2, y1 - 2


def sheet_marks(paper: Paper, block: TitleBlock) -> tuple[Mark, ...]:
    """Return frame, title block, scale bar and check length for the paper."""
    x0, y0, x1, y1 = paper.frame
    across = x1 - x0
    width = min(_BLOCK[0], across - _RULERS[0])
    stacked = width < _BLOCK[0] * 0.8
    width = min(_BLOCK[0], across) if stacked else width
    cell = (x1 - width, y0, x1, y0 + _BLOCK[1])
    base = y0 + _BLOCK[1] if stacked else y0
    frame = polygon(LAYER, box_points((x0, y0, x1, y1)), pen=Pen(width=WIDE))
    return (frame, *_block(cell, paper, block), *_check(x0 + 5, base + 15, block), *_bar(x0 + 5, base, block))


def fitted(layer: str, text: str, box: Box, height: float, anchor: Anchor = "start") -> Text:
    """Return one line of text within the box: made smaller where it must, cut off only below 1.8 mm."""
    room = box[2] - box[0]
    while height > SMALLEST_TEXT and text_width(text, height) > room:
        height = max(SMALLEST_TEXT, height - 0.1)
    x = {"start": box[0], "middle": (box[0] + box[2]) / 2, "end": box[2]}[anchor]
    y = (box[1] + box[3] - height) / 2
    return Text(layer=layer, at=(x, y), text=shorten(text, room, height), height=height, anchor=anchor)


def _block(cell: Box, paper: Paper, block: TitleBlock) -> tuple[Mark, ...]:
    x0, y0, x1, y1 = cell
    scale = f"scale 1:{block.scale}" if block.scale else "not to scale"
    rows: list[tuple[float, float, list[tuple[str, float]]]] = [
        (y0 + 17, y1, [(block.title, 1.0)]),
        (
            y0 + 8,
            y0 + 17,
            [(block.project, 0.4), (scale, 0.2), (paper.name, 0.16), (f"sheet {block.sheet} of {block.sheets}", 0.24)],
        ),
        (
            y0,
            y0 + 8,
            [
                (CHECK, 0.58),
                (f"sizes in {'inches' if block.units == 'in' else block.units}", 0.2),
                (block.program, 0.22),
            ],
        ),
    ]
    marks: list[Mark] = [polygon(LAYER, box_points(cell), pen=Pen(width=MEDIUM))]
    for i, (low, high, cells) in enumerate(rows):
        height = (TITLE_TEXT, TEXT, SMALL_TEXT)[i]
        marks += _row((x0, low, x1, high), cells, height)
    return tuple(marks)


def _row(row: Box, cells: list[tuple[str, float]], height: float) -> list[Mark]:
    x0, low, x1, high = row
    marks: list[Mark] = [line(LAYER, (x0, low), (x1, low), pen=_THIN)]
    x = x0
    for text, share in cells:
        right = x + share * (x1 - x0)
        if x > x0:
            marks.append(line(LAYER, (x, low), (x, high), pen=_THIN))
        if text:
            marks.append(fitted(LAYER, text, (x + 2, low, right - 2, high), height))
        x = right
    return marks


def _check(x: float, y: float, block: TitleBlock) -> list[Mark]:
    inches = block.units == "in"
    length = 101.6 if inches else 100.0
    said = f"{'4 in' if inches else '100 mm'}: measure me after printing"
    ends = [line(LAYER, (at, y - 1.5), (at, y + 1.5), pen=_THIN) for at in (x, x + length)]
    text = Text(layer=LAYER, at=(x + length / 2, y + 2), text=said, height=SMALL_TEXT, anchor="middle")
    return [line(LAYER, (x, y), (x + length, y), pen=Pen(width=MEDIUM), id="check-length"), *ends, text]


def _bar(x: float, base: float, block: TitleBlock) -> list[Mark]:
    """Return a scale bar of up to 80 mm in four fields, marked in the project's units at true size."""
    if block.scale is None:
        return []
    unit, name = (304.8, "ft") if block.units == "in" else (1000.0, "m")
    step = _step(80.0 * block.scale / unit / 4)
    field = step * unit / block.scale
    marks: list[Mark] = []
    for i in range(4):
        box = (x + i * field, base + 7, x + (i + 1) * field, base + 8.5)
        marks.append(polygon(LAYER, box_points(box), pen=_THIN, fill=0.0 if i % 2 == 0 else 1.0))
    for i in (0, 2, 4):
        said = f"{step * i:g}" + (f" {name}" if i == 4 else "")  # noqa: PLR2004 (the end of four fields)
        at = (x + i * field, base + 3)
        marks.append(Text(layer=LAYER, at=at, text=said, height=SMALL_TEXT, anchor="start" if i == 0 else "middle"))
    return marks


def _step(largest: float) -> float:
    steps = [m * 10.0**e for e in (-3, -2, -1, 0, 1) for m in (1, 2, 5)]
    return max((s for s in steps if s <= largest), default=steps[0])
