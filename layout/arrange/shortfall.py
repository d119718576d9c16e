"""How much too large a thing is that has no place: along, across and in height."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from layout.arrange.ask import Ask
from layout.arrange.forms import Way, ways
from layout.arrange.places import reference_places
from layout.arrange.units_of import Unit
from layout.model.solid import Solid

_EXACT = 0.5  # mm to which it is told
_MOST = 0.6  # share of a size beyond which shortening it is no help


@dataclass(frozen=True, kw_only=True, slots=True)
class Shortfall:
    """By how much a form is too large along one axis, mm: its `size` there, and by how much less it would go in."""

    form: str
    axis: str
    size: float
    less: float


def shortfalls(ask: Ask, unit: Unit) -> tuple[Shortfall, ...]:
    """Return, the least first, by how much each way of standing is too large; nothing for those that have a place."""
    found = [one for way in ways(ask, unit) if way.high == 1 for one in _of(ask, way)]
    # Turned about, a thing is as much too large as before.
    alike = {(one.axis, round(one.size), round(one.less)): one for one in reversed(found)}
    return tuple(sorted(alike.values(), key=lambda one: (one.less, one.axis)))


def _of(ask: Ask, way: Way) -> list[Shortfall]:
    solids = list(dict.fromkeys(s for things in way.layout.placed.values() for p in things for s in p.solids))
    if not reference_places(ask.space, solids).is_empty:
        return []
    return [one for axis in ("along", "across", "up") if (one := _shorter(ask, way, solids, axis)) is not None]


def _shorter(ask: Ask, way: Way, solids: Sequence[Solid], axis: str) -> Shortfall | None:
    """Return by how much the solids must be shorter along one axis alone, by halving."""
    i = {"along": 0, "across": 1, "up": 2}[axis]
    low = min(_corner(s)[i] for s in solids)
    high = max(_corner(s)[i + 3] for s in solids)
    enough, little = (high - low) * _MOST, 0.0
    if reference_places(ask.space, [_squeezed(s, i, (low, high), enough) for s in solids]).is_empty:
        return None
    while enough - little > _EXACT:
        middle = (enough + little) / 2
        if reference_places(ask.space, [_squeezed(s, i, (low, high), middle) for s in solids]).is_empty:
            little = middle
        else:
            enough = middle
    return Shortfall(form=way.key, axis=axis, size=high - low, less=enough)


def _corner(solid: Solid) -> tuple[float, float, float, float, float, float]:
    x0, y0, x1, y1 = solid.bounds
    return (x0, y0, solid.z0, x1, y1, solid.z1)


def _squeezed(solid: Solid, axis: int, span: tuple[float, float], less: float) -> Solid:
    """Return the solid with its coordinates along an axis drawn together, so that the whole is `less` mm shorter."""
    low, high = span
    share = (high - low - less) / (high - low)

    def drawn(v: float) -> float:
        return low + (v - low) * share

    if axis == 2:  # noqa: PLR2004 (up)
        return Solid(name=solid.name, outline=solid.outline, z0=drawn(solid.z0), z1=drawn(solid.z1))
    ring = tuple((drawn(x), y) if axis == 0 else (x, drawn(y)) for x, y in solid.outline)
    return Solid(name=solid.name, outline=ring, z0=solid.z0, z1=solid.z1)
