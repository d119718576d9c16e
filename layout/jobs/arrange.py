"""The verb ``try``: arrangements of what has no place yet, or why there is none."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from layout.arrange.ask import Ask
from layout.arrange.conflict import Conflict, conflict
from layout.arrange.find import Arrangement
from layout.arrange.most import Most, most
from layout.arrange.names import names_of
from layout.arrange.several import Several, several
from layout.arrange.shortfall import Shortfall, shortfalls
from layout.arrange.solve import Budget, Verdict
from layout.arrange.units_of import split
from layout.arrange.ways_out import WayOut, ways_out
from layout.errors import Fault, InputError
from layout.files.project import Project, read_project
from layout.jobs.ask import ask_of
from layout.jobs.load import read_file

Tell = Callable[[str], None]
#: Work for one arrangement, in the solver's own seconds, by the word for the effort.
EFFORTS = {"quick": 2.0, "normal": 6.0, "long": 30.0}


@dataclass(frozen=True, kw_only=True)
class Options:
    """How many arrangements, how much worse than the best each may be, how much work, which seed, how long at most."""

    count: int = 5
    loss: float = 0.25
    effort: str = "normal"
    seed: int = 1
    seconds: float | None = None

    @property
    def budget(self) -> Budget:
        """Return the work of the whole search."""
        return Budget(work=EFFORTS[self.effort] * self.count, seed=self.seed, seconds=self.seconds)


@dataclass(frozen=True, kw_only=True)
class WhyNot:
    """Why nothing was found: what cannot all be, how much too large a thing is, what to give up, what most goes in."""

    conflict: Conflict | None
    shortfalls: Mapping[str, tuple[Shortfall, ...]]
    ways_out: tuple[WayOut, ...]
    most: Most | None


@dataclass(frozen=True, kw_only=True)
class Tried:
    """A project, the arrangements found with their names, or why there are none."""

    project: Project
    ask: Ask
    found: Several
    names: tuple[str, ...]
    why: WhyNot | None = None

    @property
    def verdict(self) -> Verdict:
        """Return what came of it: found, impossible (proven), or not found within the budget."""
        if self.found.arrangements:
            return "found"
        return "impossible" if self.why is not None and self.why.conflict is not None else "not found"

    def named(self, name: str) -> Arrangement:
        """Return the arrangement of that name, or number from 1.

        Raises
        ------
        InputError
            When there is none.
        """
        for i, known in enumerate(self.names):
            if name in (known, str(i + 1)):
                return self.found.arrangements[i]
        known = "; ".join(f"{i + 1}: {each}" for i, each in enumerate(self.names)) or "none was found"
        raise InputError([Fault("try", 0, 0, "--keep", f"there is no arrangement {name!r}; there are: {known}")])


def try_file(path: str, options: Options, tell: Tell = lambda said: None) -> Tried:
    """Return what the search finds for a project file; `tell` hears what is being done.

    Raises
    ------
    InputError
        With every fault of the file.
    """
    data, folder = read_file(path)
    return try_project(read_project(data, "standard input" if path == "-" else path, folder), options, tell)


def try_project(project: Project, options: Options, tell: Tell = lambda said: None) -> Tried:
    """Return what the search finds for a project.

    Raises
    ------
    InputError
        When nothing is free, or something is said of what is free that cannot be kept.
    """
    ask = ask_of(project)
    if not project.placing_faults(lambda: split(ask)).units:
        text = "everything has its place; take the place of what is to be arranged out of arrangement:"
        raise InputError([Fault(project.file, 0, 0, "arrangement", text)])
    found = project.placing_faults(
        lambda: several(ask, options.budget, count=options.count, loss=options.loss, tell=tell)
    )
    why = None if found.arrangements or found.stopped else why_not(ask, options, tell)
    return Tried(project=project, ask=ask, found=found, names=names_of(found), why=why)


def why_not(ask: Ask, options: Options, tell: Tell) -> WhyNot:
    """Return why nothing was found, and what helps."""
    budget = Budget(work=EFFORTS[options.effort], seed=options.seed)
    tell("looking for what stands in the way")
    # That the search has nothing left to try is no proof: it rounds inward, and keeps ways free that it need not.
    clash = conflict(ask, budget)
    units = {unit.key: unit for unit in split(ask).units if clash and unit.key in clash.members}
    short = {key: shortfalls(ask, unit) for key, unit in units.items()}
    offers = ways_out(ask, clash, budget, tell=tell)
    return WhyNot(conflict=clash, shortfalls=short, ways_out=offers, most=None if clash else most(ask, budget, tell))


def as_json(tried: Tried) -> dict[str, Any]:
    """Return the outcome for programs: lengths in mm."""
    found = tried.found
    return {
        "title": tried.project.said.title,
        "verdict": tried.verdict,
        "complete": found.complete,
        "arrangements": [
            {
                "name": name, "score": a.score, "bound": a.bound, "most": a.most, "proven": a.proven,
                "wishes": dict(a.parts), "arrangement": {key: _position(p) for key, p in a.said.positions.items()},
                "sizes": {group: dict(keys) for group, keys in a.said.sizes.items()},
            }
            for name, a in zip(tried.names, found.arrangements, strict=True)
        ],
        "why": _why_json(tried.why) if tried.why else None,
    }  # fmt: skip


def _position(position: Any) -> dict[str, Any]:
    from layout.jobs.keep import as_said

    return as_said(position)


def _why_json(why: WhyNot) -> dict[str, Any]:
    return {
        "conflict": {"members": why.conflict.members, "minimal": why.conflict.minimal} if why.conflict else None,
        "too large": {
            key: [{"axis": one.axis, "size": round(one.size, 1), "less": round(one.less, 1)} for one in short]
            for key, short in why.shortfalls.items()
        },
        "ways out": [{"give": way.words, "how much": way.gives} for way in why.ways_out],
        "left out": list(why.most.left_out) if why.most else None,
    }
