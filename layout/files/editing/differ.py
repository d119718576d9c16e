"""The splices that turn what a file says into what is wanted: down to the smallest values that differ."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from layout.files.editing import block, flow
from layout.files.editing.edit import Edit, Path
from layout.files.editing.tree import Node, after_colon
from layout.files.editing.wanted import Made, Whole
from layout.files.editing.words import in_one_line


@dataclass(frozen=True, slots=True)
class _Slot:
    """Where a value stands: its key, itself, and whether the mapping around it is in braces."""

    key: Node
    node: Node
    in_flow: bool


def change_file(edit: Edit, old: dict[str, Any], want: dict[str, Any]) -> None:
    """Splice the top mapping."""
    root = edit.source.root
    if old == want or edit.refuse_shared([root], ()):
        return
    if old.keys().isdisjoint(want):
        edit.refuse(root.start, (), "nothing would be left of the file; write another one instead")
    else:
        _change_group(edit, root, old, want, ())


def _change(edit: Edit, slot: _Slot, old: Any, want: Any, path: Path) -> None:
    node = slot.node
    if old == want or edit.refuse_shared([slot.key, node], path):
        return
    if node.kind == "group" and isinstance(want, dict) and _is_alike(edit, node, old, want):
        _change_group(edit, node, old, want, path)
    elif node.kind == "list" and isinstance(want, list) and _is_itemwise(node, old, want):
        for i, (child, before, after) in enumerate(zip(node.children, old, want, strict=True), 1):
            _change(edit, _Slot(slot.key, child, node.flow), before, after, (*path, str(i)))
    elif not edit.refuse_whole(slot.key, node, path):
        _replace(edit, slot, want, path)


def _is_alike(edit: Edit, node: Node, old: dict[str, Any], want: dict[str, Any]) -> bool:
    """Return whether to edit key by key: unless a new mapping was given that has little in common with the old one."""
    if not want:
        return False
    if not isinstance(want, Whole):
        return True
    if node.flow and not edit.source.comments_in(node.start, node.end):
        return old.keys() == want.keys()
    return not old.keys().isdisjoint(want)


def _is_itemwise(node: Node, old: list[Any], want: list[Any]) -> bool:
    """Return whether each item that differs is written in its line, so that it can be spliced alone."""
    if len(old) != len(want):
        return False
    pairs = zip(node.children, old, want, strict=True)
    return all(before == after or (child.flow and not child.is_empty) for child, before, after in pairs)


def _change_group(edit: Edit, node: Node, old: dict[str, Any], want: dict[str, Any], path: Path) -> None:
    gone: list[int] = []
    for i, (key, value) in enumerate(node.entries):
        below = (*path, key.value)
        if key.value in want:
            _change(edit, _Slot(key, value, node.flow), old[key.value], want[key.value], below)
        elif not edit.refuse_whole(key, value, below) and _has_plain_key(edit, _Slot(key, value, node.flow), below):
            gone.append(i)
    new = {key: value for key, value in want.items() if key not in old}
    if node.flow:
        flow.take_out(edit, node, gone)
        flow.add(edit, node, new, gone)
        return
    for key, value in (node.entries[i] for i in gone):
        block.take_out_lines(edit, key.start, value.end, (*path, key.value))
    block.add_lines(edit, node, new, path)


def _has_plain_key(edit: Edit, slot: _Slot, path: Path) -> bool:
    """Return whether the entry is written ``key: value``, without a question mark; refuse it if not."""
    source, key = edit.source, slot.key
    before = source.text[source.line_start(key.start) : key.start].rstrip(" \t")
    plain = not before.endswith("?") if slot.in_flow else not before and after_colon(source.text, key) is not None
    if not plain:
        edit.refuse(key.start, path, "is written with a question mark; write it as 'key: value'")
    return plain


def _replace(edit: Edit, slot: _Slot, want: Any, path: Path) -> None:
    if not slot.node.flow:
        _replace_block(edit, slot, want, path)
    elif slot.node.is_empty:
        _fill(edit, slot, want, path)
    else:
        _replace_flow(edit, slot.node, want)


def _replace_flow(edit: Edit, node: Node, want: Any) -> None:
    """Put the new value into the old one's place; comments inside the old one go before it, in lines of their own."""
    source, text, start = edit.source, edit.source.text, node.start
    said = in_one_line(want)
    if inside := source.comments_in(node.start, node.end):
        while text[start - 1] in " \t" and not source.begins_line(start):
            start -= 1
        lead = source.newline + source.indent(node.start) + " " * source.step
        said = "".join(lead + text[at:stop] for at, stop in inside) + lead + said
    elif text[start - 1] == ":" and text[start - 2] not in "\"'":  # a quoted key may touch its value
        said = f" {said}"
    follows = text[node.end : node.end + 1]
    edit.splice(start, node.end, said if not follows or follows.isspace() or follows in ",]}" else f"{said} ")


def _fill(edit: Edit, slot: _Slot, want: Any, path: Path) -> None:
    """Write a value where there was none."""
    if not _has_plain_key(edit, slot, path):
        return
    colon = after_colon(edit.source.text, slot.key)
    if colon is None:
        edit.splice(slot.node.end, slot.node.end, f": {in_one_line(want)}")
    elif isinstance(want, Made) and want and not slot.in_flow:
        block.add_below_key(edit, slot.key, colon, want)
    else:
        edit.splice(colon, colon, f" {in_one_line(want)}")


def _replace_block(edit: Edit, slot: _Slot, want: Any, path: Path) -> None:
    """Write the value behind the key; the lines of the old one go, their comments stay."""
    if _has_plain_key(edit, slot, path):
        colon = after_colon(edit.source.text, slot.key) or slot.key.end
        edit.splice(colon, colon, f" {in_one_line(want)}")
        block.take_out_lines(edit, slot.node.start, slot.node.end, path)
