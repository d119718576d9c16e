"""The referee's rules for what the shop saws, and for what gets into the car."""

from __future__ import annotations

from collections.abc import Iterator

from layout.cutting.referee_numbers import Box, at, box, down, near, up, walk
from layout.model.cutting import CutJob, CutSheet, Region, Shop, Stock


def shop_of(job: CutJob, stock: Stock) -> Shop | None:
    """Return the shop that a sheet goes through; none for a sheet that is at home already."""
    return None if stock.offcut else job.shop


def brought_home(root: Region) -> Iterator[tuple[Region, Box]]:
    """Yield every region with the rectangle in which it came home; a region that the shop saws with its own."""
    waiting = [(root, box(root))]
    while waiting:
        region, home = waiting.pop()
        yield region, home
        by_shop = region.cut is not None and region.cut.by == "shop"
        waiting += [(piece, box(piece) if by_shop else home) for piece in region.pieces]


def shop_faults(job: CutJob, sheet: CutSheet) -> Iterator[str]:
    """Yield a sentence for every rule of the shop and the car that a sheet breaks."""
    regions = [region for region in walk(sheet.root) if region.cut]
    sawn = [region for region in regions if region.cut and region.cut.by == "shop"]
    yield from _order(regions)
    shop = shop_of(job, sheet.stock)
    if shop is None:
        if sawn:
            yield f"the shop makes {len(sawn)} cuts, but this sheet does not go through a shop"
        return
    if len(sawn) > shop.cuts:
        yield f"the shop makes {len(sawn)} cuts, allowed are {shop.cuts}"
    if up(shop.tolerance) > up(shop.trim):
        yield f"the shop's cuts lie within {shop.tolerance} mm, but only {shop.trim} mm are taken off their edges"
    for region in sawn:
        yield from _sawn(region, shop)
    yield from _car(sheet.root, shop)


def _order(regions: list[Region]) -> Iterator[str]:
    """Check who saws, and that the shop is done before the first cut at home."""
    cuts = [region.cut for region in regions if region.cut]
    yield from (f"cut {cut.number} is made by {cut.by!r}" for cut in cuts if cut.by not in ("home", "shop"))
    first_at_home = min((cut.number for cut in cuts if cut.by != "shop"), default=None)
    if first_at_home is not None:
        late = [cut.number for cut in cuts if cut.by == "shop" and cut.number > first_at_home]
        yield from (f"the shop's cut {number} comes after cut {first_at_home} at home" for number in sorted(late))


def _sawn(region: Region, shop: Shop) -> Iterator[str]:
    """Check one cut of the shop: it leaves two pieces, a whole kerf apart, neither too narrow."""
    cut = region.cut
    if cut is None:
        return
    if near(cut.kerf) != up(shop.kerf):
        yield f"the shop's cut {cut.number} has a kerf of {cut.kerf} mm, the shop's saw takes {shop.kerf} mm"
    if len(region.pieces) != 2:  # noqa: PLR2004 (a cut makes two of one)
        yield f"the shop's cut {cut.number} leaves {len(region.pieces)} pieces"
    for piece in region.pieces:
        if min(box(piece)[2:]) < up(shop.narrowest):
            yield f"{at(piece)} is sawn by the shop, which saws nothing under {shop.narrowest} mm"


def _car(root: Region, shop: Shop) -> Iterator[str]:
    """Check that every piece that leaves the shop gets into the car, either way round."""
    if shop.car is None:
        return
    long, short = down(max(shop.car)), down(min(shop.car))
    waiting = [root]
    while waiting:
        region = waiting.pop()
        if region.cut and region.cut.by == "shop":
            waiting += region.pieces
        elif max(box(region)[2:]) > long or min(box(region)[2:]) > short:
            yield f"{at(region)} does not get into the car, which takes {shop.car[0]} × {shop.car[1]} mm"
