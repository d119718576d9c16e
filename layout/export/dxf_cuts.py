"""The sheets of a plan of cuts at true size: boundary, parts where they lie, what is left, and the lines of the saw."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from typing import Literal

from layout.drawing.text_width import Box, overlap, text_width
from layout.export.dxf_model import CadDrawing, CadMark, Layer, Line, Words
from layout.export.dxf_shapes import double_arrow, frame
from layout.model.cutting import CutPlan, CutSheet, Damage, Region
from layout.model.sawing import Step, steps, walk
from layout.model.solid import Point
from layout.units.length import format_length

Units = Literal["mm", "in"]
SHEET, PARTS, OFFCUTS, WASTE, DAMAGE = "sheet", "parts", "offcuts", "waste", "damage"
KERF = {"home": "kerf centre", "shop": "kerf centre shop"}
TEXT, NUMBERS, GRAIN = "text", "cut numbers", "grain"
_LOOKS = {
    SHEET: Layer(colour=7, width=0.7), PARTS: Layer(colour=7, width=0.35), OFFCUTS: Layer(colour=3),
    WASTE: Layer(colour=8), DAMAGE: Layer(colour=1), KERF["home"]: Layer(colour=1, dash="chain"),
    KERF["shop"]: Layer(colour=6, width=0.5, dash="chain"), TEXT: Layer(colour=5), NUMBERS: Layer(colour=1),
    GRAIN: Layer(colour=3),
}  # fmt: skip
# For which scale words are sized, and how they and the sheets are laid out, mm.
_SCALE, _TEXT, _NUMBER, _LEAST, _LINE, _GAP = 10, 25.0, 18.0, 6.0, 40.0, 300.0
_SHARE, _MOST_OUT = 0.9, 12


def cuts_drawing(plan: CutPlan, units: Units) -> CadDrawing:
    """Return every sheet of the plan, those of one material side by side, one row below the other."""
    marks: list[CadMark] = []
    top = 0.0
    for material in plan.materials:
        x = 0.0
        for sheet in material.sheets:
            at = (x, top - sheet.root.width)
            marks += _sheet(sheet, len(material.sheets), at, units)
            x += max(sheet.root.length, text_width(_title(sheet, len(material.sheets), units)[0], _TEXT)) + _GAP
        top -= max(sheet.root.width for sheet in material.sheets) + _GAP if material.sheets else 0.0
    used = {mark.layer for mark in marks}
    return CadDrawing(
        marks=tuple(marks), units=units, scale=_SCALE,
        layers={name: look for name, look in _LOOKS.items() if name in used},
    )  # fmt: skip


def _sheet(sheet: CutSheet, count: int, at: Point, units: Units) -> Iterator[CadMark]:
    leaves = [region for region in walk(sheet.root) if region.kind is not None]
    yield frame(SHEET, _box(sheet.root, at), sheet.stock.name, f"sheet {sheet.number}")
    for leaf in leaves:
        layer = {"part": PARTS, "offcut": OFFCUTS, "waste": WASTE}[str(leaf.kind)]
        yield frame(layer, _box(leaf, at), leaf.part, "turned" if leaf.turned else "")
        if leaf.kind != "waste":
            yield from _named(leaf, at, units)
    for damage in sheet.stock.damage:
        yield frame(DAMAGE, _damaged(damage, sheet.root, at))
    yield from (_saw_line(step, at) for step in steps(sheet))
    yield from _numbers(sheet, at)
    yield from double_arrow(GRAIN, (at[0] + 2 * _TEXT, at[1] - 2 * _LINE), 2 * _TEXT, upright=False)
    for i, line in enumerate(_title(sheet, count, units)):
        indent = 0.0 if i == 0 else 5 * _TEXT
        yield Words(layer=TEXT, at=(at[0] + indent, at[1] - _LINE * (i + 1) - i * _TEXT / 2), text=line, height=_TEXT)


def _box(region: Region, at: Point) -> Box:
    x, y = region.x + at[0], region.y + at[1]
    return x, y, x + region.length, y + region.width


def _damaged(damage: Damage, root: Region, at: Point) -> Box:
    """Return the damaged place as far as it lies on the sheet."""
    high = (min(damage.x + damage.length, root.length), min(damage.y + damage.width, root.width))
    return damage.x + at[0], damage.y + at[1], high[0] + at[0], high[1] + at[1]


def _title(sheet: CutSheet, count: int, units: Units) -> tuple[str, ...]:
    size = " × ".join(_said(mm, units) for mm in (sheet.root.length, sheet.root.width))
    own = f"{sheet.stock.material}, " if sheet.stock.material != sheet.stock.name else ""
    title = f"{own}{sheet.stock.name}, sheet {sheet.number} of {count}, {size}"
    kerfs = sorted({(step.cut.by, step.cut.kerf) for step in steps(sheet) if step.cut.kerf > 0})
    widest = [
        f"{'the shop' if by == 'shop' else 'kerf'} {_said(max(kerf for _, kerf in some), units)}"
        for by, some in groupby(kerfs, lambda one: one[0])
    ]
    return title, ", ".join(["grain", *widest])


def _said(mm: float, units: Units) -> str:
    return format_length(mm, units, denominator=64)


def _named(leaf: Region, at: Point, units: Units) -> Iterator[Words]:
    """Yield the name of a part or leftover and its size, as large as there is room for, along its longer side."""
    x0, y0, x1, y1 = _box(leaf, at)
    upright = leaf.width > leaf.length
    run, across = (leaf.width, leaf.length) if upright else (leaf.length, leaf.width)
    lines: tuple[str, ...] = (leaf.part or "offcut", f"{_said(leaf.length, units)} × {_said(leaf.width, units)}")
    height = min(_TEXT, _SHARE * across / 4, *(_SHARE * run / text_width(line, 1.0) for line in lines))
    if height < _LEAST / 2:
        lines = (f"{lines[0]} {lines[1]}",)
        height = min(_TEXT, _SHARE * across / 2, _SHARE * run / text_width(lines[0], 1.0))
    middle, down = ((x0 + x1) / 2, (y0 + y1) / 2), -height / 2 if len(lines) == 1 else 0.4 * height
    for i, line in enumerate(lines):
        drop = down - 1.6 * height * i
        place = (middle[0] - drop, middle[1]) if upright else (middle[0], middle[1] + drop)
        yield Words(layer=TEXT, at=place, text=line, height=height, anchor="middle", angle=90.0 if upright else 0.0)


def _saw_line(step: Step, at: Point) -> Line:
    """Return the middle of what the blade takes."""
    x0, y0, x1, y1 = _box(step.region, at)
    across = step.cut.at + step.cut.kerf / 2
    upright = step.cut.across == "length"
    ends = ((x0 + across, y0), (x0 + across, y1)) if upright else ((x0, y0 + across), (x1, y0 + across))
    return Line(layer=KERF[step.cut.by], points=ends, closed=False, shows=step.number)


def _numbers(sheet: CutSheet, at: Point) -> Iterator[Words]:
    """Yield the numbers of the cuts where their lines end, above or left of them, farther out where one is there."""
    taken: list[Box] = []
    for step in steps(sheet):
        line, wide = _saw_line(step, at), text_width(step.number, _NUMBER)
        upright = step.cut.across == "length"
        x, y = line.points[-1] if upright else line.points[0]
        low = (x - wide / 2, y + _NUMBER / 4) if upright else (x - wide - _NUMBER / 4, y - _NUMBER / 2)
        out = (0.0, 1.4 * _NUMBER) if upright else (-wide - _NUMBER / 2, 0.0)
        boxes = ((low[0] + out[0] * i, low[1] + out[1] * i) for i in range(_MOST_OUT))
        free = (b for b in boxes if not any(overlap((*b, b[0] + wide, b[1] + _NUMBER), other) for other in taken))
        place = next(free, low)
        taken.append((*place, place[0] + wide, place[1] + _NUMBER))
        yield Words(layer=NUMBERS, at=place, text=step.number, height=_NUMBER)
