"""What every kind shares."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Protocol

from layout.errors import ValueFaultError
from layout.model.cutting import Grain
from layout.model.panel import Panel, Sheet
from layout.model.solid import box
from layout.model.thing import Dirt, Hazard, Reach, Thing
from layout.things.motion import ClearSpec, MotionSpec
from layout.units.fields import Count, Name

Span = tuple[float, float]


class Spec(Protocol):
    """What the project file says of one thing or of `count` equal ones."""

    @property
    def kind(self) -> str:
        """Return the word for the kind."""

    @property
    def count(self) -> int:
        """Return how many there are."""

    def make(self, name: str, group: str, shop: Shop) -> Thing:
        """Return the thing of that name, in its own axes."""

    def described(self, thing: Thing, path: tuple[str, ...]) -> Thing:
        """Return the thing with what is said of it beside its shape."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Described:
    """What may be said of a thing of any kind.

    `count` equal ones; `reach` how often it is wanted, `doors` by which doors; `moving` its parts that move; `clear`
    the room kept free round it; `dirt` what it brings in; `hazards` what it can do to people.
    """

    count: Count = 1
    source: str | None = None
    reach: Reach | None = None
    doors: tuple[Name, ...] = ()
    moving: dict[Name, MotionSpec] = field(default_factory=dict)
    clear: ClearSpec = ClearSpec()  # noqa: RUF009 (frozen)
    dirt: Dirt = "clean"
    hazards: tuple[Hazard, ...] = ()

    def described(self, thing: Thing, path: tuple[str, ...]) -> Thing:
        """Return the thing with what is said of it beside its shape; `path` is its place in the file.

        Raises
        ------
        ValueFaultError
            When a part that moves lies outside the thing.
        """
        motions = [spec.made(name, thing.box, (*path, "moving", name)) for name, spec in self.moving.items()]
        return replace(
            thing, motions=(*thing.motions, *motions), clears=self.clear.made(thing.name, thing.box), reach=self.reach,
            doors=self.doors, dirt=self.dirt, hazards=self.hazards,
        )  # fmt: skip


@dataclass(frozen=True, kw_only=True, slots=True)
class Shop:
    """What furniture is made from and for: sheets by material, and the other things' descriptions by name."""

    sheets: Mapping[str, Sheet]
    specs: Mapping[str, Spec]

    def sheet(self, group: str, material: str) -> Sheet:
        """Return the sheet of `material` for the thing called `group`.

        Raises
        ------
        ValueFaultError
            When the workshop has no such material.
        """
        if material not in self.sheets:
            known = ", ".join(sorted(self.sheets)) or "none"
            raise ValueFaultError(
                ("things", group, "sheet"), f"the workshop has no sheet {material!r}; it has: {known}"
            )
        return self.sheets[material]


def board(name: str, sheet: Sheet, x: Span, y: Span, z: Span, *, grain: Grain = "along") -> Panel:
    """Return the panel that fills the box; its length is the longer of its two large sides.

    `grain` is told relative to that length. The panel is as thin as its sheet along one of the axes.
    """
    sizes = sorted((x[1] - x[0], y[1] - y[0], z[1] - z[0]))
    thin = min(range(3), key=lambda i: abs(sizes[i] - sheet.thickness))
    width, length = (size for i, size in enumerate(sizes) if i != thin)
    return Panel(name=name, sheet=sheet, length=length, width=width, grain=grain, solid=box(name, x, y, z))


def need(condition: bool, group: str, key: str, text: str) -> None:
    """Refuse the thing called `group` unless `condition` holds.

    Raises
    ------
    ValueFaultError
        Naming the key and saying `text`.
    """
    if not condition:
        raise ValueFaultError(("things", group, key), text)
