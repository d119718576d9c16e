"""What is spoiled and what the shop saws, on a cutting diagram: told apart in black and white, nothing overlapping."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from layout.drawing.model import Drawing, Path, Text
from layout.model.cutting import Cut, CutPlan, CutSheet, Damage, EdgeTrim, Region, Shop
from layout.views.cutting import carried, cutting_diagrams
from layout.views.options import ViewOptions

Check = Callable[[Drawing], list[str]]
CORNER, SPOT = Damage(x=2300, y=900, length=140, width=320), Damage(x=2000, y=40, length=12, width=9)


@pytest.fixture
def marked(cut_plan: CutPlan) -> CutPlan:
    """Return the first sheet with a damaged corner and a damaged spot, its first cut made by the shop."""
    material = cut_plan.materials[0]
    first = material.sheets[0]
    cut = first.root.cut
    assert cut is not None
    root = replace(first.root, cut=replace(cut, by="shop", kerf=3.2))
    sheet = CutSheet(number=1, stock=replace(first.stock, damage=(CORNER, SPOT)), root=root)
    return replace(cut_plan, materials=(replace(material, sheets=(sheet,)),))


def _drawn(plan: CutPlan, **options: object) -> Drawing:
    return cutting_diagrams(plan, ViewOptions(**options))[0]  # type: ignore[arg-type]  # options by name


def _texts(drawing: Drawing) -> list[str]:
    return [mark.text.replace("\u00a0", " ") for mark in drawing.marks if isinstance(mark, Text)]


def _paths(drawing: Drawing, layer: str) -> list[Path]:
    return [mark for mark in drawing.marks if isinstance(mark, Path) and mark.layer == layer]


def test_damage_is_outlined_hatched_and_named(marked: CutPlan) -> None:
    """Protects parts from knots and dents: a place has its outline, crossed hatching and its word, large or small."""
    drawing = _drawn(marked)
    outlines = [path for path in _paths(drawing, "damage") if path.closed]
    slopes = {
        (x1 - x0) * (y1 - y0) > 0
        for path in _paths(drawing, "damage")
        if not path.closed
        for (x0, y0), (x1, y1) in [path.points]
    }

    assert len(outlines) == 2
    assert slopes == {True, False}
    assert _texts(drawing).count("damage") == 2


def test_the_shops_cut_is_thick_and_dashed_and_carries_an_s(marked: CutPlan) -> None:
    """Protects the trip to the shop: its cut is told from the others without colour, on the sheet and in the table."""
    drawing = _drawn(marked)
    dashed = [path for path in _paths(drawing, "shop cuts") if path.pen.dash == "dashed"]

    assert len(dashed) == 1
    assert dashed[0].pen.width > 0.5
    assert len(_paths(drawing, "cuts")) == 1
    assert _texts(drawing).count("S1") == 2
    assert any("dashes and S: the shop saws" in text for text in _texts(drawing))


def test_a_sheet_without_damage_or_shop_says_nothing_of_them(cut_plan: CutPlan) -> None:
    """Protects plain diagrams from words that mean nothing there."""
    drawing = _drawn(cut_plan)

    assert not _paths(drawing, "damage")
    assert not _paths(drawing, "shop cuts")
    assert not any("shop" in text or "damage" in text for text in _texts(drawing))


@pytest.mark.parametrize("name", ["A4", "A3", "Letter"])
@pytest.mark.parametrize("way", ["landscape", "portrait"])
@pytest.mark.parametrize("units", ["mm", "in"])
def test_marked_texts_never_overlap(marked: CutPlan, text_faults: Check, name: str, way: str, units: str) -> None:
    """Protects the words on a diagram with damage and a shop's cut."""
    assert text_faults(_drawn(marked, paper=name, orientation=way, units=units)) == []


def test_the_table_says_from_which_edge_of_the_paper(marked: CutPlan) -> None:
    """Protects the fence on an upright sheet: its edges are named as they lie on the paper."""
    strip = Region(x=0, y=0, length=2440, width=12, kind="waste")
    kept = Region(x=0, y=15, length=2440, width=1205, kind="offcut")
    root = Region(
        x=0, y=0, length=2440, width=1220, cut=Cut(number=1, across="width", at=12, kerf=3), pieces=(strip, kept)
    )
    material = marked.materials[0]
    plan = replace(marked, materials=(replace(material, sheets=(replace(material.sheets[0], root=root),)),))

    assert {"1205", "top"} <= set(_texts(_drawn(plan, paper="A3")))
    assert {"1205", "left"} <= set(_texts(_drawn(plan, paper="A3", orientation="portrait")))


def _notes(drawing: Drawing) -> str:
    return " ".join(m.text for m in drawing.marks if isinstance(m, Text) and m.layer == "notes").replace("\u00a0", " ")


def test_trims_are_told_and_the_table_is_explained(cut_plan: CutPlan) -> None:
    """A job that trims 8 says so; a sheet with its own trims says which edge; none is told where nothing is trimmed."""
    job = replace(cut_plan.job, trim=8.0)
    own = replace(cut_plan.materials[0].sheets[0].stock, trim=EdgeTrim(left=5.0))
    first = replace(cut_plan.materials[0].sheets[0], stock=own)
    trimmed = replace(cut_plan, materials=(replace(cut_plan.materials[0], sheets=(first,)),))

    assert "trim: 8 off every edge of the sheet" in _notes(_drawn(replace(cut_plan, job=job)))
    assert "trim: 5 off its left edge" in _notes(_drawn(trimmed))
    assert "trim: 5 off its bottom edge" in _notes(_drawn(trimmed, paper="A3", orientation="portrait"))
    assert "trim" not in _notes(_drawn(cut_plan))
    assert "cuts of one letter leave the fence where it stands" in _notes(_drawn(cut_plan))


@pytest.mark.parametrize(
    ("car", "told"),
    [((1900.0, 1300.0), "the car takes 1900 × 1300: all of them"),
     ((1300.0, 900.0), "the car takes 1300 × 900: not 1780 × 1220"),
     (None, "the size of the car is not given")],
)  # fmt: skip
def test_what_is_carried_home_is_told(marked: CutPlan, car: tuple[float, float] | None, told: str) -> None:
    """The shop cuts at 1780: home go 1780 x 1220 and 657 x 1220; the car takes both, one, or nobody knows."""
    plan = replace(marked, job=replace(marked.job, shop=Shop(cuts=2, car=car, trim=0.0)))
    text = _notes(_drawn(plan))

    assert "to carry home after the shop's cuts: 1780 × 1220, 1220 × 657" in text
    assert told in text


def test_pieces_carried_home_are_those_that_the_shop_leaves(marked: CutPlan) -> None:
    """What the shop does not cut goes home whole; what it cuts goes in pieces, without its waste."""
    root = marked.materials[0].sheets[0].root
    plain = Region(x=0, y=0, length=2440, width=1220, kind="offcut")

    assert [(r.length, r.width) for r in carried(root)] == [(1780, 1220), (657, 1220)]
    assert carried(plain) == (plain,)
    assert carried(replace(plain, kind="waste")) == ()
