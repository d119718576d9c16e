"""Names of people's own that try to be paths, markup, formulas or commands: they stay names in every file."""

from __future__ import annotations

import csv
import json
import shutil
import subprocess
import xml.etree.ElementTree as ET
from html.parser import HTMLParser
from io import StringIO
from pathlib import Path
from typing import Any

import pytest

from layout.errors import InputError
from layout.export.write import is_plain, write_files
from layout.jobs.book import Book, bound
from layout.jobs.draw import Paper, drawing_files
from layout.jobs.load import Plan, load
from layout.jobs.making import Making
from layout.jobs.sheets import file_names, in_one_count, make_sheets, sheets_called
from tests.builders import plan_of

SCRIPT = "<script>alert(1)</script>"
PATHS = ("../../etc/passwd", "..", "C:\\con", "a/b", "a-b", "A-B")
FORMULA = "=HYPERLINK(1)"
OTHER = ("+1", "@SUM(A1)", "-2", "]]>", '"><b>', "&amp;", "(a) Tj ET", "x" * 60)
PLY = {"length": "2440", "width": "1220", "thickness": "15", "density": "700", "price": "60"}


def _plan(folder: Path) -> Plan:
    names = (SCRIPT, FORMULA, *PATHS, *OTHER)
    crate: dict[str, Any] = {"kind": "bin", "length": "200", "width": "100", "height": "100", "mass": "1"}
    things: dict[str, Any] = dict.fromkeys(names, crate)
    things["=rack"] = {
        "kind": "bin rack",
        "takes": SCRIPT,
        "columns": "1",
        "rows": "1",
        "sheet": "+ply",
        "back": "none",
    }
    places: dict[str, Any] = {"=rack": {"at": ["2000", "0", "0"]}}
    for i, name in enumerate(names):
        places[name] = {"at": [str(20 + 220 * (i % 8)), str(-700 + 150 * (i // 8)), "0"]}
    return plan_of(
        folder,
        title=f"{SCRIPT} ../..",
        states=["drive", *PATHS],
        things=things,
        arrangement=places,
        workshop={"currency": SCRIPT, "sheets": {"+ply": PLY}},
    )


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Book:
    """Return the book of a project with every hostile name, cut even if a check fails."""
    return bound(_plan(tmp_path_factory.mktemp("hostile")), Paper(), anyway=True)


def test_names_of_files_are_plain_and_no_two_alike(book: Book, tmp_path: Path) -> None:
    """No file leaves the folder, none takes the place of another, not even where case does not count."""
    files = book.whole()
    write_files(tmp_path / "out", files)

    assert all(is_plain(name) and len(name) < 100 for name in files)
    assert len({name.casefold() for name in files}) == len(files)
    assert {path.name for path in (tmp_path / "out").iterdir()} == set(files)
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def test_states_that_differ_only_in_signs_keep_their_own_files(tmp_path: Path) -> None:
    """The states a/b, a-b and A-B, drawn one at a time, are told apart when they are drawn together."""
    plan = _plan(tmp_path)
    made = [m for state in ("a/b", "a-b", "A-B") for m in _made(plan, state)]
    files = drawing_files(in_one_count(made), "t")

    assert sorted(n for n in files if n.endswith(".svg")) == ["plan-A-B-3.svg", "plan-a-b-2.svg", "plan-a-b.svg"]


def _made(plan: Plan, state: str) -> Any:
    return make_sheets(sheets_called(["plan"]), Making(plan=plan, state=state), Paper())


def test_svg_is_xml_and_says_the_names(book: Book) -> None:
    """Every SVG is read by an XML parser, holds no element but those of drawings, and has the names as text."""
    said: set[str] = set()
    for name, data in book.files.items():
        if name.endswith(".svg"):
            root = ET.fromstring(data)
            kinds = {element.tag.rpartition("}")[2] for element in root.iter()}
            assert kinds <= {"svg", "defs", "title", "rect", "g", "path", "text"}, name
            said |= {element.text or "" for element in root.iter() if element.tag.endswith("}text")}
    assert SCRIPT in said or any("<script>" in text for text in said)
    assert "=rack" in said


class _Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.links: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.links += [value or "" for key, value in attrs if key in ("href", "src")]


def test_the_page_of_contents_has_no_script_and_links_to_files_beside_it(book: Book) -> None:
    """A browser that opens the page runs nothing and fetches nothing."""
    page = _Tags()
    page.feed(book.whole(left=('a"b<i>.svg',))["index.html"].decode())

    assert page.tags <= {"html", "head", "meta", "title", "style", "body", "h1", "h2", "p", "table", "tr", "td", "a"}
    assert len(page.links) == len(book.files) + 1
    assert not any("/" in link or ":" in link for link in page.links)


def test_no_page_runs_what_a_name_says(book: Book) -> None:
    """Also a page with a script of its own holds none of a name's."""
    for name, data in book.files.items():
        if name.endswith(".html"):
            assert SCRIPT.encode() not in data, name
            assert b"http" not in data.replace(b"http://www.w3.org/", b""), name


def test_csv_has_no_formulas(book: Book) -> None:
    """No cell of any table begins as a formula does; the rack's name is there behind an apostrophe."""
    cells = [
        cell
        for name, data in book.files.items()
        if name.endswith(".csv")
        for row in csv.reader(StringIO(data.decode()))
        for cell in row
    ]
    assert "'=rack" in cells
    assert [
        c for c in cells if c.startswith(("=", "+", "@", "\t", "\r")) or (c.startswith("-") and not _number(c))
    ] == []


def _number(cell: str) -> bool:
    return cell.replace(".", "", 1).lstrip("-").isdigit()


def test_json_says_the_names_as_they_are(book: Book) -> None:
    """For programs nothing is changed."""
    names = [thing["name"] for thing in json.loads(book.files["findings.json"])["things"]["drive"]]
    assert {SCRIPT, FORMULA, *PATHS, *OTHER, "=rack"} <= set(names)


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="pdftotext is not installed")
def test_pdf_is_read_by_another_program_and_says_the_names(book: Book, tmp_path: Path) -> None:
    """The book opens without complaint, every page of it, and a name that looks like a command of PDF is text."""
    (tmp_path / "book.pdf").write_bytes(book.files["book.pdf"])
    done = subprocess.run(["pdftotext", str(tmp_path / "book.pdf"), "-"], capture_output=True, text=True, check=True)
    assert done.stderr == ""
    assert done.stdout.count("\f") == len(book.sheets)
    assert "(a) Tj ET" in done.stdout
    assert SCRIPT in done.stdout.replace("\n", "")


@pytest.mark.parametrize("name", ["\u202eback", "x" * 61, "a\u2028b", ""])
def test_names_that_no_file_should_hold_are_refused(name: str, tmp_path: Path) -> None:
    """A sign that turns the text round, breaks the line or cannot be seen is a fault of the file, told with its place."""
    crate = {"kind": "bin", "length": "200", "width": "100", "height": "100", "mass": "1"}
    with pytest.raises(InputError, match=r"printable characters on one line|control character"):
        plan_of(tmp_path, things={name: crate}, arrangement={name: {"at": ["0", "0", "0"]}})


@pytest.mark.parametrize("sign", ["\ud800", "\x07", "\u202e"])
def test_a_title_with_half_a_sign_is_no_traceback(tmp_path: Path, sign: str) -> None:
    """Half a sign, a bell or one that turns the text round in the title is told as a fault of the file."""
    text = 'layout: 1\ntitle: "a\\u%04xb"\nunits: mm\nspace: {floor: {length: 3000, width: 1700}, roof: {0: 1800}}\n'
    (tmp_path / "v.yaml").write_text(text % ord(sign), encoding="utf-8")
    with pytest.raises(InputError, match=r"v\.yaml:2:"):
        load(str(tmp_path / "v.yaml"))


def test_names_of_files_that_would_be_alike_are_told_apart() -> None:
    """What differs only in signs, in case, or after the sixtieth sign gets a number; order and count are kept."""
    wished = ["scene-a/b", "scene-a-b", "scene-A-B", "", "../..", "x" * 80, "x" * 81, "scene-a-b-2"]
    names = file_names(wished)

    assert len(names) == len(wished)
    assert names[:3] == ("scene-a-b", "scene-a-b-2", "scene-A-B-3")
    assert len({name.casefold() for name in names}) == len(names)
    assert all(is_plain(name) and len(name) <= 62 for name in names)


def test_states_that_stand_otherwise_have_their_own_scene_and_dxf(tmp_path: Path) -> None:
    """The states a/b and a-b, in which a crate stands in other places, do not overwrite each other's files."""
    crate = {"kind": "bin", "length": "200", "width": "100", "height": "100", "mass": "1"}
    plan = plan_of(
        tmp_path,
        states=["a/b", "a-b"],
        things={"crate": crate},
        arrangement={"crate": {"at": ["100", "0", "0"], "states": {"a-b": {"at": ["900", "0", "0"]}}}},
    )
    files = bound(plan, Paper()).files

    assert {"scene-a-b.glb", "scene-a-b-2.glb", "layout-a-b.dxf", "layout-a-b-2.dxf"} <= set(files)
    assert files["scene-a-b.glb"] != files["scene-a-b-2.glb"]
