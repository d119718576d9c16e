"""A plan as DXF files for CAD and for machines: the drawn views, the panels, the sheets to cut."""

from __future__ import annotations

from collections.abc import Mapping

from layout.export.dxf import dxf
from layout.export.dxf_cuts import cuts_drawing
from layout.export.dxf_panels import CadPanel, cad_panels, panel_drawing, panels_drawing
from layout.export.dxf_room import RoomState, room_drawing
from layout.jobs.load import Plan
from layout.jobs.panels import parts_of
from layout.model.cutting import CutPlan
from layout.model.panel import Panel
from layout.model.thing import Thing
from layout.units.length import drawn_unit

Key = tuple[str, str, str, float, float, str]
PANELS, CUTS = "panels.dxf", "cut-sheets.dxf"


def dxf_files(plan: Plan, cuts: CutPlan | None) -> dict[str, bytes]:
    """Return every DXF file of a plan by name: a file for each state that looks different, the panels, the sheets.

    Raises
    ------
    RefereeError
        When a finished file is not sound: a fault of this program.
    """
    units = drawn_unit(plan.project.said.units)
    files: dict[str, bytes] = {}
    for room in _rooms(plan):
        files[_free(f"layout-{stem(room.state)}", files)] = dxf(room_drawing(room, units))
    panels = distinct_panels(plan)
    if panels:
        files[PANELS] = dxf(panels_drawing(panels, units))
    if cuts is not None and any(material.sheets for material in cuts.materials):
        files[CUTS] = dxf(cuts_drawing(cuts, units))
    return files


def panel_dxf_files(plan: Plan) -> dict[str, bytes]:
    """Return a DXF file for each distinct panel by name, for machines that want them one by one."""
    units = drawn_unit(plan.project.said.units)
    panels = distinct_panels(plan)
    digits = len(str(len(panels)))
    return {
        f"panel-{i:0{digits}d}-{stem(panel.name)}.dxf": dxf(panel_drawing(panel, units))
        for i, panel in enumerate(panels, 1)
    }


def _free(name: str, files: Mapping[str, bytes]) -> str:
    """Return the name of a DXF file that no other has, on systems too that know no capitals."""
    taken = {file.lower() for file in files}
    more = ["", *(f"-{i}" for i in range(2, len(files) + 2))]
    return next(f"{name}{end}.dxf" for end in more if f"{name}{end}.dxf".lower() not in taken)


def _rooms(plan: Plan) -> list[RoomState]:
    """Return the states in groups in which all stands alike and the same parts move."""
    groups: dict[object, list[str]] = {}
    for state in plan.project.said.states:
        placed = plan.layout.placed[state]
        stood = tuple((p.name, p.solids, tuple(m.name for m in p.motions if m.used_in(state))) for p in placed)
        groups.setdefault(stood, []).append(state)
    return [
        RoomState(space=plan.project.space, placed=plan.layout.placed[names[0]], state=names[0], states=tuple(names))
        for names in groups.values()
    ]


def distinct_panels(plan: Plan) -> tuple[CadPanel, ...]:
    """Return the distinct panels of a plan under the names that its lists of parts call them."""
    names = _part_names(plan.layout.things)
    return cad_panels(plan.layout.things, lambda thing, panel: names[_key(thing, panel)])


def _part_names(things: tuple[Thing, ...]) -> Mapping[Key, str]:
    """Return what the lists of parts call each panel: parts come in the order in which panels are first met."""
    keys = dict.fromkeys(_key(thing, panel) for thing in things for panel in thing.panels)
    return {key: part.name for key, part in zip(keys, parts_of(things), strict=True)}


def _key(thing: Thing, panel: Panel) -> Key:
    size = round(panel.cut_length, 3), round(panel.cut_width, 3)
    return thing.group, panel.name, panel.sheet.material, *size, panel.grain


def stem(name: str) -> str:
    """Return a name as the name of a file that every system takes."""
    return "".join(sign if sign.isalnum() or sign in "-_" else "-" for sign in name)[:_LONGEST_STEM]


_LONGEST_STEM = 80
