"""The comparison sheets: readable, to one scale, from one corner, and true to the table."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
import shapely
from shapely.geometry import Polygon

from layout.drawing.model import Drawing, Text
from layout.drawing.model import Path as Line
from layout.jobs.arrange import Options, Tried, try_project
from layout.jobs.compare import Row, compared
from layout.jobs.comparison_sheets import comparison_drawings, comparison_files, comparison_of
from layout.jobs.load import Plan, load
from layout.jobs.section_people import people_in, shares_of
from layout.views.axonometric.camera import Camera
from layout.views.comparison.large import large_sheets
from layout.views.comparison.look import BED, BICYCLE, BIN, OTHER, look_of
from layout.views.comparison.overview import overview_sheets
from layout.views.comparison.pictures import short_name, sights_of
from layout.views.comparison.sheets import comparison_sheets
from layout.views.comparison.values import Column, Comparison, Scene
from layout.views.comparison.values import Line as Row_
from layout.views.options import ViewOptions
from layout.views.people import Figure, body_of
from tests.builders import EXAMPLES, ROOT, project_text, read
from tests.views.conftest import Check

PROJECTS = [*EXAMPLES, *sorted((ROOT / "tests" / "things").glob("*.yaml"))]
MARKET, TRAILER = ROOT / "examples" / "market-van.yaml", ROOT / "examples" / "box-trailer.yaml"
A3, TABLOID = ViewOptions(paper="A3", project="a test"), ViewOptions(paper="Tabloid", units="in", project="a test")
LONG = "bed across amidships, bicycles under the bed and outside when parked"
NAMES = ("bed at rear", "bunk rear left, bicycles outside at night", LONG, "galley left", "deck 780 mm")


@cache
def _plan(path: Path) -> Plan:
    return load(str(path))


def _comparison(plan: Plan, count: int, names: Sequence[str] = NAMES, rows: int = 9) -> Comparison:
    """Return a plan as so many arrangements with long and short names, and a table with long and short cells."""
    states = plan.project.said.states
    first = plan.layout.placed[states[0]]
    scenes = []
    for state in dict.fromkeys((states[0], states[-1])):
        placed = plan.layout.placed[state]
        inside = {p.name for p in placed}
        gone = tuple(p for p in first if p.name not in inside)
        scenes.append(Scene(said=state, placed=placed, people=people_in(plan, state), gone=gone))
    columns = tuple(
        Column(
            number=i + 1,
            name=names[i % len(names)],
            scenes=tuple(scenes),
            remarks=("At night: bike outside.",) * (i % 3),
        )
        for i in range(count)
    )
    lines = tuple(
        Row_(name=f"measure {j} of something long to say", cells=tuple(f"{100 * j + i} mm (to the mattress)" for i in range(count)),
             best=tuple(i == j % count for i in range(count)))
        for j in range(rows)
    )  # fmt: skip
    people = plan.layout.people
    stands = None
    if people:
        body = body_of(people[0], shares_of(plan))
        person = Figure(name=people[0].name, does="stand", at=(0, 0, 0), toward=(1, 0), body=body)
        stands = (person, f"{people[0].name}, {body.stature:.0f} mm tall")
    return Comparison(space=plan.project.space, columns=columns, lines=lines, stands=stands)


def _sheets_of(comparison: Comparison) -> dict[str, Drawing]:
    """Return the first of the sheets with the table, and of those with large pictures."""
    sights = sights_of(comparison, Camera())
    return {"overview": overview_sheets(comparison, sights, A3)[0], "large": large_sheets(comparison, sights, A3)[0]}


def _texts(drawing: Drawing, layer: str | None = None) -> list[Text]:
    return [m for m in drawing.marks if isinstance(m, Text) and (layer is None or m.layer == layer)]


@pytest.mark.parametrize("path", PROJECTS, ids=lambda p: p.stem)
def test_every_project_can_be_compared_and_read(path: Path, text_faults: Check) -> None:
    """No text overlaps another, leaves the frame or is tiny, for three arrangements and a long table, on A3."""
    for drawing in comparison_sheets(_comparison(_plan(path), 3), A3):
        assert text_faults(drawing) == []
        assert min(text.height for text in _texts(drawing) if text.layer != "sheet") >= 2.5


@pytest.mark.parametrize("count", [1, 2, 4, 5, 7, 20])
def test_any_number_of_arrangements_goes_on_sheets_of_its_own(count: int, text_faults: Check) -> None:
    """Each arrangement is once on a sheet with the table and once large, its number and name in large letters."""
    made = comparison_sheets(_comparison(_plan(TRAILER), count), TABLOID)
    small, large = ([d for d in made if d.name.startswith(word)] for word in ("comparison", "arrangements"))

    for sheets in (small, large):
        numbers = [int(t.text) for d in sheets for t in _texts(d, "heading") if t.anchor == "middle"]
        assert numbers == list(range(1, count + 1))
    assert len(small) == -(-count // 5)
    assert len(large) == -(-count // (2 if count in (2, 4, 20) else min(3, count)))
    assert [d for d in made if text_faults(d)] == []
    assert len({d.scale for d in large}) == 1


def test_pictures_are_to_the_scale_that_the_sheet_says() -> None:
    """The floor of every plan is as wide and long on paper as the room is, divided by the scale of the title block."""
    plan = _plan(MARKET)
    x0, y0, x1, y1 = plan.project.space.shell(0.0).bounds
    for drawing in comparison_sheets(_comparison(plan, 3), A3):
        floors = [m for m in drawing.marks if isinstance(m, Line) and m.layer == "floor" and m.closed and not m.id]
        assert len(floors) == 3
        assert drawing.scale is not None
        for floor in floors:
            xs, ys = zip(*floor.points, strict=True)
            assert max(xs) - min(xs) == pytest.approx((x1 - x0) / drawing.scale, abs=0.01)
            assert max(ys) - min(ys) == pytest.approx((y1 - y0) / drawing.scale, abs=0.01)


def test_all_pictures_are_seen_from_one_corner() -> None:
    """The lines of the room are the same in every picture, shifted by the width of a column only."""
    plan = _plan(MARKET)
    comparison = _comparison(plan, 3)
    # In the last one all has gone: what is looked at decides nothing.
    empty = replace(comparison.columns[2], scenes=(replace(comparison.columns[2].scenes[0], placed=()),))
    for drawing in comparison_sheets(replace(comparison, columns=(*comparison.columns[:2], empty)), A3):
        starts = _left_ends(drawing)
        assert starts[1] - starts[0] == pytest.approx(starts[2] - starts[1], abs=0.01)
        assert starts[1] - starts[0] > 50


def _left_ends(drawing: Drawing) -> list[float]:
    """Return the left ends of the rooms in the pictures: where the lowest points of their outlines are."""
    lines = [m for m in drawing.marks if isinstance(m, Line) and m.layer == "room"]
    low = min(y for m in lines for _, y in m.points)
    xs = sorted({round(x, 2) for m in lines for x, y in m.points if y < low + 0.01})
    found = [xs[0]]
    for x in xs:
        if x - found[-1] > 20:
            found.append(x)
    return found


def test_what_is_best_is_framed_and_nothing_else_is() -> None:
    """In each row as many cells are framed as are best, round their own text; rows alike stand below the table."""
    comparison = _comparison(_plan(MARKET), 3, rows=4)
    alike = Row_(name="sheets", cells=("4", "4", "4"), best=(False, False, False))
    drawing = _sheets_of(replace(comparison, lines=(*comparison.lines, alike)))["overview"]
    frames = [
        Polygon(m.points)
        for m in drawing.marks
        if isinstance(m, Line) and m.layer == "table" and m.closed and m.pen.width
    ]
    cells = [t for t in _texts(drawing, "table") if t.text.endswith("mm (to the") or t.text.endswith("mattress)")]
    framed = {t.text.split(" ", maxsplit=1)[0] for t in cells if any(f.contains(shapely.Point(t.at)) for f in frames)}
    wanted = {line.cells[i].split(" ", maxsplit=1)[0] for line in comparison.lines for i in range(3) if line.best[i]}

    assert len(frames) == 4
    assert framed - {"mattress)"} == wanted
    assert any("The same in all: sheets 4" in t.text for t in _texts(drawing, "table"))


def test_kinds_are_told_apart_without_colour() -> None:
    """Beds are lighter than bins, bins far lighter than bicycles, on every face, and the rest is hatched."""
    kinds = {t.kind: look_of(t) for path in EXAMPLES for t in _plan(path).layout.things}

    assert (kinds["bed platform"], kinds["mattress"], kinds["bin"], kinds["bicycle"]) == (BED, BED, BIN, BICYCLE)
    assert kinds["box"] is OTHER
    assert [look.hatched for look in (BED, BIN, BICYCLE, OTHER)] == [False, False, False, True]
    for i in range(3):
        assert BED.greys[i] - BIN.greys[i] >= 0.1
        assert BIN.greys[i] - BICYCLE.greys[i] >= 0.4


def test_people_lie_in_pictures_and_plans_and_what_is_gone_is_dashed() -> None:
    """At night both sleepers are drawn from above with their names, and the bicycles that stand outside are named so."""
    plan = _plan(MARKET)
    drawing = _sheets_of(_comparison(plan, 1))["large"]
    said = [text.text for text in _texts(drawing)]

    assert {"Ines", "Jon"} <= set(said)
    assert "bike: outside" in said
    gone = [m for m in drawing.marks if isinstance(m, Line) and m.layer == "gone"]
    assert {m.id for m in gone} == {"bike 1", "bike 2", "wheel 1", "wheel 2"}
    assert all(m.pen.dash == "chain" for m in gone)


def test_every_group_that_shows_is_named_or_said_to_be_hidden() -> None:
    """Nobody has to guess: each short name is on the sheet, or in the line of what the picture hides."""
    for path in EXAMPLES:
        plan = _plan(path)
        comparison = _comparison(plan, 1)
        drawing = _sheets_of(comparison)["large"]
        said = " ".join(text.text for text in _texts(drawing))
        things = comparison.columns[0].scenes[0].placed
        for name in {short_name(p, things) for p in things}:
            assert name in said, (path.stem, name)


def test_on_small_paper_pictures_are_smaller_and_letters_are_not(text_faults: Check) -> None:
    """On A4 all still goes, smaller; the letters stay as large."""
    comparison = _comparison(_plan(MARKET), 3)
    for drawing in comparison_sheets(comparison, ViewOptions(paper="A4")):
        assert text_faults(drawing) == []
        assert min(text.height for text in _texts(drawing) if text.layer != "sheet") >= 2.5


# ---- from a search to files -------------------------------------------------------------------------------------


@cache
def _tried() -> tuple[Tried, tuple[Row, ...]]:
    """Return what a small search finds: two boxes of which one may be outside at night, somebody to sleep."""
    box = {"kind": "box", "length": "900", "width": "500", "height": "400", "mass": "20"}
    text = project_text(
        title="=1+1", people={"Ada": {"stature": "1700"}},
        things={"=cmd": box, "tub": {**box, "length": "600"}}, free={"tub": {"outside": ["sleep"]}},
    )  # fmt: skip
    tried = try_project(read(text), Options(count=2, effort="quick"))
    return tried, compared(tried)


def test_files_are_a_pdf_an_svg_for_each_sheet_and_the_table() -> None:
    """The same search gives the same bytes; the PDF has a page for each SVG."""
    tried, rows = _tried()
    files = comparison_files(tried, rows)
    svgs = [name for name in files if name.endswith(".svg")]

    assert set(files) == {"comparison.pdf", "comparison.csv", "comparison-1.svg", "arrangements-1.svg"}
    assert files == comparison_files(tried, rows)
    assert files["comparison.pdf"].count(b"/Type /Page\n") == len(svgs)
    assert all(files[name].startswith(b"<?xml") for name in svgs)


def test_the_csv_has_the_table_and_names_are_no_formulas() -> None:
    """A row a measure, a column an arrangement, then which are best; cells are what people read."""
    tried, rows = _tried()
    table = list(csv.reader(io.StringIO(comparison_files(tried, rows)["comparison.csv"].decode())))

    assert len(table) == len(rows) + 1
    assert table[0][0] == "measure"
    assert len(table[0]) == len(tried.names) + 2
    for line, row in zip(table[1:], rows, strict=True):
        assert line[0] == row.name
        best = {int(number) for number in line[-1].split(", ") if number}
        assert best == {i + 1 for i, is_best in enumerate(row.best) if is_best}
    assert not any(cell.startswith(("=", "+", "-", "@")) for line in table for cell in line if cell != "-")


def test_scenes_and_remarks_tell_what_is_outside_when() -> None:
    """States in which all stands alike are one scene; what is outside in another is told in words and drawn as gone."""
    tried, rows = _tried()
    comparison = comparison_of(tried, rows)
    for column, one in zip(comparison.columns, tried.found.arrangements, strict=True):
        inside = [{p.name for p in one.layout.placed[state]} for state in ("drive", "camp", "sleep")]
        if len(set(map(frozenset, inside))) == 1:
            assert [scene.said for scene in column.scenes] == ["always like this"]
        else:
            assert [scene.said for scene in column.scenes] == ["on the road and in camp", "at night"]
            assert [p.name for p in column.scenes[1].gone] == ["tub"]
            assert "At night: tub outside." in column.remarks


def test_what_reads_alike_is_marked_alike() -> None:
    """Where figures differ by less than is written, no cell is best that reads like one that is not."""
    tried, _ = _tried()
    rows = [
        Row(name="a", cells=("0 mm", "0 mm"), best=(True, False), values=(0.1, 0.3)),
        Row(name="b", cells=("1 mm", "2 mm"), best=(True, False), values=(1.0, 2.0)),
    ]
    lines = comparison_of(tried, rows).lines

    assert [line.best for line in lines] == [(False, False), (True, False)]


def test_sheets_are_numbered_through() -> None:
    """The title block tells which sheet of how many each is, over both kinds."""
    tried, rows = _tried()
    made = comparison_drawings(tried, rows)

    said = [t.text for d in made for t in _texts(d) if t.id == "sheet"]
    assert said == [f"sheet {i + 1} of {len(made)}" for i in range(len(made))]
