"""Scenarios with nothing drawn yet, tried by the search with little work, some of their text replaced."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from pathlib import Path

from layout.arrange.ask import Ask
from layout.arrange.conflict import Conflict, conflict
from layout.arrange.find import Arrangement
from layout.arrange.several import Several, several
from layout.arrange.solve import Budget
from layout.files.project import Project, read_project
from layout.jobs.arrange import Options, Tried, try_project
from layout.jobs.ask import ask_of
from layout.model.layout import Placed

HERE = Path(__file__).parent
Change = tuple[str, str]


WORK = 0.2


class Little(Options):
    """Options with so little work that a test may ask."""

    @property
    def budget(self) -> Budget:
        """Return the work of the whole search."""
        return Budget(work=WORK * self.count, seed=self.seed)


@cache
def tried(name: str, *changes: Change, count: int = 1) -> Tried:
    """Return what the program says of a scenario: what it finds, or why nothing, and all ways out."""
    return try_project(_project(name, changes), Little(count=count, effort="quick"))


@cache
def searched(name: str, *changes: Change) -> tuple[Several, Conflict | None]:
    """Return what the search alone finds for a scenario, and what cannot all be had where it finds nothing."""
    ask = asked(name, *changes)
    found = several(ask, Budget(work=WORK), count=1)
    return found, None if found.arrangements else conflict(ask, Budget(work=2.0))


@cache
def asked(name: str, *changes: Change) -> Ask:
    """Return the question of a scenario."""
    return ask_of(_project(name, changes))


def _project(name: str, changes: Sequence[Change]) -> Project:
    text = (HERE / name).read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return read_project(text.encode(), name, HERE)


def stood(one: Arrangement, name: str, state: str = "drive") -> Placed:
    """Return a thing where it stands in an arrangement."""
    return next(p for p in one.layout.placed[state] if p.name == name)
