"""A plan of cuts as plain values for JSON."""

from __future__ import annotations

from typing import Any

from layout.model.cutting import CutPlan, CutSheet, MaterialPlan, Region


def as_json(plan: CutPlan) -> dict[str, Any]:
    """Return the plan as dicts, lists, numbers (mm, the stock's currency) and texts; ready for ``json``."""
    return {"cost": plan.cost, "unplaced": [], "materials": [_material(material) for material in plan.materials]}


def _material(material: MaterialPlan) -> dict[str, Any]:
    return {
        "material": material.material,
        "cost": material.cost,
        "sheets_used": len(material.sheets),
        "fewest_sheets": material.bound,
        "proven_minimum_cost": material.cost if material.proven else None,
        "proven": material.proven,
        "sheets": [_sheet(sheet) for sheet in material.sheets],
    }


def _sheet(sheet: CutSheet) -> dict[str, Any]:
    return {
        "sheet": sheet.stock.name,
        "number": sheet.number,
        "length": _plain(sheet.stock.length),
        "width": _plain(sheet.stock.width),
        "price": sheet.stock.price,
        "root": _tree(sheet.root),
    }


def _tree(root: Region) -> dict[str, Any]:
    """Return the tree, built without recursion, since trees may be deeper than Python's stack."""
    whole = _region(root)
    waiting = [(root, whole)]
    while waiting:
        region, made = waiting.pop()
        if region.pieces:
            made["pieces"] = [_region(piece) for piece in region.pieces]
            waiting += zip(region.pieces, made["pieces"], strict=True)
    return whole


def _region(region: Region) -> dict[str, Any]:
    made: dict[str, Any] = {
        "x": _plain(region.x),
        "y": _plain(region.y),
        "length": _plain(region.length),
        "width": _plain(region.width),
    }
    cut = region.cut
    if cut is not None:
        made["cut"] = {
            "across": cut.across,
            "at": _plain(cut.at),
            "kerf": _plain(cut.kerf),
            "number": cut.number,
        }
    elif region.kind == "part":
        made |= {"part": region.part, "turned": region.turned}
    elif region.kind is not None:
        made[region.kind] = True
    return made


def _plain(mm: float) -> float:
    """Return a whole number of mm without its ``.0``."""
    return int(mm) if mm == int(mm) else mm
