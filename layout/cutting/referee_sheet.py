"""The referee's rules for one sheet; its own exact arithmetic, shared with nothing that searches."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

from layout.model.cutting import Cut, CutJob, CutSheet, Part, Region, Stock

# The grid on which plans are made: an eighth of a micrometre. A float may miss a place on it by a little.
_STEP = Fraction(1, 8000)
_MISS = Fraction(1, 1000)


def sheet_faults(job: CutJob, material: str, sheet: CutSheet) -> Iterator[str]:
    """Yield a sentence for every rule that one sheet of `material` breaks."""
    if sheet.stock.material != material:
        yield f"is a sheet of {sheet.stock.material}"
    regions = list(_walk(sheet.root))
    rough = [region for region in regions if not _on_grid(region)]
    if rough:
        yield from (f"{_at(region)} has a number off the grid" for region in rough)
        return
    root, stock = _box(sheet.root), (_down(sheet.stock.length), _down(sheet.stock.width))
    if root != (0, 0, *stock):
        yield f"the root is not the whole sheet {sheet.stock.length} × {sheet.stock.width}"
    yield from _numbers(sheet.root, regions)
    rules = _Rules(job, material, stock)
    for region in regions:
        yield from rules.inner(region) if region.cut or region.pieces else rules.leaf(region)


def may_fit(job: CutJob, part: Part, stock: Stock) -> bool:
    """Return whether `part` can lie on an empty sheet of `stock`, by its size, its grain and the trim."""
    length, width = (_down(side) - 2 * _up(job.trim) for side in (stock.length, stock.width))
    straight = _up(part.length) <= length and _up(part.width) <= width
    turned = _up(part.length) <= width and _up(part.width) <= length
    return (straight and part.grain != "across") or (turned and part.grain != "along")


def _walk(root: Region) -> Iterator[Region]:
    waiting = [root]
    while waiting:
        region = waiting.pop()
        yield region
        waiting += reversed(region.pieces)


def _numbers(root: Region, regions: list[Region]) -> Iterator[str]:
    """Check that the cuts count 1..n, each once, and that nothing is cut before it exists."""
    numbers = sorted(region.cut.number for region in regions if region.cut)
    if numbers != list(range(1, len(numbers) + 1)):
        yield f"the cuts are numbered {numbers}"
    for region in regions:
        for piece in region.pieces:
            if region.cut and piece.cut and piece.cut.number <= region.cut.number:
                yield f"{_at(piece)} is cut before it is cut free"


class _Rules:
    """The rules for the regions of a sheet, with the job's lengths as steps of the grid."""

    def __init__(self, job: CutJob, material: str, sheet: tuple[int, int]) -> None:
        self.parts = {part.name: part for part in job.parts if part.material == material}
        self.kerf, self.trim, self.offcut = _up(job.kerf), _up(job.trim), _up(job.smallest_offcut)
        self.sheet = sheet

    def inner(self, region: Region) -> Iterator[str]:
        """Check a region that is cut: its pieces and the kerf must fill it exactly."""
        if region.kind is not None or region.part or region.turned:
            yield f"{_at(region)} is cut, but is also called {region.kind or region.part or 'turned'}"
        if region.cut is None:
            yield f"{_at(region)} has pieces, but no cut"
        elif region.cut.across not in ("length", "width"):
            yield f"{_at(region)} is cut across {region.cut.across!r}"
        else:
            wanted = self._pieces(region, region.cut)
            if wanted is None:
                yield f"cut {region.cut.number}: {region.cut.at} mm with a kerf of {region.cut.kerf} mm is no cut"
            elif [_box(piece) for piece in region.pieces] != wanted:
                yield f"cut {region.cut.number}: the pieces and the kerf do not fill the region exactly"

    def _pieces(self, region: Region, cut: Cut) -> list[tuple[int, int, int, int]] | None:
        """Return the pieces that a cut must leave; None when there is no such cut.

        More than the kerf beyond the line: two pieces. Otherwise the blade takes what is left, the cut's
        kerf says just that, and one piece stays. A trim no wider than the kerf may be skimmed off the
        sheet's own low edge: at 0, its kerf the trim, and one piece stays.
        """
        axis = 0 if cut.across == "length" else 1
        low, size = _box(region)[axis], _box(region)[axis + 2]
        at, kerf = _near(cut.at), _near(cut.kerf)
        if at == 0:
            skims = low == 0 and 0 < self.trim <= self.kerf and kerf == self.trim < size
            return [_part_of(region, axis, kerf, size - kerf)] if skims else None
        if not 0 < at < size or kerf != min(self.kerf, size - at):
            return None
        spans = [(0, at), (at + kerf, size - at - kerf)]
        return [_part_of(region, axis, start, long) for start, long in spans if long]

    def leaf(self, region: Region) -> Iterator[str]:
        """Check a region that is not cut: a part as ordered, or an offcut or waste as its size says."""
        _, _, length, width = _box(region)
        if length <= 0 or width <= 0:
            yield f"{_at(region)} has no size"
        if region.kind == "part":
            yield from self._ordered(region)
            return
        kind = "offcut" if min(length, width) >= self.offcut else "waste"
        if region.kind != kind:
            yield f"{_at(region)} is called {region.kind}, but is {kind}"
        if region.part or region.turned:
            yield f"{_at(region)} is {region.kind}, but is named {region.part!r} or turned"

    def _ordered(self, region: Region) -> Iterator[str]:
        part = self.parts.get(region.part)
        if part is None:
            yield f"{_at(region)} is part {region.part!r}, which this material has not"
            return
        wanted = (_up(part.length), _up(part.width))
        if _box(region)[2:] != (wanted[::-1] if region.turned else wanted):
            yield f"{_at(region)} is part {part.name!r}, but not {part.length} × {part.width} mm"
        if not _grain_right(part, region.turned):
            yield f"part {part.name!r} lies {'turned' if region.turned else 'straight'}, its grain is {part.grain}"
        x, y, length, width = _box(region)
        free = min(x, y, self.sheet[0] - x - length, self.sheet[1] - y - width)
        if free < self.trim:
            yield f"part {part.name!r} at {region.x}, {region.y} lies within the trim"


def _grain_right(part: Part, turned: bool) -> bool:
    return part.grain == "free" or turned == (part.grain == "across")


def _part_of(region: Region, axis: int, start: int, long: int) -> tuple[int, int, int, int]:
    x, y, length, width = _box(region)
    return (x + start, y, long, width) if axis == 0 else (x, y + start, length, long)


def _on_grid(region: Region) -> bool:
    cut = (region.cut.at, region.cut.kerf) if region.cut else ()
    numbers = (region.x, region.y, region.length, region.width, *cut)
    return all(math.isfinite(mm) and abs(Fraction(mm) / _STEP - _near(mm)) <= _MISS for mm in numbers)


def _box(region: Region) -> tuple[int, int, int, int]:
    return _near(region.x), _near(region.y), _near(region.length), _near(region.width)


def _near(mm: float) -> int:
    return round(Fraction(mm) / _STEP)


def _up(mm: float) -> int:
    return math.ceil(Fraction(mm) / _STEP - _MISS)


def _down(mm: float) -> int:
    return math.floor(Fraction(mm) / _STEP + _MISS)


def _at(region: Region) -> str:
    return f"the piece {region.length} × {region.width} mm at {region.x}, {region.y}"
