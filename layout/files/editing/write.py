"""Changes written into the bytes of a file, and read again before anybody gets them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import yaml

from layout.errors import Fault, InputError
from layout.files.editing.change import Change
from layout.files.editing.defect import EditDefectError
from layout.files.editing.differ import change_file
from layout.files.editing.edit import Edit
from layout.files.editing.source import BREAK, Source
from layout.files.editing.tree import span
from layout.files.editing.wanted import wanted
from layout.files.nodes import LARGEST_FILE, Group, read_nodes

_BOM = b"\xef\xbb\xbf"


def edited(data: bytes, changes: Sequence[Change], name: str) -> bytes:
    """Return the file with the changes written into it; every byte that is no part of a changed value stays.

    Comments stay, in their order: that of a key that goes becomes a line of its own. Values are written in one line,
    new keys below the last one of their mapping; mappings on the way to them are made where there are none. A value
    that is what it shall be is not touched. The new text is read again and held against what was wanted.

    Parameters
    ----------
    data
        The file's bytes, UTF-8, with or without a byte order mark, with any line ends.
    changes
        Laid over the file one after the other.
    name
        The file's name, for messages.

    Raises
    ------
    InputError
        When the file cannot be read, or a change meets what cannot be edited: aliases, anchors and tags, texts begun by
        ``|`` or ``>``, keys written with a question mark, items of a list, values of a ``use:`` entry (under ``things``
        the overruling key is added), a value where a mapping is wanted. Nothing is changed then.
    EditDefectError
        When the new text does not read back as wanted: a defect of this program.
    ValueError
        When no file can hold a change: numbers that are not finite, half signs (surrogates), the key ``<<``, keys over
        1,000 signs, or more than 50 levels.
    """
    old = _read(data, name)
    text = data.decode("utf-8-sig")
    edit = Edit(Source(text), name)
    want = wanted(edit, old, changes)
    change_file(edit, old, want)
    new = edit.done()
    if new == text:
        return data
    made = (_BOM if data.startswith(_BOM) else b"") + new.encode()
    _prove(made, want, edit.source.said(), name)
    return made


def _read(data: bytes, name: str) -> Group:
    try:
        return read_nodes(data, name)
    except InputError as error:
        if fault := _second_document(data, name):
            raise InputError([fault]) from error
        raise


def _second_document(data: bytes, name: str) -> Fault | None:
    """Return a fault for the place where a second document begins, if the file can be read so far."""
    documents = 0
    try:
        text = data[:LARGEST_FILE].decode("utf-8-sig")
        for event in yaml.parse(text, Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader)):
            documents += isinstance(event, yaml.DocumentStartEvent)
            if documents > 1:
                said = "a second document begins here; keep one in a file, and take this line out"
                return Fault(name, len(BREAK.findall(text, 0, span(event)[1])) + 1, 1, "", said)
    except (UnicodeDecodeError, yaml.YAMLError):
        return None
    return None


def _prove(made: bytes, want: dict[str, Any], comments: list[str], name: str) -> None:
    """Hold the new bytes against what was wanted: the same tree, and every old comment in its order."""
    if len(made) > LARGEST_FILE:
        text = f"the file would have {len(made)} bytes; at most {LARGEST_FILE} are read"
        raise InputError([Fault(name, 0, 0, "", text)])
    try:
        reads = read_nodes(made, name)
    except InputError as error:
        raise EditDefectError(f"{name}: the edited file cannot be read again; nothing is changed: {error}") from error
    if reads != want:
        raise EditDefectError(f"{name}: the edited file would not say what was wanted; nothing is changed")
    left = iter(Source(made.decode("utf-8-sig")).said())
    if not all(comment in left for comment in comments):
        raise EditDefectError(f"{name}: a comment would have been lost; nothing is changed")
