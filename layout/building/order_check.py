"""Whether an order of build holds: nothing before what it needs, and every piece and every screw in one step."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from itertools import chain

from layout.building.fixings import fixings
from layout.building.order import grouped, piece_counts, step_names
from layout.model.building import Hardware, Step
from layout.model.rule import Rule
from layout.model.thing import Thing


def order_faults(steps: Sequence[Step], things: Sequence[Thing], rules: Mapping[str, Rule]) -> tuple[str, ...]:
    """Return what does not hold of an order of build, in words.

    No step comes before one that it needs; each unit is put together dry before it is glued, and each of its pieces and
    all of its hardware are in one step that puts it together.
    """
    return (*_too_early(steps), *_not_once(steps, things, rules))


def _too_early(steps: Sequence[Step]) -> Iterator[str]:
    done: set[str] = set()
    for step in steps:
        if step.name in done:
            yield f"two steps are called {step.name}"
        yield from (f"{step.name} comes before {name}, which it needs" for name in step.after if name not in done)
        done.add(step.name)


def _not_once(steps: Sequence[Step], things: Sequence[Thing], rules: Mapping[str, Rule]) -> Iterator[str]:
    for name, units in grouped(things).items():
        own = [step for step in steps if step.name in step_names(units[0])]
        dry = [i for i, step in enumerate(own) if step.dry]
        glued = [i for i, step in enumerate(own) if step.pieces and not step.dry]
        if not units[0].steps and not (dry and glued and dry[0] < glued[0]):
            yield f"{name} is not put together dry before it is glued"
        pieces = Counter(chain.from_iterable(own[i].pieces for i in glued))
        wanted = piece_counts(units[0])
        yield from (f"{name}: {piece} is put in {pieces[piece]} times, not {wanted[piece]}"
                    for piece in {**wanted, **pieces} if pieces[piece] != wanted[piece])  # fmt: skip
        yield from _hardware_faults(name, own, fixings(units, rules))


def _hardware_faults(name: str, steps: Sequence[Step], wanted: Sequence[Hardware]) -> Iterator[str]:
    taken = Counter[str]()
    for step in steps:
        for hardware in step.hardware:
            taken[hardware.item] += hardware.count
    counts = {hardware.item: hardware.count for hardware in wanted}
    yield from (f"{name}: {taken[item]} {item} are taken, not {counts.get(item, 0)}"
                for item in {**counts, **taken} if taken[item] != counts.get(item, 0))  # fmt: skip
