"""Edits of a mapping whose entries stand in lines of their own."""

from __future__ import annotations

from typing import Any

from layout.files.editing.edit import Edit, Path
from layout.files.editing.tree import Node
from layout.files.editing.wanted import Made
from layout.files.editing.words import in_one_line, key_text


def take_out_lines(edit: Edit, start: int, end: int, path: Path) -> None:
    """Take out the lines from `start`, which begins one, to that of `end`; their comments stay."""
    source = edit.source
    first, last = source.line_start(start), source.line_end(end)
    if edit.refuse_below_text(first, path, going=True):
        return
    kept = source.kept_lines(start, last)
    if first > edit.top:
        edit.splice(source.line_ends[source.line(first) - 1], last, kept)
    elif kept:
        edit.splice(first, last, kept.removeprefix(source.newline))
    else:  # no break is left above
        edit.top = source.line_starts[source.line(last) + 1]
        edit.splice(first, edit.top, "")


def add_lines(edit: Edit, node: Node, new: dict[str, Any], path: Path) -> None:
    """Add entries below the last one of a block mapping; those of the top mapping at the end of the file."""
    if not new:
        return
    source, column = edit.source, edit.source.column(node.start)
    at = source.below_comments(node.end, column)
    if node is source.root:
        at = source.line_end(len(source.text[: source.end].rstrip()))
    if not edit.refuse_below_text(at, (*path, next(iter(new))), going=False):
        edit.splice(at, at, "".join(_lines(edit, key, value, column) for key, value in new.items()))


def add_below_key(edit: Edit, key: Node, colon: int, made: Made) -> None:
    """Add entries below a key that has no value yet."""
    source = edit.source
    column = source.column(key.start)
    at = source.below_comments(colon, column + 1)
    edit.splice(at, at, "".join(_lines(edit, name, inner, column + source.step) for name, inner in made.items()))


def _lines(edit: Edit, key: str, value: Any, column: int) -> str:
    """Return an entry as lines, each led by a break: mappings that were made on the way are opened out."""
    head = edit.source.newline + " " * column + key_text(key) + ":"
    if not isinstance(value, Made) or not value:
        return f"{head} {in_one_line(value)}"
    below = column + edit.source.step
    return head + "".join(_lines(edit, name, inner, below) for name, inner in value.items())
