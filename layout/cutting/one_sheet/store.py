"""The arrays on which the kernels work; named tuples, since those are the same to Python and to the compiler."""

from __future__ import annotations

from typing import Any, NamedTuple

# What each number of `Store.tally` counts.
BUILDS, KEPT, CELLS, BEST, BEST_BUILD, FULL, WORK = range(7)
TALLIES = 7
# So many cells of a row of a grid are judged at once.
BLOCK = 16
# The signs of a script that are no piece; see `build.traced`.
EMPTY, BESIDE, ABOVE = -1, -2, -3


class Splits(NamedTuple):
    """All ways to split a place in two: those of place i are `low[start[i]:start[i + 1]]` and `high[...]` alike."""

    start: Any
    low: Any
    high: Any


class Facts(NamedTuple):
    """What does not change while builds are joined.

    `plus_x` and `plus_y` add places; `rest` bounds what the sheet around a build can still be worth at the prices
    of the search (`rest_turned` with x and y exchanged), `plain` the same without prices. `most` copies of each
    limited kind. `sheet` is the real length and width. `order` lists cells (x place · places in y + y place) by area.
    """

    plus_x: Any
    plus_y: Any
    rest: Any
    rest_turned: Any
    plain: Any
    most: Any
    sheet: Any
    order: Any


class Grid(NamedTuple):
    """What the best build of each finished cell is worth, and the most of each row and of each block of a row."""

    cells: Any
    rows: Any
    blocks: Any


class Store(NamedTuple):
    """Builds by number: rectangles made of pieces, with where they come from and how to find them again.

    A build has its place (`x`, `y`), its real size (`length`, `width`), what it is `worth` at the prices of the
    search, its plain `value`, the `counts` of limited kinds in it and their `key`. `first` and `second` are the
    builds that it joins side by side (`axis` 0) or one above the other (1); a piece has minus its way's number
    minus 1 as `first`. `dead`: another is as good in less room. `chain` leads to the next build of the same slot
    in `heads`, `queue` to the next of the same cell in `cells`. `kept` lists those joined so far, cell after cell:
    `done` are the cells, from `start` on `long` of them, the best worth `top`. `index` finds
    a cell among them again, `across` (rows are x) and `along` (rows are y) say what is worth joining. `partner`: room
    for a list of cells and axes.
    """

    x: Any
    y: Any
    length: Any
    width: Any
    worth: Any
    value: Any
    counts: Any
    key: Any
    first: Any
    second: Any
    axis: Any
    dead: Any
    chain: Any
    queue: Any
    heads: Any
    cells: Any
    kept: Any
    done: Any
    start: Any
    long: Any
    top: Any
    index: Any
    across: Grid
    along: Grid
    partner: Any
    tally: Any
