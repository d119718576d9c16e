"""Cutting diagrams: a sheet of material a page, with its parts, its numbered cuts and its fence distances."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace

from layout.drawing.labels import Labels
from layout.drawing.lines import arrow, box_points, hatch, line, polygon
from layout.drawing.model import MEDIUM, NARROW, SMALL_TEXT, WIDE, Drawing, Mark, Pen, Text
from layout.drawing.text_width import Box, overlap
from layout.drawing.title_block import fitted
from layout.model.cutting import CutJob, CutPlan, CutSheet, Damage, Region
from layout.model.sawing import Edge, Setting, Step, settings, steps, walk
from layout.views.fences import TABLE_WIDTH, TURNED, fence_marks
from layout.views.figure import PLAIN, UPRIGHT, Axes, Figure, Margins, Window, compose, larger
from layout.views.options import ViewOptions
from layout.views.shapes import LAYER as PARTS

_NUMBER = 1.7
# Hatching of damage, and the shop's cut with its white gap, mm of paper.
_CROSSED, _SHOP, _GAP = 2.0, 0.7, 1.1
# Waste narrower than this on paper (mm) is not named.
_STRIP = 9.0
_NO_BREAK = "\u00a0"
_HAIR = 1e-6
EDGES: tuple[Edge, ...] = ("left", "right", "bottom", "top")
READ = (
    "the table: cuts in their order; set: cuts of one letter leave the fence where it stands; fence: from the edge of "
    "the piece that is named to the near side of the blade"
)


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
    letters = settings(plan, options.units)
    drawings = []
    for i, (material, sheet) in enumerate(sheets):
        view = _Diagram(
            sheet=sheet,
            job=plan.job,
            letters=letters,
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
    job: CutJob
    letters: Mapping[Setting, str]
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
        root, cuts = self.sheet.root, steps(self.sheet)
        leaves = [region for region in walk(root) if region.kind]
        spoiled = [_damage_box(one, root) for one in self.sheet.stock.damage]
        numbers = [mark for step in cuts for mark in _number(step, root, window, labels)]
        for box in spoiled:
            labels.name("damage", window.box(box), id="damage")
        for leaf in sorted(_named(leaves, spoiled, window), key=lambda r: (r.length * r.width, r.x, r.y)):
            labels.name(self._label(leaf), window.box(_box(leaf)), id=leaf.part)
        labels.notes += [("", said) for said in (*self._trims(), *self._carried(), READ)]
        edge = box_points(window.box(_box(root)))
        return (
            *(mark for leaf in leaves for mark in _leaf(leaf, window)),
            *(mark for box in spoiled for mark in _damage(window.box(box))),
            # The shop's cuts come last, since trims at home lie close beside them.
            *(mark for step in cuts if step.cut.by == "home" for mark in _kerf(step, window)),
            *(mark for step in cuts if step.cut.by == "shop" for mark in _kerf(step, window)),
            polygon("sheet edge", edge, pen=Pen(width=WIDE)),
            *numbers,
            *self._grain(window),
            *self._size(window),
            *fence_marks(cuts, self.letters, window.box(_box(root))[3], self.options, upright=self.axes == UPRIGHT),
        )

    def _label(self, leaf: Region) -> str:
        size = f"{self.options.said(leaf.length)} × {self.options.said(leaf.width)}".replace(" ", _NO_BREAK)
        if leaf.kind == "part":
            return f"{leaf.part} {size}"
        return f"offcut {size}" if leaf.kind == "offcut" else "waste"

    def _trims(self) -> list[str]:
        """Return what is taken off the edges, where anything is; edges as they lie on the paper."""
        own, said = self.sheet.stock.trim, self.options.said
        edges = {edge: getattr(own, edge) if own else self.job.trim for edge in EDGES}
        on_paper = {edge: TURNED[edge] if self.axes == UPRIGHT else edge for edge in EDGES}
        taken = [f"{said(mm)} off its {on_paper[edge]} edge" for edge, mm in edges.items() if mm > 0]
        if len(set(edges.values())) == 1:
            taken = [f"{said(edges['left'])} off every edge of the sheet"] if taken else []
        if any(step.cut.by == "shop" for step in steps(self.sheet)) and self.job.shop and self.job.shop.trim > 0:
            taken.append(f"{said(self.job.shop.trim)} off edges that the shop sawed")
        return [f"trim: {', '.join(taken)}"] if taken else []

    def _carried(self) -> list[str]:
        """Return which pieces go home once the shop has sawn, and whether the car takes them."""
        shop = self.job.shop
        if shop is None:
            return []
        sizes = [tuple(sorted((r.length, r.width), reverse=True)) for r in carried(self.sheet.root)]
        said = [
            f"{count} × ({self._size_of(size)})" if count > 1 else self._size_of(size)
            for size, count in Counter(sizes).items()
        ]
        text = f"to carry home after the shop's cuts: {', '.join(said)}"
        if shop.car is None:
            return [f"{text}; the size of the car is not given"]
        car = max(shop.car), min(shop.car)
        outside = [size for size in Counter(sizes) if size[0] > car[0] + _HAIR or size[1] > car[1] + _HAIR]
        told = f"not {', '.join(self._size_of(size) for size in outside)}" if outside else "all of them"
        return [f"{text}; the car takes {self._size_of(car)}: {told}"]

    def _size_of(self, size: tuple[float, ...]) -> str:
        return " × ".join(self.options.said(mm) for mm in size).replace(" ", _NO_BREAK)

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
        said = f"sheet {self.options.said(root.length)} × {self.options.said(root.width)}"
        for by, word in (("home", "kerf"), ("shop", "the shop's kerf")):
            kerf = max((step.cut.kerf for step in steps(self.sheet) if step.cut.by == by), default=None)
            said += f", {word} {self.options.said(kerf)}" if kerf is not None else ""
        said += ", waste grey" if any(leaf.kind == "waste" for leaf in walk(root)) else ""
        if any(step.cut.by == "shop" for step in steps(self.sheet)):
            said += ", dashes and S: the shop saws"
        return [fitted("sheet size", said, (x0, y0 - 14, max(x1, x0 + TABLE_WIDTH), y0 - 10), SMALL_TEXT)]


def carried(root: Region) -> tuple[Region, ...]:
    """Return the pieces that leave the shop: what its cuts free and it does not cut again, without its waste."""
    if root.cut is None or root.cut.by != "shop":
        return () if root.kind == "waste" else (root,)
    return tuple(piece for part in root.pieces for piece in carried(part))


def _named(leaves: list[Region], spoiled: list[Box], window: Window) -> list[Region]:
    """Return the leaves that get a name: waste is grey, and is named only where it is wide and nothing else is said."""
    return [
        leaf
        for leaf in leaves
        if leaf.kind != "waste"
        or (_smaller_side(window.box(_box(leaf))) >= _STRIP and not any(overlap(_box(leaf), box) for box in spoiled))
    ]


def _smaller_side(box: Box) -> float:
    return min(box[2] - box[0], box[3] - box[1])


def _damage_box(one: Damage, root: Region) -> Box:
    """Return the part of a damaged place that lies on the sheet."""
    high = (min(one.x + one.length, root.length), min(one.y + one.width, root.width))
    return one.x, one.y, *high


def _box(region: Region) -> Box:
    return region.x, region.y, region.x + region.length, region.y + region.width


def _leaf(leaf: Region, window: Window) -> list[Mark]:
    box = box_points(window.box(_box(leaf)))
    if leaf.kind == "part":
        return [polygon(PARTS, box, pen=Pen(width=MEDIUM), fill=1.0, id=leaf.part)]
    if leaf.kind == "offcut":
        return [polygon("offcuts", box, pen=Pen(width=NARROW)), *hatch("offcuts", box, 4.0, grey=0.7)]
    return [polygon("waste", box, pen=Pen(width=NARROW), fill=0.8)]


def _damage(box: Box) -> list[Mark]:
    """Return a damaged place: crossed hatching, so that it is told from offcuts and waste in black and white."""
    ring = box_points(box)
    mirrored = tuple((-x, y) for x, y in ring)
    back = [
        line("damage", *((-x, y) for x, y in stroke.points), pen=stroke.pen)
        for stroke in hatch("damage", mirrored, _CROSSED)
    ]
    return [polygon("damage", ring, pen=Pen(width=MEDIUM), fill=1.0), *hatch("damage", ring, _CROSSED), *back]


def _kerf(step: Step, window: Window) -> list[Mark]:
    """Return the cut as wide as the saw makes it, black; one of the shop's is a thick dashed line in a white gap."""
    x0, y0, x1, y1 = _box(step.region)
    at, kerf = step.cut.at, step.cut.kerf
    if step.cut.across == "length":
        area = (x0 + at, y0, min(x0 + at + kerf, x1), y1)
        middle = ((x0 + at + kerf / 2, y0), (x0 + at + kerf / 2, y1))
    else:
        area = (x0, y0 + at, x1, min(y0 + at + kerf, y1))
        middle = ((x0, y0 + at + kerf / 2), (x1, y0 + at + kerf / 2))
    if step.cut.by == "home":
        return [polygon("cuts", box_points(window.box(area)), pen=Pen(width=NARROW), fill=0.0)]
    ends = window.ring(middle)
    return [
        line("shop cuts", *ends, pen=Pen(width=_GAP, grey=1.0)),
        line("shop cuts", *ends, pen=Pen(width=_SHOP, dash="dashed")),
    ]


def _number(step: Step, root: Region, window: Window, labels: Labels) -> list[Mark]:
    """Return the cut's number in a circle at the end of its line, beside the sheet where it ends there."""
    upright, at = step.cut.across == "length", step.cut.at
    x0, y0, x1, y1 = _box(step.region)
    line_ = ((x0 + at, y1), (x0 + at, y0)) if upright else ((x0, y0 + at), (x1, y0 + at))
    start, end = window.ring(line_)
    edge = y1 >= root.y + root.width - 1 if upright else x0 <= root.x + 1
    out = _NUMBER + 0.6 if edge else -_NUMBER - 0.4
    return labels.circled(step.number, start, end, out)
