"""One panel of a unit, told by its box and by what its edges meet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil
from typing import Literal

from layout.model.building import Hardware
from layout.model.cutting import Grain
from layout.model.motion import Face
from layout.model.panel import Axis, Joint, JointKind, Panel, Sheet, Side
from layout.model.solid import Point
from layout.things.base import Shop, Span, board, need

_WAYS: dict[Face, tuple[Axis, bool]] = {
    "front": ("x", True), "rear": ("x", False), "left": ("y", True), "right": ("y", False), "top": ("z", True),
    "bottom": ("z", False),
}  # fmt: skip
_METRE = 1000.0
Bands = tuple[tuple[Face, ...], float]


@dataclass(frozen=True, kw_only=True, slots=True)
class Meet:
    """How the panel meets all the pieces called `to`, at its edge or face toward `face`; cut in by `depth` mm."""

    to: str
    face: Face
    kind: JointKind = "butt"
    depth: float = 0.0


def piece(
    name: str,
    sheet: Sheet,
    x: Span,
    y: Span,
    z: Span,
    *,
    meets: Sequence[Meet] = (),
    grain: Grain = "free",
    good: Literal["low", "high"] | None = None,
    bands: Bands = ((), 0.0),
) -> Panel:
    """Return the panel that fills the box; its joints and edge bands are told by the ways that its edges look.

    One meeting stands for all places where the panel meets pieces of that name. `bands` are the edges with a band, and
    how thick it is, mm.
    """
    panel = board(name, sheet, x, y, z, grain=grain)
    joints = tuple(Joint(kind=m.kind, to=m.to, side=edge(panel, m.face), depth=m.depth) for m in meets)
    edges = [edge(panel, face) for face in bands[0] if bands[1]]
    banded = tuple((side, bands[1]) for side in edges if side is not None)
    return replace(panel, joints=joints, good=good, bands=banded)


def around(band: float) -> Bands:
    """Return the bands of a front, on all its edges."""
    return ("left", "right", "top", "bottom"), band


def edge(panel: Panel, face: Face) -> Side | None:
    """Return which side of the panel looks toward a face of the unit, None if that is one of its two large ones."""
    axis, high = _WAYS[face]
    if axis == panel.along:
        return "right" if high else "left"
    if axis == panel.across:
        return "top" if high else "bottom"
    return None


def in_plane(panel: Panel, corners: Sequence[tuple[float, float, float]]) -> tuple[Point, ...]:
    """Return points of the unit (x, y, z; mm) in the panel's own plane."""
    along, across = ("xyz".index(axis) for axis in (panel.along, panel.across))
    return tuple((c[along] - panel.at[along], c[across] - panel.at[across]) for c in corners)


def sheet_of(shop: Shop, group: str, key: str, material: str) -> Sheet:
    """Return a sheet that another key than `sheet` names.

    Raises
    ------
    ValueFaultError
        When the workshop has no such material.
    """
    known = ", ".join(sorted(shop.sheets)) or "none"
    need(material in shop.sheets, group, key, f"the workshop has no sheet {material!r}; it has: {known}")
    return shop.sheets[material]


def cut_depth(
    shop: Shop, group: str, asked: float | None, thickness: float, *, key: str = "groove", faces: int = 1
) -> float:
    """Return how deep grooves, housings and rebates are cut in a panel, mm; `faces` of it have one at one place.

    Raises
    ------
    ValueFaultError
        When too little of the panel would be left.
    """
    most = shop.number("grooves", "share") * thickness / faces
    depth = min(shop.number("grooves", "depth"), most) if asked is None else asked
    text = f"{depth:g} deep leaves {thickness - faces * depth:.4g} of a panel {thickness:g} thick; at most {most:.4g}"
    need(depth <= most + 1e-9, group, key, text)
    return depth


def band_by_metre(panels: Sequence[Panel]) -> Iterator[Hardware]:
    """Yield the edge band of all panels, by whole metres; nothing where there is none."""
    mm = sum(p.length if side in ("bottom", "top") else p.width for p in panels for side, _ in p.bands)
    if mm:
        yield Hardware(item="band-wood", count=ceil(mm / _METRE), why=f"edge band, {mm:.0f} mm in all")
