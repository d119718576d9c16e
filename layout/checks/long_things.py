"""Rule ``long-things``: the longest straight item that lies inside with the doors closed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import atan2, degrees

import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from layout.checks.context import Context
from layout.model.finding import Finding
from layout.model.layout import Placed
from layout.model.rule import Rule
from layout.space.aisle import Segment, free_floor, longest_straight
from layout.space.space import TOUCH, Space
from layout.space.spanned import may_hold

RULE = "long-things"
_LEVELS = 3  # tops of things that are looked at, the largest first
_CORNERS = 120  # a floor with more is too crowded for the search, and for anything long
_STRAIGHT_DEG = 3.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Item:
    """The longest item at a height: `length` without its padding, mm, and its middle line with the padding."""

    z: float
    length: float
    line: Segment


def check(context: Context) -> Iterator[Finding]:
    """Yield a note of how long an item lies on the floor and elsewhere; a warning if the owner wishes for more."""
    states = dict(context.states)
    for state in ("drive",) if "drive" in states else tuple(states):
        things, rule = states[state], context.rules[RULE]
        found = _found(context.space, things, rule)
        if found:
            yield _finding(context, state, things, found)


def longest_at(space: Space, things: Sequence[Placed], rule: Rule, z: float, more_than: float = 0.0) -> Item | None:
    """Return the longest item that lies level with its foot at `z` mm, past `things`; None if none does.

    Never too long; it may be too short by the item's own width where it reaches into gaps narrower than itself. None
    too where it is certain that none is longer than `more_than` mm.
    """
    free = _floor(space, things, rule, z)
    return _longest(free, rule, z, more_than) if _is_plain(free) else None


def _found(space: Space, things: Sequence[Placed], rule: Rule) -> list[Item]:
    """Return the longest item on the floor, and those at other heights that are longer than all before, or may be.

    The plainest heights come first: their items are the longest, mostly, and rule the others out.
    """
    floors = ((z, _floor(space, things, rule, z)) for z in _levels(space, things, rule))
    plain = [(z, free) for z, free in floors if _is_plain(free)]
    found: list[Item] = []
    for z, free in sorted(plain, key=lambda at: (at[0] > 0.0, shapely.get_num_coordinates(at[1]), at[0])):
        item = _longest(free, rule, z, max((item.length for item in found), default=0.0))
        if item is not None:
            found.append(item)
    return found


def _longest(free: BaseGeometry, rule: Rule, z: float, more_than: float) -> Item | None:
    pad = 2 * rule["padding"]
    width = rule["width"] + pad
    if more_than > 0 and not may_hold(free, width, more_than + pad):
        return None
    length, line = longest_straight(free, width)
    return Item(z=z, length=length - pad, line=line) if line is not None and length > pad else None


def _floor(space: Space, things: Sequence[Placed], rule: Rule, z: float) -> BaseGeometry:
    """Return where an item with its padding may lie at a height."""
    pad = 2 * rule["padding"]
    top = z + rule["height"] + pad
    if top > space.height:
        return Polygon()
    solids = [solid for placed in things for solid in placed.solids]
    return _wide_enough(free_floor(space, solids, z, top), rule["width"] + pad)


def _is_plain(free: BaseGeometry) -> bool:
    return not free.is_empty and int(shapely.get_num_coordinates(free)) <= _CORNERS


def _wide_enough(free: BaseGeometry, width: float) -> BaseGeometry:
    """Return the floor without what is narrower than the item, which only makes the search slow."""
    half = width / 2 - TOUCH
    core = free.buffer(-half, join_style="mitre")
    return core.buffer(half, join_style="mitre").intersection(free).simplify(TOUCH)


def _levels(space: Space, things: Sequence[Placed], rule: Rule) -> list[float]:
    """Return the floor and the tops of what is largest in plan, mm, rising."""
    tops: dict[float, float] = {}
    for outline, top in (*((p.box.bounds, p.box.z1) for p in things), *_fixed(space)):
        x0, y0, x1, y1 = outline
        tops[round(top, 1)] = max(tops.get(round(top, 1), 0.0), (x1 - x0) * (y1 - y0))
    under = [z for z in tops if 0.0 < z < space.height - rule["height"]]
    return [0.0, *sorted(sorted(under, key=lambda z: (-tops[z], z))[:_LEVELS])]


def _fixed(space: Space) -> Iterator[tuple[tuple[float, float, float, float], float]]:
    for obstacle in space.obstacles:
        xs, ys = zip(*obstacle.outline, strict=True)
        yield (min(xs), min(ys), max(xs), max(ys)), obstacle.z1


def _finding(context: Context, state: str, things: Sequence[Placed], found: Sequence[Item]) -> Finding:
    rule = context.rules[RULE]
    best = max(found, key=lambda item: (item.length, -item.z))
    wanted = rule["wanted"]
    short = wanted - best.length
    is_short = short > TOUCH
    (ax, ay), (bx, by) = best.line
    return Finding(
        rule=RULE, severity="warn" if is_short else "note", things=(), states=(state,),
        measured=round(best.length, 3), wanted=round(wanted, 3) if wanted else None,
        short_by=round(max(short, 0.0), 3) if wanted else None,
        line=((ax, ay, best.z), (bx, by, best.z)), text=_text(context, found, best),
        cure=_cure(context, things, best) if is_short else "",
    )  # fmt: skip


def _text(context: Context, found: Sequence[Item], best: Item) -> str:
    rule, say = context.rules[RULE], context.say
    size = f"the longest straight item of {say(rule['width'])} by {say(rule['height'])}"
    floor = next((item for item in found if item.z == 0.0), None)
    wish = f", {say(rule['wanted'])} wanted" if rule["wanted"] > best.length + TOUCH else ""
    if floor is None:
        return f"{size} lies at height {say(best.z)}: {_said(context, best)}{wish}; on the floor none finds room"
    text = f"{size} that lies on the floor is {_said(context, floor)}"
    if best is not floor:
        text += f"; at height {say(best.z)} it is {_said(context, best)}"
    return text + wish


def _said(context: Context, item: Item) -> str:
    return f"{context.say(context.down(item.length))}, {_where(context.space, item)}"


def _where(space: Space, item: Item) -> str:
    """Say how an item lies."""
    (ax, ay), (bx, by) = sorted(item.line)
    x, y, angle = (ax + bx) / 2, (ay + by) / 2, abs(degrees(atan2(by - ay, bx - ax)))
    if angle > 90.0 - _STRAIGHT_DEG:
        return f"across, {_third(x, *space.bounds[::2], ('at the rear', 'in the middle', 'at the front'))}"
    if angle < _STRAIGHT_DEG:
        half = space.half_width(x, item.z, left=y > 0)
        return f"lengthwise {_third(y, -half, half, ('on the right', 'in the middle', 'on the left'))}"
    ends = ("right", "left") if by > ay else ("left", "right")
    return f"aslant from the rear {ends[0]} to the front {ends[1]}"


def _third(at: float, low: float, high: float, words: tuple[str, str, str]) -> str:
    return words[min(max(int(3 * (at - low) / (high - low)), 0), 2)]


def _cure(context: Context, things: Sequence[Placed], best: Item) -> str:
    """Say which thing, were it elsewhere, would let an item of the wanted length lie there: tried."""
    rule = context.rules[RULE]
    gains: list[tuple[float, str]] = []
    for placed in _touching(things, rule, best):
        rest = [other for other in things if other is not placed]
        item = longest_at(context.space, rest, rule, best.z, rule["wanted"] - 2 * TOUCH)
        if item is not None and item.length >= rule["wanted"] - TOUCH:
            gains.append((-item.length, placed.name))
    if gains:
        length, name = min(gains)
        return f"with {name} elsewhere {context.say(context.down(-length))} fit there"
    return "carry it outside, or make it in two pieces; no single thing moved makes room for it"


def _touching(things: Sequence[Placed], rule: Rule, item: Item) -> list[Placed]:
    """Return what touches the padded item."""
    half = rule["width"] / 2 + rule["padding"] + 1.0
    around = shapely.LineString(item.line).buffer(half, cap_style="square")
    top = item.z + rule["height"] + 2 * rule["padding"]
    return [
        p
        for p in things
        if any(s.z0 < top and s.z1 > item.z and around.intersects(Polygon(s.outline)) for s in p.solids)
    ]
