"""What is to be written into a file: a path of keys, and the value that shall stand there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias, Union

Value: TypeAlias = Union[str, int, float, Mapping[str, "Value"], Sequence["Value"]]  # noqa: UP007 (it names itself)


@dataclass(frozen=True, slots=True)
class Change:
    """One value of a file.

    `path` is the keys that lead to it, from the top. `value` is a text, a number, a mapping or a list, written in one
    line as ``{rear: 120, left: wall}``; True and False are written yes and no; None takes the key out. Numbers are in
    the units of the file.
    """

    path: tuple[str, ...]
    value: Value | None

    def __post_init__(self) -> None:
        """Refuse a change of nothing.

        Raises
        ------
        ValueError
            When the path is empty.
        """
        if not self.path:
            raise ValueError("a change names at least one key")
