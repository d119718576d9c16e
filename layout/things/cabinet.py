"""Cabinet: a carcass with shelves, and doors that latch."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Annotated, Literal

from layout.model.building import Hardware, Promise
from layout.model.cutting import Grain
from layout.model.motion import Face, Motion
from layout.model.panel import Panel, Sheet
from layout.model.solid import Solid, box
from layout.model.thing import Thing
from layout.things.base import Shop, Span, need
from layout.things.carcass import Carcass, Cased, fastenings
from layout.things.motion import MotionSpec
from layout.things.piece import Meet, around, band_by_metre, cut_depth, piece, sheet_of
from layout.units.fields import Angle, Name, Size, whole

Shelves = Annotated[int, whole("number of shelves", 0, 12)]
Leaves = Annotated[int, whole("number of door leaves", 0, 2)]
Hand = Literal["left", "right"]
_WIDEST = 180.0  # degrees: beyond that a leaf meets the piece next to it


@dataclass(frozen=True, kw_only=True, slots=True)
class _Leaf:
    """A door leaf: its spans along y and z, mm, and its hinge."""

    name: str
    y: Span
    z: Span
    hinge: Hand


@dataclass(frozen=True, kw_only=True, slots=True)
class Cabinet(Cased):
    """A cabinet with `shelves` at equal distances, or with their upper faces `shelf_heights` above its foot.

    Shelves stand in housings, are screwed on (butt), or lie loose on pins. Its door has `leaves`, 0 to 2, of
    `door_sheet` (of `sheet` without one), which lie on the front edges (overlay) or between them (inset); a single
    leaf hangs at its `hinge` end. They open by `angle` degrees.
    """

    kind: Literal["cabinet"]
    shelves: Shelves = 1
    shelf_heights: tuple[Size, ...] = ()
    shelf: Literal["housing", "butt", "loose"] = "housing"
    leaves: Leaves = 1
    fit: Literal["overlay", "inset"] = "overlay"
    hinge: Hand = "left"
    angle: Angle = 90.0
    door_sheet: Name | None = None

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)

    def make(self, name: str, group: str, shop: Shop) -> Thing:
        """Return the cabinet as its panels, its doors as motions.

        Raises
        ------
        ValueFaultError
            When the sizes leave no opening, a groove is too deep, or a sheet is not in the workshop.
        """
        need(0 < self.angle <= _WIDEST, group, "angle", "a door opens by more than 0 and at most 180 degrees")
        sheet = sheet_of(shop, group, "door_sheet", self.door_sheet or self.sheet)
        carcass = self.carcass(shop, group, sheet.thickness if self._on_front else 0.0)
        rooms = self._rooms(shop, group, carcass)
        leaves = tuple(self._leaves(shop, group, carcass))
        shelves = self._shelves(shop, group, carcass, rooms)
        doors = self._doors(carcass, leaves, sheet, shop)
        panels = (*carcass.panels(), *shelves, *doors)
        outside = box("outside", (0.0, self.length), *_flat(carcass))
        return Thing(
            name=name, group=group, kind=self.kind, panels=panels, mass_kg=sum(panel.mass_kg for panel in panels),
            solids=tuple(solid for panel in panels for solid in panel.solids),
            promise=self._promise(carcass, rooms, outside, sheet.thickness),
            motions=tuple(self._motion(leaf, outside, group) for leaf in leaves),
            hardware=tuple(self._hardware(shop, leaves, len(shelves), panels)),
        )  # fmt: skip

    @property
    def _on_front(self) -> bool:
        return self.leaves > 0 and self.fit == "overlay"

    @property
    def _between(self) -> bool:
        return self.leaves > 0 and self.fit == "inset"

    def _rooms(self, shop: Shop, group: str, carcass: Carcass) -> tuple[Span, ...]:
        """Return from where to where each opening reaches in height, from the bottom up, clear of the door's stop."""
        (low, high), t = carcass.inside_z, carcass.sheet.thickness
        if self.shelf_heights:
            tops, key = list(self.shelf_heights), "shelf_heights"
        else:
            clear = (high - low - self.shelves * t) / (self.shelves + 1)
            tops, key = [low + (i + 1) * (clear + t) for i in range(self.shelves)], "shelves"
        end = high - (shop.number("fronts", "stop") if self._between else 0.0)
        rooms = tuple(zip([low, *tops], [*(top - t for top in tops), end], strict=True))
        least = shop.number("carcass", "least")
        for i, (foot, head) in enumerate(rooms):
            text = f"opening {i + 1} from below would be {head - foot:.4g} high; at least {least:g}"
            need(head - foot >= least, group, key, text)
        return rooms

    def _shelves(self, shop: Shop, group: str, carcass: Carcass, rooms: tuple[Span, ...]) -> tuple[Panel, ...]:
        t, short, loose = carcass.sheet.thickness, self._deep(carcass, shop, group), self.shelf == "loose"
        deep = cut_depth(shop, group, self.groove, t) if self.shelf == "housing" else 0.0
        (right, left), play = carcass.inside_y, shop.number("carcass", "shelf_play") if loose else 0.0
        # A loose shelf is pushed against the right side, so that its play is all at the left.
        meet = Meet(to="side", face="right" if loose else "left", kind=self.shelf, depth=deep)
        return tuple(
            carcass.inner(
                "shelf", (right - deep, left + deep - play), (above - t, above), (meet,), short=short, loose=loose
            )
            for _, (above, _) in pairwise(rooms)
        )

    def _deep(self, carcass: Carcass, shop: Shop, group: str) -> float:
        """Return how much of the depth inside a door takes that stands between the sides, mm."""
        if not self._between:
            return 0.0
        deep = sheet_of(shop, group, "door_sheet", self.door_sheet or self.sheet).thickness
        left = carcass.inside_x[1] - carcass.inside_x[0] - deep - carcass.sheet.thickness
        least = shop.number("carcass", "least")
        text = f"behind the door and its stop {max(left, 0):.4g} are left; at least {least:g}"
        need(left >= least, group, "length", text)
        return deep

    def _leaves(self, shop: Shop, group: str, carcass: Carcass) -> Iterator[_Leaf]:
        gap = self.front_gap(shop, group, carcass.sheet.thickness)
        half = carcass.width / 2
        y, (low, high) = carcass.inside_y, carcass.inside_z
        if self._on_front:
            y, (low, high) = (-half, half), (carcass.foot, carcass.height)
        (right, left), z = (y[0] + gap, y[1] - gap), (low + gap, high - gap)
        if self.leaves == 1:
            yield _Leaf(name="door", y=(right, left), z=z, hinge=self.hinge)
        elif self.leaves:
            middle, least = (right + left) / 2, shop.number("carcass", "least")
            text = f"two leaves would be {(left - right - gap) / 2:.4g} wide; write leaves: 1"
            need((left - right - gap) / 2 >= least, group, "leaves", text)
            yield _Leaf(name="left door", y=(middle + gap / 2, left), z=z, hinge="left")
            yield _Leaf(name="right door", y=(right, middle - gap / 2), z=z, hinge="right")

    def _doors(self, carcass: Carcass, leaves: tuple[_Leaf, ...], sheet: Sheet, shop: Shop) -> Iterator[Panel]:
        """Yield the leaves, and the stop below the top that those close against which stand between the sides."""
        x = (self.length - sheet.thickness, self.length)
        meet = Meet(to="side", face="rear", kind="hinge")
        if self._between:
            meet = Meet(to="stop", face="rear", kind="loose")
        for leaf in leaves:
            yield piece(
                "door", sheet, x, leaf.y, leaf.z, meets=(meet,), grain=self.grain, good="high", bands=around(self.band)
            )
        if self._between:
            t, top = carcass.sheet.thickness, carcass.inside_z[1]
            z = (top - shop.number("fronts", "stop"), top)
            meets = (Meet(to="top", face="top"), Meet(to="side", face="left"))
            yield piece("stop", carcass.sheet, (x[0] - t, x[0]), carcass.inside_y, z, meets=meets)

    def _motion(self, leaf: _Leaf, outside: Solid, group: str) -> Motion:
        spec = MotionSpec(
            does="door", face="front", hinge=leaf.hinge, part=leaf.y, z=leaf.z, angle=self.angle, person=self.person
        )
        return spec.made(leaf.name, outside, ("things", group))

    def _hardware(
        self, shop: Shop, leaves: tuple[_Leaf, ...], shelves: int, panels: tuple[Panel, ...]
    ) -> Iterator[Hardware]:
        for leaf in leaves:
            high = leaf.z[1] - leaf.z[0]
            hinges = 2 if high <= shop.number("fronts", "tall") else 3
            yield Hardware(item="hinge-butt-60", count=hinges, why=f"{leaf.name}, a leaf {high:.0f} high")
            yield Hardware(item="latch-push", count=1, why=f"keeps the {leaf.name} shut on the road")
        if self.shelf == "loose" and shelves:
            pins = round(shop.number("carcass", "pins"))
            yield Hardware(item="shelf-pin", count=pins * shelves, why=f"{pins} for each shelf")
        yield from band_by_metre(panels)
        yield from fastenings(shop)

    def _promise(self, carcass: Carcass, rooms: tuple[Span, ...], outside: Solid, leaf: float) -> Promise:
        front = carcass.length - (leaf if self._between else 0.0)
        openings = tuple(
            box(f"opening {i + 1}", (carcass.inside_x[0], front), carcass.inside_y, room)
            for i, room in enumerate(rooms)
        )
        counts = (("shelf", len(rooms) - 1), ("door", self.leaves), ("stop", int(self._between)))
        grains: tuple[tuple[str, Grain], ...] = (("side", self.grain), ("top", self.grain), ("door", self.grain))
        return Promise(
            outside=outside, closed=_closed(carcass, on_front=self._on_front), openings=openings,
            roles=(*carcass.roles, *counts), grains=grains, hardware=(("latch-push", self.leaves),),
        )  # fmt: skip


def _closed(carcass: Carcass, *, on_front: bool) -> tuple[Face, ...]:
    # A leaf on the front edges stops a gap short of the sides, so that those faces are open by that.
    return tuple(face for face in carcass.closed if face == "rear" or not on_front)


def _flat(carcass: Carcass) -> tuple[Span, Span]:
    return (-carcass.width / 2, carcass.width / 2), (0.0, carcass.height)
