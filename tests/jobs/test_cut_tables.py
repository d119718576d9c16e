"""Tables of parts and sheets together: what does not go together is told with file and row."""

from __future__ import annotations

from pathlib import Path

import pytest

from layout.cutting.effort import Effort
from layout.errors import Fault, InputError
from layout.jobs.cut_tables import TableJob, job_from_tables, solve_tables
from layout.jobs.cut_words import CutWords

PARTS = "name,count,length,width,material,grain\n"
SHEETS = "name,material,length,width,price,count\n"
FULL = SHEETS + "full,birch 18,2440,1220,68,\n"


def _asked(folder: Path, parts: str, *sheets: str, words: CutWords = CutWords()) -> TableJob:  # noqa: B008 (frozen)
    paths = [folder / f"sheets{i + 1}.csv" for i in range(len(sheets))]
    for path, text in zip(paths, sheets, strict=True):
        path.write_text(text, encoding="utf-8")
    (folder / "parts.csv").write_text(parts, encoding="utf-8")
    return job_from_tables(str(folder / "parts.csv"), [str(path) for path in paths], "mm", words)


def _faults(folder: Path, parts: str, *sheets: str, words: CutWords = CutWords()) -> list[Fault]:  # noqa: B008 (frozen)
    with pytest.raises(InputError) as error:
        solve_tables(_asked(folder, parts, *sheets, words=words), Effort(level="quick"))
    return list(error.value.faults)


@pytest.mark.parametrize(
    ("row", "key", "words"),
    [
        ("side,1,600,300,birch 81,", "material", "perhaps birch 18"),
        ("side,1,600,300,oak,", "material", "there are: birch 18"),
        ("side,1,2500,300,birch 18,", "length", "2440 × 1220"),
        ("side,1,600,1300,birch 18,along", "length", "would fit if it were turned"),
        ("side,1,600,2,birch 18,", "width", "kerf of 3 mm"),
        ("side,1,2,600,birch 18,", "length", "kerf of 3 mm"),
        ("rail,1,900,,birch 18,", "material", "has only sheets"),
        ("rail,1,900,,batten,", "material", "no bar"),
    ],
)
def test_a_part_that_cannot_be_cut_is_told_with_its_row(tmp_path: Path, row: str, key: str, words: str) -> None:
    """Protects the writer of the tables: the row of the part, the key, and what would do."""
    [fault] = _faults(tmp_path, PARTS + "good,1,100,100,birch 18,\n" + row + "\n", FULL)

    assert (Path(fault.file).name, fault.line, fault.key) == ("parts.csv", 3, key)
    assert words in fault.text


def test_all_parts_too_large_are_told_at_once(tmp_path: Path) -> None:
    """Protects patience: each part that fits no sheet has its own line."""
    faults = _faults(tmp_path, PARTS + "a,1,2500,10,birch 18,\nb,1,50,50,birch 18,\nc,1,9000,10,birch 18,\n", FULL)

    assert [fault.line for fault in faults] == [2, 4]


def test_faults_of_tables_and_options_come_together(tmp_path: Path) -> None:
    """Protects patience: a wrong option, a wrong part and a wrong sheet are told in one go."""
    faults = _faults(tmp_path, PARTS + "a,0,50,50,birch 18,\n", FULL.replace("68", "dear"), words=CutWords(kerf="wide"))

    assert [fault.key for fault in faults] == ["--kerf", "count", "price"]


def test_two_tables_of_sheets_are_one_stock(tmp_path: Path) -> None:
    """Protects leftovers: they are given beside the sheets, and a name in both is told with both places."""
    left = "name,material,length,width,offcut\nleft,birch 18,600,400,yes\n"
    job = _asked(tmp_path, PARTS + "a,1,50,50,birch 18,\n", FULL, left).job
    assert [stock.name for stock in job.stocks] == ["full", "left"]

    [fault] = _faults(tmp_path, PARTS + "a,1,50,50,birch 18,\n", FULL, left.replace("left,", "full,"))
    assert (Path(fault.file).name, fault.line, fault.key) == ("sheets2.csv", 2, "name")
    assert "sheets1.csv, line 2" in fault.text


def test_one_material_is_one_thickness(tmp_path: Path) -> None:
    """Protects joints: a sheet of another thickness is another material; a few tenths are the same."""
    header = "name,material,length,width,thickness\n"
    rows = "a,birch 18,2440,1220,17.6\nb,birch 18,2440,1220,17.9\nc,birch 18,2440,1220,12\nd,birch 18,2440,1220,\n"
    [fault] = _faults(tmp_path, PARTS + "a,1,50,50,birch 18,\n", header + rows)

    assert (fault.line, fault.key) == (4, "thickness")
    assert "'a' of 'birch 18' is 17.6 mm" in fault.text


def test_a_file_that_is_not_utf8(tmp_path: Path) -> None:
    """Protects files saved in an old encoding: the first line with a wrong sign is told."""
    (tmp_path / "parts.csv").write_bytes(PARTS.encode() + b"k\xfcche,1,50,50,birch 18,\n")
    (tmp_path / "sheets.csv").write_text(FULL, encoding="utf-8")
    with pytest.raises(InputError, match=r"not UTF-8.*line 2"):
        job_from_tables(str(tmp_path / "parts.csv"), [str(tmp_path / "sheets.csv")], "mm", CutWords())


def test_what_spreadsheets_write_is_read(tmp_path: Path) -> None:
    """Protects spreadsheets and tapes: a byte-order mark, Windows line ends and inch fractions are all right."""
    parts = "\ufeff" + PARTS.replace("\n", "\r\n") + '"side",1,"23 5/8""",11 13/16 in,birch 18,\r\n'
    [part] = _asked(tmp_path, parts, FULL).job.parts

    assert (part.length, part.width) == (600.075, 300.0375)
