"""A plan as rows and as JSON."""

from __future__ import annotations

import json

from layout.cutting.as_json import as_json
from layout.cutting.engine import plan_cuts
from layout.cutting.listing import cut_list, parts_list, sheets_to_buy
from layout.model.cutting import CutJob, CutPlan, Part, Stock


def _plan() -> CutPlan:
    side = Part(name="side", material="18", length=600, width=1220, count=2, grain="along", unit="rack")
    full = Stock(name="full", material="18", length=2440, width=1220, price=68.1)
    return plan_cuts(CutJob(parts=(side,), stocks=(full,)))


def test_the_parts_list() -> None:
    """Protects the list of parts: each part once, with its furniture, count and size."""
    header, rows = parts_list(_plan())
    assert header == ("part", "of", "material", "count", "length mm", "width mm", "grain")
    assert rows == (("side", "rack", "18", 2, "600", "1220", "along"),)


def test_the_cut_list() -> None:
    """Protects the list at the saw: cuts in order, the fence distance, and what falls off."""
    _, rows = cut_list(_plan())
    assert rows == (
        ("18", 1, "full", 1, "length", "600", "left", "2440 × 1220", "side 600 × 1220 + piece 1837 × 1220"),
        ("18", 1, "full", 2, "length", "600", "left", "1837 × 1220", "side 600 × 1220 + offcut 1234 × 1220"),
    )


def test_the_cut_list_in_inches() -> None:
    """Protects users of a tape in inches: fence distances are fractions."""
    assert cut_list(_plan(), "in")[1][0][5] == '23 5/8"'


def test_the_sheets_to_buy() -> None:
    """Protects the shopping list: count, price and sum."""
    assert sheets_to_buy(_plan())[1] == (("18", "full", 1, 68.1, 68.1),)


def test_the_json() -> None:
    """Protects programs that read the plan: its exact shape."""
    made = json.loads(json.dumps(as_json(_plan())))
    assert made["cost"] == 68.1
    assert made["unplaced"] == []
    material = made["materials"][0]
    assert {key: material[key] for key in ("material", "cost", "sheets_used", "proven_minimum_cost", "proven")} == {
        "material": "18", "cost": 68.1, "sheets_used": 1, "proven_minimum_cost": 68.1, "proven": True,
    }  # fmt: skip
    sheet = material["sheets"][0]
    assert [sheet[key] for key in ("sheet", "length", "width", "price")] == ["full", 2440, 1220, 68.1]
    root = sheet["root"]
    assert root["cut"] == {"across": "length", "at": 600, "kerf": 3, "number": 1}
    assert root["pieces"][0] == {"x": 0, "y": 0, "length": 600, "width": 1220, "part": "side", "turned": False}
    offcut = {"x": 1206, "y": 0, "length": 1234, "width": 1220, "offcut": True}
    assert root["pieces"][1]["pieces"][1] == offcut
