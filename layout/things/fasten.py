"""Where hardware sits: points along a line that miss what stands in the way, and bolts with what holds them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from layout.model.building import BODY, Hardware, Place
from layout.model.motion import Face
from layout.things.base import Span

Point3 = tuple[float, float, float]
#: The face that a bolt comes out of, by the one that it goes in at.
BEHIND: dict[Face, Face] = {
    "front": "rear", "rear": "front", "left": "right", "right": "left", "top": "bottom", "bottom": "top",
}  # fmt: skip
_AXES: dict[Face, tuple[int, int]] = {
    "rear": (0, 1), "front": (0, -1), "right": (1, 1), "left": (1, -1), "bottom": (2, 1), "top": (2, -1),
}  # fmt: skip
# Items of the hardware catalogue by length, mm.
_BOLTS = ((20.0, "bolt-m6x20"), (30.0, "bolt-m6x30"), (40.0, "bolt-m6x40"), (50.0, "bolt-m6x50"), (60.0, "bolt-m6x60"),
          (80.0, "bolt-m6x80"))  # fmt: skip
_HAIR = 1e-9


def beyond(at: Point3, face: Face, mm: float) -> Point3:
    """Return the point `mm` behind a point of a surface that looks toward `face`."""
    axis, way = _AXES[face]
    x, y, z = (value + way * mm if i == axis else value for i, value in enumerate(at))
    return x, y, z


def sat(item: str, why: str, places: Iterable[Place]) -> Hardware:
    """Return an item once at each of those places."""
    told = tuple(places)
    return Hardware(item=item, count=len(told), why=why, places=told)


def bolted(why: str, heads: Sequence[Place], thick: float, more: float) -> tuple[Hardware, ...]:
    """Return bolts with tee nuts through wood `thick` mm thick, their heads at `heads`, `more` mm longer than it."""
    if not heads:
        return ()
    nuts = (Place(on=p.on, at=beyond(p.at, p.face, thick), face=BEHIND[p.face]) for p in heads)
    return sat(bolt_item(thick + more), why, heads), sat("tee-nut-m6", why, nuts)


def bolt_item(wanted: float) -> str:
    """Return the shortest M6 bolt of the catalogue that is `wanted` mm long, or else the longest."""
    return next((item for length, item in _BOLTS if length >= wanted - _HAIR), _BOLTS[-1][1])


def to_body_at(why: str, heads: Sequence[Place], depth: float) -> tuple[Hardware, ...]:
    """Return inserts in the body with their screws, whose heads are at `heads`, `depth` mm before the body."""
    inserts = (Place(on=BODY, at=beyond(p.at, p.face, depth), face=p.face) for p in heads)
    return sat("insert-m8-body", why, inserts), sat("bolt-m8x40", why, heads)


def evenly(span: Span, count: int, end: float) -> list[float]:
    """Return `count` places along a span, the first and the last `end` from its ends; one stands in the middle."""
    low, high = span[0] + end, span[1] - end
    if count == 1 or high < low:
        return [(span[0] + span[1]) / 2] * count
    return [low + (high - low) * i / (count - 1) for i in range(count)]


def between(span: Span, blocked: Sequence[Span], clear: float) -> list[Span]:
    """Return the parts of a span that are `clear` of what is blocked; where there is less room, the middle of it."""
    edges = [span[0], *(mm for b in sorted(blocked) for mm in b), span[1]]
    gaps = [(low, high) for low, high in zip(edges[::2], edges[1::2], strict=True) if high - low > _HAIR]
    middles = ((low + high) / 2 for low, high in gaps)
    return [
        (low + clear, high - clear) if high - low > 2 * clear else (m, m)
        for (low, high), m in zip(gaps, middles, strict=True)
    ]


def moved_clear(wanted: Iterable[float], free: Sequence[Span]) -> list[float]:
    """Return each place, moved to the nearest one that is free."""
    return [min((min(max(mm, low), high) for low, high in free), key=lambda at: abs(at - mm)) for mm in wanted]
