"""The first engine: rectpack's edge-to-edge packers, tried in many ways; most home jobs need no other."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace

from layout.cutting.rectpack_engine import How, arranged, fill, hows
from layout.cutting.tree import cut_tree
from layout.cutting.values import Filled, Kind, Opening, Saw
from layout.model.cutting import Region

# How many plans are tried: fewer for more pieces, since each takes longer, about with the square.
_MOST, _LEAST, _WORK = 10, 4, 100_000
# So many tries decide whether the engine will do: whether one of them costs no more than the bound.
_DECIDE = 6
_SWAPS = 6
_CENT = 1e-9
# A plan this much dearer than the best may still become the best by taking smaller sheets.
_WORTH_SWAPPING = 1.25


@dataclass(frozen=True, kw_only=True, slots=True)
class Question:
    """One material: what to cut from which openings of sheets.

    `rooms` are openings in which everything fits that fits in any way to open a sheet: bounds are taken from
    those, for `room_kinds`, the kinds with every way that fits there, and with the narrowest blade (`room_kerf`,
    ticks). For plain sheets rooms and kinds are the ones that are cut.
    """

    kinds: tuple[Kind, ...]
    openings: tuple[Opening, ...]
    saw: Saw
    rooms: tuple[Opening, ...]
    room_kinds: tuple[Kind, ...]
    room_kerf: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Answer:
    """Filled sheets; the smallest `score` is best: cost, sheets, then the largest offcut."""

    sheets: tuple[Filled, ...]
    score: tuple[float, int, float]


def quick_answer(question: Question, enough: float) -> Answer | None:
    """Return the best plan found, always the same for the same question; None when the sheets ran out.

    `enough` is a cost that no plan can go below: a plan that costs no more is improved, others soon given up.
    """
    best: Answer | None = None
    for tried, (order, how) in enumerate(_tries(question)):
        if tried >= _DECIDE and (best is None or best.score[0] > enough + _CENT):
            break
        sheets = _packed(question, order, how)
        if sheets is None or not _promising(sheets, best):
            continue
        answer = _answer(_swapped(question, sheets, how), question.saw, best)
        if answer is not None and (best is None or answer.score < best.score):
            best = answer
    return best


def _tries(question: Question) -> Iterator[tuple[tuple[Opening, ...], How]]:
    """Yield the choices of sheets, each with the ways to fill, until the work is used up."""
    pieces = sum(kind.count for kind in question.kinds)
    orders = _size_orders(question)
    most = max(_LEAST, min(_MOST, _WORK // pieces**2))
    turnable = any(len(kind.ways) > 1 for kind in question.kinds)
    ways = hows(turnable)
    for i in range(max(1, most // len(orders))):
        if i < len(ways):
            yield from ((order, ways[i]) for order in orders)


def _size_orders(question: Question) -> tuple[tuple[Opening, ...], ...]:
    """Return the orders in which sheets are taken: by price for their area, by area, and each opening alone."""
    sizes = question.openings
    by_price = tuple(sorted(sizes, key=lambda opening: opening.stock.price / (opening.length * opening.width)))
    by_area = tuple(sorted(sizes, key=lambda opening: opening.length * opening.width))
    alone = tuple((opening,) for opening in sizes if all(any(map(opening.holds, kind.ways)) for kind in question.kinds))
    return tuple(dict.fromkeys((by_price, by_area[::-1], *alone, by_price[::-1], by_area)))


def _packed(question: Question, order: tuple[Opening, ...], how: How) -> tuple[Filled, ...] | None:
    """Return full sheets, each of the first opening of `order` to be had that takes the first piece left."""
    left = arranged(question.kinds, how)
    sheets: list[Filled] = []
    while left:
        opening = next(
            (opening for opening in _to_be_had(order, sheets) if any(map(opening.holds, left[0].ways))), None
        )
        if opening is None:
            return None
        filled = Filled(opening=opening, laid=fill(opening, question.saw.kerf, left, how))
        left = _less(left, filled)
        sheets.append(filled)
    return tuple(sheets)


def _to_be_had(openings: tuple[Opening, ...], sheets: list[Filled]) -> list[Opening]:
    used = Counter(sheet.opening.stock for sheet in sheets)
    return [one for one in openings if one.stock.count is None or used[one.stock] < one.stock.count]


def _less(kinds: tuple[Kind, ...], filled: Filled) -> tuple[Kind, ...]:
    taken = Counter(laid.name for laid in filled.laid)
    rest = (replace(kind, count=kind.count - taken[kind.name]) if taken[kind.name] else kind for kind in kinds)
    return tuple(kind for kind in rest if kind.count)


def _cost(sheets: tuple[Filled, ...]) -> float:
    return math.fsum(sheet.opening.stock.price for sheet in sheets)


def _promising(sheets: tuple[Filled, ...], best: Answer | None) -> bool:
    return best is None or _cost(sheets) <= best.score[0] * _WORTH_SWAPPING


def _swapped(question: Question, sheets: tuple[Filled, ...], how: How) -> tuple[Filled, ...]:
    """Return the sheets, each swapped for the cheapest opening that still takes all that lies on it."""
    if len(question.openings) == 1:
        return sheets
    swapped = list(sheets)
    for i, sheet in enumerate(sheets):
        for opening in sorted(_to_be_had(question.openings, swapped), key=lambda opening: opening.stock.price):
            if opening.stock.price >= sheet.opening.stock.price:
                break
            other = _moved(question, sheet, opening, how)
            if other is not None:
                swapped[i] = other
                break
    return tuple(swapped)


def _moved(question: Question, sheet: Filled, opening: Opening, how: How) -> Filled | None:
    """Return the pieces of a sheet on another opening, or None when the few ways tried do not hold all."""
    on_it = Counter(laid.name for laid in sheet.laid)
    kinds = tuple(replace(kind, count=on_it[kind.name]) for kind in question.kinds if on_it[kind.name])
    if sum(kind.area * kind.count for kind in kinds) > sum(blank.length * blank.width for blank in opening.blanks):
        return None
    for way in (how, *hows(any(len(kind.ways) > 1 for kind in kinds))[:_SWAPS]):
        laid = fill(opening, question.saw.kerf, arranged(kinds, way), way)
        if len(laid) == len(sheet.laid):
            return Filled(opening=opening, laid=laid)
    return None


def _answer(sheets: tuple[Filled, ...], saw: Saw, best: Answer | None) -> Answer | None:
    """Return the sheets with their cuts; None when no better than `best`, or no cuts free all pieces."""
    cost, number = _cost(sheets), len(sheets)
    if best is not None and (cost, number) > best.score[:2]:
        return None
    offcut = 0.0
    for sheet in sheets:
        tree = cut_tree(sheet, saw)
        if tree is None:
            return None
        offcut = max(offcut, largest_offcut(tree))
    return Answer(sheets=sheets, score=(cost, number, -offcut))


def largest_offcut(root: Region) -> float:
    """Return the area of the largest offcut of a sheet, mm²."""
    largest, waiting = 0.0, [root]
    while waiting:
        region = waiting.pop()
        waiting += region.pieces
        if region.kind == "offcut":
            largest = max(largest, region.length * region.width)
    return largest
