"""Builds as trees: pieces joined side by side or one above the other, and where that puts each piece."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from layout.cutting.one_sheet.field import Field
from layout.cutting.one_sheet.kinds import PieceKind
from layout.cutting.one_sheet.store import ABOVE, BESIDE, EMPTY


@dataclass(frozen=True, kw_only=True, slots=True)
class Build:
    """A rectangle of pieces, `length` by `width` ticks: one piece (`way` is its number), or a join of others.

    `axis` 0: the parts lie side by side along the length; 1: one above the other.
    """

    length: int
    width: int
    way: int = -1
    axis: int = 0
    parts: tuple[Build, ...] = ()


def piece_build(field: Field, number: int) -> Build:
    """Return the build of one piece, laid the way of that number."""
    kind, way = field.ways[number]
    laid = field.kinds[kind].ways[way]
    return Build(length=laid.length, width=laid.width, way=number)


def joined(parts: Sequence[Build | None], axis: int) -> Build | None:
    """Return what is there of some builds, joined along an axis; None when nothing is."""
    there = tuple(part for part in parts if part is not None)
    if len(there) < 2:  # noqa: PLR2004 - one build alone is no join
        return there[0] if there else None
    lengths, widths = [part.length for part in there], [part.width for part in there]
    if axis == 0:
        return Build(length=sum(lengths), width=max(widths), axis=0, parts=there)
    return Build(length=max(lengths), width=sum(widths), axis=1, parts=there)


def traced(field: Field, script: Sequence[int]) -> Build | None:
    """Return the build that a script tells: joins before their parts, ways of pieces by number, negative signs.

    `EMPTY` is no piece, `BESIDE` and `ABOVE` join the two that follow. A script instead of a tree of calls, since
    a row of narrow strips would nest deeper than Python allows.
    """
    waiting: list[Build | None] = []
    for sign in reversed(script):
        if sign >= 0:
            waiting.append(piece_build(field, sign))
        elif sign == EMPTY:
            waiting.append(None)
        else:
            first, second = waiting.pop(), waiting.pop()
            waiting.append(joined((first, second), 0 if sign == BESIDE else 1))
    return waiting.pop() if waiting else None


def counted(field: Field, script: Sequence[int]) -> Counter[int]:
    """Return how many pieces of each kind a script asks for."""
    return Counter(field.ways[sign][0] for sign in script if sign >= 0)


def trimmed(field: Field, script: Sequence[int]) -> list[int]:
    """Return the script without the pieces beyond the copies that there are."""
    left = [kind.most for kind in field.kinds]
    kept = []
    for sign in script:
        if sign >= 0:
            left[field.ways[sign][0]] -= 1
        kept.append(sign if sign < 0 or left[field.ways[sign][0]] >= 0 else EMPTY)
    return kept


def written(build: Build) -> list[int]:
    """Return the script of a build, from which `traced` makes it again."""
    script, waiting = [], [build]
    while waiting:
        one = waiting.pop()
        if one.parts:
            script.append(ABOVE if one.axis else BESIDE)
            waiting += reversed(one.parts)
        else:
            script.append(one.way)
    return script


def worth(kinds: Sequence[PieceKind], counts: Counter[int]) -> int:
    """Return the total value of so many pieces of each kind."""
    return sum(kinds[kind].value * count for kind, count in counts.items())


def laid_out(build: Build | None) -> Iterator[tuple[int, int, int]]:
    """Yield each piece of a build as (number of its way, x, y) from the build's low corner."""
    waiting = [(build, 0, 0)] if build else []
    while waiting:
        one, x, y = waiting.pop()
        if not one.parts:
            yield one.way, x, y
        for part in one.parts:
            waiting.append((part, x, y))
            x, y = (x + part.length, y) if one.axis == 0 else (x, y + part.width)


def of_store(field: Field, store: Any, number: int) -> Build | None:
    """Return the build of that number of a store."""
    script, waiting = [], [number]
    while waiting:
        build = waiting.pop()
        first = int(store.first[build])
        if first < 0:
            script.append(-1 - first)
        else:
            script.append(ABOVE if store.axis[build] else BESIDE)
            waiting += (int(store.second[build]), first)
    return traced(field, script)
