"""Panels that are made alike, of all units: found whichever way they are turned, turned over, or mirrored."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product

from layout.model.cutting import Grain
from layout.model.panel import Side
from layout.model.solid import Point
from layout.model.worked import Alike, Face, Meet, Rect, Work

_DIGITS = 1  # of a millimetre: what two saws make alike
_HALF = 1e-4
_TURNED: dict[Grain, Grain] = {"along": "across", "across": "along", "free": "free"}
_SWAPPED: dict[Side, Side] = {"left": "bottom", "right": "top", "bottom": "left", "top": "right"}
_ALONG: dict[Side, Side] = {"left": "right", "right": "left"}
_ACROSS: dict[Side, Side] = {"bottom": "top", "top": "bottom"}
_OVER: dict[Face | None, Face | None] = {"near": "far", "far": "near", None: None}
Pose = tuple[bool, bool, bool]
Key = tuple[object, ...]
_PLAIN: Pose = (False, False, False)


def alike(panels: Sequence[Work]) -> tuple[Alike, ...]:
    """Return the panels grouped by how they are made, in the order of the first of each group.

    Two are alike if one is the other turned or turned over: outline, holes, bands, grain, good face, cuts, what is
    drilled and where others meet it. One that is so only as seen in a mirror is told apart within the group.
    """
    groups: list[tuple[Key, list[Work], list[Work]]] = []
    where: dict[Key, tuple[int, bool]] = {}
    for work in panels:
        keys = [(_key(work, pose, over=_odd(pose)), False) for pose in _poses()]
        found = next((where[key] for key, _ in keys if key in where), None)
        if found is None:
            found = (len(groups), False)
            groups.append((_key(work, _PLAIN, over=False), [], []))
            for pose in _poses():
                where.setdefault(_key(work, pose, over=not _odd(pose)), (found[0], True))
            where[_key(work, _PLAIN, over=False)] = found
        _, same, mirrored = groups[found[0]]
        (mirrored if found[1] else same).append(work)
    return tuple(_group(same, mirrored) for _, same, mirrored in groups)


def _poses() -> Iterator[Pose]:
    yield from product((False, True), repeat=3)


def _odd(pose: Pose) -> bool:
    return sum(pose) % 2 == 1


def _group(same: Sequence[Work], mirrored: Sequence[Work]) -> Alike:
    return Alike(first=_named(same[0], [*same, *mirrored]), same=tuple(same), mirrored=tuple(mirrored))


def _named(first: Work, others: Sequence[Work]) -> Work:
    """Return the first with the names of what meets any of the others at each place."""
    places = sorted(range(len(first.meets)), key=lambda i: _meet_key(first.meets[i], first, _PLAIN, over=False))
    names: dict[int, dict[str, None]] = {i: dict.fromkeys(first.meets[i].to) for i in places}
    wanted = _key(first, _PLAIN, over=False)
    for other in others:
        pose, over = next((p, o) for p in _poses() for o in (_odd(p), not _odd(p)) if _key(other, p, over=o) == wanted)
        ordered = sorted(other.meets, key=lambda meet: _meet_key(meet, other, pose, over=over))
        for i, meet in zip(places, ordered, strict=True):
            names[i] |= dict.fromkeys(meet.to)
    meets = tuple(replace(meet, to=tuple(names[i])) for i, meet in enumerate(first.meets))
    return replace(first, meets=meets, loose=tuple(dict.fromkeys(said for other in others for said in other.loose)))


def _key(work: Work, pose: Pose, *, over: bool) -> Key:
    """Return all that tells a panel from another, as it is when posed so; `over`: with its faces changed."""
    return (
        work.material, round(work.thickness, _DIGITS), round(work.oversize, _DIGITS),
        _TURNED[work.grain] if pose[0] else work.grain, _OVER[work.good] if over else work.good,
        _ring([_point(p, work, pose) for p in work.outline]),
        tuple(sorted(_ring([_point(p, work, pose) for p in hole]) for hole in work.holes)),
        tuple(sorted((_side(side, pose), mm) for side, mm in work.bands)),
        tuple(sorted(_meet_key(meet, work, pose, over=over) for meet in work.meets)),
        tuple(sorted((f.item, _point(f.at, work, pose), (_OVER[f.face] if over else f.face) or "")
                     for f in work.fittings)),
    )  # fmt: skip


def _meet_key(meet: Meet, work: Work, pose: Pose, *, over: bool) -> tuple[object, ...]:
    side = _side(meet.side, pose) if meet.side else ""
    face = (_OVER[meet.face] if over else meet.face) or ""
    fixes = tuple((f.item, f.count, round(f.end, _DIGITS), f.role) for f in meet.fixes)
    return _rect(meet.rect, work, pose), meet.kind, side, face, round(meet.depth, _DIGITS), meet.cut, fixes


def _point(p: Point, work: Work, pose: Pose) -> Point:
    swap, u, v = pose
    (a, b), (long, wide) = (p[::-1], (work.width, work.length)) if swap else (p, (work.length, work.width))
    return _rounded(long - a if u else a), _rounded(wide - b if v else b)


def _rounded(mm: float) -> float:
    """Return a length to a tenth; halves go up whatever a float makes of them, and nought is never minus nought."""
    return round(mm + _HALF, _DIGITS) + 0.0


def _rect(rect: Rect, work: Work, pose: Pose) -> Rect:
    p, q = _point(rect[:2], work, pose), _point(rect[2:], work, pose)
    return min(p[0], q[0]), min(p[1], q[1]), max(p[0], q[0]), max(p[1], q[1])


def _side(side: Side, pose: Pose) -> Side:
    swap, u, v = pose
    side = _SWAPPED[side] if swap else side
    side = _ALONG.get(side, side) if u else side
    return _ACROSS.get(side, side) if v else side


def _ring(points: Sequence[Point]) -> tuple[Point, ...]:
    """Return a ring told from its lowest corner on, in the direction that tells the lower corners first."""
    ways = [tuple(points), tuple(points[::-1])]
    starts = [way.index(min(way)) for way in ways]
    return min(way[at:] + way[:at] for way, at in zip(ways, starts, strict=True))


def counted(panels: Sequence[Work]) -> tuple[tuple[str, int], ...]:
    """Return the names in the cut list, each with how many of the panels carry it, in the order first seen."""
    return tuple(Counter(work.part for work in panels).items())
