"""The lists of places: what sits where on each unit, where units are held to the body, how battens are made."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise
from typing import TypeVar

from layout.building.batten_work import BattenWork, Drilled, batten_works
from layout.building.body_points import BodyPoint, body_points
from layout.building.pieces import pieces_of
from layout.cutting.listing import Row, Table
from layout.jobs.built import Building
from layout.jobs.hardware import drill_of, what_is
from layout.model.building import BODY, Hardware, Place
from layout.model.thing import Thing
from layout.units.length import Unit, drawn_unit, format_length

T = TypeVar("T")
K = TypeVar("K")
Point3 = tuple[float, float, float]
_WALLS = {"front": "rear wall", "rear": "front wall", "left": "right wall", "right": "left wall", "top": "floor"}
_DIGITS = 1


def body_table(made: Building) -> Table:
    """Return where units are held to the body: x from the cross line, y from the centreline, height over the floor."""
    units = _units(made)
    header = ("unit", "no", "hole in the", f"x from the cross line {units}", f"y from the centreline {units}",
              f"above the floor {units}", "drill", "what for")  # fmt: skip
    points = body_points(made.plan.layout, made.plan.project.said.states)
    rows, last, nth = list[Row](), "", 0
    for point in points:
        nth = nth + 1 if point.unit == last else 1
        last = point.unit
        rows.append((point.unit, str(nth), *_body(made, point)))
    return header, tuple(rows)


def _body(made: Building, point: BodyPoint) -> Row:
    (x, y, z), units = point.at, _units(made)
    drill = drill_of(point.item)
    hole = format_length(drill.across, "mm", unit_sign=True) if drill else ""
    return (
        _WALLS[point.face], format_length(x, units), _aside(made, y), format_length(z, units), hole,
        point.why,
    )  # fmt: skip


def _aside(made: Building, y: float) -> str:
    """Return a distance from the centreline with its side."""
    said = format_length(abs(y), _units(made))
    return said if abs(y) < _NONE else f"{said} {'left' if y > 0 else 'right'}"


_NONE = 0.05  # mm


def places_table(made: Building) -> Table:
    """Return what is put on each unit, and where: from its rear, from its middle and above its foot.

    Bolts and inserts stand on the panel sheets as holes; what they hold is told here.
    """
    units = _units(made)
    header = ("unit", "item", "on", f"from its rear {units}", f"from its middle {units}", f"above its foot {units}",
              "what for")  # fmt: skip
    rows = [row for name, things in made.groups.items() for row in _placed(made, name, things[0])]
    return header, tuple(rows)


def _placed(made: Building, name: str, thing: Thing) -> Iterator[Row]:
    names = {piece.role: piece.name for piece in pieces_of(thing)}
    for hardware in thing.hardware:
        if drill_of(hardware.item) is None and not hardware.item.startswith("screw-"):
            ones = [place for place in hardware.places if place.on != BODY]
            for on, places in grouped(ones, lambda place: names.get(place.on, place.on)):
                yield from _rows(made, (name, hardware, on), thing, places)


def _rows(made: Building, head: tuple[str, Hardware, str], thing: Thing, places: Sequence[Place]) -> Iterator[Row]:
    """Yield a row for places that differ in one direction only, so that a tape is laid once for each."""
    name, hardware, on = head
    foot, rear = thing.box.z0, thing.box.bounds[0]
    for (_, z, face), ones in grouped(
        places, lambda p: (round(abs(p.at[1]), _DIGITS), round(p.at[2], _DIGITS), p.face)
    ):
        xs = [format_length(x - rear, _units(made)) for x in sorted({round(p.at[0], _DIGITS) for p in ones})]
        ys = list(dict.fromkeys(_aside(made, y) for y in sorted(p.at[1] for p in ones)))
        up = format_length(z - foot, _units(made))
        yield (
            name, f"{len(ones)} × {hardware.item}", on, ", ".join(xs), " and ".join(ys), up,
            f"{hardware.why}; on its {face} face",
        )  # fmt: skip


def grouped(items: Sequence[T], key: Callable[[T], K]) -> list[tuple[K, list[T]]]:
    """Return items by a key, in the order in which each key is first met."""
    found: dict[K, list[T]] = {}
    for item in items:
        found.setdefault(key(item), []).append(item)
    return list(found.items())


def batten_table(made: Building) -> Table:
    """Return the battens: how many, section and length, both ends square, where they lie, and their holes."""
    units = _units(made)
    header = ("unit", "batten", "count", f"section {units}", f"saw to {units}", "where it lies in the unit",
              "holes, from its rear, right or lower end")  # fmt: skip
    rows = [
        (name, work.name, str(work.count), _by(made, work.section), format_length(work.length, units),
         _lies(made, things[0], work), "; ".join(_holes(made, hole) for hole in work.holes))
        for name, things in made.groups.items()
        for work in batten_works(things[0], made.plan.project.rules)
    ]  # fmt: skip
    return header, tuple(rows)


def _by(made: Building, section: tuple[float, float]) -> str:
    return " × ".join(format_length(mm, _units(made)) for mm in section)


def _lies(made: Building, thing: Thing, work: BattenWork) -> str:
    """Return in words where the low corners of battens are."""
    rear, foot = thing.box.bounds[0], thing.box.z0
    xs, ys, zs = (sorted({round(low[i], _DIGITS) for low in work.low}) for i in range(3))
    told = [
        f"rear end {_some(made, [x - rear for x in xs])} from the rear",
        f"right side {_sides(made, ys)} of the middle",
        f"lower side {_some(made, [z - foot for z in zs])} above the foot",
    ]
    way = {"x": "along the unit", "y": "across the unit", "z": "upright"}[work.along]
    return f"{way}; {', '.join(told)}"


def _some(made: Building, values: Sequence[float]) -> str:
    """Return a few values, or the first and the step of many that are even."""
    said = [format_length(mm, _units(made)) for mm in values]
    steps = {round(b - a, _DIGITS) for a, b in pairwise(values)}
    if len(values) > _FEW and max(steps) - min(steps) <= 2 * _NONE + 0.1:
        step = (values[-1] - values[0]) / (len(values) - 1)
        return f"{said[0]}, then every {format_length(step, _units(made))} to {said[-1]}"
    return ", ".join(said)


_FEW = 4


def _sides(made: Building, ys: Sequence[float]) -> str:
    steps = {round(b - a, _DIGITS) for a, b in pairwise(ys)}
    if len(ys) > _FEW and max(steps) - min(steps) <= 2 * _NONE + 0.1:
        step = format_length((ys[-1] - ys[0]) / (len(ys) - 1), _units(made))
        return f"{_aside(made, ys[0])}, then every {step} to {_aside(made, ys[-1])}"
    return ", ".join(_aside(made, y) for y in ys)


def _holes(made: Building, hole: Drilled) -> str:
    at = ", ".join(format_length(mm, _units(made)) for mm in hole.at)
    what = what_is(hole.item)
    if hole.way == "through":
        return f"{what} through it into {hole.to} at {at}"
    return f"{what} {'from' if hole.way == 'into' else 'for'} {hole.to} at {at} on its {hole.side} side"


def _units(made: Building) -> Unit:
    return drawn_unit(made.plan.project.said.units)
