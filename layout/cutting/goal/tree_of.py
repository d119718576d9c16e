"""From the string of numbers of a pattern (see `pool`) back to its tree of cuts, and onto a sheet of a plan."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Any

from layout.cutting.goal.arrays import State, Task
from layout.cutting.goal.branches import (
    AXIS,
    HIGH,
    N_UNPLACED,
    NODE,
    PIECE,
    SLACK,
    UNPLACED,
    WAY,
    WIDE,
    attach,
    list_node,
    new_node,
    open_sheet,
)
from layout.cutting.goal.pool import CLOSES, OPENS

Tree = list[Any]
"""The children of a node: numbers (2 piece + way) and trees."""


def trees(numbers: Sequence[int]) -> list[Tree]:
    """Return the tree of each blank of a pattern."""
    found: list[Tree] = []
    stack: list[Tree] = [[]]
    for number in numbers:
        if number >= 0:
            stack[-1].append(number)
        elif number == OPENS:
            stack.append([])
        elif number == CLOSES:
            closed = stack.pop()
            stack[-1].append(closed)
        else:
            found.append(stack.pop())
            stack = [[]]
    return found


def kept(tree: Tree, pieces: Collection[int]) -> Tree:
    """Return the tree with those pieces only, without empty nodes."""
    found: Tree = []
    for child in tree:
        if isinstance(child, list):
            within = kept(child, pieces)
            found += [within] if within else []
        elif child // 2 in pieces:
            found.append(child)
    return found


def lay(state: State, of: Task, kind: int, blanks: Sequence[Tree]) -> None:
    """Open a sheet of type `kind` and lay trees on its blanks; their pieces must have been unplaced."""
    sheet = int((state.b[0] < 0).argmax())
    open_sheet(state.s, state.g, state.b, state.left, kind, of.n_blanks, of.blanks, of.prices, of.stock_of)
    on = _Laying(state, of, sheet)
    for k, tree in enumerate(blanks):
        on.children(int(state.b[3 + k, sheet]), tree)
    state.b[1, sheet] = len(on.pieces)
    rest = [i for i in state.unplaced if i not in on.pieces]
    state.it[UNPLACED, : len(rest)] = rest
    state.g[N_UNPLACED] = len(rest)


class _Laying:
    """Builds nodes below a root; every node is as large as its children need, the rest is slack."""

    def __init__(self, state: State, of: Task, sheet: int) -> None:
        self.s, self.g, self.it, self.of, self.sheet = state.s, state.g, state.it, of, sheet
        self.pieces: set[int] = set()

    def children(self, n: int, tree: Tree) -> None:
        axis = int(self.s[AXIS, n])
        span = int(self.s[HIGH if axis == 0 else WIDE, n])
        for child in tree:
            size = self._size(child, 1 - axis)
            self.s[SLACK, n] -= size[axis]
            if not isinstance(child, list) and size[1 - axis] == span:
                self._piece(n, child)
                continue
            wide, high = (size[0], span) if axis == 0 else (span, size[1])
            node = new_node(self.s, self.g, wide, high, 1 - axis)
            self.s[SLACK, node] = span
            list_node(self.s, self.g, node)
            attach(self.s, n, node)
            self.children(node, child if isinstance(child, list) else [child])

    def _piece(self, n: int, number: int) -> None:
        i, way = number // 2, number % 2
        wide, high = (int(side) for side in self.of.ways[i, way])
        leaf = new_node(self.s, self.g, wide, high, int(self.s[AXIS, n]))
        self.s[PIECE, leaf], self.s[WAY, leaf] = i, way
        self.it[NODE, i] = leaf
        self.pieces.add(i)
        attach(self.s, n, leaf)

    def _size(self, child: Any, axis: int) -> tuple[int, int]:
        """Return what a child needs along and across; a tree is cut along `axis`."""
        if not isinstance(child, list):
            wide, high = self.of.ways[child // 2, child % 2]
            return int(wide), int(high)
        sizes = [self._size(each, 1 - axis) for each in child]
        wides, highs = [size[0] for size in sizes], [size[1] for size in sizes]
        return (sum(wides), max(highs)) if axis == 0 else (max(wides), sum(highs))
