"""Edits of a mapping in braces, in one line or over several."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from layout.files.editing.edit import Edit
from layout.files.editing.tree import Node
from layout.files.editing.words import in_one_line, key_text

_NOTHING = ""


def take_out(edit: Edit, node: Node, gone: list[int]) -> None:
    """Take out the entries with these numbers, with their commas; comments between them stay."""
    entries = node.entries
    for first, last in _runs(gone):
        start, end = _stretch(edit, node, entries, first, last)
        edit.splice(start, end, edit.source.kept_within(start, end))


def _runs(numbers: list[int]) -> Iterator[tuple[int, int]]:
    """Yield first and last of each run of neighbours."""
    first = last = numbers[0] if numbers else -1
    for number in numbers[1:]:
        if number != last + 1:
            yield first, last
            first = number
        last = number
    if numbers:
        yield first, last


def _stretch(edit: Edit, node: Node, entries: list[tuple[Node, Node]], first: int, last: int) -> tuple[int, int]:
    """Return from where to where a run of entries goes; one comma goes with each entry, but none twice."""
    start, end = entries[first][0].start, entries[last][1].end
    if last + 1 < len(entries):
        return start, entries[last + 1][0].start
    before = entries[first - 1][1] if first else None
    if before is not None and not edit.source.comments_in(before.end, start):
        return before.end + (edit.source.text[before.end] == " " and before.is_empty), end  # "a:}" could not be read
    return start, _comma(edit, node, end) or end


def _comma(edit: Edit, node: Node, end: int) -> int | None:
    """Return the end of the comma between the last value and the closing brace, or None."""
    at = end
    for start, stop in [*edit.source.comments_in(end, node.end), (node.end - 1, node.end)]:
        if (found := edit.source.text.find(",", at, start)) >= 0:
            return found + 1
        at = stop
    return None


def add(edit: Edit, node: Node, new: dict[str, Any], gone: list[int]) -> None:
    """Add entries behind the last one that stays; below it where every entry has a line of its own."""
    said = [f"{key_text(key)}: {in_one_line(value)}" for key, value in new.items()]
    if not said:
        return
    leaves = set(gone)
    stays = [value for i, (_, value) in enumerate(node.entries) if i not in leaves]
    if not stays:
        begin = edit.source.text.index("{", node.start) + 1
        close = edit.source.text[begin : begin + 1] == "#"
        edit.splice(begin, begin, ", ".join(said) + (" " if close else _NOTHING))
    elif gone or not _has_own_line(edit, node):
        end = stays[-1].end
        edit.splice(end, end, _apart(edit, stays[-1]) + "".join(f", {entry}" for entry in said))
    else:
        _add_lines(edit, node, said)


def _apart(edit: Edit, value: Node) -> str:
    """Return the blank that must stand between the colon of a key without a value and a comma."""
    return " " if edit.source.text[value.end - 1] == ":" and value.is_empty else _NOTHING


def _has_own_line(edit: Edit, node: Node) -> bool:
    """Return whether the last entry begins its line, and the closing brace stands below it."""
    key, value = node.entries[-1]
    return edit.source.begins_line(key.start) and edit.source.line(value.end) < edit.source.line(node.end)


def _add_lines(edit: Edit, node: Node, said: list[str]) -> None:
    source, (key, value) = edit.source, node.entries[-1]
    comma = _comma(edit, node, value.end)
    if comma is None:
        edit.splice(value.end, value.end, _apart(edit, value) + ",")
    at = source.line_end(comma or value.end)
    lead = source.newline + source.indent(key.start)
    edit.splice(at, at, lead + f",{lead}".join(said) + ("," if comma else _NOTHING))
