"""What a finished plan asks of the person at the saw that is hard or not safe: warnings, never refusals."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from layout.cutting.fit import said
from layout.model.cutting import Cut, CutJob, CutPlan, CutSheet, Part, Region
from layout.model.sawing import walk

# Lengths come from a grid of 125 nm as floats; less than this is no difference.
_NEAR_MM = 1e-6


def handling(plan: CutPlan) -> tuple[str, ...]:
    """Return a sentence for each thing to beware of, in the order of the sheets and their cuts.

    Cuts at home that are longer than the guide takes (`CutJob.longest_cut`) and pieces to be sawn at home whose
    least side is less than can be held (`CutJob.smallest_hold`), each sheet's together; parts that are
    missing because no piece of their size gets into the car (`Shop.car`). What is not given is not warned of.
    """
    return (*_sheets(plan), *_not_in_car(plan))


def _sheets(plan: CutPlan) -> Iterator[str]:
    for material in plan.materials:
        for sheet in material.sheets:
            where = f"{material.material}, sheet {sheet.number}"
            yield from _long(where, _at_home(sheet), plan.job)
            yield from _small(where, _at_home(sheet), plan.job)


def _at_home(sheet: CutSheet) -> list[tuple[Cut, Region]]:
    """Return the cuts made at home with the pieces that they go through, in their order."""
    found = [(region.cut, region) for region in walk(sheet.root) if region.cut and region.cut.by == "home"]
    return sorted(found, key=lambda pair: pair[0].number)


def _long(where: str, cuts: list[tuple[Cut, Region]], job: CutJob) -> Iterator[str]:
    """Yield one sentence for all the cuts of a sheet that are longer than the guide."""
    if job.longest_cut is None:
        return
    lengths = [(cut.number, region.width if cut.across == "length" else region.length) for cut, region in cuts]
    long = [(number, length) for number, length in lengths if length > job.longest_cut + _NEAR_MM]
    if long:
        most = said(max(length for _, length in long))
        yield (
            f"{where}: {_listed([number for number, _ in long], 'is', 'are')} up to {most} mm long, but the guide takes"
            f" {said(job.longest_cut)} mm; join two guides or clamp a straight edge that reaches from end to end"
        )


def _small(where: str, cuts: list[tuple[Cut, Region]], job: CutJob) -> Iterator[str]:
    """Yield one sentence for all the pieces of a sheet that are too small to hold."""
    if job.smallest_hold is None:
        return
    small = [
        (cut.number, min(region.length, region.width))
        for cut, region in cuts
        if min(region.length, region.width) < job.smallest_hold - _NEAR_MM
    ]
    if small:
        least = said(min(side for _, side in small))
        yield (
            f"{where}: {_listed([number for number, _ in small], 'goes', 'go')} through a piece down to {least} mm"
            f" across, too small to hold safely (under {said(job.smallest_hold)} mm): cut it from a larger piece, or"
            " clamp it to one and keep hands off it; read the saw's manual"
        )


def _listed(numbers: list[int], one: str, many: str) -> str:
    """Return the cuts with the verb that goes with their number."""
    if len(numbers) == 1:
        return f"cut {numbers[0]} {one}"
    return f"cuts {', '.join(map(str, numbers[:-1]))} and {numbers[-1]} {many}"


def _not_in_car(plan: CutPlan) -> Iterator[str]:
    car = plan.job.shop.car if plan.job.shop else None
    if car is None:
        return
    missing = Counter(plan.unplaced)
    for part in plan.job.parts:
        if missing[part.name] and not _carried(part, car):
            yield (
                f"part {part.name!r} is {said(part.length)} × {said(part.width)} mm and does not get into the car,"
                f" which takes {said(max(car))} × {said(min(car))} mm; make it of two pieces or have it delivered"
            )


def _carried(part: Part, car: tuple[float, float]) -> bool:
    long, short = max(part.length, part.width), min(part.length, part.width)
    return long <= max(car) and short <= min(car)
