"""Join builds until none can be worth more: proof by what is left out."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, replace
from types import ModuleType
from typing import TYPE_CHECKING, Any

from layout.cutting.one_sheet.build import Build, of_store, piece_build
from layout.cutting.one_sheet.field import Field, rest_of, table_of
from layout.cutting.one_sheet.prices import Prices
from layout.cutting.one_sheet.store import (
    BEST,
    BEST_BUILD,
    BLOCK,
    BUILDS,
    FULL,
    KEPT,
    TALLIES,
    WORK,
    Facts,
    Grid,
    Store,
)

if TYPE_CHECKING:
    from numpy.typing import NDArray

# Cells are taken in slices of about this many; between two slices the clock is read.
_SLICES = 96
_PRIME = 2**61 - 1
# Promising builds are taken from so many classes of area, so many of each.
_SIZES, _OF_A_SIZE = 10, 6
# Lower than any bound; half of what 64 bits hold, since it is subtracted from.
_LOWEST = -(2**62)


@dataclass(frozen=True, kw_only=True, slots=True)
class Ground:
    """All that searches on one field share: tables of what the rest of the sheet can be worth."""

    field: Field
    prices: Prices
    facts: Facts
    keys: tuple[int, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Limits:
    """When a search stops: at so many builds, so much work (pairs compared), or when `late` says so."""

    builds: int
    work: int
    late: Callable[[], bool]

    def part(self, of: int) -> Limits:
        """Return one of so many equal parts of the limits, with the same clock."""
        return replace(self, builds=self.builds // of, work=self.work // of)


@dataclass(frozen=True, kw_only=True, slots=True)
class Found:
    """What a search found: a build worth more than known before, if any; `whole` when nothing was left out.

    `promising` after a broad search: builds of all sizes from which the bound is highest, to fill the sheet around.
    """

    build: Build | None
    value: int
    whole: bool
    promising: tuple[Build, ...]
    builds: int
    work: int


def ground_of(field: Field, prices: Prices, run: ModuleType) -> Ground:
    """Return the ground for searches at these prices."""
    import numpy as np

    rest = rest_of(field, prices.table, run)
    plain = table_of(field, [kind.value for kind in field.kinds], run)
    limited = [kind for kind in field.kinds if kind.limited]
    columns, rows = field.shape
    areas = np.multiply.outer(field.x.places, field.y.places).ravel()
    order = np.argsort(areas, kind="stable")
    facts = Facts(
        plus_x=field.x.plus,
        plus_y=field.y.plus,
        rest=rest,
        rest_turned=np.ascontiguousarray(rest.T),
        plain=rest_of(field, plain, run),
        most=np.array([kind.most for kind in limited], dtype=np.int64),
        sheet=np.array([field.length, field.width], dtype=np.int64),
        order=order[areas[order] > 0].astype(np.int64),
    )
    # Any keys do; these are the same in every run, so that the answer is too.
    dice = random.Random(columns * rows)
    return Ground(field=field, prices=prices, facts=facts, keys=tuple(dice.randrange(_PRIME) for _ in limited))


def search(
    ground: Ground, target: int, value: int, limits: Limits, run: ModuleType, *, broad: int | None = None
) -> Found:
    """Look for a build worth `target` or more, and more than `value`.

    `broad`: keep only so many builds of each slice of cells, the most promising ones; quick, but proves nothing.
    """
    import numpy as np

    prices = ground.prices
    store = _empty_store(ground, limits.builds)
    store.tally[BEST], store.tally[BEST_BUILD] = value, -1
    _add_pieces(ground, store, run)
    asked = np.array([target, target * prices.scale - prices.back, prices.scale, limits.work], dtype=np.int64)
    order = ground.facts.order
    size = max(1, len(order) // _SLICES)
    whole = True
    for first in range(0, len(order), size):
        last = min(len(order), first + size)
        least = _LOWEST if broad is None else _cut_off(ground, store, order[first:last], broad)
        run.expand(store, ground.facts, first, last, asked, least)
        if store.tally[FULL] or limits.late():
            whole = False
            break
    best = int(store.tally[BEST_BUILD])
    return Found(
        build=of_store(ground.field, store, best) if best >= 0 else None,
        value=int(store.tally[BEST]),
        whole=whole and broad is None,
        promising=() if broad is None else _promising(ground, store),
        builds=int(store.tally[BUILDS]),
        work=int(store.tally[WORK]),
    )


def _promising(ground: Ground, store: Store) -> tuple[Build, ...]:
    """Return builds of all sizes, of each size those with the highest bounds."""
    import numpy as np

    kept = store.kept[: store.tally[KEPT]]
    bounds = store.worth[kept] + ground.facts.rest[store.x[kept], store.y[kept]]
    areas = store.length[kept].astype(float) * store.width[kept]
    sizes = (areas * _SIZES / (ground.field.length * ground.field.width)).astype(np.int64)
    chosen: list[int] = []
    for size in range(1, _SIZES):
        here = kept[sizes == size]
        best = np.argsort(-bounds[sizes == size], kind="stable")[:_OF_A_SIZE]
        chosen += here[best].tolist()
    return tuple(build for one in chosen if (build := of_store(ground.field, store, one)))


def _empty_store(ground: Ground, builds: int) -> Store:
    """Return a store with room for so many builds; memory is taken by the system only as it is written."""
    import numpy as np

    cells, size = len(ground.field.x.places) * len(ground.field.y.places), builds + 2
    slots = max(1024, min(2**21, builds)) | 1

    def blank(kind: Any) -> NDArray[Any]:
        return np.empty(size, dtype=kind)

    def line(kind: Any) -> NDArray[Any]:
        return np.empty(min(cells, size), dtype=kind)

    columns, rows = ground.field.shape
    return Store(
        x=blank(np.int32), y=blank(np.int32), length=blank(np.int64), width=blank(np.int64),
        worth=blank(np.int64), value=blank(np.int64), counts=np.empty((size, len(ground.keys)), dtype=np.int32),
        key=blank(np.int64), first=blank(np.int32), second=blank(np.int32), axis=blank(np.int8),
        dead=blank(np.bool_), chain=blank(np.int32), queue=blank(np.int32),
        heads=np.full(slots, -1, dtype=np.int32), cells=np.full(cells, -1, dtype=np.int32),
        kept=blank(np.int32), done=line(np.int64), start=line(np.int64), long=line(np.int64), top=line(np.int64),
        index=np.full((columns, rows), -1, dtype=np.int32),
        across=_empty_grid(columns, rows), along=_empty_grid(rows, columns),
        partner=np.empty(2 * min(cells, size), dtype=np.int64), tally=np.zeros(TALLIES, dtype=np.int64),
    )  # fmt: skip


def _empty_grid(rows: int, columns: int) -> Grid:
    import numpy as np

    return Grid(
        cells=np.full((rows, columns), _LOWEST, dtype=np.int64),
        rows=np.full(rows, _LOWEST, dtype=np.int64),
        blocks=np.full((rows, -(-columns // BLOCK)), _LOWEST, dtype=np.int64),
    )


def _add_pieces(ground: Ground, store: Store, run: ModuleType) -> None:
    """Put every way of every kind into the store as a build of its own."""
    field, prices = ground.field, ground.prices
    for number, (kind, _) in enumerate(field.ways):
        new, piece = int(store.tally[BUILDS]), piece_build(field, number)
        store.x[new], store.y[new] = field.place(number)
        store.length[new], store.width[new] = piece.length, piece.width
        store.value[new] = field.kinds[kind].value
        store.worth[new] = field.kinds[kind].value * prices.scale - prices.of[kind]
        store.counts[new] = [k == kind for k in range(len(ground.keys))]
        store.key[new] = ground.keys[kind] if kind < len(ground.keys) else 0
        store.first[new], store.second[new], store.axis[new] = -1 - number, -1, 0
        run.settle(store, field.place(number)[0] * field.shape[1] + field.place(number)[1])


def _cut_off(ground: Ground, store: Store, slice_: Any, broad: int) -> int:
    """Return the bound that only the `broad` most promising builds waiting in a slice of cells reach."""
    import numpy as np

    bounds = []
    rest, rows = ground.facts.rest, ground.field.shape[1]
    for cell in slice_:
        build = store.cells[cell]
        while build >= 0:
            bounds.append(int(store.worth[build]) + int(rest[cell // rows, cell % rows]))
            build = store.queue[build]
    if len(bounds) <= broad:
        return _LOWEST
    return int(np.partition(bounds, -broad)[-broad])
