"""Whether a bicycle comes out of the space: rolled, turned, lifted a little, past all that stands there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from math import ceil

from layout.checks.bicycle_no_way import Relaxed
from layout.checks.bicycle_places import Places, empty_room
from layout.checks.bicycle_search import Wheeled
from layout.model.layout import Placed
from layout.model.solid import Solid, box, outer_box
from layout.space.carry_body import Piece, Unit
from layout.space.space import Space

# Degrees that it is turned at once: most come out by the first; the last asks for some 50 mm beside the ends.
_STEPS = (15.0, 3.0)
_SLABS = 10  # boxes that a panel of more solids than these is told by
_BARS = "bars"


@dataclass(frozen=True, kw_only=True)
class Ways:
    """The ways out of `space` for bicycles lifted by `lift` at most, in walls `frame` thick (mm)."""

    space: Space
    frame: float
    lift: float
    _known: dict[tuple[str, frozenset[str], bool], bool | None] = field(default_factory=dict, init=False, repr=False)

    def out(self, bicycle: Placed, others: Sequence[Placed], *, turned: bool = False) -> bool | None:
        """Return whether a way is found out of a door past `others`; None where the bicycle does not stand free.

        `turned`: with its bars turned along the frame. True only when a way was found, no parts of it touching
        anything; the way asks for the room of a turn of 3 degrees at once, so one by the last
        millimetres may not be found. Names tell things apart: all of them are of one state.
        """
        key = (bicycle.name, frozenset(placed.name for placed in others), turned)
        if key not in self._known:
            self._known[key] = self._search(bicycle, others, turned=turned)
        return self._known[key]

    def _search(self, bicycle: Placed, others: Sequence[Placed], *, turned: bool) -> bool | None:
        for placed in others:
            self._places.add(placed.name, _coarse(placed.solids))
        wide = self._wheeled(bicycle, others, _STEPS[0], turned=turned)
        start = wide.start()
        if start is None:
            return None
        if wide.is_out(start):
            return True
        fine = self._wheeled(bicycle, others, _STEPS[1], turned=turned)
        if Relaxed(search=fine, sector=_STEPS[0], levels="one").leads_nowhere():
            return False
        if wide.found():
            return True
        # Before the longest of the searches a proof that takes less trouble than that, and more than the first.
        return not Relaxed(search=fine, sector=_STEPS[0], levels="each").leads_nowhere() and fine.found()

    def _wheeled(self, bicycle: Placed, others: Sequence[Placed], step: float, *, turned: bool) -> Wheeled:
        places, unit = self._places, unit_of(bicycle, turned=turned)
        tops = places.tops([placed.name for placed in others])
        return Wheeled(
            room=places.room, unit=unit, step=step, lift=self.lift, places=places, things=_groups(others), tops=tops
        )

    @cached_property
    def _places(self) -> Places:
        return Places(room=empty_room(self.space, self.frame))


def _groups(things: Sequence[Placed]) -> tuple[tuple[str, ...], ...]:
    """Return names: of all that stays as one, then of each bicycle."""
    bicycles = [(placed.name,) for placed in things if placed.thing.kind == "bicycle"]
    return tuple(placed.name for placed in things if placed.thing.kind != "bicycle"), *bicycles


def _coarse(solids: Sequence[Solid]) -> list[Solid]:
    """Return the solids; the many thin slabs of one slanting panel are put together into a few boxes round them."""
    by_name: dict[str, list[Solid]] = {}
    for solid in solids:
        by_name.setdefault(solid.name, []).append(solid)
    return [one for alike in by_name.values() for one in (alike if len(alike) <= _SLABS else _boxed(alike))]


def _boxed(slabs: Sequence[Solid]) -> list[Solid]:
    stack = sorted(slabs, key=lambda s: (s.z0, s.bounds))
    size = ceil(len(stack) / _SLABS)
    return [outer_box(tuple(stack[k : k + size]), stack[k].name) for k in range(0, len(stack), size)]


def has_straight_bars(placed: Placed) -> bool:
    """Return whether the bars lie across the frame."""
    bars = next(solid for solid in placed.thing.solids if solid.name == _BARS)
    x0, y0, x1, y1 = bars.bounds
    return y1 - y0 > x1 - x0


def unit_of(bicycle: Placed, *, turned: bool = False) -> Unit:
    """Return the bicycle as a body: each of its solids a piece, at its place."""
    solids = tuple(_across(s) if turned and s.name == _BARS else s for s in bicycle.thing.solids)
    own = outer_box(solids)
    x0, y0, x1, y1 = own.bounds
    middle = box("", (x0, x1), (y0, y1), (own.z0, own.z1))
    stood = bicycle.stood(middle).outline
    at = (sum(x for x, _ in stood) / len(stood), sum(y for _, y in stood) / len(stood), bicycle.stood(middle).z0)
    pieces = tuple(_piece(solid, ((x0 + x1) / 2, (y0 + y1) / 2), own.z0) for solid in solids)
    return Unit(sizes=(x1 - x0, y1 - y0, own.z1 - own.z0), pieces=pieces, at=at, turn_deg=bicycle.turn_deg)


def _piece(solid: Solid, middle: tuple[float, float], foot: float) -> Piece:
    (x0, y0, x1, y1), (mx, my) = solid.bounds, middle
    return Piece(x=(x0 - mx, x1 - mx), y=(y0 - my, y1 - my), z=(solid.z0 - foot, solid.z1 - foot))


def _across(solid: Solid) -> Solid:
    """Return the solid turned by a right angle about its own middle."""
    x0, y0, x1, y1 = solid.bounds
    mx, my = (x0 + x1) / 2, (y0 + y1) / 2
    return solid.moved(-mx, -my, 0.0).turned(90.0).moved(mx, my, 0.0)
