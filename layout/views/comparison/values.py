"""What is compared: arrangements with their scenes, and the rows of the table."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from layout.model.layout import Placed
from layout.views.people import Figure

if TYPE_CHECKING:
    from layout.space.space import Space


@dataclass(frozen=True, kw_only=True, slots=True)
class Scene:
    """How it looks in some states: words for them, what stands there, who is there, what stands elsewhere than before.

    `gone` is where things stood in the first scene that are outside now, or elsewhere.
    """

    said: str
    placed: tuple[Placed, ...]
    people: tuple[Figure, ...] = ()
    gone: tuple[Placed, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Column:
    """One arrangement: its number, its name, its scenes (the road's first), and what else to say of it."""

    number: int
    name: str
    scenes: tuple[Scene, ...]
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Line:
    """A row of the table: what is measured, a text for each arrangement, and which are best."""

    name: str
    cells: tuple[str, ...]
    best: tuple[bool, ...]

    @property
    def alike(self) -> bool:
        """Return whether all arrangements have the same text there."""
        return len(set(self.cells)) == 1


@dataclass(frozen=True, kw_only=True, slots=True)
class Comparison:
    """All that is compared: the space, its arrangements in the order of their numbers, the table.

    `stands` is somebody who stands beside the pictures, so that one sees how large all is, with words for who it is.
    """

    space: Space
    columns: tuple[Column, ...]
    lines: tuple[Line, ...]
    stands: tuple[Figure, str] | None = None
