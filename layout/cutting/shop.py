"""The ways in which the shop may open a sheet: crosscuts and rips into pieces that the car takes."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import product

from layout.cutting.shop_sides import ShopRules, Side, divisions, equal_parts
from layout.cutting.values import Blank, Forced

# For each aim, of the ways to divide a piece the best few are combined with those of the other pieces.
_MOST_EACH, _MOST_COMBINED = 2, 16
# When more cuts than this would be needed to fill a car, it is too small to say how many.
_MOST_CUTS_SAID = 60

Values = tuple[int, ...]
"""What a piece or a sheet is worth for each aim; the larger the better."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Division:
    """A sheet divided by the shop: cut along `axis` into pieces of `sizes`, each of those into its `across`; ticks."""

    axis: int
    sizes: tuple[int, ...]
    across: tuple[tuple[int, ...], ...]

    @property
    def cuts(self) -> int:
        """Return the number of the shop's cuts."""
        return len(self.sizes) + sum(map(len, self.across)) - 1 - len(self.across)

    def pieces(self, kerf: int) -> tuple[Blank, ...]:
        """Return the pieces that go home, in the order in which they fall."""
        starts = zip(_starts(self.sizes, kerf), self.sizes, self.across, strict=True)
        return tuple(piece for start, size, across in starts for piece in _row(self.axis, start, size, across, kerf))

    def forced(self, kerf: int, at_home: dict[Blank, Forced | None]) -> Forced | None:
        """Return the shop's cuts, and within each piece what is forced on it at home."""
        inner = iter([at_home[piece] for piece in self.pieces(kerf)])
        rows = [_chain(1 - self.axis, sizes, kerf, [next(inner) for _ in sizes]) for sizes in self.across]
        return _chain(self.axis, self.sizes, kerf, rows)


def shop_divisions(
    sides: tuple[Side, Side], rules: ShopRules, worth: Callable[[Blank], Values]
) -> tuple[Division, ...]:
    """Return ways for the shop to divide a sheet so that it can be carried, fit for choosing between.

    Parameters
    ----------
    sides
        The sheet's length and width.
    rules
        What the shop and the car allow.
    worth
        What a piece that comes home is worth for each aim, such as how many of a part it yields.

    Returns
    -------
    tuple of Division
        Each once, uncut first if the car takes that; empty when the cuts allowed do not get the sheet into
        the car.
    """
    ways = (divisions(sides[0], rules), divisions(sides[1], rules))
    found: dict[tuple[Blank, ...], Division] = {}
    for axis in (0, 1):
        task = _Task(axis=axis, across=ways[1 - axis], rules=rules, worth=worth)
        for sizes in ways[axis]:
            for division in _divided(sizes, task):
                found.setdefault(tuple(sorted(division.pieces(rules.kerf), key=_place)), division)
    return tuple(sorted(found.values(), key=lambda division: division.cuts))


@dataclass(frozen=True, kw_only=True, slots=True)
class _Task:
    """What stays the same while a sheet is divided along `axis`: the ways to divide its pieces `across`."""

    axis: int
    across: tuple[tuple[int, ...], ...]
    rules: ShopRules
    worth: Callable[[Blank], Values]


def least_cuts(length: int, width: int, rules: ShopRules) -> int | None:
    """Return a number of cuts into equal parts that gets a sheet into the car; None when no number does."""
    for pieces in range(1, _MOST_CUTS_SAID):
        for rows in range(1, pieces + 1):
            if pieces % rows == 0 and _equal_do(length, width, rows, pieces // rows, rules):
                return pieces - 1
    return None


def _equal_do(length: int, width: int, rows: int, columns: int, rules: ShopRules) -> bool:
    long, wide = (
        max(equal_parts(size, number, rules.kerf)) if size > (number - 1) * (rules.kerf + 1) else 0
        for size, number in ((length, columns), (width, rows))
    )
    sawn = rows * columns > 1
    return rules.carries(long, wide) and (not sawn or min(long, wide) >= rules.narrowest)


def _divided(sizes: tuple[int, ...], task: _Task) -> Iterator[Division]:
    """Yield divisions that begin with these sizes: for each aim the pieces divided in the best few ways."""
    starts = _starts(sizes, task.rules.kerf)
    options = [_options(start, size, task) for start, size in zip(starts, sizes, strict=True)]
    fewest = [min((len(row) - 1 for row, _ in each), default=task.rules.cuts + 1) for each in options]
    budget = task.rules.cuts - len(sizes) + 1
    spare = budget - sum(fewest)
    if spare < 0:
        return
    for aim in range(len(options[0][0][1])):
        kept = [_kept(each, aim, least + spare) for each, least in zip(options, fewest, strict=True)]
        combined = product(*kept) if _MOST_EACH ** len(kept) <= _MOST_COMBINED else zip(*kept, strict=False)
        for rows in (*combined, tuple(min((row for row, _ in each), key=len) for each in options)):
            if sum(len(row) - 1 for row in rows) <= budget and _may_be_sawn(sizes, rows, task.rules):
                yield Division(axis=task.axis, sizes=sizes, across=rows)


_Option = tuple[tuple[int, ...], Values]


def _options(start: int, size: int, task: _Task) -> list[_Option]:
    """Return the ways to divide one piece so that the car takes all of it, with what they are worth."""
    found = []
    for sizes in task.across:
        if all(task.rules.carries(size, wide) for wide in sizes):
            values = [task.worth(piece) for piece in _row(task.axis, start, size, sizes, task.rules.kerf)]
            found.append((sizes, tuple(map(sum, zip(*values, strict=True)))))
    return found


def _kept(options: list[_Option], aim: int, most: int) -> list[tuple[int, ...]]:
    affordable = [option for option in options if len(option[0]) - 1 <= most]
    ranked = sorted(affordable, key=lambda option: (-option[1][aim], len(option[0]), len(set(option[0]))))
    fewest = min(affordable, key=lambda option: len(option[0]))
    # The fewest cuts stay in reach, so that every piece can be had within the cuts allowed.
    return list(dict.fromkeys([option[0] for option in (*ranked[: _MOST_EACH - 1], fewest, *ranked)]))[:_MOST_EACH]


def _may_be_sawn(sizes: tuple[int, ...], rows: tuple[tuple[int, ...], ...], rules: ShopRules) -> bool:
    """Return whether no piece that the shop saws is too narrow; an uncut sheet is not sawn."""
    sawn = len(sizes) > 1 or any(len(row) > 1 for row in rows)
    return not sawn or min(*sizes, *(size for row in rows for size in row)) >= rules.narrowest


def _starts(sizes: tuple[int, ...], kerf: int) -> list[int]:
    return [sum(sizes[:i]) + i * kerf for i in range(len(sizes))]


def _row(axis: int, start: int, size: int, across: tuple[int, ...], kerf: int) -> list[Blank]:
    places = zip(_starts(across, kerf), across, strict=True)
    if axis:
        return [Blank(x=place, y=start, length=long, width=size) for place, long in places]
    return [Blank(x=start, y=place, length=size, width=wide) for place, wide in places]


def _chain(axis: int, sizes: tuple[int, ...], kerf: int, inner: list[Forced | None]) -> Forced | None:
    forced = inner[-1]
    for size, within in zip(sizes[-2::-1], inner[-2::-1], strict=True):
        forced = Forced(axis=axis, at=size, kerf=kerf, by="shop", low=within, high=forced)
    return forced


def _place(blank: Blank) -> tuple[int, int]:
    return blank.x, blank.y
