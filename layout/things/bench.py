"""Bench: a box to sit on, under a lid on hinges or one that lifts off."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import ceil
from typing import Annotated, Literal

from layout.model.building import Hardware, Promise
from layout.model.cutting import Grain
from layout.model.motion import Face, Motion
from layout.model.panel import Panel, Sheet
from layout.model.solid import Solid, box
from layout.model.thing import Thing
from layout.things.base import Described, Shop, Span, need
from layout.things.carcass import fastenings
from layout.things.motion import MotionSpec
from layout.things.open_box import Base, Cleats, Corner, OpenBox, cleats_of
from layout.things.piece import Meet, cut_depth, piece, sheet_of
from layout.units.fields import Angle, Gap, Name, Size, whole

Few = Annotated[int, whole("number of dividers", 0, 12)]
Edge = Literal["rear", "front", "left", "right"]
_WALLS: dict[Edge, str] = {"rear": "back", "front": "front", "left": "end", "right": "end"}
_METRE = 1000.0
_WIDEST = 180.0  # degrees: beyond that a lid meets the wall that it hangs on


@dataclass(frozen=True, kw_only=True, slots=True)
class Bench(Described):
    """A bench `length` deep and `width` wide; with its cushion of `cushion` its seat is `seat` above its foot.

    Its lid, of `lid_sheet` (of `sheet` without one), turns up on its `hinge` edge by `angle` degrees, or lifts off
    (`lid: lift off`) and is kept in place by cleats below it, of `cleats` (a bar; strips of the sheet without one),
    `cleat` [length, width]. `dividers` part the room below it.
    """

    kind: Literal["bench"]
    length: Size
    width: Size
    sheet: Name
    seat: Size | None = None
    cushion: Gap = 0.0
    lid: Literal["hinged", "lift off"] = "hinged"
    hinge: Edge = "rear"
    angle: Angle = 90.0
    lid_sheet: Name | None = None
    base: Base = "inset"
    base_sheet: Name | None = None
    corner: Corner = "butt"
    groove: Size | None = None
    dividers: Few = 0
    cleats: Name | None = None
    cleat: tuple[Size, Size] | None = None
    grain: Grain = "along"
    person: Gap = 0.0

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)

    def make(self, name: str, group: str, shop: Shop) -> Thing:
        """Return the bench as its panels, its lid as a motion.

        Raises
        ------
        ValueFaultError
            When the sizes leave no room below the lid, or a sheet is not in the workshop.
        """
        lid = sheet_of(shop, group, "lid_sheet", self.lid_sheet or self.sheet)
        body = self._body(shop, group, lid)
        fields = self._fields(shop, group, body)
        cleats = self._cleats(shop, group, body, fields[0]) if self.lid == "lift off" else None
        panels = (*body.panels(), *self._dividers(body, fields), self._lid(body, lid, cleats),
                  *(cleats.panels() if cleats else ()))  # fmt: skip
        battens = cleats.battens() if cleats else ()
        outside = box("outside", body.x, body.y, (0.0, body.z[1] + lid.thickness))
        solids = (*(s for panel in panels for s in panel.solids), *(batten.solid for batten in battens))
        return Thing(
            name=name, group=group, kind=self.kind, panels=panels, battens=battens, solids=solids,
            mass_kg=sum(panel.mass_kg for panel in panels) + sum(batten.mass_kg for batten in battens),
            promise=self._promise(body, fields, cleats, outside), motions=(self._motion(outside, group),),
            hardware=(*self._hardware(shop), *fastenings(shop)),
        )  # fmt: skip

    def _body(self, shop: Shop, group: str, lid: Sheet) -> OpenBox:
        sheet = shop.sheet(group, self.sheet)
        need(0 < self.angle <= _WIDEST, group, "angle", "a lid opens by more than 0 and at most 180 degrees")
        deep = cut_depth(shop, group, self.groove, sheet.thickness)
        seat = shop.number("seats", "height") if self.seat is None else self.seat
        body = OpenBox(
            x=(0.0, self.length), y=(-self.width / 2, self.width / 2), z=(0.0, seat - self.cushion - lid.thickness),
            run="y", sheet=sheet, base_sheet=sheet_of(shop, group, "base_sheet", self.base_sheet or self.sheet),
            walls=("back", "front"), ends=("end", "end"), base_name="bottom", base=self.base, corner=self.corner,
            depth=deep if self.corner == "rebate" else 0.0, base_depth=deep, inset=shop.number("carcass", "inset"),
            grains=("free", self.grain, self.grain, "free"),
        )  # fmt: skip
        body.refuse(group, shop.number("carcass", "least"), ("length", "width", "seat"))
        return body

    def _fields(self, shop: Shop, group: str, body: OpenBox) -> tuple[Span, ...]:
        """Return from where to where each compartment reaches along y."""
        (low, high), t = body.inside_y, body.sheet.thickness
        clear, least = (high - low - self.dividers * t) / (self.dividers + 1), shop.number("carcass", "least")
        text = f"compartments would be {max(clear, 0):.4g} wide; at least {least:g}"
        need(clear >= least, group, "dividers", text)
        return tuple((low + i * (clear + t), low + i * (clear + t) + clear) for i in range(self.dividers + 1))

    def _cleats(self, shop: Shop, group: str, body: OpenBox, field: Span) -> Cleats:
        """Return the cleats below a lid that lifts off, all in the first compartment."""
        made_of = shop.bar(group, self.cleats) if self.cleats else body.sheet
        room = box("first compartment", body.inside_x, field, body.z)
        return cleats_of(shop, group, made_of, inside=room, top=body.z[1], size=self.cleat)

    def _dividers(self, body: OpenBox, fields: tuple[Span, ...]) -> Iterator[Panel]:
        meets = (Meet(to="back", face="rear"), Meet(to="front", face="front"), Meet(to="bottom", face="bottom"))
        for (_, low), (high, _) in pairwise(fields):
            yield piece("divider", body.sheet, body.inside_x, (low, high), (body.floor[1], body.z[1]), meets=meets)

    def _lid(self, body: OpenBox, sheet: Sheet, cleats: Cleats | None) -> Panel:
        hung = _WALLS[self.hinge] if self.lid == "hinged" else ""
        on = ("back", "front", "end", *(["divider"] if self.dividers else []))
        meets = [Meet(to=to, face="bottom", kind="hinge" if to == hung else "loose") for to in on]
        if cleats and cleats.battens():
            meets.append(Meet(to="cleat", face="bottom", kind="batten"))
        z = (body.z[1], body.z[1] + sheet.thickness)
        return piece("lid", sheet, body.x, body.y, z, meets=meets, grain=self.grain, good="high")

    def _motion(self, outside: Solid, group: str) -> Motion:
        if self.lid == "hinged":
            spec = MotionSpec(does="lid", hinge=self.hinge, angle=self.angle, person=self.person)
        else:
            spec = MotionSpec(does="lift off", person=self.person)
        return spec.made("lid", outside, ("things", group))

    @property
    def _turns_on(self) -> float:
        """Return how long the edge is that a hinged lid turns on, mm."""
        return self.width if self.hinge in ("rear", "front") else self.length

    def _hardware(self, shop: Shop) -> Iterator[Hardware]:
        if self.lid == "lift off":
            yield Hardware(item="latch-toggle", count=2, why="keep the lid on, one at each end")
            return
        long = self._turns_on
        some = 1 if long <= shop.number("fronts", "stay") else 2
        yield Hardware(item="hinge-piano", count=ceil(long / _METRE), why=f"piano hinge {long:g} long, by the metre")
        yield Hardware(item="stay-lid", count=some, why="holds the lid open")
        yield Hardware(item="latch-toggle", count=some, why="keeps the lid shut on the road")

    def _promise(self, body: OpenBox, fields: tuple[Span, ...], cleats: Cleats | None, outside: Solid) -> Promise:
        tops = [body.z[1] - (cleats.thickness if cleats else 0.0), *[body.z[1]] * self.dividers]
        openings = tuple(
            box(f"compartment {i + 1}", body.inside_x, field, (body.floor[1], top))
            for i, (field, top) in enumerate(zip(fields, tops, strict=True))
        )
        counts = (("back", 1), ("front", 1), ("end", 2), ("bottom", 1), ("lid", 1), ("divider", self.dividers),
                  ("cleat", 4 if cleats else 0))  # fmt: skip
        grains: tuple[tuple[str, Grain], ...] = (("front", self.grain), ("end", self.grain), ("lid", self.grain))
        closed: tuple[Face, ...] = (*body.closed, "top")
        hinges = int(self.lid == "hinged")
        return Promise(
            outside=outside, closed=closed, openings=openings, roles=counts, grains=grains,
            hardware=(("hinge-piano", hinges * ceil(self._turns_on / _METRE)),),
        )  # fmt: skip
