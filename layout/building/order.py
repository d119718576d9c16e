"""The order of build: what is done first, where all is put together dry and looked at, what each step takes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from layout.building.fixings import fixings
from layout.model.building import Step
from layout.model.rule import Rule
from layout.model.thing import Thing

FIRST = (
    Step(
        name="holes and cables",
        does="cut every hole in roof and floor, seal it, and lay every cable in its conduit along the ribs",
    ),
    Step(name="measure again", does="measure the bare room again where panels follow it", after=("holes and cables",)),
)
# Kinds by when they are built in; what is not named comes by size, the largest first. Common practice, no source.
_EARLY = (("floor panels", "floor"), ("lining", "lining"), ("partition", "partition"), ("wheel-well box", "wells"))


def build_order(things: Sequence[Thing], rules: Mapping[str, Rule]) -> tuple[Step, ...]:
    """Return all steps of building the units of a plan, each after those that it needs.

    Floor before lining, lining before what stands against it, large units before small ones; equal units of a
    group are built together.
    """
    steps = list(FIRST)
    before = FIRST[-1].name
    for group in _groups(things):
        made = tuple(_unit_steps(group, before, rules))
        steps += made
        before = made[-1].name
    if len(steps) == len(FIRST):
        return ()
    last = Step(
        name="trial load",
        does="load everything, drive a short way, look what moved, and test every latch and every way out from inside",
        after=(before,),
    )
    return (*steps, last)


def _groups(things: Sequence[Thing]) -> list[list[Thing]]:
    """Return the built things by group, in the order in which they are built in."""
    groups: dict[str, list[Thing]] = {}
    for thing in things:
        if thing.panels or thing.battens:
            groups.setdefault(thing.group, []).append(thing)
    return sorted(groups.values(), key=lambda group: (_rank(group[0]), -_size(group[0]), group[0].group))


def _rank(thing: Thing) -> int:
    kinds = [kind for kind, _ in _EARLY]
    return kinds.index(thing.kind) if thing.kind in kinds else len(kinds)


def _size(thing: Thing) -> float:
    x0, y0, x1, y1 = thing.box.bounds
    return (x1 - x0) * (y1 - y0) * (thing.box.z1 - thing.box.z0)


def _unit_steps(group: Sequence[Thing], before: str, rules: Mapping[str, Rule]) -> Iterator[Step]:
    thing, many = group[0], len(group)
    name = thing.group
    times = f", {many} times" if many > 1 else ""
    names = [panel.name for panel in thing.panels] + [batten.name for batten in thing.battens]
    pieces = tuple(dict.fromkeys(names))
    if thing.steps:
        yield from _own(thing, before)
        return
    fit = "cut to fit at its place, " if any(panel.oversize for panel in thing.panels) else ""
    yield Step(
        name=f"{name}: dry fit", after=(before,), pieces=pieces, dry=True,
        does=f"lay out all panels of {name}, {fit}put them together with clamps and without glue{times}; measure both "
        "diagonals, try it where it stands, and what goes into it",
    )  # fmt: skip
    yield Step(
        name=f"{name}: put together", after=(f"{name}: dry fit",), pieces=pieces, hardware=fixings(thing, rules),
        does=f"drill, glue and screw {name}{times}; wipe off glue; varnish before doors and fittings go on",
    )  # fmt: skip
    yield Step(
        name=f"{name}: into its place", after=(f"{name}: put together",),
        does=f"stand {name} at its place from the set-out lines and fasten it to the body{times}",
    )  # fmt: skip


def _own(thing: Thing, before: str) -> Iterator[Step]:
    """Yield the steps that the kind itself gives, the first after what is built before it."""
    for step in thing.steps:
        after = step.after or (before,)
        named = tuple(a if a == before else f"{thing.group}: {a}" for a in after)
        yield Step(
            name=f"{thing.group}: {step.name}", does=step.does, after=named, pieces=step.pieces,
            hardware=step.hardware, dry=step.dry,
        )  # fmt: skip
