"""A van, a trailer and what stands in them, and the check that no texts overlap."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from layout.drawing.model import Drawing, Text
from layout.drawing.text_width import inside, overlap, text_box
from layout.model.cutting import Cut, CutJob, CutPlan, CutSheet, MaterialPlan, Part, Region, Stock
from layout.model.finding import Finding
from layout.model.layout import Layout, Placed
from layout.model.solid import Solid, box, outer_box
from layout.model.thing import Thing
from layout.space.parts import Door, Hole, Obstacle, TieDown
from layout.space.space import Space
from layout.space.walls import Station, Wall


def _wall(half: float, length: float) -> Wall:
    profile = ((0.0, half), (900.0, half + 40), (1900.0, half - 130))
    return Wall(stations=(Station(x=0.0, profile=profile), Station(x=length, profile=profile)))


def _well(name: str, side: int) -> Obstacle:
    ys = sorted((side * 890.0, side * 690.0))
    outline = ((700.0, ys[0]), (1560.0, ys[0]), (1560.0, ys[1]), (700.0, ys[1]))
    return Obstacle(name=name, outline=outline, z0=0.0, z1=300.0, top_radius=150.0)


@pytest.fixture
def van() -> Space:
    """Return a van 3.4 m long with wells, a step, rear and side doors and tie-down points."""
    outline = ((0.0, -890.0), (3400.0, -890.0), (3400.0, 890.0), (0.0, 890.0))
    step = ((2500.0, -890.0), (3300.0, -890.0), (3300.0, -700.0), (2500.0, -700.0))
    return Space(
        outline=outline,
        left=_wall(890.0, 3400.0),
        right=_wall(890.0, 3400.0),
        roof=((0.0, 1850.0), (3400.0, 1900.0)),
        obstacles=(_well("wheel well left", 1), _well("wheel well right", -1)),
        holes=(Hole(name="step", outline=step, depth=150.0),),
        doors=(
            Door(name="rear doors", side="rear", kind="two leaves", low=-750, high=750, sill=0, top=1750),
            Door(name="side door", side="right", kind="sliding", low=2200, high=3300, sill=0, top=1750),
        ),
        tie_downs=tuple(TieDown(at=(x, y, 0.0)) for x in (200.0, 1800.0, 3200.0) for y in (-600.0, 600.0)),
    )


@pytest.fixture
def trailer() -> Space:
    """Return a box trailer with a ramp, a lift-up door and one single leaf."""
    outline = ((0.0, -900.0), (5998.0, -900.0), (5998.0, 900.0), (0.0, 900.0))
    profile = ((0.0, 900.0), (2000.0, 900.0))
    wall = Wall(stations=(Station(x=0.0, profile=profile), Station(x=5998.0, profile=profile)))
    return Space(
        outline=outline,
        left=wall,
        right=wall,
        roof=((0.0, 2000.0), (5998.0, 2000.0)),
        doors=(
            Door(name="ramp", side="rear", kind="ramp", low=-850, high=850, sill=0, top=1900),
            Door(name="hatch", side="left", kind="lift up", low=1500, high=2600, sill=900, top=1600),
            Door(name="side entrance", side="right", kind="one leaf", low=4500, high=5200, sill=0, top=1900),
        ),
    )


@pytest.fixture
def spaces(van: Space, trailer: Space) -> tuple[Space, Space]:
    """Return the van and the trailer."""
    return van, trailer


def _placed(name: str, kind: str, *solids: Solid) -> Placed:
    thing = Thing(name=name, group=name.split(maxsplit=1)[0], kind=kind, solids=solids)
    return Placed(thing=thing, solids=solids, box=outer_box(solids, name))


def _bed() -> Placed:
    panels = [box("deck panel", (x, x + 700.0), (-890.0, 890.0), (700.0, 718.0)) for x in (0.0, 700.0)]
    for y0, y1 in ((-890.0, -872.0), (872.0, 890.0)):
        panels.append(box("back", (30.0, 1370.0), (y0, y1), (18.0, 700.0)))
    panels += [box("cross rail", (x, x + 18.0), (-500.0, 500.0), (580.0, 700.0)) for x in (30.0, 690.0, 1350.0)]
    return _placed("bed platform", "bed platform", *panels)


def _rack() -> Placed:
    x, t = (2000.0, 2600.0), 12.0
    walls = [box("side", x, (y, y + t), (0.0, 800.0)) for y in (400.0, 637.0, 874.0)]
    flats = [box("shelf", x, (400.0, 886.0), (z, z + t)) for z in (0.0, 394.0, 788.0)]
    return _placed("bin rack", "bin rack", *walls, *flats)


@pytest.fixture
def camping() -> Layout:
    """Return a bed with bins below it, a rack with bins, a mattress, boxes and a turned bicycle."""
    low = [
        _placed(f"bin {2 * i + j + 1}", "bin", box("bin", (60 + 420 * i, 460 + 420 * i), (y, y + 300), (0, 320)))
        for i in range(3)
        for j, y in enumerate((-320.0, 20.0))
    ]
    racked = [
        _placed(f"small bin {2 * i + j + 1}", "bin", box("bin", (2010, 2560), (y, y + 215), (z, z + 330)))
        for i, y in enumerate((417.0, 654.0))
        for j, z in enumerate((12.0, 406.0))
    ]
    bicycle = box("frame", (1500.0, 3100.0), (-150.0, 150.0), (0.0, 1000.0))
    bicycle = bicycle.moved(-2300, 0, 0).turned(10).moved(2300, -250, 0)
    things = (
        _bed(),
        _placed("mattress", "mattress", box("mattress", (0, 1390), (-700, 700), (718, 838))),
        _rack(),
        *low,
        *racked,
        _placed("refrigerator with a very long name", "box", box("box", (2700, 3100), (500, 890), (0, 450))),
        _placed("water can", "box", box("box", (3150, 3350), (700, 890), (0, 350))),
        _placed("first aid kit and fire extinguisher", "box", box("box", (3200, 3290), (560, 640), (0, 200))),
        _placed("bicycle", "bicycle", bicycle),
    )
    return Layout(things=tuple(p.thing for p in things), people=(), placed={"night": things}, outside={"night": ()})


@pytest.fixture
def faults() -> tuple[Finding, ...]:
    """Return one finding that fails at a place, one that only warns, one of another state."""
    where = box("clash", (2000.0, 2600.0), (380.0, 460.0), (0.0, 500.0))
    text = "bicycle and bin rack both fill 80 × 110 mm of the aisle; move the bicycle 80 mm to the right"
    fail = Finding(rule="no-overlap", severity="fail", things=("bicycle",), states=("night",), text=text, where=where)
    warn = Finding(rule="aisle", severity="warn", things=(), states=("night",), text="narrow", where=where)
    other = Finding(rule="reach", severity="fail", things=(), states=("day",), text="far", where=where)
    return fail, warn, other


@pytest.fixture
def cut_plan() -> CutPlan:
    """Return two sheets: one with a few large parts, one with many narrow ones."""
    stock = Stock(name="birch 18 mm", material="birch 18 mm", length=2440.0, width=1220.0)
    job = CutJob(parts=(Part(name="deck panel", material="birch 18 mm", length=1780, width=700),), stocks=(stock,))
    sheets = (CutSheet(number=1, stock=stock, root=_large()), CutSheet(number=2, stock=stock, root=_many()))
    plan = MaterialPlan(material="birch 18 mm", sheets=sheets, cost=0.0, bound=2, proven=True)
    return CutPlan(job=job, materials=(plan,))


def _large() -> Region:
    deck = Region(x=0, y=0, length=1780, width=700, kind="part", part="deck panel 1")
    over = Region(x=0, y=703, length=1780, width=517, kind="part", part="back left")
    column = Region(
        x=0, y=0, length=1780, width=1220, pieces=(deck, over), cut=Cut(number=2, across="width", at=700, kerf=3)
    )
    rest = Region(x=1783, y=0, length=657, width=1220, kind="offcut")
    return Region(
        x=0, y=0, length=2440, width=1220, pieces=(column, rest), cut=Cut(number=1, across="length", at=1780, kerf=3)
    )


def _many() -> Region:
    return _strips(0.0, 1, 0)


def _strips(y: float, number: int, i: int) -> Region:
    """Return strips 100 mm wide with three rails each, one above the other, up to the sheet's edge."""
    left = 1220.0 - y
    if left < 103:
        return Region(x=0, y=y, length=2440, width=left, kind="waste")
    strip = _rails(0.0, y, number + 1, i)
    rest = _strips(y + 103, number + 4, i + 1)
    cut = Cut(number=number, across="width", at=100, kerf=3)
    return Region(x=0, y=y, length=2440, width=left, pieces=(strip, rest), cut=cut)


def _rails(x: float, y: float, number: int, i: int) -> Region:
    left = 2440.0 - x
    if left < 703:
        return Region(x=x, y=y, length=left, width=100, kind="waste")
    rail = Region(x=x, y=y, length=700, width=100, kind="part", part=f"cross rail {3 * i + int(x // 700) + 1}")
    rest = _rails(x + 703, y, number + 1, i)
    cut = Cut(number=number, across="length", at=700, kerf=3)
    return Region(x=x, y=y, length=left, width=100, pieces=(rail, rest), cut=cut)


Check = Callable[[Drawing], list[str]]


@pytest.fixture
def text_faults() -> Check:
    """Return the check: what is wrong with the texts of a drawing, in words, nothing if all is well."""

    def check(drawing: Drawing) -> list[str]:
        texts = [mark for mark in drawing.marks if isinstance(mark, Text)]
        boxes = [(text.text, text_box(text)) for text in texts]
        frame = (20.0, 10.0, drawing.width - 10, drawing.height - 10)
        faults = [f"{said!r} leaves the frame" for said, b in boxes if not inside(b, frame)]
        faults += [f"{t.text!r} is too small" for t in texts if t.height < 1.8]
        faults += [
            f"{said!r} overlaps {other!r}"
            for i, (said, b) in enumerate(boxes)
            for other, c in boxes[:i]
            if overlap(b, c)
        ]
        return faults

    return check
