"""The last touch: sheets become trees of cuts, and of equally cheap plans the handier one is taken."""

from __future__ import annotations

from collections.abc import Sequence

from layout.cutting.effort import Effort
from layout.cutting.quick import Question
from layout.cutting.solve import Solution
from layout.cutting.tree import cut_tree
from layout.cutting.values import Filled
from layout.model.cutting import Preference, Region


def tidied(
    question: Question, solution: Solution, prefer: Sequence[Preference], effort: Effort
) -> tuple[tuple[Filled, Region], ...] | None:
    """Return every sheet with its tree of cuts; None when no cuts free all pieces of one."""
    found = []
    for sheet in solution.sheets:
        tree = cut_tree(sheet, question.saw)
        if tree is None:
            return None
        found.append((sheet, tree))
    return tuple(found)
