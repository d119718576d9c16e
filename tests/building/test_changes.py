"""What is otherwise in one layout than in another, from two small projects."""

from __future__ import annotations

from pathlib import Path

from layout.building.changes import Changes, changes
from tests.builders import plan_of

CRATE = {"kind": "bin", "length": "400", "width": "300", "height": "200"}
BOX = {"kind": "box", "length": "500", "width": "400", "height": "300"}


def _changes(folder: Path, old: dict[str, object], new: dict[str, object]) -> Changes:
    layouts = []
    for name, said in (("old", old), ("new", new)):
        (folder / name).mkdir(exist_ok=True)
        layouts.append(plan_of(folder / name, **said).layout)
    return changes(*layouts)


def _project(things: dict[str, object], arrangement: dict[str, object], **more: object) -> dict[str, object]:
    return {"things": things, "arrangement": arrangement, **more}


def test_nothing_is_otherwise_in_the_same_project(tmp_path: Path) -> None:
    """A project beside itself has no changes."""
    project = _project({"crate": CRATE}, {"crate": {"at": ["100", "0", "0"]}})

    assert _changes(tmp_path, project, project).none


def test_moves_are_told_by_state(tmp_path: Path) -> None:
    """A crate 40 forward and 25 to the right in two states, and lifted onto a box in the third, moves in two ways."""
    places = {"crate": {"at": ["100", "200", "0"]}, "box": {"at": ["1000", "0", "0"]}}
    moved = {
        "crate": {"at": ["140", "175", "0"], "states": {"sleep": {"on": "box", "centre": "0", "rear": "1050"}}},
        "box": places["box"],
    }
    things: dict[str, object] = {"crate": CRATE, "box": BOX}
    found = _changes(tmp_path, _project(things, places), _project(things, moved))

    assert [(m.name, m.states, m.shift) for m in found.moved] == [
        ("crate", ("drive", "camp"), (40.0, -25.0, 0.0)), ("crate", ("sleep",), (950.0, -200.0, 300.0)),
    ]  # fmt: skip
    assert (found.added, found.removed, found.changed) == ((), (), ())


def test_a_turned_thing_is_told_by_its_middle(tmp_path: Path) -> None:
    """Turned by 90 degrees about its own middle a crate does not shift."""
    # 400 long from x = 100: its middle is at 300; turned, it is 300 long from 150.
    old = _project({"crate": CRATE}, {"crate": {"at": ["100", "0", "0"]}})
    new = _project({"crate": CRATE}, {"crate": {"rear": "150", "centre": "0", "turn": "90"}})
    (move,) = _changes(tmp_path, old, new).moved

    assert (move.shift, move.turn_deg) == ((0.0, 0.0, 0.0), 90.0)


def test_in_out_and_without_a_place(tmp_path: Path) -> None:
    """What stands outside in a state, and what has no place, is told as such."""
    things: dict[str, object] = {"crate": CRATE, "box": BOX}
    inside = {"crate": {"at": ["100", "0", "0"]}, "box": {"at": ["1000", "0", "0"]}}
    outside = {"crate": {"at": ["100", "0", "0"], "outside": ["camp"]}}
    away = _changes(tmp_path, _project(things, inside), _project(things, outside))
    back = _changes(tmp_path, _project(things, outside), _project(things, inside))

    assert [(m.name, m.way, m.states) for m in away.moved] == [
        ("crate", "goes out", ("camp",)), ("box", "loses its place", ("drive", "camp", "sleep")),
    ]  # fmt: skip
    assert [(m.name, m.way) for m in back.moved] == [("crate", "comes in"), ("box", "gets a place")]


def test_added_removed_and_made_differently(tmp_path: Path) -> None:
    """Things are known by their names: two crates become three, one of another size; a box goes; a state comes."""
    places = {
        "crate": {"rear": "100", "centre": "0", "grid": ["1", "2", "1"], "gap": "10"},
        "box": {"at": ["1000", "0", "0"]},
    }
    old = _project({"crate": {**CRATE, "count": "2"}, "box": BOX}, places)
    three = {"rear": "100", "centre": "0", "grid": ["1", "3", "1"], "gap": "10"}
    new = _project(
        {"crate": {**CRATE, "count": "3", "height": "220"}}, {"crate": three}, states=["drive", "camp", "rain"]
    )
    found = _changes(tmp_path, old, new)

    assert [thing.name for thing in found.added] == ["crate 3"]
    assert [thing.name for thing in found.removed] == ["box"]
    assert [change.name for change in found.changed] == ["crate 1", "crate 2"]
    assert (found.states_added, found.states_removed) == (("rain",), ("sleep",))
