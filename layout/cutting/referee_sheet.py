"""The referee's rules for one sheet; its own exact arithmetic, shared with nothing that searches."""

from __future__ import annotations

from collections.abc import Iterator

from layout.cutting.referee_numbers import (
    Box,
    Sides,
    at,
    box,
    damaged,
    down,
    factory_trims,
    near,
    on_grid,
    overlap,
    up,
    walk,
)
from layout.cutting.referee_shop import brought_home, shop_faults, shop_of
from layout.model.cutting import Cut, CutJob, CutSheet, Part, Region


def sheet_faults(job: CutJob, material: str, sheet: CutSheet) -> Iterator[str]:
    """Yield a sentence for every rule that one sheet of `material` breaks."""
    if sheet.stock.material != material:
        yield f"is a sheet of {sheet.stock.material}"
    regions = list(walk(sheet.root))
    rough = [region for region in regions if not _is_on_grid(region)]
    if rough:
        yield from (f"{at(region)} has a number off the grid" for region in rough)
        return
    whole = (down(sheet.stock.length), down(sheet.stock.width))
    if box(sheet.root) != (0, 0, *whole):
        yield f"the root is not the whole sheet {sheet.stock.length} × {sheet.stock.width}"
    yield from _numbers(regions)
    yield from shop_faults(job, sheet)
    rules = _Rules(job, material, sheet)
    for region, home in brought_home(sheet.root):
        yield from rules.inner(region, home) if region.cut or region.pieces else rules.leaf(region, home)


def _numbers(regions: list[Region]) -> Iterator[str]:
    """Check that the cuts count 1..n, each once, and that nothing is cut before it exists."""
    numbers = sorted(region.cut.number for region in regions if region.cut)
    if numbers != list(range(1, len(numbers) + 1)):
        yield f"the cuts are numbered {numbers}"
    for region in regions:
        for piece in region.pieces:
            if region.cut and piece.cut and piece.cut.number <= region.cut.number:
                yield f"{at(piece)} is cut before it is cut free"


class _Rules:
    """The rules for the regions of a sheet, with the job's lengths as steps of the grid."""

    def __init__(self, job: CutJob, material: str, sheet: CutSheet) -> None:
        self.parts = {part.name: part for part in job.parts if part.material == material}
        self.kerf, self.offcut = up(job.kerf), up(job.smallest_offcut)
        self.sheet = (down(sheet.stock.length), down(sheet.stock.width))
        self.factory = factory_trims(job, sheet.stock)
        self.damage = damaged(sheet.stock)
        shop = shop_of(job, sheet.stock)
        self.shop_trim, self.shop_kerf = (up(shop.trim), up(shop.kerf)) if shop else (0, 0)

    def inner(self, region: Region, home: Box) -> Iterator[str]:
        """Check a region that is cut: its pieces and the kerf must fill it exactly."""
        if region.kind is not None or region.part or region.turned:
            yield f"{at(region)} is cut, but is also called {region.kind or region.part or 'turned'}"
        if region.cut is None:
            yield f"{at(region)} has pieces, but no cut"
        elif region.cut.across not in ("length", "width"):
            yield f"{at(region)} is cut across {region.cut.across!r}"
        else:
            wanted = self._pieces(region, region.cut, home)
            if wanted is None:
                yield f"cut {region.cut.number}: {region.cut.at} mm with a kerf of {region.cut.kerf} mm is no cut"
            elif [box(piece) for piece in region.pieces] != wanted:
                yield f"cut {region.cut.number}: the pieces and the kerf do not fill the region exactly"

    def _pieces(self, region: Region, cut: Cut, home: Box) -> list[Box] | None:
        """Return the pieces that a cut must leave; None when there is no such cut.

        More than the kerf beyond the line: two pieces. Otherwise the blade takes what is left, the cut's
        kerf says just that, and one piece stays. A trim no wider than the kerf may be skimmed off a low edge
        of a piece that came home: at 0, its kerf the trim, and one piece stays. The shop leaves two pieces.
        """
        axis = 0 if cut.across == "length" else 1
        low, size = box(region)[axis], box(region)[axis + 2]
        place, kerf = near(cut.at), near(cut.kerf)
        if place == 0:
            trim = self._trims(home)[2 * axis]
            skims = low == home[axis] and 0 < trim <= self.kerf and kerf == trim < size and cut.by == "home"
            return [_part_of(region, axis, kerf, size - kerf)] if skims else None
        blade = self.shop_kerf if cut.by == "shop" else self.kerf
        if not 0 < place < size or kerf != min(blade, size - place):
            return None
        spans = [(0, place), (place + kerf, size - place - kerf)]
        return [_part_of(region, axis, start, long) for start, long in spans if long]

    def _trims(self, home: Box) -> Sides:
        """Return what must come off the left, right, bottom and top edge of a piece that came home."""
        left, right, bottom, top = self.factory
        return (
            self.shop_trim if home[0] > 0 else left,
            self.shop_trim if home[0] + home[2] < self.sheet[0] else right,
            self.shop_trim if home[1] > 0 else bottom,
            self.shop_trim if home[1] + home[3] < self.sheet[1] else top,
        )

    def leaf(self, region: Region, home: Box) -> Iterator[str]:
        """Check a region that is not cut: a part as ordered, or an offcut or waste as its size and damage say."""
        _, _, length, width = box(region)
        if length <= 0 or width <= 0:
            yield f"{at(region)} has no size"
        spoiled = any(overlap(box(region), damage) for damage in self.damage)
        if region.kind == "part":
            yield from self._ordered(region, home)
            if spoiled:
                yield f"part {region.part!r} at {region.x}, {region.y} has damage of the sheet"
            return
        kind = "offcut" if min(length, width) >= self.offcut and not spoiled else "waste"
        if region.kind != kind:
            yield f"{at(region)} is called {region.kind}, but is {kind}"
        if region.part or region.turned:
            yield f"{at(region)} is {region.kind}, but is named {region.part!r} or turned"

    def _ordered(self, region: Region, home: Box) -> Iterator[str]:
        part = self.parts.get(region.part)
        if part is None:
            yield f"{at(region)} is part {region.part!r}, which this material has not"
            return
        wanted = (up(part.length), up(part.width))
        if box(region)[2:] != (wanted[::-1] if region.turned else wanted):
            yield f"{at(region)} is part {part.name!r}, but not {part.length} × {part.width} mm"
        if not _grain_right(part, region.turned):
            yield f"part {part.name!r} lies {'turned' if region.turned else 'straight'}, its grain is {part.grain}"
        x, y, length, width = box(region)
        free = (x - home[0], home[0] + home[2] - x - length, y - home[1], home[1] + home[3] - y - width)
        edges = zip(("left", "right", "bottom", "top"), free, self._trims(home), strict=True)
        for edge, distance, trim in edges:
            if distance < trim:
                yield f"part {part.name!r} at {region.x}, {region.y} lies within the trim of the {edge} edge"


def _grain_right(part: Part, turned: bool) -> bool:
    return part.grain == "free" or turned == (part.grain == "across")


def _part_of(region: Region, axis: int, start: int, long: int) -> Box:
    x, y, length, width = box(region)
    return (x + start, y, long, width) if axis == 0 else (x, y + start, length, long)


def _is_on_grid(region: Region) -> bool:
    cut = (region.cut.at, region.cut.kerf) if region.cut else ()
    return all(map(on_grid, (region.x, region.y, region.length, region.width, *cut)))
