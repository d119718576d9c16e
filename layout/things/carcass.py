"""Carcass: a box of panels that is open at its front, told by its outside and how its panels meet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from layout.model.building import Hardware
from layout.model.cutting import Grain
from layout.model.motion import Face
from layout.model.panel import JointKind, Panel, Sheet
from layout.model.solid import Solid, box
from layout.things.base import Described, Shop, Span, need
from layout.things.piece import Meet, cut_depth, in_plane, piece, sheet_of
from layout.units.fields import Gap, Name, Size

Back = Literal["groove", "rebate", "planted", "none"]
Cut = Literal["butt", "groove", "housing"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Carcass:
    """Two sides from the floor up, bottom and top between them, and a back; x from its rear, y about its middle.

    `length`, `width`, `height` are its outside, mm, up to the front edges. Bottom and top meet the sides by `joint`,
    `depth` mm deep. The back is planted on the rear edges, lies in a rebate there, or in a groove `inset` from them,
    both `back_depth` deep. `toe` is the height and depth of a space for toes. `grains` are those of what is seen
    outside and of the rest; `band` the thickness of the band on the front edges.
    """

    sheet: Sheet
    length: float
    width: float
    height: float
    joint: Cut = "butt"
    depth: float = 0.0
    back: Back = "none"
    back_sheet: Sheet | None = None
    back_depth: float = 0.0
    inset: float = 0.0
    toe: tuple[float, float] | None = None
    grains: tuple[Grain, Grain] = ("along", "free")
    band: float = 0.0

    @property
    def back_thickness(self) -> float:
        """Return how thick the back is, 0 without one, mm."""
        return self.back_sheet.thickness if self.back_sheet else 0.0

    @property
    def foot(self) -> float:
        """Return how high the underside of the bottom is, mm."""
        return self.toe[0] if self.toe else 0.0

    @property
    def x(self) -> Span:
        """Return from where to where sides, bottom and top reach."""
        return (self.back_thickness if self.back == "planted" else 0.0), self.length

    @property
    def inside_x(self) -> Span:
        """Return from the face of the back to the front edges."""
        return self.back_thickness + (self.inset if self.back == "groove" else 0.0), self.length

    @property
    def inside_y(self) -> Span:
        """Return from side to side."""
        half = self.width / 2 - self.sheet.thickness
        return -half, half

    @property
    def inside_z(self) -> Span:
        """Return from the bottom's upper face to the top's lower one."""
        t = self.sheet.thickness
        return self.foot + t, self.height - t

    @property
    def outside(self) -> Solid:
        """Return the box that it fills."""
        return box("outside", (0.0, self.length), (-self.width / 2, self.width / 2), (0.0, self.height))

    @property
    def closed(self) -> tuple[Face, ...]:
        """Return the faces that its panels cover wholly."""
        rear: tuple[Face, ...] = ("rear",) if self.back in ("planted", "rebate") and not self.toe else ()
        around: tuple[Face, ...] = ("top",) if self.toe else ("left", "right", "top", "bottom")
        return *rear, *around

    @property
    def roles(self) -> tuple[tuple[str, int], ...]:
        """Return how many panels of each role there are."""
        some = (("back", self.back != "none"), ("kick", self.toe is not None))
        return ("side", 2), ("bottom", 1), ("top", 1), *((role, int(there)) for role, there in some)

    def refuse(self, group: str, least: float) -> None:
        """Refuse sizes that leave no opening of `least` mm inside.

        Raises
        ------
        ValueFaultError
            Naming the size, and what it must be at least.
        """
        spans = {"length": self.inside_x, "width": self.inside_y, "height": self.inside_z}
        for key, (low, high) in spans.items():
            short = least - (high - low)
            outside = getattr(self, key) + short
            text = f"leaves {max(high - low, 0):.4g} inside in sheet {self.sheet.thickness:g} thick; at least "
            need(short <= 0, group, key, f"{text}{outside:.4g} outside")
        if self.toe:
            deep = self.inside_x[1] - self.inside_x[0] - self.sheet.thickness
            need(self.toe[1] < deep, group, "toe", f"{self.toe[1]:g} deep, but less than {deep:.4g} is there")

    def panels(self) -> tuple[Panel, ...]:
        """Return its panels: back, sides, bottom, top, and the kick board of a toe space."""
        return *self._back(), *self._sides(), *self._ends(), *self._kick()

    def inner(
        self, name: str, y: Span, z: Span, meets: tuple[Meet, ...], *, short: float = 0.0, loose: bool = False
    ) -> Panel:
        """Return a shelf or a divider, from the back to `short` mm behind the front edges."""
        x = (self.inside_x[0], self.inside_x[1] - short)
        behind = (Meet(to="back", face="rear", kind="loose" if loose else "butt"),) if self.back != "none" else ()
        return piece(
            name, self.sheet, x, y, z, meets=(*meets, *behind), grain=self.grains[1],
            bands=(("front",), self.band),
        )  # fmt: skip

    def _back(self) -> Iterator[Panel]:
        sheet = self.back_sheet
        if sheet is None:
            return
        x = (self.inside_x[0] - sheet.thickness, self.inside_x[0])
        if self.back == "planted":
            spans = (-self.width / 2, self.width / 2), (0.0, self.height)
        else:
            spans = _wider(self.inside_y, self.back_depth), _wider(self.inside_z, self.back_depth)
        kinds: dict[Back, JointKind] = {"groove": "groove", "rebate": "rebate"}
        kind = kinds.get(self.back, "butt")
        ways: tuple[Face, ...] = ("front",) * 3 if kind == "butt" else ("left", "bottom", "top")
        meets = [
            Meet(to=to, face=face, kind=kind, depth=self.back_depth)
            for to, face in zip(("side", "bottom", "top"), ways, strict=True)
        ]
        yield piece("back", sheet, x, *spans, meets=meets, grain=self.grains[1], good="high")

    def _sides(self) -> Iterator[Panel]:
        t, half = self.sheet.thickness, self.width / 2
        for y, good in ((-half, "low"), (half - t, "high")):
            side = piece(
                "side", self.sheet, self.x, (y, y + t), (0.0, self.height), grain=self.grains[0],
                good="low" if good == "low" else "high", bands=(("front",), self.band),
            )  # fmt: skip
            yield self._notched(side)

    def _notched(self, side: Panel) -> Panel:
        """Return the side with the space for toes sawn out of its lower front corner."""
        if self.toe is None:
            return side
        (high, deep), (rear, front), (y, _) = self.toe, self.x, self.inside_y
        ring = [(rear, 0.0), (front - deep, 0.0), (front - deep, high), (front, high), (front, self.height),
                (rear, self.height)]  # fmt: skip
        return replace(side, outline=in_plane(side, [(x, y, z) for x, z in ring]))

    def _ends(self) -> Iterator[Panel]:
        t, y = self.sheet.thickness, _wider(self.inside_y, self.depth)
        meets = (Meet(to="side", face="left", kind=self.joint, depth=self.depth),)
        bottom, top = self.foot, self.height - t
        for name, z, grain in (("bottom", bottom, self.grains[1]), ("top", top, self.grains[0])):
            yield piece(
                name, self.sheet, self.x, y, (z, z + t), meets=meets, grain=grain, bands=(("front",), self.band)
            )

    def _kick(self) -> Iterator[Panel]:
        if self.toe:
            high, deep = self.toe
            x = (self.length - deep - self.sheet.thickness, self.length - deep)
            meets = (Meet(to="side", face="left"), Meet(to="bottom", face="top"))
            yield piece(
                "kick", self.sheet, x, self.inside_y, (0.0, high), meets=meets, grain=self.grains[0], good="high"
            )


def _wider(span: Span, by: float) -> Span:
    return span[0] - by, span[1] + by


@dataclass(frozen=True, kw_only=True, slots=True)
class Cased(Described):
    """What may be said of every kind that is made of a carcass with an outside of its own.

    `length` is its depth from rear to front, what is on the front included; `width` and `height` its other sizes. The
    back is of `back_sheet` (of `sheet` without one). `groove` is the depth of grooves, housings and rebates. `toe` is
    [height, depth] of a space for toes. `grain` is that of what is seen, along the longer side of each panel; `band`
    the thickness of the band on front edges. `gap` is kept round fronts. `person` is the depth of the room for
    whoever opens it.
    """

    length: Size
    width: Size
    height: Size
    sheet: Name
    joint: Cut = "butt"
    groove: Size | None = None
    back: Back = "groove"
    back_sheet: Name | None = None
    toe: tuple[Size, Size] | None = None
    grain: Grain = "along"
    band: Gap = 0.0
    gap: Gap | None = None
    person: Gap = 0.0

    def carcass(self, shop: Shop, group: str, front: float) -> Carcass:
        """Return the carcass behind fronts `front` mm thick.

        Raises
        ------
        ValueFaultError
            When the sizes leave no opening, a groove is too deep, or a sheet is not in the workshop.
        """
        sheet = shop.sheet(group, self.sheet)
        deep = cut_depth(shop, group, self.groove, sheet.thickness)
        material = self.back_sheet or self.sheet
        made = Carcass(
            sheet=sheet, length=self.length - front, width=self.width, height=self.height, joint=self.joint,
            depth=deep if self.joint != "butt" else 0.0, back=self.back, toe=self.toe, band=self.band,
            back_sheet=sheet_of(shop, group, "back_sheet", material) if self.back != "none" else None,
            back_depth=deep if self.back in ("groove", "rebate") else 0.0, inset=shop.number("carcass", "inset"),
            grains=(self.grain, "free"),
        )  # fmt: skip
        made.refuse(group, shop.number("carcass", "least"))
        return made

    def front_gap(self, shop: Shop, group: str, thickness: float) -> float:
        """Return the gap round fronts, mm, which the front edges of a carcass `thickness` mm thick cover."""
        gap = shop.number("fronts", "gap") if self.gap is None else self.gap
        need(gap < thickness, group, "gap", f"{gap:g} is as wide as the sheet is thick; less than {thickness:g}")
        return gap


def fastenings(shop: Shop) -> tuple[Hardware, ...]:
    """Return what holds a unit to the body of the vehicle; nothing in a shop without numbers."""
    if "carcass" not in shop.rules:
        return ()
    points = round(shop.number("carcass", "points"))
    why = "holds it to the body"
    return Hardware(item="insert-m8-body", count=points, why=why), Hardware(item="bolt-m8x40", count=points, why=why)
