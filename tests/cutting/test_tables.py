"""A plan as rows and as JSON."""

from __future__ import annotations

import json

from layout.cutting.as_json import as_json
from layout.cutting.engine import plan_cuts
from layout.cutting.leftovers import leftovers
from layout.cutting.listing import cut_list, fence_settings, parts_list, sheets_to_buy
from layout.export.csv_table import csv_table
from layout.files.sheets_table import read_sheets_table
from layout.model.cutting import (
    Cut,
    CutJob,
    CutPlan,
    CutSheet,
    Damage,
    EdgeTrim,
    MaterialPlan,
    Part,
    Region,
    Shop,
    Stock,
)
from layout.model.sawing import steps

SIDE = Part(
    name="side", material="18", length=600, width=1220, count=2, grain="along", unit="rack", good_face=True,
    edges="front",
)  # fmt: skip
FULL = Stock(name="full", material="18", length=2440, width=1220, price=68.1, thickness=17.6)


def _plan() -> CutPlan:
    return plan_cuts(CutJob(parts=(SIDE,), stocks=(FULL,)))


def _leaf(x: float, y: float, length: float, width: float, kind: str, part: str = "") -> Region:
    return Region(x=x, y=y, length=length, width=width, kind=kind, part=part)  # type: ignore[arg-type]  # a leaf's kind


def _sawn() -> CutPlan:
    """Return a sheet that the shop cuts once and home twice: a strip of waste first, then a part and the rest."""
    low = _leaf(0, 0, 1000, 1220, "offcut")
    part, rest = _leaf(1003.2, 13, 1436.8, 400, "part", "side"), _leaf(1003.2, 416, 1436.8, 804, "offcut")
    kept = Region(
        x=1003.2,
        y=13,
        length=1436.8,
        width=1207,
        cut=Cut(number=3, across="width", at=400, kerf=3),
        pieces=(part, rest),
    )
    strip = _leaf(1003.2, 0, 1436.8, 10, "waste")
    high = Region(
        x=1003.2, y=0, length=1436.8, width=1220, cut=Cut(number=2, across="width", at=10, kerf=3), pieces=(strip, kept)
    )
    cut = Cut(number=1, across="length", at=1000, kerf=3.2, by="shop")
    root = Region(x=0, y=0, length=2440, width=1220, cut=cut, pieces=(low, high))
    job = CutJob(parts=(SIDE,), stocks=(FULL,), shop=Shop(cuts=1))
    made = MaterialPlan(
        material="18", sheets=(CutSheet(number=1, stock=FULL, root=root),), cost=68.1, bound=1, proven=True
    )
    return CutPlan(job=job, materials=(made,))


def test_the_parts_list() -> None:
    """Protects the list of parts: each part once, with its furniture, count, size, seen face and edge bands."""
    header, rows = parts_list(_plan())
    assert header == ("part", "of", "material", "count", "length mm", "width mm", "grain", "good face", "edges")
    assert rows == (("side", "rack", "18", 2, "600", "1220", "along", "yes", "front"),)


def test_the_cut_list() -> None:
    """Protects the list at the saw: the piece in hand, the fence and its edge, and what falls off by its name."""
    header, rows = cut_list(_plan())
    assert header[3:] == ("cut", "piece", "size mm", "turn", "setting", "fence mm", "from", "yields")
    assert rows == (
        ("18", 1, "full", 1, "sheet", "2440 × 1220", "", "A", "600", "left", "side 600 × 1220 + 1b 1837 × 1220"),
        ("18", 1, "full", 2, "1b", "1837 × 1220", "", "A", "600", "left", "side 600 × 1220 + offcut 1234 × 1220"),
    )


def test_shop_and_home_have_lists_apart() -> None:
    """Protects the trip to the shop: its cuts are on its list alone, with settings of their own."""
    assert [row[3:10] for row in cut_list(_sawn(), by="shop")[1]] == [
        (1, "sheet", "2440 × 1220", "", "SA", "1000", "left")
    ]
    assert [row[3:10] for row in cut_list(_sawn())[1]] == [
        (2, "1b", "1436.8 × 1220", "turn", "B", "1207", "top"),
        (3, "2b", "1436.8 × 1207", "", "A", "400", "bottom"),
    ]


def test_waste_is_never_between_blade_and_fence() -> None:
    """Protects hands: where the low strip is waste, the kept side lies at the fence."""
    fences = [(step.number, step.fence, step.edge) for step in steps(_sawn().materials[0].sheets[0])]
    assert fences == [("S1", 1000, "left"), ("2", 1207, "top"), ("3", 400, "bottom")]


def test_cuts_of_one_setting_are_listed_together() -> None:
    """Protects the set-up: a fence that serves several cuts is told once with all of them; others are left out."""
    assert fence_settings(_plan())[1] == (("home", "A", "600", "18 1: 1, 2"),)
    assert fence_settings(_sawn())[1] == ()


def test_the_cut_list_in_inches() -> None:
    """Protects users of a tape in inches: fence distances are fractions."""
    header, rows = cut_list(_plan(), "in")
    assert rows[0][header.index("fence in")] == '23 5/8"'


def test_the_sheets_to_buy() -> None:
    """Protects the shopping list: count, price and sum."""
    assert sheets_to_buy(_plan())[1] == (("18", "full", 1, 68.1, 68.1),)


def test_offcuts_on_hand_are_not_bought() -> None:
    """Protects the purse: what is on hand is not on the shopping list."""
    left = Stock(name="left", material="18", length=1300, width=1220, count=1, offcut=True)
    assert sheets_to_buy(plan_cuts(CutJob(parts=(SIDE,), stocks=(left,))))[1] == ()


def test_leftovers_are_stock_next_time() -> None:
    """Protects what is left: its table is read as sheets at no price, never larger than it is, needing no trim."""
    header, rows = leftovers(_sawn())
    assert header[:7] == ("name", "material", "length", "width", "price", "count", "thickness")
    stocks = read_sheets_table(csv_table([header, *rows]).decode(), "leftovers.csv", "mm", trim=8).stocks
    assert stocks == (
        Stock(
            name="left 1000 × 1220 of 18", material="18", length=1000, width=1220, count=1, offcut=True,
            thickness=17.6, trim=EdgeTrim(),
        ),
        Stock(
            name="left 1436.8 × 804 of 18", material="18", length=1436.8, width=804, count=1, offcut=True,
            thickness=17.6, trim=EdgeTrim(),
        ),
    )  # fmt: skip


def test_leftovers_in_inches_round_down() -> None:
    """Protects tapes in inches: sizes carry their sign and are rounded down to 1/64 in."""
    header, rows = leftovers(_sawn(), "in")
    [first, _] = read_sheets_table(csv_table([header, *rows]).decode(), "leftovers.csv", "in").stocks
    assert rows[0][2:4] == ('39 23/64"', '48 1/32"')
    assert 999.6 < first.length <= 1000
    assert 1219.6 < first.width <= 1220


def test_leftovers_meet_no_name_of_the_stock() -> None:
    """Protects the next table: a leftover like one on hand gets a name of its own."""
    plan = _sawn()
    old = Stock(name="left 1000 × 1220 of 18", material="18", length=1000, width=1220, count=1, offcut=True)
    job = CutJob(parts=(SIDE,), stocks=(FULL, old))
    names = [row[0] for row in leftovers(CutPlan(job=job, materials=plan.materials))[1]]
    assert names == ["left 1000 × 1220 of 18 2", "left 1436.8 × 804 of 18"]


def test_the_json() -> None:
    """Protects programs that read the plan: its exact shape."""
    made = json.loads(json.dumps(as_json(_plan(), timed=True)))
    assert made["cost"] == 68.1
    assert made["unplaced"] == []
    material = made["materials"][0]
    assert {key: material[key] for key in ("material", "cost", "sheets_used", "proven_minimum_cost", "proven")} == {
        "material": "18", "cost": 68.1, "sheets_used": 1, "proven_minimum_cost": 68.1, "proven": True,
    }  # fmt: skip
    assert set(material) >= {"seconds", "why", "ended", "unplaced", "fewest_sheets"}
    sheet = material["sheets"][0]
    assert [sheet[key] for key in ("sheet", "length", "width", "price", "offcut", "thickness")] == [
        "full", 2440, 1220, 68.1, False, 17.6,
    ]  # fmt: skip
    root = sheet["root"]
    assert root["cut"] == {"across": "length", "at": 600, "kerf": 3, "number": 1, "by": "home"}
    assert root["pieces"][0] == {"x": 0, "y": 0, "length": 600, "width": 1220, "part": "side", "turned": False}
    offcut = {"x": 1206, "y": 0, "length": 1234, "width": 1220, "offcut": True}
    assert root["pieces"][1]["pieces"][1] == offcut


def test_the_json_tells_what_is_spoiled_and_missing() -> None:
    """Protects programs: damage and unplaced parts are there, and a floor under the cost though nothing is proven."""
    stock = Stock(name="full", material="18", length=100, width=50, damage=(Damage(x=1, y=2.5, length=3, width=4),))
    root = _leaf(0, 0, 100, 50, "waste")
    material = MaterialPlan(
        material="18", sheets=(CutSheet(number=1, stock=stock, root=root),), cost=0, bound=0, proven=False,
        least_cost=12.5, unplaced=("side",), seconds=3.0,
    )  # fmt: skip
    made = as_json(CutPlan(job=CutJob(parts=(SIDE,), stocks=(stock,)), materials=(material,)))
    assert made["unplaced"] == ["side"]
    assert made["materials"][0]["proven_minimum_cost"] == 12.5
    assert made["materials"][0]["sheets"][0]["damage"] == [{"x": 1, "y": 2.5, "length": 3, "width": 4}]
    assert "seconds" not in made["materials"][0]
