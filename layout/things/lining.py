"""Lining: one side wall, or the ceiling, in flat panels between the places where it bends."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import ceil
from typing import Literal

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from layout.model.building import Hardware, Promise
from layout.model.panel import Panel, Sheet
from layout.model.solid import Solid, box
from layout.model.thing import Thing
from layout.space.space import Space
from layout.things.base import Described, Shop, Span, need
from layout.things.follow import FAR
from layout.things.shaped import beside, shaped, unit
from layout.things.surfaces import roof_openings, roof_shape, wall_openings, wall_shape
from layout.things.tiling import Limits, cells, joints, limits, rows
from layout.things.unrolled import (
    Facets,
    RoofFacets,
    WallFacets,
    bends,
    longer,
    ridges,
    roof_facets,
    twist,
    wall_facets,
)
from layout.units.fields import Coordinate, Gap, Mass, Name, Size

Range = tuple[Coordinate, Coordinate]
Named = tuple[tuple[str, Polygon], ...]
NAME = "lining"
_SPECK = 1.0  # mm² that is no piece
_EXACT = 0.05  # mm of strain that no saw meets


@dataclass(frozen=True, kw_only=True, slots=True)
class Cutout:
    """An opening for a window, a fan or a lamp: from `x` to `x`, and from `z` to `z` in a wall, `y` in the ceiling."""

    x: Range
    y: Range | None = None
    z: Range | None = None

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)

    def __post_init__(self) -> None:
        """Refuse an opening that says both or neither, or has no size.

        Raises
        ------
        ValueError
            Saying what to write.
        """
        if (self.y is None) == (self.z is None):
            raise ValueError("an opening has an x: and, in a wall, a z:, in the ceiling a y:")
        if any(span and span[0] >= span[1] for span in (self.x, self.y, self.z)):
            raise ValueError("x:, y: and z: of an opening rise: [rear, front], [right, left], [foot, top]")


@dataclass(frozen=True, kw_only=True, slots=True)
class Lining(Described):
    """The lining of one `surface` of the space, in the build-up that the space gives it.

    A wall is lined in strips between the heights at which it bends, the ceiling between the places where the roof does;
    `x` and, for a wall, `z` limit it. Panels stop `gap` short of floor, ceiling, ends, doors, windows and wheel wells,
    or are sawn `oversize` larger there; `openings` are sawn out besides. They are no larger than a `piece` (length and
    width), no heavier than `heaviest`, and meet on one of the `ribs` (their x) where those are given. Its own axes
    are those of the surface laid out flat: x along, y up the wall, or across the ceiling.
    """

    kind: Literal["lining"]
    surface: Literal["left", "right", "ceiling"]
    sheet: Name
    x: Range | None = None
    z: Range | None = None
    gap: Gap | None = None
    piece: tuple[Size, Size] | None = None
    heaviest: Mass | None = None
    ribs: tuple[Coordinate, ...] = ()
    openings: tuple[Cutout, ...] = ()
    oversize: Gap = 0.0

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)

    def make(self, name: str, group: str, shop: Shop) -> Thing:
        """Return the lining as its panels laid out flat, in the build-up.

        Raises
        ------
        ValueFaultError
            When openings leave it in several places, or it cannot be divided.
        """
        need(self.count == 1, group, "count", "a surface has one lining")
        plan = _planned(self, group, shop)
        flat = tuple(plan.facets.laid(shape) for shape in plan.shapes)
        loose = Thing(
            name=name, group=group, kind=self.kind, solids=(), panels=tuple(plan.panels(flat)), in_build_up=True,
            hardware=tuple(plan.hardware(flat)), promise=plan.promise(flat),
        )  # fmt: skip
        return replace(unit(loose), home=plan.home)


def _planned(spec: Lining, group: str, shop: Shop) -> _Plan:
    space, sheet = shop.room(group), shop.sheet(group, spec.sheet)
    gap = shop.number("following", "gap") if spec.gap is None else spec.gap
    surface, taken = _surface(spec, group, space, gap)
    taken = (*taken, *_own(spec, group))
    free = surface.difference(shapely.union_all([shape for _, shape in taken]))
    parts = sorted((p for p in shapely.get_parts(free) if p.area > _SPECK), key=lambda p: p.bounds)
    spans = ", ".join(f"{part.bounds[0]:.0f} to {part.bounds[2]:.0f}" for part in parts)
    text = f"{len(parts)} surfaces to line, not one; give each a lining of its own, limited by x: or z: ({spans})"
    need(len(parts) == 1, group, "x", text)
    whole, facets = parts[0], _facets(spec, space, parts[0])
    word, left = (
        ("ceiling", space.ceiling_build_up) if isinstance(facets, RoofFacets) else ("walls", space.wall_build_up)
    )
    deep = f"{sheet.thickness:g} thick, but space: build_up: {word}: leaves it {left:g}"
    need(sheet.thickness <= left + 1e-9, group, "sheet", deep)
    shapes = tuple(_pieces(spec, group, shop, facets, whole))
    return _Plan(spec=spec, shop=shop, sheet=sheet, facets=facets, whole=whole, shapes=shapes, taken=taken)


def _surface(spec: Lining, group: str, space: Space, gap: float) -> tuple[BaseGeometry, Named]:
    """Return what can be lined, nothing taken out, and what is taken out of it by name."""
    x, z = spec.x or (-FAR, FAR), spec.z or (0.0, FAR)
    need(x[0] < x[1] and z[0] < z[1], group, "x", "x: [rear, front] and z: [foot, top] must rise")
    if spec.surface == "ceiling":
        need(spec.z is None, group, "z", "belongs to a wall; the ceiling is limited by x: only")
        return roof_shape(space, x, gap), tuple(roof_openings(space, gap))
    left = spec.surface == "left"
    return wall_shape(space, x, z, gap, left=left), tuple(wall_openings(space, gap, left=left))


def _own(spec: Lining, group: str) -> Iterator[tuple[str, Polygon]]:
    """Yield the openings that the file gives."""
    key = "y" if spec.surface == "ceiling" else "z"
    for i, opening in enumerate(spec.openings, 1):
        other: Range | None = getattr(opening, key)
        need(other is not None, group, "openings", f"in this surface an opening has x: and {key}:")
        if other:
            yield f"opening {i}", shapely.box(opening.x[0], other[0], opening.x[1], other[1])


def _facets(spec: Lining, space: Space, whole: Polygon) -> WallFacets | RoofFacets:
    x0, low, x1, high = whole.bounds
    if spec.surface == "ceiling":
        return roof_facets(space.roof, (x0, x1))
    left = spec.surface == "left"
    return wall_facets(space.left if left else space.right, (x0, x1), (low, high), left=left)


def _pieces(spec: Lining, group: str, shop: Shop, facets: WallFacets | RoofFacets, whole: Polygon) -> Iterator[Polygon]:
    """Yield the panels in the two coordinates of the surface, strip by strip."""
    limit, ridge = limits(shop, group, shop.sheet(group, spec.sheet), spec), shop.number("coverings", "ridge")
    cuts = ridges(facets, ridge)
    away: list[float] = []
    for strip in pairwise(_strips(facets, whole, limit, (ridge, shop.number("coverings", "sliver")))):
        met: list[float] = []
        for part in cells(whole, (-FAR, FAR), strip):
            x0, _, x1, _ = part.bounds
            for stretch in pairwise((x0, *(at for at in cuts if x0 < at < x1), x1)):
                longest = _longest(facets, stretch, strip, limit, shop.number("coverings", "twist"))
                edges = joints(stretch, longest, spec.ribs or None, away, limit.stagger) or ()
                need(bool(edges), group, "ribs", f"joints on ribs leave no panels under {longest:.0f} long; add ribs")
                yield from (cell for u in pairwise(edges) for cell in cells(part, u, strip))
                met += edges[1:-1]
        away = met


def _strips(facets: WallFacets | RoofFacets, whole: Polygon, limit: Limits, flat: Span) -> tuple[float, ...]:
    """Return the edges of the strips: where a wall bends and where a sheet ends, or rows across the ceiling."""
    _, low, _, high = whole.bounds
    if isinstance(facets, RoofFacets):
        return rows(low, high, limit)
    edges = [low]
    for z0, z1 in pairwise(bends(facets, *flat)):
        tall = max(facets.flat((x, z1))[1] - facets.flat((x, z0))[1] for x in facets.first)
        count = ceil(tall / limit.width - 1e-9)
        edges += [z0 + (z1 - z0) * i / count for i in range(1, count + 1)]
    return tuple(edges)


def _longest(facets: WallFacets | RoofFacets, x: Span, z: Span, limit: Limits, most: float) -> float:
    """Return how long a panel of a strip may be along the room: for the sheet, for who lifts it, and for its twist."""
    tall = facets.flat((x[0], z[1]))[1] - facets.flat((x[0], z[0]))[1]
    longest = limit.longest(tall) / longer(facets)
    twisted = twist(facets, x, z) if isinstance(facets, WallFacets) else 0.0
    return min(longest, (x[1] - x[0]) / ceil(twisted / most)) if twisted > most else longest


@dataclass(frozen=True, kw_only=True, slots=True)
class _Plan:
    """A lining worked out: its facets, its pieces in the two coordinates of the surface, what is left free in it."""

    spec: Lining
    shop: Shop
    sheet: Sheet
    facets: Facets
    whole: Polygon
    shapes: tuple[Polygon, ...]
    taken: Named

    @property
    def home(self) -> tuple[float, float, float]:
        """Return a place in the middle of the surface's rear edge: laid out flat it stands nowhere exactly."""
        x0, low, _, high = self.whole.bounds
        return self.facets.point((x0, (low + high) / 2))

    def panels(self, flat: Sequence[Polygon]) -> Iterator[Panel]:
        """Yield the panels, laid out flat; larger to saw at the rim, and where the surface is not quite flat."""
        good: Literal["high", "low"] = "high" if self.spec.surface == "left" else "low"
        for i, (shape, lying) in enumerate(zip(self.shapes, flat, strict=True)):
            at_the_rim = shape.boundary.intersection(self.whole.boundary).length > _SPECK
            strain = self.facets.strain(shape)
            over = max(self.spec.oversize if at_the_rim else 0.0, ceil(strain) if strain > _EXACT else 0.0)
            panel = shaped(
                f"{NAME} {i + 1}", self.sheet, lying, 0.0, "z", role=NAME, grain="free", good=good, oversize=over
            )
            yield beside(panel, shape, (*self.shapes[:i], *self.shapes[i + 1 :]), NAME)

    def hardware(self, flat: Sequence[Polygon]) -> Iterator[Hardware]:
        """Yield the screws along both long edges of each panel."""
        every = self.shop.number("coverings", "screws")
        longs = (max(x1 - x0, y1 - y0) for x0, y0, x1, y1 in (shape.bounds for shape in flat))
        count = sum(2 * (ceil(long / every) + 1) for long in longs)
        yield Hardware(item="screw-3.5x30", count=count, why="lining to ribs and battens of the body")

    def promise(self, flat: Sequence[Polygon]) -> Promise:
        """Return what it promises: the box of the surface laid flat, and that doors, wells and openings are free."""
        x0, y0, x1, y1 = shapely.total_bounds(list(flat)).tolist()
        z = (0.0, self.sheet.thickness)
        return Promise(
            outside=box("outside", (x0, x1), (y0, y1), z), roles=((NAME, len(self.shapes)),),
            openings=tuple(self._openings(z)), grains=((NAME, "free"),),
        )  # fmt: skip

    def _openings(self, z: Span) -> Iterator[Solid]:
        around = shapely.box(*self.whole.bounds)
        for name, shape in self.taken:
            for part in shapely.get_parts(shape.intersection(around)):
                if part.area > _SPECK:
                    ring = self.facets.laid(part).exterior.coords[:-1]
                    yield Solid(name=name, outline=tuple((float(x), float(y)) for x, y in ring), z0=z[0], z1=z[1])
