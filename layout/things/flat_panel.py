"""Panel: any flat piece by its own outline, for what no other kind covers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from shapely.geometry import Polygon, box

from layout.model.building import Promise
from layout.model.cutting import Grain
from layout.model.solid import Solid
from layout.model.solid import box as solid_box
from layout.model.thing import Thing
from layout.things.base import Described, Shop, need
from layout.things.shaped import Plane, shaped
from layout.units.fields import Coordinate, Gap, Name, Size

Corner = tuple[Coordinate, Coordinate]
_PLANES: dict[str, Plane] = {"flat": "z", "across": "x", "along": "y"}
_SMALLEST = 3  # corners


@dataclass(frozen=True, kw_only=True, slots=True)
class FlatPanel(Described):
    """One panel by its `length` and `width`, or by `corners` [along its length, along its width] in order.

    `holes` are rings of corners, from the same place. It lies `flat`, its length along the space; or stands `across`
    the space, its length from right to left, or `along` it; its width is upright then. When `turned`, length and width
    change places. It is sawn `oversize` larger where it is to be cut to fit. The sheet makes its thickness.
    """

    kind: Literal["panel"]
    sheet: Name
    length: Size | None = None
    width: Size | None = None
    corners: tuple[Corner, ...] | None = None
    holes: tuple[tuple[Corner, ...], ...] = ()
    stands: Literal["flat", "across", "along"] = "flat"
    turned: Literal["yes", "no"] = "no"
    grain: Grain = "along"
    oversize: Gap = 0.0

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)

    def __post_init__(self) -> None:
        """Refuse a panel that says its outline twice or not at all.

        Raises
        ------
        ValueError
            Saying what to write.
        """
        sizes = (self.length is not None, self.width is not None)
        if any(sizes) != all(sizes) or all(sizes) == (self.corners is not None):
            raise ValueError("give either length: and width:, or corners: [[along, across], ...]")

    def make(self, name: str, group: str, shop: Shop) -> Thing:
        """Return the panel in its own axes.

        Raises
        ------
        ValueFaultError
            When its outline or a hole crosses itself, or a hole reaches beyond the outline.
        """
        sheet, plane = shop.sheet(group, self.sheet), _PLANES[self.stands]
        x0, y0, x1, y1 = self._shape(group).bounds
        text = f"{sheet.thickness:g} thick, but the panel only {min(x1 - x0, y1 - y0):g} wide; more, or a thinner sheet"
        need(min(x1 - x0, y1 - y0) > sheet.thickness, group, "sheet", text)
        shape = self._standing(self._shape(group))
        along = ("y" if self.stands == "across" else "x") if self.turned == "no" else ("y" if plane == "z" else "z")
        low = -sheet.thickness / 2 if plane == "y" else 0.0
        panel = shaped(
            "panel", sheet, shape, low, plane, along=along, grain=self.grain, oversize=self.oversize,  # type: ignore[arg-type]  # axes as above
        )  # fmt: skip
        outside = _outside(shape, plane, sheet.thickness)
        return Thing(
            name=name, group=group, kind=self.kind, solids=panel.solids, mass_kg=panel.mass_kg, panels=(panel,),
            promise=Promise(outside=outside, roles=(("panel", 1),), grains=(("panel", self.grain),)),
        )  # fmt: skip

    def _shape(self, group: str) -> Polygon:
        """Return the outline with its holes, along its length first, as the file says it."""
        if self.corners is None:
            ring: Sequence[Corner] = box(0.0, 0.0, self.length or 0.0, self.width or 0.0).exterior.coords[:-1]
        else:
            ring = self.corners
        need(_is_ring(ring), group, "corners", "the outline crosses itself or encloses nothing")
        for hole in self.holes:
            inside = _is_ring(hole) and Polygon(ring).contains_properly(Polygon(hole))
            need(inside, group, "holes", "a hole crosses itself, or reaches to the edge of the panel or beyond")
        shape = Polygon(ring, self.holes)
        need(shape.is_valid, group, "holes", "two holes reach into each other")
        return shape

    def _standing(self, shape: Polygon) -> Polygon:
        """Return the outline in the two axes of its plane: y about its middle, x and heights from nought."""
        x0, y0, x1, y1 = shape.bounds
        rings = [
            [(u - x0, v - y0) if self.turned == "no" else (v - y0, u - x0) for u, v in ring.coords]
            for ring in (shape.exterior, *shape.interiors)
        ]
        wide = (x1 - x0, y1 - y0) if self.turned == "no" else (y1 - y0, x1 - x0)
        shift = {"flat": (0.0, -wide[1] / 2), "across": (-wide[0] / 2, 0.0), "along": (0.0, 0.0)}[self.stands]
        moved = [[(a + shift[0], b + shift[1]) for a, b in ring] for ring in rings]
        return Polygon(moved[0], moved[1:])


def _is_ring(corners: Sequence[Corner]) -> bool:
    if len(corners) < _SMALLEST:
        return False
    ring = Polygon(corners)
    return bool(ring.is_valid and ring.area > 0)


def _outside(shape: Polygon, plane: Plane, thickness: float) -> Solid:
    x0, y0, x1, y1 = shape.bounds
    if plane == "z":
        return solid_box("outside", (x0, x1), (y0, y1), (0.0, thickness))
    if plane == "x":
        return solid_box("outside", (0.0, thickness), (x0, x1), (y0, y1))
    return solid_box("outside", (x0, x1), (-thickness / 2, thickness / 2), (y0, y1))
