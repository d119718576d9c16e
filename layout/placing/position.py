"""Positions as the project file says them."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated, Literal

from layout.units.fields import Angle, Coordinate, Edge, Gap, Name, whole

Few = Annotated[int, whole("number in a row", 1, 50)]
_SAYS_X = ("rear", "front", "in_front_of", "behind")
_SAYS_Y = ("left", "right", "centre", "beside")


@dataclass(frozen=True, kw_only=True, slots=True)
class Position:
    """Where a thing stands: by coordinates, or by edges and neighbours.

    `at` is the x of its rearmost edge, the y of its middle and the z of its foot, after the `turn`
    (degrees, anticlockwise from above). Otherwise one of `rear`, `front` (distance from that end),
    `in_front_of`, `behind` (a neighbour) says where it stands along the space, and one of `left`, `right`
    (``wall`` or a distance from it), `centre`, `beside` with `side` says where across. `on` is what carries
    it. `gap` is kept to the neighbour and inside a `grid`. `into` puts it into a place of a rack. `grid`
    places several equal things: how many along, across and up. `outside` names the states in which it is
    not in the space; `states` gives another position in a state.
    """

    at: tuple[Coordinate, Coordinate, Coordinate] | None = None
    turn: Angle = 0.0
    rear: Coordinate | None = None
    front: Coordinate | None = None
    in_front_of: Name | None = None
    behind: Name | None = None
    left: Edge | None = None
    right: Edge | None = None
    centre: Coordinate | None = None
    beside: Name | None = None
    side: Literal["left", "right"] | None = None
    on: Name = "floor"
    gap: Gap = 0.0
    into: Name | None = None
    cell: Few | None = None
    grid: tuple[Few, Few, Few] | None = None
    outside: tuple[Name, ...] = ()
    states: dict[Name, Position] = field(default_factory=dict)

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)

    def __post_init__(self) -> None:
        """Refuse positions that say too much or too little.

        Raises
        ------
        ValueError
            Naming the keys that contradict each other, or what is missing.
        """
        along, across = self._said(_SAYS_X), self._said(_SAYS_Y)
        whole_answers = [key for key in ("at", "into") if getattr(self, key) is not None]
        if whole_answers:
            _one_only([*whole_answers, *along, *across])
            return
        _one_only(along)
        _one_only(across)
        if (self.beside is None) != (self.side is None):
            raise ValueError("beside needs a side, and side a neighbour: beside: bed, side: left")
        self._need_both(along, across)

    def _said(self, keys: tuple[str, ...]) -> list[str]:
        return [key for key in keys if getattr(self, key) is not None]

    def _need_both(self, along: list[str], across: list[str]) -> None:
        neighbour = self.on != "floor" or self.beside or self.in_front_of or self.behind
        if not along and not neighbour and not self._only_outside:
            raise ValueError(f"does not say where along the space; add one of {', '.join(_SAYS_X)}, or at")
        if not across and not neighbour and not self._only_outside:
            raise ValueError(f"does not say where across the space; add one of {', '.join(_SAYS_Y)}, or at")

    @property
    def _only_outside(self) -> bool:
        return bool(self.outside) and not self._said((*_SAYS_X, *_SAYS_Y))

    @property
    def says_place(self) -> bool:
        """Return whether it says a place at all; a position may only say that a thing is outside."""
        return not self._only_outside or self.at is not None or self.into is not None

    @property
    def neighbours(self) -> tuple[tuple[str, str], ...]:
        """Return the keys that refer to other things, with the names."""
        keys = ("in_front_of", "behind", "beside", "into")
        named = [(key, str(getattr(self, key))) for key in keys if getattr(self, key) is not None]
        return (*named, ("on", self.on)) if self.on != "floor" else tuple(named)


def _one_only(keys: list[str]) -> None:
    if len(keys) > 1:
        raise ValueError(f"{keys[0]} and {keys[1]} contradict each other; keep one of them")
