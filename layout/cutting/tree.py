"""From pieces laid on a sheet to the tree of edge-to-edge cuts that frees them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from layout.cutting.grid import to_mm
from layout.cutting.values import Filled, Forced, Laid, Saw
from layout.model.cutting import Cut, LeafKind, Region, Saws

_AXES = (0, 1)


@dataclass(frozen=True, kw_only=True, slots=True)
class _Node:
    """A rectangle on the way to the leaves (ticks from the sheet's corner) and the pieces that it holds."""

    low: tuple[int, int]
    high: tuple[int, int]
    held: tuple[Laid, ...] = ()
    forced: Forced | None = None
    spoiled: bool = False
    parent: int = -1

    def size(self, axis: int) -> int:
        return self.high[axis] - self.low[axis]


@dataclass(frozen=True, kw_only=True, slots=True)
class _Line:
    """A cut to make: from the node's low edge along `axis`, `at` and `kerf` in ticks."""

    axis: int
    at: int
    kerf: int
    by: Saws = "home"


def cut_tree(filled: Filled, saw: Saw) -> Region | None:
    """Return the whole sheet as a tree of cuts, numbered as they are sawn; None when none frees all pieces.

    A cut leaves two pieces when more than the kerf remains beyond its line. Otherwise the blade takes all
    that remains, the cut's kerf says how much, and there is one piece. A trim no wider than the kerf is
    skimmed off the low edges the same way: a cut at 0 whose kerf is the trim.
    """
    opening = filled.opening
    whole = _Node(low=(0, 0), high=(opening.length, opening.width), held=filled.laid, forced=opening.forced)
    waiting = [whole]
    nodes: list[tuple[_Node, _Line | None]] = []
    while waiting:
        node = waiting.pop()
        line = _line(node, saw)
        if line is None and node.held and not _is_part(node):
            return None
        nodes.append((node, line))
        if line is not None:
            waiting += reversed(_pieces(node, line, len(nodes) - 1))
    return _regions(nodes, saw)


def _line(node: _Node, saw: Saw) -> _Line | None:
    """Return the next cut through a node: trim, then the longest rip that crosses no piece."""
    if node.forced:
        return _Line(axis=node.forced.axis, at=node.forced.at, kerf=node.forced.kerf, by=node.forced.by)
    if not node.held or _is_part(node):
        return None
    for axis in sorted(_AXES, key=lambda axis: -node.size(1 - axis)):
        at = _clear(node, axis, saw.kerf)
        if at is not None:
            return _Line(axis=axis, at=at, kerf=min(saw.kerf, node.size(axis) - at))
    return None


def _clear(node: _Node, axis: int, kerf: int) -> int | None:
    """Return the least distance along `axis` at which a cut crosses no piece and leaves something to each."""
    spans = sorted(_span(laid, axis) for laid in node.held)
    start, reach = spans[0]
    if start > node.low[axis]:
        # Room before the first piece: cut it off, if it is wider than the blade.
        return start - kerf - node.low[axis] if start - kerf > node.low[axis] else None
    for low, high in spans:
        if low >= reach + kerf:
            break
        reach = max(reach, high)
    return reach - node.low[axis] if reach < node.high[axis] else None


def _span(laid: Laid, axis: int) -> tuple[int, int]:
    return (laid.y, laid.y + laid.way.width) if axis else (laid.x, laid.x + laid.way.length)


def _is_part(node: _Node) -> bool:
    fills = (_span(node.held[0], axis) == (node.low[axis], node.high[axis]) for axis in _AXES)
    return len(node.held) == 1 and all(fills)


def _pieces(node: _Node, line: _Line, parent: int) -> list[_Node]:
    """Return what a cut leaves, the piece at the low edge first; what is forced goes on within them."""
    axis, split, forced = line.axis, node.low[line.axis] + line.at, node.forced
    low, high, spoiled = (forced.low, forced.high, forced.spoiled) if forced else (None, None, "")
    first = replace(node, high=_with(node.high, axis, split), parent=parent, forced=low, spoiled=spoiled == "low")
    second = replace(
        node, low=_with(node.low, axis, split + line.kerf), parent=parent, forced=high, spoiled=spoiled == "high"
    )
    first = replace(first, held=tuple(laid for laid in node.held if _span(laid, axis)[0] < split))
    second = replace(second, held=tuple(laid for laid in node.held if _span(laid, axis)[0] >= split))
    return [piece for piece in (first, second) if piece.size(axis) > 0]


def _with(point: tuple[int, int], axis: int, value: int) -> tuple[int, int]:
    return (value, point[1]) if axis == 0 else (point[0], value)


def _regions(nodes: list[tuple[_Node, _Line | None]], saw: Saw) -> Region:
    """Return the root; built from the last node back, so that a deep tree needs no deep recursion."""
    number = sum(line is not None for _, line in nodes)
    pieces: dict[int, list[Region]] = {}
    for i in range(len(nodes) - 1, -1, -1):
        node, line = nodes[i]
        region = _leaf(node, saw) if line is None else _inner(node, line, number, pieces.pop(i))
        number -= line is not None
        pieces.setdefault(node.parent, []).insert(0, region)
    return pieces[-1][0]


def _inner(node: _Node, line: _Line, number: int, pieces: list[Region]) -> Region:
    across: Literal["length", "width"] = "width" if line.axis else "length"
    cut = Cut(number=number, across=across, at=to_mm(line.at), kerf=to_mm(line.kerf), by=line.by)
    return replace(_region(node), cut=cut, pieces=tuple(pieces))


def _leaf(node: _Node, saw: Saw) -> Region:
    if node.held:
        laid = node.held[0]
        return replace(_region(node), kind="part", part=laid.name, turned=laid.way.turned)
    large = not node.spoiled and min(node.size(0), node.size(1)) >= saw.smallest_offcut
    kind: LeafKind = "offcut" if large else "waste"
    return replace(_region(node), kind=kind)


def _region(node: _Node) -> Region:
    return Region(x=to_mm(node.low[0]), y=to_mm(node.low[1]), length=to_mm(node.size(0)), width=to_mm(node.size(1)))
