"""Cutting diagrams: a sheet of material a page, with its parts, its numbered cuts and its fence distances."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from layout.drawing.labels import Labels
from layout.drawing.lines import arrow, box_points, hatch, polygon
from layout.drawing.model import MEDIUM, NARROW, SMALL_TEXT, WIDE, Drawing, Mark, Pen, Text
from layout.drawing.text_width import Box
from layout.drawing.title_block import fitted
from layout.model.cutting import CutPlan, CutSheet, Region
from layout.views.fences import TABLE_WIDTH, fence_marks
from layout.views.figure import PLAIN, UPRIGHT, Axes, Figure, Margins, Window, compose, larger
from layout.views.options import ViewOptions
from layout.views.shapes import LAYER as PARTS

_NUMBER = 1.7
_NO_BREAK = "\u00a0"


def cutting_diagrams(
    plan: CutPlan,
    options: ViewOptions = ViewOptions(),  # noqa: B008 (frozen)
) -> tuple[Drawing, ...]:
    """Return one drawing for every sheet to cut, in the order of the plan.

    Raises
    ------
    ScaleError
        When the asked scale does not fit on the paper.
    """
    sheets = [(material, sheet) for material in plan.materials for sheet in material.sheets]
    drawings = []
    for i, (material, sheet) in enumerate(sheets):
        view = _Diagram(
            sheet=sheet,
            title=f"{sheet.stock.name}, sheet {sheet.number} of {len(material.sheets)}",
            options=replace(options, sheet=i + 1, sheets=len(sheets)),
        )
        flat = view.figure(f"cut-{i + 1:02d}", PLAIN)
        upright = view.figure(f"cut-{i + 1:02d}", UPRIGHT)
        drawings.append(compose(larger(flat, upright, view.options), view.options))
    return tuple(drawings)


@dataclass(frozen=True, kw_only=True, slots=True)
class _Diagram:
    sheet: CutSheet
    title: str
    options: ViewOptions
    axes: Axes = PLAIN

    def figure(self, name: str, axes: Axes) -> Figure:
        root = self.sheet.root
        margins = Margins(left=8, bottom=17, right=8 + TABLE_WIDTH, top=8)
        extent = (root.x, root.y, root.x + root.length, root.y + root.width)
        return Figure(
            name=name,
            title=self.title,
            extent=extent,
            margins=margins,
            axes=axes,
            draw=replace(self, axes=axes).draw,
            outside=4.6,
            beside=TABLE_WIDTH,
            letters=True,
        )

    def draw(self, window: Window, labels: Labels) -> tuple[Mark, ...]:
        regions = tuple(_all(self.sheet.root))
        cuts = sorted((r for r in regions if r.cut), key=lambda r: r.cut.number if r.cut else 0)
        leaves = [r for r in regions if r.kind]
        kerfs = [_kerf(r, window) for r in cuts]
        numbers = [mark for r in cuts for mark in _number(r, self.sheet.root, window, labels)]
        for leaf in sorted(leaves, key=lambda r: (r.length * r.width, r.x, r.y)):
            labels.name(self._label(leaf), window.box(_box(leaf)), id=leaf.part)
        return (
            *(mark for leaf in leaves for mark in _leaf(leaf, window)),
            *kerfs,
            polygon("sheet edge", box_points(window.box(_box(self.sheet.root))), pen=Pen(width=WIDE)),
            *numbers,
            *self._grain(window),
            *self._size(window),
            *fence_marks(cuts, window.box(_box(self.sheet.root))[3], self.options, upright=self.axes == UPRIGHT),
        )

    def _label(self, leaf: Region) -> str:
        size = f"{self.options.said(leaf.length)} × {self.options.said(leaf.width)}".replace(" ", _NO_BREAK)
        if leaf.kind == "part":
            return f"{leaf.part} {size}"
        return f"offcut {size}" if leaf.kind == "offcut" else "waste"

    def _grain(self, window: Window) -> list[Mark]:
        """Return a double arrow along the sheet's length below the sheet, or left of it if it is upright."""
        x0, y0, _, y1 = window.box(_box(self.sheet.root))
        if self.axes == PLAIN:
            x, y, dx, dy, at = x0 + 13, y0 - 7, 13.0, 0.0, (x0 + 28, y0 - 7.9)
        else:
            x, y, dx, dy, at = x0 - 6, y1 - 13, 0.0, 13.0, (x0 - 5, y1 - 28)
        word = Text(layer="grain", at=at, text="grain", anchor="start" if self.axes == PLAIN else "end")
        return [
            *arrow("grain", (x, y), (x - dx, y - dy)),
            *arrow("grain", (x, y), (x + dx, y + dy)),
            word,
        ]

    def _size(self, window: Window) -> list[Mark]:
        x0, y0, x1, _ = window.box(_box(self.sheet.root))
        root = self.sheet.root
        kerf = max((r.cut.kerf for r in _all(root) if r.cut), default=None)
        said = f"sheet {self.options.said(root.length)} × {self.options.said(root.width)}"
        said += f", kerf {self.options.said(kerf)}" if kerf is not None else ""
        return [fitted("sheet size", said, (x0, y0 - 14, max(x1, x0 + TABLE_WIDTH), y0 - 10), SMALL_TEXT)]


def _all(root: Region) -> Iterator[Region]:
    """Yield the regions from the whole to the leaves; deep trees do not matter."""
    waiting = [root]
    while waiting:
        region = waiting.pop()
        yield region
        waiting += reversed(region.pieces)


def _box(region: Region) -> Box:
    return region.x, region.y, region.x + region.length, region.y + region.width


def _leaf(leaf: Region, window: Window) -> list[Mark]:
    box = box_points(window.box(_box(leaf)))
    if leaf.kind == "part":
        return [polygon(PARTS, box, pen=Pen(width=MEDIUM), fill=1.0, id=leaf.part)]
    if leaf.kind == "offcut":
        return [polygon("offcuts", box, pen=Pen(width=NARROW)), *hatch("offcuts", box, 4.0, grey=0.7)]
    return [polygon("waste", box, pen=Pen(width=NARROW), fill=0.8)]


def _kerf(region: Region, window: Window) -> Mark:
    """Return the cut as wide as the saw makes it, black."""
    cut = region.cut
    at, kerf = (cut.at, cut.kerf) if cut else (0.0, 0.0)
    x0, y0, x1, y1 = _box(region)
    if cut and cut.across == "length":
        area = (x0 + at, y0, min(x0 + at + kerf, x1), y1)
    else:
        area = (x0, y0 + at, x1, min(y0 + at + kerf, y1))
    return polygon("cuts", box_points(window.box(area)), pen=Pen(width=NARROW), fill=0.0)


def _number(region: Region, root: Region, window: Window, labels: Labels) -> list[Mark]:
    """Return the cut's number in a circle at the end of its line, beside the sheet where it ends there."""
    cut = region.cut
    if cut is None:
        return []
    upright = cut.across == "length"
    x0, y0, x1, y1 = _box(region)
    line_ = ((x0 + cut.at, y1), (x0 + cut.at, y0)) if upright else ((x0, y0 + cut.at), (x1, y0 + cut.at))
    start, end = window.ring(line_)
    edge = y1 >= root.y + root.width - 1 if upright else x0 <= root.x + 1
    out = _NUMBER + 0.6 if edge else -_NUMBER - 0.4
    return labels.circled(str(cut.number), start, end, out)
