"""From measurements by name to numbered unknowns and rows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from layout.errors import ValueFaultError
from layout.model.survey import Alone, Beside, Between, Measure, Survey, Tape
from layout.survey.functions import Distance, Entry, Function, Offset, Row, Vector

PATH = ("space", "survey")
# A sum holds exactly; so small a deviation makes it a condition that the readings give way to.
_EXACT = 1e-3  # of a reading's


@dataclass(frozen=True, kw_only=True, slots=True)
class Network:
    """The unknowns by number (x and y of each of `points`, then each of `lengths`) and the rows; `fixed` are given."""

    points: tuple[str, ...]
    lengths: tuple[str, ...]
    rows: tuple[Row, ...]
    fixed: frozenset[int]
    absolute: bool

    @property
    def size(self) -> int:
        """Return the number of unknowns, given ones too."""
        return 2 * len(self.points) + len(self.lengths)

    @property
    def free(self) -> list[int]:
        """Return the numbers of the unknowns that are to be found."""
        return [i for i in range(self.size) if i not in self.fixed]

    def x_of(self, point: str) -> int:
        """Return the number of the point's x."""
        return 2 * self.points.index(point)

    def place(self, u: Vector, point: str) -> tuple[float, float]:
        """Return where the point is, mm."""
        i = self.x_of(point)
        return float(u[i]), float(u[i + 1])

    def without(self, names: Sequence[str]) -> Network:
        """Return the network without the measurements of these names."""
        return replace(self, rows=tuple(row for row in self.rows if not row.name or row.name not in names))


def network(survey: Survey, tape: Tape) -> Network:
    """Return the survey as unknowns and rows.

    Raises
    ------
    ValueFaultError
        When a sum names no measurement, or distances whose points are no chain.
    """
    points = tuple(sorted({p for m in survey.measures for p in points_of(m.what)} | set(survey.known)))
    lengths = tuple(m.name for m in survey.measures if isinstance(m.what, Alone))
    bare = Network(points=points, lengths=lengths, rows=(), fixed=frozenset(), absolute=False)
    rows = [_row(bare, m, tape) for m in survey.measures]
    rows += [row for whole, parts in survey.sums.items() for row in _sum_rows(bare, survey, tape, (whole, *parts))]
    fixed = frozenset(bare.x_of(p) + i for p in survey.known for i in (0, 1))
    on_centreline = any(isinstance(m.what, Beside) and m.what.line is None for m in survey.measures)
    return replace(
        bare, rows=tuple(rows), fixed=fixed, absolute=bool(survey.known) or (on_centreline and survey.axes is None)
    )


def points_of(what: Between | Beside | Alone) -> tuple[str, ...]:
    """Return the points that a measurement ties."""
    if isinstance(what, Between):
        return what.a, what.b
    return (what.point, *(what.line or ())) if isinstance(what, Beside) else ()


def start_of(net: Network, survey: Survey) -> Vector:
    """Return the unknowns with what is known of them filled in, mm; nan for the rest."""
    u = np.full(net.size, np.nan)
    for name, place in survey.known.items():
        u[net.x_of(name) : net.x_of(name) + 2] = place
    for i, name in enumerate(net.lengths):
        u[2 * len(net.points) + i] = next(m.reading.mm for m in survey.measures if m.name == name)
    return u


def _function(net: Network, measure: Measure) -> Function:
    what = measure.what
    if isinstance(what, Between):
        return Distance(net.x_of(what.a), net.x_of(what.b))
    if isinstance(what, Alone):
        return Entry(2 * len(net.points) + net.lengths.index(measure.name))
    out = what.axis == "out"
    if what.line is None:
        return Entry(net.x_of(what.point) + out)
    return Offset(net.x_of(what.point), net.x_of(what.line[0]), net.x_of(what.line[1]), out)


def _row(net: Network, measure: Measure, tape: Tape) -> Row:
    sigma = tape.reading / measure.weight**0.5
    return Row(name=measure.name, value=measure.reading.mm, sigma=sigma, terms=((1.0, _function(net, measure)),))


def _sum_rows(net: Network, survey: Survey, tape: Tape, names: tuple[str, ...]) -> list[Row]:
    """Return what a sum demands: points of one line, or lengths that add up."""
    by_name = {m.name: m for m in survey.measures}
    for name in names:
        if name not in by_name:
            known = ", ".join(by_name) or "none"
            text = f"nothing measured is called {name!r}; there are: {known}"
            raise ValueFaultError((*PATH, "sums", names[0]), text)
    measures = [by_name[name] for name in names]
    ends = [m.what for m in measures if isinstance(m.what, Between)]
    if len(ends) == len(measures):
        return _chain_rows(net, tape, names[0], ends)
    terms = tuple((1.0 if i == 0 else -1.0, _function(net, m)) for i, m in enumerate(measures))
    return [Row(name="", value=0.0, sigma=tape.reading * _EXACT, terms=terms)]


def _chain_rows(net: Network, tape: Tape, name: str, ends: list[Between]) -> list[Row]:
    """Return a row for each point between the ends of the whole: it lies on the line between them."""
    whole, parts = ends[0], ends[1:]
    here, chain = whole.a, [whole.a]
    for part in parts:
        if here not in (part.a, part.b):
            break
        here = part.b if here == part.a else part.a
        chain.append(here)
    if chain[-1] != whole.b or len(chain) != len(parts) + 1 or len(set(chain)) < len(chain):
        ways = ", ".join(f"{a}-{b}" for a, b in pairwise((whole.a, "P", "Q", whole.b)))
        text = f"the parts must run from {whole.a} to {whole.b} one after the other, as in [{ways}]"
        raise ValueFaultError((*PATH, "sums", name), text)
    a, b = net.x_of(whole.a), net.x_of(whole.b)
    return [
        Row(name="", value=0.0, sigma=tape.straight, terms=((1.0, Offset(net.x_of(p), a, b, out=True)),))
        for p in chain[1:-1]
    ]
