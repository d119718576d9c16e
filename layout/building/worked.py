"""Panels on the bench: which face is worked, what is cut into it and drilled, what meets each edge; alike ones once."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from layout.building.contacts import CUT_IN, Contact, contacts
from layout.building.fixings import BLOCK, Fixing, joint_fixings
from layout.building.offsets import offsets
from layout.building.pieces import Piece, pieces_of
from layout.building.prism import AXES, Box, meeting
from layout.model.motion import Face as Way
from layout.model.panel import Axis, Panel, Side
from layout.model.rule import Rule
from layout.model.solid import Point
from layout.model.thing import Thing
from layout.model.worked import EdgeTable, Face, Fitting, Fix, Meet, Rect, Role, Work

_DIGITS = 3
_LEVEL = 0.3  # mm: an edge that rises by less is level; no saw sees it
_SAME = 0.05  # mm: rows that are nearer to each other read the same
_RIGHT_HANDED = ("xy", "yz", "zx")
_OPEN = ("loose", "hinge")
# By whether it hinges, and whether its face lies on the other.
_OPEN_WORDS = {
    (True, True): "turns on hinges at", (True, False): "turns on hinges at",
    (False, True): "lies loose on", (False, False): "lies edge to edge, not fixed, with",
}  # fmt: skip
_AXES: tuple[Axis, ...] = ("x", "y", "z")
_WAYS: Mapping[str, tuple[Way, Way]] = {"x": ("rear", "front"), "y": ("right", "left"), "z": ("bottom", "top")}
# The axis that each face of a unit looks along, and whether it is the high one.
_LOOKS: Mapping[str, tuple[int, bool]] = {
    "rear": (0, False), "front": (0, True), "right": (1, False), "left": (1, True), "bottom": (2, False),
    "top": (2, True),
}  # fmt: skip
_FLIP: Mapping[Side, Side] = {"left": "right", "right": "left"}
_GOOD: Mapping[str | None, Face | None] = {"low": "near", "high": "far", None: None}
Fixed = dict[tuple[int, int, int], list[Fixing]]


def works(thing: Thing, names: Mapping[int, str], rules: Mapping[str, Rule], every: float) -> tuple[Work, ...]:
    """Return the panels of a unit as they lie on the bench, in their order.

    Parameters
    ----------
    thing
        The unit.
    names
        The name of each panel in the cut list, by its place among the unit's panels from 0.
    rules
        The numbers of building, ``screws`` among them.
    every
        How far apart the offsets of an edge that is not straight are told at most, mm.
    """
    met: dict[int, list[Meet]] = defaultdict(list)
    fixed: Fixed = defaultdict(list)
    for fixing in joint_fixings(thing, rules["screws"]):
        fixed[_pair(fixing.contact)].append(fixing)
    for contact in contacts(thing):
        for piece, other in ((contact.piece, contact.to), (contact.to, contact.piece)):
            if isinstance(piece.made_of, Panel) and _shows(contact, piece):
                met[id(piece.made_of)].append(_meet(contact, piece, other, fixed[_pair(contact)]))
    return tuple(
        _work(thing, panel, names[i], tuple(met[id(panel)]), every) for i, panel in enumerate(thing.panels)
    )  # fmt: skip


def _shows(contact: Contact, piece: Piece) -> bool:
    """Return whether a joint is shown on one of its two panels: a loose one where the other lies under its face."""
    if contact.joint.kind == "loose":
        return piece is contact.piece and contact.joint.side is None
    return contact.joint.kind not in _OPEN


def _pair(contact: Contact) -> tuple[int, int, int]:
    return id(contact.piece.made_of), id(contact.to.made_of), contact.axis


def _meet(contact: Contact, piece: Piece, other: Piece, fixed: Sequence[Fixing]) -> Meet:
    """Return what a joint is on one of its two panels, in the panel's own plane and with the `near` face low."""
    panel = piece.made_of
    assert isinstance(panel, Panel)
    found = meeting(contact.piece.prism, contact.to.prism, contact.axis)
    assert found is not None
    on_face = contact.axis == piece.prism.axis
    # What is cut in leaves a groove in the one and an edge that reaches into it at the other.
    cut = contact.joint.kind in CUT_IN and on_face and contact.joint.depth > 0 and piece is contact.to
    return Meet(
        rect=_rect(panel, found.box), kind=contact.joint.kind, to=(other.name,),
        side=None if on_face else _side(panel, contact.axis, found.box),
        face=_face(piece, contact.axis, found.box) if on_face else None,
        depth=contact.joint.depth if contact.joint.kind in CUT_IN else 0.0, cut=cut,
        fixes=tuple(_fix(fixing, piece) for fixing in fixed),
    )  # fmt: skip


def _rect(panel: Panel, box: Box) -> Rect:
    at = dict(zip(AXES, panel.at, strict=True))
    low_u, low_v = min(u for u, _ in panel.outline), min(v for _, v in panel.outline)
    (u0, u1), (v0, v1) = (
        _within(box[AXES.index(axis)], at[axis] + low, size)
        for axis, low, size in ((panel.along, low_u, panel.length), (panel.across, low_v, panel.width))
    )
    return u0, v0, u1, v1


def _within(span: tuple[float, float], start: float, size: float) -> tuple[float, float]:
    """Return a span as measured from a panel's start, what lies a hair outside brought in."""
    low, high = sorted(round(min(max(mm - start, 0.0), size), _DIGITS) for mm in span)
    return low, high


def _middle(span: tuple[float, float]) -> float:
    return (span[0] + span[1]) / 2


def _face(piece: Piece, axis: int, box: Box) -> Face:
    return "near" if _middle(box[axis]) < _middle(piece.prism.box[axis]) else "far"


def _side(panel: Panel, axis: int, box: Box) -> Side:
    along = AXES.index(panel.along) == axis
    at = panel.at[axis]
    middle = at + _middle((min(p[not along] for p in panel.outline), max(p[not along] for p in panel.outline)))
    low = _middle(box[axis]) < middle
    return ("left" if low else "right") if along else ("bottom" if low else "top")


def _fix(fixing: Fixing, piece: Piece) -> Fix:
    contact = fixing.contact
    role: Role = "through" if contact.through.made_of is piece.made_of else "into"
    if fixing.item == BLOCK:
        role = "block"
    elif contact.joint.kind in ("insert", "bolt"):
        role = "bolt"
    return Fix(
        item=fixing.item, count=fixing.count, end=fixing.end, apart=fixing.apart, role=role, screw=fixing.screw,
        per=fixing.per,
    )  # fmt: skip


def _work(thing: Thing, panel: Panel, name: str, met: tuple[Meet, ...], every: float) -> Work:
    low_u, low_v = min(u for u, _ in panel.outline), min(v for _, v in panel.outline)
    moved = tuple(tuple((u - low_u, v - low_v) for u, v in ring) for ring in (panel.outline, *panel.holes))
    made = Work(
        part=name, unit=thing.name, group=thing.group, material=panel.sheet.material,
        thickness=panel.sheet.thickness, mass_kg=panel.mass_kg, length=panel.length, width=panel.width,
        cut_length=panel.cut_length, cut_width=panel.cut_width, oversize=panel.oversize, grain=panel.grain,
        outline=moved[0], holes=moved[1:], good=_GOOD[panel.good],
        bands=panel.bands, meets=met, fittings=tuple(_fittings(thing, panel)), loose=_loose(panel, thing, met),
        stands=_stands(thing, panel),
    )  # fmt: skip
    return _with_tables(_laid(made, panel), panel, every)


def _stands(thing: Thing, panel: Panel) -> tuple[Axis, float]:
    """Return where a panel begins along the axis along which those of its name are spread most, mm."""
    lows = [one.at for one in thing.panels if one.name == panel.name]
    spreads = [max(at[i] for at in lows) - min(at[i] for at in lows) for i in range(3)]
    axis = spreads.index(max(spreads)) if len(lows) > 1 else AXES.index(panel.through)
    return _AXES[axis], panel.at[axis]


def _laid(work: Work, panel: Panel) -> Work:
    """Return the panel with its worked face up: near is the face that is looked at, so that it may be turned over.

    With the length to the right and the width up, the high face looks up if length, width and thickness are a
    right-handed set of axes, else the low one. It is turned over by mirroring its length.
    """
    high_up = panel.along + panel.across in _RIGHT_HANDED
    up: Face = "far" if high_up else "near"
    shown = _shown(work) or up
    work = replace(work, looks=_WAYS[panel.through][shown == "far"])
    near = work if shown == "near" else _faces_swapped(work)
    return near if shown == up else _mirrored(near)


def _shown(work: Work) -> Face | None:
    """Return the face with more work on it; with none, the good one."""
    weight = {"near": 0, "far": 0}
    for fitting in work.fittings:
        weight[fitting.face] += 2
    for meet in work.meets:
        if meet.face is not None and meet.kind != "loose":
            weight[meet.face] += 3 if meet.cut else 1
    if weight["near"] != weight["far"]:
        return "near" if weight["near"] > weight["far"] else "far"
    return work.good


def _faces_swapped(work: Work) -> Work:
    other: dict[Face | None, Face | None] = {"near": "far", "far": "near", None: None}
    return replace(
        work, good=other[work.good], meets=tuple(replace(meet, face=other[meet.face]) for meet in work.meets),
        fittings=tuple(replace(one, face="far" if one.face == "near" else "near") for one in work.fittings),
    )  # fmt: skip


def _mirrored(work: Work) -> Work:
    """Return the panel with its length from right to left."""
    long = work.length

    def ring(points: Sequence[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
        return tuple((long - u, v) for u, v in reversed(points))

    return replace(
        work, outline=ring(work.outline), holes=tuple(ring(hole) for hole in work.holes),
        bands=tuple((_FLIP.get(side, side), mm) for side, mm in work.bands),
        meets=tuple(_meet_mirrored(meet, long) for meet in work.meets),
        fittings=tuple(replace(one, at=(round(long - one.at[0], _DIGITS), one.at[1])) for one in work.fittings),
    )  # fmt: skip


def _meet_mirrored(meet: Meet, long: float) -> Meet:
    u0, v0, u1, v1 = meet.rect
    rect = round(long - u1, _DIGITS), v0, round(long - u0, _DIGITS), v1
    return replace(meet, rect=rect, side=_FLIP.get(meet.side, meet.side) if meet.side else None)


def _fittings(thing: Thing, panel: Panel) -> Iterator[Fitting]:
    """Yield the hardware that sits on one of the panel's large faces, in the order of the unit's hardware."""
    low_u, low_v = min(u for u, _ in panel.outline), min(v for _, v in panel.outline)
    at, axis = dict(zip(AXES, panel.at, strict=True)), AXES.index(panel.through)
    # A strap is drawn by the slots that it goes through.
    for hardware in (one for one in thing.hardware if not one.item.startswith("strap-")):
        for place in hardware.places:
            point = dict(zip(AXES, place.at, strict=True))
            u, v = point[panel.along] - at[panel.along] - low_u, point[panel.across] - at[panel.across] - low_v
            deep, high = place.at[axis] - panel.at[axis], _LOOKS[place.face][1]
            on = _LOOKS[place.face][0] == axis and abs(deep - (panel.sheet.thickness if high else 0.0)) < _SAME
            inside = -_SAME <= u <= panel.length + _SAME and -_SAME <= v <= panel.width + _SAME
            if on and inside and place.on in (panel.name, panel.role):
                yield Fitting(
                    item=hardware.item, why=hardware.why, at=(round(u, _DIGITS), round(v, _DIGITS)),
                    face="far" if high else "near",
                )  # fmt: skip


def _loose(panel: Panel, thing: Thing, met: Sequence[Meet]) -> tuple[str, ...]:
    """Return in words what it lies on, meets or turns on without a fixed joint, but for what is drawn on it.

    Pieces are told by their name; by their role only where several names go by it.
    """
    words: dict[str, dict[str, None]] = {}
    called: dict[str, set[str]] = defaultdict(set)
    for piece in pieces_of(thing):
        called[piece.role].add(piece.name)
    for joint in panel.joints:
        drawn = joint.kind == "loose" and joint.side is None and any(meet.kind == "loose" for meet in met)
        if joint.kind in _OPEN and not drawn:
            word = _OPEN_WORDS[joint.kind == "hinge", joint.side is None]
            names = called.get(joint.to, set())
            words.setdefault(word, {})[min(names) if len(names) == 1 else joint.to] = None
    straps = any(h.item.startswith("strap-") and any(p.on == panel.name for p in h.places) for h in thing.hardware)
    slots = ("its slots are for the straps that keep things in on the road",) if straps and panel.holes else ()
    return (*(f"{word} {_listed(tuple(told))}" for word, told in words.items()), *slots)


def _listed(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _with_tables(work: Work, panel: Panel, every: float) -> Work:
    flat = replace(panel, outline=work.outline, holes=(), oversize=0.0)
    return replace(work, tables=tuple(_tables(flat, every)))


def _tables(flat: Panel, every: float) -> Iterator[EdgeTable]:
    """Yield the offsets of the edges that slant or bend; steps with square corners are told by plain dimensions."""
    for one in offsets(flat, every):
        if any(min(abs(p[0] - q[0]), abs(p[1] - q[1])) > _LEVEL for p, q in _bends(one.rows)):
            rows = one.rows[:1] + tuple(row for before, row in pairwise(one.rows) if not _same(before, row))
            yield EdgeTable(side=one.side, along=one.along, base=one.base, rows=rows, whole=one.whole)


def _bends(rows: Sequence[Point]) -> Iterator[tuple[Point, Point]]:
    """Yield the straight stretches of an edge, rows between their ends left out."""
    kept = [rows[0]]
    for before, here, after in zip(rows, rows[1:], rows[2:], strict=False):
        turn = (here[0] - before[0]) * (after[1] - here[1]) - (here[1] - before[1]) * (after[0] - here[0])
        if abs(turn) > _LEVEL:
            kept.append(here)
    yield from pairwise((*kept, rows[-1]))


def _same(a: Point, b: Point) -> bool:
    return max(abs(a[0] - b[0]), abs(a[1] - b[1])) < _SAME
