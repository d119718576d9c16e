"""Drawings as one PDF: a page each at true size, with bookmarks, to be printed without scaling."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from typing import Any

from layout.drawing.model import Drawing, Path, Text
from layout.drawing.text_width import CAPITAL

# A point of PDF is 1/72 of an inch of 25.4 mm.
POINT = 72 / 25.4
_DASHES: dict[str, tuple[float, ...]] = {"dashed": (3, 1.2), "chain": (6, 1.2, 0.6, 1.2), "dotted": (0.5, 1)}


def pdf(drawings: Sequence[Drawing], title: str = "") -> bytes:
    """Return one PDF file with a page for every drawing; black and greys only."""
    from reportlab.pdfgen.canvas import Canvas

    out = BytesIO()
    # `invariant` leaves out the date and a random identifier: the same drawings give the same bytes.
    canvas = Canvas(out, pageCompression=1, invariant=1)
    canvas.setTitle(title or (drawings[0].title if drawings else ""))
    canvas.setViewerPreference("PrintScaling", "None")
    for i, drawing in enumerate(drawings):
        _page(canvas, drawing, f"page-{i + 1}")
    canvas.save()
    return out.getvalue()


def _page(canvas: Any, drawing: Drawing, key: str) -> None:
    canvas.setPageSize((drawing.width * POINT, drawing.height * POINT))
    canvas.bookmarkPage(key)
    canvas.addOutlineEntry(drawing.title, key, 0)
    canvas.scale(POINT, POINT)
    canvas.setLineJoin(1)
    for layer in drawing.layers:
        for mark in drawing.marks:
            if mark.layer == layer:
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
    canvas.saveState()
    canvas.setFillGray(0)
    canvas.setFont("Helvetica", mark.height / CAPITAL)
    canvas.translate(*mark.at)
    canvas.rotate(mark.angle)
    draw = {"start": canvas.drawString, "middle": canvas.drawCentredString, "end": canvas.drawRightString}
    draw[mark.anchor](0, 0, printable(mark.text))
    canvas.restoreState()


def printable(text: str) -> str:
    """Return the text with a question mark for every sign that the built-in font of PDF lacks."""
    shown = "".join(sign if sign.isprintable() else " " for sign in text)
    return shown.encode("cp1252", "replace").decode("cp1252")
