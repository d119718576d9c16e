"""Things: what takes room in the space, ready to be placed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from layout.model.building import Batten, Hardware, Promise, Step
from layout.model.motion import Clear, Motion
from layout.model.panel import Panel
from layout.model.solid import Solid, outer_box

TakeOut = Literal["any", "up", "front", "rear", "left", "right"]
Reach = Literal["daily", "weekly", "rarely"]
Dirt = Literal["clean", "wet", "dirty"]
Hazard = Literal["gas", "flame", "battery", "heater"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Thing:
    """One thing in its own axes: x along it, y to its left, z up, from below the middle of its rear edge.

    `kind` is the word of the project file (``bin``, ``bed platform``, ...); `group` the name that the file
    gives, `name` that name with its number when there are several. `mass_kg` is the thing as loaded for
    the road. `take_out` is the way a bin comes out (None: it stays). `stack_step` is how far up the next
    one of the same kind stands, mm. `sleeps` names the people who lie on it. `slots` are the places that
    it offers to others, as the low corner middle of each (x of the rear edge, y of the middle, z), mm.
    `motions` are its parts that move and `clears` the room kept free round it, in its own axes. `reach` is how
    often it is wanted (None: no wish), `doors` by which doors (none: any). `forms` are its other shapes, such as
    folded, by name. What is built has `panels`, `battens`, `hardware`, `steps` and the `promise` that they keep.
    What follows the room has a `home`: where its origin stands there, mm, unless the arrangement says another place.
    `in_build_up` tells that it lies in what floor, walls or ceiling have taken off the room already, so that it takes
    none: it stands at no place of the layout.
    `slot_turns` tell how what stands in each of the `slots` is turned there, degrees anticlockwise from above about its
    own rear middle, which is at the slot (none: all are turned as it is).
    """

    name: str
    group: str
    kind: str
    solids: tuple[Solid, ...]
    mass_kg: float = 0.0
    panels: tuple[Panel, ...] = ()
    battens: tuple[Batten, ...] = ()
    hardware: tuple[Hardware, ...] = ()
    steps: tuple[Step, ...] = ()
    promise: Promise | None = None
    take_out: TakeOut | None = None
    stack_step: float = 0.0
    sleeps: tuple[str, ...] = ()
    slots: tuple[tuple[float, float, float], ...] = ()
    motions: tuple[Motion, ...] = ()
    clears: tuple[Clear, ...] = ()
    reach: Reach | None = None
    doors: tuple[str, ...] = ()
    dirt: Dirt = "clean"
    hazards: tuple[Hazard, ...] = ()
    forms: Mapping[str, Thing] = field(default_factory=dict)
    home: tuple[float, float, float] | None = None
    in_build_up: bool = False
    slot_turns: tuple[float, ...] = ()

    @property
    def box(self) -> Solid:
        """Return the smallest upright box around the thing, in its own axes."""
        return outer_box(self.solids, self.name)
