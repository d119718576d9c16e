"""Arrangements that pass every check: searched, polished, judged; what fails is ruled out and searched again."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from time import monotonic
from typing import Literal

from layout.arrange.ask import Ask
from layout.arrange.asproject import Said, layout_of, said_of
from layout.arrange.build import Built, build, rounding_of
from layout.arrange.judge import failures
from layout.arrange.polish import Gaps, polished
from layout.arrange.problem import Place, Problem
from layout.arrange.solve import Answer, Budget, Search, Verdict
from layout.model.finding import Finding
from layout.model.layout import Layout

Pulls = Literal["all", "often", "none"]


@dataclass(frozen=True, kw_only=True)
class Arrangement:
    """An arrangement that passed every check: positions and sizes as the file says them, the layout, its figures."""

    said: Said
    layout: Layout
    places: tuple[Place, ...]
    score: int
    bound: int
    most: int
    proven: bool
    parts: tuple[tuple[str, int], ...]
    built: Built


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """What came of a search: a verdict, the arrangement if one was found, and what failed of those that were not."""

    verdict: Verdict
    arrangement: Arrangement | None = None
    failed: tuple[Finding, ...] = ()
    work: float = 0.0
    stopped: bool = False


@dataclass
class Finder:
    """Searches one question; keeps its model, so that asking again for something else is quick.

    After `tries` answers that the checks refused it gives up. `pulls` says for which things the model keeps a way out
    free: for all, for what is wanted often, or for none, which leaves it all to the checks.
    """

    ask: Ask
    budget: Budget
    tight: bool = False
    step: float = 10.0
    pulls: Pulls = "all"
    tell: Callable[[str], None] = lambda said: None
    tries: int = 12
    rejected: int = 0
    failed: list[Finding] = field(default_factory=list)
    work: float = 0.0

    def __post_init__(self) -> None:
        """Make the model."""
        self.built: Built = build(self.ask, rounding_of(self.ask, tight=self.tight))
        self.search = Search(_with_pulls(self.built.problem, self.pulls), self.step)
        rule = self.ask.rules["row-gap"]
        between = rule["tolerance"] + (0.0 if self.tight else rule["between"])
        self.gaps = Gaps(between=between, wall=rule["wall"], reach=max(self.step, 10.0))
        self._begun = monotonic()
        self._ends = monotonic() + self.budget.seconds if self.budget.seconds is not None else None

    def first(self, most: float | None = None) -> Outcome:
        """Return the first arrangement that passes every check; each try may do `most` of the work, if told."""

        def asked() -> Answer:
            rest = self._rest()
            return self.search.first(rest if most is None else replace(rest, work=min(most, rest.work)))

        return self._until_good(asked)

    def best(self, begin: Arrangement | None = None) -> Outcome:
        """Return the best arrangement found that passes every check."""
        start = begin.places if begin else ()
        seen: list[Answer] = []

        def asked() -> Answer:
            seen.clear()
            return self.search.best(self._rest(), start, self._heard(seen))

        return self._until_good(asked)

    def _heard(self, seen: list[Answer]) -> Callable[[Answer], None]:
        def hear(answer: Answer) -> None:
            seen.append(answer)
            self.tell(
                f"{monotonic() - self._begun:.0f} s: {_percent(answer.score, answer.most)} of what is wished, "
                f"at most {_percent(answer.bound, answer.most)}"
            )

        return hear

    def _rest(self) -> Budget:
        seconds = None if self._ends is None else max(0.05, self._ends - monotonic())
        return Budget(work=max(0.05, self.budget.work - self.work), seed=self.budget.seed, seconds=seconds)

    def _until_good(self, ask: Callable[[], Answer]) -> Outcome:
        """Ask until an answer passes every check; each that does not is ruled out with its like."""
        verdict: Verdict = "not found"
        for _ in range(self.tries):
            answer = ask()
            self.work += answer.work
            if answer.verdict != "found":
                # Once something was ruled out that only the checks refused, nothing is proven any more.
                verdict = "not found" if self.rejected else answer.verdict
                if answer.stopped:
                    return Outcome(verdict=verdict, failed=tuple(self.failed), work=self.work, stopped=True)
                break
            good, failed = self.judged(answer)
            if good is not None or answer.stopped:
                return Outcome(
                    verdict="found" if good else "not found", arrangement=good, failed=(*self.failed, *failed),
                    work=self.work, stopped=answer.stopped,
                )  # fmt: skip
            self.failed += failed
            self.rejected += 1
            for finding in failed[:3]:
                self.search.rule_out(answer.places, self._stands_of(finding, answer.places))
            if self.work >= self.budget.work or (self._ends is not None and monotonic() > self._ends):
                break
        return Outcome(verdict=verdict, failed=tuple(self.failed), work=self.work)

    def judged(self, answer: Answer) -> tuple[Arrangement | None, tuple[Finding, ...]]:
        """Return the answer as an arrangement, polished if that stays good; or what fails."""
        rough = said_of(self.built, answer.places)
        fine = polished(self.built, answer.places, rough, self.gaps)
        failed: tuple[Finding, ...] = ()
        for said in (fine, rough) if fine != rough else (rough,):
            layout = layout_of(self.built, said)
            failed = failures(self.ask, layout)
            if not failed:
                return Arrangement(
                    said=said, layout=layout, places=answer.places, score=answer.score, bound=answer.bound,
                    most=answer.most, proven=answer.proven, parts=answer.parts, built=self.built,
                ), ()  # fmt: skip
        return None, failed

    def _stands_of(self, finding: Finding, places: Sequence[Place]) -> list[str]:
        """Return the stands of the things that a finding names, with what rides on them; all, where it names none."""
        names = set(finding.things)
        owners = {name: unit.key for unit in self.built.units.values() for name in (*unit.names, *unit.riders)}
        owners |= {t.name: owners[t.group] for t in self.ask.things if t.group in owners and t.name not in owners}
        columns = self._columns(places)
        found = [columns.get(name) or owners.get(name) for name in names]
        return sorted({each for each in found if each}) or [p.stand for p in places if p.stand in self.built.units]

    def _columns(self, places: Sequence[Place]) -> dict[str, str]:
        """Return in which column each bin stands."""
        found: dict[str, str] = {}
        left: dict[tuple[str, ...], list[str]] = {}
        for place in places:
            unit = self.built.units.get(place.stand)
            if unit is not None and unit.column and place.form is not None:
                names = left.setdefault(unit.names, list(unit.names))
                found |= dict.fromkeys(names[: place.form.holds], place.stand)
                del names[: place.form.holds]
        return found


def _percent(score: int, most: int) -> str:
    return f"{100 * score / most:.0f} %" if most else "all"


def _with_pulls(problem: Problem, pulls: Pulls) -> Problem:
    kept = tuple(p for p in problem.pulls if pulls == "all" or (pulls == "often" and p.past is not None))
    return replace(problem, pulls=kept)


@dataclass(frozen=True, kw_only=True, slots=True)
class Attempt:
    """How a question is searched: with which gaps, on which grid (mm), what is kept free, and how long at most."""

    tight: bool
    step: float
    pulls: Pulls
    most: float | None = None


#: From what finds good arrangements quickly to what asks least: the next is tried where nothing was found.
ATTEMPTS = (
    Attempt(tight=False, step=10.0, pulls="all", most=1.5),
    Attempt(tight=False, step=10.0, pulls="often"),
    Attempt(tight=True, step=5.0, pulls="often"),
    Attempt(tight=True, step=1.0, pulls="none"),
)
