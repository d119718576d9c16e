"""The commands: what they print, what they write, and how they end."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from layout.cli.main import _COMMANDS
from layout.files.rules import read_building, read_rules
from tests.builders import EXAMPLES, ROOT, project_text


def run(*words: str, cwd: Path | None = None, given: str | None = None) -> subprocess.CompletedProcess[str]:
    """Run the command as a process, as a person does."""
    return subprocess.run(
        [sys.executable, "-m", "layout", *words],
        capture_output=True,
        text=True,
        check=False,
        cwd=cwd or ROOT,
        input=given,
    )


@pytest.mark.parametrize("name", _COMMANDS)
def test_every_command_has_help_with_an_example_and_is_in_the_readme(name: str) -> None:
    """Help of every command shows an example, and the README names the command."""
    done = run(name, "--help")

    assert done.returncode == 0
    assert f"layout {name}" in done.stdout.split("Example")[1]
    assert f"layout {name}" in (ROOT / "README.md").read_text(encoding="utf-8")


def test_help_imports_nothing_heavy() -> None:
    """Help is quick because no library but click is loaded for it."""
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "layout", "--help"], capture_output=True, text=True, check=True
    )
    loaded = {line.rsplit("|", 1)[1].strip().split(".")[0] for line in done.stderr.splitlines() if "|" in line}

    assert "click" in loaded
    assert not loaded & {"yaml", "shapely", "numpy", "pydantic", "reportlab", "svgwrite", "rectpack"}


def test_check_imports_no_drawing_and_no_solver() -> None:
    """Checking loads what it needs: no drawing library, no solver."""
    words = ["-X", "importtime", "-m", "layout", "check", str(EXAMPLES[0])]
    done = subprocess.run([sys.executable, *words], capture_output=True, text=True, check=True)
    loaded = {line.rsplit("|", 1)[1].strip().split(".")[0] for line in done.stderr.splitlines() if "|" in line}

    assert "shapely" in loaded
    assert not loaded & {"reportlab", "svgwrite", "rectpack"}


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_check_exits_with_1_only_for_what_fails(path: Path) -> None:
    """Exit code 0 for a plan that passes, 1 for one that does not; the result is on standard output alone."""
    done = run("check", str(path))

    assert done.returncode == (1 if path.stem == "crosswise-wish" else 0)
    assert done.stderr == ""
    assert "certify nothing" in done.stdout


def test_check_json_is_json_and_says_the_same() -> None:
    """With --json the findings are data for programs."""
    done = run("check", "examples/crosswise-wish.yaml", "--json")
    said = json.loads(done.stdout)

    assert done.returncode == 1
    assert said["fails"] is True
    inside = [f["short_by"] for f in said["findings"] if f["severity"] == "fail" and f["rule"] == "inside"]
    assert inside == [pytest.approx(142.242, abs=0.001)]


def test_check_reads_standard_input() -> None:
    """A dash reads the project from standard input."""
    done = run("check", "-", given=project_text())

    assert (done.returncode, done.stderr) == (0, "")


def test_book_writes_everything_and_the_same_bytes_twice(tmp_path: Path) -> None:
    """The book of an example holds what the README lists, and a second run writes the same bytes."""
    first, second = tmp_path / "a", tmp_path / "b"
    for folder in (first, second):
        assert run("book", "examples/market-van.yaml", "-o", str(folder)).returncode == 0
    names = {path.name for path in first.iterdir()}

    assert names >= {
        "findings.txt", "findings.json", "plan-drive.svg", "plan-drive.pdf", "left-side-drive.svg", "right-side-drive.svg",
        "rear-drive.svg", "drawings.pdf", "panels.csv", "panels.pdf", "parts.csv", "cut-list.csv", "cut-list.pdf",
        "cutting-diagrams.pdf", "cut-01.svg", "sheets-to-buy.csv",
    }  # fmt: skip
    assert all((first / name).read_bytes() == (second / name).read_bytes() for name in names)
    assert names == {path.name for path in second.iterdir()}


def test_book_of_a_failing_plan_has_no_cut_list(tmp_path: Path) -> None:
    """A plan that fails gets findings and drawings and exit code 1; a cut list only if the person insists."""
    words = ("book", "examples/crosswise-wish.yaml", "-o")
    plain, insisted = run(*words, str(tmp_path / "a")), run(*words, str(tmp_path / "b"), "--anyway")

    assert (plain.returncode, insisted.returncode) == (1, 1)
    assert (tmp_path / "a" / "plan-drive.pdf").exists()
    assert not (tmp_path / "a" / "cut-list.csv").exists()
    assert (tmp_path / "b" / "cut-list.csv").exists()


def test_book_without_furniture_cuts_nothing(tmp_path: Path) -> None:
    """A project without furniture has drawings, and no empty lists."""
    assert run("book", "examples/compact-bins.yaml", "-o", str(tmp_path)).returncode == 0
    assert not (tmp_path / "panels.csv").exists()


def test_cut_needs_no_van(tmp_path: Path) -> None:
    """Two tables are enough to cut; the JSON tells every cut."""
    (tmp_path / "parts.csv").write_text(
        "name,count,length,width,material,grain\nside,4,600,400,ply,along\n", encoding="utf-8"
    )
    (tmp_path / "sheets.csv").write_text(
        "name,material,length,width,price,count\nfull,ply,2440,1220,68,\n", encoding="utf-8"
    )
    words = ("cut", "--parts", "parts.csv", "--sheets", "sheets.csv", "--kerf", "3", "--trim", "10")
    told, written = run(*words, "--json", cwd=tmp_path), run(*words, "-o", "out", cwd=tmp_path)
    said = json.loads(told.stdout)

    assert (told.returncode, written.returncode) == (0, 0)
    assert (said["cost"], said["unplaced"]) == (68, [])
    assert said["materials"][0]["sheets"][0]["root"]["cut"]["kerf"] == 3
    assert (tmp_path / "out" / "cut-list.csv").read_bytes().count(b"side") >= 4


def test_cut_of_a_failing_plan_cuts_nothing() -> None:
    """Nothing is cut for a plan that fails."""
    done = run("cut", "examples/crosswise-wish.yaml")

    assert (done.returncode, done.stdout) == (1, "")
    assert "nothing is cut" in done.stderr


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("check", "nowhere.yaml"), "cannot be read: no such file"),
        (("print", "examples/market-van.yaml", "-o", "OUT", "--scale", "1:5"), "1:5"),
        (("print", "examples/market-van.yaml", "-o", "OUT", "--scale", "five"), "write for instance 1:20"),
        (("print", "examples/market-van.yaml", "-o", "OUT", "--paper", "A9"), "there is no paper 'A9'"),
        (("print", "examples/market-van.yaml", "-o", "OUT", "--state", "fly"), "no state is called 'fly'"),
        (("explain", "headrom"), "did you mean 'headroom'?"),
        (("catalog", "bin"), "there are: appliances"),
        (("new", "OUT", "--like", "castle"), "there are: beekeepers"),
        (("cut",), "give a PROJECT, or both"),
        (("cut", "examples/market-van.yaml", "--parts", "x.csv"), "give either"),
        (("cut", "--parts", "no.csv", "--sheets", "no.csv", "--kerf", "wide"), "--kerf"),
        (("chek",), "chek"),
    ],
)  # fmt: skip
def test_bad_words_exit_with_2(words: tuple[str, ...], says: str, tmp_path: Path) -> None:
    """What cannot be used on the command line is told in words, with exit code 2, and nothing is written."""
    done = run(*(str(tmp_path / "out") if word == "OUT" else word for word in words))

    assert done.returncode == 2
    assert says in done.stderr
    assert "Traceback" not in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_new_writes_a_project_that_passes(tmp_path: Path) -> None:
    """What new writes can be checked at once, and an existing file is never replaced unasked."""
    target = tmp_path / "my-van.yaml"

    assert run("new", str(target)).returncode == 0
    assert run("check", str(target)).returncode == 0
    assert run("new", str(target)).returncode == 2
    assert run("new", str(target), "--like", "box-trailer", "--replace").returncode == 0


def test_explain_lists_and_explains() -> None:
    """Explain without a rule lists all of them; with one it gives the numbers and their sources."""
    listed, page = run("explain"), run("explain", "bed-size")

    rules, numbers = listed.stdout.split("\nNumbers of building\n")
    assert [len(part.splitlines()) for part in (rules, numbers)] == [len(read_rules()), len(read_building())]
    assert "source: ANSUR II" in page.stdout


def test_schema_and_catalog_print_json() -> None:
    """The schema and the catalogue are JSON for programs."""
    assert json.loads(run("schema").stdout)["$schema"].endswith("2020-12/schema")
    assert "bins/euro-600x400x280" in json.loads(run("catalog", "bins", "--json").stdout)


def test_sheets_that_are_too_small_are_told_with_their_line(tmp_path: Path) -> None:
    """A part that no sheet of the project holds is told with file and line, exit code 2, and nothing written."""
    text = (ROOT / "examples" / "market-van.yaml").read_text(encoding="utf-8")
    path = tmp_path / "van.yaml"
    path.write_text(text.replace("price: 74}", "price: 74, width: 800}"), encoding="utf-8")
    done = run("book", str(path), "-o", str(tmp_path / "out"))

    assert done.returncode == 2
    assert f"{path}:" in done.stderr
    assert "workshop.sheets: part 'bed deck panel'" in done.stderr
    assert not (tmp_path / "out").exists()


def test_cut_without_furniture_says_so() -> None:
    """A project without furniture has nothing to cut, and that is told."""
    done = run("cut", "examples/compact-bins.yaml")

    assert (done.returncode, done.stdout) == (2, "")
    assert "nothing to cut" in done.stderr


def test_a_full_disk_is_told_without_a_traceback() -> None:
    """When the result cannot be written, the command says so and exits with 2."""
    with Path("/dev/full").open("w", encoding="utf-8") as full:
        words = [sys.executable, "-m", "layout", "check", str(EXAMPLES[0])]
        done = subprocess.run(words, stdout=full, stderr=subprocess.PIPE, text=True, check=False, cwd=ROOT)

    assert "Traceback" not in done.stderr
    assert done.returncode == 2


def test_lists_for_the_saw_say_their_unit_and_it_is_the_drawings(tmp_path: Path) -> None:
    """A project in centimetres is cut by lists in millimetres, as its title blocks say: a deck panel is 890, not 89."""
    assert run("book", "examples/box-trailer.yaml", "-o", str(tmp_path)).returncode == 0
    panels, parts = ((tmp_path / f"{name}.csv").read_text(encoding="utf-8") for name in ("panels", "parts"))

    assert "thickness mm,length mm,width mm" in panels
    assert "bunk,deck panel,ply12,12,890,700,free,2" in panels
    assert "length mm,width mm" in parts
    assert "bunk deck panel,bunk,ply12,2,890,700,free" in parts
    assert "fence mm" in (tmp_path / "cut-list.csv").read_text(encoding="utf-8")
