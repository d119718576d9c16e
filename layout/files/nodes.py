"""YAML text to plain values that know their place; every scalar stays text.

PyYAML types scalars after YAML 1.1, where ``1:10`` is 70 and ``no`` is False; so the text is composed, not
loaded, and the fields of the file decide what a text means.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import yaml

from layout.errors import Fault, InputError
from layout.units.length import parse_length

LARGEST_FILE = 1_000_000
DEEPEST = 50
MOST_ALIASES = 200
_MOST_NODES = 200_000


@dataclass(frozen=True, slots=True)
class Mark:
    """A place in a file: line and column from 1."""

    file: str
    line: int
    column: int


class Text(str):
    """A scalar as written, with its place and the units of its file (None until known)."""

    mark: Mark
    units: str | None = None


class Group(dict[str, Any]):
    """A mapping; `mark` is where it begins, `keys_at` where each key stands."""

    mark: Mark
    keys_at: dict[str, Mark]


class Items(list[Any]):
    """A list; `mark` is where it begins."""

    mark: Mark


def read_nodes(data: bytes, file: str, faults: list[Fault] | None = None) -> Group:
    """Return the file's top mapping, its scalars as `Text`.

    Repeated and complex keys are added to `faults`, if given, and left out.

    Raises
    ------
    InputError
        When the file is no mapping, empty, not UTF-8, over 1 MB, nested over 50 deep, has over 200
        aliases or one that refers to itself, carries control characters, repeats a key, or is no YAML.
    """
    root = _composed(_decoded(data, file), file)
    if not isinstance(root, yaml.MappingNode):
        raise _fault(
            root,
            file,
            "the file must be a mapping: lines of the form 'key: value' (a project begins with layout: 1)",
        )
    found: list[Fault] = []
    value = _Builder(file, found).build(root, 1, ())
    if faults is not None:
        faults += found
    elif found:
        raise InputError(sorted(found))
    return value  # type: ignore[no-any-return]  # a mapping node builds a Group


def _decoded(data: bytes, file: str) -> str:
    if len(data) > LARGEST_FILE:
        raise InputError([Fault(file, 0, 0, "", f"the file has {len(data)} bytes; at most {LARGEST_FILE} are read")])
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise InputError([Fault(file, line, 1, "", "the file is not UTF-8; save it as UTF-8 text")]) from None
    if not text.strip():
        raise InputError([Fault(file, 1, 1, "", "the file is empty; 'layout new' writes one to start from")])
    return text


def _composed(text: str, file: str) -> yaml.Node:
    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    try:
        _refuse_depth(text, file, loader)
        root = yaml.compose(text, Loader=loader)
    except yaml.YAMLError as error:
        raise InputError([_yaml_fault(error, text, file)]) from None
    if root is None:
        raise InputError([Fault(file, 1, 1, "", "the file holds only comments; 'layout new' writes one to start from")])
    return root


def _refuse_depth(text: str, file: str, loader: Any) -> None:
    """Count depth and aliases on the stream of events, before anything recursive touches the text."""
    depth = aliases = 0
    for number, event in enumerate(yaml.parse(text, Loader=loader)):
        if isinstance(event, yaml.CollectionStartEvent):
            depth += 1
        elif isinstance(event, yaml.CollectionEndEvent):
            depth -= 1
        elif isinstance(event, yaml.AliasEvent):
            aliases += 1
        if depth > DEEPEST:
            raise _fault(event, file, f"nested more than {DEEPEST} deep")
        if aliases > MOST_ALIASES:
            raise _fault(event, file, f"more than {MOST_ALIASES} aliases")
        if number > _MOST_NODES:
            raise _fault(event, file, "more values than a project can have")


def _yaml_fault(error: yaml.YAMLError, text: str, file: str) -> Fault:
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    if isinstance(error, yaml.MarkedYAMLError) and mark is not None:
        problem = error.problem or error.context or "cannot be read"
        hint = "; indent with spaces, not tabs" if "\\t" in problem or "'\t'" in problem else ""
        return Fault(file, mark.line + 1, mark.column + 1, "", f"not YAML here: {problem}{hint}")
    position = getattr(error, "position", None)
    before = text[: position or 0]
    line, column = before.count("\n") + 1, len(before) - (before.rfind("\n") + 1) + 1
    return Fault(file, line, column, "", "a control character that YAML does not allow; delete it")


def _fault(node: Any, file: str, text: str) -> InputError:
    mark = node.start_mark
    return InputError([Fault(file, mark.line + 1, mark.column + 1, "", text)])


class _Builder:
    """Nodes to values; aliases are followed, and one that leads back to itself is refused."""

    def __init__(self, file: str, faults: list[Fault]) -> None:
        self.file = file
        self.faults = faults
        self.open: set[int] = set()
        self.built = 0

    def build(self, node: yaml.Node, depth: int, path: tuple[str, ...]) -> Any:
        self.built += 1
        if id(node) in self.open or depth > DEEPEST or self.built > _MOST_NODES:
            raise _fault(node, self.file, "aliases that refer to themselves, or unfold into too much")
        self.open.add(id(node))
        value = self._value(node, depth, path)
        self.open.discard(id(node))
        value.mark = self._mark(node)
        return value

    def _value(self, node: yaml.Node, depth: int, path: tuple[str, ...]) -> Any:
        if isinstance(node, yaml.MappingNode):
            return self._group(node, depth, path)
        if isinstance(node, yaml.SequenceNode):
            return Items(self.build(child, depth + 1, (*path, str(i + 1))) for i, child in enumerate(node.value))
        return Text(node.value)

    def _group(self, node: yaml.MappingNode, depth: int, path: tuple[str, ...]) -> Group:
        group = Group()
        group.keys_at = {}
        for key_node, value_node in node.value:
            key = self._key(key_node, group, path)
            if key is not None:
                group.keys_at[key] = key.mark
                group[key] = self.build(value_node, depth + 1, (*path, key))
        return group

    def _key(self, node: yaml.Node, group: Group, path: tuple[str, ...]) -> Text | None:
        mark = self._mark(node)
        if not isinstance(node, yaml.ScalarNode):
            self.faults.append(Fault(self.file, mark.line, mark.column, ".".join(path), "a key must be plain text"))
            return None
        key = Text(node.value)
        key.mark = mark
        if key == "<<":
            self.faults.append(
                Fault(self.file, mark.line, mark.column, ".".join(path), "merge keys are not read; write the keys out")
            )
            return None
        if key in group:
            first = group.keys_at[key].line
            text = f"the key {key!r} stands here and in line {first}; keep one of them"
            self.faults.append(Fault(self.file, mark.line, mark.column, ".".join((*path, key)), text))
            return None
        return key

    def _mark(self, node: yaml.Node) -> Mark:
        return Mark(self.file, node.start_mark.line + 1, node.start_mark.column + 1)


def refuse_same_keys(value: Any, faults: list[Fault], path: str = "") -> None:
    """Add a fault for each key that means what another of its group means, as ``300`` and ``30 cm`` do."""
    inner = value.items() if isinstance(value, dict) else enumerate(value, 1) if isinstance(value, list) else ()
    seen: dict[object, Text] = {}
    for key, below in inner:
        here = f"{path}.{key}" if path else str(key)
        if isinstance(key, Text):
            first = seen.setdefault(_meaning(key), key)
            if first is not key:
                text = f"{str(key)!r} means the same as {str(first)!r} in line {first.mark.line}; keep one of them"
                faults.append(Fault(key.mark.file, key.mark.line, key.mark.column, here, text))
        refuse_same_keys(below, faults, here)


def _meaning(key: Text) -> object:
    word = key.strip()
    try:
        return parse_length(word, key.units) if word[:1].isdigit() else word  # type: ignore[arg-type]  # units were checked
    except ValueError:
        return word


def stated_units(value: Any, units: str | None) -> None:
    """Write on every text below `value` the units of its file, for numbers that carry none."""
    if isinstance(value, Text):
        if value.units is None:
            value.units = units
    elif isinstance(value, dict):
        for key, inner in value.items():
            stated_units(key, units)
            stated_units(inner, units)
    elif isinstance(value, list):
        for inner in value:
            stated_units(inner, units)
