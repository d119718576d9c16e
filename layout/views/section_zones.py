"""What must stay free, in plan: what moving parts sweep, room to keep clear, openings of doors."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import shapely
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from layout.drawing.labels import Labels
from layout.drawing.model import MEDIUM, NARROW, Mark, Pen
from layout.model.layout import Placed
from layout.model.solid import Solid
from layout.space.parts import Door
from layout.views.figure import Window
from layout.views.options import ViewOptions
from layout.views.shapes import shape_marks

if TYPE_CHECKING:
    from layout.space.space import Space

LAYER = "zones"
_SWEPT = Pen(width=NARROW, dash="chain")
_CLEAR = Pen(width=MEDIUM, dash="dotted")
_BAND = 120.0  # mm: how deep the band is drawn that tells an opening to be kept clear
#: What the lines mean, for the foot of the sheet.
SWEPT_SAID, CLEAR_SAID = "chain line: what moving parts sweep", "dotted: room to keep clear"


@dataclass(frozen=True, kw_only=True, slots=True)
class Zone:
    """An area to stay free: what it is for, in words, its plan (mm), whether a part sweeps it."""

    said: str
    shape: BaseGeometry
    swept: bool


def zones(
    space: Space, things: Sequence[Placed], state: str, options: ViewOptions, at_height: float | None = None
) -> tuple[Zone, ...]:
    """Return what must stay free in a state: all of it, or what of it is at the height `at_height` mm."""
    found = [zone for placed in things for zone in _of_thing(placed, state, at_height)]
    found += [
        Zone(said=f"{m.name} comes in", shape=shape, swept=True)
        for m in space.motions
        if m.used_in(state) and (shape := _plan(m.swept, at_height)).area > 0
    ]
    floor = space.shell(0.0).bounds
    for door in space.doors:
        if door.keep_clear is not None and (at_height is None or door.sill <= at_height <= door.top):
            said = f"{door.name}: keep {options.said(door.keep_clear)} of {options.said(door.width)} free"
            found.append(Zone(said=said, shape=_band(door, floor), swept=False))
    return tuple(found)


def zone_marks(found: Sequence[Zone], window: Window, labels: Labels) -> tuple[Mark, ...]:
    """Return the zones as chain and dotted lines; what only a doorway wants is told by number in `labels`."""
    marks: list[Mark] = []
    for zone in found:
        marks += shape_marks(LAYER, zone.shape, window, pen=_SWEPT if zone.swept else _CLEAR, id=zone.said)
        labels.number(zone.said, window.box(zone.shape.bounds), zone.said)
    kinds = {zone.swept for zone in found}
    labels.notes += [("", said) for swept, said in ((True, SWEPT_SAID), (False, CLEAR_SAID)) if swept in kinds]
    return tuple(marks)


def _of_thing(placed: Placed, state: str, at_height: float | None) -> Iterator[Zone]:
    for motion in placed.motions:
        shape = _plan(motion.swept, at_height)
        if motion.used_in(state) and shape.area > 0:
            yield Zone(said=f"{placed.name}: {motion.name}", shape=shape, swept=True)
    for clear in placed.clears:
        shape = _plan((clear.solid,), at_height)
        if shape.area > 0:
            yield Zone(said=f"{placed.name}: keep clear", shape=shape, swept=False)


def _plan(solids: Sequence[Solid], at_height: float | None) -> BaseGeometry:
    kept = [Polygon(s.outline) for s in solids if at_height is None or s.z0 <= at_height <= s.z1]
    return shapely.union_all([shape.buffer(0) for shape in kept], grid_size=1e-3) if kept else Polygon()


def _band(door: Door, floor: tuple[float, float, float, float]) -> BaseGeometry:
    """Return a band inside the whole opening: where in it the wished width stays free is left open."""
    x0, y0, _, y1 = floor
    if door.side == "rear":
        return box(x0, door.low, x0 + _BAND, door.high)
    low, high = (y1 - _BAND, y1) if door.side == "left" else (y0, y0 + _BAND)
    return box(door.low, low, door.high, high)
