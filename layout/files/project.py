"""A project file, read whole: every fault at once, in file order."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from layout.errors import Fault, InputError, ValueFaultError
from layout.files.catalogue import Catalogue
from layout.files.faults import place_of, to_faults
from layout.files.format import ProjectFormat
from layout.files.forms import with_forms
from layout.files.make import make_things, refuse_names, refuse_references, thing_names
from layout.files.nodes import Group, Items, Text, read_nodes, refuse_same_keys, stated_units
from layout.files.raw import space_faults, unknown_references, with_plain_keys
from layout.files.refused import Refused, collecting
from layout.files.rules import overruled, read_building, read_rules
from layout.files.shape import shape
from layout.model.rule import Rule
from layout.model.thing import Thing
from layout.placing.place import refuse_unknown
from layout.space.space import Space

Result = TypeVar("Result")

# A space that uses a catalogue entry may overrule one key of these and leave the others to the entry.
_PARTS_OF_A_SPACE = frozenset(
    {"FloorFormat", "ObstacleFormat", "HoleFormat", "ReachInFormat", "RearDoorFormat", "SideDoorFormat"}
)


@dataclass(frozen=True, kw_only=True)
class Project:
    """A project as read: what the file says, the room that it shapes, the rules in force, the things made."""

    file: str
    said: ProjectFormat
    space: Space
    rules: Mapping[str, Rule]
    things: tuple[Thing, ...]
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
    faults: list[Fault] = []
    nodes = read_nodes(data, file, faults)
    _refuse_version(nodes, file)
    stated_units(nodes, _units(nodes))
    nodes = Catalogue(folder).unfold(nodes, faults)
    refuse_same_keys(nodes, faults)
    with_plain_keys(nodes)
    with_forms(nodes)
    said = _validated(nodes, faults)
    refused: Refused = []
    space = rules = None
    with collecting(refused):
        rules = overruled(read_rules() | read_building(), said.rules, said.units)
    with collecting(refused):
        space = shape(said.space, refused, rules)
    refuse_names(said, refused)
    refuse_references(said, refused)
    _refuse_rules(said, rules, refused)
    things = make_things(said, refused, space, rules)
    _refuse_positions(said, refused)
    if refused or space is None or rules is None:
        raise InputError(sorted(_placed(nodes, error) for error in refused))
    return Project(file=file, said=said, space=space, rules=rules, things=things, nodes=nodes)


def _refuse_rules(said: ProjectFormat, rules: Mapping[str, Rule] | None, refused: Refused) -> None:
    for i, accept in enumerate(said.accept):
        if rules is not None and accept.rule not in rules:
            text = f"no rule is called {accept.rule!r}; 'layout explain' lists them"
            refused.append(ValueFaultError(("accept", str(i), "rule"), text))


def _refuse_positions(said: ProjectFormat, refused: Refused) -> None:
    known = {name for group, spec in said.things.items() for name in (group, *thing_names(group, spec.count))}
    for name, position in said.arrangement.items():
        with collecting(refused):
            refuse_unknown(name, position, known, said.states)


def schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of the project file, ``use:`` allowed wherever a group stands."""
    from pydantic import TypeAdapter

    made = TypeAdapter(ProjectFormat).json_schema()
    for name, part in made["$defs"].items():
        if "properties" in part:
            part["properties"]["use"] = {"type": "string", "description": "a catalogue entry to start from"}
            required = [] if name in _PARTS_OF_A_SPACE else part.pop("required", [])
            part.pop("required", None)
            part["if"], part["else"] = {"required": ["use"]}, {"required": required}
    # A form says only what is other than in its thing.
    made["properties"]["forms"]["additionalProperties"]["additionalProperties"] = {"type": "object"}
    position = made["$defs"]["Position"]["properties"]
    position["in front of"] = position["in_front_of"]
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
        faults = [*faults, *to_faults(error.errors(), nodes, adapter.json_schema), *unknown_references(nodes)]
        faults += [_placed(nodes, refusal) for refusal in space_faults(nodes)]
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


def _with_place(nodes: Group, work: Callable[[], Result]) -> Result:
    try:
        return work()
    except ValueFaultError as error:
        raise InputError([_placed(nodes, error)]) from None


def _placed(nodes: Group, error: ValueFaultError) -> Fault:
    mark, key = place_of(nodes, _steps(nodes, error.path))
    return Fault(mark.file, mark.line, mark.column, key, error.text)


def _steps(nodes: Group, path: tuple[str, ...]) -> tuple[str | int, ...]:
    """Return the path with numbers where the file has a list."""
    node: Any = nodes
    steps: list[str | int] = []
    for step in path:
        at: str | int = int(step) if isinstance(node, Items) and step.isdigit() else step
        steps.append(at)
        inside = isinstance(node, (Group, Items)) and not isinstance(node, Text)
        node = node[at] if inside and (at in node if isinstance(node, Group) else True) else None
    return tuple(steps)
