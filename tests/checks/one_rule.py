"""What one rule alone says of a project: quick, and whatever other rules think."""

from __future__ import annotations

from dataclasses import replace

from layout.checks.context import Context, merged
from layout.checks.run import checks
from layout.model.finding import Finding
from layout.model.person import Person
from layout.placing.place import place
from tests.builders import project_text, read


def context_of(**more: object) -> Context:
    """Return what a rule is given of a project file with `more` laid over the plain room."""
    project = read(project_text(**more))
    said = project.said
    people = tuple(Person(name=name, stature=person.stature) for name, person in said.people.items())
    layout = place(project.space, project.things, said.arrangement, said.states, people)
    return Context(space=project.space, layout=layout, rules=project.rules, units=said.units)


def found_in(context: Context, rule: str) -> list[Finding]:
    """Return what the rule finds, those alike in several states made one."""
    return list(merged(checks()[rule](context)))


def found(rule: str, **more: object) -> list[Finding]:
    """Return what the rule finds of a project file with `more` laid over the plain room."""
    return found_in(context_of(**more), rule)


def moved(context: Context, finding: Finding) -> Context:
    """Return the context after the cure of a finding, which is a shift, is carried out in every state."""
    does = finding.does
    assert does is not None
    placed = {
        state: tuple(
            replace(p, solids=tuple(s.moved(*does.shift) for s in p.solids), box=p.box.moved(*does.shift))
            if p.name in does.things
            else p
            for p in things
        )
        for state, things in context.layout.placed.items()
    }
    return Context(
        space=context.space, layout=replace(context.layout, placed=placed), rules=context.rules, units=context.units
    )
