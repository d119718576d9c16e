"""The pieces of a bed that slides out: a base, and a comb of slats that slides between the slats of the base."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from layout.model.building import Bar, Hardware, Place
from layout.model.panel import Panel
from layout.model.solid import Solid
from layout.things.base import Shop, Span, board
from layout.things.bed_pieces import Parts, batten, joined, points
from layout.things.bed_slide_frame import SlideFrame
from layout.things.fasten import BEHIND, between, beyond, bolt_item, evenly, moved_clear, sat, to_body_at
from layout.things.piece import in_plane

BACK, BASE_RAIL, FRONT_RAIL, TAIL_RAIL = "back", "base rail", "front rail", "tail rail"
END, DIVIDER, LEG, FIXED, SLIDING = "end", "divider", "leg", "base slat", "sliding slat"


def base(frame: SlideFrame, bar: Bar | None) -> Parts:
    """Return the base: back, ends and dividers, the rail that they carry, and its slats."""
    whole, s = (0.0, frame.length), frame.base_rail
    back = joined(_board(frame, BACK, (0.0, frame.t), whole, (0.0, frame.top)), "butt", "top", FIXED)
    rail = joined(_board(frame, BASE_RAIL, s, whole, (frame.low, frame.top)), "butt", "top", FIXED)
    first, *middle, last = frame.walls
    ends = [_wall(frame, END, p, frame.top) for p in (first, last)]
    passed = frame.top - frame.tail - frame.play  # the tail rail goes over the dividers
    dividers = [_wall(frame, DIVIDER, p, passed) for p in middle]
    panels = Parts(panels=(back, joined(rail, "loose", "top", SLIDING), *ends, *dividers))
    return panels + _slats(frame, FIXED, (0.0, s[1]), frame.slats[::2], bar)


def comb(frame: SlideFrame, bar: Bar | None) -> Parts:
    """Return what slides, as far out as it is: front rail, tail rail, slats and legs."""
    out, t, aside = frame.shift, frame.t, frame.t + frame.play
    front, tail = (frame.closed - t + out, frame.closed + out), (frame.tail_rail[0] + out, frame.tail_rail[1] + out)
    rails = (
        _board(frame, FRONT_RAIL, front, (0.0, frame.length), (frame.low, frame.top)),
        _board(frame, TAIL_RAIL, tail, (aside, frame.length - aside), (frame.top - frame.tail, frame.top)),
    )
    panels = (*(joined(rail, "butt", "top", SLIDING) for rail in rails), *_legs(frame, front[0]))
    return Parts(panels=panels) + _slats(frame, SLIDING, (out, frame.closed + out), frame.slats[1::2], bar)


def hardware(frame: SlideFrame, shop: Shop) -> Parts:
    """Return what holds it to the body and shut on the road, and what its legs turn and stand on."""
    return Parts(
        hardware=(
            *_to_body(frame, shop),
            Hardware(item="latch-toggle", count=int(shop.number("bed", "latches")), why="keeps it shut on the road"),
            *_pivots(frame, shop.number("places", "bolt_more")),
            Hardware(item="foot-rubber", count=len(frame.legs), why="one under each leg"),
        )
    )


def _to_body(frame: SlideFrame, shop: Shop) -> tuple[Hardware, ...]:
    """Return what holds the back to the body: bolts through it, half way up the bays and clear of their walls."""
    end = shop.number("screws", "end")
    count = points(frame.length, shop.number("bed", "body_spacing"), end)
    free = between((0.0, frame.length), frame.walls, shop.number("places", "clear"))
    heads = [
        _place(frame, BACK, frame.t, p, frame.low / 2) for p in moved_clear(evenly((0, frame.length), count, end), free)
    ]
    return to_body_at("holds the back to the body", heads, frame.t)


def _pivots(frame: SlideFrame, more: float) -> tuple[Hardware, ...]:
    """Return the bolts that legs turn on, through the front rail and the leg behind it, with their nuts on the legs."""
    why, z = "a leg turns on it", frame.top - frame.rail / 2
    heads = [_place(frame, FRONT_RAIL, frame.closed + frame.shift, p + frame.leg / 2, z) for p in frame.legs]
    nuts = [Place(on=LEG, at=beyond(h.at, h.face, 2 * frame.t), face=BEHIND[h.face]) for h in heads]
    return sat(bolt_item(2 * frame.t + more), why, heads), sat("tee-nut-m6", why, nuts)


def _place(frame: SlideFrame, on: str, s: float, p: float, z: float) -> Place:
    """Return a place on a face that looks the way out."""
    (x, _), (y, _) = frame.spans((s, s), (p, p))
    return Place(on=on, at=(x, y, z), face=frame.out)


def roles(frame: SlideFrame) -> tuple[tuple[str, int], ...]:
    """Return how many pieces of each role there are."""
    single = [(name, 1) for name in (BACK, BASE_RAIL, FRONT_RAIL, TAIL_RAIL)]
    counted = ((END, 2), (DIVIDER, len(frame.walls) - 2), (LEG, len(frame.legs)))
    return (*single, *counted, (FIXED, frame.sliding + 1), (SLIDING, frame.sliding))


def openings(frame: SlideFrame) -> tuple[Solid, ...]:
    """Return the bays under the base, between its walls and below its rails."""
    bays = ((a[1], b[0]) for a, b in pairwise(frame.walls))
    return tuple(frame.solid("bay", (frame.t, frame.base_rail[1]), p, (0.0, frame.low)) for p in bays)


def _board(frame: SlideFrame, name: str, s: Span, p: Span, z: Span) -> Panel:
    return board(name, frame.sheet, *frame.spans(s, p), z)


def _wall(frame: SlideFrame, name: str, p: Span, high: float) -> Panel:
    """Return an end or a divider: up to the slats, or lower, and notched for the base rail, which stands on it."""
    near, (face, far) = frame.t, frame.base_rail
    panel = _board(frame, name, (near, far), p, (0.0, high))
    ring = ((near, 0.0), (far, 0.0), (far, frame.low), (face, frame.low), (face, high), (near, high))
    corners = [(x[0], y[0], z) for (x, y), z in ((frame.spans((s, s), p), z) for s, z in ring)]
    panel = replace(panel, outline=in_plane(panel, corners))
    return joined(joined(panel, "butt", frame.inward, BACK), "butt", frame.out, BASE_RAIL)


def _legs(frame: SlideFrame, face: float) -> Iterator[Panel]:
    """Yield the legs behind the front rail, whose inner face is at `face`: upright when it is out, else level."""
    s, half = (face - frame.t, face), frame.leg / 2
    bolt = frame.top - frame.rail / 2
    for start, lying in zip(frame.legs, frame.folded(), strict=True):
        p, z = (
            ((start, start + frame.leg), (0.0, bolt + half)) if frame.is_open else (lying, (bolt - half, bolt + half))
        )
        yield joined(_board(frame, LEG, s, p, z), "hinge", frame.out, FRONT_RAIL)


def _slats(frame: SlideFrame, name: str, s: Span, places: tuple[Span, ...], bar: Bar | None) -> Parts:
    z = (frame.top, frame.deck)
    if bar:
        return Parts(battens=tuple(batten(name, bar, *frame.spans(s, p), z) for p in places))
    return Parts(panels=tuple(_board(frame, name, s, p, z) for p in places))
