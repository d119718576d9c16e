"""The tree that is wanted: what a file says now, with the changes laid over it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from layout.files.editing.change import Change, Value
from layout.files.editing.edit import Edit, Path
from layout.files.editing.tree import Node
from layout.files.editing.words import Bare, number
from layout.files.nodes import DEEPEST


class Whole(dict[str, Any]):
    """A mapping that a change gives as a whole: it may be written anew."""


class Made(dict[str, Any]):
    """A mapping that was made since a change leads through it: it is written line by line where lines are."""


def wanted(edit: Edit, old: dict[str, Any], changes: Iterable[Change]) -> dict[str, Any]:
    """Return `old` with the changes laid over it one after the other; `old` stays as it is."""
    tree: dict[str, Any] = _copied(old)
    for change in changes:
        _lay(edit, tree, change)
    return tree


def _copied(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _copied(inner) for key, inner in value.items()}
    return [_copied(inner) for inner in value] if isinstance(value, list) else value


def as_tree(value: Value, depth: int) -> Any:
    """Return a value, so deep in a file, as its reader would: mappings, lists, texts; True and False are yes and no.

    Raises
    ------
    ValueError
        For numbers that are not finite, and for what is nested too deep to be read.
    """
    if depth > DEEPEST:
        raise ValueError(f"nested more than {DEEPEST} deep")
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return Bare("yes" if value else "no")
    if isinstance(value, (int, float)):
        return number(value)
    if isinstance(value, Mapping):
        return Whole({key: as_tree(inner, depth + 1) for key, inner in value.items()})
    return [as_tree(inner, depth + 1) for inner in value]


def _lay(edit: Edit, tree: dict[str, Any], change: Change) -> None:
    group, used, path = tree, False, change.path
    for depth in range(len(path)):
        used = used or "use" in group
        key = _spelled(group, path[depth])
        if key not in group and _refused_missing(edit, change, used):
            return
        if depth == len(path) - 1:
            _set(group, key, change)
            return
        inner = group.get(key, "")
        if inner == "":
            inner = group[key] = Made()
        if not isinstance(inner, dict):
            what = "list, which is only changed whole" if isinstance(inner, list) else "value without keys of its own"
            edit.refuse(_place(edit.source.root, path[: depth + 1]), path[: depth + 1], f"is a {what}")
            return
        group = inner


def _set(group: dict[str, Any], key: str, change: Change) -> None:
    if change.value is None:
        group.pop(key, None)
    else:
        group[key] = as_tree(change.value, len(change.path) + 1)


def _refused_missing(edit: Edit, change: Change, used: bool) -> bool:
    """Return whether there is nothing to do, or nothing that may be done, for a key that the file does not have."""
    gone, path = change.value is None, change.path
    if not used or (path[0] == "things" and not gone):
        return gone
    instead = "taken out; write a value that overrules it" if gone else "changed from here; write the key out first"
    text = f"does not stand in this file and may come from its use: entry, so it cannot be {instead}"
    edit.refuse(_place(edit.source.root, path), path, text)
    return True


def _spelled(group: dict[str, Any], key: str) -> str:
    """Return the key as the file has it: positions may say ``in front of`` with blanks."""
    plain = key.replace("_", " ")
    return plain if key == "in_front_of" and plain in group else key


def _place(root: Node, path: Path) -> int:
    """Return where the last key of the path stands, or the nearest that is there."""
    at, node = root.start, root
    for step in path:
        entries = node.entries if node.kind == "group" else []
        found = next((entry for entry in entries if entry[0].value == step), None)
        if found is None:
            break
        at, node = found[0].start, found[1]
    return at
