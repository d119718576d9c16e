"""The projects that the search is timed on are what their list says: so many things, and an answer or none."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import shapely
import yaml

from layout.arrange.ask import Ask
from layout.arrange.build import build, rounding_of
from layout.arrange.conflict import conflict
from layout.arrange.find import ATTEMPTS, Finder
from layout.arrange.solve import Budget
from layout.arrange.units_of import split
from layout.files.project import Project, read_project
from layout.jobs.ask import ask_of
from layout.jobs.load import load
from tests.bench.arrange import FOLDER, SCENARIOS

_ANSWERED = tuple(sorted(file.name.removesuffix("-answer.yaml") for file in FOLDER.glob("*-answer.yaml")))
_SOLVABLE = tuple(name for name, (_, goes_in) in SCENARIOS.items() if goes_in)
_IMPOSSIBLE = tuple(name for name in SCENARIOS if name not in _SOLVABLE)


def _project(name: str) -> Project:
    file = FOLDER / f"{name}.yaml"
    return read_project(file.read_bytes(), str(file), FOLDER)


def _read(name: str) -> dict[str, Any]:
    """Return what a file says, every scalar as its text."""
    said = yaml.load((FOLDER / f"{name}.yaml").read_text("utf-8"), Loader=yaml.BaseLoader)
    assert isinstance(said, dict)
    return said


def _answered(name: str) -> dict[str, Any]:
    """Return the project with its answer: everything has its place, nothing is free."""
    said, answer = _read(name), _read(f"{name}-answer")
    for group, sizes in answer.get("sizes", {}).items():
        said["things"][group] |= sizes
    rest = {key: value for key, value in said.items() if key not in ("free", "wishes")}
    return rest | {"arrangement": said["arrangement"] | answer["arrangement"]}


def test_every_file_is_on_the_list() -> None:
    """No project is timed unlisted, none is listed that is not there, and each answer belongs to one."""
    files = {file.stem for file in FOLDER.glob("*.yaml")}
    assert files == set(SCENARIOS) | {f"{name}-answer" for name in _ANSWERED}
    assert set(_ANSWERED) <= set(_SOLVABLE)


@pytest.mark.parametrize("name", SCENARIOS)
def test_it_holds_as_many_things_as_listed(name: str) -> None:
    """Counted from the file's own words, and some of them are free."""
    assert sum(int(thing.get("count", 1)) for thing in _read(name)["things"].values()) == SCENARIOS[name][0]
    assert split(ask_of(_project(name))).units


@pytest.mark.parametrize("name", _ANSWERED)
def test_the_answer_passes_every_check(name: str, tmp_path: Path) -> None:
    """The answer is put before the checks by way of a project file; the search has no hand in it."""
    file = tmp_path / "answer.yaml"
    file.write_text(yaml.safe_dump(_answered(name), sort_keys=False, allow_unicode=True), "utf-8")
    plan = load(str(file))
    assert len(plan.layout.placed["drive"]) == SCENARIOS[name][0]
    assert not [f"{f.rule}: {f.text}" for f in plan.findings if f.severity == "fail"]


@pytest.mark.parametrize("name", [name for name in _SOLVABLE if name not in _ANSWERED])
def test_without_an_answer_beside_it_one_is_found_with_little_work(name: str) -> None:
    """What nobody has shown to go in is shown by the search, whose answers passed all the checks."""
    assert _first(ask_of(_project(name))) == "found"


def _first(ask: Ask) -> str:
    verdict = ""
    for way in ATTEMPTS:
        finder = Finder(ask=ask, budget=Budget(work=1.0), tight=way.tight, step=way.step, pulls=way.pulls)
        verdict = finder.first(way.most).verdict
        if verdict == "found":
            break
    return verdict


@pytest.mark.parametrize("name", _IMPOSSIBLE)
def test_nothing_is_found_for_what_cannot_go_in(name: str) -> None:
    """The quickest search, which asks most, ends with a verdict and no arrangement."""
    way = ATTEMPTS[0]
    finder = Finder(ask=ask_of(_project(name)), budget=Budget(work=1.0), step=way.step, pulls=way.pulls)
    assert finder.first().arrangement is None


def test_one_thing_alone_has_no_place() -> None:
    """The bed across is proven to be the trouble: nothing else is part of it."""
    found = conflict(ask_of(_project("twenty-too-long")), Budget(work=1.0))
    assert found is not None
    assert found.members == ("bed",)
    assert found.minimal


def test_each_alone_has_a_place_where_there_is_too_little_room() -> None:
    """Of the project that is too full every thing, rounded outward or inward, has somewhere to stand when it is alone."""
    ask = ask_of(_project("twenty-no-room"))
    for rounding in (rounding_of(ask), rounding_of(ask, outward=True)):
        stands = [stand for stand in build(ask, rounding).problem.stands if stand.unit]
        assert stands
        assert all(any(form.where for form in stand.forms) for stand in stands)


def test_the_floor_of_what_is_too_full_would_not_hold_the_plans_of_its_things() -> None:
    """By plain arithmetic, 230 above the floor: what stands there takes more than there is, however it is arranged.

    Under the bed (deck 400, with its rails 305 clear) go bins only, of which its inside, 1820 x 1020, holds no more plan
    than its own; all else is higher and stands beside it, the bicycle with its wheels, frame and pedals. The door keeps
    500 x 400 clear.
    """
    project = _project("twenty-no-room")
    things = {thing.name: thing for thing in project.things}
    height, inside = 230.0, 1820.0 * (1200.0 - 2 * 90.0)

    def plan(name: str) -> float:
        cut = [shapely.Polygon(s.outline) for s in things[name].solids if s.z0 < height < s.z1]
        return float(shapely.union_all(cut).area)

    bins = sum(plan(name) for name in things if name.startswith("stone"))
    boxes = sum(plan(name) for name in ("vice", "cooler", "saw", "bike"))
    cabinets = 2 * 450.0 * 600.0  # what is shut inside is no room for others
    free = project.space.common_room(height, height).area - 500.0 * 400.0
    assert bins == pytest.approx(12 * 594 * 396)
    assert all(things[name].box.z1 > 305 for name in ("vice", "cooler", "saw", "bike", "cabinet 1"))
    assert 1820.0 * 1200.0 + (bins - inside) + cabinets + boxes > free + 50_000
