"""A project file, read whole: every fault at once, in file order."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from layout.errors import Fault, InputError, ValueFaultError
from layout.files.catalogue import Catalogue
from layout.files.faults import place_of, to_faults
from layout.files.format import MOST_THINGS, ProjectFormat
from layout.files.nodes import Group, Items, Text, read_nodes, stated_units
from layout.files.rules import overruled, read_rules
from layout.files.shape import shape
from layout.model.rule import Rule
from layout.space.space import Space

Result = TypeVar("Result")


@dataclass(frozen=True, kw_only=True)
class Project:
    """A project as read: what the file says, the room that it shapes, the rules in force."""

    file: str
    said: ProjectFormat
    space: Space
    rules: Mapping[str, Rule]
    nodes: Group

    def placing_faults(self, work: Callable[[], Result]) -> Result:
        """Return what `work` returns; a value that it cannot use becomes a fault with its place in the file.

        Raises
        ------
        InputError
            For the value that `work` refused.
        """
        return _with_place(self.nodes, work)


def read_project(data: bytes, file: str, folder: Path | None = None) -> Project:
    """Return the project that `data` says.

    Parameters
    ----------
    data
        The file's bytes.
    file
        Its name, for messages.
    folder
        Where it lies; the owner's own catalogue is looked for in ``catalogs/`` there.

    Raises
    ------
    InputError
        With every fault found, in file order.
    """
    nodes = read_nodes(data, file)
    _refuse_version(nodes, file)
    stated_units(nodes, _units(nodes))
    faults: list[Fault] = []
    nodes = Catalogue(folder).unfold(nodes, faults)
    said = _validated(nodes, faults)
    _refuse_names(said, nodes)
    space = _with_place(nodes, lambda: shape(said.space))
    rules = _with_place(nodes, lambda: overruled(read_rules(), said.rules, said.units))
    return Project(file=file, said=said, space=space, rules=rules, nodes=nodes)


def schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of the project file, ``use:`` allowed wherever a group stands."""
    from pydantic import TypeAdapter

    made = TypeAdapter(ProjectFormat).json_schema()
    for part in made["$defs"].values():
        if "properties" in part:
            part["properties"]["use"] = {"type": "string", "description": "a catalogue entry to start from"}
            part["if"] = {"required": ["use"]}
            part["else"] = {"required": part.pop("required", [])}
    _open_choices(made)
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "layout project, version 1",
        **made,
    }


def _open_choices(part: Any) -> None:
    """Let a thing that uses a catalogue entry leave out its kind: then any of the kinds may match."""
    if isinstance(part, dict):
        if "discriminator" in part:
            part.pop("discriminator")
            part["anyOf"] = part.pop("oneOf")
        for inner in part.values():
            _open_choices(inner)
    elif isinstance(part, list):
        for inner in part:
            _open_choices(inner)


def _refuse_version(nodes: Group, file: str) -> None:
    if "layout" not in nodes:
        text = "is missing; the first line of a project is layout: 1, the version of the file"
        raise InputError([Fault(file, nodes.mark.line, nodes.mark.column, "layout", text)])


def _units(nodes: Group) -> str | None:
    units = nodes.get("units")
    return str(units) if units in ("mm", "cm", "m", "in", "ft") else None


def _validated(nodes: Group, faults: list[Fault]) -> ProjectFormat:
    from pydantic import TypeAdapter, ValidationError

    adapter = TypeAdapter(ProjectFormat)
    try:
        said: ProjectFormat = adapter.validate_python(nodes)
    except ValidationError as error:
        faults = [*faults, *to_faults(error.errors(), nodes, adapter.json_schema)]
    if faults:
        raise InputError(sorted(_without_echoes(faults, nodes)))
    return said


def _without_echoes(faults: list[Fault], nodes: Group) -> list[Fault]:
    """Leave out what only follows from an entry that was not found, and unit faults when units are missing."""
    unfound = {fault.key.removesuffix(".use") for fault in faults if "no catalogue entry" in fault.text}
    kept = [f for f in faults if "no catalogue entry" in f.text or not any(f.key.startswith(u) for u in unfound)]
    if _units(nodes) is None:
        kept = [f for f in kept if "has no unit, and the file states none" not in f.text]
    return kept


def _refuse_names(said: ProjectFormat, nodes: Group) -> None:
    """Refuse numbered names that meet another name, more things than can be checked, and unknown sleepers."""
    taken: dict[str, str] = {}
    total = sum(spec.count for spec in said.things.values())
    for group, spec in said.things.items():
        for name in thing_names(group, spec.count):
            if name in taken and taken[name] != group:
                _raise(nodes, ("things", group), f"two things would be called {name!r}; rename one")
            taken[name] = group
        for sleeper in getattr(spec, "sleeps", ()):
            if sleeper not in said.people:
                people = ", ".join(said.people) or "nobody"
                _raise(
                    nodes,
                    ("things", group, "sleeps"),
                    f"no person is called {sleeper!r}; there are: {people}",
                )
    if total > MOST_THINGS:
        _raise(nodes, ("things",), f"{total} things; at most {MOST_THINGS} can be planned")
    if "floor" in taken:
        _raise(nodes, ("things", "floor"), "a thing cannot be called floor")
    if not said.states:
        _raise(nodes, ("states",), "at least one state is wanted")


def thing_names(group: str, count: int) -> tuple[str, ...]:
    """Return the names of `count` things of a group: its own name, or that name with numbers from 1."""
    return (group,) if count == 1 else tuple(f"{group} {i}" for i in range(1, count + 1))


def _raise(nodes: Group, path: tuple[str, ...], text: str) -> None:
    mark, key = place_of(nodes, path)
    raise InputError([Fault(mark.file, mark.line, mark.column, key, text)])


def _with_place(nodes: Group, work: Callable[[], Result]) -> Result:
    try:
        return work()
    except ValueFaultError as error:
        mark, key = place_of(nodes, _steps(nodes, error.path))
        raise InputError([Fault(mark.file, mark.line, mark.column, key, error.text)]) from None


def _steps(nodes: Group, path: tuple[str, ...]) -> tuple[str | int, ...]:
    """Return the path with numbers where the file has a list."""
    node: Any = nodes
    steps: list[str | int] = []
    for step in path:
        at: str | int = int(step) if isinstance(node, Items) and step.isdigit() else step
        steps.append(at)
        inside = isinstance(node, (Group, Items)) and not isinstance(node, Text)
        node = node[at] if inside and (at in node if isinstance(node, Group) else True) else None  # type: ignore[index]
    return tuple(steps)
