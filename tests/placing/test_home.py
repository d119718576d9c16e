"""Things that follow the room stand where the room says, unless the arrangement says another place."""

from pathlib import Path
from typing import Any

import pytest

from layout.errors import InputError
from layout.jobs.load import Plan
from tests.builders import BASE, plan_of

WALL = {"kind": "partition", "x": "1200", "sheet": "ply", "piece": ["2500", "2000"], "heaviest": "60"}
FLOOR = {"kind": "floor panels", "sheet": "ply"}
SHEETS = {"sheets": {"ply": {"length": "2440", "width": "1220", "thickness": "12", "density": "680"}}}
SPACE = {**BASE["space"], "build_up": {"floor": "20"}}  # type: ignore[dict-item]


def _plan(folder: Path, things: dict[str, Any], arrangement: dict[str, Any]) -> Plan:
    return plan_of(folder, space=SPACE, things=things, arrangement=arrangement, workshop=SHEETS)


def _rear(plan: Plan, state: str) -> list[float]:
    return [p.box.bounds[0] for p in plan.layout.placed[state] if p.name == "wall"]


def test_without_a_line_it_stands_at_home_in_every_state(tmp_path: Path) -> None:
    """A partition at x 1200 stands there, and is not among what has no place."""
    plan = _plan(tmp_path, {"wall": WALL}, {})

    assert [_rear(plan, state) for state in ("drive", "camp", "sleep")] == [[1200.0]] * 3
    assert plan.layout.unplaced == ()
    assert not any(f.rule == "placed" for f in plan.findings)
    placed = plan.layout.placed["drive"][0]
    assert placed.at == pytest.approx(placed.thing.home)


def test_a_line_may_take_it_out_in_a_state(tmp_path: Path) -> None:
    """Outside while camping, it stands at home in the other states."""
    plan = _plan(tmp_path, {"wall": WALL}, {"wall": {"outside": ["camp"]}})

    assert [_rear(plan, state) for state in ("drive", "camp", "sleep")] == [[1200.0], [], [1200.0]]
    assert plan.layout.outside["camp"] == ("wall",)


def test_a_line_with_a_place_overrules_home(tmp_path: Path) -> None:
    """At x 500 by its line, it stands there."""
    plan = _plan(tmp_path, {"wall": WALL}, {"wall": {"at": ["500", "0", "0"]}})

    assert _rear(plan, "drive") == [500.0]


def test_others_may_stand_by_it(tmp_path: Path) -> None:
    """A box in front of the partition, 12 thick at 1200, and 30 off it, begins at 1242."""
    box = {"kind": "box", "length": "300", "width": "300", "height": "300"}
    plan = _plan(tmp_path, {"box": box, "wall": WALL}, {"box": {"in_front_of": "wall", "gap": "30"}})

    stood = {p.name: p.box.bounds[0] for p in plan.layout.placed["drive"]}
    assert stood == {"box": 1242.0, "wall": 1200.0}
    assert [p.name for p in plan.layout.placed["drive"]] == ["box", "wall"]


def test_what_lies_in_the_build_up_takes_no_room(tmp_path: Path) -> None:
    """A floor in its build-up is made and counted, stands nowhere, and nobody misses its place."""
    plan = _plan(tmp_path, {"boards": FLOOR}, {})

    assert [thing.name for thing in plan.layout.things] == ["boards"]
    assert plan.layout.placed["drive"] == ()
    assert plan.layout.unplaced == ()
    assert not [f for f in plan.findings if f.rule in ("placed", "inside", "carried", "overlap")]


def test_what_lies_in_the_build_up_is_given_no_place(tmp_path: Path) -> None:
    """A line for it in the arrangement is refused, with its place in the file."""
    with pytest.raises(InputError, match="takes no room; take this line out"):
        _plan(tmp_path, {"boards": FLOOR}, {"boards": {"at": ["0", "0", "0"]}})
