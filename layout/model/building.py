"""What a unit needs beside its panels: bars, fixings and hardware, and the order in which it is built."""

from __future__ import annotations

from dataclasses import dataclass

from layout.model.motion import Face
from layout.model.solid import Solid

#: What a piece of hardware sits on that is no piece of the unit: floor, wall or rib of the vehicle.
BODY = "body"


@dataclass(frozen=True, kw_only=True, slots=True)
class Bar:
    """Timber or profile by the length: its section in mm and its density in kg/m³."""

    material: str
    section: tuple[float, float]
    density_kg_m3: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Batten:
    """One piece of a bar in a unit: where it lies, in the unit's own axes, and how long it is sawn, mm."""

    name: str
    bar: Bar
    solid: Solid
    length: float
    role: str = ""

    @property
    def mass_kg(self) -> float:
        """Return the mass: section x length x density, kg."""
        return self.bar.section[0] * self.bar.section[1] * self.length * self.bar.density_kg_m3 * 1e-9


@dataclass(frozen=True, kw_only=True, slots=True)
class Place:
    """Where one piece of hardware sits: `on` the panel or batten of that name or the `BODY`, at a point of its surface.

    `at` is the point in the unit's own axes, mm; `face` the way that the surface looks there, in the unit's words.
    What is drilled goes in there, square to the surface. A tee nut sits on the face that the bolt comes out of.
    """

    on: str
    at: tuple[float, float, float]
    face: Face


@dataclass(frozen=True, kw_only=True, slots=True)
class Hardware:
    """So many of an item of the hardware catalogue, and what for.

    `places` tell where each of them sits, as many as `count`; none where the kind does not know, or where it is told
    otherwise, as for screws along joints.
    """

    item: str
    count: int
    why: str
    places: tuple[Place, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Step:
    """One step of building: what is done, after which other steps, with which panels, battens and hardware.

    `dry` tells that all is put together without glue first and looked at.
    """

    name: str
    does: str
    after: tuple[str, ...] = ()
    pieces: tuple[str, ...] = ()
    hardware: tuple[Hardware, ...] = ()
    dry: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Promise:
    """What a kind says of itself before it is made: a referee holds the pieces against it.

    `outside` is the box that the unit fills; `closed` its faces that pieces cover wholly; `openings` are volumes
    that stay free; `roles` how many panels and battens of each role there are, `grains` the grain of a role's panels,
    `hardware` how many of each item it counts itself, `places` where a piece of a role stands: the box round it. All in
    the unit's own axes, mm.
    """

    outside: Solid
    closed: tuple[Face, ...] = ()
    openings: tuple[Solid, ...] = ()
    roles: tuple[tuple[str, int], ...] = ()
    grains: tuple[tuple[str, str], ...] = ()
    hardware: tuple[tuple[str, int], ...] = ()
    places: tuple[tuple[str, Solid], ...] = ()
