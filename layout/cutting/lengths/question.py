"""From a job to the question for one material: kinds and sizes in ticks, prices in whole numbers."""

from __future__ import annotations

import math
from fractions import Fraction

from layout.cutting.grid import ticks_down, ticks_up, to_mm
from layout.cutting.lengths.values import Kind, Question, Size
from layout.errors import NotEnoughSheetsError, PartTooLargeError
from layout.model.lengths import Bar, BarJob, Length


def question(job: BarJob, material: str) -> Question:
    """Return what is to be solved for `material`.

    Raises
    ------
    NotEnoughSheetsError
        When the job has no bar of the material at all.
    PartTooLargeError
        When a part is longer than every bar between its trims.
    """
    parts = [part for part in job.parts if part.material == material]
    bars = [bar for bar in job.bars if bar.material == material]
    if not bars:
        raise NotEnoughSheetsError(f"there is no bar of {material!r}; write one under bars, with its length")
    _require_fit(job, parts, bars)
    kinds = _kinds(job, parts)
    pieces = sum(kind.count for kind in kinds)
    scale = math.lcm(*(_price(bar).denominator for bar in bars))
    unit = (pieces + 1) ** 2
    offered = [_size(job, bar, pieces, int(_price(bar) * scale) * unit) for bar in bars]
    return Question(
        material=material,
        kinds=kinds,
        sizes=tuple(size for size in offered if size.limit and size.room >= kinds[-1].weight),
        kerf=ticks_up(job.kerf),
        smallest_offcut=ticks_up(job.smallest_offcut),
        key_unit=unit,
        price_scale=scale,
    )


def _kinds(job: BarJob, parts: list[Length]) -> tuple[Kind, ...]:
    names: dict[int, list[str]] = {}
    for part in parts:
        names.setdefault(ticks_up(part.length) + ticks_up(job.kerf), []).extend([part.name] * part.count)
    return tuple(Kind(weight=weight, names=tuple(names[weight])) for weight in sorted(names, reverse=True))


def _size(job: BarJob, bar: Bar, pieces: int, price: int) -> Size:
    # No plan buys, or uses, more bars than there are pieces: each level of the key stays below the next.
    bought = 0 if bar.offcut else pieces + 1
    limit = pieces if bar.count is None else min(bar.count, pieces)
    return Size(bar=bar, room=_usable(job, bar) + ticks_up(job.kerf), key=price + bought + 1, limit=limit)


def _price(bar: Bar) -> Fraction:
    # The shortest text of a float is the price as the person wrote it, so sums of prices are exact.
    return Fraction(repr(float(bar.price)))


def _usable(job: BarJob, bar: Bar) -> int:
    return ticks_down(bar.length) - 2 * ticks_up(job.trim)


def _require_fit(job: BarJob, parts: list[Length], bars: list[Bar]) -> None:
    longest = max(bars, key=lambda bar: _usable(job, bar))
    room = _usable(job, longest)
    for part in parts:
        if ticks_up(part.length) > room:
            after = f" after a trim of {_said(job.trim)} mm at each end" if job.trim else ""
            raise PartTooLargeError(
                f"part {part.name!r} is {_said(part.length)} mm long; the longest bar of {part.material!r},"
                f" {longest.name!r}, yields {_said(to_mm(max(0, room)))} mm{after};"
                " make the part shorter or find a longer bar"
            )


def _said(mm: float) -> str:
    return f"{mm:.4f}".rstrip("0").rstrip(".")
