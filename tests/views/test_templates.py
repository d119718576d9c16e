"""Templates at full size: put together by their register marks they are the panel; offsets are its edges."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from pathlib import Path

import pytest
import shapely

from layout.drawing.model import Drawing, Text
from layout.drawing.model import Path as Line
from layout.jobs.draw import Paper
from layout.jobs.load import load
from layout.jobs.template_sheets import template_sheets
from layout.jobs.worked import panels_alike
from layout.model.worked import Alike
from layout.units.length import format_length, parse_length
from layout.views.panel_sheets.pages import way_words
from tests.builders import ROOT

Check = Callable[[Drawing], list[str]]
Pages = dict[str, list[Drawing]]
FOLDER = ROOT / "tests" / "things"
CURVED = [FOLDER / f"{name}.yaml" for name in ("lining", "wheel-well-box", "floor-panels", "partition")]
NAMES = ("box-trailer", "crosswise-wish", "high-roof-inches", "market-van")
SAME = 0.2  # mm: the outline put together against the panel's own
TOLD = 1.0  # mm: the offsets as printed against the outline


def _pages(path: Path, paper: str | None) -> tuple[dict[str, Alike], Pages]:
    """Return the panels by the name that their pages carry, and the pages at full size of each."""
    plan = load(str(path))
    panels = panels_alike(plan)
    named = {f"{one.first.part}{way}": one for one, way in zip(panels, way_words(panels), strict=True)}
    found: Pages = defaultdict(list)
    for drawing in template_sheets(plan, Paper(name=paper)):
        name, _, page = drawing.title.removeprefix("template, ").rpartition(", page ")
        if page and name in named:
            found[name].append(drawing)
    return named, found


def _registers(drawing: Drawing) -> dict[str, tuple[float, float]]:
    """Return where the register marks are on a page: the middle of the two lines that carry the name of each."""
    ends: dict[str, list[tuple[float, float]]] = defaultdict(list)
    for mark in drawing.marks:
        if isinstance(mark, Line) and mark.id.startswith("register "):
            ends[mark.id.removeprefix("register ")] += mark.points
    return {n: (sum(x for x, _ in p) / len(p), sum(y for _, y in p) / len(p)) for n, p in ends.items()}


def _cuts(drawing: Drawing) -> list[shapely.LineString]:
    return [shapely.LineString(m.points) for m in drawing.marks if isinstance(m, Line) and m.layer == "cut"]


def _joined(pages: list[Drawing]) -> shapely.Geometry:
    """Return the cut lines of all pages in the axes of the first, each page shifted so that two of its marks fall on
    those that already lie there; a page whose marks do not all fall on theirs is a failure.
    """
    known = _registers(pages[0])
    lines, waiting = _cuts(pages[0]), list(pages[1:])
    while waiting:
        page = next(p for p in waiting if len(set(_registers(p)) & set(known)) >= 2)
        waiting.remove(page)
        here = _registers(page)
        common = sorted(set(here) & set(known))
        dx, dy = (known[common[0]][i] - here[common[0]][i] for i in (0, 1))
        for name in common:
            assert (here[name][0] + dx, here[name][1] + dy) == pytest.approx(known[name], abs=SAME)
        known |= {name: (x + dx, y + dy) for name, (x, y) in here.items()}
        lines += [shapely.transform(line, lambda p, d=(dx, dy): p + d) for line in _cuts(page)]
    return shapely.union_all(lines)


@pytest.mark.parametrize("paper", ["A4", "A3", "Letter", "Tabloid"])
@pytest.mark.parametrize("path", CURVED, ids=lambda p: p.stem)
def test_pages_put_together_are_the_panel(path: Path, paper: str) -> None:
    """The pages, laid with mark on mark, give the panel's outline: nothing missing, nothing more, within 0.2 mm."""
    named, pages = _pages(path, paper)
    assert pages or path.stem == "floor-panels"
    for name, drawings in pages.items():
        whole = _joined(drawings)
        outline = shapely.LinearRing(named[name].first.outline)
        x, y = (whole.bounds[i] - outline.bounds[i] for i in (0, 1))
        moved = shapely.transform(whole, lambda p, d=(x, y): p - d)

        assert moved.buffer(SAME).covers(outline), name
        assert outline.buffer(SAME).covers(moved), name
        assert all(d.scale == 1 for d in drawings)


@pytest.mark.parametrize("path", CURVED, ids=lambda p: p.stem)
def test_pages_overlap_by_their_lap(path: Path) -> None:
    """What neighbours share is 12 mm wide: each page shows 6 mm past the line through its register marks."""
    _, pages = _pages(path, "A4")
    for drawings in pages.values():
        for drawing in drawings:
            xs, ys = zip(*_registers(drawing).values(), strict=True)
            for line in _cuts(drawing):
                x0, y0, x1, y1 = line.bounds
                assert x0 >= min(xs) - 6.001
                assert x1 <= max(xs) + 6.001
                assert y0 >= min(ys) - 6.001
                assert y1 <= max(ys) + 6.001


@pytest.mark.parametrize("inches", [False, True])
@pytest.mark.parametrize("path", CURVED, ids=lambda p: p.stem)
def test_offsets_as_printed_give_the_outline(path: Path, inches: bool) -> None:
    """Joined by straight lines, the offsets as they are printed (tenths of mm, 32nds of an inch) lie on the outline."""
    tried = 0
    for one in panels_alike(load(str(path))):
        outline = shapely.LinearRing(one.first.outline)
        for table in one.first.tables:
            points = []
            for at, off in table.rows:
                u, v = (_printed(mm, inches) for mm in (at, off))
                sign = -1 if table.side in ("bottom", "left") else 1
                across = _printed(table.base, inches) + sign * v
                points.append((u, across) if table.along == "length" else (across, u))
            line = shapely.LineString(points)
            tried += 1
            assert outline.buffer(TOLD).covers(line)
            edge = outline.intersection(shapely.convex_hull(line).buffer(TOLD))
            slanting = [
                shapely.LineString([a, b])
                for a, b in zip(one.first.outline, (*one.first.outline[1:], one.first.outline[0]), strict=True)
                if abs(a[0] - b[0]) > 0.3 and abs(a[1] - b[1]) > 0.3
            ]
            on_this = [s for s in slanting if line.buffer(TOLD).covers(s)]
            assert edge.length > 0
            assert on_this, "no slanting edge is told by this table"
    assert tried


def _printed(mm: float, inches: bool) -> float:
    text = format_length(mm, "in" if inches else "mm", denominator=32)
    return float(parse_length(text, "in" if inches else "mm"))


@pytest.mark.parametrize("path", CURVED, ids=lambda p: p.stem)
def test_every_slanting_edge_is_in_a_table(path: Path) -> None:
    """Each slanting edge of a panel lies on the line of one of its offset tables, so that none is left untold."""
    for one in panels_alike(load(str(path))):
        lines = []
        for table in one.first.tables:
            sign = -1 if table.side in ("bottom", "left") else 1
            rows = [(at, table.base + sign * off) for at, off in table.rows]
            lines.append(shapely.LineString(rows if table.along == "length" else [(v, u) for u, v in rows]))
        if not all(table.whole for table in one.first.tables):
            continue
        ring = one.first.outline
        for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
            if abs(a[0] - b[0]) > 0.3 and abs(a[1] - b[1]) > 0.3:
                assert any(line.buffer(0.06).covers(shapely.LineString([a, b])) for line in lines), (
                    one.first.part,
                    a,
                    b,
                )


@pytest.mark.parametrize("paper", ["A4", None, "Letter"])
@pytest.mark.parametrize("path", CURVED, ids=lambda p: p.stem)
def test_every_text_can_be_read(path: Path, paper: str | None, text_faults: Check) -> None:
    """No text overlaps another, leaves the frame or is under 1.8 mm; every page carries its name and a check length."""
    for drawing in template_sheets(load(str(path)), Paper(name=paper)):
        assert text_faults(drawing) == [], drawing.name
        lengths = [abs(m.points[1][0] - m.points[0][0]) for m in drawing.marks
                   if isinstance(m, Line) and m.id == "check-length"]  # fmt: skip
        assert lengths == pytest.approx([100.0])


@pytest.mark.parametrize("path", CURVED, ids=lambda p: p.stem)
def test_the_cut_line_is_bold_and_names_keep_off_it(path: Path) -> None:
    """The line to cut along is the widest of the page, and the page's name does not lie on it."""
    from layout.drawing.text_width import text_box

    _, pages = _pages(path, "A4")
    for drawing in (d for ds in pages.values() for d in ds):
        cut = [m for m in drawing.marks if isinstance(m, Line) and m.layer == "cut"]
        others = [m.pen.width for m in drawing.marks if isinstance(m, Line) and m.layer not in ("cut", "sheet")]
        names = [text_box(m) for m in drawing.marks if isinstance(m, Text) and m.layer == "page name"]
        assert min(m.pen.width for m in cut) > max(others)
        assert names
        for box in names:
            assert not any(line.intersects(shapely.box(*box)) for line in _cuts(drawing)), drawing.title


def test_pages_that_show_only_straight_edges_are_named(text_faults: Check) -> None:
    """The overview says which pages a rule replaces; on these pages every line runs along a side of the panel."""
    _, pages = _pages(FOLDER / "lining.yaml", None)
    overviews = {d.title.removeprefix("template, "): d for d in template_sheets(load(str(FOLDER / "lining.yaml")), Paper())
                 if ", page " not in d.title}  # fmt: skip
    told = 0
    for name, drawings in pages.items():
        text = " ".join(m.text for m in overviews[name].marks if isinstance(m, Text) and m.layer == "notes")
        said = text.partition("are on ")[2].partition(":")[0].split(", ") if "are on " in text else []
        for drawing in drawings:
            straight = all(
                abs(a[0] - b[0]) < 0.301 or abs(a[1] - b[1]) < 0.301
                for line in _cuts(drawing)
                for a, b in zip(list(line.coords), list(line.coords)[1:], strict=False)
            )
            page = drawing.title.rpartition(", page ")[2]
            assert (page in said) == straight or not said
            told += page in said
    assert told > 10


@pytest.mark.parametrize("path", [ROOT / "examples" / f"{name}.yaml" for name in NAMES], ids=lambda p: p.stem)
def test_square_furniture_needs_no_template(path: Path) -> None:
    """A plan whose panels have square corners only has no templates."""
    plan = load(str(path))
    curved = [one for one in panels_alike(plan) if one.first.tables]

    assert bool(template_sheets(plan, Paper())) == bool(curved)
