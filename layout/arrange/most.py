"""As much as goes in, where not everything was found to: each thing may be left out, and heavy ones count most."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from layout.arrange.ask import Ask
from layout.arrange.build import Built
from layout.arrange.find import Arrangement, Finder
from layout.arrange.problem import Place, Stand
from layout.arrange.reduced import left_without
from layout.arrange.solve import Budget, Search


@dataclass(frozen=True, kw_only=True)
class Most:
    """An arrangement that passes every check, and the things that are left out of it."""

    arrangement: Arrangement
    left_out: tuple[str, ...]


def most(ask: Ask, budget: Budget, tell: Callable[[str], None] = lambda said: None) -> Most | None:
    """Return the arrangement with the most in it that was found, None where none was."""
    finder = Finder(ask=ask, budget=budget, tell=tell)
    problem = finder.built.problem
    stands = tuple(replace(s, absent=True) if s.unit else s for s in problem.stands)
    search = Search(replace(problem, stands=stands, soft=True), finder.step)
    answer = search.fullest(budget, {s.name: _worth(s) for s in stands if s.unit})
    if not answer.places:
        return None
    left_out = tuple(_left_out(finder.built, answer.places))
    outcome = Finder(ask=left_without(ask, left_out), budget=budget, tell=tell).first()
    return Most(arrangement=outcome.arrangement, left_out=left_out) if outcome.arrangement else None


def _worth(stand: Stand) -> int:
    """Return what one thing of a stand is worth: its mass in kg, since what is heavy is meant to go along."""
    return max(1, round(max((f.mass / f.holds for f in stand.forms), default=1.0)))


def _left_out(built: Built, places: tuple[Place, ...]) -> Iterator[str]:
    """Yield the things that no place holds: those of columns from the last number on."""
    for group in built.problem.totals:
        columns = [p for p in places if p.stand in built.units and built.units[p.stand].column]
        mine = [p for p in columns if built.stand(p.stand).group == group]
        held = sum(p.form.holds for p in mine if p.form is not None)
        yield from built.units[mine[0].stand].names[held:]
    for place in places:
        unit = built.units.get(place.stand)
        if unit is not None and not unit.column and place.form is None:
            yield from unit.names
