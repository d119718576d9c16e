"""Which part fits on which sheet, and the plain words for when none does."""

from __future__ import annotations

from layout.cutting.grid import ticks_up, to_mm
from layout.cutting.values import Kind, Opening, Way
from layout.errors import PartTooLargeError
from layout.model.cutting import CutJob, Part, Stock


def ways(part: Part) -> tuple[Way, ...]:
    """Return the ways to lay `part` that its grain allows; the grain of a sheet runs along its length."""
    length, width = ticks_up(part.length), ticks_up(part.width)
    straight = Way(length=length, width=width, turned=False)
    turned = Way(length=width, width=length, turned=True)
    if part.grain == "along" or (part.grain == "free" and length == width):
        return (straight,)
    return (turned,) if part.grain == "across" else (straight, turned)


def kinds(job: CutJob, material: str, on: tuple[Opening, ...]) -> tuple[Kind, ...]:
    """Return the parts of a material, each with the ways in which it fits on some sheet.

    Raises
    ------
    PartTooLargeError
        When a part fits on none; says the largest usable sheet, and whether turning would help.
    """
    found = []
    for part in job.parts:
        if part.material != material:
            continue
        fitting = tuple(way for way in ways(part) if any(opening.holds(way) for opening in on))
        if not fitting:
            raise PartTooLargeError(_too_large(job, part, on))
        found.append(Kind(name=part.name, ways=fitting, count=part.count))
    return tuple(found)


def _too_large(job: CutJob, part: Part, on: tuple[Opening, ...]) -> str:
    blanks = [(blank, opening.stock) for opening in on for blank in opening.blanks]
    largest, stock = max(blanks, key=lambda pair: max(0, pair[0].length) * max(0, pair[0].width))
    length, width = (said(to_mm(max(0, side))) for side in (largest.length, largest.width))
    kind = "usable piece that the shop can send home" if job.shop and not stock.offcut else "usable sheet"
    return (
        f"part {part.name!r} is {said(part.length)} × {said(part.width)} mm, grain {part.grain}; the largest {kind}"
        f" of {part.material!r} is {length} × {width} mm ({stock.name!r}{_after(job, stock)});"
        f" {_turning(part, on)}"
    )


def _after(job: CutJob, stock: Stock) -> str:
    """Return what was taken off, as far as it is the same all round."""
    car = job.shop.car if job.shop else None
    if job.shop and not stock.offcut:
        carried = f", a car that takes {said(max(car))} × {said(min(car))} mm" if car else ""
        return f" after {job.shop.cuts} cuts at most{carried} and the trims"
    if stock.damage:
        return " after trims and damage"
    return f" after a trim of {said(job.trim)} mm" if job.trim and not stock.trim else ""


def _turning(part: Part, on: tuple[Opening, ...]) -> str:
    if part.grain == "free":
        return "it does not fit turned either; make it smaller or find a larger sheet"
    length, width = ticks_up(part.length), ticks_up(part.width)
    both = (Way(length=length, width=width, turned=False), Way(length=width, width=length, turned=True))
    if any(opening.holds(way) for opening in on for way in both):
        return "it would fit if it were turned: write grain free if the grain does not matter"
    return "turning would not help; make it smaller or find a larger sheet"


def said(mm: float) -> str:
    """Return a length in mm as a person writes it, with all digits that can matter (0.1 µm)."""
    return f"{mm:.4f}".rstrip("0").rstrip(".")
