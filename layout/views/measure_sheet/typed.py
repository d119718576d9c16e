"""The project file's lines for what the measure sheet asks, with blanks, so that the figures can be typed in."""

from __future__ import annotations

from collections.abc import Callable

from layout.views.measure_sheet.entries import ways
from layout.views.measure_sheet.sketch import Sketch

# A line and how far it is set in.
Line = tuple[int, str]
_BLANK = "...."


def typed_lines(sketch: Sketch, units: str, say: Callable[[float], str]) -> tuple[Line, ...]:
    """Return the lines of the file; `say` writes a height."""
    names = [name for name, _ in sketch.corners]
    lines: list[Line] = [(0, f"units: {units}"), (0, "space:"), (1, "survey:")]
    lines += [(2, f"axes: {{rear: [{names[-1]}, {names[0]}]}}"), (2, "distances:")]
    lines += [(3, f"{a}-{b}: {_BLANK}") for a, b in ways(sketch)]
    lines += [(3, f"{b}-{a}: {_BLANK}") for a, b in ways(sketch)]
    lines += [(1, f"floor: {{survey: [{', '.join(names)}]}}"), (1, f"roof: {{0: {_BLANK}, {_BLANK}: {_BLANK}}}")]
    if sketch.front:
        lines.append((1, f"front: {{0: {_BLANK}, {_BLANK}: {_BLANK}}}"))
    lines += _walls(sketch, say)
    if sketch.wells:
        well = f"- {{side: left, x: [{_BLANK}, {_BLANK}], width: {_BLANK}, height: {_BLANK}}}"
        lines += [(1, "wheel_wells:"), (2, well)]
    for door in sketch.doors:
        sizes = f"width: {_BLANK}, height: {_BLANK}, sill: {_BLANK}, kind: {_BLANK}"
        if door.side == "rear":
            lines.append((1, f"rear_door: {{{sizes}}}"))
        else:
            lines += [(1, "side_doors:"), (2, f"{door.name}: {{side: {door.side}, start: {_BLANK}, {sizes}}}")]
    return tuple(dict.fromkeys(lines))


def _walls(sketch: Sketch, say: Callable[[float], str]) -> list[Line]:
    heights = ", ".join(f"{say(z)}: {_BLANK}" for z in sketch.heights[0][1:3]) if sketch.heights else f"0: {_BLANK}"
    station = f"- {{x: 0, profile: {{{heights}, ...}}}}"
    return [(1, "walls:"), (2, "left:"), (3, station), (2, "right:"), (3, f"{station} and so on")]
