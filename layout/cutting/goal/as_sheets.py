"""Patterns as sheets with pieces laid on them, in ticks."""

from __future__ import annotations

from collections.abc import Sequence

from layout.cutting.goal.arrays import Pattern, Task
from layout.cutting.values import Filled, Laid


def each_once(patterns: Sequence[Pattern], of: Task) -> tuple[Pattern, ...]:
    """Return patterns that together hold every piece once: a kind covered too often is left out."""
    left: dict[int, list[int]] = {}
    for piece, kind in enumerate(of.kind_of.tolist()):
        left.setdefault(kind, []).append(piece)
    kept = []
    for pattern in patterns:
        laid: list[tuple[int, int, int, int, int]] = []
        for piece, way, blank, x, y in pattern.laid:
            of_kind = left[int(of.kind_of[piece])]
            if of_kind:
                laid.append((of_kind.pop(0), way, blank, x, y))
        if laid:
            kept.append(Pattern(opening=pattern.opening, laid=tuple(laid)))
    return tuple(kept)


def filled(patterns: Sequence[Pattern], of: Task) -> tuple[Filled, ...]:
    """Return patterns as sheets with pieces in ticks from the sheet's corner, the fullest sheets first."""
    sheets = []
    for pattern in patterns:
        opening = of.openings[pattern.opening]
        laid = []
        for piece, way, blank, x, y in pattern.laid:
            kind = of.kinds[int(of.kind_of[piece])]
            on = opening.blanks[blank]
            laid.append(Laid(name=kind.name, x=on.x + x * of.unit, y=on.y + y * of.unit, way=kind.ways[way]))
        sheets.append(Filled(opening=opening, laid=tuple(laid)))
    return tuple(sorted(sheets, key=lambda sheet: -sum(p.way.length * p.way.width for p in sheet.laid)))
