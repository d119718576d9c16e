"""Drawings as one PDF: a page each at true size, with bookmarks, to be printed without scaling."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from math import cos, radians, sin
from typing import Any

from layout.drawing.font import font, font_data
from layout.drawing.model import Drawing, Path, Text
from layout.drawing.text_width import font_size, text_width

# A point of PDF is 1/72 of an inch of 25.4 mm.
POINT = 72 / 25.4
_FONT = "drawing-font"
_DASHES: dict[str, tuple[float, ...]] = {"dashed": (3, 1.2), "chain": (6, 1.2, 0.6, 1.2), "dotted": (0.5, 1)}


@dataclass(frozen=True, kw_only=True, slots=True)
class Chapter:
    """Drawings under one bookmark; each has a bookmark of its own below it."""

    title: str
    drawings: tuple[Drawing, ...]


def pdf(drawings: Sequence[Drawing], title: str = "") -> bytes:
    """Return one PDF file with a page for every drawing; black and greys only."""
    return _file([("", drawings)], title or (drawings[0].title if drawings else ""))


def pdf_book(chapters: Sequence[Chapter], title: str) -> bytes:
    """Return one PDF file with a page for every drawing, bookmarks in two levels, open beside the first page."""
    return _file([(chapter.title, chapter.drawings) for chapter in chapters], title)


def _file(chapters: Sequence[tuple[str, Sequence[Drawing]]], title: str) -> bytes:
    from reportlab.pdfgen.canvas import Canvas

    _register()
    out = BytesIO()
    # `invariant` leaves out the date and a random identifier: the same drawings give the same bytes.
    canvas = Canvas(out, pageCompression=1, invariant=1, initialFontName=_FONT)
    canvas.setTitle(printable(title))
    canvas.setViewerPreference("PrintScaling", "None")
    for chapter, drawings in chapters:
        for i, drawing in enumerate(drawings):
            _page(canvas, drawing, chapter if i == 0 else "", 1 if chapter else 0)
    if any(chapter for chapter, _ in chapters):
        canvas.showOutline()
    canvas.save()
    return out.getvalue()


def _register() -> None:
    """Hand the font to the library, which keeps fonts by name; only the signs that are used get into a file."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    if _FONT not in pdfmetrics.getRegisteredFontNames():
        pdfmetrics.registerFont(TTFont(_FONT, BytesIO(font_data()), asciiReadable=False))


def _page(canvas: Any, drawing: Drawing, chapter: str, level: int) -> None:
    key = f"page-{canvas.getPageNumber()}"
    canvas.setPageSize((drawing.width * POINT, drawing.height * POINT))
    canvas.bookmarkPage(key)
    if chapter:
        # A bookmark's key is its own, or the next one takes its place.
        canvas.bookmarkPage(f"chapter-{key}")
        canvas.addOutlineEntry(printable(chapter), f"chapter-{key}", 0, closed=True)
    canvas.addOutlineEntry(printable(drawing.title), key, level)
    canvas.scale(POINT, POINT)
    canvas.setLineJoin(1)
    for mark in drawing.painted():
        _path(canvas, mark) if isinstance(mark, Path) else _text(canvas, mark)
    canvas.showPage()


def _path(canvas: Any, mark: Path) -> None:
    path = canvas.beginPath()
    path.moveTo(*mark.points[0])
    for point in mark.points[1:]:
        path.lineTo(*point)
    if mark.closed:
        path.close()
    canvas.setLineWidth(mark.pen.width)
    canvas.setDash(list(_DASHES.get(mark.pen.dash, ())))
    canvas.setStrokeGray(mark.pen.grey)
    if mark.fill is not None:
        canvas.setFillGray(mark.fill)
    # A line of width 0 would be a hair line in PDF; here it means none.
    canvas.drawPath(path, stroke=int(mark.pen.width > 0), fill=int(mark.fill is not None))


def _text(canvas: Any, mark: Text) -> None:
    said = printable(mark.text)
    back = {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.anchor] * text_width(said, mark.height)
    c, s = cos(radians(mark.angle)), sin(radians(mark.angle))
    canvas.setFillGray(0)
    text = canvas.beginText()
    text.setTextTransform(c, s, -s, c, mark.at[0] - back * c, mark.at[1] - back * s)
    text.setFont(_FONT, font_size(mark.height))
    text.textOut(said)
    canvas.drawText(text)


def printable(text: str) -> str:
    """Return the text with a blank for what cannot be printed, a question mark for what the font lacks."""
    known = font().advances
    shown = (sign if sign.isprintable() else " " for sign in text)
    return "".join(sign if sign in known else "?" for sign in shown)
