"""Which part fits on which sheet, and the plain words for when none does."""

from __future__ import annotations

from layout.cutting.grid import ticks_down, ticks_up
from layout.cutting.values import Kind, Saw, Size, Way
from layout.errors import NotEnoughSheetsError, PartTooLargeError
from layout.model.cutting import CutJob, Part


def ways(part: Part) -> tuple[Way, ...]:
    """Return the ways to lay `part` that its grain allows; the grain of a sheet runs along its length."""
    length, width = ticks_up(part.length), ticks_up(part.width)
    straight = Way(length=length, width=width, turned=False)
    turned = Way(length=width, width=length, turned=True)
    if part.grain == "along" or (part.grain == "free" and length == width):
        return (straight,)
    return (turned,) if part.grain == "across" else (straight, turned)


def sizes(job: CutJob, material: str) -> tuple[Size, ...]:
    """Return the sizes of sheet of a material that can be had.

    Raises
    ------
    NotEnoughSheetsError
        When there is none.
    """
    offered = [stock for stock in job.stocks if stock.material == material]
    trim = Saw.of(job).trim
    found = []
    for stock in offered:
        length, width = ticks_down(stock.length), ticks_down(stock.width)
        if stock.count != 0:
            usable = (length - 2 * trim, width - 2 * trim)
            found.append(Size(stock=stock, length=length, width=width, usable=usable))
    if not found:
        pieces = sum(part.count for part in job.parts if part.material == material)
        why = "every sheet of it has the count 0" if offered else "no sheet of it is listed"
        raise NotEnoughSheetsError(f"{pieces} pieces are to be cut from {material!r}, but {why}; add a sheet")
    return tuple(found)


def kinds(job: CutJob, material: str, on: tuple[Size, ...]) -> tuple[Kind, ...]:
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
        fitting = tuple(way for way in ways(part) if any(size.holds(way) for size in on))
        if not fitting:
            raise PartTooLargeError(_too_large(job, part, on))
        found.append(Kind(name=part.name, ways=fitting, count=part.count))
    return tuple(found)


def _too_large(job: CutJob, part: Part, on: tuple[Size, ...]) -> str:
    largest = max(on, key=lambda size: size.usable[0] * size.usable[1] if min(size.usable) > 0 else 0)
    length, width = (said(max(0.0, side - 2 * job.trim)) for side in (largest.stock.length, largest.stock.width))
    after = f" after a trim of {said(job.trim)} mm" if job.trim else ""
    return (
        f"part {part.name!r} is {said(part.length)} × {said(part.width)} mm, grain {part.grain}; the largest"
        f" usable sheet of {part.material!r} is {length} × {width} mm ({largest.stock.name!r}{after});"
        f" {_turning(part, on)}"
    )


def _turning(part: Part, on: tuple[Size, ...]) -> str:
    if part.grain == "free":
        return "it does not fit turned either; make it smaller or find a larger sheet"
    length, width = ticks_up(part.length), ticks_up(part.width)
    both = (Way(length=length, width=width, turned=False), Way(length=width, width=length, turned=True))
    if any(size.holds(way) for size in on for way in both):
        return "it would fit if it were turned: write grain free if the grain does not matter"
    return "turning would not help; make it smaller or find a larger sheet"


def said(mm: float) -> str:
    """Return a length in mm as a person writes it, with all digits that can matter (0.1 µm)."""
    return f"{mm:.4f}".rstrip("0").rstrip(".")
