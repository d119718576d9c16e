"""Partition: a board across the room that follows both walls, in pieces that a person can lift."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import ceil
from typing import Annotated, Literal

import shapely
from shapely.geometry import Polygon

from layout.model.building import Batten, Hardware, Promise
from layout.model.motion import Motion
from layout.model.panel import Axis, Joint, Panel
from layout.model.solid import Solid, box
from layout.model.thing import Thing
from layout.things.backing import JOINT, across
from layout.things.base import Described, Shop, need
from layout.things.hatch import LID, Hatch, Range, lid_hardware
from layout.things.partition_plan import MOST_PIECES, Plan, cut, divided
from layout.things.shaped import shaped, unit
from layout.units.fields import Coordinate, Gap, Mass, Name, Size, whole

NAME = "partition"
_SPECK = 1.0  # mm² of contact that is none


@dataclass(frozen=True, kw_only=True, slots=True)
class Partition(Described):
    """A board across the room whose rear face is at `x`, from the floor to the ceiling or over the heights `z`.

    It stops `gap` short of walls, ceiling and obstacles, or is sawn `oversize` larger, to be scribed. `y` narrows it.
    Made in so many `pieces` side by side, or in as few as a person can lift (`heaviest`) and a sheet yields (`piece`,
    length and width). With a `bar` it has `battens` on its rear or front face: on the floor, under the ceiling, over
    joints, and cleats on the walls, fastened to the body.
    """

    kind: Literal["partition"]
    x: Coordinate
    sheet: Name
    y: Range | None = None
    z: Range | None = None
    gap: Gap | None = None
    oversize: Gap | None = None
    pieces: Annotated[int, whole("number of pieces", 1, MOST_PIECES)] | None = None
    piece: tuple[Size, Size] | None = None
    heaviest: Mass | None = None
    hatch: Hatch | None = None
    bar: Name | None = None
    battens: Literal["rear", "front"] = "rear"

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)

    def make(self, name: str, group: str, shop: Shop) -> Thing:
        """Return the partition as its pieces, with battens and hatch, at home where it stands in the room.

        Raises
        ------
        ValueFaultError
            When the room has no one place for it there, or no piece is small enough.
        """
        need(self.count == 1, group, "count", "a partition follows the room at its own x; give each its own name")
        plan = Plan(spec=self, group=group, shop=shop, sheet=shop.sheet(group, self.sheet))
        shape, edges = divided(plan)
        made = _Made(plan=plan, shapes=cut(shape, edges), battens=plan.battens(shape, edges[1:-1]))
        loose = Thing(
            name=name, group=group, kind=self.kind, solids=(), battens=made.battens, hardware=made.hardware,
            panels=(*made.boards, *made.lids), promise=made.promise(shape),
        )  # fmt: skip
        thing = unit(loose)
        return replace(thing, motions=tuple(made.motions(thing)))


@dataclass(frozen=True, kw_only=True, slots=True)
class _Made:
    """A partition worked out: the shapes of its pieces, and its battens."""

    plan: Plan
    shapes: tuple[Polygon, ...]
    battens: tuple[Batten, ...]

    @property
    def hatch(self) -> Hatch | None:
        """Return the hatch if it has a lid."""
        hatch = self.plan.spec.hatch
        return hatch if hatch and hatch.lid == "yes" else None

    @property
    def names(self) -> tuple[str, ...]:
        many = len(self.shapes) > 1
        return tuple(f"{NAME} {i}" if many else NAME for i in range(1, len(self.shapes) + 1))

    @property
    def boards(self) -> tuple[Panel, ...]:
        """Return the pieces of the board, the grain of all of them alike: up, unless they are wider than high."""
        plan, spans = self.plan, [shape.bounds for shape in self.shapes]
        along: Axis = "z" if max(b[3] - b[1] for b in spans) >= max(b[2] - b[0] for b in spans) else "y"
        return tuple(
            shaped(
                name, plan.sheet, shape, plan.x[0], "x", along=along, role=NAME, oversize=plan.oversize,
                joints=tuple(self._joints(shape)),
            )
            for name, shape in zip(self.names, self.shapes, strict=True)
        )  # fmt: skip

    def _joints(self, shape: Polygon) -> Iterator[Joint]:
        for name in dict.fromkeys(batten.name for batten in self.battens):
            if any(across(b).intersection(shape).area > _SPECK for b in self.battens if b.name == name):
                yield Joint(kind="batten", to=name)

    @property
    def lids(self) -> tuple[Panel, ...]:
        if self.hatch is None:
            return ()
        (rear, front), t = self.plan.x, self.plan.sheet.thickness
        x = (front, front + t) if self.plan.spec.battens == "rear" else (rear - t, rear)
        whole = shapely.union_all([*self.shapes, self.hatch.shape])
        spans = self.hatch.lid_spans(whole, self.plan.group, self.plan.shop)
        hinge = shapely.Point(spans[0][1 if self.hatch.hinge == "left" else 0], sum(spans[1]) / 2)
        held = min(zip(self.shapes, self.names, strict=True), key=lambda pair: pair[0].distance(hinge))[1]
        return (self.hatch.lid_panel(self.plan.sheet, x, spans, held),)

    @property
    def hardware(self) -> tuple[Hardware, ...]:
        every = self.plan.shop.number("following", "fasten")
        points = sum(max(2, ceil(b.length / every) + 1) for b in self.battens if b.name != JOINT)
        why = f"{NAME}'s battens to the body"
        held = [Hardware(item=item, count=points, why=why) for item in ("insert-m8-body", "bolt-m8x40") if points]
        return (*held, *(item for lid in self.lids for item in lid_hardware(lid, self.plan.shop)))

    def promise(self, shape: Polygon) -> Promise:
        """Return what it promises: the box round board, battens and lid, how many pieces, and its hatch free."""
        names = [batten.name for batten in self.battens]
        roles = ((NAME, len(self.shapes)), (LID, len(self.lids)), *((n, names.count(n)) for n in dict.fromkeys(names)))
        return Promise(
            outside=self._outside(shape), openings=tuple(self._openings()), roles=roles,
            grains=((NAME, "along"), (LID, "free")),
        )  # fmt: skip

    def _openings(self) -> Iterator[Solid]:
        hatch = self.plan.spec.hatch
        if hatch:
            yield box("hatch", self.plan.x, hatch.y, hatch.z)

    def _outside(self, shape: Polygon) -> Solid:
        y0, z0, y1, z1 = shape.bounds
        lid = self.plan.sheet.thickness if self.hatch else 0.0
        deep = self.plan.bar.section[0] if self.plan.bar and self.battens else 0.0
        rear, front = (deep, lid) if self.plan.spec.battens == "rear" else (lid, deep)
        return box("outside", (self.plan.x[0] - rear, self.plan.x[1] + front), (y0, y1), (z0, z1))

    def motions(self, thing: Thing) -> Iterator[Motion]:
        face: Literal["front", "rear"] = "front" if self.plan.spec.battens == "rear" else "rear"
        for lid in thing.panels:
            if self.hatch and lid.name == LID:
                yield self.hatch.motion(lid, thing.box, face, ("things", self.plan.group, "hatch"))
