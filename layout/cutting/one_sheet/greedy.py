"""Quick real answers to start from: fill the sheet piece by piece, in many orders, and take the best."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass

from layout.cutting.one_sheet.build import Build, counted, traced, worth, written
from layout.cutting.one_sheet.field import Field
from layout.cutting.one_sheet.store import ABOVE, BESIDE, EMPTY

# Orders tried: the plain ones, then shuffled a little; fewer for many pieces, since each takes longer.
_TRIES, _LEAST_TRIES, _WORK = 60, 6, 20_000
_SHAKE = 0.7
# Ways tried to fill the sheet around a build.
_AROUND = 20
_COIN = 0.5


@dataclass(frozen=True, kw_only=True, slots=True)
class _How:
    """One way to fill: the ways of pieces in the order in which they are tried, and how the rest is cut."""

    order: list[int]
    number: int
    dice: random.Random

    def beside_first(self, longer: bool) -> bool:
        """Return whether the first cut runs along a piece's width: where more is left, the other way, or by lot."""
        return (longer, not longer, self.dice.random() < _COIN)[self.number // 5 % 3]


def greedy_build(field: Field) -> tuple[Build | None, int]:
    """Return the best of the builds tried and its value; the same for the same field."""
    pieces = sum(kind.most for kind in field.kinds)
    dice = random.Random(pieces)
    best: list[int] = []
    value = 0
    for number in range(max(_LEAST_TRIES, min(_TRIES, _WORK // max(1, pieces)))):
        how = _How(order=_order(field, number, dice), number=number, dice=dice)
        script = _filled(field, [kind.most for kind in field.kinds], (field.length, field.width), how)
        reached = worth(field.kinds, counted(field, script))
        if reached > value:
            best, value = script, reached
    return traced(field, best), value


def completed(field: Field, build: Build) -> tuple[Build | None, int]:
    """Return the best of a few ways to fill the sheet around a build, and the value of it all."""
    dice = random.Random(build.length)
    script = written(build)
    beyond, above = field.length - build.length, field.width - build.width
    best: list[int] = []
    value = 0
    for number in range(_AROUND):
        how = _How(order=_order(field, number, dice), number=number, dice=dice)
        left = [kind.most - used for kind, used in zip(field.kinds, _used(field, script), strict=True)]
        if number % 2:
            over = _filled(field, left, (build.length, above), how)
            whole = [BESIDE, ABOVE, *script, *over, *_filled(field, left, (beyond, field.width), how)]
        else:
            by = _filled(field, left, (beyond, build.width), how)
            whole = [ABOVE, BESIDE, *script, *by, *_filled(field, left, (field.length, above), how)]
        reached = worth(field.kinds, counted(field, whole))
        if reached > value:
            best, value = whole, reached
    return traced(field, best), value


def _used(field: Field, script: Sequence[int]) -> list[int]:
    counts = counted(field, script)
    return [counts[kind] for kind in range(len(field.kinds))]


def _order(field: Field, number: int, dice: random.Random) -> list[int]:
    """Return the ways by number, in the order in which they are tried: large, dear, long or wide first."""
    ways = [field.kinds[kind].ways[way] for kind, way in field.ways]
    dear = [field.kinds[kind].value / field.kinds[kind].area for kind, _ in field.ways]
    keys = (
        [way.length * way.width for way in ways],
        [way.length * way.width * much for way, much in zip(ways, dear, strict=True)],
        dear,
        [way.length for way in ways],
        [way.width for way in ways],
    )
    key = keys[number % len(keys)]
    shake = 0.0 if number < 2 * len(keys) else _SHAKE
    weights = [weight * (1 - shake * dice.random()) for weight in key]
    return sorted(range(len(ways)), key=lambda way: -weights[way])


def _filled(field: Field, left: list[int], room: tuple[int, int], how: _How) -> list[int]:
    """Return the script of a rectangle filled in an order, and take the copies used from `left`."""
    script, waiting = [], [room]
    while waiting:
        length, width = waiting.pop()
        way = next((way for way in how.order if _goes(field, way, left, length, width)), None)
        if way is None:
            script.append(EMPTY)
            continue
        kind, which = field.ways[way]
        left[kind] -= 1
        laid = field.kinds[kind].ways[which]
        beyond, above = length - laid.length, width - laid.width
        if how.beside_first(beyond > above):
            script += (BESIDE, ABOVE, way)
            waiting += ((beyond, width), (laid.length, above))
        else:
            script += (ABOVE, BESIDE, way)
            waiting += ((length, above), (beyond, laid.width))
    return script


def _goes(field: Field, way: int, left: Sequence[int], length: int, width: int) -> bool:
    kind, which = field.ways[way]
    laid = field.kinds[kind].ways[which]
    return left[kind] > 0 and laid.length <= length and laid.width <= width
