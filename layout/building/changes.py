"""What is otherwise in one layout than in another: things that came, went, moved, or are made differently."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from layout.model.layout import Layout, Placed
from layout.model.solid import Solid
from layout.model.thing import Thing

_HAIR = 0.05  # mm that nobody sees
_SAME_KG = 0.005
Sizes = tuple[float, float, float]
Way = Literal["moves", "comes in", "goes out", "gets a place", "loses its place"]
_Place = Placed | Literal["outside", "nowhere"]
_Step = tuple[Way, Sizes, float]


@dataclass(frozen=True, kw_only=True, slots=True)
class Move:
    """How a thing stands otherwise in some states: shifted along x, y, z (mm), turned by degrees, or in and out."""

    name: str
    states: tuple[str, ...]
    way: Way = "moves"
    shift: Sizes = (0.0, 0.0, 0.0)
    turn_deg: float = 0.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Change:
    """How a thing is made otherwise: what it was and what it is."""

    old: Thing
    new: Thing

    @property
    def name(self) -> str:
        """Return the thing's name."""
        return self.new.name


@dataclass(frozen=True, kw_only=True, slots=True)
class Changes:
    """All that is otherwise; `states_added` and `states_removed` are only in the one or the other layout."""

    added: tuple[Thing, ...]
    removed: tuple[Thing, ...]
    changed: tuple[Change, ...]
    moved: tuple[Move, ...]
    states_added: tuple[str, ...] = ()
    states_removed: tuple[str, ...] = ()

    @property
    def none(self) -> bool:
        """Return whether nothing is otherwise."""
        return not any((self.added, self.removed, self.changed, self.moved, self.states_added, self.states_removed))


def changes(old: Layout, new: Layout) -> Changes:
    """Return what is otherwise in the new layout; a thing is known by its name, and they stand in their order."""
    before, after = ({thing.name: thing for thing in layout.things} for layout in (old, new))
    both = [name for name in after if name in before]
    return Changes(
        added=tuple(thing for name, thing in after.items() if name not in before),
        removed=tuple(thing for name, thing in before.items() if name not in after),
        changed=tuple(
            Change(old=before[name], new=after[name]) for name in both if not _alike(before[name], after[name])
        ),
        moved=tuple(move for name in both for move in _moves(name, old, new)),
        states_added=tuple(state for state in new.placed if state not in old.placed),
        states_removed=tuple(state for state in old.placed if state not in new.placed),
    )


def sizes(thing: Thing) -> Sizes:
    """Return how long, wide and high a thing is, mm."""
    x0, y0, x1, y1 = thing.box.bounds
    return x1 - x0, y1 - y0, thing.box.z1 - thing.box.z0


def _alike(one: Thing, other: Thing) -> bool:
    """Return whether two things are made alike, to the tenth of a millimetre."""
    near = all(abs(a - b) <= _HAIR for a, b in zip(sizes(one), sizes(other), strict=True))
    pieces = [(len(t.panels), t.panels, t.battens, t.hardware, len(t.solids)) for t in (one, other)]
    return one.kind == other.kind and near and abs(one.mass_kg - other.mass_kg) <= _SAME_KG and pieces[0] == pieces[1]


def _moves(name: str, old: Layout, new: Layout) -> Iterator[Move]:
    """Yield each way in which a thing stands otherwise, with the states in which it does."""
    found: dict[_Step, list[str]] = {}
    for state in new.placed:
        if state in old.placed:
            step = _step(_where(old, state, name), _where(new, state, name))
            if step is not None:
                found.setdefault(step, []).append(state)
    for (way, shift, turn), states in found.items():
        yield Move(name=name, states=tuple(states), way=way, shift=shift, turn_deg=turn)


def _where(layout: Layout, state: str, name: str) -> _Place:
    placed = next((placed for placed in layout.placed[state] if placed.name == name), None)
    return placed or ("outside" if name in layout.outside.get(state, ()) else "nowhere")


def _step(before: _Place, after: _Place) -> _Step | None:
    if isinstance(before, Placed) and isinstance(after, Placed):
        return _moved(before, after)
    if isinstance(after, Placed):
        return "comes in" if before == "outside" else "gets a place", (0.0, 0.0, 0.0), 0.0
    if isinstance(before, Placed):
        return "goes out" if after == "outside" else "loses its place", (0.0, 0.0, 0.0), 0.0
    return None


def _moved(before: Placed, after: Placed) -> _Step | None:
    """Return how far the middle of a thing's rear edge moved; the middle of its box, where it was turned as well."""
    turn = (after.turn_deg - before.turn_deg + 180) % 360 - 180
    here, there = (before.at, after.at) if not turn else (_middle(before.box), _middle(after.box))
    x, y, z = (round(b - a, 1) + 0.0 for a, b in zip(here, there, strict=True))
    return ("moves", (x, y, z), turn) if any((x, y, z, turn)) else None


def _middle(box: Solid) -> Sizes:
    x0, y0, x1, y1 = box.bounds
    return (x0 + x1) / 2, (y0 + y1) / 2, box.z0
