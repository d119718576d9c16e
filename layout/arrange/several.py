"""Several arrangements that differ in where the big things are, each the best of its like that was found."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from layout.arrange.ask import Ask
from layout.arrange.features import Features, Words
from layout.arrange.find import ATTEMPTS, Arrangement, Attempt, Finder
from layout.arrange.solve import Budget, Verdict
from layout.model.finding import Finding


@dataclass(frozen=True, kw_only=True)
class Several:
    """What came of a search: arrangements, the best first, with what is said of the big things in each.

    `complete`: it is proven that no other differs in the big things and loses no more than was allowed, on the grid of
    the search. `failed` is what the checks refused on the way; `verdict` is that of the first search.
    """

    verdict: Verdict
    arrangements: tuple[Arrangement, ...] = ()
    said: tuple[Mapping[str, Words], ...] = ()
    complete: bool = False
    failed: tuple[Finding, ...] = ()
    stopped: bool = False


def several(
    ask: Ask, budget: Budget, *, count: int = 5, loss: float = 0.25, tell: Callable[[str], None] = lambda said: None
) -> Several:  # fmt: skip
    """Return up to `count` arrangements; each loses at most the share `loss` of the best one's figure.

    A keyboard interrupt ends the search and returns what was found. Each arrangement is given an equal part of the
    budget.

    Raises
    ------
    ValueFaultError
        As `build` does.
    """
    share = replace(budget, work=budget.work / count)
    for one in ATTEMPTS:
        finder = Finder(ask=ask, budget=share, tight=one.tight, step=one.step, pulls=one.pulls, tell=tell)
        found = _of(finder, one, count, loss)
        if found.arrangements or found.stopped:
            break
    return found


def _of(finder: Finder, attempt: Attempt, count: int, loss: float) -> Several:
    """Return what one model gives."""
    kinds = Features(finder.search.grid, finder.ask.space.bounds)
    arrangements: list[Arrangement] = []
    said: list[Mapping[str, Words]] = []
    complete = stopped = False
    verdict: Verdict = "not found"
    try:
        first = finder.first(attempt.most)
        verdict, stopped = first.verdict, first.stopped
        if stopped:
            raise KeyboardInterrupt  # noqa: TRY301 (as if it had come through from the solver)
        while len(arrangements) < count and verdict == "found" and not stopped:
            finder.tell(f"arrangement {len(arrangements) + 1} of {count}")
            finder.work = 0.0
            outcome = finder.best(first.arrangement if not arrangements else None)
            stopped = outcome.stopped
            best = outcome.arrangement or (first.arrangement if not arrangements else None)
            if best is None:
                complete = outcome.verdict == "impossible"
                break
            if not arrangements:
                finder.search.at_least(round(best.score * (1 - loss)))
            arrangements.append(best)
            said.append(kinds.said(best.places))
            kinds.forbid(said[-1])
    except KeyboardInterrupt:
        stopped = True
        if not arrangements and verdict == "found" and first.arrangement is not None:
            arrangements, said = [first.arrangement], [kinds.said(first.arrangement.places)]
    order = sorted(range(len(arrangements)), key=lambda i: (-arrangements[i].score, i))
    return Several(
        verdict=verdict, arrangements=tuple(arrangements[i] for i in order), said=tuple(said[i] for i in order),
        complete=complete,
        failed=tuple(finder.failed), stopped=stopped,
    )  # fmt: skip
