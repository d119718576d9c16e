"""What tests of built things share: a shop with the shipped numbers, and a volume reckoned without the builder's code."""

from __future__ import annotations

import numpy as np

from layout.files.rules import read_building
from layout.model.building import Bar
from layout.model.panel import Panel, Sheet
from layout.model.solid import Solid
from layout.model.thing import Thing
from layout.things.base import Shop, Spec

DENSITY = 700.0
BARS = {"cleat": Bar(material="cleat", section=(18.0, 30.0), density_kg_m3=480.0)}


def shop(specs: dict[str, Spec] | None = None, **thickness: float) -> Shop:
    """Return a shop with a sheet of each thickness, by the name of its key."""
    sheets = {name: Sheet(material=name, thickness=t, density_kg_m3=DENSITY) for name, t in thickness.items()}
    return Shop(sheets=sheets, specs=specs or {}, bars=BARS, rules=read_building())


def sizes(thing: Thing, name: str) -> list[tuple[float, float]]:
    """Return length and width of each panel of a name, in the thing's order."""
    return [(round(p.length, 3), round(p.width, 3)) for p in thing.panels if p.name == name]


def union(thing: Thing) -> float:
    """Return the volume that all pieces fill together, mm³: the space cut up at every face, each cell counted once."""
    solids = [s for p in thing.panels for s in p.solids] + [b.solid for b in thing.battens]
    boxes = np.array([_box(s) for s in solids])
    edges = [np.unique(np.concatenate([boxes[:, i], boxes[:, i + 3]])) for i in range(3)]
    full = np.zeros([len(edge) - 1 for edge in edges], dtype=bool)
    for box in boxes:
        spans = [slice(*np.searchsorted(edges[i], (box[i], box[i + 3]))) for i in range(3)]
        full[tuple(spans)] = True
    dx, dy, dz = (np.diff(edge) for edge in edges)
    return float((full * dx[:, None, None] * dy[None, :, None] * dz[None, None, :]).sum())


def _box(solid: Solid) -> tuple[float, ...]:
    x0, y0, x1, y1 = solid.bounds
    return x0, y0, solid.z0, x1, y1, solid.z1


def volume(thing: Thing) -> float:
    """Return the volume of all pieces as they are sawn, each by itself and its holes not taken off, mm³."""
    panels = sum(_area(panel) * panel.sheet.thickness for panel in thing.panels)
    return panels + sum(b.bar.section[0] * b.bar.section[1] * b.length for b in thing.battens)


def _area(panel: Panel) -> float:
    ring = panel.outline
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, (*ring[1:], ring[0]), strict=True))) / 2


def outer(thing: Thing) -> tuple[float, ...]:
    """Return the box round the pieces of a thing: low corner, high corner."""
    boxes = np.array([_box(s) for p in thing.panels for s in p.solids])
    return (*(float(v) for v in boxes[:, :3].min(axis=0)), *(float(v) for v in boxes[:, 3:].max(axis=0)))


def bought(thing: Thing) -> dict[str, int]:
    """Return how many of each item of hardware the kind asks for."""
    found: dict[str, int] = {}
    for hardware in thing.hardware:
        found[hardware.item] = found.get(hardware.item, 0) + hardware.count
    return found


def openings(thing: Thing) -> list[tuple[float, float, float]]:
    """Return length, width and height of each opening that a thing promises."""
    assert thing.promise is not None
    return [
        (round(o.bounds[2] - o.bounds[0], 3), round(o.bounds[3] - o.bounds[1], 3), round(o.z1 - o.z0, 3))
        for o in thing.promise.openings
    ]


def misnamed(thing: Thing) -> list[str]:
    """Return the joints whose named edge lies at no piece that they are said to meet."""
    return [
        f"{panel.name}: {joint.side} at {joint.to}"
        for panel in thing.panels
        for joint in panel.joints
        if joint.side is not None
        and not any(_in_each_other(_edge(panel, joint.side), s) for s in _named(thing, joint.to))
    ]


def _named(thing: Thing, name: str) -> list[Solid]:
    pieces = [s for p in thing.panels if p.name == name for s in p.solids]
    return pieces + [b.solid for b in thing.battens if b.name == name]


def _edge(panel: Panel, side: str) -> list[float]:
    """Return the box from half a millimetre inside an edge of a panel to as much outside."""
    box = list(_box(panel.solid))
    axis = "xyz".index(panel.along if side in ("left", "right") else panel.across)
    at = box[axis + 3] if side in ("right", "top") else box[axis]
    box[axis], box[axis + 3] = at - 0.5, at + 0.5
    return box


def _in_each_other(a: list[float], solid: Solid) -> bool:
    b = _box(solid)
    return all(min(a[i + 3], b[i + 3]) - max(a[i], b[i]) > 1e-6 for i in range(3))
