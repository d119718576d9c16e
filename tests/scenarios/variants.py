"""Scenarios with some of their text replaced, beside the catalogues that they use."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from shutil import copytree

from layout.jobs.load import Plan, load
from layout.model.finding import Finding

HERE = Path(__file__).parent
Change = tuple[str, str]


@cache
def plan(name: str) -> Plan:
    """Return the checked plan of a scenario as it stands in its file."""
    return load(str(HERE / name))


def changed(folder: Path, name: str, *changes: Change) -> Plan:
    """Return the checked plan of a scenario with each old text replaced by a new one, wherever it stands."""
    text = (HERE / name).read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    copytree(HERE / "catalogs", folder / "catalogs", dirs_exist_ok=True)
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return load(str(path))


def found(plan: Plan, rule: str, *things: str) -> list[Finding]:
    """Return what a rule says of a plan, of those named things if any are."""
    return [f for f in plan.findings if f.rule == rule and set(things) <= set(f.things)]


def failing(plan: Plan) -> set[str]:
    """Return the rules by which a plan fails, what the owner accepts aside."""
    return {f.rule for f in plan.findings if f.severity == "fail" and not f.accepted}
