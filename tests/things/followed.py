"""What tests of things that follow the room share: rooms by chance, a shop in them, and volumes reckoned apart."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from random import Random
from typing import Any

import shapely

from layout.errors import ValueFaultError
from layout.files.rules import read_building
from layout.model.building import Bar
from layout.model.panel import Sheet
from layout.model.solid import Solid
from layout.model.thing import Thing
from layout.space.parts import Door, Obstacle
from layout.space.space import Space
from layout.space.walls import Station, Wall
from layout.things.base import Shop
from tests.builders import project_text, read

DENSITY = 650.0
BARS = {"batten": Bar(material="batten", section=(18.0, 44.0), density_kg_m3=480.0)}
# Measured on bare metal; the floor takes 25, the walls 18, the ceiling 30.
LEANING: dict[str, Any] = {
    "floor": {"length": "3050", "width": "1720"},
    "walls": {"both": [{"x": "0", "profile": {"0": "860", "600": "880", "1000": "862", "1500": "790", "1850": "640"}}]},
    "roof": {"0": "1890"},
    "build_up": {"floor": "25", "walls": "18", "ceiling": "30"},
    "wheel_wells": [{"x": ["1700", "2500"], "inner": "650", "height": "255"}],
    "obstacles": {"belt tower": {"x": ["60", "240"], "y": ["770", "880"], "z": ["700", "1400"]}},
    "rear_door": {"width": "1520", "height": "1700", "kind": "two leaves"},
}


def leaning(**more: Any) -> Space:
    """Return a room whose walls lean, with wheel wells and on the left a belt tower."""
    return read(project_text(space={**LEANING, **more})).space


def shop_in(space: Space, **thickness: float) -> Shop:
    """Return a shop in a room, with a sheet of each thickness by the name of its key, and a batten."""
    sheets = {name: Sheet(material=name, thickness=t, density_kg_m3=DENSITY) for name, t in thickness.items()}
    return Shop(sheets=sheets, specs={}, bars=BARS, space=space, rules=read_building())


def by_chance(seed: int) -> Space:
    """Return a room by chance: both walls bend at heights of their own and taper, the roof slopes, wells stand in it."""
    dice = Random(seed)
    length = dice.uniform(2200, 4200)
    walls = [_wall(dice, length) for _ in range(2)]
    feet = [[wall.half_width(x, 0.0) for x in (0.0, length)] for wall in walls]
    outline = ((0.0, -feet[1][0]), (length, -feet[1][1]), (length, feet[0][1]), (0.0, feet[0][0]))
    well = (dice.uniform(500, 800), dice.uniform(1300, 1700))
    obstacles = tuple(
        Obstacle(
            name=f"wheel well {side}", z0=0.0, z1=dice.uniform(180, 280), top_radius=dice.choice([0.0, 80.0]),
            outline=tuple((x, sign * y) for x, y in ((well[0], 600.0), (well[1], 600.0), (well[1], 950.0), (well[0], 950.0))),
        )
        for side, sign in (("left", 1), ("right", -1))
    )  # fmt: skip
    doors = (
        Door(name="rear door", side="rear", kind="two leaves", low=-700.0, high=700.0, sill=0.0, top=1400.0),
        Door(name="side door", side="right", kind="sliding", low=1900.0, high=2100.0, sill=0.0, top=1300.0),
    )
    return Space(
        outline=outline, left=walls[0], right=walls[1], roof=((0.0, dice.uniform(1600, 1750)), (length, dice.uniform(1600, 1750))),
        obstacles=obstacles, doors=doors, floor_build_up=40.0, ceiling_build_up=30.0, wall_build_up=20.0,
    )  # fmt: skip


def _wall(dice: Random, length: float) -> Wall:
    heights = (0.0, dice.uniform(300, 600), dice.uniform(900, 1100), dice.uniform(1300, 1500), 1800.0)
    half = (dice.uniform(800, 850), dice.uniform(840, 880), dice.uniform(800, 850), dice.uniform(700, 780), 620.0)
    rear = tuple(zip(heights, half, strict=True))
    front = tuple((z, w - dice.uniform(0, 25)) for z, w in rear)
    return Wall(stations=(Station(x=0.0, profile=rear), Station(x=length, profile=front)))


def in_room(thing: Thing) -> tuple[Solid, ...]:
    """Return the solids of a thing at its home in the room."""
    assert thing.home is not None
    return tuple(solid.moved(*thing.home) for solid in thing.solids)


def union(thing: Thing) -> float:
    """Return the volume that all pieces fill together, mm³: slab by slab the union of what is seen from above."""
    heights = sorted({z for s in thing.solids for z in (s.z0, s.z1)})
    total = 0.0
    for low, high in pairwise(heights):
        here = [shapely.Polygon(s.outline) for s in thing.solids if s.z0 < (low + high) / 2 < s.z1]
        total += shapely.union_all(here).area * (high - low)
    return total


def volume(thing: Thing) -> float:
    """Return the volume of all pieces, each by itself and its holes not taken off, mm³."""
    panels = sum(shapely.Polygon(p.outline).area * p.sheet.thickness for p in thing.panels)
    return float(panels + sum(b.bar.section[0] * b.bar.section[1] * b.length for b in thing.battens))


def mass(thing: Thing) -> float:
    """Return the mass of all pieces, holes taken off, kg: volume x density."""
    panels = sum(shapely.Polygon(p.outline, p.holes).area * p.sheet.thickness * DENSITY for p in thing.panels)
    battens = sum(b.bar.section[0] * b.bar.section[1] * b.length * b.bar.density_kg_m3 for b in thing.battens)
    return float(panels + battens) * 1e-9


def refused(spec: Any, shop: Shop) -> tuple[str, str]:
    """Return the key and the text with which the shop refuses to make a thing."""
    try:
        spec.make("it", "it", shop)
    except ValueFaultError as error:
        return error.path[-1], error.text
    raise AssertionError("it was made")


def thinner(shop: Shop, **thickness: float) -> Shop:
    """Return the shop with other thicknesses of its sheets."""
    sheets = {name: replace(sheet, thickness=thickness[name]) for name, sheet in shop.sheets.items()}
    return replace(shop, sheets=sheets)
