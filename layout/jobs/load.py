"""A project file to a plan: things made, placed and checked."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from layout.checks.accepted import unused, with_accepted
from layout.checks.context import Context
from layout.checks.run import run_checks
from layout.errors import Fault, InputError
from layout.files.project import Project, read_project
from layout.model.accept import Accept
from layout.model.finding import Finding
from layout.model.layout import Layout
from layout.model.person import Person
from layout.model.spot import Spot
from layout.placing.place import place
from layout.placing.waiting import settled


@dataclass(frozen=True, kw_only=True)
class Plan:
    """A project with its layout and what the checks say of it."""

    project: Project
    layout: Layout
    findings: tuple[Finding, ...]

    @property
    def fails(self) -> bool:
        """Return whether any finding fails."""
        return any(finding.severity == "fail" and not finding.accepted for finding in self.findings)


def read_file(path: str) -> tuple[bytes, Path]:
    """Return the bytes of a file and its folder; ``-`` is standard input.

    Raises
    ------
    InputError
        When it cannot be read.
    """
    if path == "-":
        import sys

        return sys.stdin.buffer.read(), Path.cwd()
    try:
        return Path(path).read_bytes(), Path(path).resolve().parent
    except OSError as error:
        raise InputError(
            [Fault(path, 0, 0, "", f"cannot be read: {(error.strerror or 'unknown reason').lower()}")]
        ) from None


def load(path: str, tell: Callable[[str], None] | None = None) -> Plan:
    """Return the plan of a project file; `tell` hears before each step what is being done.

    Raises
    ------
    InputError
        With every fault of the file.
    """
    data, folder = read_file(path)
    project = read_project(data, "standard input" if path == "-" else path, folder)
    layout = project.placing_faults(lambda: layout_of_project(project))
    context = Context(space=project.space, layout=layout, rules=project.rules, units=project.said.units)
    findings = with_accepted(run_checks(context, tell), _accepts(project))
    return Plan(project=project, layout=layout, findings=findings)


def _accepts(project: Project) -> tuple[Accept, ...]:
    return tuple(Accept(rule=a.rule, reason=a.reason, things=a.things, states=a.states) for a in project.said.accept)


def stale_accepts(plan: Plan) -> tuple[Accept, ...]:
    """Return what the project accepts though nothing of the kind was found."""
    return unused(plan.findings, _accepts(plan.project))


def people_of(project: Project) -> tuple[Person, ...]:
    """Return the people of a project."""
    people = project.said.people
    return tuple(Person(name=name, stature=one.stature, sitting=one.sitting) for name, one in people.items())


def spots_of(project: Project) -> tuple[Spot, ...]:
    """Return the places of a project where people stand, sit or lie."""
    return tuple(
        Spot(name=name, at=(s.x, s.y), does=s.does, seat=s.seat, people=s.people, states=s.states)
        for name, s in project.said.spots.items()
    )


def layout_of_project(project: Project) -> Layout:
    """Return where everything stands, as the project says."""
    said = project.said
    arrangement = settled(project.things, said.arrangement)
    layout = place(project.space, project.things, arrangement, said.states, people_of(project))
    return replace(layout, spots=spots_of(project))
