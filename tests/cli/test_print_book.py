"""``layout print --sheet`` and ``layout book`` as a person runs them."""

from __future__ import annotations

from pathlib import Path

from tests.cli.test_commands import run

VAN = "examples/market-van.yaml"


def test_any_sheet_can_be_printed_by_name(tmp_path: Path) -> None:
    """Named sheets and no others are drawn, numbered among themselves."""
    done = run("print", VAN, "-o", str(tmp_path), "--sheet", "rear", "--sheet", "panel-list", "--state", "drive")
    names = {path.name for path in tmp_path.iterdir()}

    assert done.returncode == 0
    assert names == {"rear-drive.svg", "rear-drive.pdf", "Panels-1.svg", "Panels-1.pdf", "drawings.pdf"}
    assert b"sheet 2 of 2" in (tmp_path / "Panels-1.svg").read_bytes()


def test_the_sheets_are_listed_with_what_they_are_for() -> None:
    """Without a folder, and quickly, the kinds of sheet are told on standard output."""
    done = run("print", VAN, "--sheet", "list")

    assert (done.returncode, done.stderr) == (0, "")
    assert "cutting " in done.stdout
    assert all(len(line.split(maxsplit=1)) == 2 for line in done.stdout.splitlines())


def test_a_blank_sheet_to_measure_needs_no_project(tmp_path: Path) -> None:
    """Before anything is known there is a sheet to take along, in the units of the tape."""
    done = run("print", "--blank", "trailer", "--units", "in", "-o", str(tmp_path))
    both, unknown = run("print", VAN, "--blank", "van", "-o", "x"), run("print", "--blank", "boat", "-o", "x")

    assert done.returncode == 0
    assert (tmp_path / "measure.pdf").read_bytes().startswith(b"%PDF")
    assert (both.returncode, unknown.returncode) == (2, 2)
    assert "give either a PROJECT or --blank" in both.stderr
    assert "there are: van" in unknown.stderr


def test_a_sheet_with_nothing_on_it_is_told(tmp_path: Path) -> None:
    """A project without furniture has no cutting diagram, and that is said; nothing is written."""
    done = run("print", "examples/compact-bins.yaml", "-o", str(tmp_path / "out"), "--sheet", "cutting")

    assert done.returncode == 0
    assert "nothing to draw on sheet 'cutting'" in done.stderr
    assert not (tmp_path / "out").exists()


def test_a_plan_that_fails_is_not_cut_by_print_either(tmp_path: Path) -> None:
    """Nobody saws for a plan that fails: the sheet is refused with its reason."""
    done = run("print", "examples/crosswise-wish.yaml", "-o", str(tmp_path / "out"), "--sheet", "cutting")

    assert done.returncode == 1
    assert "the plan fails a check, so nothing is cut" in done.stderr


def test_bad_sheets_exit_with_2(tmp_path: Path) -> None:
    """A sheet that is not known, and a missing folder, are told without a traceback."""
    unknown, nowhere = run("print", VAN, "-o", str(tmp_path), "--sheet", "plann"), run("print", VAN)

    assert (unknown.returncode, nowhere.returncode) == (2, 2)
    assert "did you mean 'plan'?" in unknown.stderr
    assert "say with -o" in nowhere.stderr
    assert list(tmp_path.iterdir()) == []


def test_book_tells_what_was_written_and_what_is_left(tmp_path: Path) -> None:
    """A second run writes nothing; another project in the same folder tells what it no longer makes, and deletes nothing."""
    words = ("-o", str(tmp_path))
    first, again = run("book", VAN, *words), run("book", VAN, *words)
    count = len(list(tmp_path.iterdir()))
    other = run("book", "examples/compact-bins.yaml", *words)

    assert f"{count} files written, 0 unchanged" in first.stderr
    assert f"0 files written, {count} unchanged" in again.stderr
    assert "left from an earlier book, no longer made: " in other.stderr
    assert "cut-list.csv" in other.stderr
    assert len(list(tmp_path.iterdir())) >= count


def test_cuts_are_drawn_where_they_are_asked_for(tmp_path: Path) -> None:
    """A height, a place forward and one to the right, in one state: those three drawings and no others."""
    words = ("--state", "sleep", "--at", "0.5 m", "--x", "90 cm", "--y", "-300", "--zones")
    done = run("print", VAN, "-o", str(tmp_path), *words)
    names = {path.stem for path in tmp_path.glob("*.svg")}

    assert done.returncode == 0, done.stderr
    assert names == {"plan-z500-sleep", "section-x900-sleep", "section-y-300-sleep"}
    assert b"plan cut at 500 above the floor, sleep" in (tmp_path / "plan-z500-sleep.svg").read_bytes()
    assert b"section across at x = 900, sleep, seen from behind" in (tmp_path / "section-x900-sleep.svg").read_bytes()


def test_cuts_go_with_named_sheets_and_the_way_to_look(tmp_path: Path) -> None:
    """A section looked at the other way beside a named sheet; without a state, in every state that looks different."""
    done = run("print", VAN, "-o", str(tmp_path), "--sheet", "plan", "--x", "900", "--toward", "rear")
    names = {path.stem for path in tmp_path.glob("*.svg")}

    assert done.returncode == 0, done.stderr
    assert names == {"plan-drive", "plan-camp", "section-x900-drive-rearward", "section-x900-sleep-rearward"}


def test_cuts_that_cannot_be_made_are_told(tmp_path: Path) -> None:
    """No length, outside the space, a way that does not go with it, no such state: exit 2, what to write, no file."""
    cases = (
        (("--at", "high"), "print: --at: cannot read 'high' as a length"),
        (("--at", "5 m"), "print: --at: 5000 mm is not inside the space; write a height from 0 to less than 1816 mm"),
        (("--x", "-1"), "print: --x: -1 mm is not inside the space"),
        (("--y", "0", "--toward", "rear"), "print: --toward: 'rear' is not a way to look in this section"),
        (("--x", "900", "--state", "fly"), "print: --state: no state is called 'fly'; there are: drive, camp, sleep"),
    )
    for words, said in cases:
        done = run("print", VAN, "-o", str(tmp_path), *words)
        assert (done.returncode, said in done.stderr) == (2, True), done.stderr
    assert list(tmp_path.iterdir()) == []
