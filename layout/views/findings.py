"""What the checks found, shown where it is: how far it reaches, which way it would be mended, where it is narrow.

A failure is shaded with falling lines, a warning has a dashed outline; an arrow shows the move that cures it, a line
with arrows at both ends a narrow place, a chain line a way. A number keys each to its words below the figure.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import hypot

from layout.drawing.labels import Labels
from layout.drawing.lines import arrow, hatch, line, polygon
from layout.drawing.model import MEDIUM, WIDE, Mark, Pen, Point
from layout.model.finding import Finding
from layout.model.layout import Placed
from layout.model.solid import Solid, box
from layout.views.figure import Window
from layout.views.shapes import Look

LAYER = "findings"
_SHORTEST_ARROW = 9.0  # mm of paper, so that a move of a few millimetres is seen
_SPACING, _MOST_SPACING = 3.0, 8.0  # mm of paper between the lines that shade a failure
_LINES = 12  # about so many of them across it, where that is not too close or too wide
_SHADE = 0.25
_POINT = 0.01
_WORDS = {"fail": "FAILS: ", "warn": "TAKE CARE: ", "note": ""}


def finding_marks(  # noqa: PLR0917 (what every view has at hand)
    findings: Sequence[Finding], state: str, look: Look, window: Window, labels: Labels, things: Sequence[Placed] = ()
) -> tuple[Mark, ...]:
    """Return what the findings of the state look like, and add their numbers and words to `labels`.

    `things` are those that stand in the state: a cure's arrow begins in the thing that moves.
    """
    marks: list[Mark] = []
    for finding in findings:
        if is_drawn(finding, state):
            marks += _marks(finding, look, window, things)
            labels.number(_words(finding), window.box(_place(finding, look)), finding.rule)
    return tuple(marks)


def is_drawn(finding: Finding, state: str) -> bool:
    """Return whether the finding has a place to show; what the owner accepts, and plain notes, are only listed.

    A note is drawn where it measures a narrow place against what is wanted there.
    """
    here = not finding.states or state in finding.states
    serious = finding.severity != "note"
    shown = (serious and finding.where is not None) or (bool(finding.line) and (serious or finding.wanted is not None))
    return here and shown and not finding.accepted


def _words(finding: Finding) -> str:
    cure = f". Cure: {finding.cure}" if finding.cure and finding.severity != "note" else ""
    return f"{_WORDS[finding.severity]}{finding.text}{cure}"


def _place(finding: Finding, look: Look) -> tuple[float, float, float, float]:
    if finding.where is not None and finding.severity != "note":
        x0, y0, x1, y1 = look.outline(finding.where).bounds
        return float(x0), float(y0), float(x1), float(y1)
    points = [_flat(at, look) for at in finding.line]
    us, vs = zip(*points, strict=True)
    return min(us), min(vs), max(us), max(vs)


def _marks(finding: Finding, look: Look, window: Window, things: Sequence[Placed]) -> Iterator[Mark]:
    if finding.where is not None and finding.severity != "note":
        ring = window.ring(look.outline(finding.where).exterior.coords[:-1])
        if finding.severity == "fail":
            yield from _falling(ring)
        yield polygon(LAYER, ring, pen=Pen(width=MEDIUM, dash="dashed"), id=finding.rule)
    if finding.line:
        yield from _line_marks([window.at(_flat(at, look)) for at in finding.line], finding.rule)
    yield from _cure_marks(finding, look, window, things)


def _falling(ring: tuple[Point, ...]) -> Iterator[Mark]:
    """Yield lines that fall to the right over the outline: fixed obstacles are hatched the other way."""
    xs, ys = zip(*ring, strict=True)
    # A large area has fewer lines, so that what stands in it can still be read.
    spacing = min(_MOST_SPACING, max(_SPACING, ((max(xs) - min(xs)) * (max(ys) - min(ys))) ** 0.5 / _LINES))
    for path in hatch(LAYER, tuple((-x, y) for x, y in ring), spacing):
        yield line(LAYER, *((-x, y) for x, y in path.points), pen=Pen(width=_SHADE))


def _line_marks(points: Sequence[Point], name: str) -> Iterator[Mark]:
    """Yield a narrow place as a line with two heads, a way as a chain line."""
    if len(points) > 2:  # noqa: PLR2004 (two ends of a gap)
        yield line(LAYER, *points, pen=Pen(width=MEDIUM, dash="chain"), id=name)
        return
    start, end = points
    if hypot(end[0] - start[0], end[1] - start[1]) > _POINT:
        yield from _on_white(start, end)
        yield from arrow(LAYER, end, start)


def _cure_marks(finding: Finding, look: Look, window: Window, things: Sequence[Placed]) -> Iterator[Mark]:
    """Yield the arrow of the move that cures, to scale, but never too short to be seen."""
    if finding.does is None or not any(finding.does.shift):
        return
    body = _moved_body(finding, things)
    if body is None:
        return
    x0, y0, x1, y1 = body.bounds
    middle = ((x0 + x1) / 2, (y0 + y1) / 2, (body.z0 + body.z1) / 2)
    dx, dy, dz = finding.does.shift
    start = window.at(_flat(middle, look))
    end = window.at(_flat((middle[0] + dx, middle[1] + dy, middle[2] + dz), look))
    run = hypot(end[0] - start[0], end[1] - start[1])
    if run > _POINT:
        longer = max(1.0, _SHORTEST_ARROW / run)
        tip = (start[0] + (end[0] - start[0]) * longer, start[1] + (end[1] - start[1]) * longer)
        yield from _on_white(start, tip)


def _moved_body(finding: Finding, things: Sequence[Placed]) -> Solid | None:
    names = finding.does.things if finding.does else ()
    return next((placed.box for placed in things if placed.name in names[:1]), finding.where)


def _on_white(start: Point, end: Point) -> Iterable[Mark]:
    """Return an arrow on a white band, so that it is seen over other lines."""
    return (line(LAYER, start, end, pen=Pen(width=2.0, grey=1.0)), *arrow(LAYER, start, end, size=2.8, width=WIDE))


def _flat(at: tuple[float, float, float], look: Look) -> Point:
    """Return where a point of the space lies in the figure, mm."""
    x, y, z = at
    speck = look.outline(box("", (x, x + _POINT), (y, y + _POINT), (z, z + _POINT))).bounds
    return float(speck[0]), float(speck[1])
