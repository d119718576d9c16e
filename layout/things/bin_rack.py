"""Bin rack: an open carcass, sized from the bins that it takes, that keeps them in on the road."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Annotated, Literal

from layout.errors import ValueFaultError
from layout.model.building import Hardware, Promise
from layout.model.motion import Face
from layout.model.panel import JointKind, Panel, Sheet
from layout.model.solid import box
from layout.model.thing import Thing
from layout.things.base import Described, Shop, Span, need
from layout.things.bin import Bin
from layout.things.carcass import Back, Carcass, Cut
from layout.things.lidded_bin import LiddedBin
from layout.things.piece import Meet, cut_depth, piece, sheet_of
from layout.things.rack_places import slotted, straps, to_the_body
from layout.units.fields import Gap, Name, Size, whole

Few = Annotated[int, whole("number of columns or rows", 1, 12)]
_ORDER = ("back", "side", "divider", "bottom", "top", "shelf", "lip")


@dataclass(frozen=True, kw_only=True, slots=True)
class BinRack(Described):
    """A rack of `columns` x `rows` openings, one bin each, open at its front (its +x side).

    `takes` names the bins in the project. An opening is wider than the bin by `side_gap` on each side and
    higher by `top_gap`; the rack is deeper by `depth_gap`. Panels meet by `joint`, cut in by `groove`; the back is of
    `back_sheet` (of `sheet` without one), or there is none. What `keeps` the bins in on the road is a strap across each
    row, or a lip before it, `lip` high, which they are lifted over.
    """

    kind: Literal["bin rack"]
    takes: Name
    columns: Few
    rows: Few
    sheet: Name
    side_gap: Gap = 5.0
    top_gap: Gap = 30.0
    depth_gap: Gap = 10.0
    joint: Cut = "butt"
    groove: Size | None = None
    back: Back = "planted"
    back_sheet: Name | None = None
    keeps: Literal["strap", "lip", "nothing"] = "strap"
    lip: Size | None = None

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)

    def make(self, name: str, group: str, shop: Shop) -> Thing:
        """Return the rack as its panels, each a solid, and the places of its bins.

        Raises
        ------
        ValueFaultError
            When `takes` is not a bin of the project, a groove is too deep, bins do not go over the lip, or the sheet is
            not in the workshop.
        """
        cells = self._cells(shop, group)
        made = (self._slotted(panel, cells, shop) for panel in self._panels(cells, self._lip(shop, group)))
        panels = sorted(made, key=lambda panel: _ORDER.index(panel.name))
        return Thing(
            name=name, group=group, kind=self.kind, solids=tuple(panel.solid for panel in panels),
            mass_kg=sum(panel.mass_kg for panel in panels), panels=tuple(panels), slots=cells.slots,
            promise=self._promise(cells, self._lip(shop, group)), hardware=tuple(self._hardware(cells, shop)),
        )  # fmt: skip

    def _cells(self, shop: Shop, group: str) -> _Cells:
        """Return the openings, sized from the bins, and the carcass round them."""
        sheet = shop.sheet(group, self.sheet)
        length, width, height = self._bin(shop, group)
        wide, high, t = width + 2 * self.side_gap, height + self.top_gap, sheet.thickness
        outer = (self.columns * (wide + t) + t, self.rows * (high + t) + t)
        depth = self._depth(shop, group, sheet)
        carcass = Carcass(
            sheet=sheet, length=0.0, width=outer[0], height=outer[1], joint=self.joint, back=self.back,
            back_sheet=sheet_of(shop, group, "back_sheet", self.back_sheet or self.sheet) if self._backed else None,
            depth=depth if self.joint != "butt" else 0.0, back_depth=depth if self._backed and self._cut_back else 0.0,
            inset=shop.number("carcass", "inset") if self.back == "groove" else 0.0, grains=("along", "along"),
        )  # fmt: skip
        return _Cells(
            carcass=replace(carcass, length=carcass.inside_x[0] + length + self.depth_gap),
            columns=tuple(_steps(-outer[0] / 2 + t, wide, t, self.columns)), rows=tuple(_steps(t, high, t, self.rows)),
        )  # fmt: skip

    @property
    def _backed(self) -> bool:
        return self.back != "none"

    @property
    def _cut_back(self) -> bool:
        return self.back in ("groove", "rebate")

    def _bin(self, shop: Shop, group: str) -> tuple[float, float, float]:
        """Return length, width and height of the bin that goes in, mm."""
        takes = shop.specs.get(self.takes)
        need(takes is not None, group, "takes", f"there is no thing called {self.takes!r}")
        if isinstance(takes, LiddedBin):
            return _outside(takes, shop, group, self.takes)
        need(isinstance(takes, Bin), group, "takes", f"{self.takes!r} is not a bin")
        return takes.length, takes.width, takes.height  # type: ignore[union-attr]  # the line above refuses others

    def _depth(self, shop: Shop, group: str, sheet: Sheet) -> float:
        """Return how deep its joints are cut, mm; a divider has shelves in both its faces at one height."""
        if self.joint == "butt" and not self._cut_back:
            return 0.0
        both = self.joint != "butt" and self.columns > 1 and self.rows > 1
        return cut_depth(shop, group, self.groove, sheet.thickness, faces=2 if both else 1)

    def _lip(self, shop: Shop, group: str) -> float:
        """Return how high the lips stand, 0 without any, mm."""
        if self.keeps != "lip":
            return 0.0
        lip = shop.number("carcass", "lip") if self.lip is None else self.lip
        text = f"bins are lifted over a lip {lip:g} high, but have {self.top_gap:g} above them; less, or more top_gap"
        need(lip < self.top_gap, group, "lip", text)
        return lip

    def _panels(self, cells: _Cells, lip: float) -> Iterator[Panel]:
        yield from cells.carcass.panels()
        yield from self._dividers(cells)
        yield from self._shelves(cells)
        yield from self._lips(cells, lip)

    def _dividers(self, cells: _Cells) -> Iterator[Panel]:
        carcass, (low, high) = cells.carcass, cells.carcass.inside_z
        kind, deep = carcass.joint, carcass.depth
        ends: tuple[Face, Face] = ("bottom", "top")
        meets = tuple(Meet(to=end, face=end, kind=kind, depth=deep) for end in ends)
        for (_, right), (left, _) in zip(cells.columns, cells.columns[1:], strict=False):
            yield carcass.inner("divider", (right, left), (low - deep, high + deep), meets)

    def _shelves(self, cells: _Cells) -> Iterator[Panel]:
        carcass, last = cells.carcass, self.columns - 1
        kind: JointKind = carcass.joint
        for low, _ in cells.rows[1:]:
            for i, (right, left) in enumerate(cells.columns):
                walls: dict[str, Face] = {"side" if i == last else "divider": "left"}
                walls["side" if i == 0 else "divider"] = "right"
                meets = tuple(Meet(to=to, face=face, kind=kind, depth=carcass.depth) for to, face in walls.items())
                y, z = (right - carcass.depth, left + carcass.depth), (low - carcass.sheet.thickness, low)
                yield carcass.inner("shelf", y, z, meets)

    def _lips(self, cells: _Cells, lip: float) -> Iterator[Panel]:
        carcass, t = cells.carcass, cells.carcass.sheet.thickness
        x, y = (carcass.length, carcass.length + t), (-carcass.width / 2, carcass.width / 2)
        for i, (low, _) in enumerate(cells.rows if lip else ()):
            on = ("side", "bottom" if i == 0 else "shelf", *(["divider"] if self.columns > 1 else []))
            meets = tuple(Meet(to=to, face="rear") for to in on)
            yield piece("lip", carcass.sheet, x, y, (low - t, low + lip), meets=meets, grain="along")

    def _slotted(self, panel: Panel, cells: _Cells, shop: Shop) -> Panel:
        """Return a side with slots for the straps, any other panel as it is."""
        if panel.name != "side" or self.keeps != "strap" or "places" not in shop.rules:
            return panel
        return slotted(panel, cells.carcass, cells.rows, shop)

    def _hardware(self, cells: _Cells, shop: Shop) -> Iterator[Hardware]:
        if self.keeps == "strap":
            yield from straps(cells.carcass, cells.rows, shop)
        yield from to_the_body(cells.carcass, cells.columns, cells.rows, shop)

    def _promise(self, cells: _Cells, lip: float) -> Promise:
        carcass, half = cells.carcass, cells.carcass.width / 2
        front = carcass.length + (carcass.sheet.thickness if lip else 0.0)
        rooms = [(column, row) for row in cells.rows for column in cells.columns]
        openings = [box("opening", carcass.inside_x, *room) for room in rooms]
        if lip:
            over = [(column, (row[0] + lip, row[1])) for column, row in rooms]
            openings += [box("way over the lip", (carcass.length, front), *room) for room in over]
        shelves, lips = (self.rows - 1) * self.columns, self.rows if lip else 0
        counts = (("divider", self.columns - 1), ("shelf", shelves), ("lip", lips))
        return Promise(
            outside=box("outside", (0.0, front), (-half, half), (0.0, carcass.height)),
            closed=tuple(face for face in carcass.closed if face == "rear" or not lip),
            openings=tuple(openings), roles=(*carcass.roles, *counts),
            hardware=(("strap-ratchet", self.rows if self.keeps == "strap" else 0),),
        )  # fmt: skip


@dataclass(frozen=True, kw_only=True, slots=True)
class _Cells:
    """The openings of a rack: where its columns reach along y and its rows along z, mm, and the carcass round them."""

    carcass: Carcass
    columns: tuple[Span, ...]
    rows: tuple[Span, ...]

    @property
    def slots(self) -> tuple[tuple[float, float, float], ...]:
        """Return where the rear edge, the middle and the foot of each bin stand, row by row from below."""
        x = self.carcass.inside_x[0]
        return tuple((x, (right + left) / 2, low) for low, _ in self.rows for right, left in self.columns)


def _outside(takes: LiddedBin, shop: Shop, group: str, name: str) -> tuple[float, float, float]:
    """Return the sizes of a home-made bin; what is wrong with it is told of the bin itself."""
    try:
        return takes.outside(shop, name)
    except ValueFaultError:
        raise ValueFaultError(("things", group, "takes"), f"{name!r} has faults of its own: mend those first") from None


def _steps(start: float, size: float, wall: float, count: int) -> Iterator[Span]:
    for i in range(count):
        low = start + i * (size + wall)
        yield low, low + size
