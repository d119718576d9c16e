"""From pieces laid on a sheet to the tree of edge-to-edge cuts that frees them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from layout.cutting.damage import damages, touch
from layout.cutting.grid import to_mm
from layout.cutting.values import Blank, Filled, Forced, Laid, Saw
from layout.model.cutting import Cut, LeafKind, Preference, Region, Saws

_AXES = (0, 1)
# Of the cuts that may come next, so many along each axis are compared.
_MOST_COMPARED = 8


@dataclass(frozen=True, kw_only=True, slots=True)
class _Node:
    """A rectangle on the way to the leaves (ticks from the sheet's corner) and the pieces that it holds."""

    low: tuple[int, int]
    high: tuple[int, int]
    held: tuple[Laid, ...] = ()
    forced: Forced | None = None
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


def cut_tree(filled: Filled, saw: Saw, prefer: Preference = "breakdown") -> Region | None:
    """Return the whole sheet as a tree of cuts, numbered as they are sawn; None when none frees all pieces.

    What the shop saws comes first, then trims and the cuts around damage, then the cuts that free parts. A cut
    leaves two pieces when more than the kerf remains beyond its line. Otherwise the blade takes all that
    remains, the cut's kerf says how much, and there is one piece. A trim no wider than the kerf is skimmed off
    the low edges the same way: a cut at 0 whose kerf is the trim.

    Parameters
    ----------
    filled
        A sheet with pieces laid on it.
    saw
        The saw at home. Cuts that leave a piece too small to hold, though it must be sawn on, are put off.
    prefer
        Which of the cuts that cross no piece is made first: ``breakdown``, the longest, at its first place;
        ``offcut``, the one that keeps the largest rest in one piece; ``settings``, one at a distance that the
        fence has had before on this sheet.
    """
    opening = filled.opening
    whole = _Node(low=(0, 0), high=(opening.length, opening.width), held=filled.laid, forced=opening.forced)
    waiting = [whole]
    nodes: list[tuple[_Node, _Line | None]] = []
    fence: set[int] = set()
    while waiting:
        node = waiting.pop()
        line = _line(node, saw, prefer, fence)
        if line is None and node.held and not _is_part(node):
            # Room before the first piece that is narrower than the blade cannot be cut off: close it up.
            node = _closed_up(node, saw.kerf)
            line = _line(node, saw, prefer, fence)
            if line is None and not _is_part(node):
                return None
        nodes.append((node, line))
        if line is not None:
            fence.add(line.at)
            waiting += reversed(_pieces(node, line, len(nodes) - 1))
    return _regions(nodes, saw, damages(opening.stock.damage))


def _closed_up(node: _Node, kerf: int) -> _Node:
    """Return the node with its pieces moved to its low edges, where what is free there is no wider than the blade."""
    if node.forced:
        return node
    shift = [min(_span(laid, axis)[0] for laid in node.held) - node.low[axis] for axis in _AXES]
    x, y = (move if move <= kerf else 0 for move in shift)
    return replace(node, held=tuple(replace(laid, x=laid.x - x, y=laid.y - y) for laid in node.held))


def _line(node: _Node, saw: Saw, prefer: Preference, fence: set[int]) -> _Line | None:
    """Return the next cut through a node: what is forced, then one that crosses no piece."""
    if node.forced and _is_made(node, node.forced, saw):
        return _Line(axis=node.forced.axis, at=node.forced.at, kerf=node.forced.kerf, by=node.forced.by)
    if not node.held or _is_part(node):
        return None
    if prefer == "breakdown" and not saw.smallest_hold:
        return next((line for axis in _longest_first(node) for line in _lines(node, axis, saw)), None)
    lines = [line for axis in _longest_first(node) for line in _some(list(_lines(node, axis, saw)))]
    safe = [line for line in lines if _can_be_held(node, line, saw)] or lines
    return _preferred(node, safe, saw, prefer, fence) or next(iter(safe), None)


def _is_made(node: _Node, forced: Forced, saw: Saw) -> bool:
    """Return whether a forced cut is worth making: always on the way to a part; else only to free a large rest."""
    if node.held or forced.by == "shop":
        return True
    sizes = _freed(forced, (node.size(0), node.size(1)))
    return any(min(size) >= saw.smallest_offcut for size in sizes)


def _freed(forced: Forced, size: tuple[int, int]) -> Iterator[tuple[int, int]]:
    """Yield the sizes of the sound pieces that cuts around damage leave; none for cuts that only trim."""
    beyond = size[forced.axis] - forced.at - forced.kerf
    for side, inner, long in (("low", forced.low, forced.at), ("high", forced.high, beyond)):
        piece = _with(size, forced.axis, long)
        if inner:
            yield from _freed(inner, piece)
        elif forced.spoiled != side and _spoils(forced):
            yield piece


def _spoils(forced: Forced | None) -> bool:
    return forced is not None and (bool(forced.spoiled) or _spoils(forced.low) or _spoils(forced.high))


def _longest_first(node: _Node) -> list[int]:
    return sorted(_AXES, key=lambda axis: -node.size(1 - axis))


def _lines(node: _Node, axis: int, saw: Saw) -> Iterator[_Line]:
    """Yield the cuts along an axis that cross no piece, from the low edge on."""
    for at in _clear(node, axis, saw.kerf):
        yield _Line(axis=axis, at=at, kerf=min(saw.kerf, node.size(axis) - at))


def _some(lines: list[_Line]) -> list[_Line]:
    """Return the first few cuts and the last one, which alone can free the rest: enough to choose from, and quick."""
    return lines[:_MOST_COMPARED] + lines[_MOST_COMPARED:][-1:]


def _can_be_held(node: _Node, line: _Line, saw: Saw) -> bool:
    """Return whether what a cut leaves is large enough to hold, as far as it must be sawn on."""
    on = (piece for piece in _pieces(node, line, 0) if piece.held and not _is_part(piece))
    return all(min(piece.size(0), piece.size(1)) >= saw.smallest_hold for piece in on)


def _preferred(node: _Node, lines: list[_Line], saw: Saw, prefer: Preference, fence: set[int]) -> _Line | None:
    """Return the cut that `prefer` asks for; None when no cut answers to it."""
    if prefer == "settings":
        return next((line for line in lines if line.at in fence), None)
    if prefer == "breakdown" or not lines:
        return None
    best = max(lines, key=lambda line: _rest(node, line, saw))
    return best if _rest(node, best, saw) else None


def _rest(node: _Node, line: _Line, saw: Saw) -> int:
    """Return the area of the offcut that a cut leaves, a piece that holds nothing; 0 when it leaves none."""
    split = node.low[line.axis] + line.at
    sides = [split > _span(laid, line.axis)[0] for laid in node.held]
    if all(sides):
        long = node.size(line.axis) - line.at - line.kerf
    elif not any(sides):
        long = line.at
    else:
        return 0
    across = node.size(1 - line.axis)
    return long * across if min(long, across) >= max(1, saw.smallest_offcut) else 0


def _clear(node: _Node, axis: int, kerf: int) -> Iterator[int]:
    """Yield, rising, the distances along `axis` at which a cut crosses no piece and leaves something to each."""
    spans = sorted(_span(laid, axis) for laid in node.held)
    start, reach = spans[0]
    if start > node.low[axis]:
        # Room before the first piece: cut it off, if it is wider than the blade.
        if start - kerf > node.low[axis]:
            yield start - kerf - node.low[axis]
        return
    for low, high in spans:
        if low >= reach + kerf:
            yield reach - node.low[axis]
        reach = max(reach, high)
    if reach < node.high[axis]:
        yield reach - node.low[axis]


def _span(laid: Laid, axis: int) -> tuple[int, int]:
    return (laid.y, laid.y + laid.way.width) if axis else (laid.x, laid.x + laid.way.length)


def _is_part(node: _Node) -> bool:
    fills = (_span(node.held[0], axis) == (node.low[axis], node.high[axis]) for axis in _AXES)
    return len(node.held) == 1 and all(fills)


def _pieces(node: _Node, line: _Line, parent: int) -> list[_Node]:
    """Return what a cut leaves, the piece at the low edge first; what is forced goes on within them."""
    axis, split, forced = line.axis, node.low[line.axis] + line.at, node.forced
    low, high = (forced.low, forced.high) if forced else (None, None)
    before = tuple(laid for laid in node.held if _span(laid, axis)[0] < split)
    beyond = tuple(laid for laid in node.held if _span(laid, axis)[0] >= split)
    near, far = _with(node.high, axis, split), _with(node.low, axis, split + line.kerf)
    first = _Node(low=node.low, high=near, held=before, parent=parent, forced=low)
    second = _Node(low=far, high=node.high, held=beyond, parent=parent, forced=high)
    return [piece for piece in (first, second) if piece.size(axis) > 0]


def _with(point: tuple[int, int], axis: int, value: int) -> tuple[int, int]:
    return (value, point[1]) if axis == 0 else (point[0], value)


def _regions(nodes: list[tuple[_Node, _Line | None]], saw: Saw, damage: tuple[Blank, ...]) -> Region:
    """Return the root; built from the last node back, so that a deep tree needs no deep recursion."""
    numbers = _numbers(nodes)
    pieces: dict[int, list[Region]] = {}
    for i in range(len(nodes) - 1, -1, -1):
        node, line = nodes[i]
        region = _leaf(node, saw, damage) if line is None else _inner(node, line, numbers[i], pieces.pop(i))
        pieces.setdefault(node.parent, []).insert(0, region)
    return pieces[-1][0]


def _numbers(nodes: list[tuple[_Node, _Line | None]]) -> dict[int, int]:
    """Return the number of the cut through each node: all the shop's cuts come before the first at home."""
    shop = [i for i, (_, line) in enumerate(nodes) if line and line.by == "shop"]
    home = [i for i, (_, line) in enumerate(nodes) if line and line.by == "home"]
    return {i: number for number, i in enumerate(shop + home, 1)}


def _inner(node: _Node, line: _Line, number: int, pieces: list[Region]) -> Region:
    across: Literal["length", "width"] = "width" if line.axis else "length"
    cut = Cut(number=number, across=across, at=to_mm(line.at), kerf=to_mm(line.kerf), by=line.by)
    return replace(_region(node), cut=cut, pieces=tuple(pieces))


def _leaf(node: _Node, saw: Saw, damage: tuple[Blank, ...]) -> Region:
    if node.held:
        laid = node.held[0]
        return replace(_region(node), kind="part", part=laid.name, turned=laid.way.turned)
    large = min(node.size(0), node.size(1)) >= saw.smallest_offcut and not _is_damaged(node, damage)
    kind: LeafKind = "offcut" if large else "waste"
    return replace(_region(node), kind=kind)


def _is_damaged(node: _Node, damage: tuple[Blank, ...]) -> bool:
    piece = Blank(x=node.low[0], y=node.low[1], length=node.size(0), width=node.size(1))
    return any(touch(piece, each) for each in damage)


def _region(node: _Node) -> Region:
    return Region(x=to_mm(node.low[0]), y=to_mm(node.low[1]), length=to_mm(node.size(0)), width=to_mm(node.size(1)))
