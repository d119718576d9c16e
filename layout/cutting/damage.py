"""The ways to cut around the damage of a sheet: which rectangles can be had, and the cuts that free them."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from itertools import combinations
from typing import Literal

from layout.cutting.grid import TICKS_PER_MM, ticks_down, ticks_up
from layout.cutting.values import Blank, Forced
from layout.model.cutting import Damage

# More damages than this are taken together, the nearest first: each one multiplies the ways to cut.
_MOST_DAMAGES = 3
# Of the ways to clear a piece of a piece, this many are gone on with: where many ways are asked for, where few.
_MANY_WITHIN, _FEW_WITHIN = 6, 2
# So many ways are few.
_FEW = 4
# Damage that lies on a piece's low edge and is no wider than the blade: this much falls off before it.
_SLIVER = TICKS_PER_MM


@dataclass(frozen=True, kw_only=True, slots=True)
class Cleared:
    """One way to cut around damage: the cuts, relative to the piece that is cut, and the sound blanks they leave.

    No cuts and no blanks: the piece is spoiled. No cuts and one blank: the piece is sound.
    """

    blanks: tuple[Blank, ...]
    forced: Forced | None = None
    cuts: int = 0


@dataclass(frozen=True, kw_only=True, slots=True)
class _Task:
    """What stays the same while a piece is cleared: the damage, the blade (ticks), which rectangles are of use."""

    damage: tuple[Blank, ...]
    kerf: int
    useful: Callable[[Blank], bool]
    within: int
    known: dict[Blank, tuple[Cleared, ...]] = field(default_factory=dict)


def damages(stock_damage: Iterable[Damage]) -> tuple[Blank, ...]:
    """Return damage as rectangles in ticks, rounded outwards; at most three, near ones taken together."""
    found = [rectangle(damage) for damage in stock_damage]
    while len(found) > _MOST_DAMAGES:
        first, second = min(combinations(found, 2), key=lambda pair: _growth(*pair))
        found = [each for each in found if each is not first and each is not second]
        found.append(_together(first, second))
    return tuple(found)


def cleared(
    piece: Blank, damage: tuple[Blank, ...], kerf: int, useful: Callable[[Blank], bool], most: int
) -> tuple[Cleared, ...]:
    """Return at most `most` ways to cut `piece` around `damage`, the most different first.

    Parameters
    ----------
    piece
        What is cut, its trims already taken off; ticks.
    damage
        Rectangles that no part may touch; a part may end where one begins, since the blade goes within it.
    kerf
        The blade's width, in ticks.
    useful
        Whether it is worth a cut to free a rectangle.
    most
        The most ways to return, 1 or more.

    Returns
    -------
    tuple of Cleared
        At least one. None is dominated: no other holds all its blanks within its own.
    """
    within = _FEW_WITHIN if most <= _FEW else _MANY_WITHIN
    return _varied(_all_ways(piece, _Task(damage=damage, kerf=kerf, useful=useful, within=within)), most)


def cleared_plainly(piece: Blank, damage: tuple[Blank, ...], kerf: int, useful: Callable[[Blank], bool]) -> Cleared:
    """Return one way to cut a piece around damage: each cut frees the largest sound rectangle that it can.

    Quick, so that thousands of pieces can be compared; takes what `cleared` takes.
    """
    task = _Task(damage=damage, kerf=kerf, useful=useful, within=1)
    hit = [each for each in damage if touch(piece, each)]
    if not hit:
        return Cleared(blanks=(piece,))
    lines = _lines(piece, hit, task)
    if not lines:
        return Cleared(blanks=())
    axis, at, blade = max(lines, key=lambda line: _frees(piece, line, damage))
    rest = _span(piece, axis)[1] - at - blade
    low = cleared_plainly(_part_of(piece, axis, 0, at), damage, kerf, useful)
    above = _part_of(piece, axis, at + blade, rest)
    high = cleared_plainly(above, damage, kerf, useful) if rest else Cleared(blanks=())
    whole = _joined(axis, at, blade, low, high)
    return whole if any(map(useful, whole.blanks)) else Cleared(blanks=())


def freeing(piece: Blank, damage: tuple[Blank, ...], kerf: int, length: int, width: int) -> Cleared | None:
    """Return the cuts that free one sound rectangle of just this size from a piece; None where there is no place.

    Pushed to the low edges as far as it goes, it stops at the piece's own or beyond some damage.
    """
    for x in (piece.x, *(each.x + each.length for each in damage)):
        for y in (piece.y, *(each.y + each.width for each in damage)):
            place = Blank(x=x, y=y, length=length, width=width)
            reached = all(gap == 0 or gap > kerf for gap in (x - piece.x, y - piece.y))
            if reached and inside(place, piece) and not any(touch(place, each) for each in damage):
                return Cleared(blanks=(place,), forced=_out_of(piece, place, kerf), cuts=4)
    return None


def _out_of(piece: Blank, place: Blank, kerf: int) -> Forced | None:
    """Return the cuts that free a place: before it and beyond it along the length, then along the width."""
    forced: Forced | None = None
    for axis in (1, 0):
        low, size = _span(place, axis)
        before = low - _span(piece, axis)[0]
        beyond = _span(piece, axis)[1] - before - size
        if beyond:
            forced = Forced(axis=axis, at=size, kerf=min(kerf, beyond), low=forced, spoiled="high")
        if before:
            forced = Forced(axis=axis, at=before - kerf, kerf=kerf, high=forced, spoiled="low")
    return forced


_Cut = tuple[int, int, int]
"""The axis, the distance and the kerf of a cut."""


def _frees(piece: Blank, line: _Cut, damage: tuple[Blank, ...]) -> int:
    """Return the area of the larger sound piece that a cut leaves; 0 when it leaves none."""
    axis, at, kerf = line
    rest = _span(piece, axis)[1] - at - kerf
    both = (_part_of(piece, axis, 0, at), _part_of(piece, axis, at + kerf, rest))
    return max((_area(part) for part in both if not any(touch(part, each) for each in damage)), default=0)


def _ways(piece: Blank, task: _Task) -> tuple[Cleared, ...]:
    if piece not in task.known:
        task.known[piece] = _varied(_all_ways(piece, task), task.within)
    return task.known[piece]


def _all_ways(piece: Blank, task: _Task) -> list[Cleared]:
    """Return the ways that begin with a cut along a side of some damage; just the spoiled piece when none helps."""
    hit = [each for each in task.damage if touch(piece, each)]
    if not hit:
        return [Cleared(blanks=(piece,))]
    found = [way for line in _lines(piece, hit, task) for way in _split(piece, line, task)]
    return found or [Cleared(blanks=())]


def _lines(piece: Blank, hit: list[Blank], task: _Task) -> list[_Cut]:
    """Return the cuts along a side of some damage that free something of use."""
    found = (_line(piece, damage, axis, side, task) for damage in hit for axis in (0, 1) for side in ("low", "high"))
    return list(dict.fromkeys(line for line in found if line is not None))


def _line(piece: Blank, damage: Blank, axis: int, side: str, task: _Task) -> _Cut | None:
    """Return the cut that frees what lies beside the damage; None when that is no use."""
    low, size = _span(piece, axis)
    at = _span(damage, axis)[0] - low
    if side == "high":
        at += _span(damage, axis)[1] - task.kerf
        at = at if at > 0 else _SLIVER
    if not 0 < at < size:
        return None
    kerf = min(task.kerf, size - at)
    freed = _part_of(piece, axis, 0, at) if side == "low" else _part_of(piece, axis, at + kerf, size - at - kerf)
    return (axis, at, kerf) if min(freed.length, freed.width) > 0 and task.useful(freed) else None


def _split(piece: Blank, line: _Cut, task: _Task) -> list[Cleared]:
    axis, at, kerf = line
    rest = _span(piece, axis)[1] - at - kerf
    lows = _ways(_part_of(piece, axis, 0, at), task)
    highs = _ways(_part_of(piece, axis, at + kerf, rest), task) if rest else (Cleared(blanks=()),)
    both = (_joined(axis, at, kerf, low, high) for low in lows for high in highs)
    return [ways for ways in both if any(map(task.useful, ways.blanks))]


def _joined(axis: int, at: int, kerf: int, low: Cleared, high: Cleared) -> Cleared:
    spoiled: Literal["", "low", "high"] = "" if low.blanks else "low"
    spoiled = spoiled if high.blanks else "high"
    forced = Forced(axis=axis, at=at, kerf=kerf, low=low.forced, high=high.forced, spoiled=spoiled)
    return Cleared(blanks=(*low.blanks, *high.blanks), forced=forced, cuts=1 + low.cuts + high.cuts)


def _varied(ways: Iterable[Cleared], most: int) -> tuple[Cleared, ...]:
    """Return the ways that none dominates, each next one the one that offers most that those before it do not."""
    fewest: dict[frozenset[Blank], Cleared] = {}
    for way in sorted(ways, key=lambda way: way.cuts):
        fewest.setdefault(frozenset(way.blanks), way)
    left = [way for way in fewest.values() if not any(_within(way, other) for other in fewest.values())]
    chosen: list[Cleared] = []
    seen: list[Blank] = []
    while left and len(chosen) < most:
        best = max(left, key=lambda way: _offers(way, seen))
        left.remove(best)
        chosen.append(best)
        seen += best.blanks
    return tuple(chosen)


def _offers(way: Cleared, seen: list[Blank]) -> tuple[int, int, int]:
    """Return how much is new in a way: its largest new blank, all its new blanks, and few cuts."""
    new = [_area(blank) for blank in way.blanks if not any(inside(blank, other) for other in seen)]
    return max(new, default=0), sum(new), -way.cuts


def _within(way: Cleared, other: Cleared) -> bool:
    if way is other:
        return False
    return all(any(inside(blank, large) for large in other.blanks) for blank in way.blanks)


def inside(blank: Blank, other: Blank) -> bool:
    """Return whether a rectangle lies within another; edges may meet."""
    return (
        other.x <= blank.x
        and other.y <= blank.y
        and blank.x + blank.length <= other.x + other.length
        and blank.y + blank.width <= other.y + other.width
    )


def rectangle(damage: Damage) -> Blank:
    """Return damage as a rectangle in ticks, rounded outwards."""
    x, y = ticks_down(damage.x), ticks_down(damage.y)
    far, high = ticks_up(damage.x + damage.length), ticks_up(damage.y + damage.width)
    return Blank(x=x, y=y, length=far - x, width=high - y)


def _together(first: Blank, second: Blank) -> Blank:
    low = [min(_span(first, axis)[0], _span(second, axis)[0]) for axis in (0, 1)]
    high = [max(sum(_span(first, axis)), sum(_span(second, axis))) for axis in (0, 1)]
    return Blank(x=low[0], y=low[1], length=high[0] - low[0], width=high[1] - low[1])


def _growth(first: Blank, second: Blank) -> int:
    return _area(_together(first, second)) - _area(first) - _area(second)


def touch(piece: Blank, damage: Blank) -> bool:
    """Return whether two rectangles share more than an edge."""
    return (
        piece.x < damage.x + damage.length
        and damage.x < piece.x + piece.length
        and piece.y < damage.y + damage.width
        and damage.y < piece.y + piece.width
    )


def _span(blank: Blank, axis: int) -> tuple[int, int]:
    """Return where a rectangle begins along an axis, and its size along it."""
    return (blank.y, blank.width) if axis else (blank.x, blank.length)


def _part_of(piece: Blank, axis: int, start: int, size: int) -> Blank:
    if axis:
        return Blank(x=piece.x, y=piece.y + start, length=piece.length, width=size)
    return Blank(x=piece.x + start, y=piece.y, length=size, width=piece.width)


def _area(blank: Blank) -> int:
    return blank.length * blank.width
