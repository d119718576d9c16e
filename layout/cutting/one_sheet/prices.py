"""Prices on copies: what makes the bound for unlimited copies hold tightly when copies are limited.

Charge a price for every copy of a limited kind, and hand the price of all its copies back at the end. A choice that
keeps to the copies pays no more than it gets back, so its value is at most the best unlimited choice at the reduced
values plus what is handed back; any prices give a bound, and subgradient steps look for those that give the least.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from types import ModuleType

from layout.cutting.one_sheet.build import Build, counted, traced, trimmed, worth
from layout.cutting.one_sheet.field import Field, Table, table_of

# Prices are whole multiples of a value's 1/1024, or coarser where sums would leave 62 bits.
_FINEST, _ROOM = 1024, 2**60
_PATIENCE = 6
_SMALLEST_STEP = 0.02


@dataclass(frozen=True, kw_only=True, slots=True)
class Prices:
    """Prices `of` the kinds in `scale` parts of the value's unit, the `table` at them and the `bound` they give.

    `back` is the price of all copies together, `wanted` the copies that the best unlimited choice takes at them.
    `build` is the best real choice seen on the way, worth `value`.
    """

    scale: int
    of: tuple[int, ...]
    table: Table
    back: int
    bound: int
    wanted: Counter[int]
    build: Build | None
    value: int


def scale_of(field: Field) -> int:
    """Return the parts into which the value's unit is divided; 0 when the values are too large to compute with."""
    total = sum(kind.value * kind.most for kind in field.kinds)
    return min(_FINEST, _ROOM // max(1, total))


def free_prices(field: Field, scale: int, run: ModuleType) -> Prices:
    """Return the prices of nothing, with the bound for unlimited copies."""
    return _at(field, scale, (0,) * len(field.kinds), run)


def best_prices(field: Field, start: Prices, steps: int, late: Callable[[], bool], run: ModuleType) -> Prices:
    """Return prices that lower the bound, found in up to `steps` steps; fewer when it is reached, or it is `late`.

    The `build` and `value` of the answer are the best real ones of all steps.
    """
    best = here = start
    stride, waited = 1.0, 0
    for _ in range(steps):
        if best.bound <= best.value or stride < _SMALLEST_STEP or late():
            break
        here = _at(field, start.scale, _moved(field, here, best.value, stride), run)
        better = here.table.whole + here.back < best.table.whole + best.back
        build, value = max((best, here), key=lambda one: one.value).build, max(best.value, here.value)
        best = replace(here if better else best, build=build, value=value)
        waited = 0 if better else waited + 1
        if waited >= _PATIENCE:
            stride, waited, here = stride / 2, 0, best
    return best


def _at(field: Field, scale: int, of: tuple[int, ...], run: ModuleType) -> Prices:
    values = [kind.value * scale - price for kind, price in zip(field.kinds, of, strict=True)]
    table = table_of(field, values, run)
    back = sum(kind.most * price for kind, price in zip(field.kinds, of, strict=True))
    script = _solution(field, table, run)
    kept = trimmed(field, script)
    build = traced(field, kept)
    if build and (build.length > field.length or build.width > field.width):
        build = None
    return Prices(
        scale=scale,
        of=of,
        table=table,
        back=back,
        bound=(table.whole + back) // scale,
        wanted=counted(field, script),
        build=build,
        value=worth(field.kinds, counted(field, kept)) if build else 0,
    )


def _solution(field: Field, table: Table, run: ModuleType) -> list[int]:
    """Return the script of the best unlimited choice."""
    import numpy as np

    size = 4 * table.best.size
    written = size
    while written >= size:
        # A place may be reached by more pieces than there are places before it, so the room is a guess.
        size *= 2
        script = np.empty(size, dtype=np.int64)
        written = run.trace(table.best, table.gain, table.way, field.xs, field.ys, script)
    return [int(sign) for sign in script[:written]]


def _moved(field: Field, here: Prices, value: int, stride: float) -> tuple[int, ...]:
    """Return the prices one step on: dearer where more copies are wanted than there are, cheaper where fewer."""
    slopes = _slopes(field, here.wanted, here.of)
    norm = sum(slope * slope for slope in slopes)
    if norm == 0:
        return here.of
    gap = here.table.whole + here.back - value * here.scale
    step = stride * gap / norm
    tops = (kind.value * here.scale for kind in field.kinds)
    return tuple(
        min(top, max(0, round(price - step * slope))) for top, price, slope in zip(tops, here.of, slopes, strict=True)
    )


def _slopes(field: Field, wanted: Counter[int], of: Sequence[int]) -> list[int]:
    """Return by how much the bound rises per price: copies that are there less copies wanted; 0 where none moves."""
    slopes = [kind.most - wanted[k] if kind.limited else 0 for k, kind in enumerate(field.kinds)]
    return [0 if price == 0 and slope > 0 else slope for price, slope in zip(of, slopes, strict=True)]
