"""The book: one file with everything, its contents true, its folder told, its sheets each to be had alone."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from layout.drawing.model import Drawing, Text
from layout.errors import InputError
from layout.export.index_page import files_of
from layout.export.write import write_files
from layout.jobs.book import Book, bound
from layout.jobs.draw import Paper
from layout.jobs.load import load
from layout.jobs.sheets import FILES, SHEETS, sheet_list, sheets_called
from tests.builders import EXAMPLES, ROOT
from tests.views.faults import faults_of

# Furniture whose edges follow a wall, so that there are templates.
FITTED = ROOT / "tests" / "things" / "wheel-well-box.yaml"

ROOFED = ROOT / "tests" / "checks" / "rules" / "roof-plan-good.yaml"


@cache
def _book(path: Path, paper: str | None = None) -> Book:
    return bound(load(str(path)), Paper(name=paper))


def _chapters(book: Book) -> set[str]:
    return {one.sheet.group.chapter for one in book.made if not one.sheet.group.loose}


def _said(drawing: Drawing) -> list[str]:
    return [mark.text for mark in drawing.marks if isinstance(mark, Text)]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_contents_tell_every_sheet_with_its_number(path: Path) -> None:
    """The number beside a title in the contents is that of the sheet, which is the page of the file."""
    drawings = _book(path).sheets
    pages = [d for d in drawings if d.name.startswith("Contents")]
    for number, drawing in enumerate(drawings, 1):
        assert f"sheet {number} of {len(drawings)}" in _said(drawing), drawing.title
    rows: dict[float, list[str]] = {}
    for i, page in enumerate(pages):
        for mark in page.marks:
            if isinstance(mark, Text) and mark.layer == "table":
                rows.setdefault(round(mark.at[1] - 1000 * i, 1), []).append(mark.text)
    told = [row for row in rows.values() if row[0].isdigit()]

    assert [int(row[0]) for row in told] == list(range(len(pages) + 1, len(drawings) + 1))
    assert [row[1] for row in told] == [d.title for d in drawings[len(pages) :]]


@pytest.mark.parametrize(
    ("path", "paper"),
    [*((path, None) for path in EXAMPLES), (EXAMPLES[-1], "A4")],
    ids=lambda p: p.stem if isinstance(p, Path) else p,
)
def test_the_contents_can_be_read(path: Path, paper: str | None) -> None:
    """What no kind of sheet of the list makes, the contents, is held to the same rules as all sheets."""
    pages = [drawing for drawing in _book(path, paper).sheets if drawing.name.startswith("Contents")]

    assert pages
    assert [faults_of(page, bound=True) for page in pages] == [[] for _ in pages]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_every_sheet_has_its_block_and_check_length(path: Path) -> None:
    """Each sheet has a number no other has, a type, the caution, and a length to measure of 100 mm or 4 in."""
    book = _book(path)
    length = 101.6 if "inch" in path.stem else 100.0
    numbers = []
    for drawing in book.sheets:
        named = {m.id: m.text for m in drawing.marks if isinstance(m, Text) and m.layer == "sheet" and m.id}
        (check,) = (m for m in drawing.marks if not isinstance(m, Text) and m.id == "check-length")
        numbers.append(named["number"])
        assert named["type"]
        assert named["check"].startswith("check before cutting")
        assert check.points[1][0] - check.points[0][0] == pytest.approx(length)
    assert len(set(numbers)) == len(numbers)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_loose_sheets_have_a_length_to_measure_and_their_own_file(path: Path) -> None:
    """Templates and stickers are no pages of the book; what is at full size can be measured, stickers leave no room."""
    book = _book(path)
    loose = [one for one in book.made if one.sheet.group.loose]
    assert "labels" not in [one.sheet.name for one in loose] or "cut-list.csv" in book.files
    for one in loose:
        assert f"{one.sheet.group.file}.pdf" in book.files
        for drawing in one.drawings:
            measured = any(not isinstance(m, Text) and m.id == "check-length" for m in drawing.marks)
            assert measured or one.sheet.name == "labels", drawing.name
            assert drawing not in book.sheets


def test_bookmarks_are_grouped() -> None:
    """The file has a bookmark for each chapter once, and one for each sheet."""
    book = _book(EXAMPLES[-1])
    data = book.files["book.pdf"]
    for chapter in _chapters(book):
        own = sum(drawing.title == chapter for drawing in book.sheets)
        assert data.count(f"/Title ({chapter})".encode()) == 1 + own
    # The title of the file is one more.
    assert data.count(b"/Title (") == len(book.sheets) + len(_chapters(book)) + 1


def test_cautions_are_the_usual_ones_and_the_projects() -> None:
    """The page names saws, restraint, loads, gas and ways out, certifies nothing, and has what the rule says here."""
    pages = [d for d in _book(ROOT / "examples" / "market-van.yaml").sheets if d.name.startswith("Cautions")]
    words = " ".join(text for page in pages for text in _said(page)).lower()
    for word in (
        "saw",
        "hard stop",
        "axle",
        "gas",
        "two ways out",
        "local code",
        "certify nothing",
        "stove: bottled gas",
    ):
        assert word in words


def test_the_page_of_the_folder_lists_every_file_with_what_it_is_for() -> None:
    """Each file stands on the page once, with a line that is not empty."""
    book = _book(ROOT / "examples" / "market-van.yaml")
    page = book.whole()["index.html"]

    assert sorted(files_of(page)) == sorted(book.files)
    lines = re.findall(r"</a></td><td>(.*?)</td>", page.decode())
    assert len(lines) == len(book.files)
    assert all(lines)


def test_a_second_book_writes_only_what_changed(tmp_path: Path) -> None:
    """The same project writes nothing; what an earlier book made and this one does not stays, and is told."""
    larger, smaller = (_book(ROOT / "examples" / f"{name}.yaml") for name in ("market-van", "compact-bins"))
    first = write_files(tmp_path, larger.whole(larger.left_in(tmp_path)))
    again = write_files(tmp_path, larger.whole(larger.left_in(tmp_path)))
    left = smaller.left_in(tmp_path)
    write_files(tmp_path, smaller.whole(left))

    assert (len(first.written), first.unchanged) == (len(larger.files) + 1, ())
    assert (again.written, len(again.unchanged)) == ((), len(larger.files) + 1)
    assert set(left) == set(larger.files) - set(smaller.files)
    assert all((tmp_path / name).is_file() for name in left)
    assert smaller.left_in(tmp_path) == left
    (tmp_path / left[0]).unlink()
    assert smaller.left_in(tmp_path) == left[1:]


def test_a_page_that_somebody_changed_names_no_file_elsewhere(tmp_path: Path) -> None:
    """What is left of an earlier book is looked for in the folder only, whatever its page says."""
    (tmp_path / "out").mkdir()
    (tmp_path / "secret").write_bytes(b"")
    (tmp_path / "out" / "index.html").write_text('<a class="file" href="../secret">x</a>', encoding="utf-8")
    assert _book(ROOT / "examples" / "compact-bins.yaml").left_in(tmp_path / "out") == ()


def test_every_kind_of_sheet_has_something_to_show_somewhere() -> None:
    """Each kind of sheet is made of some project, in the order of the list, and stands in it with what it is for."""
    books = [_book(path) for path in (*EXAMPLES, FITTED, ROOFED)]
    shown = {one.sheet.name for book in books for one in book.made}
    names = [sheet.name for sheet in SHEETS]

    assert shown == {*names, "contents"}
    assert [line.split()[0] for line in sheet_list().splitlines()] == names
    for book in books:
        made = [one.sheet.name for one in book.made][1:]
        assert made == [name for name in names if name in made]


def test_names_of_sheets_and_what_they_say_are_plain() -> None:
    """Names are words that can be typed, no two alike; each kind says what it is for."""
    assert len({sheet.name for sheet in SHEETS}) == len(SHEETS)
    assert all(re.fullmatch(r"[a-z0-9-]{3,14}", sheet.name) for sheet in SHEETS)
    assert all(len(says) > 10 for says in (*(sheet.says for sheet in SHEETS), *(kind.says for kind in FILES)))


def test_an_unknown_sheet_is_told_with_one_that_is_near() -> None:
    """A slip of the finger is told with the name that was meant, any other word with all names."""
    with pytest.raises(InputError, match="did you mean 'plan'"):
        sheets_called(["plann"])
    with pytest.raises(InputError, match="there are: cautions"):
        sheets_called(["zzz"])
