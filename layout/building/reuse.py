"""What of the furniture that is there can be used again: panels and battens as they are, or cut down."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal, Protocol, TypeVar

from layout.building.match import matched
from layout.building.wood import Wood, woods
from layout.model.building import Batten
from layout.model.cutting import Grain
from layout.model.thing import Thing

_HAIR = 0.05  # mm that a saw does not see
How = Literal["as it is", "same size, other holes or grooves", "cut down"]
_TURNED: dict[Grain, Grain] = {"along": "across", "across": "along", "free": "free"}


class Matter(Protocol):
    """What may be used again: a panel or a batten."""

    @property
    def unit(self) -> str:
        """Return the unit that it belongs to."""

    @property
    def name(self) -> str:
        """Return what it is called there."""

    @property
    def worth(self) -> float:
        """Return how much is sawn for it, mm or mm²."""

    @property
    def room(self) -> float:
        """Return how much it yields, mm or mm²."""


Some = TypeVar("Some", bound=Matter)


@dataclass(frozen=True, kw_only=True, slots=True)
class Again:
    """A panel that is used again: which new one it becomes, and how; `turned` where its length lies across."""

    new: Wood
    old: Wood
    how: How
    turned: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Stick:
    """A batten of a unit."""

    unit: str
    group: str
    batten: Batten

    @property
    def name(self) -> str:
        """Return what it is called in its unit."""
        return self.batten.name

    @property
    def worth(self) -> float:
        """Return its length, mm."""
        return self.batten.length

    @property
    def room(self) -> float:
        """Return its length, mm."""
        return self.batten.length


@dataclass(frozen=True, kw_only=True, slots=True)
class StickAgain:
    """A batten that is used again, cut down where it is longer."""

    new: Stick
    old: Stick

    @property
    def how(self) -> How:
        """Return whether it is used as it is or cut down."""
        return "as it is" if self.old.batten.length - self.new.batten.length <= _HAIR else "cut down"


@dataclass(frozen=True, kw_only=True, slots=True)
class Piece:
    """A clear rectangle that is left of an old panel, length and width in mm; its grain as for a part."""

    wood: Wood
    length: float
    width: float

    @property
    def grain(self) -> Grain:
        """Return how the grain runs; ``free`` where nobody asked for it, so that it is not known."""
        return self.wood.panel.grain


@dataclass(frozen=True, kw_only=True, slots=True)
class Reuse:
    """What becomes of old panels and battens, and what is still to be cut for new units.

    `stays` are the units that are the same in both, of which nothing is touched.
    """

    stays: tuple[str, ...]
    panels: tuple[Again, ...]
    to_cut: tuple[Wood, ...]
    left: tuple[Piece, ...]
    sticks: tuple[StickAgain, ...] = ()
    sticks_to_cut: tuple[Stick, ...] = ()
    sticks_left: tuple[Stick, ...] = ()


def reuse(old: Sequence[Thing], new: Sequence[Thing], kerf: float) -> Reuse:
    """Return how old units become new ones.

    Units that are the same stay. Of the others, first as many panels as can be are used as they are, then as many as
    can be are cut down from larger ones, in both the largest new panels before smaller ones; of the old panels that
    would do, one of the same name comes first, then the smallest. Grain that a new panel asks for is kept; an old one
    that was cut without regard to its grain serves only where none is asked for. What is left beside one that is cut
    down is one or two rectangles, `kerf` mm smaller.
    """
    stays = same_units(old, new)
    have = [wood for thing in old if thing.name not in stays for wood in woods(thing)]
    want = [wood for thing in new if thing.name not in stays for wood in woods(thing)]
    as_they_are, want, have = _taken(want, have, _alike)
    cut_down, to_cut, kept = _taken(want, have, _cut_from)
    used = tuple(_again(one, other, _alike(one, other)) for one, other in (*as_they_are, *cut_down))
    beside = [rest for again in used if again.how == "cut down" for rest in _beside(again, kerf)]
    whole = [Piece(wood=wood, length=wood.clear[0], width=wood.clear[1]) for wood in kept]
    sticks, sticks_to_cut, sticks_left = _sticks(old, new, stays)
    return Reuse(
        stays=stays, panels=used, to_cut=tuple(to_cut), left=(*whole, *beside), sticks=sticks,
        sticks_to_cut=sticks_to_cut, sticks_left=sticks_left,
    )  # fmt: skip


def same_units(old: Sequence[Thing], new: Sequence[Thing]) -> tuple[str, ...]:
    """Return the names of the built units that are the same in both, wherever they stand."""
    before = {thing.name: thing for thing in old}
    return tuple(
        thing.name
        for thing in new
        if (thing.panels or thing.battens) and thing.name in before and _same(before[thing.name], thing)
    )


def _same(one: Thing, other: Thing) -> bool:
    return (one.kind, one.panels, one.battens, one.hardware) == (
        other.kind,
        other.panels,
        other.battens,
        other.hardware,
    )


def _taken(
    want: Sequence[Some], have: Sequence[Some], does: Callable[[Some, Some], bool]
) -> tuple[list[tuple[Some, Some]], list[Some], list[Some]]:
    """Return who takes what, who is left without, and what is left."""
    order = sorted(range(len(want)), key=lambda i: (-want[i].worth, i))
    wishes = [_wishes(want[i], have, does) for i in order]
    got = {i: j for i, j in zip(order, matched(wishes), strict=True) if j is not None}
    taken = [(want[i], have[j]) for i, j in sorted(got.items())]
    without = [one for i, one in enumerate(want) if i not in got]
    return taken, without, [other for j, other in enumerate(have) if j not in set(got.values())]


def _wishes(one: Some, have: Sequence[Some], does: Callable[[Some, Some], bool]) -> list[int]:
    """Return which of the old ones would do: first what is of its unit and name, then the smallest."""

    def liking(j: int) -> tuple[bool, bool, float, int]:
        named = one.name != have[j].name
        return named or one.unit != have[j].unit, named, have[j].room, j

    return sorted((j for j, other in enumerate(have) if does(one, other)), key=liking)


def _alike(new: Wood, old: Wood) -> bool:
    """Return whether an old panel is the new one, perhaps turned or turned over."""
    if new.material != old.material or new.panel.oversize:
        return False
    shape, grain, good = new.forms[0]
    return any(
        was == shape and grain in ("free", ran) and (good is None or seen is None or seen == good)
        for was, ran, seen in old.forms
    )


def _cut_from(new: Wood, old: Wood) -> bool:
    """Return whether the part for a new panel can be sawn out of an old one, its grain as asked for."""
    return any(_lies(new, old, turned) for turned in (False, True))


def _lies(new: Wood, old: Wood, turned: bool) -> bool:
    grain = _TURNED[old.panel.grain] if turned else old.panel.grain
    if new.material != old.material or new.panel.grain not in ("free", grain):
        return False
    sizes = old.clear[::-1] if turned else old.clear
    return all(size <= there + _HAIR for size, there in zip(new.sawn, sizes, strict=True))


def _again(new: Wood, old: Wood, alike: bool) -> Again:
    if alike:
        return Again(new=new, old=old, how="as it is")
    turned = not _lies(new, old, False)
    whole = (old.panel.width, old.panel.length) if turned else (old.panel.length, old.panel.width)
    same = all(abs(a - b) <= _HAIR for a, b in zip(new.sawn, whole, strict=True))
    return Again(new=new, old=old, how="same size, other holes or grooves" if same else "cut down", turned=turned)


def _beside(again: Again, kerf: float) -> tuple[Piece, ...]:
    """Return what is left of a clear rectangle beside a part sawn from its corner: the two cuts that leave the most.

    The first cut goes right through; either way two rectangles are left, and the way with the larger one is taken.
    """
    length, width = again.old.clear
    taken = again.new.sawn[::-1] if again.turned else again.new.sawn
    rest = max(0.0, length - taken[0] - kerf), max(0.0, width - taken[1] - kerf)
    ways = (((rest[0], width), (min(taken[0], length), rest[1])), ((length, rest[1]), (rest[0], min(taken[1], width))))
    best = max(ways, key=lambda way: max(a * b for a, b in way))
    return tuple(Piece(wood=again.old, length=a, width=b) for a, b in best if a > 0 and b > 0)


def _sticks(
    old: Sequence[Thing], new: Sequence[Thing], stays: Sequence[str]
) -> tuple[tuple[StickAgain, ...], tuple[Stick, ...], tuple[Stick, ...]]:
    have, want = (
        [Stick(unit=t.name, group=t.group, batten=b) for t in things if t.name not in stays for b in t.battens]
        for things in (old, new)
    )
    same, want, have = _taken(want, have, lambda one, other: _fits(one, other) and _spare(one, other) <= _HAIR)
    longer, to_cut, left = _taken(want, have, _fits)
    again = tuple(StickAgain(new=one, old=other) for one, other in (*same, *longer))
    return again, tuple(to_cut), tuple(left)


def _fits(new: Stick, old: Stick) -> bool:
    return new.batten.bar == old.batten.bar and _spare(new, old) >= -_HAIR


def _spare(new: Stick, old: Stick) -> float:
    return old.batten.length - new.batten.length
