"""What is to be written on the measure sheet: boxes by the names that the project file uses, in groups."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from layout.views.measure_sheet.sketch import Opening, Sketch


@dataclass(frozen=True, kw_only=True, slots=True)
class Entry:
    """A line of boxes: the `key` of its arrow on the sketch (empty: none), then boxes by caption and by name."""

    key: str
    boxes: tuple[tuple[str, str], ...]
    says: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Group:
    """Lines of boxes under a heading, the key of the project file that they belong to, and how to take them."""

    heading: str
    how: str
    entries: tuple[Entry, ...]


def ways(sketch: Sketch) -> tuple[tuple[str, str], ...]:
    """Return the pairs of corners between which the tape goes: all sides, then diagonals; those of four are two."""
    names = [name for name, _ in sketch.corners]
    sides = [*pairwise(names), (names[-1], names[0])]
    if len(names) == 3:  # noqa: PLR2004 (a triangle has no diagonals)
        return tuple(sides)
    if len(names) == 4:  # noqa: PLR2004 (a floor of four corners)
        return (*sides, (names[0], names[2]), (names[1], names[3]))
    # From the first two corners to every other one: each corner is then reached from two known ones.
    first, second, *rest = names
    across = [(a, b) for a in (first, second) for b in rest if (a, b) not in sides and (b, a) not in sides]
    return (*sides, *across)


def floor_groups(sketch: Sketch) -> Iterator[Group]:
    """Yield the boxes of the floor: all distances from both ends, the wheel wells."""
    entries = [
        Entry(key=str(i), boxes=((f"{a}-{b}", f"{a}-{b}"), (f"{b}-{a}", f"{b}-{a}")))
        for i, (a, b) in enumerate(ways(sketch), 1)
    ]
    how = "corner to corner on the bare floor; then again from the other end, without a look at the first figure"
    yield Group(heading="survey: distances", how=how, entries=tuple(entries))
    if "floor length" in sketch.known:
        boxes = ("length", "floor length"), ("width", "floor width")
        how = "what the file says so far; the distances above take its place once they are read"
        yield Group(heading="floor:", how=how, entries=(Entry(key="", boxes=boxes),))
    for i, well in enumerate(sketch.wells):
        name, keys = f"well {i + 1}", ("a", "b", "c") if well.side == "left" else ("", "", "")
        yield Group(
            heading=f"wheel_wells: side: {well.side}",
            how="x forward from the cross line; width off the wall at the floor",
            entries=(
                Entry(key=_both(keys[0], keys[1]), boxes=(("x rear", f"{name} x0"), ("x front", f"{name} x1"))),
                Entry(key=keys[2], boxes=(("width", f"{name} width"), ("height", f"{name} height"))),
            ),
        )
    if sketch.wells:
        how = "the free floor between the two; with both widths it adds up to the width there"
        entry = Entry(key="d", boxes=(("between", "between wells"), ("whole width", "width at wells")))
        yield Group(heading="between the wheel wells (check)", how=how, entries=(entry,))


def side_groups(sketch: Sketch) -> Iterator[Group]:
    """Yield the boxes of the side view: roof, front end, side doors."""
    roof = [
        Entry(key=f"r{i}", boxes=(("at x", f"roof {i} x"), ("height", f"roof {i} z")))
        for i in range(1, _roofs(sketch) + 1)
    ]
    yield Group(heading="roof:", how="height above the bare floor, square to it, under the ribs", entries=tuple(roof))
    if sketch.front:
        leans = [
            Entry(key=f"f{i}", boxes=(("at height", f"front {i} z"), ("x", f"front {i} x")))
            for i in range(1, len(sketch.front) + 1)
        ]
        how = "how far forward of the cross line the partition or seat backs are, at several heights"
        yield Group(heading="front:", how=how, entries=tuple(leans))
    for n, door in enumerate(d for d in sketch.doors if d.side != "rear"):
        yield _door_group(door, f"side_doors: {door.name}:  side: {door.side}", "s" if n == 0 else "")


def _roofs(sketch: Sketch) -> int:
    return max(3, len(sketch.roof))


def _door_group(door: Opening, heading: str, key: str) -> Group:
    def line(number: int, *pairs: tuple[str, str]) -> Entry:
        return Entry(key=f"{key}{number}" if key else "", boxes=tuple((c, f"{door.name} {n}") for c, n in pairs))

    sizes = (("width", "width"), ("height", "height"))
    more = (("sill", "sill"), ("sill to roof", "to roof"))
    first = [line(1, ("start", "start"), ("to front", "to front"))] if door.side != "rear" else []
    entries = (*first, line(2, *sizes), line(3, *more))
    how = "the clear opening, in at the narrowest; sill above the bare floor"
    return Group(heading=heading, how=how, entries=entries)


def cross_groups(sketch: Sketch) -> Iterator[Group]:
    """Yield the boxes of the cross view: half-widths at heights on both sides, at several places; the rear door."""
    for n, heights in enumerate(sketch.heights, 1):
        entries = [Entry(key="", boxes=(("x, from the cross line", f"station {n} x"),))]
        entries += [
            Entry(
                key=f"h{i}" if n == 1 else "",
                boxes=tuple((side, f"station {n} {z:g} {side}") for side in ("left", "right", "across")),
                says=f"{z:g}",
            )
            for i, z in enumerate(heights, 1)
        ]
        how = "from the centreline to the wall on each side; then across in one, as a check"
        yield Group(heading=f"walls: place {n}, by height", how=how, entries=tuple(entries))
    for door in sketch.doors:
        if door.side == "rear":
            yield _door_group(door, "rear_door:", "t")


def check_groups(sketch: Sketch) -> Iterator[Group]:
    """Yield the boxes for what must agree: differences, to be worked out before one leaves the vehicle."""
    pairs = [(f"{a}-{b}", f"{b}-{a}") for a, b in ways(sketch)]
    twice = [Entry(key="", boxes=(("apart", f"apart {one}"),), says=f"{one} and {other}") for one, other in pairs]
    yield Group(heading="read twice", how="the two readings of each length", entries=tuple(twice))
    alike: list[tuple[str, str]] = []
    if len(sketch.corners) == 4:  # noqa: PLR2004 (a floor of four corners)
        names = [name for name, _ in sketch.corners]
        a, b, c, d = names
        alike = [
            (f"{a}-{b} and {c}-{d}", "sides"),
            (f"{b}-{c} and {d}-{a}", "ends"),
            (f"{a}-{c} and {b}-{d}", "diagonals"),
        ]
    if sketch.wells:
        alike += [("wells left and right: width", "well widths"), ("wells left and right: x rear", "well ends")]
    entries = [Entry(key="", boxes=(("apart", f"alike {name}"),), says=says) for says, name in alike]
    how = "bodies are alike to a few mm; more is a skew body, or a reading that is wrong"
    yield Group(heading="left_right: left against right", how=how, entries=tuple(entries))
    sums = [*([("well + between + well = whole width", "wells")] if sketch.wells else [])]
    for door in sketch.doors:
        if door.side != "rear":
            sums.append((f"{door.name}: start + width + to front = side", f"{door.name} along"))
        sums.append((f"{door.name}: sill + height + to roof", f"{door.name} up"))
    sums.append(("left + right = across, at each height", "across"))
    entries = [Entry(key="", boxes=(("apart", f"sum {name}"),), says=says) for says, name in sums]
    yield Group(heading="sums: parts against the whole", how="add up, and compare", entries=tuple(entries))


def _both(one: str, other: str) -> str:
    return f"{one} {other}" if one else ""
