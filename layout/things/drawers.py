"""Chest: a carcass with drawers on slides, each behind a false front."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import floor
from typing import Annotated, Literal

from layout.model.building import Hardware, Promise
from layout.model.motion import Motion
from layout.model.panel import Joint, Panel, Sheet
from layout.model.solid import Solid, box
from layout.model.thing import Thing
from layout.things.base import Shop, Span, need
from layout.things.carcass import Carcass, Cased, fastenings
from layout.things.motion import MotionSpec
from layout.things.open_box import Base, Corner, OpenBox
from layout.things.piece import Meet, around, band_by_metre, cut_depth, piece, sheet_of
from layout.units.fields import Gap, Name, Size, whole

Few = Annotated[int, whole("number of drawers", 1, 12)]
_HAIR = 0.05  # mm that a sum of front heights may be off


@dataclass(frozen=True, kw_only=True, slots=True)
class _Drawer:
    """One drawer: its name, the height of its false front (y and z spans, mm), and its box behind."""

    name: str
    y: Span
    z: Span
    box: OpenBox


@dataclass(frozen=True, kw_only=True, slots=True)
class Chest(Cased):
    """A chest of `drawers`: from the top those with the heights `fronts`, the others share what is left.

    A drawer is as long as its slides: `slide`, or the longest on sale that go in; it leaves `slide_room` on each side.
    Its sides and its front stand on a `bottom` in a groove, or planted under them. False fronts are of `front_sheet`,
    boxes of `drawer_sheet`, bottoms of `bottom_sheet`; without them of `sheet`, and bottoms as the boxes.
    """

    kind: Literal["chest"]
    drawers: Few = 3
    fronts: tuple[Size, ...] = ()
    slide: Size | None = None
    slide_room: Gap | None = None
    bottom: Base = "groove"
    bottom_groove: Size | None = None
    corner: Corner = "butt"
    front_sheet: Name | None = None
    drawer_sheet: Name | None = None
    bottom_sheet: Name | None = None

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)

    def make(self, name: str, group: str, shop: Shop) -> Thing:
        """Return the chest as its panels, its drawers as motions.

        Raises
        ------
        ValueFaultError
            When slides are longer than the carcass is deep, an opening is too low, or a sheet is not in the workshop.
        """
        sheet = sheet_of(shop, group, "front_sheet", self.front_sheet or self.sheet)
        carcass = self.carcass(shop, group, sheet.thickness)
        slide = self._slide(shop, group, carcass)
        drawers = tuple(self._drawers(shop, group, carcass, slide))
        fronts = (self._front(drawer, sheet) for drawer in drawers)
        boxes = (panel for drawer in drawers for panel in _on_front(drawer.box.panels()))
        panels = (*carcass.panels(), *fronts, *boxes)
        outside = box("outside", (0.0, self.length), (-self.width / 2, self.width / 2), (0.0, self.height))
        return Thing(
            name=name, group=group, kind=self.kind, panels=panels, mass_kg=sum(panel.mass_kg for panel in panels),
            solids=tuple(solid for panel in panels for solid in panel.solids),
            promise=self._promise(carcass, drawers, outside),
            motions=tuple(self._motion(drawer, slide, outside, group) for drawer in drawers),
            hardware=tuple(self._hardware(shop, drawers, slide, panels)),
        )  # fmt: skip

    def _slide(self, shop: Shop, group: str, carcass: Carcass) -> float:
        """Return how long the slides are, mm."""
        step, deep = shop.number("slides", "step"), carcass.inside_x[1] - carcass.inside_x[0]
        longest = floor(deep / step + 1e-9) * step
        need(longest > 0, group, "length", f"leaves {deep:.4g} inside; the shortest slides are {step:g} long")
        slide = longest if self.slide is None else self.slide
        text = f"slides {slide:g} long do not go into the {deep:.4g} before the back; at most {longest:g}"
        need(slide <= deep, group, "slide", text)
        return slide

    def _heights(self, group: str, room: float) -> tuple[float, ...]:
        """Return the heights of the false fronts from the top, which fill `room` mm together with no gaps."""
        given, left = self.fronts, room - sum(self.fronts)
        need(len(given) <= self.drawers, group, "fronts", f"{len(given)} heights for {self.drawers} drawers")
        if len(given) < self.drawers:
            need(left > 0, group, "fronts", f"take {sum(given):g} of {room:.4g}, which leaves nothing for the others")
            return *given, *[left / (self.drawers - len(given))] * (self.drawers - len(given))
        text = f"add up to {sum(given):.5g}, but fill {room:.5g}; leave the last one out, and it takes the rest"
        need(abs(left) <= _HAIR, group, "fronts", text)
        return given

    def _drawers(self, shop: Shop, group: str, carcass: Carcass, slide: float) -> Iterator[_Drawer]:
        gap, half = self.front_gap(shop, group, carcass.sheet.thickness), self.width / 2
        heights = self._heights(group, self.height - carcass.foot - (self.drawers + 1) * gap)
        fronts = tuple(_stacked(self.height, gap, heights))
        cells = [_cell(carcass, gap, front) for front in fronts]
        for i, (high, front) in enumerate(zip(heights, fronts, strict=True), start=1):
            # Behind equal fronts all boxes are as high as the lowest of them, so that one setting of the saw does.
            alike = [cell[1] - cell[0] for cell, other in zip(cells, heights, strict=True) if abs(other - high) < _HAIR]
            low, name = cells[i - 1][0], "drawer" if self.drawers == 1 else f"drawer {i}"
            made = self._box(shop, group, carcass, (name, (low, low + min(alike)), slide))
            yield _Drawer(name=name, y=(gap - half, half - gap), z=front, box=made)

    def _box(self, shop: Shop, group: str, carcass: Carcass, of: tuple[str, Span, float]) -> OpenBox:
        name, cell, slide = of
        sheet = sheet_of(shop, group, "drawer_sheet", self.drawer_sheet or self.sheet)
        z = (cell[0] + shop.number("drawer-boxes", "below"), cell[1] - shop.number("drawer-boxes", "above"))
        deep = cut_depth(shop, group, self.bottom_groove, sheet.thickness, key="bottom_groove")
        (right, left), room = carcass.inside_y, self._slide_room(shop)
        made = OpenBox(
            x=(carcass.length - slide, carcass.length), y=(right + room, left - room), z=z, run="x", sheet=sheet,
            base_sheet=sheet_of(shop, group, "bottom_sheet", self.bottom_sheet or self.drawer_sheet or self.sheet),
            walls=("drawer side", "drawer side"), ends=("drawer back", "drawer front"), base_name="drawer bottom",
            base=self.bottom, base_depth=deep, inset=shop.number("carcass", "inset"), corner=self.corner,
            depth=deep if self.corner == "rebate" else 0.0,
        )  # fmt: skip
        self._refuse(shop, group, name, made)
        return made

    def _slide_room(self, shop: Shop) -> float:
        if self.slide_room is not None:
            return self.slide_room
        return shop.number("slides", "thickness") + shop.number("slides", "play")

    def _refuse(self, shop: Shop, group: str, name: str, made: OpenBox) -> None:
        """Refuse a drawer that is too low for its slides, or that holds nothing."""
        key = "fronts" if self.fronts else "drawers"
        high, least = made.z[1] - made.z[0], shop.number("drawer-boxes", "least")
        text = f"{name} would be {max(high, 0):.4g} high behind its front; at least {least:g}: make fewer, or higher"
        need(high >= least, group, key, text)
        text = f"{name} is {high:.4g} high behind its front, and its bottom leaves nothing of that"
        need(made.z[1] > made.floor[1], group, key, text)
        least = shop.number("carcass", "least")
        for key, (low, end) in (("width", made.inside_y), ("length", made.inside_x)):
            text = f"{name} would be {max(end - low, 0):.4g} inside; at least {least:g}"
            need(end - low >= least, group, key, text)

    def _front(self, drawer: _Drawer, sheet: Sheet) -> Panel:
        x = (self.length - sheet.thickness, self.length)
        meets = (Meet(to="side", face="rear", kind="loose"),)
        return piece(
            "false front", sheet, x, drawer.y, drawer.z, meets=meets, grain=self.grain, good="high",
            bands=around(self.band),
        )  # fmt: skip

    def _motion(self, drawer: _Drawer, slide: float, outside: Solid, group: str) -> Motion:
        spec = MotionSpec(does="drawer", face="front", out=slide, part=drawer.y, z=drawer.z, person=self.person)
        return spec.made(drawer.name, outside, ("things", group))

    def _hardware(
        self, shop: Shop, drawers: tuple[_Drawer, ...], slide: float, panels: tuple[Panel, ...]
    ) -> Iterator[Hardware]:
        count = len(drawers)
        yield Hardware(item="slides-pair", count=count, why=f"{slide:g} long, one pair a drawer")
        yield Hardware(item="latch-push", count=count, why="keeps its drawer shut on the road")
        yield from band_by_metre(panels)
        yield from fastenings(shop)

    def _promise(self, carcass: Carcass, drawers: tuple[_Drawer, ...], outside: Solid) -> Promise:
        openings = tuple(opening for drawer in drawers for opening in _openings(carcass, drawer))
        count = self.drawers
        parts = [("false front", 1), ("drawer side", 2), ("drawer front", 1), ("drawer back", 1), ("drawer bottom", 1)]
        return Promise(
            outside=outside, closed=tuple(face for face in carcass.closed if face == "rear"), openings=openings,
            roles=(*carcass.roles, *((role, each * count) for role, each in parts)),
            grains=(("side", self.grain), ("top", self.grain), ("false front", self.grain)),
            hardware=(("slides-pair", count), ("latch-push", count)),
        )  # fmt: skip


def _stacked(top: float, gap: float, heights: tuple[float, ...]) -> Iterator[Span]:
    """Yield from where to where fronts reach, from the top down, with a gap above each, mm."""
    for high in heights:
        top -= gap + high
        yield top, top + high


def _cell(carcass: Carcass, gap: float, front: Span) -> Span:
    """Return the room in height behind a front: half a gap more on either side, as far as bottom and top let it."""
    low, high = carcass.inside_z
    return max(front[0] - gap / 2, low), min(front[1] + gap / 2, high)


def _on_front(panels: tuple[Panel, ...]) -> Iterator[Panel]:
    """Yield the panels of a drawer's box, its front screwed to the false one."""
    for panel in panels:
        if panel.name == "drawer front":
            yield replace(panel, joints=(*panel.joints, Joint(kind="butt", to="false front")))
        else:
            yield panel


def _openings(carcass: Carcass, drawer: _Drawer) -> Iterator[Solid]:
    """Yield the room in a drawer, and the room for its slides beside it."""
    made = drawer.box
    yield made.inside
    for low, high in ((carcass.inside_y[0], made.y[0]), (made.y[1], carcass.inside_y[1])):
        if high > low:
            yield box(f"slide of {drawer.name}", made.x, (low, high), made.z)
