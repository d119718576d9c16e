"""From a cut job to the one-sheet question and back: which parts to cut from one sheet, and the cuts that do it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_EVEN, Decimal

from layout.cutting.fit import ways
from layout.cutting.job_check import check_job
from layout.cutting.one_sheet.engine import best_sheet
from layout.cutting.one_sheet.referee import require_answer
from layout.cutting.one_sheet.values import SheetAnswer, ValuedPiece
from layout.cutting.openings import openings
from layout.cutting.referee_sheet import sheet_faults
from layout.cutting.tree import cut_tree
from layout.cutting.values import Blank, Filled, Laid, Opening, Saw, Way
from layout.errors import NotEnoughSheetsError, RefereeError, ValueFaultError
from layout.model.cutting import CutJob, CutSheet, Part, Region, Stock

# Values are compared in millionths, so that the search adds whole numbers.
_MILLIONTHS = 1_000_000
_LARGEST = 2**60
_MOST_MOVES = 20


@dataclass(frozen=True, kw_only=True, slots=True)
class OneSheetPlan:
    """The refereed answer: one `sheet` with its cuts, and the `parts` on it as (name, copies) in the job's order.

    `value` is the sum of the parts' values (mm² unless values were given); no choice is worth more than `bound`,
    and none more than this one when `proven`.
    """

    job: CutJob
    material: str
    sheet: CutSheet
    parts: tuple[tuple[str, int], ...]
    value: float
    bound: float
    proven: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class _Filling:
    """An opening filled, with the value and the bound in millionths."""

    filled: Filled
    value: int
    bound: int
    proven: bool


def plan_one_sheet(
    job: CutJob,
    material: str,
    stock_name: str | None = None,
    values: Mapping[str, float] | None = None,
    *,
    most_nodes: int = 400_000,
    seconds: float | None = None,
) -> OneSheetPlan:
    """Return the parts of greatest total value that one sheet yields, with its cuts, refereed.

    Parameters
    ----------
    job : CutJob
        A part's count is the most copies that may be cut.
    material : str
        What the sheet is of.
    stock_name : str, optional
        Which sheet; by default the first of the material that can be had.
    values : mapping of str to float, optional
        What one copy of each part is worth, in any unit, to a millionth; by default its area in mm².
    most_nodes, seconds
        Limits of the search, see `engine.best_sheet`.

    Raises
    ------
    ValueFaultError
        When the job makes no sense, the stock is unknown, or a value is missing, below 0 or too large.
    NotEnoughSheetsError
        When there is no such sheet to be had.
    RefereeError
        When the answer breaks a rule: a defect of this program.
    """
    check_job(job)
    parts = tuple(part for part in job.parts if part.material == material)
    stock = _stock(job, material, stock_name)
    pieces = _pieces(parts, values, Saw.of(job).kerf)
    offered = openings(replace(job, stocks=(stock,)), material)
    fillings = [_filling(opening, pieces, Saw.of(job), most_nodes, seconds) for opening in offered]
    best = max(fillings, key=lambda filling: filling.value)
    bound = max(filling.bound for filling in fillings)
    return OneSheetPlan(
        job=job,
        material=material,
        sheet=_sheet(job, material, best.filled),
        parts=_counts(parts, best.filled),
        value=best.value / _MILLIONTHS,
        bound=bound / _MILLIONTHS,
        proven=best.value == bound and best.proven,
    )


def _stock(job: CutJob, material: str, name: str | None) -> Stock:
    offered = [stock for stock in job.stocks if stock.material == material]
    if name is None:
        on_hand = [stock for stock in offered if stock.count != 0]
        if not on_hand:
            raise NotEnoughSheetsError(f"no sheet of {material!r} is to be had; add one")
        return on_hand[0]
    named = [stock for stock in offered if stock.name == name]
    if not named:
        known = ", ".join(repr(stock.name) for stock in offered) or "none"
        raise ValueFaultError(("stocks",), f"there is no sheet {name!r} of {material!r}; there are: {known}")
    return named[0]


def _pieces(parts: Sequence[Part], values: Mapping[str, float] | None, kerf: int) -> tuple[ValuedPiece, ...]:
    """Return the parts as pieces, each a kerf longer and wider than it is."""
    faults = _value_faults(parts, values)
    if faults:
        raise ValueFaultError(("values",), "; ".join(faults))
    return tuple(
        ValuedPiece(
            name=part.name,
            ways=tuple(_with_kerf(way, kerf) for way in ways(part)),
            count=part.count,
            value=_whole(part.length * part.width if values is None else values[part.name]),
        )
        for part in parts
    )


def _value_faults(parts: Sequence[Part], values: Mapping[str, float] | None) -> list[str]:
    if values is None:
        return []
    names = {part.name for part in parts}
    missing = [f"part {name!r} has none" for name in sorted(names - set(values))]
    unknown = [f"there is no part {name!r}" for name in sorted(set(values) - names)]
    counts = {part.name: max(1, part.count) for part in parts}
    wrong = [
        f"{value} of part {name!r} is not between 0 and {_LARGEST // _MILLIONTHS // max(1, sum(counts.values()))}"
        for name, value in values.items()
        if not 0 <= value * _MILLIONTHS * max(1, sum(counts.values())) < _LARGEST
    ]
    return missing + unknown + wrong


def _whole(value: float) -> int:
    return int((Decimal(str(value)) * _MILLIONTHS).to_integral_value(ROUND_HALF_EVEN))


def _with_kerf(way: Way, kerf: int) -> Way:
    return replace(way, length=way.length + kerf, width=way.width + kerf)


def _filling(
    opening: Opening, pieces: Sequence[ValuedPiece], saw: Saw, most_nodes: int, seconds: float | None
) -> _Filling:
    """Fill the blanks of an opening, the largest first, each as well as what is left over allows.

    With one blank the answer is the engine's. With several, each blank's bound for all pieces is summed, since no
    blank can yield more, and so the whole is proven only if that sum is reached.
    """
    left, laid, value, bound = list(pieces), [], 0, 0
    blanks = [blank for blank in opening.blanks if min(blank.length, blank.width) > 0]
    for blank in sorted(blanks, key=lambda blank: -blank.length * blank.width):
        answer = _on_blank(blank, left, saw.kerf, most_nodes, seconds)
        laid += [_moved(one, blank, saw.kerf) for one in answer.laid]
        value += answer.value
        whole = answer if left == list(pieces) else _on_blank(blank, pieces, saw.kerf, most_nodes, seconds)
        bound += whole.bound
        left = _less(left, answer)
    total = sum(piece.value * (piece.count or 0) for piece in pieces)
    bound = max(value, min(bound, total))
    return _Filling(filled=Filled(opening=opening, laid=tuple(laid)), value=value, bound=bound, proven=value == bound)


def _on_blank(
    blank: Blank, pieces: Sequence[ValuedPiece], kerf: int, most_nodes: int, seconds: float | None
) -> SheetAnswer:
    """Return what the engine says of a blank; refereed once more with the real sizes and the kerf between them."""
    length, width = blank.length + kerf, blank.width + kerf
    answer = best_sheet(pieces, length, width, most_nodes=most_nodes, seconds=seconds)
    real = [replace(piece, ways=tuple(_with_kerf(way, -kerf) for way in piece.ways)) for piece in pieces]
    laid = tuple(replace(one, way=_with_kerf(one.way, -kerf)) for one in answer.laid)
    require_answer(real, blank.length, blank.width, replace(answer, laid=laid), kerf)
    return answer


def _moved(laid: Laid, blank: Blank, kerf: int) -> Laid:
    return replace(laid, x=laid.x + blank.x, y=laid.y + blank.y, way=_with_kerf(laid.way, -kerf))


def _less(pieces: Sequence[ValuedPiece], answer: SheetAnswer) -> list[ValuedPiece]:
    taken = Counter(laid.name for laid in answer.laid)
    return [replace(piece, count=(piece.count or 0) - taken[piece.name]) for piece in pieces]


def _sheet(job: CutJob, material: str, filled: Filled) -> CutSheet:
    sheet = CutSheet(number=1, stock=filled.opening.stock, root=_root(filled, Saw.of(job)))
    faults = list(sheet_faults(job, material, sheet))
    if faults:
        raise RefereeError("the sheet breaks its own rules:\n" + "\n".join(faults))
    return sheet


def _root(filled: Filled, saw: Saw) -> Region:
    """Return the tree of cuts; where gaps narrower than the blade are in its way, the pieces are closed up first."""
    for laid in _closed_up(filled, saw.kerf):
        root = cut_tree(replace(filled, laid=laid), saw)
        if root is not None:
            return root
    raise RefereeError("no cuts from edge to edge free the parts chosen for one sheet")


def _closed_up(filled: Filled, kerf: int) -> Iterator[tuple[Laid, ...]]:
    """Yield the pieces as they lie, then moved to the low corner of what cuts leave, until none moves any more.

    Moving pieces can open a cut that was not there before, and with it room to move again.
    """
    laid = filled.laid
    yield laid
    for _ in range(_MOST_MOVES):
        closed: list[Laid] = []
        for blank in filled.opening.blanks:
            closed += _cut_by_cut([one for one in laid if _is_on(one, blank)], blank, kerf)
        if tuple(closed) == laid:
            break
        laid = tuple(closed)
        yield laid
    for axis in (0, 1):
        strips = ([one for one in laid if _is_on(one, blank)] for blank in filled.opening.blanks)
        lows = ((blank.x, blank.y) for blank in filled.opening.blanks)
        yield tuple(one for group, low in zip(strips, lows, strict=True) for one in _close(group, low, kerf, axis))


def _cut_by_cut(group: list[Laid], blank: Blank, kerf: int) -> list[Laid]:
    """Return the pieces of a blank moved to the low corner of each rectangle that the longest cuts leave."""
    waiting = [(group, (blank.x, blank.y), (blank.x + blank.length, blank.y + blank.width))]
    closed: list[Laid] = []
    while waiting:
        held, low, high = waiting.pop()
        held = _shifted(held, low)
        for axis in sorted((0, 1), key=lambda axis: low[1 - axis] - high[1 - axis]):
            strips = _strips(held, kerf, axis) if len(held) > 1 else []
            reach = max((_span(laid, axis)[1] for laid in strips[0]), default=0) if strips else high[axis]
            if reach < high[axis]:
                rest = [laid for strip in strips[1:] for laid in strip]
                waiting += ((rest, _at(low, axis, reach + kerf), high), (strips[0], low, _at(high, axis, reach)))
                break
        else:
            closed += held
    return sorted(closed, key=lambda laid: (laid.x, laid.y))


def _shifted(group: list[Laid], low: tuple[int, int]) -> list[Laid]:
    """Return the pieces moved together, so that the lowest of them are at `low`."""
    x = min((laid.x for laid in group), default=0)
    y = min((laid.y for laid in group), default=0)
    return [replace(laid, x=laid.x - x + low[0], y=laid.y - y + low[1]) for laid in group]


def _at(point: tuple[int, int], axis: int, place: int) -> tuple[int, int]:
    return (place, point[1]) if axis == 0 else (point[0], place)


def _is_on(laid: Laid, blank: Blank) -> bool:
    return 0 <= laid.x - blank.x < blank.length and 0 <= laid.y - blank.y < blank.width


def _close(group: list[Laid], low: tuple[int, int], kerf: int, axis: int, *, tried: bool = False) -> list[Laid]:
    """Return the pieces of a rectangle moved to its low corner, strip by strip along `axis`, then within each."""
    if len(group) <= 1:
        return [replace(laid, x=low[0], y=low[1]) for laid in group]
    strips = _strips(group, kerf, axis)
    if len(strips) == 1:
        return group if tried else _close(group, low, kerf, 1 - axis, tried=True)
    closed: list[Laid] = []
    for strip in strips:
        moved = _close(strip, low, kerf, 1 - axis)
        closed += moved
        end = max(_span(laid, axis)[1] for laid in moved) + kerf
        low = (end, low[1]) if axis == 0 else (low[0], end)
    return closed


def _strips(group: Sequence[Laid], kerf: int, axis: int) -> list[list[Laid]]:
    """Return the pieces parted by every line across `axis` that the blade can follow without crossing one."""
    strips: list[list[Laid]] = []
    reach = 0
    for laid in sorted(group, key=lambda laid: _span(laid, axis)):
        start, end = _span(laid, axis)
        if not strips or start >= reach + kerf:
            strips.append([])
        strips[-1].append(laid)
        reach = max(reach, end)
    return strips


def _span(laid: Laid, axis: int) -> tuple[int, int]:
    return (laid.y, laid.y + laid.way.width) if axis else (laid.x, laid.x + laid.way.length)


def _counts(parts: Sequence[Part], filled: Filled) -> tuple[tuple[str, int], ...]:
    cut = Counter(laid.name for laid in filled.laid)
    return tuple((part.name, cut[part.name]) for part in parts if cut[part.name])
