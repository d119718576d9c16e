"""Labels: one for every part as cut, each within its sticker, with the words that keep parts from being mixed up."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise
from pathlib import Path

import pytest

from layout.cutting.effort import Effort
from layout.drawing.model import SMALLEST_TEXT, Drawing, Text
from layout.drawing.model import Path as Line
from layout.drawing.text_width import inside, overlap, text_box
from layout.jobs.draw import Paper, view_options
from layout.jobs.label_sheets import label_sheets, labels_of
from layout.jobs.load import Plan, load
from layout.jobs.panels import parts_of, solve_plan
from layout.jobs.worked import panels_alike
from layout.model.sawing import walk
from tests.builders import ROOT, plan_of

NAMES = ("box-trailer", "crosswise-wish", "high-roof-inches", "market-van")
THINGS = sorted((ROOT / "tests" / "things").glob("*.yaml"))
FURNISHED = [*(ROOT / "examples" / f"{name}.yaml" for name in NAMES), *THINGS]
RACK = ROOT / "tests" / "things" / "bin-rack.yaml"
PRINTER = 5.0


def _cells(drawing: Drawing) -> list[tuple[float, float, float, float]]:
    found = [m for m in drawing.marks if isinstance(m, Line) and m.layer == "cut lines"]
    return [(min(x for x, _ in m.points), min(y for _, y in m.points), max(x for x, _ in m.points),
             max(y for _, y in m.points)) for m in found]  # fmt: skip


@pytest.mark.parametrize("paper", ["A3", "Letter"])
@pytest.mark.parametrize("path", FURNISHED, ids=lambda p: p.stem)
def test_every_text_stands_in_one_label_and_can_be_read(path: Path, paper: str) -> None:
    """Texts are large enough, apart, where a printer prints, and each within one sticker; stickers do not overlap."""
    for drawing in label_sheets(load(str(path)), None, Paper(name=paper)):
        texts = [m for m in drawing.marks if isinstance(m, Text)]
        boxes, cells = [text_box(m) for m in texts], _cells(drawing)
        printed = (PRINTER, PRINTER, drawing.width - PRINTER, drawing.height - PRINTER)

        assert all(m.height >= SMALLEST_TEXT for m in texts)
        assert all(inside(box, printed) for box in boxes)
        assert all(sum(inside(box, cell) for cell in cells) == 1 for box in boxes)
        assert not [(a, b) for i, a in enumerate(boxes) for b in boxes[:i] if overlap(a, b)]
        assert not [(a, b) for i, a in enumerate(cells) for b in cells[:i] if overlap(a, b, -0.01)]


@pytest.mark.parametrize("path", FURNISHED, ids=lambda p: p.stem)
def test_there_is_a_label_for_every_part(path: Path) -> None:
    """Labels counted by name are the parts of the cut list, and as many are on the sheets."""
    plan = load(str(path))
    wanted = {part.name: part.count for part in parts_of(plan.layout.things)}
    labels = labels_of(panels_alike(plan), None, view_options(plan, Paper()))

    assert Counter(label.name for label in labels) == wanted
    assert sum(len(_cells(drawing)) for drawing in label_sheets(plan, None, Paper())) == sum(wanted.values())


def test_labels_follow_the_sheets_of_a_cut_plan() -> None:
    """With a plan of cuts each label names the sheet on which a part of its name lies, counted sheet by sheet."""
    plan = load(str(RACK))
    cuts = solve_plan(plan, Effort(level="quick"))
    labels = labels_of(panels_alike(plan), cuts, view_options(plan, Paper()))
    told = Counter((label.name, label.lines[-1]) for label in labels)
    lie = Counter(
        (leaf.part, f"from {sheet.stock.name}, sheet {sheet.number}")
        for material in cuts.materials
        for sheet in material.sheets
        for leaf in walk(sheet.root)
        if leaf.kind == "part"
    )

    assert told == lie
    sheets = [label.lines[-1] for label in labels]
    assert len([1 for a, b in pairwise(sheets) if a != b]) == len(set(sheets)) - 1


def test_words_of_a_label() -> None:
    """A side of the rack: size, unit, which of the pair, and where the good face is."""
    plan = load(str(RACK))
    labels = [
        one for one in labels_of(panels_alike(plan), None, view_options(plan, Paper())) if one.name == "rack side"
    ]

    assert labels[0].lines == (
        "675.4 × 579.2 × 11.8 ply12", "for rack, 1\u00a0of\u00a02", "as drawn", "good face: the other side",
    )  # fmt: skip
    assert labels[1].lines[2] == "mirror image of the drawing"


def _banded(folder: Path) -> Plan:
    drawers = (ROOT / "tests" / "things" / "chest.yaml").read_text(encoding="utf-8")
    path = folder / "chest.yaml"
    path.write_text(drawers, encoding="utf-8")
    return load(str(path))


def test_bands_are_named_and_drawn(tmp_path: Path) -> None:
    """A banded edge is named on the label and drawn as a thick line, for each panel that has one."""
    from dataclasses import replace

    from layout.views.label_sheets import Grid, Label, label_pages

    plan = _banded(tmp_path)
    first = labels_of(panels_alike(plan), None, view_options(plan, Paper()))[0]
    work = replace(first.work, bands=(("left", 0.5), ("top", 0.5)), cut_length=first.work.length - 0.5)
    grid = Grid(columns=1, rows=1, width=70, height=37, between=0, printer=5)
    [page] = label_pages([Label(name="a", lines=("b",), work=work)], grid, view_options(plan, Paper(name="A4")).page)
    one = replace(panels_alike(plan)[0], first=work, same=(work,), mirrored=())
    [label] = labels_of([one], None, view_options(plan, Paper()))

    assert len([m for m in page.marks if m.layer == "bands"]) == 2
    assert "band: left end, upper edge" in label.lines
    assert any(line.startswith("saw to ") for line in label.lines)


def test_parts_without_room_on_the_sheets_say_so() -> None:
    """A part that the sheets on hand do not yield says so on its label and comes last."""
    plan = load(str(RACK))
    cuts = solve_plan(plan, Effort(level="quick"))
    short = type(cuts)(job=cuts.job, materials=cuts.materials[1:])
    labels = labels_of(panels_alike(plan), short, view_options(plan, Paper()))
    missing = [i for i, label in enumerate(labels) if label.lines[-1] == "no room for it on the sheets on hand"]

    assert missing
    assert missing == list(range(len(labels) - len(missing), len(labels)))


def test_no_furniture_no_labels(tmp_path: Path) -> None:
    """A plan without furniture has no labels."""
    crate = {"kind": "bin", "length": "400", "width": "300", "height": "200", "mass": "5"}
    plan = plan_of(tmp_path, things={"crate": crate}, arrangement={"crate": {"at": ["100", "0", "0"]}})

    assert label_sheets(plan, None, Paper()) == ()
