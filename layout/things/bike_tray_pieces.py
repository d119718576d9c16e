"""The pieces of a tray for bicycles: boards, lips, what holds wheels and forks, and what it slides on."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from layout.model.building import Hardware
from layout.model.panel import Panel
from layout.things.base import Shop, Span, board
from layout.things.bed_pieces import Parts, batten, joined, points, to_body
from layout.things.bike_berths import RULE, Berth, Holder
from layout.things.bike_tray_frame import (
    BEARER,
    BLOCK,
    BOARD,
    CHEEK,
    END_LIP,
    FLOOR,
    RAIL,
    SIDE_LIP,
    STOP,
    STRIP,
    TROUGH,
    TrayFrame,
)


def pieces(frame: TrayFrame, shop: Shop) -> Parts:
    """Return all pieces of a tray and its hardware, without screws and glue."""
    held = (panel for berth, holder in frame.holders for panel in _holder(frame, berth, holder))
    panels = (*_boards(frame), *_strips(frame), *held, *_slid(frame))
    return Parts(panels=panels) + _lips(frame) + Parts(hardware=tuple(_hardware(frame, shop)))


def _boards(frame: TrayFrame) -> Iterator[Panel]:
    last = len(frame.boards) - 1
    for i, y in enumerate(frame.boards):
        panel = board(BOARD, frame.sheet, (0.0, frame.length), y, (frame.foot, frame.level))
        if frame.bar:
            panel = joined(panel, "batten", "top", END_LIP, *([SIDE_LIP] if i in (0, last) else []))
        yield panel


def _strips(frame: TrayFrame) -> Iterator[Panel]:
    """Yield the strips over the joints of boards, between the lips at both ends."""
    x, z = (frame.lip_t, frame.length - frame.lip_t), (frame.level, frame.level + frame.t)
    for seam in frame.seams:
        y = (seam - frame.strip / 2, seam + frame.strip / 2)
        yield joined(board(STRIP, frame.sheet, x, y, z), "butt", "bottom", BOARD)


def _lips(frame: TrayFrame) -> Parts:
    """Return the lips: two over the whole length, two between them."""
    t, half, z = frame.lip_t, frame.half, (frame.level, frame.level + frame.lip)
    sides = [((0.0, frame.length), y) for y in ((-half, t - half), (half - t, half))]
    ends = [(x, (t - half, half - t)) for x in ((0.0, t), (frame.length - t, frame.length))]
    if frame.bar:
        placed = [(SIDE_LIP, spans) for spans in sides] + [(END_LIP, spans) for spans in ends]
        return Parts(battens=tuple(batten(name, frame.bar, *spans, z) for name, spans in placed))
    strips = [joined(board(SIDE_LIP, frame.sheet, *spans, z), "butt", "bottom", BOARD) for spans in sides]
    for spans in ends:
        strip = joined(board(END_LIP, frame.sheet, *spans, z), "butt", "bottom", BOARD)
        strips.append(joined(strip, "butt", "left", SIDE_LIP))
    return Parts(panels=tuple(strips))


def _holder(frame: TrayFrame, berth: Berth, holder: Holder) -> Iterator[Panel]:
    x, y, low = berth.along(holder), (berth.y - holder.half, berth.y + holder.half), frame.level
    if holder.does == "trough":
        yield from _trough(frame, x, y, berth.rise)
        return
    top = low + berth.rise
    block = board(BLOCK, frame.sheet, x, y, (top - frame.t, top))
    if berth.rise == frame.t:
        yield joined(block, "butt", "bottom", BOARD)
        return
    yield joined(block, "butt", "bottom", CHEEK)
    for inner in ((y[0], y[0] + frame.t), (y[1] - frame.t, y[1])):
        yield joined(board(CHEEK, frame.sheet, x, inner, (low, top - frame.t)), "butt", "bottom", BOARD)


def _trough(frame: TrayFrame, x: Span, y: Span, rise: float) -> Iterator[Panel]:
    """Yield two sides on the board and, where the wheel stands higher than that, a floor between them."""
    low, t = frame.level, frame.t
    for outer in ((y[0] - t, y[0]), (y[1], y[1] + t)):
        side = board(TROUGH, frame.sheet, x, outer, (low, low + rise + frame.side))
        yield joined(side, "butt", "bottom", BOARD)
    if rise:
        floor = joined(board(FLOOR, frame.sheet, x, y, (low + rise - t, low + rise)), "butt", "left", TROUGH)
        yield joined(floor, "butt", "bottom", BOARD) if rise == t else floor


def _slid(frame: TrayFrame) -> Iterator[Panel]:
    """Yield bearers under the board and, fixed to the floor, two rails and the stop that bearers run up against."""
    if frame.slides is None:
        return
    length, t, low, front = frame.length, frame.t, frame.slides.run, frame.slides.front
    stop, bearer = ((0.0, t), (t, length)) if front else ((length - t, length), (0.0, length - t))
    for y in frame.bearers:
        panel = joined(board(BEARER, frame.sheet, bearer, y, (low, frame.foot)), "butt", "top", BOARD)
        yield joined(panel, "loose", "rear" if front else "front", STOP)
    fixed, inner = (0.0, frame.foot - low), frame.rail[0]
    for y in ((-frame.half, -inner), frame.rail):
        yield board(RAIL, frame.sheet, (0.0, length), y, fixed)
    yield joined(board(STOP, frame.sheet, stop, (-inner, inner), fixed), "butt", "left", RAIL)


def _hardware(frame: TrayFrame, shop: Shop) -> Iterator[Hardware]:
    mounted = [berth.bike for berth in frame.berths if berth.bike.is_mounted]
    for axle, count in Counter(bike.axle for bike in mounted).items():
        yield Hardware(item=f"fork-mount-{axle}", count=count, why="one for each bicycle with such an axle")
    bolts = int(shop.number(RULE, "mount_bolts")) * len(mounted)
    if bolts:
        yield from (Hardware(item=item, count=bolts, why="fork mounts") for item in ("bolt-m6x30", "tee-nut-m6"))
    yield from _straps(frame, shop)
    count = 2 * points(frame.length, shop.number(RULE, "body_spacing"), shop.number("screws", "end"))
    yield from to_body(count, "holds the rails to the body" if frame.slides else "holds the tray to the body")
    if frame.slides:
        yield Hardware(item="slides-heavy-pair", count=1, why=f"{frame.slides.length:g} long, carry the tray")
        yield Hardware(item="latch-toggle", count=int(shop.number(RULE, "locks")), why="keeps the tray in on the road")


def _straps(frame: TrayFrame, shop: Shop) -> Iterator[Hardware]:
    for berth in frame.berths:
        number = "straps_mounted" if berth.bike.is_mounted else "straps_whole"
        yield Hardware(item="strap-ratchet", count=int(shop.number(RULE, number)), why=f"holds {berth.bike.name}")
    if frame.wheels:
        yield Hardware(item="strap-ratchet", count=len(frame.wheels), why="one for each loose wheel")
