"""Sheets to take along with the tape: blank ones before anything is known, and those of a project."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Literal

from layout.drawing.model import Drawing
from layout.errors import Fault, InputError
from layout.files.rules import read_rules
from layout.files.space_format import SideDoorFormat, SpaceFormat, StationFormat
from layout.jobs.draw import Paper, options_for, view_options
from layout.jobs.load import Plan
from layout.model.rule import Rule
from layout.model.solid import Point
from layout.space.space import Space
from layout.units.length import Unit, drawn_unit
from layout.views.measure_sheet.entries import ways
from layout.views.measure_sheet.sheets import measure_sheets as drawn_sheets
from layout.views.measure_sheet.sketch import KINDS, Opening, Sketch, Well, generic, heights_of

Kind = Literal["van", "trailer", "truck bed"]
_STATIONS = 3
# Widths are taken at heights this far apart: round figures on the tape in each unit.
_STEP_MM, _STEP_IN = 300.0, 12 * 25.4


def blank_measure_sheets(units: Unit, paper: Paper, kind_of_space: Kind = "van") -> tuple[Drawing, ...]:
    """Return blank sheets for a space of that kind; no project is needed.

    Raises
    ------
    InputError
        When there is no such paper or kind.
    """
    options = options_for(units, f"a {kind_of_space} to be measured", paper)
    if kind_of_space not in KINDS:
        text = f"there is no blank sheet for {kind_of_space!r}; there are: {', '.join(KINDS)}"
        raise InputError([Fault("print", 0, 0, "--sheet", text)])
    sketch = generic(kind_of_space, _step(units))
    return drawn_sheets(sketch, options, _limits(read_rules()["survey"]))


def measure_sheets(plan: Plan, paper: Paper) -> tuple[Drawing, ...]:
    """Return the sheets of a project: what its file says stands in the boxes, the rest is still to be measured.

    Raises
    ------
    InputError
        When there is no such paper.
    """
    sketch = sketch_of(plan.project.said.space, plan.project.space, plan.project.said.units)
    return drawn_sheets(sketch, view_options(plan, paper), _limits(plan.project.rules["survey"]))


def _limits(rule: Rule) -> tuple[float, float]:
    # Two readings differ by √2 times what one is off; three times that is what chance leaves.
    return 3 * 2**0.5 * rule["tape"], rule["alike"]


def _step(units: Unit) -> float:
    return _STEP_IN if drawn_unit(units) == "in" else _STEP_MM


def sketch_of(said: SpaceFormat, space: Space, units: Unit) -> Sketch:
    """Return the sketch of a project's space on bare metal, with what its file says as known."""
    corners = _corners(said, space)
    heights = heights_of(max(said.roof.values()), _step(units))
    roof = tuple((x, z) for x, z in sorted(said.roof.items()))
    front = tuple((z, x) for z, x in sorted((said.front or {}).items()))
    profile = _profile(said, corners)
    stations = _stations(said)
    taken = tuple(tuple(sorted({*left.profile, *right.profile})) for left, right in stations)
    sketch = Sketch(
        kind="", corners=corners, profile=profile, roof=roof, front=front,
        heights=(*taken, *[heights] * (_STATIONS - len(taken))),
        wells=tuple(_wells(said, corners)), doors=tuple(_doors(said)),
    )  # fmt: skip
    known = dict(_known(said, space, sketch, stations))
    return replace(sketch, known=known | dict(_checked(sketch, known)))


def _corners(said: SpaceFormat, space: Space) -> tuple[tuple[str, Point], ...]:
    """Return the corners by the survey's names, or by letters from the rear right one on."""
    if said.floor.survey and space.survey:
        return tuple((name, space.survey.points[name]) for name in said.floor.survey)
    if said.floor.corners:
        ring = said.floor.corners
    else:
        length, half = said.floor.length or 0.0, (said.floor.width or 0.0) / 2
        ring = ((0.0, -half), (length, -half), (length, half), (0.0, half))
    return tuple((_letter(i), place) for i, place in enumerate(ring))


def _letter(i: int) -> str:
    return "ABCDEFGHIJKLMNOPQRSTUVWXYZ"[i] if i < 26 else f"P{i + 1}"  # noqa: PLR2004 (letters)


Stations = tuple[tuple[StationFormat, StationFormat], ...]


def _stations(said: SpaceFormat) -> Stations:
    """Return the places along the walls with what was measured left and right."""
    if said.walls.both:
        return tuple((s, s) for s in sorted(said.walls.both, key=lambda s: s.x))
    right = {s.x: s for s in said.walls.right}
    return tuple((s, right[s.x]) for s in sorted(said.walls.left, key=lambda s: s.x) if s.x in right)


def _profile(said: SpaceFormat, corners: tuple[tuple[str, Point], ...]) -> tuple[Point, ...]:
    half = max(abs(y) for _, (_, y) in corners)
    stations = _stations(said)
    if not stations:
        return (0.0, half), (max(said.roof.values()), half)
    pairs = {0.0: half, **stations[0][0].profile}
    return tuple(sorted(pairs.items()))


def _wells(said: SpaceFormat, corners: tuple[tuple[str, Point], ...]) -> Iterator[Well]:
    half = max(abs(y) for _, (_, y) in corners)
    for well in said.wheel_wells:
        width = well.width if well.width is not None else half - (well.inner or 0.0)
        for side in ("left", "right") if well.side == "both" else (well.side,):
            yield Well(side=side, x0=well.x[0], x1=well.x[1], width=width, height=well.height)


def _doors(said: SpaceFormat) -> Iterator[Opening]:
    rear = said.rear_door
    if rear is not None:
        start = rear.centre - rear.width / 2
        yield Opening(name="rear door", side="rear", start=start, width=rear.width, height=rear.height, sill=rear.sill)
    for name, door in (said.side_doors or {}).items():
        yield _side_door(name, door)


def _side_door(name: str, door: SideDoorFormat) -> Opening:
    return Opening(name=name, side=door.side, start=door.start, width=door.width, height=door.height, sill=door.sill)


Known = Iterator[tuple[str, float]]


def _known(said: SpaceFormat, space: Space, sketch: Sketch, stations: Stations) -> Known:
    """Yield what the file says, by the names of the boxes."""
    if space.survey is not None:
        yield from ((m.name, m.reading.mm) for m in space.survey.survey.measures)
    if said.floor.survey is None and said.floor.length and said.floor.width:
        yield from (("floor length", said.floor.length), ("floor width", said.floor.width))
    for i, well in enumerate(sketch.wells, 1):
        sizes = {"x0": well.x0, "x1": well.x1, "width": well.width, "height": well.height}
        yield from ((f"well {i} {name}", mm) for name, mm in sizes.items())
    for i, (x, z) in enumerate(sketch.roof, 1):
        yield from ((f"roof {i} x", x), (f"roof {i} z", z))
    for i, (z, x) in enumerate(sketch.front, 1):
        yield from ((f"front {i} z", z), (f"front {i} x", x))
    for n, (left, right) in enumerate(stations, 1):
        yield f"station {n} x", left.x
        for side, station in (("left", left), ("right", right)):
            yield from ((f"station {n} {z:g} {side}", width) for z, width in station.profile.items())
    for door in sketch.doors:
        sizes = {"start": door.start, "width": door.width, "height": door.height, "sill": door.sill}
        yield from ((f"{door.name} {name}", mm) for name, mm in sizes.items())


def _checked(sketch: Sketch, known: dict[str, float]) -> Known:
    """Yield how far apart what must agree is, where both are known."""
    for a, b in ways(sketch):
        if f"{a}-{b}" in known and f"{b}-{a}" in known:
            yield f"apart {a}-{b}", abs(known[f"{a}-{b}"] - known[f"{b}-{a}"])
    names = [name for name, _ in sketch.corners]
    if len(names) == 4:  # noqa: PLR2004 (a floor of four corners)
        a, b, c, d = names
        for name, one, other in (
            ("sides", f"{a}-{b}", f"{c}-{d}"), ("ends", f"{b}-{c}", f"{d}-{a}"), ("diagonals", f"{a}-{c}", f"{b}-{d}"),
        ):  # fmt: skip
            if one in known and other in known:
                yield f"alike {name}", abs(known[one] - known[other])
