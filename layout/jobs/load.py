"""A project file to a plan: things made, placed and checked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from layout.checks.context import Context
from layout.checks.run import run_checks
from layout.errors import Fault, InputError, ValueFaultError
from layout.files.format import ProjectFormat, SheetFormat
from layout.files.project import Project, read_project, thing_names
from layout.model.finding import Finding
from layout.model.layout import Layout
from layout.model.panel import Sheet
from layout.model.person import Person
from layout.model.thing import Thing
from layout.placing.place import place
from layout.things.base import Shop

_LARGEST_THING = 10_000.0


@dataclass(frozen=True, kw_only=True)
class Plan:
    """A project with its layout and what the checks say of it."""

    project: Project
    layout: Layout
    findings: tuple[Finding, ...]

    @property
    def fails(self) -> bool:
        """Return whether any finding fails."""
        return any(finding.severity == "fail" for finding in self.findings)


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


def load(path: str) -> Plan:
    """Return the plan of a project file.

    Raises
    ------
    InputError
        With every fault of the file.
    """
    data, folder = read_file(path)
    project = read_project(data, "standard input" if path == "-" else path, folder)
    layout = project.placing_faults(lambda: _layout(project))
    context = Context(space=project.space, layout=layout, rules=project.rules, units=project.said.units)
    return Plan(project=project, layout=layout, findings=run_checks(context))


def _layout(project: Project) -> Layout:
    said = project.said
    things = make_things(said)
    people = tuple(Person(name=name, stature=person.stature) for name, person in said.people.items())
    return place(project.space, things, said.arrangement, said.states, people)


def make_things(said: ProjectFormat) -> tuple[Thing, ...]:
    """Return every thing of the project, in its own axes, in the file's order.

    Raises
    ------
    ValueFaultError
        When a thing cannot be made as described.
    """
    shop = Shop(sheets=sheets(said), specs=said.things)
    made = [
        spec.make(name, group, shop) for group, spec in said.things.items() for name in thing_names(group, spec.count)
    ]
    for thing in made:
        x0, y0, x1, y1 = thing.box.bounds
        if max(x1 - x0, y1 - y0, thing.box.z1) > _LARGEST_THING:
            raise ValueFaultError(("things", thing.group), "larger than 10 m")
    return tuple(made)


def sheets(said: ProjectFormat) -> dict[str, Sheet]:
    """Return the sheets that furniture is made from, by material.

    Raises
    ------
    ValueFaultError
        When two sheets of one material differ in thickness.
    """
    found: dict[str, Sheet] = {}
    for name, sheet in _said_sheets(said).items():
        material = sheet.material or name
        made = Sheet(material=material, thickness=sheet.thickness, density_kg_m3=sheet.density)
        if found.setdefault(material, made).thickness != made.thickness:
            raise ValueFaultError(
                ("workshop", "sheets", name, "thickness"),
                f"sheets of one material are equally thick; {material!r} already has {found[material].thickness:g} mm",
            )
    return found


def _said_sheets(said: ProjectFormat) -> Mapping[str, SheetFormat]:
    return said.workshop.sheets if said.workshop else {}
