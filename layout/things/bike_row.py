"""How near to each other bicycles stand: worked out from the solids of each, and from what holds its wheels."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import inf, isfinite

from layout.model.solid import Solid, box
from layout.things.base import Span

_HAIR = 1e-6
#: From where to where a body reaches along x, y and z, mm.
Body = tuple[Span, Span, Span]


@dataclass(frozen=True, kw_only=True, slots=True)
class Pair:
    """A body of one bicycle and a body of another, `apart` places further left, which keep `gap` from each other.

    `turn` is +1 where only the second is moved by the stagger, -1 where only the first is, 0 where both or none are.
    """

    a: Body
    b: Body
    apart: int
    turn: int
    gap: float

    def near(self, axis: int, shift: float = 0.0) -> bool:
        """Return whether the two are nearer than the gap along an axis, the second shifted by `shift` mm."""
        low, high = self.refused(axis)
        return low + _HAIR < shift < high - _HAIR

    def refused(self, axis: int) -> Span:
        """Return between which shifts of the second along an axis the two are nearer than the gap."""
        (a0, a1), (b0, b1) = self.a[axis], self.b[axis]
        return a0 - b1 - self.gap, a1 - b0 + self.gap

    def staggers(self, axis: int) -> Span:
        """Return between which staggers along an axis the two are nearer than the gap."""
        low, high = self.refused(axis)
        return (low, high) if self.turn > 0 else (-high, -low)


@dataclass(frozen=True, kw_only=True, slots=True)
class Row:
    """Bicycles side by side, from the right to the left, each headed as it stands.

    `bodies` are the boxes of each, `holders` those of what its wheels or its fork stand in, both from the rearmost edge
    of the bicycle (x), its middle (y) and the tray's board (z). Bicycles keep `gap` from each other and from what holds
    others; holders, which reach down to the board, may touch.
    Every other bicycle, beginning with the second, is staggered: it stands further along, or higher.
    """

    bodies: tuple[tuple[Body, ...], ...]
    holders: tuple[tuple[Body, ...], ...]
    gap: float

    def spacing(self, along: float, up: float) -> float:
        """Return the least distance from middle to middle, mm, at which all are free of each other.

        Two boxes that are near each other in length and in height need half the width of both, and the gap; as the
        widths lie about the middle, no wider distance brings two together again.
        """
        level = (p for p in self._pairs() if p.near(0, p.turn * along) and p.near(2, p.turn * up))
        return max((p.refused(1)[1] / p.apart for p in level), default=0.0)

    def along(self, spacing: float) -> float | None:
        """Return the least stagger in length, mm, that frees all at that spacing; less than 0: to the rear.

        None where none does.
        """
        free = self._free(0, spacing, [p for p in self._pairs() if p.near(2)])
        return min(free, key=lambda shift: (abs(shift), shift < 0), default=None)

    def up(self, spacing: float, least: float) -> float | None:
        """Return the least stagger in height of `least` mm at least, or 0, that frees all at that spacing; or None."""
        free = self._free(2, spacing, [p for p in self._pairs() if p.near(0)], (0.0, least))
        return min((shift for shift in free if shift == 0 or shift >= least), default=None)

    def _free(self, axis: int, spacing: float, pairs: Iterable[Pair], more: tuple[float, ...] = (0.0,)) -> list[float]:
        """Return the staggers along an axis, of those that count, at which no pair is nearer than its gap."""
        beside = [pair for pair in pairs if pair.near(1, pair.apart * spacing)]
        if any(pair.turn == 0 and pair.near(axis) for pair in beside):
            return []
        spans = [pair.staggers(axis) for pair in beside if pair.turn]
        # The least one that is free is 0 or an end of a stretch that is not.
        tried = [*more, *(end for span in spans for end in span if isfinite(end))]
        return [shift for shift in tried if not any(low + _HAIR < shift < high - _HAIR for low, high in spans)]

    def _pairs(self) -> Iterator[Pair]:
        for (i, first), (j, second) in combinations(enumerate(self.bodies), 2):
            yield from _paired(first, second, (i, j), self.gap)
            yield from _paired(first, self.holders[j], (i, j), self.gap)
            yield from _paired(self.holders[i], second, (i, j), self.gap)
            yield from _paired(self.holders[i], self.holders[j], (i, j), 0.0)


def _paired(first: Sequence[Body], second: Sequence[Body], at: tuple[int, int], gap: float) -> Iterator[Pair]:
    turn = at[1] % 2 - at[0] % 2
    yield from (Pair(a=a, b=b, apart=at[1] - at[0], turn=turn, gap=gap) for a in first for b in second)


def body_of(solid: Solid) -> Body:
    """Return from where to where a solid reaches along each axis."""
    x0, y0, x1, y1 = solid.bounds
    return (x0, x1), (y0, y1), (solid.z0, solid.z1)


def from_below(x: Span, y: Span, top: float) -> Body:
    """Return a body from far below up to `top`, mm, as what carries a bicycle is, however high that is raised."""
    return x, y, (-inf, top)


def moved(body: Body, x: float, y: float, z: float) -> Body:
    """Return the body shifted by x, y, z mm."""
    return _by(body[0], x), _by(body[1], y), _by(body[2], z)


def as_solid(name: str, body: Body) -> Solid:
    """Return the body as a solid."""
    return box(name, *body)


def meet(a: Body, b: Body) -> bool:
    """Return whether two bodies take the same room."""
    return all(min(p[1], q[1]) - max(p[0], q[0]) > _HAIR for p, q in zip(a, b, strict=True))


def beside(bodies: Sequence[Body], loose: Sequence[Body], x: Span, gap: float) -> tuple[float, float]:
    """Return where a loose wheel stands to the left of all `bodies`: its rearmost edge (x) and its middle (y), mm.

    `loose` are the boxes of the wheel, from its rearmost edge and its middle. It stands within `x` along, `gap` away
    from all, as near to the middle as it goes, then as far back. It is tried where it meets no body any more along x:
    between two such places nothing changes.
    """
    size = max(body[0][1] for body in loose)
    ends = {x[0], x[1] - size}
    for body in bodies:
        for own in loose:
            ends |= {body[0][1] - own[0][0] + gap, body[0][0] - own[0][1] - gap}
    places = ((_left_of(bodies, loose, at, gap), at) for at in sorted(ends) if x[0] <= at <= x[1] - size + _HAIR)
    y, at = min(places)
    return at, y


def _left_of(bodies: Sequence[Body], loose: Sequence[Body], x: float, gap: float) -> float:
    pairs = (Pair(a=body, b=own, apart=1, turn=1, gap=gap) for body in bodies for own in loose)
    return max((p.refused(1)[1] for p in pairs if p.near(0, x) and p.near(2)), default=0.0)


def _by(span: Span, shift: float) -> Span:
    return span[0] + shift, span[1] + shift
