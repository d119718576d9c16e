"""The book as a printer sees it: measured, not believed. Skipped where the tools of poppler are not installed."""

from __future__ import annotations

import re
import shutil
import subprocess
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from layout.drawing.model import Drawing
from layout.drawing.model import Path as Line
from layout.jobs.book import Book, bound
from layout.jobs.draw import Paper
from layout.jobs.load import load
from tests.builders import ROOT

_PIXELS = 254 / 25.4  # a mm at 254 dots an inch


def _needs(tool: str) -> pytest.MarkDecorator:
    return pytest.mark.skipif(shutil.which(tool) is None, reason=f"{tool} is not installed")


@cache
def _book(example: str) -> Book:
    return bound(load(str(ROOT / "examples" / f"{example}.yaml")), Paper())


def _stored(book: Book, folder: Path) -> Path:
    path = folder / "book.pdf"
    path.write_bytes(book.files["book.pdf"])
    return path


def _run(*words: str) -> str:
    return subprocess.run(words, capture_output=True, text=True, check=True).stdout


def _check_line(drawing: Drawing) -> Line:
    (found,) = (mark for mark in drawing.marks if isinstance(mark, Line) and mark.id == "check-length")
    return found


def _run_of_ink(page: Path, drawing: Drawing) -> int:
    """Return how many pixels in a row are dark where the check length is drawn."""
    head, width, height, _, pixels = re.match(rb"(P5)\s(\d+)\s(\d+)\s(\d+)\s(.*)", page.read_bytes(), re.S).groups()  # type: ignore[union-attr]  # it is a PGM
    assert head == b"P5"
    ink = np.frombuffer(pixels, dtype=np.uint8).reshape(int(height), int(width)) < 128
    (x0, y), (x1, _) = _check_line(drawing).points
    row = ink[round((drawing.height - y) * _PIXELS)]
    middle = int((x0 + x1) / 2 * _PIXELS)
    left = middle - int(np.argmin(row[middle::-1]))
    right = middle + int(np.argmin(row[middle:]))
    return right - left - 1


@_needs("pdftoppm")
@pytest.mark.parametrize(("example", "pixels"), [("market-van", 1000), ("high-roof-inches", 1016)])
def test_the_check_length_of_every_sheet_is_true_on_paper(example: str, pixels: int, tmp_path: Path) -> None:
    """Rendered at 254 dots an inch, 100 mm are 1000 pixels and 4 in are 1016, to within 2, on every sheet of the book."""
    book = _book(example)
    drawings = book.sheets
    _run("pdftoppm", "-r", "254", "-gray", str(_stored(book, tmp_path)), str(tmp_path / "page"))
    pages = sorted(tmp_path.glob("page-*.pgm"))

    assert len(pages) == len(drawings) > 5
    for page, drawing in zip(pages, drawings, strict=True):
        assert abs(_run_of_ink(page, drawing) - pixels) <= 2, drawing.title


@_needs("pdfinfo")
@pytest.mark.parametrize("example", ["market-van", "high-roof-inches"])
def test_pages_are_as_large_as_the_paper(example: str, tmp_path: Path) -> None:
    """Every page of the file is the size of its sheet, to a thousandth of a point."""
    book = _book(example)
    said = _run("pdfinfo", "-f", "1", "-l", "999", str(_stored(book, tmp_path)))
    sizes = [(float(w), float(h)) for w, h in re.findall(r"size:\s+([\d.]+) x ([\d.]+) pts", said)]

    for size, drawing in zip(sizes, book.sheets, strict=True):
        assert size == pytest.approx((drawing.width * 72 / 25.4, drawing.height * 72 / 25.4), abs=0.006)


@_needs("pdffonts")
def test_the_only_font_is_embedded(tmp_path: Path) -> None:
    """Whoever prints the book needs no font of its own: one font, of which the signs used are in the file."""
    lines = _run("pdffonts", str(_stored(_book("market-van"), tmp_path))).splitlines()[2:]

    assert lines
    for row in lines:
        name, embedded, part, unicode = row.split()[0], *row.split()[-5:-2]
        assert name.endswith("+DejaVuSansCondensed")
        assert (embedded, part, unicode) == ("yes", "yes", "yes")


@_needs("pdftotext")
@pytest.mark.parametrize("example", ["market-van", "high-roof-inches"])
def test_texts_can_be_searched_for(example: str, tmp_path: Path) -> None:
    """What a page says comes out of the file as text: names, sizes with their signs, the number of the sheet."""
    book = _book(example)
    pages = _run("pdftotext", "-layout", str(_stored(book, tmp_path)), "-").split("\f")
    drawings = book.sheets
    for i, page in enumerate(pages[: len(drawings)]):
        assert f"sheet {i + 1} of {len(drawings)}" in page
        assert "check before cutting: not certified for safety" in page
    assert ("1320 × 940" if example == "market-van" else '31 19/32"') in " ".join(pages)
