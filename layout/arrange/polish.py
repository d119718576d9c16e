"""From the grid to the exact millimetre: against walls that are nearly touched, else to whole figures."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

import numpy as np

from layout.arrange.asproject import Said, layout_of
from layout.arrange.build import Built
from layout.arrange.problem import Place
from layout.arrange.units_of import Unit
from layout.arrange.wish import Free
from layout.checks.bodies import Bodies, bodies_of
from layout.checks.context import shared_box
from layout.model.layout import Layout, Placed
from layout.model.solid import Solid
from layout.space.slide import fitting_shifts
from layout.space.space import Space
from layout.units.length import Unit as LengthUnit

_INCH = 25.4 / 16
_ALMOST = 1e-6


@dataclass(frozen=True, kw_only=True, slots=True)
class Gaps:
    """What loose things keep to others and to walls, mm; and how far a thing is moved at most."""

    between: float
    wall: float
    reach: float


def polished(built: Built, places: Sequence[Place], said: Said, gaps: Gaps) -> Said:
    """Return the arrangement with everything that stands nearly against something against it, in whole figures.

    Each thing is moved by at most `gaps.reach` along each axis, with what rides on it, and only where that is free.
    """
    room = _Room(space=built.ask.space, layout=layout_of(built, said), gaps=gaps)
    for names, loose, free in _movers(built, places, said):
        for axis, limits in (("x", free.x), ("y", free.y)):
            room.move(names, axis, loose, _grain(built.ask.units), limits)
    return replace(said, positions={key: _shifted(p, room.moved, built, key) for key, p in said.positions.items()})


def _grain(units: LengthUnit) -> float:
    return _INCH if units in ("in", "ft") else 1.0


def _movers(built: Built, places: Sequence[Place], said: Said) -> Iterator[tuple[tuple[str, ...], bool, Free]]:
    """Yield what moves as one, the largest first: a unit with its riders, or the bins of a column; and its limits."""
    stands = {stand.name: stand for stand in built.problem.stands}
    # What stands elsewhere in other states is left on the grid: each of its places would have to be moved alone.
    used = [p for p in places if p.form is not None and p.stand in built.units and p.stand == built.units[p.stand].key]
    columns = {p.stand: names for p, names in _column_names(built, used, said)}
    for place in sorted(used, key=lambda p: (-(p.form.mass if p.form else 0.0), p.stand)):
        unit = built.units[place.stand]
        names = columns.get(place.stand) or (*unit.names, *_rider_names(built, unit))
        yield names, stands[place.stand].loose, unit.free


def _column_names(built: Built, used: Sequence[Place], said: Said) -> Iterator[tuple[Place, tuple[str, ...]]]:
    """Yield the bins of each column, which `said_of` gave out in order."""
    mine = [p for p in used if built.units[p.stand].column]
    for names, same in groupby(mine, key=lambda p: built.units[p.stand].names):
        left = list(names)
        for place in same:
            count = place.form.holds if place.form else 0
            yield place, tuple(left[:count])
            del left[:count]


def _rider_names(built: Built, unit: Unit) -> tuple[str, ...]:
    return tuple(t.name for t in built.ask.things if t.name in unit.riders or t.group in unit.riders)


def _shifted(position, moved: Mapping[str, tuple[float, float]], built: Built, key: str):  # type: ignore[no-untyped-def]
    unit = built.units.get(key)
    name = unit.names[0] if unit else key
    dx, dy = moved.get(name, (0.0, 0.0))
    x, y, z = position.at
    return replace(position, at=(_tidy(x + dx), _tidy(y + dy), _tidy(z)))


def _tidy(mm: float) -> float:
    """Return a length without the dust of adding, to a hundredth of a millimetre."""
    return round(mm, 2) + 0.0


@dataclass
class _Room:
    """The layout as it is moved."""

    space: Space
    layout: Layout
    gaps: Gaps

    def __post_init__(self) -> None:
        self.things: dict[str, dict[str, Placed]] = {s: {p.name: p for p in t} for s, t in self.layout.placed.items()}
        self.moved: dict[str, tuple[float, float]] = {}

    def move(
        self, names: Sequence[str], axis: str, loose: bool, grain: float, limits: tuple[float, float] | None
    ) -> None:  # fmt: skip
        """Move along an axis: to what is nearly touched, else to a whole figure, but never out of the limits."""
        solids = self._solids(names)
        if not solids:
            return
        free = self._test(names, loose)
        for shift in self._tries(solids, axis, loose, grain):
            step = (shift, 0.0) if axis == "x" else (0.0, shift)
            if abs(shift) <= self.gaps.reach and _within(solids, axis, shift, limits) and free(step):
                self._apply(names, step)
                return

    def _solids(self, names: Sequence[str]) -> list[Solid]:
        found = [p.solids for by_name in self.things.values() for n, p in by_name.items() if n in names]
        return list(dict.fromkeys(s for solids in found for s in solids))

    def _tries(self, solids: Sequence[Solid], axis: str, loose: bool, grain: float) -> Iterator[float]:
        """Yield shifts worth trying: against the wall (or its gap), then to the whole figures next to it."""
        if not loose:
            contacts = fitting_shifts(self.space, solids, "x" if axis == "x" else "y")
            near = [c for c in (contacts[0], contacts[-1]) if _ALMOST < abs(c) <= self.gaps.reach] if contacts else []
            # Drawn back to whole figures, so that what is said is free.
            yield from (_toward_zero(c, 0.1) for c in sorted(near, key=abs))
        low = min(s.bounds[0] for s in solids) if axis == "x" else sum(_span_y(solids)) / 2
        down = np.floor(low / grain) * grain - low
        yield from sorted((float(down), float(down) + grain), key=abs)

    def _test(self, names: Sequence[str], loose: bool) -> Callable[[tuple[float, float]], bool]:
        states = [(state, self._mine(state, names), self._others(state, names)) for state in self.things]
        inside = list(dict.fromkeys(s for _, mine, _ in states for p in mine for s in p.solids))
        zones = list(dict.fromkeys(c.solid for _, mine, _ in states for p in mine for c in p.clears))

        def free(step: tuple[float, float]) -> bool:
            if not all(self.space.holds_all([s.moved(*step, 0.0) for s in (*inside, *zones)])):
                return False
            return all(self._clear(mine, others, step, loose) for _, mine, others in states)

        return free

    def _mine(self, state: str, names: Sequence[str]) -> list[Placed]:
        return [p for n, p in self.things[state].items() if n in names]

    def _others(self, state: str, names: Sequence[str]) -> Bodies:
        return bodies_of(tuple(p for n, p in self.things[state].items() if n not in names))

    def _clear(self, mine: Sequence[Placed], others: Bodies, step: tuple[float, float], loose: bool) -> bool:
        """Return whether nothing comes nearer to another than its gap, or than it was."""
        for p in mine:
            for solid in p.solids:
                moved = solid.moved(*step, 0.0)
                wide = _wider(moved, self.gaps.between)
                for _, j in others.near([wide]):
                    gap = self.gaps.between if loose or others.things[others.owner[j]].thing.take_out else 0.0
                    test = wide if gap else moved
                    if shared_box(test, others.solids[j]) and not shared_box(_wider(solid, gap), others.solids[j]):
                        return False
                    if shared_box(moved, others.solids[j]):
                        return False
        return True

    def _apply(self, names: Sequence[str], step: tuple[float, float]) -> None:
        for by_name in self.things.values():
            for name in names:
                if name in by_name:
                    p = by_name[name]
                    solids = tuple(s.moved(*step, 0.0) for s in p.solids)
                    by_name[name] = replace(p, solids=solids, box=p.box.moved(*step, 0.0))
        for name in names:
            dx, dy = self.moved.get(name, (0.0, 0.0))
            self.moved[name] = (dx + step[0], dy + step[1])


def _within(solids: Sequence[Solid], axis: str, shift: float, limits: tuple[float, float] | None) -> bool:
    """Return whether all solids are within the limits along an axis once they are shifted."""
    if limits is None:
        return True
    i = 0 if axis == "x" else 1
    low, high = min(s.bounds[i] for s in solids) + shift, max(s.bounds[i + 2] for s in solids) + shift
    return limits[0] - _ALMOST <= low and high <= limits[1] + _ALMOST


def _span_y(solids: Sequence[Solid]) -> tuple[float, float]:
    return min(s.bounds[1] for s in solids), max(s.bounds[3] for s in solids)


def _toward_zero(mm: float, grain: float) -> float:
    return float(np.trunc(mm / grain) * grain)


def _wider(solid: Solid, by: float) -> Solid:
    x0, y0, x1, y1 = solid.bounds
    ring = ((x0 - by, y0 - by), (x1 + by, y0 - by), (x1 + by, y1 + by), (x0 - by, y1 + by))
    return replace(solid, outline=ring) if by else solid
