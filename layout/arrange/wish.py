"""What the owner may say to the search: what is free, and what is wished for."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated, Literal

from layout.placing.position import Few
from layout.units.fields import Angle, Coordinate, Gap, Name, Size, whole

Weight = Annotated[int, whole("weight", 0, 10)]
#: The wishes that have a weight each, in the order in which they are told.
WISHES = ("reach", "aisle", "low", "balance", "long bed", "wide bed", "plywood", "stay", "near", "apart")


@dataclass(frozen=True, kw_only=True, slots=True)
class Free:
    """How far a thing, or a group of equal ones, is free: what is not said is left to the search.

    `turn` are the turns to try, degrees; `x` and `y` the limits, mm, within which it stays; `outside` states in which
    it may be out of the space, `moves` whether it may stand elsewhere in other states; `stack` how many equal bins may
    stand on each other; `on` what may carry it. `grid` makes one block of the group: how many along, across and up,
    with `gap` between them. `sizes` are values to try for its own keys, `counts` those for keys that count (columns of
    a rack); `follow` are things on it whose sizes follow one of its: {mattress: {width: -20}} keeps the mattress 20
    narrower than it.
    """

    turn: tuple[Angle, ...] = ()
    x: tuple[Coordinate, Coordinate] | None = None
    y: tuple[Coordinate, Coordinate] | None = None
    outside: tuple[Name, ...] = ()
    moves: Literal["yes", "no"] = "no"
    stack: Annotated[int, whole("number on each other", 1, 10)] = 2
    on: tuple[Name, ...] = ("floor",)
    grid: tuple[tuple[Few, Few, Few], ...] = ()
    gap: Gap = 0.0
    sizes: dict[Name, tuple[Size, ...]] = field(default_factory=dict)
    counts: dict[Name, tuple[Few, ...]] = field(default_factory=dict)
    follow: dict[Name, dict[Name, Coordinate]] = field(default_factory=dict)

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)


@dataclass(frozen=True, kw_only=True, slots=True)
class Wishes:
    """How much each wish counts, from 0 (not at all) to 10.

    `reach`: what is wanted often stands near a door; `aisle`: a wide way inside; `low` and `balance`: heavy things low
    down and their middle on the centreline; `long_bed`, `wide_bed`: of the sizes that are free; `plywood`: little of
    it; `stay`: few things moved between states. `near` and `apart` name pairs of things, or a thing and a door.
    """

    reach: Weight = 3
    aisle: Weight = 2
    low: Weight = 1
    balance: Weight = 2
    long_bed: Weight = 2
    wide_bed: Weight = 1
    plywood: Weight = 1
    stay: Weight = 2
    near: tuple[tuple[Name, Name], ...] = ()
    apart: tuple[tuple[Name, Name], ...] = ()

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)
