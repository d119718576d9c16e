"""Arrangements looked at from outside: written into a project file, read again, and put before all checks."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from layout.arrange.ask import Ask
from layout.arrange.find import Arrangement
from layout.arrange.several import Several, several
from layout.arrange.solve import Budget
from layout.jobs.keep import as_said
from layout.jobs.load import Plan, load
from tests.builders import project_text


def searched(ask: Ask, work: float = 1.0, *, count: int = 1, seed: int = 1) -> Several:
    """Return what a search with little work finds: `work` for each of `count` arrangements."""
    return several(ask, Budget(work=work * count, seed=seed), count=count, loss=1.0)


def read_again(folder: Path, said: dict[str, Any], one: Arrangement) -> Plan:
    """Return the checked plan of a project file in which an arrangement is written, by way of its text only."""
    positions = {key: as_said(position) for key, position in one.said.positions.items()}
    things = {name: dict(fields) for name, fields in said["things"].items()}
    for group, sizes in one.said.sizes.items():
        things[group] |= sizes
    groups = {key for key in said.get("arrangement", {}) if f"{key} 1" in positions}
    kept = {key: where for key, where in said.get("arrangement", {}).items() if key not in groups}
    path = folder / "found.yaml"
    path.write_text(project_text(**said | {"things": things, "arrangement": kept | positions}), encoding="utf-8")
    return load(str(path))


def failing(plan: Plan) -> list[str]:
    """Return what fails in a plan."""
    return [f"{f.rule}: {f.text}" for f in plan.findings if f.severity == "fail"]
