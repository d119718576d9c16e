"""From the answer of a search to the plan that people and the referee read: names, places, claims and proof."""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from layout.cutting.grid import ticks_up, to_mm
from layout.cutting.lengths.proof import Known, least
from layout.cutting.lengths.values import Load, Question
from layout.cutting.lengths.words import why
from layout.model.lengths import BarJob, BarMaterial, BarProof, CutBar, CutPiece, TriedBars, Weights

_MOST_TO_SHORTEN = 25


def build(job: BarJob, asked: Question, plan: Sequence[Load], known: Known) -> BarMaterial:
    """Return the plan of one material, with what `known` proves of it and no more."""
    known = _shortest(asked, plan, known)
    fewest, cheapest, bars, proven = _claims(asked, plan, known)
    made, unplaced = _bars(job, asked, plan)
    cost = math.fsum(bar.stock.price for bar in made)
    material = BarMaterial(
        material=asked.material,
        bars=made,
        cost=cost,
        least_cost=cost if proven else cheapest // asked.key_unit / asked.price_scale,
        fewest_bars=bars,
        proven=proven,
        fewest_missing=fewest,
        unplaced=unplaced,
        proof=_proof(asked, known),
    )
    return replace(material, why=why(asked, material, known))


def _claims(asked: Question, plan: Sequence[Load], known: Known) -> tuple[int, int, int, bool]:
    """Return what is known of the fewest pieces missing, the least key, the fewest bars, and whether all is met."""
    missing, key = asked.rank(plan)
    fewest = known.fewest_missing(asked)
    cheapest = least(asked, known, missing, key)
    bars = least(asked, known, missing, len(plan) + 1, [1] * len(asked.sizes))
    return fewest, cheapest.floor, bars.floor, fewest == missing and cheapest.sure and cheapest.bars is None


def _shortest(asked: Question, plan: Sequence[Load], known: Known) -> Known:
    """Return the part of what is known that proves as much: plain reasons stay, others only where they are needed."""
    if len(known.walls) + len(known.tried) > _MOST_TO_SHORTEN:
        return known
    claims = _claims(asked, plan, known)
    for less in (*(("tried", item) for item in known.tried), *(("walls", item) for item in reversed(known.walls))):
        name, item = less
        fewer = replace(known, **{name: tuple(other for other in getattr(known, name) if other is not item)})
        if _claims(asked, plan, fewer) == claims:
            known = fewer
    return known


def _proof(asked: Question, known: Known) -> BarProof:
    names = [tuple(dict.fromkeys(kind.names)) for kind in asked.kinds]
    weights = tuple(
        Weights(
            worth=tuple((name, each) for of, each in zip(names, wall.worth, strict=True) for name in of),
            most=tuple((size.bar.name, most) for size, most in zip(asked.sizes, wall.most, strict=True)),
            reason=wall.reason,
        )
        for wall in known.walls
    )
    tried = tuple(
        TriedBars(
            bars=tuple((size.bar.name, n) for size, n in zip(asked.sizes, item.bars, strict=True)),
            missing=item.missing,
        )
        for item in known.tried
    )
    return BarProof(weights=weights, tried=tried)


def _bars(job: BarJob, asked: Question, plan: Sequence[Load]) -> tuple[tuple[CutBar, ...], tuple[str, ...]]:
    """Return the bars, fullest first within a size and like bars together, and the names of the pieces missing."""
    names = [deque(kind.names) for kind in asked.kinds]
    made = tuple(
        _bar(job, asked, number, load, _taken(names, load)) for number, load in enumerate(_sorted(asked, plan), 1)
    )
    return made, tuple(name for left in names for name in left)


def _sorted(asked: Question, plan: Iterable[Load]) -> list[Load]:
    room = {load: asked.sizes[load.size].room - asked.load(load.counts) for load in plan}
    return sorted(plan, key=lambda load: (load.size, room[load], [-n for n in load.counts]))


def _taken(names: list[deque[str]], load: Load) -> Iterator[tuple[int, str]]:
    for kind, count in enumerate(load.counts):
        yield from ((kind, names[kind].popleft()) for _ in range(count))


def _bar(job: BarJob, asked: Question, number: int, load: Load, pieces: Iterable[tuple[int, str]]) -> CutBar:
    at, made = ticks_up(job.trim), []
    for kind, name in pieces:
        weight = asked.kinds[kind].weight
        made.append(CutPiece(part=name, at=to_mm(at), length=to_mm(weight - asked.kerf)))
        at += weight
    size = asked.sizes[load.size]
    leftover = max(0, size.room - asked.load(load.counts) - asked.kerf)
    return CutBar(number=number, stock=size.bar, pieces=tuple(made), leftover=to_mm(leftover))
