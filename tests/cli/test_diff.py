"""The command that compares two projects: what it prints, what it writes, and how it ends."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.builders import EXAMPLES, ROOT
from tests.cli.test_commands import run

OLD = ROOT / "examples" / "market-van.yaml"


def _new(folder: Path, *changes: tuple[str, str]) -> str:
    """Return a copy of the example with some of its text changed."""
    text = OLD.read_text(encoding="utf-8")
    for was, now in changes:
        assert was in text
        text = text.replace(was, now)
    (folder / "new.yaml").write_text(text, encoding="utf-8")
    return str(folder / "new.yaml")


def test_an_example_beside_itself_has_no_changes() -> None:
    """The same project twice: exit code 0, and nothing is otherwise."""
    for path in EXAMPLES:
        done = run("diff", str(path), str(path), "--effort", "quick", "--anyway")
        assert "nothing is otherwise" in done.stdout, done.stderr
        assert done.returncode == (1 if path.stem == "crosswise-wish" else 0)


def test_a_shorter_bed_is_told_written_and_counted(tmp_path: Path) -> None:
    """A bed 80 shorter: the text on standard output, the files in the folder, JSON for programs, and the same bytes twice."""
    new = _new(
        tmp_path, ("    length: 1880\n", "    length: 1800\n"), ("mattress, length: 1880", "mattress, length: 1800")
    )
    words = ("diff", str(OLD), new, "--effort", "quick", "--anyway")
    told, data = (
        run(*words, "-o", str(tmp_path / "a")),
        json.loads(run(*words, "--json", "-o", str(tmp_path / "b")).stdout),
    )

    assert "2 × bed deck panel 1320 × 900 from bed deck panel 1320 × 940 of ply15: cut down" in told.stdout
    assert "files to" in told.stderr
    assert data["to_cut"] == []
    assert {r["how"] for r in data["reused"]} == {"as it is", "cut down"}
    assert data["cost"]["with_reuse"] == 0
    assert data["cost"]["all_new"] > 0
    assert [c["name"] for c in data["changed"]] == ["bed", "mattress"]
    names = {path.name for path in (tmp_path / "a").iterdir()}
    assert names >= {"diff.txt", "reuse.csv"}
    assert all((tmp_path / "a" / name).read_bytes() == (tmp_path / "b" / name).read_bytes() for name in names)
    assert (tmp_path / "a" / "diff.txt").read_text(encoding="utf-8") == told.stdout


def test_what_is_left_is_stock_for_the_next_cutting(tmp_path: Path) -> None:
    """sheets.csv of a bed that is broken up goes straight into the command that cuts."""
    text = OLD.read_text(encoding="utf-8")
    start, end = text.index("  bed:   "), text.index("  mattress: {kind")
    plain = text[:start] + text[end:]
    for line in ("  bed: {rear: 40, centre: 0}\n", "  mattress: {on: bed}\n"):
        assert line in plain
        plain = plain.replace(line, "")
    plain = plain.replace("bike 1: {in_front_of: bed, gap: 10, ", "bike 1: {rear: 1930, ").replace(", 15]", ", 0]")
    (tmp_path / "new.yaml").write_text(plain, encoding="utf-8")
    done = run(
        "diff", str(OLD), str(tmp_path / "new.yaml"), "--effort", "quick", "--anyway", "-o", str(tmp_path / "out")
    )
    assert "Traceback" not in done.stderr
    assert "removed\n  bed: bed platform, 1880 × 1320 × 700" in done.stdout
    (tmp_path / "parts.csv").write_text("name,count,length,width,material\nshelf,3,600,200,ply15\n", encoding="utf-8")
    cut = run("cut", "--parts", "parts.csv", "--sheets", "out/sheets.csv", "--effort", "quick", cwd=tmp_path)

    assert (cut.returncode, cut.stderr) == (0, "")
    assert "your own offcuts" in cut.stdout
    assert "0.00" in cut.stdout


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("diff",), "Missing argument 'OLD'"),
        (("diff", str(OLD)), "Missing argument 'NEW'"),
        (("diff", str(OLD), "nowhere.yaml"), "nowhere.yaml: cannot be read: no such file"),
        (("diff", "nowhere.yaml", "nor-here.yaml"), "nor-here.yaml: cannot be read: no such file"),
        (("diff", "-", "-"), "only one of the two files can be standard input"),
        (("diff", str(OLD), str(OLD), "--paper", "A9", "-o", "OUT"), "there is no paper 'A9'"),
        (("diff", str(OLD), str(OLD), "--effort", "much"), "--effort"),
    ],
)
def test_bad_words_exit_with_2(words: tuple[str, ...], says: str, tmp_path: Path) -> None:
    """What cannot be used is told in words, with exit code 2, and nothing is written."""
    done = run(*(str(tmp_path / "out") if word == "OUT" else word for word in words))

    assert (done.returncode, done.stdout) == (2, "")
    assert says in done.stderr
    assert "Traceback" not in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_faults_of_a_file_have_their_place(tmp_path: Path) -> None:
    """A fault in the new file is told with its line, as by every command."""
    new = _new(tmp_path, ("sheet: ply15", "sheet: plu15"))
    done = run("diff", str(OLD), new)

    assert done.returncode == 2
    assert f"{new}:" in done.stderr
    assert "the workshop has no sheet 'plu15'" in done.stderr


def test_standard_input_may_be_one_of_the_two() -> None:
    """A dash reads one of the two projects from standard input."""
    done = run("diff", "-", str(OLD), "--effort", "quick", "--anyway", given=OLD.read_text(encoding="utf-8"))

    assert done.returncode == 0
    assert "nothing is otherwise" in done.stdout


def test_help_lists_the_command() -> None:
    """Help of the program names it, help of the command shows an example."""
    assert "diff" in run("--help").stdout
    assert "layout diff my-van.yaml" in run("diff", "--help").stdout
