"""Where the shop may cut along one side of a sheet: in equal parts, or so that rows of a part just fit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from layout.cutting.grid import TICKS_PER_MM, ticks_down, ticks_up
from layout.model.cutting import CutJob, Shop

# Of the part sides, and of the rows that they make, this many are tried; the more wanted first.
_MOST_SIDES, _MOST_ROWS, _MOST_PAIRED = 12, 40, 10
# Of the ways to divide a side this many are kept: the best for each part side, then the best of all.
_MOST_DIVISIONS, _EACH = 28, 2
# Equal parts are asked for to a tenth of a millimetre, when that is possible; the last one takes the rest.
_TENTH = TICKS_PER_MM // 10


@dataclass(frozen=True, kw_only=True, slots=True)
class ShopRules:
    """What the shop and the car allow, and what is lost at home, in ticks.

    `kerf` is of the shop's blade, `home_kerf` of the one at home. `trim` is taken off every edge that the shop
    sawed. `car` is the largest piece, long side first; None when the car does not matter.
    """

    cuts: int
    narrowest: int
    kerf: int
    trim: int
    home_kerf: int
    car: tuple[int, int] | None

    @classmethod
    def of(cls, shop: Shop, job: CutJob) -> ShopRules:
        """Return the rules of a shop; what is lost rounds up, the car down."""
        car = None if shop.car is None else (ticks_down(max(shop.car)), ticks_down(min(shop.car)))
        return cls(
            cuts=shop.cuts,
            narrowest=max(1, ticks_up(shop.narrowest)),
            kerf=ticks_up(shop.kerf),
            trim=ticks_up(shop.trim),
            home_kerf=ticks_up(job.kerf),
            car=car,
        )

    def carries(self, length: int, width: int) -> bool:
        """Return whether the car takes a piece, either way round."""
        return self.car is None or (max(length, width) <= self.car[0] and min(length, width) <= self.car[1])


@dataclass(frozen=True, kw_only=True, slots=True)
class Side:
    """One side of a sheet, in ticks: its size, the trims of its factory edges, the part sides wanted along it."""

    size: int
    low: int
    high: int
    parts: tuple[int, ...]
    filled: dict[tuple[int, int], int] = field(default_factory=dict)

    def usable(self, sizes: tuple[int, ...], trim: int) -> list[int]:
        """Return what is left of each piece when its edges are trimmed, those within the sheet by `trim`."""
        last = len(sizes) - 1
        return [size - (trim if i else self.low) - (trim if i < last else self.high) for i, size in enumerate(sizes)]


def divisions(side: Side, rules: ShopRules) -> tuple[tuple[int, ...], ...]:
    """Return ways to divide a side, each as the sizes of the pieces from the low edge on; all may be sawn.

    The undivided side comes first, then equal parts, then the ways that waste least of the side.
    """
    longest = rules.car[0] if rules.car else side.size
    found = dict.fromkeys((*_equal(side, rules), *_by_parts(side, rules, longest)))
    sound = [sizes for sizes in found if max(sizes) <= longest and (len(sizes) == 1 or min(sizes) >= rules.narrowest)]
    return tuple(_best(sound, side, rules))


def equal_parts(size: int, pieces: int, kerf: int) -> tuple[int, ...]:
    """Return the sizes of equal parts with a kerf between each two; the last is larger by what does not divide."""
    each = (size - (pieces - 1) * kerf) // pieces
    each = each // _TENTH * _TENTH or each
    return (*[each] * (pieces - 1), size - (pieces - 1) * (each + kerf))


def _equal(side: Side, rules: ShopRules) -> Iterator[tuple[int, ...]]:
    for pieces in range(1, rules.cuts + 2):
        if side.size - (pieces - 1) * rules.kerf < pieces * rules.narrowest:
            break
        yield equal_parts(side.size, pieces, rules.kerf)


def _by_parts(side: Side, rules: ShopRules, longest: int) -> Iterator[tuple[int, ...]]:
    """Yield divisions whose first pieces just take rows of a part; the rest is one piece, or equal ones."""
    rows = _rows(side, rules)
    for row in rows:
        for times in range(1, rules.cuts + 1):
            yield from _with_rest([row] * times, side, rules, longest)
    for first in rows[:_MOST_PAIRED]:
        for second in rows[:_MOST_PAIRED]:
            if first != second:
                yield from _with_rest([first, second], side, rules, longest)


def _with_rest(rows: list[int], side: Side, rules: ShopRules, longest: int) -> Iterator[tuple[int, ...]]:
    trims = [(rules.trim if i else side.low) + rules.trim for i in range(len(rows))]
    firsts = [max(rules.narrowest, row + trim) for row, trim in zip(rows, trims, strict=True)]
    rest = side.size - sum(firsts) - len(rows) * rules.kerf
    if len(rows) > rules.cuts or rest < rules.narrowest:
        return
    yield (*firsts, rest)
    parts = -(-(rest + rules.kerf) // (longest + rules.kerf))
    if 1 < parts <= rules.cuts - len(rows) + 1:
        yield (*firsts, *equal_parts(rest, parts, rules.kerf))


def _rows(side: Side, rules: ShopRules) -> list[int]:
    """Return the lengths of 1, 2, … rows of each part side, kerfs between; of each side the fullest first."""
    kerf = rules.home_kerf
    each = [
        [n * part + (n - 1) * kerf for n in range(1, (side.size + kerf) // (part + kerf) + 1)]
        for part in side.parts[:_MOST_SIDES]
    ]
    deepest = max(map(len, each), default=0)
    in_turn = [rows[-1 - i] for i in range(deepest) for rows in each if i < len(rows)]
    return list(dict.fromkeys(in_turn))[:_MOST_ROWS]


def _best(found: list[tuple[int, ...]], side: Side, rules: ShopRules) -> Iterable[tuple[int, ...]]:
    """Return the undivided side, equal parts, the best for each part side, and then the best of all."""
    equal = [sizes for sizes in found if max(sizes) - min(sizes) < _TENTH * len(sizes)]
    chosen = dict.fromkeys(equal)
    for part in side.parts[:_MOST_SIDES]:
        ranked = sorted(found, key=lambda sizes: (-_used(sizes, (part,), side, rules), len(sizes)))
        chosen |= dict.fromkeys(ranked[:_EACH])
    ranked = sorted(found, key=lambda sizes: (-_used(sizes, side.parts[:_MOST_SIDES], side, rules), len(sizes)))
    chosen |= dict.fromkeys(ranked[: max(0, _MOST_DIVISIONS - len(chosen))])
    return chosen


def _used(sizes: tuple[int, ...], parts: tuple[int, ...], side: Side, rules: ShopRules) -> int:
    """Return how much of a divided side rows of at most two of the `parts` fill."""
    return sum(_filled(usable, parts, side, rules.home_kerf) for usable in side.usable(sizes, rules.trim))


def _filled(usable: int, parts: tuple[int, ...], side: Side, kerf: int) -> int:
    key = (usable, parts[0] if len(parts) == 1 else 0)
    if key not in side.filled:
        side.filled[key] = max((_two(usable, first, second, kerf) for first in parts for second in parts), default=0)
    return side.filled[key]


def _two(usable: int, first: int, second: int, kerf: int) -> int:
    """Return how much of a length rows of `first` fill, as many as go in, and rows of `second` beside them."""
    many = max(0, (usable + kerf) // (first + kerf))
    left = usable - many * (first + kerf)
    more = max(0, (left + kerf) // (second + kerf))
    return many * first + more * second
