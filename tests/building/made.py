"""A unit of our own with one of every joint, made by hand from plain numbers, and ways to spoil it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from layout.model.building import Bar, Batten, Hardware, Promise
from layout.model.cutting import Grain
from layout.model.panel import Joint, Panel, Sheet, Side
from layout.model.solid import box
from layout.model.thing import Thing

PLY = Sheet(material="ply18", thickness=18.0, density_kg_m3=700)
THIN = Sheet(material="ply6", thickness=6.0, density_kg_m3=700)
LIP = Bar(material="lip", section=(18.0, 18.0), density_kg_m3=480)
CLEAT = Bar(material="cleat", section=(18.0, 44.0), density_kg_m3=480)
Span = tuple[float, float]


def rectangle(length: float, width: float) -> tuple[tuple[float, float], ...]:
    """Return the corners of a rectangle from its low corner."""
    return ((0.0, 0.0), (length, 0.0), (length, width), (0.0, width))


def flat(
    name: str, axes: str, at: tuple[float, float, float], size: tuple[float, float], *joints: Joint, **more: Any
) -> Panel:
    """Return a rectangle of the thick sheet whose length and width run along `axes`, such as ``yz``."""
    said: dict[str, Any] = {"sheet": PLY, "grain": "along", "outline": rectangle(*size), **more}
    return Panel(name=name, at=at, along=axes[0], across=axes[1], joints=joints, **said)  # type: ignore[arg-type]


def joint(kind: str, to: str, side: Side | None = None, depth: float = 0.0) -> Joint:
    """Return a joint."""
    return Joint(kind=kind, to=to, side=side, depth=depth)  # type: ignore[arg-type]


def shelf_unit() -> Thing:
    """Return a unit 400 deep, 600 wide and 800 high in 18, with a space for toes 50 deep and 80 high.

    Its bottom and its shelf stand 6 deep in the sides, its top between them; a back 6 thick lies 6 deep in a groove all
    round, 10 from the rear. The top lies on a cleat, the shelf has a lipping in front, the top's front edge a band of 1.5.
    """
    notched = ((0.0, 0.0), (0.0, 350.0), (80.0, 350.0), (80.0, 400.0), (800.0, 400.0), (800.0, 0.0))
    sides = [
        flat("side", "zx", (0.0, y, 0.0), (800.0, 400.0), outline=notched, good=good)
        for y, good in ((-300.0, "low"), (282.0, "high"))
    ]
    housed = (joint("housing", "side", "left", 6.0),)
    panels = (
        *sides,
        flat("bottom", "yx", (0.0, -288.0, 80.0), (576.0, 400.0), *housed, grain="free"),
        flat("top", "yx", (0.0, -282.0, 782.0), (564.0, 400.0), joint("butt", "side", "left"), joint("batten", "cleat"),
             bands=(("top", 1.5),)),
        flat("shelf", "yx", (16.0, -288.0, 440.0), (576.0, 366.0), *housed, joint("butt", "back", "bottom"),
             joint("butt", "lipping", "top"), grain="free"),
        flat("back", "zy", (10.0, -288.0, 92.0), (696.0, 576.0), joint("groove", "side", "bottom", 6.0),
             joint("groove", "bottom", "left", 6.0), joint("groove", "top", "right", 6.0), sheet=THIN, grain="free"),
        flat("kick", "yz", (332.0, -282.0, 0.0), (564.0, 80.0), joint("butt", "side", "left"),
             joint("butt", "bottom", "top")),
    )  # fmt: skip
    battens = (
        Batten(name="lipping", bar=LIP, length=564.0, solid=box("lipping", (382, 400), (-282, 282), (440, 458))),
        Batten(name="cleat", bar=CLEAT, length=564.0, solid=box("cleat", (16, 34), (-282, 282), (738, 782))),
    )
    return whole(panels, battens, promise())


def promise() -> Promise:
    """Return what that unit promises, from its outside, its sheets and its depths."""
    inside = (-282.0, 282.0)
    grains: tuple[tuple[str, Grain], ...] = (("side", "along"), ("top", "along"), ("kick", "along"))
    return Promise(
        outside=box("outside", (0, 400), (-300, 300), (0, 800)),
        closed=("top",),
        openings=(
            box("lower", (16, 400), inside, (98, 440)),
            box("upper", (34, 400), inside, (458, 782)),
            box("toes", (350, 400), (-300, 300), (0, 80)),
        ),
        roles=(
            ("side", 2),
            ("bottom", 1),
            ("top", 1),
            ("shelf", 1),
            ("back", 1),
            ("kick", 1),
            ("lipping", 1),
            ("cleat", 1),
        ),
        grains=grains,
        hardware=(("slides-pair", 2), ("latch-push", 2)),
        places=(("lipping", box("lipping", (382, 400), (-282, 282), (440, 458))),),
    )


def whole(panels: tuple[Panel, ...], battens: tuple[Batten, ...], promised: Promise | None) -> Thing:
    """Return the unit of these pieces, which fills and weighs what they do."""
    return Thing(
        name="unit", group="unit", kind="shelf unit", panels=panels, battens=battens, promise=promised,
        solids=(*(s for p in panels for s in p.solids), *(b.solid for b in battens)),
        mass_kg=sum(p.mass_kg for p in panels) + sum(b.mass_kg for b in battens),
        hardware=(
            Hardware(item="slides-pair", count=2, why="one pair a drawer"),
            Hardware(item="latch-push", count=2, why="keeps a drawer shut"),
        ),
    )  # fmt: skip


def spoilt(thing: Thing, name: str, change: Callable[[Any], Any], nth: int = 0) -> Thing:
    """Return the unit with its nth piece of a name changed, or away where `change` returns None."""
    panels, battens, seen = [], [], 0
    for piece in (*thing.panels, *thing.battens):
        made: Any = piece
        if piece.name == name:
            made = change(piece) if seen == nth else piece
            seen += 1
        if made is not None:
            (panels if isinstance(made, Panel) else battens).append(made)
    assert seen > nth, f"there is no {name}"
    made = whole(tuple(panels), tuple(battens), thing.promise)
    return replace(made, hardware=thing.hardware, name=thing.name, group=thing.group, kind=thing.kind)


def shifted(axis: str, by: float) -> Callable[[Any], Any]:
    """Return the change that shifts a piece along an axis, mm."""

    def shift(piece: Panel | Batten) -> Panel | Batten:
        moves = tuple(by if axis == word else 0.0 for word in "xyz")
        if isinstance(piece, Batten):
            return replace(piece, solid=piece.solid.moved(*moves))
        return replace(piece, at=tuple(a + m for a, m in zip(piece.at, moves, strict=True)))

    return shift


def longer(by: float) -> Callable[[Panel], Panel]:
    """Return the change that makes a panel longer at its far end, mm."""
    return lambda panel: replace(
        panel, outline=tuple((u + by if u == max(p[0] for p in panel.outline) else u, v) for u, v in panel.outline)
    )


def wider(by: float) -> Callable[[Panel], Panel]:
    """Return the change that makes a panel wider at its far side, mm."""
    return lambda panel: replace(
        panel, outline=tuple((u, v + by if v == max(p[1] for p in panel.outline) else v) for u, v in panel.outline)
    )


def mirrored(panel: Panel) -> Panel:
    """Return the panel with its outline turned over across its width."""
    width = max(v for _, v in panel.outline)
    return replace(panel, outline=tuple((u, width - v) for u, v in panel.outline)[::-1])


def rejointed(which: str, /, **changes: Any) -> Callable[[Panel], Panel]:
    """Return the change of every joint of a kind of a panel."""
    return lambda panel: replace(
        panel, joints=tuple(replace(j, **changes) if j.kind == which else j for j in panel.joints)
    )


def gone(piece: Panel | Batten) -> None:
    """Take the piece away."""
