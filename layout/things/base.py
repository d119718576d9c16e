"""What every kind shares."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Protocol

from layout.errors import ValueFaultError
from layout.model.building import Bar
from layout.model.cutting import Grain
from layout.model.panel import Joint, Panel, Sheet, Side
from layout.model.rule import Rule
from layout.model.solid import Point, Solid
from layout.model.thing import Dirt, Hazard, Reach, TakeOut, Thing
from layout.space.space import Space
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
            When a part that moves lies outside the thing, or comes after one that is none.
        """
        motions = [
            spec.made(name, thing.box, (*path, "moving", name), self._shift(spec, thing.box, (*path, "moving", name)))
            for name, spec in self.moving.items()
        ]
        # What is wanted often is wanted out, unless it is built in.
        wanted_out: TakeOut | None = "any" if self.reach and not thing.panels else None
        return replace(
            thing, take_out=thing.take_out or wanted_out, motions=(*thing.motions, *motions),
            clears=self.clear.made(thing.name, thing.box), reach=self.reach, doors=self.doors, dirt=self.dirt,
            hazards=self.hazards,
        )  # fmt: skip

    def _shift(self, spec: MotionSpec, body: Solid, path: tuple[str, ...]) -> Point:
        """Return how far the thing is out, on another part that is open by then, when the part is used."""
        if spec.after is None:
            return 0.0, 0.0
        first = self.moving.get(spec.after)
        if first is None or first is spec or first.does != "drawer":
            text = f"{spec.after!r} is no drawer of this thing; after: names the one that is out first"
            raise ValueFaultError((*path, "after"), text)
        return first.shift(body)


@dataclass(frozen=True, kw_only=True, slots=True)
class Shop:
    """What furniture is made from and for.

    Sheets by material, bars by name, the other things' descriptions by name, the room, and the numbers of building.
    """

    sheets: Mapping[str, Sheet]
    specs: Mapping[str, Spec]
    bars: Mapping[str, Bar] = field(default_factory=dict)
    space: Space | None = None
    rules: Mapping[str, Rule] = field(default_factory=dict)

    def number(self, rule: str, key: str) -> float:
        """Return a number of building, such as the spacing of screws.

        Raises
        ------
        KeyError
            When the shop was made without it.
        """
        return self.rules[rule][key]

    def room(self, group: str) -> Space:
        """Return the space, for the thing called `group`, which follows it.

        Raises
        ------
        ValueFaultError
            When the space itself could not be read.
        """
        if self.space is None:
            raise ValueFaultError(("things", group), "follows the room, which has faults of its own: mend those first")
        return self.space

    def bar(self, group: str, name: str) -> Bar:
        """Return the bar called `name` for the thing called `group`.

        Raises
        ------
        ValueFaultError
            When the workshop has no such bar.
        """
        if name not in self.bars:
            known = ", ".join(sorted(self.bars)) or "none"
            raise ValueFaultError(("things", group), f"the workshop has no bar {name!r}; its bars: {known}")
        return self.bars[name]

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


def board(
    name: str,
    sheet: Sheet,
    x: Span,
    y: Span,
    z: Span,
    *,
    grain: Grain = "along",
    joints: tuple[Joint, ...] = (),
    bands: tuple[tuple[Side, float], ...] = (),
) -> Panel:
    """Return the panel that fills the box; its length is the longer of its two large sides.

    `grain`, and the sides of `joints` and `bands`, are told relative to that length. The panel is as thin as its sheet
    along one of the axes.
    """
    spans = {"x": x, "y": y, "z": z}
    sizes = {axis: span[1] - span[0] for axis, span in spans.items()}
    through = min(sizes, key=lambda axis: abs(sizes[axis] - sheet.thickness))
    flat = [axis for axis in sizes if axis != through]
    along, across = sorted(flat, key=lambda axis: -sizes[axis])
    length, width = sizes[along], sizes[across]
    return Panel(
        name=name, sheet=sheet, outline=((0.0, 0.0), (length, 0.0), (length, width), (0.0, width)),
        at=(x[0], y[0], z[0]), along=along, across=across, grain=grain, joints=joints, bands=bands,  # type: ignore[arg-type]  # keys of the table above
    )  # fmt: skip


def need(condition: bool, group: str, key: str, text: str) -> None:
    """Refuse the thing called `group` unless `condition` holds.

    Raises
    ------
    ValueFaultError
        Naming the key and saying `text`.
    """
    if not condition:
        raise ValueFaultError(("things", group, key), text)
