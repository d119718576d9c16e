"""The ways to open a sheet before any part is cut free: its trims, its damage, what the shop saws."""

from __future__ import annotations

from layout.cutting.grid import ticks_down, ticks_up
from layout.cutting.values import Blank, Forced, Opening
from layout.errors import NotEnoughSheetsError
from layout.model.cutting import CutJob, EdgeTrim, Stock


def openings(job: CutJob, material: str) -> tuple[Opening, ...]:
    """Return every way to open the sheets of a material that can be had; those of one stock follow each other.

    Raises
    ------
    NotEnoughSheetsError
        When there is none.
    """
    offered = [stock for stock in job.stocks if stock.material == material]
    found = tuple(opening for stock in offered if stock.count != 0 for opening in _of(stock, job))
    if not found:
        pieces = sum(part.count for part in job.parts if part.material == material)
        why = "every sheet of it has the count 0" if offered else "no sheet of it is listed"
        raise NotEnoughSheetsError(f"{pieces} pieces are to be cut from {material!r}, but {why}; add a sheet")
    return found


def trims(job: CutJob, stock: Stock) -> tuple[int, int, int, int]:
    """Return what is taken off the left, right, bottom and top edge of a sheet, in ticks, rounded up."""
    trim = stock.trim or EdgeTrim(left=job.trim, right=job.trim, bottom=job.trim, top=job.trim)
    return ticks_up(trim.left), ticks_up(trim.right), ticks_up(trim.bottom), ticks_up(trim.top)


def _of(stock: Stock, job: CutJob) -> tuple[Opening, ...]:
    length, width = ticks_down(stock.length), ticks_down(stock.width)
    left, right, bottom, top = trims(job, stock)
    blank = Blank(x=left, y=bottom, length=length - left - right, width=width - bottom - top)
    forced = _trimmed(length, width, (left, right, bottom, top), ticks_up(job.kerf))
    return (Opening(stock=stock, length=length, width=width, blanks=(blank,), forced=forced),)


def _trimmed(length: int, width: int, trim: tuple[int, int, int, int], kerf: int) -> Forced | None:
    """Return the cuts that trim a rectangle, left, right, bottom, top; what is within goes on as it is."""
    left, right, bottom, top = trim
    forced: Forced | None = None
    if top:
        forced = Forced(axis=1, at=width - bottom - top, kerf=min(kerf, top), low=forced)
    if bottom:
        forced = Forced(axis=1, at=max(0, bottom - kerf), kerf=min(kerf, bottom), high=forced)
    if right:
        forced = Forced(axis=0, at=length - left - right, kerf=min(kerf, right), low=forced)
    if left:
        forced = Forced(axis=0, at=max(0, left - kerf), kerf=min(kerf, left), high=forced)
    return forced
