"""Why a plan of bars cannot be bettered, or how far that is known, in plain words."""

from __future__ import annotations

from collections import Counter

from layout.cutting.grid import to_mm
from layout.cutting.lengths.proof import Known, Wall
from layout.cutting.lengths.values import Question
from layout.model.lengths import BarMaterial, BarPlan

_MOST_NAMED = 2


def summary(plan: BarPlan) -> str:
    """Return one paragraph: for each material the bars, their cost, and what is known of better plans."""
    return " ".join(_sentence(material) for material in plan.materials) or "Nothing is to be cut to length."


def _sentence(material: BarMaterial) -> str:
    used = Counter(bar.stock.name for bar in material.bars)
    names = ", ".join(f"{count} × {name}" for name, count in used.items())
    cost = f", {material.cost:.2f} in all" if material.cost else ""
    bars = f"{_bars(len(material.bars))} ({names}{cost})" if used else "no bar"
    missing = f" {_missing(material)}" if material.unplaced else ""
    return f"{material.material}: {bars}; {material.why}.{missing}"


def _missing(material: BarMaterial) -> str:
    lacking = Counter(material.unplaced)
    names = ", ".join(f"{count} × {name}" for name, count in lacking.items())
    return f"Not cut, since the bars on hand do not do: {names}."


def _bars(count: int) -> str:
    return "1 bar" if count == 1 else f"{count} bars"


def why(asked: Question, material: BarMaterial, known: Known) -> str:
    """Return why no plan is better than that of `material`, or what is still open; without a full stop."""
    if not asked.sizes:
        return "no bar on hand is long enough for any piece"
    if not material.proven:
        return _open(material)
    reasons = [_reason(asked, wall, material) for wall in known.walls]
    reasons += [_tried(asked, known)] if known.tried else []
    claim = _claim(asked, material)
    return f"{claim} because {', and '.join(reasons)}" if reasons else claim


def _claim(asked: Question, material: BarMaterial) -> str:
    used = len(material.bars)
    if material.unplaced:
        return f"fewer than {len(material.unplaced)} missing is impossible"
    if len(asked.sizes) == 1 or material.fewest_bars == used:
        fewer = "doing without is" if used == 1 else f"fewer than {used} is"
        return (
            f"{fewer} impossible"
            if not material.cost or len(asked.sizes) == 1
            else f"{fewer} and cheaper bars are impossible"
        )
    return "no other choice of bars is better"


def _reason(asked: Question, wall: Wall, material: BarMaterial) -> str:
    used = len(material.bars)
    need = wall.needed(asked, 0)
    if wall.reason == "too long":
        return f"{need} of the pieces are longer than every bar on hand"
    if wall.reason in ("lengths", "sums"):
        own = f"the pieces with a kerf each take {_mm(need)} mm"
        if material.unplaced:
            room = sum(size.limit * most for size, most in zip(asked.sizes, wall.most, strict=True))
            return f"{own} and all bars on hand hold at most {_mm(room)} mm"
        if len(asked.sizes) > 1:
            return f"{own}, and nothing that is better holds as much"
        hold = f"{_bars(used - 1)} with a kerf each hold at most {_mm((used - 1) * wall.most[0])} mm"
        return own if used == 1 else f"{own} and {hold}"
    most = ", ".join(f"{size.bar.name} {points}" for size, points in zip(asked.sizes, wall.most, strict=True))
    return f"with the points in the proof the pieces are worth {need} and a bar holds at most {most}"


def _tried(asked: Question, known: Known) -> str:
    choices = [
        " and ".join(f"{n} × {size.bar.name}" for size, n in zip(asked.sizes, item.bars, strict=True) if n)
        for item in known.tried
    ]
    on = f"{len(choices)} other choices of bars" if len(choices) > _MOST_NAMED else " and on ".join(choices)
    return f"all ways to lay the pieces on {on} were tried in vain"


def _mm(ticks: int) -> str:
    return f"{to_mm(ticks):.1f}".removesuffix(".0")


def _open(material: BarMaterial) -> str:
    known = []
    if material.fewest_missing < len(material.unplaced):
        known.append(f"misses fewer than {material.fewest_missing} pieces")
    if material.least_cost < material.cost:
        known.append(f"costs less than {material.least_cost:.2f}")
    known.append(f"takes fewer than {_bars(material.fewest_bars)}")
    return f"it is not proven that this is the best; it is proven that no plan {' or '.join(known)}"
