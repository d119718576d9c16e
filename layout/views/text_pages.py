"""Plain text as printable pages: headings and paragraphs, in letters that are read at arm's length."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from layout.drawing.model import TEXT, Drawing, Mark, Text
from layout.drawing.text_width import text_width, wrap
from layout.drawing.title_block import sheet_marks, sheet_room
from layout.views.options import ViewOptions

LAYER = "text"
_HEADING, _BODY = TEXT, 3.0
_PITCH = 1.65
# A column no wider than this many mm is read without losing the line.
_COLUMN = 165.0
_DOT = "• "

Section = tuple[str, Sequence[str]]


def text_pages(
    title: str,
    sections: Sequence[Section],
    options: ViewOptions = ViewOptions(orientation="portrait"),  # noqa: B008 (frozen)
) -> tuple[Drawing, ...]:
    """Return headings with their paragraphs below them, on as many pages as they need; a heading is never alone."""
    x0, y0, x1, y1 = sheet_room(options.page)
    left, top, wide = x0 + 6, y1 - 6, min(_COLUMN, x1 - x0 - 12)
    pages: list[list[Mark]] = [[]]
    y = top
    for block in _blocks(sections, wide):
        high = sum(down for _, down in block)
        if pages[-1] and y - high < y0 + 3:
            pages.append([])
            y = top
        for text, down in block:
            y -= down
            pages[-1].append(replace(text, at=(left + text.at[0], y + 0.4 * text.height)))
    return tuple(_page(title, marks, replace(options, sheet=i + 1, sheets=len(pages))) for i, marks in enumerate(pages))


def _blocks(sections: Sequence[Section], wide: float) -> Iterator[list[tuple[Text, float]]]:
    """Yield what must stay together: lines with the mm that each goes down; a heading stays with what it heads."""
    indent = text_width(_DOT, _BODY)
    for heading, paragraphs in sections:
        head = [(_line(said, 0.0, _HEADING), _HEADING * _PITCH) for said in wrap(heading, wide, _HEADING)]
        head[0] = (head[0][0], head[0][1] + _HEADING)
        for paragraph in paragraphs:
            lines = wrap(paragraph, wide - indent, _BODY)
            body = [(_line(said, indent, _BODY), _BODY * _PITCH) for said in lines]
            dot = [(_line(_DOT.strip(), 0.0, _BODY), _BODY * _PITCH + 0.6), *body]
            # The first line stands beside its dot.
            dot[1] = (dot[1][0], 0.0)
            yield [*head, *dot]
            head = []


def _line(said: str, x: float, height: float) -> Text:
    return Text(layer=LAYER, at=(x, 0.0), text=said, height=height)


def _page(title: str, marks: Sequence[Mark], options: ViewOptions) -> Drawing:
    page = options.page
    return Drawing(
        name=f"{title.replace(' ', '-')}-{options.sheet}",
        title=title if options.sheets == 1 else f"{title}, page {options.sheet}",
        width=page.width,
        height=page.height,
        scale=None,
        marks=(*sheet_marks(page, options.block(title, None)), *marks),
    )
