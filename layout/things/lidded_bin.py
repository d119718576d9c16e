"""Lidded bin: a home-made bin of sheet with a lid on cleats, that stands and comes out as any bin does."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from layout.model.building import Hardware, Promise
from layout.model.cutting import Grain
from layout.model.motion import Motion
from layout.model.panel import Panel
from layout.model.solid import Solid, box
from layout.model.thing import TakeOut, Thing
from layout.things.base import Described, Shop, Span, need
from layout.things.motion import MotionSpec
from layout.things.open_box import Base, Cleats, Corner, OpenBox, cleats_of
from layout.things.piece import Meet, cut_depth, in_plane, piece, sheet_of
from layout.units.fields import Mass, Name, Size

_SEEN, _OTHER, _END = "seen side", "side", "end"


@dataclass(frozen=True, kw_only=True, slots=True)
class LiddedBin(Described):
    """A bin `length` x `width` outside, its lid included `height` high; `walls`, in its stead, is that of its walls.

    Two sides over its whole length, ends between them, and a base. The lid is kept in place by four cleats below it:
    strips of the sheet, or `cleats` (a bar), `cleat` [length, width]. `slots` for the hands, `slot` [length, height],
    are sawn into both ends `slot_down` below the rim. `mass` is that of the contents. It is `opened` once it is taken
    out, or in place, where its lid lifts off.
    """

    kind: Literal["lidded bin"]
    length: Size
    width: Size
    sheet: Name
    height: Size | None = None
    walls: Size | None = None
    base: Base = "inset"
    base_sheet: Name | None = None
    lid_sheet: Name | None = None
    corner: Corner = "butt"
    groove: Size | None = None
    cleats: Name | None = None
    cleat: tuple[Size, Size] | None = None
    slots: Literal["yes", "no"] = "yes"
    slot: tuple[Size, Size] | None = None
    slot_down: Size | None = None
    grain: Grain = "along"
    mass: Mass = 10.0
    take_out: TakeOut = "any"
    opened: Literal["taken out", "in place"] = "taken out"

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)

    def make(self, name: str, group: str, shop: Shop) -> Thing:
        """Return the bin as its panels; as a solid it is full, since its contents are in it.

        Raises
        ------
        ValueFaultError
            When the sizes leave no room, cleats or slots do not go in, or a sheet is not in the workshop.
        """
        body, top = self._body(shop, group), self._heights(shop, group)[1]
        made_of = shop.bar(group, self.cleats) if self.cleats else body.sheet
        cleats = cleats_of(shop, group, made_of, inside=body.inside, top=body.z[1], size=self.cleat)
        self._refuse(group, body, cleats)
        slot = self._slot(shop, group, body)
        panels = (*self._walls(body, slot), self._lid(shop, group, body, cleats), *cleats.panels())
        outside = box(name, body.x, body.y, (0.0, top))
        return Thing(
            name=name, group=group, kind=self.kind, solids=(outside,), panels=panels, battens=cleats.battens(),
            mass_kg=self.mass + sum(panel.mass_kg for panel in panels) + sum(b.mass_kg for b in cleats.battens()),
            promise=self._promise(body, cleats, outside), take_out=self.take_out, stack_step=top,
            motions=self._motions(outside, group), hardware=tuple(self._hardware()),
        )  # fmt: skip

    def outside(self, shop: Shop, group: str) -> tuple[float, float, float]:
        """Return its length, width and height outside, lid included, mm."""
        return self.length, self.width, self._heights(shop, group)[1]

    def _heights(self, shop: Shop, group: str) -> tuple[float, float]:
        """Return how high its walls and the whole of it are, mm."""
        lid = sheet_of(shop, group, "lid_sheet", self.lid_sheet or self.sheet).thickness
        text = "give height: with the lid on, or walls: without it, and not both"
        need((self.height is None) != (self.walls is None), group, "height", text)
        if self.walls is not None:
            return self.walls, self.walls + lid
        return (self.height or 0.0) - lid, self.height or 0.0

    def _body(self, shop: Shop, group: str) -> OpenBox:
        sheet = shop.sheet(group, self.sheet)
        deep = cut_depth(shop, group, self.groove, sheet.thickness)
        body = OpenBox(
            x=(0.0, self.length), y=(-self.width / 2, self.width / 2), z=(0.0, self._heights(shop, group)[0]), run="x",
            sheet=sheet, base_sheet=sheet_of(shop, group, "base_sheet", self.base_sheet or self.sheet),
            walls=(_OTHER, _SEEN), ends=(_END, _END), base_name="base", base=self.base, corner=self.corner,
            depth=deep if self.corner == "rebate" else 0.0, base_depth=deep, inset=shop.number("carcass", "inset"),
            grains=("free", self.grain, "free", "free"),
        )  # fmt: skip
        keys = ("length", "width", "height" if self.walls is None else "walls")
        body.refuse(group, shop.number("carcass", "least"), keys)
        return body

    def _refuse(self, group: str, body: OpenBox, cleats: Cleats) -> None:
        deep = body.z[1] - body.floor[1]
        text = f"cleats {cleats.thickness:.4g} thick fill all of the {deep:.4g} above the base"
        need(cleats.thickness < deep, group, "cleats", text)

    def _slot(self, shop: Shop, group: str, body: OpenBox) -> tuple[Span, Span] | None:
        """Return from where to where the slots in the ends reach along y and z, None without any."""
        if self.slots == "no":
            return None
        long, high = self.slot or (shop.number("hand-slots", "length"), shop.number("hand-slots", "height"))
        down = shop.number("hand-slots", "down") if self.slot_down is None else self.slot_down
        (right, left), top = body.inside_y, body.z[1] - down
        text = f"a slot {long:g} long does not go into an end {left - right:.4g} wide; write slots: no"
        need(long < left - right, group, "slot", text)
        text = f"a slot {high:g} high, {down:g} below the rim, reaches the base; write slots: no"
        need(top - high > body.floor[1], group, "slot", text)
        middle = (right + left) / 2
        return (middle - long / 2, middle + long / 2), (top - high, top)

    def _walls(self, body: OpenBox, slot: tuple[Span, Span] | None) -> Iterator[Panel]:
        for panel in body.panels():
            if slot and panel.name == _END:
                (y0, y1), (z0, z1) = slot
                ring = [(0.0, y0, z0), (0.0, y1, z0), (0.0, y1, z1), (0.0, y0, z1)]
                yield replace(panel, holes=(in_plane(panel, ring),))
            else:
                yield panel

    def _lid(self, shop: Shop, group: str, body: OpenBox, cleats: Cleats) -> Panel:
        sheet = sheet_of(shop, group, "lid_sheet", self.lid_sheet or self.sheet)
        meets = [Meet(to=to, face="bottom", kind="loose") for to in (_OTHER, _SEEN, _END)]
        if cleats.battens():
            meets.append(Meet(to="cleat", face="bottom", kind="batten"))
        z = (body.z[1], body.z[1] + sheet.thickness)
        return piece("lid", sheet, body.x, body.y, z, meets=meets, good="high")

    def _motions(self, outside: Solid, group: str) -> tuple[Motion, ...]:
        if self.opened == "taken out":
            return ()
        return (MotionSpec(does="lift off").made("lid", outside, ("things", group)),)

    def _hardware(self) -> Iterator[Hardware]:
        yield Hardware(item="latch-toggle", count=2, why="keep the lid on, one at each end")
        if self.slots == "yes":
            yield Hardware(item="handle-slot", count=2, why="one for each hand")

    def _promise(self, body: OpenBox, cleats: Cleats, outside: Solid) -> Promise:
        room = box("inside", body.inside_x, body.inside_y, (body.floor[1], body.z[1] - cleats.thickness))
        counts = ((_SEEN, 1), (_OTHER, 1), (_END, 2), ("base", 1), ("lid", 1), ("cleat", 4))
        grains: tuple[tuple[str, Grain], ...] = ((_SEEN, self.grain), (_OTHER, "free"), (_END, "free"))
        slots = 2 if self.slots == "yes" else 0
        return Promise(
            outside=outside, closed=(*body.closed, "top"), openings=(room,), roles=counts, grains=grains,
            hardware=(("latch-toggle", 2), ("handle-slot", slots)),
        )  # fmt: skip
