"""What every sheet carries: frame, title block, scale bar, and a length to measure after printing.

The title block has the fields of ISO 7200, 180 mm wide. Names and the date are left blank, to be written in by hand:
the program does not know who answers for a drawing, and the same project must give the same sheet tomorrow.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from layout.drawing.lines import box_points, line, polygon
from layout.drawing.model import (
    FRAME,
    MEDIUM,
    NARROW,
    SMALL_TEXT,
    SMALLEST_TEXT,
    TEXT,
    TITLE_TEXT,
    Anchor,
    Drawing,
    Mark,
    Pen,
    Text,
)
from layout.drawing.paper import Paper, centring_marks
from layout.drawing.text_width import Box, shorten, text_width

LAYER = "sheet"
CHECK = "check before cutting: not certified for safety"
BLOCK_WIDTH = 180.0
_RULERS = 116.0
_THIN = Pen(width=NARROW)


@dataclass(frozen=True, kw_only=True, slots=True)
class TitleBlock:
    """What the title block says; `scale` is the 20 of 1:20 (None: not to scale), `units` mm or in.

    `number` identifies the drawing among all of its project, `kind` is the type of document.
    """

    title: str
    project: str = ""
    scale: int | None = None
    sheet: int = 1
    sheets: int = 1
    units: str = "mm"
    program: str = "layout"
    number: str = ""
    kind: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class _Row:
    """A row of the block: from `low` to `high` mm above its foot; cells by name with their shares of the width."""

    low: float
    high: float
    cells: tuple[tuple[str, float], ...]
    letters: float


# Fields of ISO 7200; those of the first row are written in by hand.
_ROWS = (
    _Row(
        low=25, high=34, letters=SMALL_TEXT,
        cells=(("owner", 0.31), ("created by", 0.24), ("approved by", 0.24), ("date of issue", 0.21)),
    ),
    _Row(low=14, high=25, letters=TITLE_TEXT, cells=(("title", 0.72), ("type", 0.28))),
    _Row(
        low=5.5, high=14, letters=SMALL_TEXT,
        cells=(("project", 0.35), ("number", 0.25), ("scale", 0.13), ("paper", 0.09), ("sheet", 0.18)),
    ),
    _Row(low=0, high=5.5, letters=2.1, cells=(("check", 0.56), ("units", 0.22), ("program", 0.22))),
)  # fmt: skip
_HEIGHT = _ROWS[0].high
# The fields that do not tell by themselves what they are.
_CAPTIONED = ("owner", "created by", "approved by", "date of issue", "title", "type", "project", "number")
_CAPTION = 3.4  # mm of a cell that its caption takes
_STACKED, _BESIDE = 14.0, 26.0  # mm of height that the rulers take


def sheet_room(paper: Paper) -> Box:
    """Return x0, y0, x1, y1 in mm of what the frame and the strip at its foot leave free."""
    x0, y0, x1, y1 = paper.frame
    return x0 + 2, y0 + _HEIGHT + (_STACKED if _is_stacked(paper) else 0.0) + 2, x1 - 2, y1 - 2


def _is_stacked(paper: Paper) -> bool:
    """Return whether the rulers lie above the block, since there is no room beside it."""
    x0, _, x1, _ = paper.frame
    return x1 - x0 < BLOCK_WIDTH + _RULERS


def sheet_marks(paper: Paper, block: TitleBlock) -> tuple[Mark, ...]:
    """Return frame, centring marks, title block, scale bar and check length for the paper."""
    x0, y0, _, _ = paper.frame
    frame = polygon(LAYER, box_points(paper.frame), pen=Pen(width=FRAME))
    centring = [line(LAYER, *ends, pen=Pen(width=FRAME)) for ends in centring_marks(paper)]
    if _is_stacked(paper):
        base = y0 + _HEIGHT
        rulers = [*_check(x0 + 4, base + 5, block), *_bar(x0 + 116, base, 60.0, block)]
    else:
        rulers = [*_check(x0 + 5, y0 + 15, block), *_bar(x0 + 5, y0, 80.0, block)]
    return (frame, *centring, *_lines(paper), *_texts(paper, _said(paper, block)), *rulers)


def numbered(drawing: Drawing, *, number: str, kind: str, sheet: int, sheets: int) -> Drawing:
    """Return the drawing with its title block filled in with what only the whole set of drawings knows.

    `number` identifies the drawing in its project, `kind` is the type of document, `sheet` of `sheets` its place. A
    drawing that has no title block stays as it is.
    """
    values = {"number": number, "type": kind, "sheet": _of(sheet, sheets)}
    kept = tuple(m for m in drawing.marks if not (isinstance(m, Text) and m.layer == LAYER and m.id in values))
    if len(kept) == len(drawing.marks):
        return drawing
    paper = Paper(name="", width=drawing.width, height=drawing.height)
    return replace(drawing, marks=(*kept, *_texts(paper, values)))


def _said(paper: Paper, block: TitleBlock) -> dict[str, str]:
    """Return what stands in each cell that is not written by hand."""
    return {
        "title": block.title,
        "type": block.kind,
        "project": block.project,
        "number": block.number,
        "scale": f"scale 1:{block.scale}" if block.scale else "not to scale",
        "paper": paper.name,
        "sheet": _of(block.sheet, block.sheets),
        "check": CHECK,
        "units": f"sizes in {'inches' if block.units == 'in' else block.units}",
        "program": block.program,
    }


def _of(sheet: int, sheets: int) -> str:
    return f"sheet {sheet} of {sheets}"


def _cells(paper: Paper) -> Iterator[tuple[_Row, str, Box]]:
    """Yield every cell with its row and its box on the paper."""
    _, y0, x1, _ = paper.frame
    left = max(x1 - BLOCK_WIDTH, paper.frame[0])
    for row in _ROWS:
        x = left
        for name, share in row.cells:
            right = x + share * (x1 - left)
            yield row, name, (x, y0 + row.low, right, y0 + row.high)
            x = right


def _lines(paper: Paper) -> Iterator[Mark]:
    """Yield the lines between the cells, and the captions of the cells."""
    _, y0, x1, _ = paper.frame
    left = max(x1 - BLOCK_WIDTH, paper.frame[0])
    yield polygon(LAYER, box_points((left, y0, x1, y0 + _HEIGHT)), pen=Pen(width=MEDIUM))
    for row, name, (x, low, right, high) in _cells(paper):
        if right < x1 - 1:
            yield line(LAYER, (right, low), (right, high), pen=_THIN)
        elif row.low:
            yield line(LAYER, (left, low), (x1, low), pen=_THIN)
        if name in _CAPTIONED:
            yield Text(layer=LAYER, at=(x + 1.2, high - 2.6), text=name, height=SMALLEST_TEXT)


def _texts(paper: Paper, said: Mapping[str, str]) -> Iterator[Mark]:
    """Yield what stands in the cells, each text with the name of its cell."""
    for row, name, (x, low, right, high) in _cells(paper):
        if said.get(name):
            room = (
                x + 1.2,
                low + (0.7 if name in _CAPTIONED else 0.0),
                right - 1.2,
                high - (_CAPTION if name in _CAPTIONED else 0.0),
            )
            letters = TEXT if name == "type" else row.letters
            yield replace(fitted(LAYER, said[name], room, letters), id=name)


def fitted(layer: str, text: str, box: Box, height: float, anchor: Anchor = "start") -> Text:
    """Return one line of text within the box: made smaller where it must, cut off only below 1.8 mm."""
    room = box[2] - box[0]
    while height > SMALLEST_TEXT and text_width(text, height) > room:
        height = max(SMALLEST_TEXT, height - 0.1)
    x = {"start": box[0], "middle": (box[0] + box[2]) / 2, "end": box[2]}[anchor]
    y = (box[1] + box[3] - height) / 2
    return Text(layer=layer, at=(x, y), text=shorten(text, room, height), height=height, anchor=anchor)


def _check(x: float, y: float, block: TitleBlock) -> list[Mark]:
    inches = block.units == "in"
    length = 101.6 if inches else 100.0
    said = f"{'4 in' if inches else '100 mm'}: measure me after printing"
    ends = [line(LAYER, (at, y - 1.5), (at, y + 1.5), pen=_THIN) for at in (x, x + length)]
    text = Text(layer=LAYER, at=(x + length / 2, y + 2), text=said, height=SMALL_TEXT, anchor="middle")
    return [line(LAYER, (x, y), (x + length, y), pen=Pen(width=MEDIUM), id="check-length"), *ends, text]


def _bar(x: float, base: float, longest: float, block: TitleBlock) -> list[Mark]:
    """Return a scale bar of up to `longest` mm in four fields, marked in the project's units at true size."""
    if block.scale is None:
        return []
    unit, name = (304.8, "ft") if block.units == "in" else (1000.0, "m")
    step = _step(longest * block.scale / unit / 4)
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
