"""Bed boards: boards that lie on the lids of bins, on battens that keep them level with each other."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from math import ceil
from typing import Literal

from layout.model.building import Bar, Hardware, Promise
from layout.model.motion import Motion
from layout.model.panel import Panel, Sheet
from layout.model.solid import Solid, box
from layout.model.thing import Thing
from layout.things.base import Described, Shop, Span, board, need
from layout.things.bed_holes import HandSlots, Ring, Vents
from layout.things.bed_pieces import Parts, batten, joined
from layout.things.motion import MotionSpec
from layout.things.piece import in_plane
from layout.units.fields import Mass, Name, Size

BATTEN = "batten"  # the role of all battens
_BOARD = "bed board"


@dataclass(frozen=True, kw_only=True, slots=True)
class BedBoards(Described):
    """A bed `length` x `width` of boards one after the other along it, at most `heaviest_board` each, to lie on bins.

    Under them are battens across, of the workshop's `bar`, lying flat, or strips of the sheet `strip` wide, at most
    `support` apart. One lies under each joint: it is screwed to the board behind it, and the next board rests on its
    other half. Between the battens the mattress has air, by holes in the boards where `vents` is yes. Boards lift off,
    by slots for hands unless `hand_slots` is no.
    """

    kind: Literal["bed boards"]
    length: Size
    width: Size
    sheet: Name
    bar: Name | None = None
    strip: Size | None = None
    support: Size = 400.0
    heaviest_board: Mass = 12.0
    vents: Literal["yes", "no"] = "no"
    hand_slots: Literal["yes", "no"] = "yes"

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)

    def make(self, name: str, group: str, shop: Shop) -> Thing:
        """Return the boards and battens, each a solid.

        Raises
        ------
        ValueFaultError
            When battens would lie on each other, a hole has no room, or the workshop lacks a sheet or bar.
        """
        lie = self._lie(group, shop)
        apart = min((b[0] - a[1] for (_, a), (_, b) in pairwise(lie.battens)), default=0.0)
        need(apart > 0, group, "support", f"leaves no room between battens {lie.wide:g} wide; give more")
        vents, slots = (Vents.of(shop) if self.vents == "yes" else None), self._slots(shop)
        straps = int(shop.number("bed", "board_straps"))
        held = Parts(hardware=(Hardware(item="strap-ratchet", count=straps, why="over boards and bins"),))
        parts = lie.parts(vents, slots) + held + Parts(motions=lie.motions(("things", group)))
        self._refuse_holes(parts, group)
        promise = Promise(
            outside=lie.outside, openings=lie.air, roles=lie.roles, closed=() if vents or slots else ("top",)
        )
        return replace(parts.built(name, group, self.kind, promise), take_out="up")

    def _refuse_holes(self, parts: Parts, group: str) -> None:
        holes = [len(panel.holes) for panel in parts.panels if panel.name == _BOARD]
        slots = len(holes) if self.hand_slots == "yes" else 0
        need(not slots or min(holes) > 0, group, "hand_slots", "a board has no room for one; write hand_slots: no")
        need(self.vents == "no" or sum(holes) > 2 * slots, group, "vents", "no room for holes; bring support: up")

    def _slots(self, shop: Shop) -> HandSlots | None:
        return HandSlots.of(shop) if self.hand_slots == "yes" else None

    def _lie(self, group: str, shop: Shop) -> _Lie:
        sheet = shop.sheet(group, self.sheet)
        need(not (self.bar and self.strip), group, "strip", f"the battens are of {self.bar}, as wide as that")
        bar = shop.bar(group, self.bar) if self.bar else None
        strip = self.strip or shop.number("bed", "board_batten")
        longest = min(shop.number("bed", "panel"), self.heaviest_board / sheet.mass_kg(1.0, self.width))
        count = ceil(round(self.length / longest, 6))
        wide = max(bar.section) if bar else strip
        need(self.length > 2 * count * wide, group, "heaviest_board",
             f"takes {count} boards, too short for battens {wide:g} wide; allow more")  # fmt: skip
        return _Lie(length=self.length, width=self.width, sheet=sheet, count=count, wide=wide, bar=bar,
                    high=min(bar.section) if bar else sheet.thickness, support=self.support)  # fmt: skip


@dataclass(frozen=True, kw_only=True, slots=True)
class _Lie:
    """How `count` boards lie on battens `wide` and `high` mm."""

    length: float
    width: float
    sheet: Sheet
    count: int
    wide: float
    high: float
    support: float
    bar: Bar | None

    @property
    def cells(self) -> tuple[Span, ...]:
        """Return from where to where each board reaches."""
        edges = [self.length * i / self.count for i in range(self.count + 1)]
        return tuple(pairwise(edges))

    @property
    def battens(self) -> tuple[tuple[str, Span], ...]:
        """Return name and place of each batten, from the rear: at both ends, under each joint, evenly between."""
        half, found = self.wide / 2, []
        for i, (low, high) in enumerate(self.cells):
            # The outermost lie level with the ends.
            first, last = max(low, half), min(high, self.length - half)
            steps = max(1, ceil(round((last - first) / self.support, 6)))
            middles = [first + (last - first) * k / steps for k in range(steps + 1)]
            names = [f"joint batten {i}" if i else "end batten", *["inner batten"] * (steps - 1)]
            found += [(n, (m - half, m + half)) for n, m in zip(names, middles, strict=False)]
        return (*found, ("end batten", (self.length - self.wide, self.length)))

    @property
    def outside(self) -> Solid:
        """Return the box that all of it fills."""
        y = -self.width / 2, self.width / 2
        return box("outside", (0.0, self.length), y, (0.0, self.high + self.sheet.thickness))

    @property
    def air(self) -> tuple[Solid, ...]:
        """Return what stays free between the battens."""
        y, z = (-self.width / 2, self.width / 2), (0.0, self.high)
        return tuple(box("air", (a[1], b[0]), y, z) for (_, a), (_, b) in pairwise(self.battens))

    @property
    def roles(self) -> tuple[tuple[str, int], ...]:
        """Return how many pieces of each role there are."""
        return (_BOARD, self.count), (BATTEN, len(self.battens))

    def parts(self, vents: Vents | None, slots: HandSlots | None) -> Parts:
        """Return the boards, with those holes, and the battens."""
        y, z = (-self.width / 2, self.width / 2), (0.0, self.high)
        boards = tuple(self._board(i, vents, slots) for i in range(self.count))
        if self.bar:
            bars = tuple(batten(name, self.bar, x, y, z, role=BATTEN) for name, x in self.battens)
            return Parts(panels=boards, battens=bars)
        strips = (replace(board(name, self.sheet, x, y, z), role=BATTEN) for name, x in self.battens)
        return Parts(panels=(*boards, *strips))

    def _board(self, number: int, vents: Vents | None, slots: HandSlots | None) -> Panel:
        """Return a board: screwed to the battens under it but the one at its rear joint, which is the other board's."""
        x, y = self.cells[number], (-self.width / 2, self.width / 2)
        plain = board(_BOARD, self.sheet, x, y, (self.high, self.high + self.sheet.thickness), grain="free")
        holes = (in_plane(plain, [(*point, self.high) for point in ring]) for ring in self._holes(x, vents, slots))
        panel = replace(plain, holes=tuple(holes), name=_BOARD)
        under = [name for name, (low, high) in self.battens if low < x[1] and high > x[0]]
        rear = f"joint batten {number}"
        panel = joined(panel, "butt", "bottom", *dict.fromkeys(name for name in under if name != rear))
        return joined(panel, "loose", "bottom", rear) if number else panel

    def _holes(self, x: Span, vents: Vents | None, slots: HandSlots | None) -> tuple[Ring, ...]:
        y = -self.width / 2, self.width / 2
        free = [(max(a[1], x[0]), min(b[0], x[1])) for (_, a), (_, b) in pairwise(self.battens)]
        fields = tuple((low, high) for low, high in free if high > low)
        rings = (
            [[slots.ring(f, side, inward) for f in fields] for side, inward in zip(y, (1, -1), strict=True)]
            if slots
            else []
        )
        cut = tuple(found for each in rings for found in [ring for ring in each if ring][:1])
        return (*cut, *(vents.rings(fields, y, cut) if vents else ()))

    def motions(self, path: tuple[str, ...]) -> tuple[Motion, ...]:
        """Return how each board lifts off."""
        specs = [MotionSpec(does="lift off", x=x) for x in self.cells]
        return tuple(spec.made(f"{_BOARD} {i}", self.outside, path) for i, spec in enumerate(specs, start=1))
