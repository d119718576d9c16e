"""Panels for a machine: each distinct one at true size, what is cut through and what is cut in on layers apart."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import shapely

from layout.drawing.text_width import Box, text_width
from layout.export.dxf_model import CadDrawing, CadMark, Circle, Layer, Line, Words
from layout.export.dxf_pockets import Pocket, pockets, seen_face
from layout.export.dxf_shapes import as_circle, double_arrow, frame, rings
from layout.model.cutting import Grain
from layout.model.panel import Panel, Side
from layout.model.solid import Point
from layout.model.thing import Thing
from layout.units.length import MM_PER, format_length

Units = Literal["mm", "in"]
Namer = Callable[[Thing, Panel], str]
TEXT, GRAIN, FINISHED = "text", "grain", "finished size"
# For which scale words are sized, and how the panels are laid out: mm.
_SCALE, _TEXT, _LINE, _GAP, _LONGEST_ROW = 10, 25.0, 40.0, 120.0, 6000.0
# Rings that are told apart are further apart than this, in decimals of a mm.
_DECIMALS = 3
_ARROW = 0.3


@dataclass(frozen=True, kw_only=True, slots=True)
class CadPanel:
    """One distinct panel as it lies on the machine, in its own plane, mm; u to the right, v up.

    `cut` is what is cut out: the finished `outline` less the thickness of edge bands, and larger where something is
    left on to be cut to fit. `pockets` with face ``high`` are cut from above, those with ``low`` from below. `good`
    tells whether the good face is up (None: either may be).
    """

    name: str
    material: str
    thickness: float
    outline: tuple[Point, ...]
    cut: tuple[Point, ...]
    holes: tuple[tuple[Point, ...], ...]
    pockets: tuple[Pocket, ...]
    grain: Grain
    good: bool | None
    banded: tuple[Side, ...]
    oversize: float
    count: int = 1


def cad_panels(things: Sequence[Thing], name: Namer) -> tuple[CadPanel, ...]:
    """Return the distinct panels of all things, equal ones counted; `name` says what each is called."""
    counts: dict[CadPanel, int] = {}
    for thing in things:
        cut_in = pockets(thing)
        for i, panel in enumerate(thing.panels):
            made = _as_it_lies(panel, name(thing, panel), cut_in.get(i, ()))
            counts[made] = counts.get(made, 0) + 1
    return tuple(replace(panel, count=count) for panel, count in counts.items())


def _as_it_lies(panel: Panel, name: str, cut_in: tuple[Pocket, ...]) -> CadPanel:
    """Return a panel turned over if need be, so that what is cut in lies up, or else its good face."""
    up = _up(panel, cut_in)
    middle = min(u for u, _ in panel.outline) + max(u for u, _ in panel.outline) if up != seen_face(panel) else None
    bands = {_mirrored(side) if middle is not None else side: mm for side, mm in panel.bands}
    outline = _ring(panel.outline, middle)
    return CadPanel(
        name=name, material=panel.sheet.material, thickness=round(panel.sheet.thickness, _DECIMALS),
        outline=outline, cut=_to_cut(outline, bands, panel.oversize),
        holes=tuple(sorted(_ring(hole, middle) for hole in panel.holes)),
        pockets=tuple(sorted((_lying(pocket, up, middle) for pocket in cut_in), key=lambda p: (p.box, p.kind))),
        grain=panel.grain, good=None if panel.good is None else panel.good == up,
        banded=tuple(sorted(bands)), oversize=panel.oversize,
    )  # fmt: skip


def _up(panel: Panel, cut_in: tuple[Pocket, ...]) -> Literal["low", "high"]:
    """Return the face that lies up: the one with more cut into it, the good one, or the one that is seen anyway."""
    low, high = (sum(pocket.face == face for pocket in cut_in) for face in ("low", "high"))
    if low != high:
        return "low" if low > high else "high"
    return panel.good or seen_face(panel)


def _mirrored(side: Side) -> Side:
    other: dict[Side, Side] = {"left": "right", "right": "left"}
    return other.get(side, side)


def _ring(ring: Sequence[Point], middle: float | None) -> tuple[Point, ...]:
    """Return a ring, mirrored if it has to be, anticlockwise and beginning at its lowest corner, free of rounding."""
    points = [(round(u if middle is None else middle - u, _DECIMALS), round(v, _DECIMALS)) for u, v in ring]
    if not shapely.LinearRing(points).is_ccw:
        points.reverse()
    first = points.index(min(points))
    return tuple(points[first:] + points[:first])


def _lying(pocket: Pocket, up: str, middle: float | None) -> Pocket:
    u0, v0, u1, v1 = pocket.box
    if middle is not None:
        u0, u1 = middle - u1, middle - u0
    u0, v0, u1, v1 = (round(mm, _DECIMALS) for mm in (u0, v0, u1, v1))
    face = "edge" if pocket.face == "edge" else "high" if pocket.face == up else "low"
    return replace(pocket, box=(u0, v0, u1, v1), depth=round(pocket.depth, _DECIMALS), face=face)  # type: ignore[arg-type]  # one of the three words


def _to_cut(outline: tuple[Point, ...], bands: dict[Side, float], oversize: float) -> tuple[Point, ...]:
    """Return what is cut out: half of what is left on at every edge, less the bands at their sides."""
    if not bands and not oversize:
        return outline
    whole = shapely.Polygon(outline)
    u0, v0, u1, v1 = whole.bounds
    more = oversize / 2
    room = (
        u0 + bands.get("left", 0.0) - more, v0 + bands.get("bottom", 0.0) - more,
        u1 - bands.get("right", 0.0) + more, v1 - bands.get("top", 0.0) + more,
    )  # fmt: skip
    grown = whole.buffer(more, join_style="mitre").intersection(shapely.box(*room))
    return _ring(grown.exterior.coords[:-1], None)


def panels_drawing(panels: Sequence[CadPanel], units: Units) -> CadDrawing:
    """Return all panels side by side, those of one material and thickness in rows of their own."""
    marks: list[CadMark] = []
    at = (0.0, 0.0)
    for material, thickness in dict.fromkeys((panel.material, panel.thickness) for panel in panels):
        row: list[CadPanel] = []
        for panel in [p for p in panels if (p.material, p.thickness) == (material, thickness)]:
            if row and sum(_pitch(p, units) for p in (*row, panel)) > _LONGEST_ROW:
                at = _laid(row, at, units, marks)
                row = []
            row.append(panel)
        at = _laid(row, at, units, marks)
    return CadDrawing(marks=tuple(marks), layers=_looks(marks), units=units, scale=_SCALE)


def panel_drawing(panel: CadPanel, units: Units) -> CadDrawing:
    """Return one panel alone, the low corner of what is cut out at the origin."""
    marks: list[CadMark] = list(_placed(panel, (0.0, 0.0), units))
    return CadDrawing(marks=tuple(marks), layers=_looks(marks), units=units, scale=_SCALE)


def _laid(row: Sequence[CadPanel], at: Point, units: Units, marks: list[CadMark]) -> Point:
    """Lay a row of panels with its upper edge at a place, and return where the next one begins, below it."""
    high = max(_size(panel)[1] for panel in row)
    x, y = at[0], at[1] - high
    for panel in row:
        marks += _placed(panel, (x, y), units)
        x += _pitch(panel, units)
    return at[0], y - _LINE * max(len(_said(panel, units)) for panel in row) - _GAP


def _pitch(panel: CadPanel, units: Units) -> float:
    """Return how far the next panel in a row stands from this one, mm."""
    return max(_size(panel)[0], *(text_width(line, _TEXT) for line in _said(panel, units))) + _GAP


def _size(panel: CadPanel) -> Point:
    u0, v0, u1, v1 = _bounds(panel.cut)
    return u1 - u0, v1 - v0


def _bounds(ring: Sequence[Point]) -> Box:
    us, vs = zip(*ring, strict=True)
    return min(us), min(vs), max(us), max(vs)


def _placed(panel: CadPanel, at: Point, units: Units) -> Iterator[CadMark]:
    """Yield all of a panel, the low corner of what is cut out at a place, its words below it."""
    u0, v0, u1, v1 = _bounds(panel.cut)
    dx, dy = at[0] - u0, at[1] - v0
    stuff = f"{_length(panel.thickness, units)} {panel.material}"

    def moved(ring: Sequence[Point]) -> tuple[Point, ...]:
        return tuple((u + dx, v + dy) for u, v in ring)

    yield Line(layer=f"outline {stuff}", points=moved(panel.cut), shows=panel.name, view="outline")
    if panel.outline != panel.cut:
        yield Line(layer=FINISHED, points=moved(panel.outline), shows=panel.name, view=FINISHED)
    for hole in panel.holes:
        yield _hole(f"hole {stuff}", moved(hole), panel.name)
    for pocket in panel.pockets:
        yield from _pocket(pocket, panel, (dx, dy), units)
    if panel.grain != "free":
        half = _ARROW * min(u1 - u0, v1 - v0)
        middle = ((u0 + u1) / 2 + dx, (v0 + v1) / 2 + dy)
        yield from double_arrow(GRAIN, middle, half, upright=panel.grain == "across")
    for i, line in enumerate(_said(panel, units)):
        yield Words(layer=TEXT, at=(at[0], at[1] - _LINE * (i + 1)), text=line, height=_TEXT)


def _hole(layer: str, ring: tuple[Point, ...], name: str) -> CadMark:
    round_ = as_circle(ring)
    if round_ is not None:
        return Circle(layer=layer, centre=round_[0], radius=round_[1])
    return Line(layer=layer, points=ring, shows=name, view="hole")


def _pocket(pocket: Pocket, panel: CadPanel, by: Point, units: Units) -> Iterator[Line]:
    where = {"high": "", "low": " from below", "edge": " from the edge"}[pocket.face]
    layer = f"{pocket.kind} {_length(pocket.depth, units)} deep{where}"
    u0, v0, u1, v1 = pocket.box
    box = (u0 + by[0], v0 + by[1], u1 + by[0], v1 + by[1])
    inside = shapely.box(*box).intersection(shapely.Polygon([(u + by[0], v + by[1]) for u, v in panel.cut]))
    if inside.equals(shapely.box(*box)):
        yield frame(layer, box, panel.name, pocket.kind)
    else:
        yield from rings(layer, inside, panel.name, pocket.kind)


def _length(mm: float, units: Units) -> str:
    """Return a length for a layer's name, in which no fraction can stand."""
    return f"{mm / float(MM_PER[units]):.4g} {units}"


def _said(panel: CadPanel, units: Units) -> tuple[str, ...]:
    """Return the lines of text that stand below a panel."""
    u0, v0, u1, v1 = _bounds(panel.outline)
    size = " × ".join(format_length(mm, units, denominator=64) for mm in (u1 - u0, v1 - v0, panel.thickness))
    notes = [f"{panel.count} pieces" if panel.count > 1 else "1 piece"]
    notes += [] if panel.good is None else [f"good face {'up' if panel.good else 'down'}"]
    notes += [f"edge band {', '.join(panel.banded)}: taken off the outline"] if panel.banded else []
    if panel.oversize:
        notes += [f"oversize by {format_length(panel.oversize, units)}, to be cut to fit"]
    return panel.name, f"{size}, {panel.material}", "; ".join(notes)


def _looks(marks: Sequence[CadMark]) -> dict[str, Layer]:
    looks = {
        "outline": Layer(colour=7, width=0.5), "hole": Layer(colour=5, width=0.35), "grain": Layer(colour=3),
        "text": Layer(colour=8), "finished": Layer(colour=8, dash="dashed"),
    }  # fmt: skip
    cut_in = {"": Layer(colour=1, width=0.25), " from below": Layer(colour=6, dash="dashed")}
    names = dict.fromkeys(mark.layer for mark in marks)
    return {
        name: looks.get(name.split()[0], cut_in[" from below" if name.endswith("from below") else ""]) for name in names
    }
