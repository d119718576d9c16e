"""Tables of parts: read as meant, or every fault named with its line."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.errors import InputError
from layout.files.parts_table import read_parts_table
from layout.model.cutting import Part
from layout.model.lengths import Length

HEADER = "name,count,length,width,material,grain\n"


def _faults(text: str) -> list[tuple[int, str, str]]:
    with pytest.raises(InputError) as error:
        read_parts_table(text, "parts.csv", "mm")
    assert all(fault.file == "parts.csv" for fault in error.value.faults)
    return [(fault.line, fault.key, fault.text) for fault in error.value.faults]


def test_parts_are_read() -> None:
    """Protects the table: names, counts, lengths with and without unit, blank count 1, blank grain free."""
    text = HEADER + 'side,2,600,30 cm,birch 18,along\n\n"back, left",,23 5/8 in,"6\' 2""",birch 18,\n,,,,,\n'
    assert read_parts_table(text, "parts.csv", "mm").parts == (
        Part(name="side", material="birch 18", length=600, width=300, count=2, grain="along"),
        Part(name="back, left", material="birch 18", length=600.075, width=1879.6),
    )


def test_what_a_part_may_also_say() -> None:
    """Protects seen faces and banded edges: both columns are read, in any spelling of the header, and may be blank."""
    text = "name,length,width,material,Good face,edges\nside,600,300,18,Yes,front long\nback,600,300,18,,\n"
    assert read_parts_table(text, "parts.csv", "mm").parts == (
        Part(name="side", material="18", length=600, width=300, good_face=True, edges="front long"),
        Part(name="back", material="18", length=600, width=300),
    )


def test_a_blank_width_is_a_length() -> None:
    """Protects battens: a row without a width is cut from bars, and its line is known."""
    table = read_parts_table(HEADER + "side,1,600,300,18,\nrail,4,900,,batten,\n", "parts.csv", "mm")
    assert table.lengths == (Length(name="rail", material="batten", length=900, count=4),)
    assert [part.name for part in table.parts] == ["side"]
    assert dict(table.lines) == {"side": 2, "rail": 3}


@pytest.mark.parametrize("start", ["\ufeff", ""])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_what_spreadsheets_write(start: str, end: str) -> None:
    """Protects files from spreadsheets: a byte order mark, any line ends, columns in any order and case."""
    text = start + end.join(["Width,LENGTH,material, Name", "300,600,18,side", ""])
    assert read_parts_table(text, "parts.csv", "mm").parts == (Part(name="side", material="18", length=600, width=300),)


@pytest.mark.parametrize(
    ("text", "line", "key", "words"),
    [
        ("", 1, "", "is empty"),
        (HEADER, 1, "", "no rows"),
        (HEADER.replace(",", ";") + "side;1;2;3;m;\n", 1, "", "semicolons"),
        (HEADER.replace(",", "\t") + "side\t1\t2\t3\tm\t\n", 1, "", "tabs"),
        ("name,lenght,length,width,material\ns,1,1,1,m\n", 1, "lenght", "perhaps length"),
        ("name,length,material\nside,600,m\n", 1, "width", "missing"),
        ("name,length,length,width,material\nside,600,600,1,m\n", 1, "length", "2 columns"),
        (HEADER + "side,1,600,300,m\n", 2, "", "5 cells"),
        (HEADER + "side,1,600,5,300,m,free\n", 2, "", "7 cells"),
        (HEADER + "side,1,abc,300,m,\n", 2, "length", "cannot read"),
        (HEADER.replace(",", "|") + "side|1|2|3|m|\n", 1, "", "upright bars"),
        (HEADER + "side,1,,300,m,\n", 2, "length", "missing"),
        (HEADER + "side,1000000000,600,300,m,\n", 2, "count", "not a count"),
        (HEADER + "side,1,23 5/0,300,m,\n", 2, "length", "divides by zero"),
        (HEADER + "=A1,1,600,300,m,\n", 2, "name", "like a formula"),
        (HEADER + "-side,1,600,300,m,\n", 2, "name", "like a formula"),
        (HEADER + "side,1,600,300,@m,\n", 2, "material", "like a formula"),
        (HEADER + "side,1,600,300,+m,\n", 2, "material", "like a formula"),
        (HEADER + "side,1,=B2*2,300,m,\n", 2, "length", "like a formula"),
        ("name,length,width,material,edges\nside,600,300,m,=1\n", 2, "edges", "like a formula"),
        ("name,length,width,material,good_face\nside,600,300,m,up\n", 2, "good_face", "write yes or no"),
        (HEADER + "side,1,-600,300,m,\n", 2, "length", "more than zero"),
        (HEADER + "side,1,600,0,m,\n", 2, "width", "more than zero"),
        (HEADER + "side,1,600,0.2,m,\n", 2, "width", "shorter than 1 mm"),
        (HEADER + "side,1,20001,300,m,\n", 2, "length", "longer than 20 m"),
        (HEADER + "side,1,600 yards,300,m,\n", 2, "length", "unknown unit"),
        (HEADER + "side,0,600,300,m,\n", 2, "count", "not a count"),
        (HEADER + "side,-2,600,300,m,\n", 2, "count", "not a count"),
        (HEADER + "side,1.5,600,300,m,\n", 2, "count", "not a count"),
        (HEADER + "side,1e3,600,300,m,\n", 2, "count", "not a count"),
        (HEADER + "side,10001,600,300,m,\n", 2, "count", "not a count"),
        (HEADER + "a,6000,60,30,m,\nb,6000,60,30,m,\n", 0, "count", "12000 pieces"),
        (HEADER + "side,1,600,300,m,alnog\n", 2, "grain", "perhaps along"),
        (HEADER + ",1,600,300,m,\n", 2, "name", "blank"),
        (HEADER + "side,1,600,300,,\n", 2, "material", "blank"),
        (HEADER + "x" * 101 + ",1,600,300,m,\n", 2, "name", "101 letters"),
        (HEADER + "side,1,600,300,m,\nback,1,6,3,m,\nside,1,6,3,m,\n", 4, "name", "line 2"),
        (HEADER + "si\0de,1,600,300,m,\n", 2, "name", "U+0000"),
        (HEADER + "si\x1bde,1,600,300,m,\n", 2, "name", "U+001B"),
        (HEADER + "si\u202ede,1,600,300,m,\n", 2, "name", "U+202E"),
        (HEADER + '"si\nde",1,600,300,m,\n', 3, "name", "U+000A"),
        (HEADER + '"side,1,600,300,m,\n', 2, "", "comma-separated"),
        (HEADER + '"si"de,1,600,300,m,\n', 2, "", "comma-separated"),
        (HEADER + "x" * 140_000 + ",1,600,300,m,\n", 2, "", "comma-separated"),
    ],
)
def test_a_fault_is_named(text: str, line: int, key: str, words: str) -> None:
    """Protects the writer of the table: the fault is told with its line and column, never as a traceback."""
    assert [fault for fault in _faults(text) if fault[:2] == (line, key) and words in fault[2]]


def test_all_faults_come_at_once() -> None:
    """Protects patience: three faults in three lines are told together."""
    text = HEADER + "a,0,600,300,m,\nb,1,x,300,m,\nc,1,600,300,m,up\n"
    assert [fault[:2] for fault in _faults(text)] == [(2, "count"), (3, "length"), (4, "grain")]


def test_a_bare_number_needs_a_unit() -> None:
    """Protects against guessed units: with no default unit a bare number is refused."""
    with pytest.raises(InputError, match="no unit"):
        read_parts_table(HEADER + "side,1,600,300 mm,m,\n", "parts.csv", None)


@given(text=st.text(alphabet=st.sampled_from('name,width\r\n;"\t0123\x00\ufeff½é-'), max_size=80))
def test_no_text_ends_in_a_traceback(text: str) -> None:
    """Protects the command line: whatever follows the header, it is read or refused in words."""
    for start in ("", HEADER, "name,length,width,material\n"):
        try:
            read_parts_table(start + text, "parts.csv", "mm")
        except InputError:
            continue
