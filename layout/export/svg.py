"""A drawing as SVG: real millimetres, one named group for each layer, nothing that depends on the day."""

from __future__ import annotations

from itertools import groupby
from operator import attrgetter
from typing import Any

from layout.drawing.font import FAMILY
from layout.drawing.model import Drawing, Mark, Path, Text
from layout.drawing.text_width import font_size

# Whoever lacks the font sees one that is no wider, so that nothing runs over: Arial and its like.
FALLBACK = f"{FAMILY}, Arial, Liberation Sans, Helvetica, sans-serif"
# Lengths of dash and gap in mm, by pattern.
_DASHES = {"dashed": "3,1.2", "chain": "6,1.2,0.6,1.2", "dotted": "0.5,1"}


def number(value: float) -> str:
    """Return a number for a drawing file: at most three decimals, no exponent, never minus nought."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def plain(text: str) -> str:
    """Return the text with a blank for every sign that cannot be printed or stored in XML."""
    return "".join(sign if sign.isprintable() else " " for sign in text)


def svg(drawing: Drawing) -> bytes:
    """Return the SVG file of the drawing: 1 user unit is 1 mm, the size is the paper's."""
    import svgwrite

    width, height = number(drawing.width), number(drawing.height)
    page = svgwrite.Drawing(debug=False, size=(f"{width}mm", f"{height}mm"), viewBox=f"0 0 {width} {height}")
    page.set_desc(title=plain(drawing.title))
    page.add(page.rect(insert=("0", "0"), size=(width, height), fill="#ffffff"))
    for layer, marks in groupby(drawing.painted(), key=attrgetter("layer")):
        group = page.g(id=f"layer-{layer.replace(' ', '-')}")
        group["data-layer"] = layer
        for mark in marks:
            group.add(_element(page, mark, drawing.height))
        page.add(group)
    return ('<?xml version="1.0" encoding="utf-8"?>\n' + str(page.tostring()) + "\n").encode()


def _element(page: Any, mark: Mark, height: float) -> Any:
    element = _path(page, mark, height) if isinstance(mark, Path) else _text(page, mark, height)
    if mark.id:
        element["data-id"] = plain(mark.id)
    return element


def _path(page: Any, mark: Path, height: float) -> Any:
    # Paper has y up, SVG has it down: this file is the one place that turns it over.
    points = " L".join(f"{number(x)} {number(height - y)}" for x, y in mark.points)
    element = page.path(d=f"M{points}{' Z' if mark.closed else ''}")
    element["fill"] = "none" if mark.fill is None else _grey(mark.fill)
    element["stroke"] = _grey(mark.pen.grey) if mark.pen.width else "none"
    if mark.pen.width:
        element["stroke-width"] = number(mark.pen.width)
        element["stroke-linejoin"] = "round"
    if mark.pen.dash in _DASHES:
        element["stroke-dasharray"] = _DASHES[mark.pen.dash]
    return element


def _text(page: Any, mark: Text, height: float) -> Any:
    x, y = number(mark.at[0]), number(height - mark.at[1])
    element = page.text(plain(mark.text), insert=(x, y))
    element["font-family"] = FALLBACK
    element["font-size"] = number(font_size(mark.height))
    element["text-anchor"] = mark.anchor
    if mark.angle:
        element["transform"] = f"rotate({number(-mark.angle)} {x} {y})"
    return element


def _grey(grey: float) -> str:
    return f"#{round(255 * grey):02x}" + f"{round(255 * grey):02x}" * 2
