"""Several tables on a page: each under its heading, none broken without need, nothing on top of each other."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from layout.drawing.model import SMALL_TEXT, Drawing, Text
from layout.views.options import ViewOptions
from layout.views.tables import stacked_pages, table_pages

Check = Callable[[Drawing], list[str]]
HEADER = ("part", "length", "remark")
_WORDS = "a remark that goes on and on and on "


def _rows(count: int, times: int = 1) -> list[tuple[str, ...]]:
    return [(f"rail {i}", f"{100 * i + 5}", _WORDS * (times + i % 4)) for i in range(count)]


def _said(drawing: Drawing) -> list[str]:
    return [mark.text for mark in drawing.marks if isinstance(mark, Text)]


@pytest.mark.parametrize("paper", ["A4", "A3", "Letter", "Tabloid"])
def test_texts_of_stacked_tables_never_overlap(text_faults: Check, paper: str) -> None:
    """Tables of every length below each other keep apart, on the page and from the title block."""
    tables = [(f"Table {n}", HEADER, _rows(n)) for n in (1, 40, 3, 25, 7)]
    pages = stacked_pages("Lists", tables, ViewOptions(paper=paper, orientation="portrait"))

    assert [fault for page in pages for fault in text_faults(page)] == []
    said = [text for page in pages for text in _said(page)]
    assert sum(text.startswith("rail ") for text in said) == 1 + 40 + 3 + 25 + 7
    assert f"sheet 1 of {len(pages)}" in said


def test_a_table_that_goes_on_has_its_heading_again() -> None:
    """Whoever reads the second page sees which table it is and what its columns are."""
    pages = stacked_pages("Lists", [("Rails", HEADER, _rows(90))], ViewOptions(paper="A4", orientation="portrait"))

    assert len(pages) > 1
    assert all("Rails" in _said(page) and "remark" in _said(page) for page in pages)


def test_a_short_table_is_not_broken() -> None:
    """A short table that does not fit below the last one begins on the next page, whole."""
    long, short = ("Long", HEADER, _rows(22)), ("Short", HEADER, _rows(6))
    pages = stacked_pages("Lists", [long, short], ViewOptions(paper="A4", orientation="portrait"))
    # After 22 rows there is room for some of the 6 rows, not for all.
    with_it = [page for page in pages if "Short" in _said(page)]

    assert len(with_it) == 1
    assert sum(text.startswith("rail ") for text in _said(with_it[0])) >= 6


def test_no_tables_no_pages() -> None:
    """Nothing to print is no page; a table without rows takes none."""
    assert stacked_pages("Lists", []) == ()
    assert stacked_pages("Lists", [("Empty", HEADER, [])]) == ()


def test_long_sentences_are_broken_in_readable_letters() -> None:
    """Where smaller letters would not save a sentence from being broken, they stay as large as elsewhere."""
    (page,) = table_pages("Steps", HEADER, _rows(2, times=12), ViewOptions(paper="A4", orientation="portrait"))
    heights = {mark.height for mark in page.marks if isinstance(mark, Text) and mark.layer == "table"}

    assert heights == {SMALL_TEXT}


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_long_heading_is_broken(text_faults: Check, paper: str) -> None:
    """A heading wider than the page goes on in a second line, above the header and not over it."""
    pages = stacked_pages("Lists", [(_WORDS * 4, HEADER, _rows(3))], ViewOptions(paper=paper, orientation="portrait"))

    assert [fault for page in pages for fault in text_faults(page)] == []
    assert " ".join(_said(pages[0])).count("goes on and on") >= 4


def test_a_wide_table_gives_room_where_most_is_said() -> None:
    """Of two broken columns the one with sentences gets more room than the one with a few words."""
    long = [("fail", "way-in", _WORDS * 8, "take it apart " * 6)] * 5
    (page,) = table_pages(
        "Findings", ("", "rule", "what", "cure"), long, ViewOptions(paper="A4", orientation="portrait")
    )
    lines = {
        name: sum(words in said for said in _said(page)) for name, words in (("what", "goes on"), ("cure", "take it"))
    }

    # Five rows of about 290 and 85 letters: with equal columns the first would take three times as many lines.
    assert lines["what"] <= 2 * lines["cure"]
