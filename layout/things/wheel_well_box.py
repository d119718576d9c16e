"""Wheel-well box: top, front and ends round a wheel well, clear of it, following the wall behind."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import ceil
from typing import Annotated, Literal

import shapely

from layout.model.building import Batten, Hardware, Promise
from layout.model.motion import Face, Motion
from layout.model.panel import Joint, JointKind, Panel
from layout.model.solid import box
from layout.model.thing import Thing
from layout.things.base import Described, Shop, need
from layout.things.follow import FAR
from layout.things.motion import MotionSpec
from layout.things.piece import Meet, edge, piece
from layout.things.shaped import shaped, unit
from layout.things.well_box_room import FLOOR_BATTEN, LEDGER, OverWell, over_well
from layout.units.fields import Coordinate, Gap, Name, Size, whole

END, FRONT, TOP, LID, STRIP = "end", "front", "top", "lid", "top strip"


@dataclass(frozen=True, kw_only=True, slots=True)
class WheelWellBox(Described):
    """A box over the wheel well on one `side` (`well`: which one, from the rear as the file lists them).

    It keeps `clearance` off the well all round. Its top is `height` above the floor, its front `front` off the
    centreline, and it reaches over `x`; without them it is as small as it can be. Ends that stand over the well are
    notched round it. Ends and top stop `gap` short of the wall, and are sawn `oversize` larger, to be scribed. The top
    is fixed, or a `lid`: one that lifts off, or hinged to a `strip` along the wall. With a `bar` a batten on the floor
    holds the front, and a ledger on the wall the top.
    """

    kind: Literal["wheel-well box"]
    side: Literal["left", "right"]
    sheet: Name
    well: Annotated[int, whole("number of a wheel well", 1, 9)] = 1
    clearance: Gap | None = None
    x: tuple[Coordinate, Coordinate] | None = None
    front: Size | None = None
    height: Size | None = None
    gap: Gap | None = None
    oversize: Gap | None = None
    lid: Literal["none", "lift off", "hinged"] = "none"
    strip: Size | None = None
    bar: Name | None = None

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)

    def make(self, name: str, group: str, shop: Shop) -> Thing:
        """Return the box as its panels, at home over its wheel well.

        Raises
        ------
        ValueFaultError
            When there is no such well, or the sizes leave no room for it.
        """
        need(self.count == 1, group, "count", "a wheel-well box stands over its own well; give each its own name")
        at = over_well(self, group, shop)
        at.refuse()
        made = _Made(spec=self, at=at)
        loose = Thing(
            name=name, group=group, kind=self.kind, solids=(), panels=made.panels, battens=made.battens,
            hardware=tuple(made.hardware()), promise=made.promise,
        )  # fmt: skip
        thing = unit(loose)
        return replace(thing, motions=tuple(made.motions(thing)))


@dataclass(frozen=True, kw_only=True, slots=True)
class _Made:
    """The pieces of a box, and what it promises, in the room's axes."""

    spec: WheelWellBox
    at: OverWell

    @property
    def panels(self) -> tuple[Panel, ...]:
        t, foot = self.at.sheet.thickness, self.at.under_top
        held = (Meet(to=FLOOR_BATTEN, face="left", kind="batten"),) if self.at.floor_battens() else ()
        y = self.at.side(self.at.front, self.at.front + t)
        front = piece(
            FRONT, self.at.sheet, self.at.x, y, (0.0, foot), meets=(Meet(to=END, face="left"), *held), grain="along"
        )
        ends = (
            shaped(END, self.at.sheet, end, x, "x", oversize=self.at.oversize, grain="free")
            for x, end in zip((self.at.x[0], self.at.x[1] - t), self.at.ends(), strict=True)
        )
        return front, *ends, *self._tops()

    def _tops(self) -> Iterator[Panel]:
        """Yield the top, in one piece or as a lid with the strip that it is hinged to."""
        whole, z, over = self.at.whole_top(), self.at.z[0], self.at.oversize
        ledge = (Joint(kind="batten", to=LEDGER),) if self.at.ledgers() else ()
        kind: JointKind = "butt" if self.spec.lid == "none" else "loose"
        on = (Joint(kind=kind, to=END), Joint(kind=kind, to=FRONT))
        if self.spec.lid != "hinged":
            name = TOP if self.spec.lid == "none" else LID
            yield shaped(name, self.at.sheet, whole, z, "z", joints=(*on, *ledge), oversize=over)
            return
        hinge = self.at.reach() - self.at.strip
        strip, lid = (
            whole.intersection(shapely.box(self.at.x[0], y[0], self.at.x[1], y[1]))
            for y in (self.at.side(hinge, FAR), self.at.side(self.at.front, hinge))
        )
        end = Joint(kind="butt", to=END)
        yield shaped(STRIP, self.at.sheet, strip, z, "z", joints=(end, *ledge), oversize=over)
        cover = shaped(LID, self.at.sheet, lid, z, "z", joints=on)
        hinged = Joint(kind="hinge", to=STRIP, side=edge(cover, self.spec.side))
        yield replace(cover, joints=(*on, hinged))

    @property
    def battens(self) -> tuple[Batten, ...]:
        """Return the battens behind the front and on the wall."""
        return *self.at.floor_battens(), *self.at.ledgers()

    @property
    def promise(self) -> Promise:
        """Return what it promises: its outside, a closed face to the aisle, and the well with room round it free."""
        at = self.at
        shapes = [*at.ends(), shapely.transform(at.whole_top(), lambda p: p[:, ::-1])]
        y = at.side(at.front, max(abs(y) for shape in shapes for y in (shape.bounds[0], shape.bounds[2])))
        tops = ((STRIP, 1), (LID, 1)) if self.spec.lid == "hinged" else ((TOP if self.spec.lid == "none" else LID, 1),)
        battens = ((FLOOR_BATTEN, len(at.floor_battens())), (LEDGER, len(at.ledgers())))
        aisle: Face = "right" if at.sign > 0 else "left"
        return Promise(
            outside=box("outside", at.x, y, (0.0, at.z[1])), closed=(aisle,), openings=(at.kept_clear(),),
            roles=((FRONT, 1), (END, 2), *tops, *battens),
            grains=((FRONT, "along"), (END, "free"), *((name, "along") for name, _ in tops)),
        )  # fmt: skip

    def hardware(self) -> Iterator[Hardware]:
        """Yield what holds it to the body, and what its lid turns on and shuts with."""
        number, long = self.at.shop.number, self.at.x[1] - self.at.x[0]
        every = number("following", "fasten")
        points = sum(max(2, ceil(batten.length / every) + 1) for batten in self.battens)
        if points:
            yield Hardware(item="insert-m8-body", count=points, why="battens of the box to the body")
            yield Hardware(item="bolt-m8x40", count=points, why="battens of the box to the body")
        else:
            yield Hardware(item="corner-block", count=ceil(long / every) + 1, why="front of the box to the floor")
        two = 2 if long > number("fronts", "stay") else 1
        if self.spec.lid == "hinged":
            yield Hardware(item="hinge-butt-60", count=two + 1, why="lid of the box")
            yield Hardware(item="stay-lid", count=two, why="lid of the box")
            yield Hardware(item="latch-push", count=two, why="lid of the box, shut on the road")
        elif self.spec.lid == "lift off":
            yield Hardware(item="latch-toggle", count=2, why="lid of the box, held down on the road")

    def motions(self, thing: Thing) -> Iterator[Motion]:
        """Yield how the lid opens."""
        for lid in thing.panels:
            if lid.name == LID:
                x0, y0, x1, y1 = lid.solid.bounds
                hinged = self.spec.lid == "hinged"
                spec = MotionSpec(
                    does="lid" if hinged else "lift off", x=(x0, x1), y=(y0, y1),
                    hinge=self.spec.side if hinged else None,
                )  # fmt: skip
                yield spec.made(LID, thing.box, ("things", self.at.group, "lid"))
