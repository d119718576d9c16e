"""Fold-down table: a leaf on hinges at a wall or a unit, on legs that fold under it or held by stays."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil
from typing import Literal

from layout.model.building import Hardware, Promise
from layout.model.cutting import Grain
from layout.model.motion import Face
from layout.model.panel import Panel
from layout.model.thing import Thing
from layout.things.base import Described, Shop, need
from layout.things.bed_pieces import Parts, points, to_body
from layout.things.fold_table_frame import LEAF, LEG, RAIL, UPRIGHT, TableFrame
from layout.things.fold_table_leaf import motions
from layout.things.piece import Meet, piece, sheet_of
from layout.units.fields import Gap, Name, Size

RULE = "fold-table"
_METRE = 1000.0


@dataclass(frozen=True, kw_only=True, slots=True)
class FoldTable(Described):
    """A table whose leaf, `depth` x `width`, has its top `height` above the floor when it is open.

    Its rail, on two uprights from the floor, is fixed to a wall of the body or to a unit (`on`), behind it. Folded, the
    leaf hangs `down` before them or stands `up`. Open, it lies on two legs, `leg` wide, that fold under it, or is held
    by stays. Write ``open: yes`` in a form of it for the states in which it is open. `opens_in` are the states in which
    it is opened where it stands folded (none: every state but ``drive``), by somebody who stands in `person` of room.
    """

    kind: Literal["fold-down table"]
    depth: Size
    width: Size
    height: Size
    sheet: Name
    leaf_sheet: Name | None = None
    on: Literal["wall", "unit"] = "wall"
    folds: Literal["down", "up"] = "down"
    rests_on: Literal["legs", "stays"] = "legs"
    leg: Size | None = None
    open: Literal["yes", "no"] = "no"
    grain: Grain = "along"
    band: Gap = 0.0
    opens_in: tuple[Name, ...] = ()
    person: Gap = 0.0

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)

    def make(self, name: str, group: str, shop: Shop) -> Thing:
        """Return the table as its panels, open or folded.

        Raises
        ------
        ValueFaultError
            When it does not hang above the floor, its legs do not fold under it, or a sheet is not in the workshop.
        """
        frame = self._frame(shop, group)
        need(frame.has_legs or self.leg is None, group, "leg", "it rests on stays; leave it out, or rests_on: legs")
        _refuse(frame, group, shop.number(RULE, "floor"))
        _refuse_legs(frame, group)
        moving = () if frame.is_open else motions(frame, ("things", group), self.person, self.opens_in)
        parts = Parts(
            panels=(*_fixed(frame), self._leaf(frame), *_legs(frame)), hardware=tuple(self._hardware(shop, frame)),
            motions=moving,
        )  # fmt: skip
        return parts.built(name, group, self.kind, self._promise(frame))

    def _frame(self, shop: Shop, group: str) -> TableFrame:
        return TableFrame(
            depth=self.depth, width=self.width, height=self.height, sheet=shop.sheet(group, self.sheet),
            leaf=sheet_of(shop, group, "leaf_sheet", self.leaf_sheet or self.sheet), is_up=self.folds == "up",
            is_open=self.open == "yes", has_legs=self.rests_on == "legs", rail=shop.number(RULE, "rail"),
            upright=shop.number(RULE, "upright"), leg=self.leg or shop.number(RULE, "leg"),
            edge=shop.number(RULE, "edge"), play=shop.number(RULE, "play"),
        )  # fmt: skip

    def _leaf(self, frame: TableFrame) -> Panel:
        """Return the leaf; the edge at its hinge has no band."""
        x, z = frame.on_leaf((0.0, self.depth), (-frame.leaf.thickness, 0.0))
        far: Face = "front" if frame.is_open else "top" if frame.is_up else "bottom"
        meets = (Meet(to=RAIL, face="rear", kind="hinge"),)
        bands: tuple[Face, ...] = ("left", "right", far)
        return piece(LEAF, frame.leaf, x, frame.y, z, meets=meets, grain=self.grain, bands=(bands, self.band))

    def _hardware(self, shop: Shop, frame: TableFrame) -> Iterator[Hardware]:
        hinge = f"piano hinge {self.width:g} long, by the metre"
        yield Hardware(item="hinge-piano", count=_metres(self.width), why=hinge)
        some = 1 if self.width <= shop.number("fronts", "stay") else 2
        yield Hardware(item="latch-toggle", count=some, why="keeps the leaf folded on the road")
        if frame.has_legs:
            yield Hardware(item="hinge-butt-60", count=2, why="a leg turns on it")
            yield Hardware(item="foot-rubber", count=2, why="one under each leg")
        else:
            yield Hardware(item="stay-lid", count=int(shop.number(RULE, "stays")), why="holds the leaf level")
        count = 2 * points(frame.top, shop.number(RULE, "fasten"), shop.number("screws", "end"))
        why = f"holds an upright to the {'body' if self.on == 'wall' else 'unit'}"
        if self.on == "wall":
            yield from to_body(count, why)
        else:
            yield from (Hardware(item=item, count=count, why=why) for item in ("bolt-m6x30", "tee-nut-m6"))

    def _promise(self, frame: TableFrame) -> Promise:
        legs = 2 if self.rests_on == "legs" else 0
        return Promise(
            outside=frame.outside, openings=frame.openings(), grains=((LEAF, self.grain),),
            roles=((UPRIGHT, 2), (RAIL, 1), (LEAF, 1), (LEG, legs)),
            hardware=(("hinge-piano", _metres(self.width)), ("hinge-butt-60", legs)),
        )  # fmt: skip


def _metres(mm: float) -> int:
    return ceil(mm / _METRE)


def _refuse(frame: TableFrame, group: str, floor: float) -> None:
    least = 2 * frame.upright
    need(frame.width > least, group, "width", f"no wider than its two uprights; more than {least:g}")
    text = f"the rail, {frame.rail:g} high, would stand on the floor; more than {frame.rail:g}"
    need(frame.height > frame.rail, group, "height", text)
    most = frame.rail / (2 if frame.is_up else 1)
    text = f"a leaf {frame.leaf.thickness:g} thick covers the rail; less than {most:g}"
    need(frame.leaf.thickness < most, group, "leaf_sheet", text)
    most = frame.underside - floor
    text = f"a leaf {frame.depth:g} deep hangs down to less than {floor:g} above the floor; at most {most:.4g}"
    need(frame.is_up or frame.depth <= most, group, "depth", f"{text}, or folds: up")


def _refuse_legs(frame: TableFrame, group: str) -> None:
    """Refuse legs that are longer than the leaf is wide, or that do not lie beside each other under it."""
    if not frame.has_legs:
        return
    most = frame.width - 2 * frame.edge
    text = f"legs {frame.underside:.4g} long fold under a leaf at least {frame.underside + 2 * frame.edge:.4g} wide"
    need(frame.underside <= most, group, "width", f"{text}; or rests_on: stays")
    need(frame.leg > frame.t, group, "leg", f"{frame.leg:g} is no wider than the sheet is thick; more than {frame.t:g}")
    # Folded down the legs lie behind the leaf, below the rail.
    first = 0.0 if frame.is_up else frame.rail - frame.leaf.thickness
    least = frame.depth + first - frame.legs[1][0]
    text = f"two legs {frame.leg:g} wide lie under a leaf at least {least:.4g} deep; more, narrower legs"
    need(frame.depth >= least - 1e-6, group, "depth", f"{text}, or rests_on: stays")


def _fixed(frame: TableFrame) -> Iterator[Panel]:
    """Yield the two uprights and, on their faces, the rail."""
    for y in ((-frame.width / 2, frame.upright - frame.width / 2), (frame.width / 2 - frame.upright, frame.width / 2)):
        yield piece(UPRIGHT, frame.sheet, (0.0, frame.t), y, (0.0, frame.top))
    z, meets = (frame.top - frame.rail, frame.top), (Meet(to=UPRIGHT, face="rear"),)
    yield piece(RAIL, frame.sheet, (frame.t, frame.face), frame.y, z, meets=meets, grain="along", good="high")


def _legs(frame: TableFrame) -> Iterator[Panel]:
    under = (0.0, frame.underside) if frame.is_open else (0.0, frame.t)
    for out, hand in zip(frame.legs, (1.0, -1.0), strict=False):
        x, z = frame.on_leaf(out, under)
        face: Face = "top" if frame.is_open else "rear" if frame.is_up else "front"
        yield piece(LEG, frame.sheet, x, frame.leg_y(hand), z, meets=(Meet(to=LEAF, face=face, kind="hinge"),))
