"""The survey in the project file: the floor that it gives, in its units, and what is said of faults."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from layout.errors import InputError
from layout.files.project import Project
from layout.jobs.load import load
from tests.builders import BASE, project_text, read

SIDES = {"A-B": "3000", "B-A": "3000", "B-C": "1700", "C-B": "1700", "C-D": "3000", "D-C": "3000", "D-A": "1700",
         "A-D": "1700"}  # fmt: skip
DIAGONALS = {"A-C": "3448", "C-A": "3448", "B-D": "3448", "D-B": "3448"}
REAR = {"rear": ["D", "A"]}


def _project(survey: dict[str, Any], floor: object = None, **more: object) -> Project:
    space = {"floor": floor or {"survey": ["A", "B", "C", "D"]}, "roof": {"0": "1800 mm"}, "survey": survey}
    return read(project_text(space=space, **more))


def test_a_survey_gives_the_floor() -> None:
    """Distances between corners give the floor's outline in the axes of the space."""
    project = _project({"axes": REAR, "distances": SIDES, "diagonals": DIAGONALS})

    assert project.space.bounds == pytest.approx((0.0, -850.0, 3000.0, 850.0), abs=0.2)
    assert project.space.survey is not None
    assert project.space.survey.suspects == ()


def test_inches_and_fractions_are_read_and_their_digits_changed_about() -> None:
    """A floor in inches: 210 1/4 for 120 1/4 is named, with what may have been meant, in inches."""
    long, short, across = "120 1/4", "66 7/8", "137 5/8"
    sides = {
        "A-B": long,
        "B-A": long,
        "B-C": short,
        "C-B": short,
        "C-D": long,
        "D-C": "210 1/4",
        "D-A": short,
        "A-D": short,
    }
    project = _project({"axes": REAR, "distances": sides, "diagonals": dict.fromkeys(DIAGONALS, across)}, units="in")

    assert project.space.survey is not None
    (suspect,) = project.space.survey.suspects
    assert suspect.checked.measure.name == "D-C"
    assert suspect.swapped is not None
    assert suspect.swapped.text == "120 1/4"
    assert project.space.length == pytest.approx(120.25 * 25.4, abs=1.0)


def test_a_survey_overrules_the_floor_of_a_catalogue_entry() -> None:
    """A space from the catalogue keeps its walls and doors; its floor is the tape's."""
    survey = {"axes": REAR, "distances": SIDES, "diagonals": DIAGONALS}
    space = {"use": "spaces/trailer-box", "floor": {"survey": ["A", "B", "C", "D"]}, "survey": survey}

    assert read(project_text(space=space)).space.length == pytest.approx(3000.0, abs=0.2)


def test_how_exact_the_tape_is_can_be_said() -> None:
    """6 mm on a diagonal pass a tape of 2 mm, and are suspected of one that says it reads to a quarter."""
    read_so = {"axes": REAR, "distances": SIDES, "diagonals": {**DIAGONALS, "A-C": "3454"}}

    assert _project({**read_so, "tape": "4"}).space.survey.suspects == ()  # type: ignore[union-attr]  # it has one
    (suspect,) = _project({**read_so, "tape": "0.5"}).space.survey.suspects  # type: ignore[union-attr]  # it has one
    assert suspect.checked.measure.name == "A-C"


def test_the_rule_s_own_numbers_are_the_project_s() -> None:
    """A project that overrules the tape of the rule is adjusted with it."""
    read_so = {"axes": REAR, "distances": SIDES, "diagonals": {**DIAGONALS, "A-C": "3454"}}
    project = _project(read_so, rules={"survey": {"tape": "0.5 mm"}})

    assert project.space.survey is not None
    assert len(project.space.survey.suspects) == 1


FAULTS = [
    ({"distances": SIDES}, "C is tied to|say how the axes lie"),
    ({"axes": REAR, "distances": {"AB": "3000"}}, "'AB' names no two points; write for instance A-B"),
    ({"axes": REAR, "distances": SIDES, "diagonals": {"A-B": "9"}}, "stands under distances too"),
    ({"axes": {"rear": ["D", "X"]}, "distances": SIDES, "diagonals": DIAGONALS}, "names the point 'X'"),
    ({"axes": {"rear": ["D", "D"]}, "distances": SIDES}, "two different points"),
    ({"axes": {**REAR, "origin": "A"}, "distances": SIDES}, "give either rear"),
    ({"axes": REAR, "distances": SIDES, "points": {"A": "a", "B": "b", "C": "c"}}, "'D', which is not listed"),
    ({"axes": REAR, "distances": SIDES, "diagonals": DIAGONALS, "sums": {"A-B": ["A-P"]}}, "nothing measured is called 'A-P'"),
    ({"axes": REAR, "distances": SIDES, "diagonals": DIAGONALS, "sums": {"A-B": ["B-C", "C-D"]}}, "one after the other"),
    ({"axes": REAR, "distances": SIDES, "diagonals": DIAGONALS, "left_right": {"A-B": "C-E"}}, "called 'C-E'"),
    ({"offsets": {"centreline": {"A": {}}}}, "give along: and out:"),
    ({"axes": REAR, "known": {"A": ["0", "1"]}, "distances": SIDES, "diagonals": DIAGONALS}, "not both"),
    ({}, "nothing is measured"),
]  # fmt: skip


@pytest.mark.parametrize(("survey", "words"), FAULTS)
def test_faults_say_what_to_write(survey: dict[str, Any], words: str) -> None:
    """What cannot be used is told in one line with its place and what to write, never as a traceback."""
    with pytest.raises(InputError, match=words) as caught:
        _project(survey)
    assert all(fault.line > 0 for fault in caught.value.faults)


def test_a_floor_by_survey_wants_the_survey() -> None:
    """A floor that names points of no survey is refused."""
    with pytest.raises(InputError, match="wants the measurements"):
        read(project_text(space={**BASE["space"], "floor": {"survey": ["A", "B", "C"]}}))  # type: ignore[dict-item]  # a group


def test_left_and_right_and_unchecked_readings_are_told(tmp_path: Path) -> None:
    """Doors' posts 9 mm unlike are a warning with the figures, and single readings are told as checked by nothing."""
    lengths = {"post left": "1310", "post right": "1319", "sill": "620"}
    survey = {"lengths": lengths, "left_right": {"post left": "post right"}}
    path = tmp_path / "van.yaml"
    path.write_text(project_text(space={**BASE["space"], "survey": survey}), encoding="utf-8")  # type: ignore[dict-item]  # a group
    found = [f for f in load(str(path)).findings if f.rule == "survey"]

    assert [f.severity for f in found] == ["warn", "note"]
    assert "differ by 9 mm" in found[0].text
    assert found[0].short_by == pytest.approx(4.0)
    assert "sill" in found[1].text
    assert "post" not in found[1].text
