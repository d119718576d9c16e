"""Where the hardware of a bin rack sits: what holds it to the body, and the slots that its straps go through."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from layout.model.building import BODY, Hardware, Place
from layout.model.panel import Panel
from layout.things.base import Shop, Span
from layout.things.carcass import Carcass
from layout.things.fasten import between, bolted, evenly, moved_clear, sat, to_body_at
from layout.things.piece import in_plane

Spans = Sequence[Span]


def to_the_body(carcass: Carcass, columns: Spans, rows: Spans, shop: Shop) -> Iterator[Hardware]:
    """Yield what holds a rack to the wall behind it, under the shelf of its lowest row and under its top.

    There is room over the bins there. Bolts go through the back; a rack without one has brackets under the boards.
    """
    if "places" not in shop.rules:
        return
    spots = _spots(carcass, columns, rows, shop)
    if carcass.back == "none":
        yield from _bracketed(carcass, spots, shop)
        return
    x, drop = carcass.inside_x[0], shop.number("places", "body_drop")
    behind = f"; behind each a block {carcass.inset:g} thick" if carcass.back == "groove" else ""
    heads = [Place(on="back", at=(x, y, z - min(drop, room / 2)), face="front") for y, z, room in spots]
    yield from to_body_at(f"holds it to the body through its back{behind}", heads, x)


def _spots(carcass: Carcass, columns: Spans, rows: Spans, shop: Shop) -> list[tuple[float, float, float]]:
    """Return for each fastening its place across the rack, the height of the board over it, and of the room there."""
    count = round(shop.number("carcass", "points"))
    levels = [rows[0], rows[-1]] if len(rows) > 1 and count > 1 else [rows[-1]]
    walls = [(right, left) for (_, right), (left, _) in pairwise(columns)]
    free = between(carcass.inside_y, walls, shop.number("places", "clear"))
    found = []
    for i, (low, high) in enumerate(levels):
        share = count // len(levels) + (i < count % len(levels))
        wanted = evenly(carcass.inside_y, share, min(shop.number("places", "body_in"), carcass.width / 4))
        found += [(y, high, high - low) for y in moved_clear(wanted, free)]
    return found


def _bracketed(carcass: Carcass, spots: Sequence[tuple[float, float, float]], shop: Shop) -> Iterator[Hardware]:
    """Yield angle brackets in the corner of board and wall, bolted to the board and to the body."""
    out, why = shop.number("places", "bracket"), "holds it to the body under its boards"
    thick, more = carcass.sheet.thickness, shop.number("places", "bolt_more")
    high = carcass.height - thick
    heads = [
        Place(on="top" if z > high - 1.0 else "shelf", at=(out, y, z), face="bottom") for y, z, _ in spots
    ]  # fmt: skip
    yield sat("bracket-angle", why, heads)
    yield from bolted("holds a bracket to its board", heads, thick, more)
    down = [min(out, room / 2) for *_, room in spots]
    body = [Place(on=BODY, at=(0.0, y, z - mm), face="front") for (y, z, _), mm in zip(spots, down, strict=True)]
    yield from to_body_at(why, body, 0.0)


def slotted(side: Panel, carcass: Carcass, rows: Spans, shop: Shop) -> Panel:
    """Return a side with a slot for the strap of each row, near its front edge, half way up the row."""
    holes = []
    for z, high, x, wide in _slots(carcass, rows, shop):
        y = side.at[1]
        ring = ((x - wide, z - high), (x + wide, z - high), (x + wide, z + high), (x - wide, z + high))
        holes.append(in_plane(side, [(u, y, v) for u, v in ring]))
    return replace(side, holes=(*side.holes, *holes))


def _slots(carcass: Carcass, rows: Spans, shop: Shop) -> Iterator[tuple[float, float, float, float]]:
    """Yield height, half height, distance from the rear and half width of each slot, mm."""
    half, wide = shop.number("places", "strap_slot") / 2, shop.number("places", "strap_width") / 2
    for low, high in rows:
        yield (low + high) / 2, min(half, (high - low) / 4), carcass.length - shop.number("places", "strap_in"), wide


def straps(carcass: Carcass, rows: Spans, shop: Shop) -> tuple[Hardware, ...]:
    """Return a strap for each row: its loop goes through the slot of the left side, its end through the right one's."""
    why = "keeps the bins of a row in on the road"
    if "places" not in shop.rules:
        return (Hardware(item="strap-ratchet", count=len(rows), why=why),)
    edge = shop.number("places", "edge")
    places = [
        # Beside the slot, on the wood that its loop goes round.
        Place(on="side", at=(x + wide + edge, carcass.width / 2, z), face="left")
        for z, _, x, wide in _slots(carcass, rows, shop)
    ]
    return (sat("strap-ratchet", why, places),)
