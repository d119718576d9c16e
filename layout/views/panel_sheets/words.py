"""What is said of a panel: its heading, its sizes, and what meets it, each a short plain sentence."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from layout.model.panel import Side
from layout.model.worked import Alike, Fix, Meet, Ring, Work
from layout.units.length import format_length
from layout.units.mass import format_mass
from layout.views.options import ViewOptions

SIDES: Mapping[Side, str] = {"left": "left end", "right": "right end", "bottom": "lower edge", "top": "upper edge"}
_FINE = 32  # of an inch, for depths and widths of grooves
_ROUND = 8  # a hole of so many corners at one distance from its middle is a round one
_SAME = 0.02
_NAMES = {"near": "this face", "far": "the other face"}


@dataclass(frozen=True, kw_only=True, slots=True)
class Words:
    """How lengths and hardware are told: the options, what each item of hardware is, and which drills a screw needs.

    `drills` are for the piece that a screw goes through, `pilots` for the one that it holds in. `lets` tell how wide
    and how deep the hole is that an item is let into, mm (None: right through).
    """

    options: ViewOptions
    items: Mapping[str, str]
    drills: Mapping[str, str]
    pilots: Mapping[str, str]
    lets: Mapping[str, tuple[float, float | None]] = field(default_factory=dict)

    def drill(self, mm: float) -> str:
        """Return the width of a drill; drills are metric here like the screws themselves, whatever else is said."""
        return format_length(mm, "mm", unit_sign=True)

    def said(self, mm: float) -> str:
        """Return a length as the drawing says it, never broken into lines."""
        return unbroken(self.options.said(mm))

    def fine(self, mm: float) -> str:
        """Return a small length, in 32nds of an inch where the project speaks inches."""
        return unbroken(format_length(mm, self.options.units, denominator=_FINE))

    def item(self, item: str) -> str:
        """Return what an item of hardware is."""
        return unbroken(self.items.get(item, item))


def unbroken(text: str) -> str:
    """Return a text whose words stay in one line."""
    return text.replace(" ", "\u00a0")


def heading(alike: Alike, way: str) -> str:
    """Return the names in the cut list with their counts."""
    named = Counter(work.part for work in alike.every)
    told = [f"{name} ({count})" if len(named) > 1 else name for name, count in named.items()]
    return f"{len(alike.every)} × {', '.join(told)}{way}"


def facts(alike: Alike, way: str, words: Words) -> tuple[str, ...]:
    """Return the lines below the heading: size, material, mass, units, bands, what is mirrored."""
    work = alike.first
    size = f"{words.said(work.length)} × {words.said(work.width)} × {words.fine(work.thickness)}"
    least = work.mass_kg < _LIGHT
    mass = f"{'under ' if least else ''}{format_mass(max(work.mass_kg, _LIGHT), words.options.units)}"
    lines = [f"finished {size}, {work.material}, {mass} each, for {_units(alike)}"]
    if (work.cut_length, work.cut_width) != (work.length, work.width):
        more = f", {words.fine(work.oversize)} over to be cut to fit" if work.oversize else ""
        lines.append(f"saw to {words.said(work.cut_length)} × {words.said(work.cut_width)}{more}")
    lines += [f"edge band {words.fine(mm)} on the {SIDES[side]}" for side, mm in work.bands]
    lines += [_mirrored(alike)] if alike.mirrored else []
    return (*lines, *_stations(alike, way, words))


_FROM = {"x": "from the rear of the unit", "y": "of the middle of the unit", "z": "above its foot"}


def _stations(alike: Alike, way: str, words: Words) -> Iterator[str]:
    """Yield which pieces of a name these are, by where they stand, if others of it are made another way."""
    one_name = len({work.part for work in alike.every}) < len(alike.every)
    mixed = bool(alike.mirrored) and {w.part for w in alike.same} & {w.part for w in alike.mirrored}
    if not way and not mixed:
        return
    heads = ("as drawn: ", "mirror image: ") if alike.mirrored else ("", "")
    several = len({work.group for work in alike.every}) > 1
    if several or not (one_name or way or mixed):
        return
    for head, works in zip(heads, (alike.same, alike.mirrored), strict=True):
        places: dict[str, list[str]] = {}
        for work in works:
            places.setdefault(work.part, []).append(_station(*work.stands, words))
        if places:
            told = "; ".join(f"{part} at {', '.join(dict.fromkeys(at))}" for part, at in places.items())
            yield f"{head}{told} {_FROM[works[0].stands[0]]}"


def _station(axis: str, mm: float, words: Words) -> str:
    """Return where a piece begins along an axis; to the right is told in words, not by a sign."""
    if axis != "y":
        return words.said(mm)
    return f"{words.said(abs(mm))}\u00a0{'left' if mm >= 0 else 'right'}"


_FEW = 3
_LIGHT = 0.1  # kg


def _units(alike: Alike) -> str:
    units = list(dict.fromkeys(one.unit for one in alike.every))
    return f"{units[0]} to {units[-1]}" if len(units) > _FEW else ", ".join(units)


def _mirrored(alike: Alike) -> str:
    """Return how many are made as drawn and how many as a mirror image, by name where names tell them apart."""
    names = [dict.fromkeys(work.part for work in some) for some in (alike.same, alike.mirrored)]
    if set(names[0]) & set(names[1]):
        return f"{_pieces(len(alike.same))} as drawn, {_pieces(len(alike.mirrored))} as its mirror image"
    return f"{', '.join(names[0])} as drawn, {', '.join(names[1])} as its mirror image"


def _pieces(count: int) -> str:
    return "1 piece" if count == 1 else f"{count} pieces"


_LOOKS = {
    "rear": "back", "front": "forward", "right": "to the right", "left": "to the left", "bottom": "down", "top": "up",
}  # fmt: skip


def face_words(alike: Alike) -> str:
    """Return which face is drawn, where it looks and which is the good one."""
    work, ways = alike.first, {one.looks for one in alike.every}
    looks = f"this face looks {_LOOKS[work.looks]} in the unit; " if len(ways) == 1 else ""
    good = f"good face: {_NAMES[work.good]}" if work.good else "either face may be seen"
    grain = {"along": "grain left to right", "across": "grain up and down", "free": "grain either way"}[work.grain]
    return f"{looks}{good}; {grain}"


def meet_words(meet: Meet, words: Words) -> str:
    """Return what is done where others meet the panel."""
    to = " / ".join(meet.to)
    if meet.cut:
        return _cut(meet, to, words)
    said = _edge(meet, to, words) if meet.side else _seat(meet, to)
    held = "; ".join(dict.fromkeys(_fixed(fix, meet, words) for fix in meet.fixes))
    return f"{said}: {held}" if held else said


def _cut(meet: Meet, to: str, words: Words) -> str:
    u0, v0, u1, v1 = meet.rect
    wide = min(u1 - u0, v1 - v0)
    size = f"{words.fine(wide)} wide, {words.fine(meet.depth)} deep"
    return f"{meet.kind} in {_NAMES[meet.face or 'near']}, {size}, for {to}"


def _seat(meet: Meet, to: str) -> str:
    if meet.kind == "loose":
        return f"lies here on {to}, loose"
    where = "" if meet.face == "near" else " on the other face"
    return f"{to} is joined here{where}"


_MEETS = {
    "butt": "butts against", "batten": "on", "corner block": "blocks to", "insert": "bolted to", "bolt": "bolted to",
    "rebate": "into the rebate of", "groove": "into the groove of", "housing": "into the housing of",
}  # fmt: skip


def _edge(meet: Meet, to: str, words: Words) -> str:
    deep = f", {words.fine(meet.depth)} deep" if meet.depth else ""
    return f"{SIDES[meet.side or 'left']} {_MEETS.get(meet.kind, meet.kind)} {to}{deep}"


def places_words(meets: Sequence[Meet], work: Work, words: Words) -> str:
    """Return from where to where along an edge alike joints reach; empty where it is all of it, or on a face."""
    spans = sorted(span for meet in meets if (span := edge_span(meet, work)))
    if not spans:
        return ""
    start = "lower edge" if meets[0].side in ("left", "right") else "left end"
    steps = [b[0] - a[0] for a, b in pairwise(spans)]
    even = all(abs(step - steps[0]) < _EVEN for step in steps) and all(
        abs((b - a) - (spans[0][1] - spans[0][0])) < _EVEN for a, b in spans
    )
    if even and len(spans) > _FEW:
        wide = words.said(spans[0][1] - spans[0][0])
        first, step = words.said(spans[0][0]), words.said(steps[0])
        return f"; {len(spans)} places, each {wide} long, the first {first} from the {start}, then one every {step}"
    told = ", ".join(unbroken(f"{words.said(low)} to {words.said(high)}") for low, high in spans)
    return f"; {told} from the {start}"


def edge_span(meet: Meet, work: Work) -> tuple[float, float] | None:
    """Return from where to where along its edge a joint reaches, mm; None where it is all of it, or on a face."""
    if meet.side is None:
        return None
    upright = meet.side in ("left", "right")
    low, high = (meet.rect[1], meet.rect[3]) if upright else (meet.rect[0], meet.rect[2])
    size = work.width if upright else work.length
    # What the corner loses to the joint round it is not worth telling.
    return None if high - low > size - _CORNER * work.thickness else (low, high)


_EVEN = 0.2  # mm
_CORNER = 2.5


def _fixed(fix: Fix, meet: Meet, words: Words) -> str:
    many = f"{fix.count}\u00a0×\u00a0{words.item(fix.item)}"
    if fix.role == "into":
        pilot = words.pilots.get(fix.item, "")
        return f"{many} come in here{f', pilot holes {unbroken(pilot)}' if pilot else ''}"
    places = f"{words.said(fix.end)} from both ends, {words.said(fix.apart)} apart"
    places = "in the middle" if fix.count == 1 else places
    if fix.role == "block":
        return f"{many}, {places}, each with {fix.per}\u00a0×\u00a0{words.item(fix.screw)}"
    drill = words.drills.get(fix.item, "")
    through = f"drill {unbroken(drill)}, " if drill else "drill, "
    return f"{through if fix.role == 'through' else ''}{many}, {places}"


def hole_words(ring: Ring, words: Words) -> str:
    """Return what a hole is: round with its diameter, or its length and width."""
    across = round_hole(ring)
    if across is not None:
        return f"round hole, {words.said(across)} across"
    us, vs = zip(*ring, strict=True)
    return f"hole {words.said(max(us) - min(us))} × {words.said(max(vs) - min(vs))}"


def round_hole(ring: Ring) -> float | None:
    """Return the diameter of a hole that is round, mm; None for any other."""
    (x, y), away = middle(ring), []
    for u, v in ring:
        away.append(((u - x) ** 2 + (v - y) ** 2) ** 0.5)
    return 2 * away[0] if len(ring) >= _ROUND and max(away) - min(away) < _SAME else None


def middle(ring: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """Return the middle of an outline's corners."""
    return sum(u for u, _ in ring) / len(ring), sum(v for _, v in ring) / len(ring)
