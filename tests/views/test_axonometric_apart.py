"""Furniture drawn apart: every piece shows and is counted, lists agree with the cut list, nothing overlaps."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from layout.drawing.model import Drawing, Text
from layout.jobs.axonometric_sheets import exploded_sheets, piece_names
from layout.jobs.built import built
from layout.jobs.draw import Paper
from layout.jobs.load import Plan, load
from layout.jobs.panels import parts_of
from layout.model.solid import box
from layout.views.axonometric.apart import apart, guides
from layout.views.axonometric.bodies import of_panel, of_solid
from layout.views.axonometric.camera import Camera
from layout.views.axonometric.edges import boxes_of
from layout.views.axonometric.picture import shares
from layout.views.axonometric.scene import Group
from tests.builders import EXAMPLES, ROOT
from tests.views.conftest import Check

PATHS = [*EXAMPLES, *sorted((ROOT / "tests" / "things").glob("*.yaml"))]


@cache
def _plan(path: Path) -> Plan:
    return load(str(path))


def _texts(drawing: Drawing, layer: str) -> list[str]:
    return [mark.text for mark in drawing.marks if isinstance(mark, Text) and mark.layer == layer]


@pytest.mark.parametrize("paper", [None, "A4"])
@pytest.mark.parametrize("path", PATHS, ids=lambda p: p.stem)
def test_texts_can_be_read(path: Path, paper: str | None, text_faults: Check) -> None:
    """Protects numbers and lists: none overlaps another, leaves the frame or is under 1.8 mm."""
    for drawing in exploded_sheets(_plan(path), Paper(name=paper)):
        assert text_faults(drawing) == [], drawing.name


@pytest.mark.parametrize("path", PATHS, ids=lambda p: p.stem)
def test_each_kind_of_furniture_has_one_sheet_with_all_its_pieces(path: Path) -> None:
    """Protects the count: a sheet for each group, whose list adds up to the unit's pieces, each kind marked."""
    plan = _plan(path)
    sheets = exploded_sheets(plan, Paper(name="A2"))
    units = {unit.group: unit for unit in built(plan)}
    assert [sheet.name for sheet in sheets] == [f"apart-{group}" for group in units]
    for sheet, unit in zip(sheets, units.values(), strict=True):
        rows = _texts(sheet, "table")
        keys = [text for text in rows if text.isdigit()]
        counts = [int(text[:-2]) for text in rows if text.endswith(" ×")]
        assert sum(counts) == len(unit.panels) + len(unit.battens)
        assert set(keys) == set(_texts(sheet, "labels"))


@pytest.mark.parametrize("path", PATHS, ids=lambda p: p.stem)
def test_names_are_those_of_the_cut_list(path: Path) -> None:
    """Protects finding a panel in the pile: each is called as in the list of parts, which has as many of it."""
    units = built(_plan(path))
    counted: dict[str, int] = {}
    for unit in units:
        for name in piece_names(unit, units)[: len(unit.panels)]:
            counted[f"{unit.group} {name}"] = counted.get(f"{unit.group} {name}", 0) + 1
    assert counted == {part.name: part.count for part in parts_of(units)}


def test_sizes_are_those_of_the_panels() -> None:
    """Protects the list by the cabinet's own arithmetic: its back is 886.4 × 756.4 × 5.9, one of it."""
    sheet = exploded_sheets(_plan(ROOT / "tests" / "things" / "cabinet.yaml"), Paper())[0]
    rows = _texts(sheet, "table")
    panel = next(p for p in built(_plan(ROOT / "tests" / "things" / "cabinet.yaml"))[0].panels if p.name == "back")
    at = rows.index("back")
    assert rows[at + 1] == "1 ×"
    numbers = [float(n) for n in rows[at + 2].split(" × ")]
    assert numbers == pytest.approx([panel.length, panel.width, panel.sheet.thickness], abs=0.06)


def test_equal_units_are_drawn_once_with_their_count() -> None:
    """Protects few sheets: six equal bins are one sheet that says so."""
    sheets = exploded_sheets(_plan(ROOT / "tests" / "things" / "bin-rack.yaml"), Paper())
    titles = [sheet.title for sheet in sheets]
    assert "marionettes drawn apart, 6 of them" in titles
    assert len(sheets) == 3


@pytest.mark.parametrize("path", PATHS, ids=lambda p: p.stem)
def test_no_piece_hides_another_wholly(path: Path) -> None:
    """Protects the purpose of the sheet: drawn apart, of every piece at least a twentieth shows."""
    for unit in {unit.group: unit for unit in built(_plan(path))}.values():
        bodies = [*(of_panel(p) for p in unit.panels), *(of_solid(b.solid) for b in unit.battens)]
        by = apart(bodies, Camera())
        groups = [Group(name=b.name, bodies=(b.moved(d),)) for b, d in zip(bodies, by, strict=True)]
        assert min(shares(groups, Camera())) > 0.05, unit.name


def test_pieces_move_along_axes_and_keep_their_order() -> None:
    """Protects reading it as furniture: each piece moves along one axis, outer ones farther than inner ones."""
    boxes = [
        box("bottom", (0, 400), (0, 300), (0, 12)),
        box("shelf", (0, 400), (0, 300), (300, 312)),
        box("top", (0, 400), (0, 300), (600, 612)),
        box("left", (0, 400), (288, 300), (12, 600)),
        box("right", (0, 400), (0, 12), (12, 600)),
    ]
    by = apart([of_solid(b) for b in boxes], Camera())
    assert all(np.count_nonzero(way) <= 1 for way in by)
    assert by[0, 2] < by[1, 2] < by[2, 2]
    assert by[1].tolist() == [0, 0, 0]
    assert by[4, 1] < 0 < by[3, 1]


def test_guides_lead_from_piece_to_piece() -> None:
    """Protects the thin lines: each begins and ends at a piece as it is drawn, and turns where the two meet."""
    solids = [box("a", (0, 400), (0, 300), (0, 12)), box("b", (0, 400), (0, 12), (12, 600))]
    bodies = [of_solid(solid) for solid in solids]
    by = apart(bodies, Camera())
    (way,) = guides(bodies, ("a", "b"), by)
    boxes = boxes_of(bodies)
    for end, i in ((way[0], 1), (way[-1], 0)):
        assert (end >= boxes[i, 0] + by[i] - 1e-6).all()
        assert (end <= boxes[i, 1] + by[i] + 1e-6).all()
    for i in (0, 1):
        assert (way[1] >= boxes[i, 0] - 1e-6).all()
        assert (way[1] <= boxes[i, 1] + 1e-6).all()
