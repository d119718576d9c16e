"""What the tests of beds share: a workshop, and measures of built things that owe nothing to the kinds."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise

import shapely

from layout.building.fixings import fixings
from layout.files.rules import read_building
from layout.model.building import Bar
from layout.model.panel import Panel, Sheet
from layout.model.solid import Solid
from layout.model.thing import Thing
from layout.things.base import Shop

BUILDING = read_building()
BARS = {
    "beam": Bar(material="beam", section=(44.0, 44.0), density_kg_m3=480),
    "thin": Bar(material="thin", section=(18.0, 44.0), density_kg_m3=480),
    "lath": Bar(material="lath", section=(18.0, 70.0), density_kg_m3=480),
}


def shop(thickness: float = 15.0, density: float = 700.0) -> Shop:
    """Return a workshop with one sheet, ``ply``, and the bars ``beam`` 44 x 44, ``thin`` 18 x 44, ``lath`` 18 x 70."""
    sheet = Sheet(material="ply", thickness=thickness, density_kg_m3=density)
    return Shop(sheets={"ply": sheet}, specs={}, bars=BARS, rules=BUILDING)


def sizes(thing: Thing) -> Counter[tuple[str, float, float]]:
    """Return how many panels there are of each name, length and width, mm to three decimals."""
    return Counter((panel.name, round(panel.length, 3), round(panel.width, 3)) for panel in thing.panels)


def bought(thing: Thing, item: str) -> int:
    """Return how many of an item of hardware the kind itself asks for."""
    return sum(hardware.count for hardware in thing.hardware if hardware.item == item)


def needed(thing: Thing) -> dict[str, int]:
    """Return how many of each item of hardware the thing takes, with what its joints take."""
    return {hardware.item: hardware.count for hardware in fixings([thing], BUILDING)}


def screws(thing: Thing) -> int:
    """Return how many wood screws the thing takes."""
    return sum(count for item, count in needed(thing).items() if item.startswith("screw"))


def union_mm3(solids: tuple[Solid, ...]) -> float:
    """Return the volume that upright solids fill together: their union level by level, each exact, mm³."""
    levels = sorted({z for solid in solids for z in (solid.z0, solid.z1)})
    return float(sum(
        shapely.union_all([shapely.Polygon(s.outline) for s in solids if s.z0 <= low and s.z1 >= high]).area * (high - low)
        for low, high in pairwise(levels)
    ))  # fmt: skip


def filled_mm3(thing: Thing) -> float:
    """Return the volume of all pieces added up as if holes were not cut, mm³; from outlines and sections."""
    panels = sum(shapely.Polygon(p.outline).area * p.sheet.thickness for p in thing.panels)
    return float(panels + sum(b.bar.section[0] * b.bar.section[1] * b.length for b in thing.battens))


def weighed_kg(thing: Thing) -> float:
    """Return volume x density of all pieces, holes cut, kg."""
    panels = sum(_cut(p).area * p.sheet.thickness * p.sheet.density_kg_m3 for p in thing.panels)
    bars = sum(b.bar.section[0] * b.bar.section[1] * b.length * b.bar.density_kg_m3 for b in thing.battens)
    return float(panels + bars) * 1e-9


def _cut(panel: Panel) -> shapely.Polygon:
    return shapely.Polygon(panel.outline, panel.holes)
