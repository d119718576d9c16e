"""The last touch: sheets become trees of cuts; of all orders of cutting a sheet, the one its owner prefers."""

from __future__ import annotations

from collections.abc import Sequence

from layout.cutting.quick import Question, largest_offcut
from layout.cutting.tree import cut_tree
from layout.cutting.values import Filled
from layout.model.cutting import Preference, Region
from layout.model.sawing import walk

# Of orders that are equal by all that is preferred, the first of these is taken.
_ORDERS: tuple[Preference, ...] = ("breakdown", "offcut", "settings")
# A cut more than half as long as the sheet is one that two people make on trestles.
_LONG = 0.5


def tidied(
    question: Question, sheets: Sequence[Filled], prefer: Sequence[Preference]
) -> tuple[tuple[Filled, Region], ...] | None:
    """Return every sheet with its tree of cuts; None when no cuts free all pieces of one."""
    found = []
    for sheet in sheets:
        trees = [cut_tree(sheet, question.saw, order) for order in _ORDERS]
        sound = [tree for tree in trees if tree is not None]
        if not sound:
            return None
        found.append((sheet, min(sound, key=lambda tree: tuple(_measure(tree, wish) for wish in prefer))))
    return tuple(found)


def _measure(root: Region, wish: Preference) -> float:
    """Return how little a tree does what is preferred: smaller is better."""
    if wish == "offcut":
        return -largest_offcut(root)
    cuts = [(region, region.cut) for region in walk(root) if region.cut]
    if wish == "settings":
        return len({cut.at for _, cut in cuts if cut.by == "home"})
    longest = _LONG * max(root.length, root.width)
    return sum((region.width if cut.across == "length" else region.length) > longest for region, cut in cuts)
