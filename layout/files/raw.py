"""What can be said of a file whose other parts are wrong, so that a person hears of everything at once."""

from __future__ import annotations

import re
from difflib import get_close_matches
from typing import Any

from layout.errors import Fault
from layout.files.nodes import Group, Text
from layout.files.refused import Refused, collecting
from layout.files.shape import shape
from layout.files.space_format import SpaceFormat

_NEIGHBOURS = ("on", "beside", "in_front_of", "behind", "into")


def with_plain_keys(nodes: Group) -> None:
    """Let positions say ``in front of`` with blanks."""
    arrangement = nodes.get("arrangement")
    for position in arrangement.values() if isinstance(arrangement, Group) else ():
        _plain_keys(position)
        states = position.get("states") if isinstance(position, Group) else None
        for other in states.values() if isinstance(states, Group) else ():
            _plain_keys(other)


def _plain_keys(position: Any) -> None:
    for key in [k for k in position if " " in k] if isinstance(position, Group) else ():
        plain = key.replace(" ", "_")
        if plain == "in_front_of" and plain not in position:
            position[plain], position.keys_at[plain] = position.pop(key), position.keys_at[key]


def unknown_references(nodes: Group) -> list[Fault]:
    """Return a fault for each name under ``arrangement`` that no thing has."""
    things, arrangement = nodes.get("things"), nodes.get("arrangement")
    if not isinstance(arrangement, Group):
        return []
    known = list(things) if isinstance(things, Group) else []
    faults: list[Fault | None] = []
    for name, position in arrangement.items():
        faults.append(_unknown(Text(name), arrangement.keys_at[name], f"arrangement.{name}", known))
        for key in _NEIGHBOURS:
            other = position.get(key) if isinstance(position, Group) else None
            if isinstance(other, Text):
                faults.append(_unknown(other, other.mark, f"arrangement.{name}.{key}", known))
    return [fault for fault in faults if fault]


def _unknown(name: Text, mark: Any, path: str, known: list[str]) -> Fault | None:
    """Return a fault unless the name is a thing's, a thing's with a number, or the floor."""
    if name == "floor" or name in known or re.sub(r" \d+$", "", name) in known:
        return None
    close = get_close_matches(name, known, n=1)
    hint = f"; did you mean {close[0]!r}?" if close else ""
    return Fault(mark.file, mark.line, mark.column, path, f"there is no thing called {str(name)[:60]!r}{hint}")


def space_faults(nodes: Group) -> Refused:
    """Return what is wrong with the space, where it can be read though other parts of the file cannot."""
    from pydantic import TypeAdapter, ValidationError

    refused: Refused = []
    try:
        said: SpaceFormat = TypeAdapter(SpaceFormat).validate_python(nodes.get("space"))
    except ValidationError:
        return refused
    with collecting(refused):
        shape(said, refused)
    return refused
