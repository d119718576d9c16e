"""A plan of bars as plain values for JSON."""

from __future__ import annotations

from typing import Any

from layout.model.lengths import BarMaterial, BarPlan, BarProof, CutBar


def as_json(plan: BarPlan) -> dict[str, Any]:
    """Return the plan as dicts, lists, numbers (mm, the stock's currency) and texts; ready for ``json``."""
    return {
        "cost": plan.cost,
        "proven": plan.proven,
        "unplaced": list(plan.unplaced),
        "materials": [_material(material) for material in plan.materials],
    }


def _material(material: BarMaterial) -> dict[str, Any]:
    return {
        "material": material.material,
        "cost": material.cost,
        "least_cost": material.least_cost,
        "bars_used": len(material.bars),
        "fewest_bars": material.fewest_bars,
        "fewest_missing": material.fewest_missing,
        "proven": material.proven,
        "why": material.why,
        "unplaced": list(material.unplaced),
        "bars": [_bar(bar) for bar in material.bars],
        "proof": _proof(material.proof),
    }


def _bar(bar: CutBar) -> dict[str, Any]:
    return {
        "bar": bar.stock.name,
        "number": bar.number,
        "length": _plain(bar.stock.length),
        "price": bar.stock.price,
        "offcut": bar.stock.offcut,
        "pieces": [
            {"part": piece.part, "at": _plain(piece.at), "length": _plain(piece.length)} for piece in bar.pieces
        ],
        "leftover": _plain(bar.leftover),
    }


def _proof(proof: BarProof) -> dict[str, Any]:
    return {
        "weights": [{"worth": dict(each.worth), "most": dict(each.most)} for each in proof.weights],
        "tried": [{"bars": dict(each.bars), "missing": each.missing} for each in proof.tried],
    }


def _plain(mm: float) -> float:
    """Return a whole number of mm without its ``.0``."""
    return int(mm) if mm == int(mm) else mm
