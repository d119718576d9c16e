"""Floor panels: the whole floor in sheets, on battens or floating, round wheel wells and holes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil
from typing import Literal

import shapely
from shapely.geometry import Polygon

from layout.model.building import Bar, Batten, Hardware, Promise
from layout.model.panel import Joint, Panel, Sheet
from layout.model.solid import Solid, box
from layout.model.thing import Thing
from layout.things.base import Described, Shop, need
from layout.things.follow import clear_spans
from layout.things.shaped import beside, shaped, unit
from layout.things.tiling import Limits, limits, tiles
from layout.units.fields import Gap, Mass, Name, Size

NAME, BATTEN = "floor panel", "floor batten"
_SPECK = 1.0  # mm² of contact that is none


@dataclass(frozen=True, kw_only=True, slots=True)
class FloorPanels(Described):
    """The floor of the space, its top at the finished height, in the build-up that the space gives it.

    Panels stop `gap` short of walls, ends and wheel wells, or are sawn `oversize` larger there, and end flush at holes.
    They are no larger than a `piece` (length and width) and no heavier than `heaviest`, their length `along` the space
    or `across` it, in rows whose joints are staggered. With a `bar` they lie on battens across their length, at most
    `spacing` apart, and their end joints on those; without one they float.
    """

    kind: Literal["floor panels"]
    sheet: Name
    gap: Gap | None = None
    piece: tuple[Size, Size] | None = None
    heaviest: Mass | None = None
    lay: Literal["along", "across"] = "along"
    bar: Name | None = None
    spacing: Size | None = None
    oversize: Gap = 0.0

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)

    def make(self, name: str, group: str, shop: Shop) -> Thing:
        """Return the floor as its panels and battens, in the build-up.

        Raises
        ------
        ValueFaultError
            When the build-up is too thin for it, or it cannot be divided as asked.
        """
        need(self.count == 1, group, "count", "a space has one floor")
        plan = _planned(self, group, shop)
        outside, roles = plan.outside, ((NAME, len(plan.shapes)), (BATTEN, len(plan.battens)))
        loose = Thing(
            name=name, group=group, kind=self.kind, solids=(), panels=plan.panels, battens=plan.battens,
            hardware=tuple(plan.hardware()), in_build_up=True,
            promise=Promise(outside=outside, openings=tuple(plan.openings()), roles=roles, grains=((NAME, "free"),)),
        )  # fmt: skip
        return unit(loose)


def _planned(spec: FloorPanels, group: str, shop: Shop) -> _Plan:
    space, sheet, number = shop.room(group), shop.sheet(group, spec.sheet), shop.number
    bar = shop.bar(group, spec.bar) if spec.bar else None
    deep = sheet.thickness + (bar.section[0] if bar else 0.0)
    text = f"is {deep:g} deep with what is under it, but space: build_up: floor: leaves it {space.floor_build_up:g}"
    need(deep <= space.floor_build_up + 1e-9, group, "sheet", text)
    gap = number("following", "gap") if spec.gap is None else spec.gap
    holes = shapely.union_all([Polygon(hole.outline) for hole in space.holes])
    whole = space.region(0.0).buffer(-gap, join_style="mitre").difference(holes)
    parts = [part for part in shapely.get_parts(whole) if part.area > _SPECK]
    need(len(parts) == 1, group, "gap", f"the floor is in {len(parts)} places, so one floor of panels it is not")
    plan = _Plan(
        spec=spec, shop=shop, sheet=sheet, bar=bar, whole=parts[0], gap=gap,
        limit=limits(shop, group, sheet, spec),
    )  # fmt: skip
    need(bool(plan.shapes), group, "spacing", "no joints on battens leave pieces small enough; bring spacing: down")
    return plan


@dataclass(frozen=True, kw_only=True, slots=True)
class _Plan:
    """A floor worked out: its whole shape (x, y), and how it is divided."""

    spec: FloorPanels
    shop: Shop
    sheet: Sheet
    bar: Bar | None
    whole: Polygon
    gap: float
    limit: Limits

    @property
    def across(self) -> bool:
        return self.spec.lay == "across"

    def _laid(self, shape: Polygon) -> Polygon:
        """Return a shape with the length of the panels as its first axis, or one of those as it was."""
        return shapely.transform(shape, lambda points: points[:, ::-1]) if self.across else shape

    @property
    def marks(self) -> tuple[float, ...] | None:
        """Return the middles of the battens along the length of the panels; None without battens."""
        if self.bar is None:
            return None
        low, _, high, _ = self._laid(self.whole).bounds
        wide = self.bar.section[1]
        every = self.shop.number("coverings", "spacing") if self.spec.spacing is None else self.spec.spacing
        first, last = low + wide / 2, high - wide / 2
        fields = max(1, ceil((last - first) / every - 1e-9))
        return tuple(first + (last - first) * i / fields for i in range(fields + 1))

    @property
    def shapes(self) -> tuple[Polygon, ...]:
        found = tiles(self._laid(self.whole), self.limit, self.marks)
        return tuple(self._laid(shape) for shape in found or ())

    @property
    def battens(self) -> tuple[Batten, ...]:
        return tuple(self._battens())

    def _battens(self) -> Iterator[Batten]:
        if self.bar is None:
            return
        deep, wide = self.bar.section
        z = (-self.sheet.thickness - deep, -self.sheet.thickness)
        least, laid = self.shop.number("following", "cleat"), self._laid(self.whole)
        for mark in self.marks or ():
            at = (mark - wide / 2, mark + wide / 2)
            for span in clear_spans(laid, at, least=least, upright=True):
                x, y = (span, at) if self.across else (at, span)
                yield Batten(name=BATTEN, bar=self.bar, solid=box(BATTEN, x, y, z), length=span[1] - span[0])

    @property
    def panels(self) -> tuple[Panel, ...]:
        return tuple(self._panel(i, shape) for i, shape in enumerate(self.shapes))

    def _panel(self, i: int, shape: Polygon) -> Panel:
        at_the_rim = shape.boundary.intersection(self.whole.boundary).length > _SPECK
        on = (Joint(kind="batten", to=BATTEN),) if self._lies_on_battens(shape) else ()
        panel = shaped(
            f"{NAME} {i + 1}", self.sheet, shape, -self.sheet.thickness, "z", along="y" if self.across else "x",
            role=NAME, grain="free", joints=on, oversize=self.spec.oversize if at_the_rim else 0.0,
        )  # fmt: skip
        others = (*self.shapes[:i], *self.shapes[i + 1 :])
        return beside(panel, shape, others, NAME)

    def _lies_on_battens(self, shape: Polygon) -> bool:
        plans = (shapely.box(*batten.solid.bounds) for batten in self.battens)
        return any(plan.intersection(shape).area > _SPECK for plan in plans)

    @property
    def outside(self) -> Solid:
        """Return the box of the floor with its battens."""
        x0, y0, x1, y1 = self.whole.bounds
        deep = self.sheet.thickness + (self.bar.section[0] if self.bar and self.battens else 0.0)
        return box("outside", (x0, x1), (y0, y1), (-deep, 0.0))

    def openings(self) -> Iterator[Solid]:
        """Yield what the floor leaves free: wheel wells and what else stands on it, and holes."""
        space, z = self.shop.room(""), (-self.sheet.thickness, 0.0)
        for obstacle in space.obstacles:
            if obstacle.z0 <= 0:
                yield Solid(name=obstacle.name, outline=obstacle.outline, z0=z[0], z1=z[1])
        yield from (Solid(name=hole.name, outline=hole.outline, z0=z[0], z1=z[1]) for hole in space.holes)

    def hardware(self) -> Iterator[Hardware]:
        """Yield what holds the battens to the body; a floor that floats is held by what stands on it."""
        every = self.shop.number("following", "fasten") if self.battens else 1.0
        points = sum(max(2, ceil(batten.length / every) + 1) for batten in self.battens)
        if points:
            yield Hardware(item="insert-m8-body", count=points, why="floor battens to the body")
            yield Hardware(item="bolt-m8x40", count=points, why="floor battens to the body")
