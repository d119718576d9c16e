"""The order of build: what is done first, where all is put together dry and looked at, what each step takes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from itertools import chain

from layout.building.assembly import assembly
from layout.building.fixings import fixings
from layout.building.step_words import (
    TO_BODY,
    built_in_place,
    dry_text,
    is_joined,
    load_text,
    place_text,
    together_text,
)
from layout.model.building import Step
from layout.model.rule import Rule
from layout.model.thing import Thing

HOLES, MEASURE, LOAD = "holes and cables", "measure again", "trial load"
DRY, TOGETHER, PLACE = "dry fit", "put together", "into its place"
FIRST = (
    Step(
        name=HOLES,
        does="before anything covers them: cut and seal the holes that roof and floor need, and lay cables in conduits",
    ),
    Step(
        name=MEASURE, after=(HOLES,),
        does="measure the bare room again where units will stand and where panels follow the walls",
    ),
)  # fmt: skip
# Kinds by when they are built in; what is not named comes by size, the largest first. Common practice, no source.
_EARLY = ("floor panels", "lining", "partition", "wheel-well box")


def build_order(
    things: Sequence[Thing], rules: Mapping[str, Rule], below: Mapping[str, Sequence[str]] | None = None
) -> tuple[Step, ...]:
    """Return all steps of building the units of a plan, each after those that it needs.

    Floor before lining, lining before what stands against it, what carries before what it carries, large units before
    small ones; equal units of a group are built together. `below` names, by group, the groups that carry it.
    """
    groups = _groups(things, below or {})
    if not groups:
        return ()
    steps, stood = list(FIRST), [MEASURE]
    for group in groups:
        made = tuple(_unit_steps(group, stood[-1], rules))
        steps += made
        stood.append(made[-1].name)
    text = load_text([hardware for step in steps for hardware in step.hardware])
    return (*steps, Step(name=LOAD, does=text, after=(stood[-1],)))


def _groups(things: Sequence[Thing], below: Mapping[str, Sequence[str]]) -> list[list[Thing]]:
    """Return the built things by group, in the order in which they are built in."""
    groups = grouped(things)
    waiting = sorted(groups, key=lambda name: (_rank(groups[name][0]), -_size(groups[name][0]), name))
    ordered: list[str] = []
    while waiting:
        # Things that carry each other in a ring do not stand; then the order of size does.
        ready = (name for name in waiting if not set(below.get(name, ())) & set(waiting) - {name})
        ordered.append(next(ready, waiting[0]))
        waiting.remove(ordered[-1])
    return [groups[name] for name in ordered]


def _rank(thing: Thing) -> int:
    return _EARLY.index(thing.kind) if thing.kind in _EARLY else len(_EARLY)


def _size(thing: Thing) -> float:
    x0, y0, x1, y1 = thing.box.bounds
    return (x1 - x0) * (y1 - y0) * (thing.box.z1 - thing.box.z0)


def _unit_steps(group: Sequence[Thing], stood: str, rules: Mapping[str, Rule]) -> Iterator[Step]:
    """Yield the steps of a group of equal units, the last of which is that they stand at their places."""
    thing = group[0]
    if thing.steps:
        yield from _own(group, stood, rules)
        return
    parts = assembly(thing)
    pieces = tuple(chain.from_iterable(parts))
    held = fixings(group, rules)
    body = tuple(hardware for hardware in held if hardware.item in TO_BODY)
    dry, together, place = step_names(thing)
    yield Step(name=dry, after=(MEASURE,), pieces=pieces, dry=True, does=dry_text(group, parts))
    if not is_joined(parts) or built_in_place(thing):
        # Nothing is put together before it is carried in.
        after = tuple(dict.fromkeys((dry, stood)))
        yield Step(name=place, after=after, pieces=pieces, hardware=held, does=place_text(group, parts, held))
        return
    yield Step(
        name=together, after=(dry,), pieces=pieces, hardware=tuple(h for h in held if h not in body),
        does=together_text(group, parts, held, runs),
    )  # fmt: skip
    yield Step(
        name=place, after=tuple(dict.fromkeys((together, stood))), hardware=body, does=place_text(group, parts, held)
    )  # fmt: skip


def _own(group: Sequence[Thing], stood: str, rules: Mapping[str, Rule]) -> Iterator[Step]:
    """Yield the steps that the kind itself gives, the first after what stands before it.

    Pieces and hardware that none of them names belong to the last that puts pieces together.
    """
    own = group[0].steps
    last = max((i for i, step in enumerate(own) if step.pieces and not step.dry), default=len(own) - 1)
    wanted = piece_counts(group[0])
    named = {piece for step in own if not step.dry for piece in step.pieces}
    rest = tuple(chain.from_iterable([name] * count for name, count in wanted.items() if name not in named))
    for i, step in enumerate(own):
        after = tuple(f"{group[0].group}: {name}" for name in step.after) or (stood,)
        pieces = tuple(chain.from_iterable([name] * wanted[name] for name in dict.fromkeys(step.pieces)))
        takes = fixings(group, rules) if i == last else ()
        yield Step(
            name=f"{group[0].group}: {step.name}", does=step.does, after=after, dry=step.dry, hardware=takes,
            pieces=(*pieces, *rest) if i == last else pieces,
        )  # fmt: skip


def piece_counts(thing: Thing) -> Counter[str]:
    """Return how many panels and battens of each name a unit has."""
    return Counter([*(panel.name for panel in thing.panels), *(batten.name for batten in thing.battens)])


def step_names(thing: Thing) -> tuple[str, ...]:
    """Return the names of the steps of the unit's group, in order."""
    own = [step.name for step in thing.steps] or [DRY, TOGETHER, PLACE]
    return tuple(f"{thing.group}: {name}" for name in own)


def grouped(things: Sequence[Thing]) -> dict[str, list[Thing]]:
    """Return the things that are built by their group, in the order in which they are given."""
    groups: dict[str, list[Thing]] = {}
    for thing in things:
        if thing.panels or thing.battens:
            groups.setdefault(thing.group, []).append(thing)
    return groups


def runs(names: Sequence[str]) -> tuple[str, ...]:
    """Return names, with what follows itself told once: ``side``, ``2 × end``, ``4 × (bottom, 2 × wall)``."""
    told: list[str] = []
    at = 0
    while at < len(names):
        size, times = _repeated(names[at:])
        same = runs(names[at : at + size]) if size > 1 else names[at : at + 1]
        word = f"({', '.join(same)})" if len(same) > 1 and times > 1 else ", ".join(same)
        told.append(word if times == 1 else f"{times} × {word}")
        at += size * times
    return tuple(told)


def _repeated(names: Sequence[str]) -> tuple[int, int]:
    """Return how long the stretch at the beginning is that follows itself, and how often; the one that covers most."""
    best = (1, 1)
    for size in range(1, len(names) // 2 + 1):
        times = 1
        while names[size * times : size * (times + 1)] == names[:size]:
            times += 1
        if times > 1 and size * times > best[0] * best[1]:
            best = size, times
    return best
