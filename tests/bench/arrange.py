"""Time the search for arrangements on projects of 5 to 40 things: ``python tests/bench/arrange.py [--what first]``.

Prints figures, asserts nothing: times are a machine's, not the program's. Times are processor time, with the wall's in
brackets: other people's work on the machine counts in the second only. A first arrangement is timed from the question to
what has passed every check, in a fresh finder with everything imported; where the finder gives up, the next finer one
goes on, as in the program. The files were written, and what is expected of each, before the search was tried on them; none
was made easier afterwards.

What somebody who knows the trade expects of each project in tests/bench/arrange:

five-tuner            5 things, small van. Easy: a single bed along a wall, two things by the doors.
eight-canopy          8, truck bed. Fiddly: one door, a low roof, a bed on one side of the wheel wells and a lane of 430.
ten-founders         10, van of middle height. Easy: bins under the bed, a bicycle across in front of it, side door clear.
ten-puppets          10, box trailer. Easy: room on all sides, but two whole bicycles stay inside at night.
twelve-full-small    12, small van, nearly full. Hard: about one way to stow it; an answer by hand is beside it.
fifteen-printers     15, van of middle height. Medium: a press that stands where it is, two bicycles, wheels, chairs that move.
twenty-glassblowers  20, van with a high roof, in inches. Hard: totes fill all below the bed, the rest is a lane and a door
                     kept clear. Nobody had an answer by hand when it was written.
twenty-orchestra     20, box trailer. Medium: two beds, three bicycles; the bins must come out of a rack.
twenty-full-middle   20, van of middle height, nearly full. Hard: twelve bins below the bed; an answer by hand is beside it.
twenty-no-room       20, van of middle height. Impossible by room: fewer bins help, since they may not be stacked.
twenty-too-long      20, van of middle height. Impossible by one thing: a bed across, 1850 between walls 1720 apart.
thirty-theatre       30, van with a high roof. Medium to hard: eighteen bins, up to three on each other.
forty-market         40, box trailer. Medium: many alike, room enough; whoever tries them one by one never ends.

NAME-answer.yaml beside a file is an answer to it, so that nobody has to believe that there is one: those of the two nearly
full vans were found with paper and pencil, the others by the search. tests/arrange/test_scenarios.py holds them to the checks.
"""

from __future__ import annotations

import os
import platform
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from statistics import median

import click

from layout.arrange.ask import Ask
from layout.arrange.conflict import Conflict, conflict
from layout.arrange.find import ATTEMPTS, Arrangement, Finder
from layout.arrange.judge import context_of
from layout.arrange.several import several
from layout.arrange.solve import Budget
from layout.arrange.ways_out import ways_out
from layout.checks.run import run_checks
from layout.files.project import read_project
from layout.jobs.ask import ask_of

FOLDER = Path(__file__).parent / "arrange"
#: By name: how many things, and whether all of them go in.
SCENARIOS = {
    "five-tuner": (5, True),
    "eight-canopy": (8, True),
    "ten-founders": (10, True),
    "ten-puppets": (10, True),
    "twelve-full-small": (12, True),
    "fifteen-printers": (15, True),
    "twenty-glassblowers": (20, True),
    "twenty-orchestra": (20, True),
    "twenty-full-middle": (20, True),
    "twenty-no-room": (20, False),
    "twenty-too-long": (20, False),
    "thirty-theatre": (30, True),
    "forty-market": (40, True),
}
#: Goals by the most things: seconds to the first arrangement; seconds of searching on, and the gap then, %.
FIRST = {10: 1.0, 20: 3.0, 40: 15.0}
GAP = {10: (10.0, 1.0), 20: (60.0, 10.0)}
_FIVE, _WAYS = 90.0, 30.0
_THREE = 3
_RATE = 4.5  # seconds of this sort of machine for one of the solver's own count; what it took is printed
_WORK = 6.0  # of the solver's own count for each arrangement, as the program gives it
_TWENTY = 20


@dataclass
class Accepted:
    """How many answers were held against all the checks once more, and how many of them passed."""

    asked: int = 0
    passed: int = 0

    def look(self, ask: Ask, arrangement: Arrangement) -> None:
        """Check an answer."""
        found = run_checks(context_of(ask, arrangement.layout))
        self.asked += 1
        self.passed += not any(finding.severity == "fail" for finding in found)


@dataclass(frozen=True, kw_only=True)
class Timed:
    """What came of a search, with its processor time and the wall's."""

    verdict: str
    arrangement: Arrangement | None
    seconds: float
    wall: float
    tight: bool = False


def question(name: str) -> Ask:
    """Return the question of a scenario, read anew, so that nothing is kept from one search to the next."""
    file = FOLDER / f"{name}.yaml"
    return ask_of(read_project(file.read_bytes(), str(file), FOLDER))


def first(ask: Ask, seed: int, work: float = _WORK) -> Timed:
    """Return the first arrangement that passes every check."""
    return _searched(ask, Budget(work=work, seed=seed), None)


def best(ask: Ask, seed: int, seconds: float) -> Timed:
    """Return the best arrangement within about so many seconds of work."""
    return _searched(ask, Budget(work=_WORK, seed=seed), seconds)


def _searched(ask: Ask, budget: Budget, seconds: float | None) -> Timed:
    cpu, wall = time.process_time(), time.perf_counter()
    outcome = None
    for way in ATTEMPTS:
        finder = Finder(ask=ask, budget=budget, tight=way.tight, step=way.step, pulls=way.pulls)
        outcome = finder.first(way.most)
        if outcome.arrangement is not None:
            break
    assert outcome is not None, "there is at least one way to search"
    found = outcome.arrangement
    if found is not None and seconds is not None:
        left = max(0.5, seconds - (time.process_time() - cpu))
        finder.budget, finder.work = Budget(work=left / _RATE, seed=budget.seed), 0.0
        found = finder.best(found).arrangement or found
    return Timed(
        verdict=outcome.verdict, arrangement=found, seconds=time.process_time() - cpu,
        wall=time.perf_counter() - wall, tight=finder.tight,
    )  # fmt: skip


def _first_goal(things: int) -> float:
    return next(FIRST[most] for most in sorted(FIRST) if things <= most)


def _gap_goal(things: int) -> tuple[float, float]:
    """Return how long to search on, s, and the gap to be reached by then, %."""
    return next((GAP[most] for most in sorted(GAP) if things <= most), GAP[_TWENTY])


def _met(good: bool) -> str:
    return "" if good else "  MISSED"


# --- what is measured -------------------------------------------------------------------------------------------------


def _firsts(names: Sequence[str], seeds: range, accepted: Accepted) -> None:
    click.echo("first arrangement: median and worst of the seeds; the goal is for the median, twice that for the worst")
    for name in names:
        things, expected = SCENARIOS[name]
        found = [first(question(name), seed) for seed in seeds]
        for one in found:
            if one.arrangement:
                accepted.look(question(name), one.arrangement)
        times, walls = [one.seconds for one in found], [one.wall for one in found]
        verdicts = ", ".join(f"{v} {[o.verdict for o in found].count(v)}" for v in sorted({o.verdict for o in found}))
        goal = _first_goal(things)
        right = all((one.arrangement is not None) == expected for one in found)
        met = median(times) <= goal and max(times) <= 2 * goal and right
        click.echo(
            f"  {name:20} {things:3}  expected {'found' if expected else 'impossible':10}  {verdicts:28}"
            f"{median(times):7.2f} ({median(walls):6.2f}) {max(times):7.2f} ({max(walls):6.2f})   goal {goal:g}{_met(met)}"
        )


def _gaps(names: Sequence[str], seconds: float | None, accepted: Accepted, kept: dict[str, Timed]) -> None:
    click.echo("best within a given work: figure and bound in % of all that is wished, gap in % of the figure; seed 1")
    for name in names:
        things, expected = SCENARIOS[name]
        if not expected:
            continue
        given, goal = _gap_goal(things)
        ask = question(name)
        one = kept[name] = best(ask, 1, seconds or given)
        if one.arrangement is None:
            click.echo(f"  {name:20} {things:3}  {one.verdict} after {one.seconds:.1f} ({one.wall:.1f}){_met(False)}")
            continue
        accepted.look(ask, one.arrangement)
        a = one.arrangement
        gap = 100 * (a.bound - a.score) / max(1, a.score)
        aim = f"goal {goal:g} in {given:g} s{_met(gap <= goal)}" if things <= _TWENTY else "no goal"
        click.echo(
            f"  {name:20} {things:3}  figure {100 * a.score / a.most:6.2f}  bound {100 * a.bound / a.most:6.2f}  gap {gap:6.2f}"
            f"{'  proven' if a.proven else ''}  after {one.seconds:.1f} ({one.wall:.1f}) s   {aim}"
        )


def _severals(names: Sequence[str], accepted: Accepted) -> None:
    click.echo(f"five different arrangements, the program's usual work; goal {_FIVE:g} s")
    for name in (n for n in names if SCENARIOS[n] == (_TWENTY, True)):
        ask = question(name)
        cpu, wall = time.process_time(), time.perf_counter()
        found = several(ask, Budget(work=5 * _WORK))
        cpu, wall = time.process_time() - cpu, time.perf_counter() - wall
        for one in found.arrangements:
            accepted.look(ask, one)
        shares = ", ".join(f"{100 * a.score / a.most:.0f}" for a in found.arrangements)
        enough = len(found.arrangements) == 5 or found.complete
        click.echo(
            f"  {name:20} {len(found.arrangements)} found ({shares} %){', no other' if found.complete else ''}"
            f"  {cpu:.1f} ({wall:.1f}) s{_met(enough and cpu <= _FIVE)}"
        )


def _ways(names: Sequence[str], accepted: Accepted) -> None:
    click.echo(f"three ways out; goal {_WAYS:g} s, from the question on")
    for name in (n for n in names if not SCENARIOS[n][1]):
        ask = question(name)
        cpu, wall = time.process_time(), time.perf_counter()
        budget = Budget(work=_WORK)
        clash = conflict(ask, budget)
        proven = time.process_time() - cpu
        offers = ways_out(ask, clash, budget)
        cpu, wall = time.process_time() - cpu, time.perf_counter() - wall
        for offer in offers:
            accepted.look(ask, offer.arrangement)
        met = _met(len(offers) >= _THREE and cpu <= _WAYS)
        click.echo(f"  {name:20} {_proof(clash)}, {proven:.1f} s")
        click.echo(f"  {'':20} {len(offers)} ways out, {cpu:.1f} ({wall:.1f}) s{met}")
        for offer in offers:
            click.echo(f"  {'':22}{offer.words}")


def _proof(clash: Conflict | None) -> str:
    if clash is None:
        return "no proof"
    return f"impossible together: {', '.join(clash.members)}{'' if clash.minimal else ' (or fewer)'}"


def _against_chance(names: Sequence[str], seconds: float | None, kept: dict[str, Timed]) -> None:
    from random_restart import Scale, random_restart

    click.echo("against random restarts, the same checks, as much processor time; figures in % of all that is wished")
    better = equal = 0
    told = [name for name in names if SCENARIOS[name][1]]
    for name in told:
        things = SCENARIOS[name][0]
        ask = question(name)
        one = kept.get(name) or best(ask, 1, seconds or _gap_goal(things)[0])
        tries = random_restart(ask, one.seconds, 1, tight=one.tight)
        # Both are read off the same scale, each fixed to where it stands.
        scale = Scale(one.arrangement.built.problem) if one.arrangement else None
        ours = scale.score(one.arrangement.places) if scale and one.arrangement else None
        better += (ours or -1) > (tries.best or -1)
        equal += ours == tries.best
        click.echo(
            f"  {name:20} {things:3}  {one.seconds:6.1f} s  search {_share(ours, scale)}  chance {_share(tries.best, scale)}"
            f"  of {tries.good} that passed, {tries.placed} placed{_met((ours or -1) >= (tries.best or -1))}"
        )
    click.echo(f"  better on {better}, equal on {equal}, worse on {len(told) - better - equal}")


def _share(score: int | None, scale: object) -> str:
    most = getattr(scale, "most", 0)
    return "  none" if score is None else f"{100 * score / most:6.2f}" if most else f"{score:6}"


def _machine() -> Iterator[str]:
    info = Path("/proc/cpuinfo")
    lines = info.read_text().splitlines() if info.exists() else []
    name = next((line.split(":")[1].strip() for line in lines if "model name" in line), platform.processor())
    yield f"{datetime.now(UTC):%Y-%m-%d}, {name}, {os.cpu_count()} cores, Python {platform.python_version()}, one process"
    yield f"load {os.getloadavg()[0]:.1f}; processor time (wall), s"


@click.command()
@click.option(
    "--only", multiple=True, type=click.Choice(tuple(SCENARIOS)), help="Only this one; may be said several times."
)
@click.option("--seeds", default=5, show_default=True, help="So many seeds of each first arrangement.")
@click.option("--seconds", type=float, help="Search on for so long (without it: 10 s up to 10 things, else 60).")
@click.option(
    "--what", type=click.Choice(("first", "gap", "several", "ways-out", "random", "all")), default="all", show_default=True,
    help="What is measured.",
)  # fmt: skip
def main(only: tuple[str, ...], seeds: int, seconds: float | None, what: str) -> None:
    """Print the times and figures of the search, with the goals beside them."""
    names, accepted, kept = only or tuple(SCENARIOS), Accepted(), dict[str, Timed]()
    for line in _machine():
        click.echo(line)
    first(question("five-tuner"), 1)  # imports, and what the libraries set up once
    parts: dict[str, Callable[[], None]] = {
        "first": lambda: _firsts(names, range(1, seeds + 1), accepted),
        "gap": lambda: _gaps(names, seconds, accepted, kept),
        "random": lambda: _against_chance(names, seconds, kept),
        "several": lambda: _severals(names, accepted),
        "ways-out": lambda: _ways(names, accepted),
    }
    for part, run in parts.items():
        if what in (part, "all"):
            run()
    if accepted.asked:
        share = 100 * accepted.passed / accepted.asked
        told = f"{accepted.passed} of {accepted.asked}, {share:.1f} %"
        click.echo(f"accepted by all checks: {told}, goal 100{_met(share >= 100)}")
    click.echo(f"load at the end {os.getloadavg()[0]:.1f}")


if __name__ == "__main__":
    main()
