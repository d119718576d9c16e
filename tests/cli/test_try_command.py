"""``layout try``: what it prints, what it writes, how it ends, and that Ctrl-C gives the best so far."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
import yaml

from tests.builders import ROOT, project_text

BOX = {"kind": "box", "length": "900", "width": "500", "height": "400", "mass": "20"}
TWO = project_text(things={"chest": BOX, "crate": {**BOX, "length": "600"}})
NONE = project_text(things={"hull": {**BOX, "length": "4000"}})
FAULT = project_text(things={"chest": {**BOX, "length": "nine hundred"}})
QUICK = ("--effort", "quick", "--count", "2")
#: Many things, of which the search does not soon know the best place.
MANY = project_text(
    title="Much to carry",
    things={
        "crates": {**BOX, "length": "500", "width": "400", "count": "5", "reach": "daily"},
        "tubs": {"kind": "bin", "length": "600", "width": "400", "height": "300", "count": "4", "mass": "9"},
        "chest": BOX,
    },
)


def run(*words: str, given: str | None = None) -> subprocess.CompletedProcess[str]:
    """Run the command as a process, as a person does."""
    return subprocess.run(
        [sys.executable, "-m", "layout", "try", *words],
        capture_output=True, text=True, check=False, cwd=ROOT, input=given,
    )  # fmt: skip


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> tuple[subprocess.CompletedProcess[str], Path]:
    """Return what a search says as JSON, and the folder of the comparison that it wrote."""
    folder = tmp_path_factory.mktemp("found")
    (folder / "van.yaml").write_text(TWO, encoding="utf-8")
    return run(str(folder / "van.yaml"), *QUICK, "--json", "-o", str(folder / "out")), folder / "out"


#: The JSON of one project, key by key: this test is its documentation. Lengths are mm, masses kg.
ONE = {
    "title": str, "verdict": str, "complete": bool, "stopped": bool, "why": (dict, type(None)),
    "arrangements": list, "measures": list,
}  # fmt: skip
ARRANGEMENT = {
    "name": str, "score": int, "bound": int, "most": int, "proven": bool, "wishes": dict, "arrangement": dict,
    "sizes": dict,
}  # fmt: skip
MEASURE = {"name": str, "values": list, "text": list, "best": list}
WHY = {"conflict": (dict, type(None)), "too large": dict, "ways out": list, "left out": (list, type(None))}


def _is(value: Any, shape: dict[str, Any]) -> bool:
    return (
        isinstance(value, dict) and set(value) == set(shape) and all(isinstance(value[k], t) for k, t in shape.items())
    )


def test_json_has_the_keys_that_programs_rely_on(found: tuple[subprocess.CompletedProcess[str], Path]) -> None:
    """Each key is there with its type, and no other: arrangements as the file says them, and the table column by column."""
    done, _ = found
    said = json.loads(done.stdout)

    assert done.returncode == 0, done.stderr
    assert _is(said, ONE)
    assert said["verdict"] == "found"
    assert said["why"] is None
    assert said["stopped"] is False
    assert 1 <= len(said["arrangements"]) <= 2
    assert all(_is(one, ARRANGEMENT) for one in said["arrangements"])
    assert all(_is(one, MEASURE) for one in said["measures"])
    assert all(
        len(one[key]) == len(said["arrangements"]) for one in said["measures"] for key in ("values", "text", "best")
    )
    assert set(said["arrangements"][0]["arrangement"]) == {"chest", "crate"}


def test_the_arrangement_of_the_json_can_be_put_into_the_file(
    found: tuple[subprocess.CompletedProcess[str], Path], tmp_path: Path
) -> None:
    """What JSON says of places is what a project in millimetres may say: with it the check passes."""
    said = json.loads(found[0].stdout)["arrangements"][0]
    path = tmp_path / "van.yaml"
    path.write_text(yaml.safe_dump({**yaml.safe_load(TWO), "arrangement": said["arrangement"]}), encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "layout", "check", str(path)], capture_output=True, text=True, check=False, cwd=ROOT
    )

    assert done.returncode == 0, done.stdout


def test_the_comparison_is_written_and_told(found: tuple[subprocess.CompletedProcess[str], Path]) -> None:
    """A PDF, a CSV and an SVG for each sheet are written, and standard error names the folder, not standard output."""
    done, folder = found
    names = {path.name for path in folder.iterdir()}

    assert {"comparison.pdf", "comparison.csv", "comparison-1.svg", "arrangements-1.svg"} == names
    assert f"wrote {len(names)} files to {folder}" in done.stderr
    assert (folder / "comparison.pdf").read_bytes().startswith(b"%PDF")


def test_the_same_project_gives_the_same_json_from_standard_input(
    found: tuple[subprocess.CompletedProcess[str], Path],
) -> None:
    """A dash reads the project from standard input; the same input gives the same output."""
    done = run("-", *QUICK, "--json", given=TWO)

    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout) == json.loads(found[0].stdout)


def test_people_read_names_the_table_and_how_to_keep_one(tmp_path: Path) -> None:
    """Text for people numbers the arrangements, has the table, and says what to do next; --keep then does it."""
    path = tmp_path / "van.yaml"
    path.write_text(TWO, encoding="utf-8")
    done = run(str(path), *QUICK, "--keep", "1")

    assert done.returncode == 0, done.stderr
    assert "  1  " in done.stdout
    assert "--keep 1" in done.stdout
    assert f"into {path}" in done.stderr
    assert set(yaml.safe_load(path.read_text(encoding="utf-8"))["arrangement"]) == {"chest", "crate"}
    again = run(str(path), *QUICK)
    assert again.returncode == 2
    assert "everything has its place" in again.stderr


def test_no_room_ends_with_1_and_says_why_in_text_and_json() -> None:
    """When nothing fits the exit code is 1, the text says what stands in the way, and the JSON has it in keys."""
    text, as_json = run("-", *QUICK, given=NONE), run("-", *QUICK, "--json", given=NONE)
    said = json.loads(as_json.stdout)

    assert (text.returncode, as_json.returncode) == (1, 1)
    assert "impossible: hull" in text.stdout
    assert _is(said, ONE)
    assert said["verdict"] == "impossible"
    assert _is(said["why"], WHY)
    assert said["why"]["conflict"] == {"members": ["hull"], "minimal": True}


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "Missing argument"),
        (("-", "--count", "0"), "--count"),
        (("-", "--count", "many"), "--count"),
        (("-", "--loss", "101"), "--loss"),
        (("-", "--loss", "nan"), "numbers"),
        (("-", "--seconds", "0"), "--seconds"),
        (("-", "--seconds", "nan"), "numbers"),
        (("-", "--effort", "huge"), "--effort"),
        (("-", "--seed", "-1"), "--seed"),
        (("-", "--workers", "0"), "--workers"),
        (("-", "--keep", "1"), "name"),
        (("-", "--colour"), "No such option"),
        (("examples", "--keep", "1"), "one project"),
        (("a.yaml", "b.yaml", "-o", "x"), "one project"),
        (("examples/beekeepers.yaml", "--space", "spaces/van-compact", "--keep", "1"), "one project"),
        (("gone.yaml",), "no such file"),
        (("gone.yaml", "--keep", "1"), "no such file"),
        (("gone.yaml", "also-gone.yaml"), "no such file"),
        (("layout/jobs",), "no project file"),
    ],
)
def test_usage_errors_end_with_2_without_a_traceback(words: tuple[str, ...], said: str) -> None:
    """What was typed wrongly is told on standard error, with nothing on standard output."""
    done = run(*words, given=TWO)

    assert done.returncode == 2
    assert said in done.stderr
    assert not done.stdout
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("words", [("-",), ("-", "--json")])
def test_a_project_at_fault_ends_with_2_and_its_line(words: tuple[str, ...]) -> None:
    """A fault of the file is told with the place where it stands."""
    done = run(*words, given=FAULT)

    assert done.returncode == 2
    assert "standard input:" in done.stderr
    assert "things.chest.length" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_name_that_there_is_not_ends_with_2_after_the_report(tmp_path: Path) -> None:
    """--keep of what was not found leaves the file alone and names what there is."""
    path = tmp_path / "van.yaml"
    path.write_text(TWO, encoding="utf-8")
    done = run(str(path), *QUICK, "--keep", "the one on the left")

    assert done.returncode == 2
    assert "there is no arrangement 'the one on the left'" in done.stderr
    assert "  1  " in done.stdout
    assert path.read_text(encoding="utf-8") == TWO


def test_a_read_only_file_is_refused_before_the_search(tmp_path: Path) -> None:
    """Nobody waits for a search of which the result cannot be written."""
    path = tmp_path / "van.yaml"
    path.write_text(TWO, encoding="utf-8")
    path.chmod(0o444)
    done = run(str(path), *QUICK, "--keep", "1")

    assert done.returncode == 2
    assert "read-only" in done.stderr
    assert not done.stdout


def test_a_folder_is_searched_and_a_fault_in_it_ends_with_2(tmp_path: Path) -> None:
    """Each project of a folder is told; one at fault does not keep the other from being searched; JSON has both."""
    (tmp_path / "good.yaml").write_text(TWO, encoding="utf-8")
    (tmp_path / "bad.yaml").write_text(FAULT, encoding="utf-8")
    done = run(str(tmp_path), "--effort", "quick", "--count", "1", "--workers", "1", "--json")
    said = json.loads(done.stdout)

    assert done.returncode == 2, done.stderr
    assert set(said) == {"stopped", "searches"}
    assert [each["name"] for each in said["searches"]] == ["bad", "good"]
    assert set(said["searches"][0]) == {"name", "failed"}
    assert _is(said["searches"][1], {"name": str, **ONE})


def test_several_projects_end_with_0_when_each_has_an_arrangement(tmp_path: Path) -> None:
    """Two files are two searches, told one after the other as text."""
    for name in ("one", "two"):
        (tmp_path / f"{name}.yaml").write_text(TWO, encoding="utf-8")
    words = [str(tmp_path / f"{name}.yaml") for name in ("one", "two")]
    done = run(*words, "--effort", "quick", "--count", "1", "--workers", "1")

    assert done.returncode == 0, done.stderr
    assert [line for line in done.stdout.splitlines() if not line.startswith(" ")] == ["one: found, 1", "two: found, 1"]


def test_a_cluster_that_does_not_answer_is_bad_input() -> None:
    """An address with nobody there ends with 2 and an example of a right one."""
    done = run("-", "--cluster", "not an address", given=TWO)

    assert done.returncode == 2
    assert "tcp://192.168.1.20:8786" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.skipif(not hasattr(os, "openpty"), reason="needs a terminal of its own")
@pytest.mark.parametrize("as_json", [False, True])
def test_ctrl_c_prints_the_best_so_far(as_json: bool) -> None:
    """An interrupt after the first arrangement ends the search, not the report: what was found is told, exit code 0."""
    said, code = _interrupted("arrangement 1 of 5", ["--json"] if as_json else [])

    assert code == 0, said
    if as_json:
        made = json.loads(said)
        assert made["stopped"] is True
        assert len(made["arrangements"]) >= 1
    else:
        assert said.startswith("Much to carry\n\nstopped: 1 arrangement")


def _interrupted(when: str, words: list[str]) -> tuple[str, int]:
    """Return what a long search prints that is interrupted as soon as its progress, on a terminal, says `when`."""
    master, slave = os.openpty()
    process = subprocess.Popen(
        [sys.executable, "-m", "layout", "try", "-", "--effort", "long", *words],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=slave, text=True, cwd=ROOT,
    )  # fmt: skip
    os.close(slave)
    assert process.stdin is not None
    process.stdin.write(MANY)
    process.stdin.close()
    process.stdin = None
    heard = ""
    while when not in heard:
        heard += os.read(master, 1024).decode()
    process.send_signal(signal.SIGINT)
    said, _ = process.communicate()
    os.close(master)
    return said, process.returncode
