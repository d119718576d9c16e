"""A project file to a question for the search."""

from __future__ import annotations

from layout.arrange.ask import Ask, Sizes
from layout.files.make import remade
from layout.files.project import Project
from layout.jobs.load import people_of, spots_of
from layout.model.thing import Thing


def ask_of(project: Project) -> Ask:
    """Return the question that a project asks: what has no place yet is free."""
    said = project.said

    def remake(sizes: Sizes) -> tuple[Thing, ...]:
        return remade(said, sizes, project.space, project.rules)

    return Ask(
        space=project.space, things=project.things, arrangement=said.arrangement, states=said.states,
        rules=project.rules, people=people_of(project), spots=spots_of(project), free=said.free, wishes=said.wishes,
        units=said.units, remake=remake,
    )  # fmt: skip
