"""A plan of cuts as plain values for JSON."""

from __future__ import annotations

from typing import Any

from layout.model.cutting import CutPlan, CutSheet, MaterialPlan, Proof, Region


def as_json(plan: CutPlan, *, timed: bool = False) -> dict[str, Any]:
    """Return the plan as dicts, lists, numbers (mm, the stock's currency) and texts; ready for ``json``.

    The seconds that the search took are told when `timed`; without them, the same job gives the same values.
    """
    materials = [_material(material, timed=timed) for material in plan.materials]
    return {"cost": plan.cost, "unplaced": list(plan.unplaced), "materials": materials}


def _material(material: MaterialPlan, *, timed: bool) -> dict[str, Any]:
    return {
        "material": material.material,
        "cost": material.cost,
        "sheets_used": len(material.sheets),
        "fewest_sheets": material.bound,
        "proven_minimum_cost": material.cost if material.proven and not material.unplaced else material.least_cost,
        "proven": material.proven,
        "why": material.why,
        "ended": material.ended,
        "rests_on": material.rests_on,
        "tries": material.tries,
        **({"seconds": round(material.seconds, 3)} if timed else {}),
        "proof": [_proof(proof) for proof in material.proof],
        "unplaced": list(material.unplaced),
        "sheets": [_sheet(sheet) for sheet in material.sheets],
    }


def _proof(proof: Proof) -> dict[str, Any]:
    return {"points": dict(proof.points), "room": dict(proof.room), "counted": list(proof.counted)}


def _sheet(sheet: CutSheet) -> dict[str, Any]:
    stock = sheet.stock
    damage = [
        {"x": _plain(one.x), "y": _plain(one.y), "length": _plain(one.length), "width": _plain(one.width)}
        for one in stock.damage
    ]
    return {
        "sheet": stock.name,
        "number": sheet.number,
        "length": _plain(stock.length),
        "width": _plain(stock.width),
        "price": stock.price,
        "offcut": stock.offcut,
        **({"thickness": _plain(stock.thickness)} if stock.thickness is not None else {}),
        **({"damage": damage} if damage else {}),
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
            "by": cut.by,
        }
    elif region.kind == "part":
        made |= {"part": region.part, "turned": region.turned}
    elif region.kind is not None:
        made[region.kind] = True
    return made


def _plain(mm: float) -> float:
    """Return a whole number of mm without its ``.0``."""
    return int(mm) if mm == int(mm) else mm
