"""Elevations: the space and its things from the aisle toward one wall, from behind and from the front."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from layout.drawing.dimensions import Dimension, depth, dimension_marks, in_rows
from layout.drawing.labels import Labels
from layout.drawing.lines import polygon
from layout.drawing.model import NARROW, WIDE, Drawing, Mark, Pen, Point
from layout.drawing.text_width import Box
from layout.model.finding import Finding
from layout.model.layout import Layout, Placed
from layout.views.figure import MIRRORED, PLAIN, Axes, Figure, Margins, Window, compose, span_on
from layout.views.findings import finding_marks
from layout.views.options import ViewOptions
from layout.views.outlines import bounds, corners, middle_y, mostly_free, rear_outline, side_outline
from layout.views.people import Axis, people_marks
from layout.views.people import Figure as Body
from layout.views.shapes import FRONT, LEFT, REAR, RIGHT, Look, name_things, on_one_side, seen, shows, thing_marks

if TYPE_CHECKING:
    from layout.space.space import Space

_ROWS = 3
# Things higher and longer than this (mm) get dimensions, the largest few of them.
_LARGE = 400.0
_MOST_LARGE = 5
_MIDDLE = 0.01  # mm off the centre line that is still in the middle
_OPENING = Pen(width=NARROW, dash="chain")
_DASHED = Pen(width=NARROW, dash="dashed")


def side_elevation(
    space: Space,
    layout: Layout,
    state: str,
    side: Literal["left", "right"],
    *,
    findings: tuple[Finding, ...] = (),
    people: Sequence[Body] = (),
    options: ViewOptions = ViewOptions(),  # noqa: B008 (frozen)
) -> Drawing:
    """Return the things that reach onto that side in `state`, as seen from the aisle toward its wall.

    Toward the left wall the front is to the right, toward the right wall to the left. Of `people` those are drawn whose
    middle is on that side, or in the middle.

    Raises
    ------
    ScaleError
        When the asked scale does not fit on the paper.
    """
    left = side == "left"
    placed = layout.placed.get(state, ())
    look = LEFT if left else RIGHT
    things = tuple(part for p in placed if (part := on_one_side(p, look)))
    inner = [o for o in space.obstacles if (middle_y(o) > 0) == left]
    view = _Elevation(
        name=f"{side}-side-{state}",
        title=f"{side} side, {options.said_state(state)}, seen from the aisle, front to the {_front(look)}",
        room=space.long_section(),
        things=things,
        look=look,
        axes=PLAIN if left else MIRRORED,
        fixed=tuple((o.name, side_outline(o)) for o in inner),
        openings=tuple((d.low, d.sill, d.high, d.top) for d in space.doors if d.side == side),
        state=state,
        findings=tuple(f for f in findings if _on_side(f, look)),
        options=options,
        people=tuple(person for person in people if _sits_on(person, look)),
    )
    return compose(view.figure(), options)


def rear_elevation(
    space: Space,
    layout: Layout,
    state: str,
    findings: tuple[Finding, ...] = (),
    options: ViewOptions = ViewOptions(),  # noqa: B008 (frozen)
    *,
    people: Sequence[Body] = (),
) -> Drawing:
    """Return the space and its things in `state` as seen from behind through the rear; left is left.

    Raises
    ------
    ScaleError
        When the asked scale does not fit on the paper.
    """
    return _end(space, layout, state, REAR, findings, people, options)


def front_elevation(
    space: Space,
    layout: Layout,
    state: str,
    findings: tuple[Finding, ...] = (),
    options: ViewOptions = ViewOptions(),  # noqa: B008 (frozen)
    *,
    people: Sequence[Body] = (),
) -> Drawing:
    """Return the space and its things in `state` as seen from the front toward the rear; left is on the right.

    Raises
    ------
    ScaleError
        When the asked scale does not fit on the paper.
    """
    return _end(space, layout, state, FRONT, findings, people, options)


def _end(  # noqa: PLR0917 (what both ends have in common)
    space: Space,
    layout: Layout,
    state: str,
    look: Look,
    findings: tuple[Finding, ...],
    people: Sequence[Body],
    options: ViewOptions,
) -> Drawing:
    x0, _, x1, _ = space.shell(0.0).bounds
    room = space.cross_section(x0 if look is REAR else x1)
    end, seen_from = ("rear", "from behind") if look is REAR else ("front", "from the front")
    view = _Elevation(
        name=f"{end}-{state}",
        title=f"{end}, {options.said_state(state)}, seen {seen_from}",
        room=room,
        things=layout.placed.get(state, ()),
        look=look,
        axes=MIRRORED if look is REAR else PLAIN,
        # The rear doors are open, or too far to matter.
        fixed=tuple((o.name, rear_outline(o, room)) for o in space.obstacles if o.name != "closed rear door"),
        openings=tuple((d.low, d.sill, d.high, d.top) for d in space.doors if d.side == end),
        state=state,
        findings=findings,
        options=options,
        people=tuple(people),
    )
    return compose(view.figure(), options)


def _front(look: Look) -> str:
    return "right" if look is LEFT else "left"


def _sits_on(person: Body, look: Look) -> bool:
    low, high = person.span("y")
    return (low + high) * (1 if look is LEFT else -1) >= -_MIDDLE


def _on_side(finding: Finding, look: Look) -> bool:
    """Return whether the finding, its volume or its narrow place, reaches onto the side that is looked at."""
    sign = 1 if look is LEFT else -1
    reaches = any(sign * y > 0 for _, y, _ in finding.line)
    return bool(finding.where and look.span(finding.where)[1] > 0) or reaches


@dataclass(frozen=True, kw_only=True, slots=True)
class _Elevation:
    name: str
    title: str
    room: tuple[Point, ...]
    things: tuple[Placed, ...]
    look: Look
    axes: Axes
    fixed: tuple[tuple[str, tuple[Point, ...]], ...]
    openings: tuple[Box, ...]
    state: str
    findings: tuple[Finding, ...]
    options: ViewOptions
    people: tuple[Body, ...] = ()

    def figure(self) -> Figure:
        row = depth(_ROWS) + 1
        margins = Margins(left=8, bottom=row, right=row, top=6)
        return Figure(
            name=self.name,
            title=self.title,
            extent=self._extent(),
            margins=margins,
            axes=self.axes,
            draw=self.draw,
        )

    def _boxes(self) -> list[Box]:
        return [self.look.outline(thing.box).bounds for thing in self.things]

    def _room_box(self) -> Box:
        us, zs = zip(*self.room, strict=True)
        return min(us), min(zs), max(us), max(zs)

    def _extent(self) -> Box:
        bodies = [person.seen(self._axis)[0].bounds for person in self.people]
        u0, z0, u1, z1 = zip(self._room_box(), *self._boxes(), *self.openings, *bodies, strict=True)
        return min(u0), min(z0), max(u1), max(z1)

    @property
    def _axis(self) -> Axis:
        return "x" if self._across else "y"

    @property
    def _across(self) -> bool:
        return self.look in {REAR, FRONT}

    def draw(self, window: Window, labels: Labels) -> tuple[Mark, ...]:
        things = seen(self.things, self.look)
        # Along the van all is in line; dashes of all that is behind would hide what is seen.
        hidden = not self._across
        failing = finding_marks(self.findings, self.state, self.look, window, labels, self.things)
        people = people_marks(self.people, self._axis, window, labels, -1 if self.look in {RIGHT, FRONT} else 1)
        name_things(tuple(one for one in things if hidden or shows(one)), window, labels)
        for name, ring in self.fixed:
            if mostly_free(ring, things):
                labels.name(name, window.box(bounds(ring)), id=name)
        labels.notes += self.options.said_people() if self.people else ()
        return (
            *(polygon("obstacles", window.ring(r), pen=Pen(width=NARROW), fill=0.9, id=n) for n, r in self.fixed),
            *thing_marks(things, window, far_thin=True, hidden=hidden),
            # Again over what stands before them: where a wheel well ends matters most where it is hidden.
            *(polygon("hidden obstacles", window.ring(r), pen=_DASHED, id=n) for n, r in self.fixed),
            *(polygon("doors", window.ring(corners(o)), pen=_OPENING) for o in self.openings),
            polygon("walls", window.ring(self.room), pen=Pen(width=WIDE)),
            *people,
            *failing,
            *self._dimensions(window, [one.placed for one in things if hidden or shows(one)]),
        )

    def _dimensions(self, window: Window, things: list[Placed]) -> tuple[Mark, ...]:
        edge, room = window.box(self._extent()), self._room_box()
        boxes = [self.look.outline(thing.box).bounds for thing in things]
        large = sorted(
            (b for b in boxes if max(b[2] - b[0], b[3] - b[1]) >= _LARGE),
            key=lambda b: (-(b[2] - b[0]) * (b[3] - b[1]), b),
        )[:_MOST_LARGE]
        flat = self._rows([(b[0], b[2]) for b in large], (room[0], room[2]), window, 0)
        high = self._rows([(0.0, b[3]) for b in large], (0.0, room[3]), window, 1)
        return (*dimension_marks(flat, "bottom", edge[1]), *dimension_marks(high, "right", edge[2]))

    def _rows(
        self, spans: list[tuple[float, float]], whole: tuple[float, float], window: Window, axis: int
    ) -> tuple[tuple[Dimension, ...], ...]:
        inner = tuple(self._span(span, window, axis) for span in spans if span != whole)
        return (*in_rows(inner, _ROWS - 1, span_on(self.options.page, axis)), (self._span(whole, window, axis),))

    def _span(self, span: tuple[float, float], window: Window, axis: int) -> Dimension:
        low, high = sorted(window.at((at, at))[axis] for at in span)
        return Dimension(low=low, high=high, text=self.options.said(span[1] - span[0]))
