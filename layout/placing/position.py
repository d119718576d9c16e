"""Positions as the project file says them."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated, Literal

from layout.units.fields import Angle, Coordinate, Edge, Gap, Name, whole

Few = Annotated[int, whole("number in a row", 1, 50)]
_SAYS_X = ("rear", "front", "in_front_of", "behind")
_SAYS_Y = ("left", "right", "centre", "beside")
_ALONE = {"at": ("into", "on", "side", "cell"), "into": ("on", "side", "grid")}  # what each leaves nothing to say


@dataclass(frozen=True, kw_only=True, slots=True)
class Position:
    """Where a thing stands: by coordinates, or by edges and neighbours.

    `at` is the x of its rearmost edge, the y of its middle and the z of its foot, after the `turn`
    (degrees, anticlockwise from above). Otherwise one of `rear`, `front` (distance from that end),
    `in_front_of`, `behind` (a neighbour) says where it stands along the space, and one of `left`, `right`
    (``wall`` or a distance from it), `centre`, `beside` with `side` says where across. `on` is what carries
    it. `gap` is kept to the neighbour and inside a `grid`. `into` puts it into a place of a rack. `grid`
    places several equal things: how many along, across and up. `outside` names the states in which it is
    not in the space; `states` gives another position in a state. `form` is the shape that it has there.
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
    on: Name | None = None
    gap: Gap = 0.0
    into: Name | None = None
    cell: Few | None = None
    grid: tuple[Few, Few, Few] | None = None
    form: Name | None = None
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
        for key, others in _ALONE.items():
            if getattr(self, key) is not None:
                _one_only([key, *along, *across, *self._said(others)])
        if self.cell is not None and self.into is None:
            raise ValueError("cell belongs to into: the number of a place in a rack")
        if self.at is not None or self.into is not None:
            return
        _one_only(along)
        _one_only(across)
        if self.gap and not (self.grid or self.beside or self.in_front_of or self.behind):
            raise ValueError("gap is kept to a neighbour or inside a grid; there is none here")
        if (self.beside is None) != (self.side is None):
            raise ValueError("beside needs a side, and side a neighbour: beside: bed, side: left")
        self._need_both(along, across)

    def _said(self, keys: tuple[str, ...]) -> list[str]:
        return [key for key in keys if getattr(self, key) is not None]

    def _need_both(self, along: list[str], across: list[str]) -> None:
        neighbour = self.carrier or self.beside or self.in_front_of or self.behind
        if self.says_only_form:
            return
        if not along and not neighbour and not self._only_outside:
            raise ValueError(f"does not say where along the space; add one of {', '.join(_SAYS_X)}, or at")
        if not across and not neighbour and not self._only_outside:
            raise ValueError(f"does not say where across the space; add one of {', '.join(_SAYS_Y)}, or at")

    @property
    def _only_outside(self) -> bool:
        return bool(self.outside) and not self._said((*_SAYS_X, *_SAYS_Y))

    @property
    def says_only_form(self) -> bool:
        """Return whether it says a form and no place: the thing stays where it stands, in that shape."""
        places = (*_SAYS_X, *_SAYS_Y, "at", "into", "on")
        return self.form is not None and not self._said(places) and not self.outside and not self.states

    @property
    def carrier(self) -> str | None:
        """Return the name of the thing that carries it, None for the floor."""
        return None if self.on in (None, "floor") else self.on

    @property
    def says_place(self) -> bool:
        """Return whether it says a place at all; a position may only say that a thing is outside."""
        if self.says_only_form:
            return False
        return not self._only_outside or self.at is not None or self.into is not None

    @property
    def neighbours(self) -> tuple[tuple[str, str], ...]:
        """Return the keys that refer to other things, with the names."""
        keys = ("in_front_of", "behind", "beside", "into")
        named = [(key, str(getattr(self, key))) for key in keys if getattr(self, key) is not None]
        return (*named, ("on", self.carrier)) if self.carrier else tuple(named)


def _one_only(keys: list[str]) -> None:
    if len(keys) > 1:
        raise ValueError(f"{keys[0]} and {keys[1]} contradict each other; keep one of them")
