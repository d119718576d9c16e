"""Which of the shop's ways to open a sheet are worth offering to the search: good for each part, and unlike."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from itertools import zip_longest

from layout.cutting.damage import inside
from layout.cutting.shop import Division, Values
from layout.cutting.values import Blank, Kind, Way

# Besides all parts together, this many parts have an aim of their own; the more wanted first.
_MOST_AIMS = 6
# So many ways are packed in earnest, with at most so many pieces, for how they do with all parts together.
_MOST_PACKED, _MOST_PIECES = 120, 80
# Ways that yield the same number of every part and take as many cuts: more than this many are no variety.
_ALIKE = 3


@dataclass(frozen=True, kw_only=True, slots=True)
class Worth:
    """What blanks are worth to the parts wanted: `kinds` by area wanted, the largest first; `kerf` at home, ticks."""

    kinds: tuple[Kind, ...]
    kerf: int
    known: dict[tuple[int, int], Values] = field(default_factory=dict)

    def of(self, blanks: Iterable[Blank]) -> Values:
        """Return the area that one part each would fill, and how many of each part that has an aim go in."""
        each = [self._blank(blank.length, blank.width) for blank in blanks]
        return tuple(map(sum, zip(*each, strict=True))) or (0,) * (1 + len(self._aimed))

    @property
    def _aimed(self) -> tuple[Kind, ...]:
        return self.kinds[:_MOST_AIMS]

    def _blank(self, length: int, width: int) -> Values:
        key = (length, width)
        if key not in self.known:
            counts = [most_of(length, width, kind.ways, self.kerf) for kind in self.kinds]
            areas = (kind.area * min(kind.count, count) for kind, count in zip(self.kinds, counts, strict=True))
            self.known[key] = (max(areas, default=0), *counts[:_MOST_AIMS])
        return self.known[key]


def worth(kinds: Iterable[Kind], kerf: int) -> Worth:
    """Return the worth of blanks to `kinds`; `kerf` of the saw at home, in ticks."""
    return Worth(kinds=tuple(sorted(kinds, key=lambda kind: -kind.area * kind.count)), kerf=kerf)


def most_of(length: int, width: int, ways: tuple[Way, ...], kerf: int) -> int:
    """Return how many of one part go in a blank in rows laid one way, the rest of it filled with rows laid the other.

    Not always the most that can be cut, but what a person would see; lengths in ticks.
    """
    best = 0
    for first in ways:
        for second in ways:
            best = max(best, *_in_two(length, width, first, second, kerf))
    return best


def _in_two(length: int, width: int, first: Way, second: Way, kerf: int) -> Iterator[int]:
    columns, rows = _fit(length, first.length, kerf), _fit(width, first.width, kerf)
    yield columns * rows
    if first != second:
        for i in range(columns + 1):
            yield i * rows + _grid(length - i * (first.length + kerf), width, second, kerf)
        for i in range(rows + 1):
            yield i * columns + _grid(length, width - i * (first.width + kerf), second, kerf)


def _grid(length: int, width: int, way: Way, kerf: int) -> int:
    return _fit(length, way.length, kerf) * _fit(width, way.width, kerf)


def _fit(long: int, part: int, kerf: int) -> int:
    return max(0, (long + kerf) // (part + kerf))


@dataclass(frozen=True, kw_only=True, slots=True)
class Offer:
    """A division of the shop with the blanks that are left when it has been trimmed and cleared at home."""

    division: Division
    blanks: tuple[Blank, ...]
    values: Values


def chosen(offers: Iterable[Offer], of: Worth, most: int) -> tuple[Offer, ...]:
    """Return at most `most` offers: in turn the next best for all parts together, for each part, and for few cuts.

    None is dominated: there is no other with as few cuts that holds all its blanks within its own.
    """
    found = [offer for offer in offers if offer.values[0]]
    mixed = sorted(found, key=lambda offer: (-offer.values[0], offer.division.cuts))[:_MOST_PACKED]
    lists = [sorted(mixed, key=lambda offer: (-packed(offer.blanks, of), offer.division.cuts))]
    lists += [_by_aim(found, aim, kind.count) for aim, kind in enumerate(of.kinds[:_MOST_AIMS], 1)]
    lists.append(sorted(found, key=lambda offer: (offer.division.cuts, -offer.values[0])))
    picked: list[Offer] = []
    alike: Counter[tuple[Values, int]] = Counter()
    for offer in dict.fromkeys(offer for row in zip_longest(*lists) for offer in row if offer):
        like = (offer.values, offer.division.cuts)
        if alike[like] < _ALIKE and not any(_dominates(other, offer) for other in picked):
            alike[like] += 1
            picked = [*(other for other in picked if not _dominates(offer, other)), offer]
        if len(picked) == most:
            break
    return tuple(picked)


def _by_aim(found: list[Offer], aim: int, wanted: int) -> list[Offer]:
    return sorted(
        (offer for offer in found if offer.values[aim]),
        key=lambda offer: (-min(wanted, offer.values[aim]), offer.division.cuts, -offer.values[0]),
    )


def _dominates(offer: Offer, other: Offer) -> bool:
    if offer.division.cuts > other.division.cuts:
        return False
    return all(any(inside(blank, large) for large in offer.blanks) for blank in other.blanks)


def packed(blanks: Iterable[Blank], of: Worth) -> int:
    """Return the area of the wanted pieces that go on empty blanks, the largest first, each where it leaves least."""
    free = [(blank.length, blank.width) for blank in blanks]
    pieces = [kind for kind in sorted(of.kinds, key=lambda kind: -kind.area) for _ in range(kind.count)]
    total = 0
    for kind in pieces[:_MOST_PIECES]:
        fits = [
            (long * wide - kind.area, i, way)
            for i, (long, wide) in enumerate(free)
            for way in kind.ways
            if way.length <= long and way.width <= wide
        ]
        if fits:
            _, i, way = min(fits, key=lambda fit: fit[:2])
            free[i : i + 1] = _left(*free[i], way, of.kerf)
            total += kind.area
    return total


def _left(length: int, width: int, way: Way, kerf: int) -> list[tuple[int, int]]:
    """Return what one piece leaves of a blank, cut so that the larger rest is as large as can be."""
    beyond, above = length - way.length - kerf, width - way.width - kerf
    whole = (beyond, width) if beyond * width >= length * above else (length, above)
    rest = (way.length, above) if whole[0] == beyond else (beyond, way.width)
    return [size for size in (whole, rest) if min(size) > 0]
