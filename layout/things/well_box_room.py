"""Where a box over a wheel well stands: its measures, its shapes and its battens, in the room's axes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from layout.model.building import Bar, Batten
from layout.model.panel import Sheet
from layout.model.solid import Solid, box
from layout.space.parts import Obstacle
from layout.things.base import Shop, Span, need
from layout.things.follow import FAR, Room, clear_spans, gap_to_wall, plan, section, wall_line

if TYPE_CHECKING:
    from layout.things.wheel_well_box import WheelWellBox

FLOOR_BATTEN, LEDGER = "floor batten", "ledger"
_SPECK = 1.0  # mm² that is no piece
_HAIR = 1e-6


def over_well(spec: WheelWellBox, group: str, shop: Shop) -> OverWell:
    """Return where the box stands that a project describes.

    Raises
    ------
    ValueFaultError
        When there is no such well, or the gap to the wall is too small.
    """
    number, sheet, space = shop.number, shop.sheet(group, spec.sheet), shop.room(group)
    name = f"wheel well {spec.side}" + (f" {spec.well}" if spec.well > 1 else "")
    wells = {o.name: o for o in space.obstacles if o.name.startswith("wheel well")}
    need(name in wells, group, "well", f"the space has no {name}; it has: {', '.join(wells) or 'none'}")
    x = [at for at, _ in wells[name].outline]
    gap = gap_to_wall(shop, group, spec.gap, spec.x or (min(x), max(x)), (0.0, spec.height or space.height / 2))
    clear = number("well-boxes", "clear") if spec.clearance is None else spec.clearance
    room = Room(space=space, gap=gap, clear=clear, tongue=number("following", "tongue"))
    bar = shop.bar(group, spec.bar) if spec.bar else None
    return OverWell(spec=spec, group=group, shop=shop, sheet=sheet, bar=bar, well=wells[name], room=room)


@dataclass(frozen=True, kw_only=True, slots=True)
class OverWell:
    """A box over its well; `sign` is 1 on the left and -1 on the right."""

    spec: WheelWellBox
    group: str
    shop: Shop
    sheet: Sheet
    bar: Bar | None
    well: Obstacle
    room: Room

    @property
    def sign(self) -> int:
        """Return which way its wall is along y."""
        return 1 if self.spec.side == "left" else -1

    @property
    def inner(self) -> float:
        """Return how far off the centreline the room kept clear of the well begins, mm."""
        return min(abs(y) for _, y in self.well.outline) - self.room.clear

    @property
    def x(self) -> Span:
        """Return from where to where the box reaches."""
        xs, out = [x for x, _ in self.well.outline], self.room.clear + self.sheet.thickness
        return self.spec.x or (min(xs) - out, max(xs) + out)

    @property
    def front(self) -> float:
        """Return how far off the centreline its front face is: clear of the well, with a batten behind it."""
        return self.spec.front or self.inner - self.sheet.thickness - (self.bar.section[0] if self.bar else 0.0)

    @property
    def under_top(self) -> float:
        """Return how high the underside of its top is."""
        top = self.well.z1 + self.room.clear + (self.bar.section[0] if self.bar else 0.0)
        return self.spec.height - self.sheet.thickness if self.spec.height else top

    @property
    def z(self) -> Span:
        """Return from where to where its top reaches in height."""
        return self.under_top, self.under_top + self.sheet.thickness

    def refuse(self) -> None:
        """Refuse sizes that do not clear the well.

        Raises
        ------
        ValueFaultError
            Naming the size, and what it must be.
        """
        t, batten, group = self.sheet.thickness, self.bar.section[0] if self.bar else 0.0, self.group
        most = self.inner - t - batten
        need(self.front <= most + 1e-9, group, "front", f"leaves no room before the well; at most {most:.4g}")
        need(self.front > 0, group, "front", "the box would reach across the centreline")
        least = self.well.z1 + self.room.clear + batten + t
        need(self.z[1] >= least - 1e-9, group, "height", f"leaves no room over the well; at least {least:.4g}")
        need(self.x[1] - self.x[0] > 4 * t, group, "x", f"too short for two ends {t:g} thick")
        self._refuse_shapes()
        if self.spec.lid == "hinged":
            depth = max(self.reach() - self.front - t, 0.0)
            need(self.strip < depth, group, "strip", f"leaves no lid; less than {depth:.4g}")
            ends = min(max(abs(y) for y in end.bounds[::2]) for end in self.ends())
            text = f"its ends stop before the well, so nothing carries the strip; more than {least:.4g}, or a longer x:"
            need(ends > self.reach() - self.strip, group, "height", text)

    def _refuse_shapes(self) -> None:
        """Refuse a place where its ends and its top are not each in one piece, or run into an end of the room."""
        for piece, shape in (*(("end", end) for end in self.ends()), ("top", self.whole_top())):
            there = len(shapely.get_parts(shape)) == 1 and shape.area > _SPECK
            need(there, self.group, "x", f"the room leaves no one place for its {piece} there")
        low, _, high, _ = self.whole_top().bounds
        text = f"reaches into the {self.room.gap:g} kept free at the room's end; from {low:.4g} to {high:.4g}"
        need(low < self.x[0] + _HAIR and high > self.x[1] - _HAIR, self.group, "x", text)

    def side(self, low: float, high: float) -> Span:
        """Return a span of distances from the centreline as one of y."""
        return (low, high) if self.sign > 0 else (-high, -low)

    def ends(self) -> Iterator[BaseGeometry]:
        """Yield the outlines of the ends across the room."""
        t = self.sheet.thickness
        low, high = self.side(self.front + t, FAR)
        for x in (self.x[0], self.x[1] - t):
            yield section(self.room, (x, x + t), (0.0, self.under_top)).intersection(shapely.box(low, -FAR, high, FAR))

    def whole_top(self) -> BaseGeometry:
        """Return the outline of the top from above."""
        free = plan(self.room.space, self.z, self.room.gap)
        low, high = self.side(self.front, FAR)
        return free.intersection(shapely.box(self.x[0], low, self.x[1], high))

    def reach(self) -> float:
        """Return how far off the centreline the top reaches over its whole length."""
        spans = clear_spans(self.whole_top(), self.x, least=_SPECK, upright=True)
        return max((abs(y) for span in spans for y in span), default=0.0)

    @property
    def strip(self) -> float:
        """Return how wide the strip along the wall is that a lid is hinged to, mm."""
        asked = self.spec.strip
        return self.shop.number("well-boxes", "strip") if asked is None else asked

    @property
    def oversize(self) -> float:
        """Return what is left on to be scribed, mm."""
        asked = self.spec.oversize
        return self.shop.number("following", "oversize") if asked is None else asked

    def floor_battens(self) -> tuple[Batten, ...]:
        """Return the battens on the floor behind the front."""
        if self.bar is None:
            return ()
        deep, high = self.bar.section
        start = self.front + self.sheet.thickness
        holes = shapely.union_all([Polygon(hole.outline) for hole in self.room.space.holes])
        free = plan(self.room.space, (0.0, high), 0.0).difference(holes)
        return self._along(FLOOR_BATTEN, free, self.side(start, start + deep), (0.0, high))

    def ledgers(self) -> tuple[Batten, ...]:
        """Return the battens under the top along the wall; none under a lid that lifts off."""
        if self.bar is None or self.spec.lid == "lift off":
            return ()
        high, deep = self.bar.section
        z = (self.under_top - high, self.under_top)
        wall = min(half for _, half in wall_line(self.room.space, self.x, z, left=self.sign > 0)) - self.room.gap
        return self._along(LEDGER, plan(self.room.space, z, 0.0), self.side(wall - deep, wall), z)

    def _along(self, name: str, free: BaseGeometry, y: Span, z: Span) -> tuple[Batten, ...]:
        """Return the battens that lie on a line along, between the ends, where it is free."""
        t, least = self.sheet.thickness, self.shop.number("following", "cleat")
        between = shapely.box(self.x[0] + t, -FAR, self.x[1] - t, FAR)
        spans = clear_spans(free.intersection(between), y, least=least)
        if self.bar is None:
            return ()
        return tuple(Batten(name=name, bar=self.bar, solid=box(name, x, y, z), length=x[1] - x[0]) for x in spans)

    def kept_clear(self) -> Solid:
        """Return the well with the room round it, as far as it is between the ends."""
        t, clear = self.sheet.thickness, self.room.clear
        xs, ys = zip(*self.well.outline, strict=True)
        x = (max(min(xs) - clear, self.x[0] + t), min(max(xs) + clear, self.x[1] - t))
        y = self.side(self.inner, max(abs(y) for y in ys))
        return box(self.well.name, x, y, (0.0, self.well.z1 + clear))
