"""The verb ``print``: plan and elevations of every state, to scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from layout.drawing.model import Drawing
from layout.drawing.paper import ISO_SIZES, US_SIZES
from layout.errors import Fault, InputError, ValueFaultError
from layout.export.pdf import pdf
from layout.export.svg import svg
from layout.jobs.load import Plan
from layout.jobs.making import Tell, silent
from layout.jobs.section_people import only_in, people_in, peopled
from layout.jobs.sheets import Made, stems
from layout.units.length import Unit, drawn_unit
from layout.views.elevation import front_elevation, rear_elevation, side_elevation
from layout.views.findings import is_drawn
from layout.views.options import ViewOptions
from layout.views.plan import plan as floor_plan


@dataclass(frozen=True, kw_only=True)
class Paper:
    """The paper by name (None: A3, or Tabloid for inches), the scale as the 20 of 1:20 (None: what fits)."""

    name: str | None = None
    scale: int | None = None


def view_options(plan: Plan, paper: Paper) -> ViewOptions:
    """Return the options of the plan's drawings on that paper.

    Raises
    ------
    InputError
        When there is no such paper.
    """
    return options_for(plan.project.said.units, plan.project.said.title, paper)


def options_for(units: Unit, title: str, paper: Paper) -> ViewOptions:
    """Return the options of drawings in `units` under `title`.

    Raises
    ------
    InputError
        When there is no such paper.
    """
    drawn = drawn_unit(units)
    name = paper.name or ("Tabloid" if drawn == "in" else "A3")
    options = ViewOptions(paper=name, scale=paper.scale, units=drawn, project=title)
    try:
        _ = options.page
    except ValueFaultError as error:
        raise InputError([Fault("print", 0, 0, "--paper", error.text)]) from None
    return options


def reading_options(plan: Plan, paper: Paper) -> ViewOptions:
    """Return the options of pages to read: upright on the smallest paper, since text gains nothing by more.

    Raises
    ------
    InputError
        When there is no such paper.
    """
    options = view_options(plan, paper)
    family = US_SIZES if options.page.name in [name for name, _, _ in US_SIZES] else ISO_SIZES
    return replace(options, paper=family[0][0], orientation="portrait", scale=None)


VIEWS = ("plan", "left", "right", "rear", "front")


def drawings(plan: Plan, paper: Paper, state: str | None = None, tell: Tell = silent) -> tuple[Drawing, ...]:
    """Return the plan and the elevations of both sides, the rear and the front, of one state or of all.

    `tell` hears before each drawing what is being done.

    Raises
    ------
    InputError
        When there is no such state.
    ScaleError
        When the asked scale does not fit on the paper; the message names one that does.
    """
    return view_drawings(plan, paper, state, VIEWS, tell)


def view_drawings(
    plan: Plan, paper: Paper, state: str | None, names: Sequence[str], tell: Tell = silent, *, zones: bool = False
) -> tuple[Drawing, ...]:
    """Return some of the `VIEWS` of one state, or of all, state after state; raises as `drawings` does.

    `zones` shows in the plan what must stay free.
    """
    states = plan.project.said.states
    if state is not None and state not in states:
        raise InputError(
            [Fault("print", 0, 0, "--state", f"no state is called {state!r}; there are: {', '.join(states)}")]
        )
    chosen = [(state,)] if state is not None else _alike(plan, zones=zones)
    views = [(name, alike) for alike in chosen for name in names]
    options = view_options(plan, paper)
    made = []
    for i, (name, alike) in enumerate(views):
        tell(f"drawing {i + 1} of {len(views)}")
        stood = replace(options, sheet=i + 1, sheets=len(views), states=alike, people_of=only_in(plan, alike))
        made.append(_view(plan, name, alike, stood, zones))
    return tuple(made)


def moving_in(plan: Plan, state: str) -> tuple[tuple[str, str], ...]:
    """Return what moves in a state, by thing and part: on the road nothing opens."""
    placed = plan.layout.placed[state]
    own = [(one.name, motion.name) for one in placed for motion in one.motions if motion.used_in(state)]
    return (*own, *(("", motion.name) for motion in plan.project.space.motions if motion.used_in(state)))


def _alike(plan: Plan, *, zones: bool) -> list[tuple[str, ...]]:
    """Return the states in groups in which all stands alike and the same is drawn of what was found, and moves."""
    groups: dict[object, list[str]] = {}
    for state in plan.project.said.states:
        stood = tuple((placed.name, placed.solids) for placed in plan.layout.placed[state])
        found = tuple(i for i, f in enumerate(plan.findings) if is_drawn(f, state))
        moving = moving_in(plan, state) if zones else ()
        groups.setdefault((stood, found, moving), []).append(state)
    return [tuple(group) for group in groups.values()]


def _view(plan: Plan, name: str, alike: tuple[str, ...], options: ViewOptions, zones: bool) -> Drawing:
    space, layout, findings, state = plan.project.space, plan.layout, plan.findings, alike[0]
    people = people_in(plan, peopled(plan, alike))
    if name == "plan":
        # Who lies is left out: over the dashed bins below a bed nobody could tell the lines apart.
        awake = tuple(person for person in people if person.does != "lie")
        return floor_plan(space, layout, state, findings, options, people=awake, with_zones=zones)
    if name in {"rear", "front"}:
        end = rear_elevation if name == "rear" else front_elevation
        return end(space, layout, state, findings, options, people=people)
    side: Literal["left", "right"] = "left" if name == "left" else "right"
    return side_elevation(space, layout, state, side, findings=findings, options=options, people=people)


def drawing_files(made: Sequence[Made], title: str, name: str = "drawings") -> dict[str, bytes]:
    """Return each drawing as SVG and as PDF, and all together as ``NAME.pdf``, by file name."""
    sheets = [drawing for one in made for drawing in one.drawings]
    named = tuple(zip(stems(sheets), sheets, strict=True))
    files = {f"{stem}.svg": svg(drawing) for stem, drawing in named}
    files |= {f"{stem}.pdf": pdf([drawing], drawing.title) for stem, drawing in named}
    return {**files, f"{name}.pdf": pdf(sheets, title)}
