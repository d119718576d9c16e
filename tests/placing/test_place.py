"""Positions as people say them become coordinates."""

from pathlib import Path

import pytest

from layout.errors import InputError
from layout.model.layout import Placed
from tests.builders import BASE, plan_of

LEAN = {
    **BASE["space"],  # type: ignore[dict-item]
    "walls": {"both": [{"x": "0", "profile": {"0": "850", "1800": "650"}}]},
}
BOX = {"kind": "box", "length": "500", "width": "300", "height": "400"}


def _stood(folder: Path, position: dict[str, object], **more: object) -> Placed:
    plan = plan_of(
        folder, things={"a": BOX, "b": BOX}, arrangement={"a": {"at": ["100", "0", "0"]}, "b": position}, **more
    )
    return next(p for p in plan.layout.placed["drive"] if p.name == "b")


@pytest.mark.parametrize(
    ("position", "bounds"),
    [
        ({"at": ["1000", "100", "0"]}, (1000, -50, 1500, 250)),
        ({"at": ["1000", "0", "0"], "turn": "90"}, (1000, -250, 1300, 250)),
        ({"rear": "40", "left": "wall"}, (40, 550, 540, 850)),
        ({"front": "60", "right": "20"}, (2440, -830, 2940, -530)),
        ({"rear": "0", "centre": "-100"}, (0, -250, 500, 50)),
        ({"in_front_of": "a", "gap": "10"}, (610, -150, 1110, 150)),
        ({"in front of": "a", "gap": "10"}, (610, -150, 1110, 150)),
        ({"behind": "a", "gap": "-0", "left": "5"}, (-400, 545, 100, 845)),
        ({"beside": "a", "side": "left", "gap": "7"}, (100, 157, 600, 457)),
        ({"beside": "a", "side": "right", "rear": "0"}, (0, -450, 500, -150)),
        ({"on": "a"}, (100, -150, 600, 150)),
    ],
)
def test_each_way_of_saying_a_place(tmp_path: Path, position: dict[str, object], bounds: tuple[float, ...]) -> None:
    """Every key of a position puts the thing where its words say, in a plain room, by hand arithmetic."""
    assert _stood(tmp_path, position).box.bounds == pytest.approx(bounds)


def test_on_another_thing_stands_on_its_top(tmp_path: Path) -> None:
    """A thing on another stands at that one's top."""
    assert _stood(tmp_path, {"on": "a"}).box.z0 == 400


def test_against_the_wall_is_at_its_own_heights(tmp_path: Path) -> None:
    """A wall 850 out at the floor and 650 at 1800 stands at 850 - 400/9 = 805.56 at 400, the top of the box."""
    placed = _stood(tmp_path, {"rear": "0", "left": "wall"}, space=LEAN)

    assert placed.box.bounds[3] == pytest.approx(850 - 200 * 400 / 1800, abs=0.01)


def test_equal_bins_nest_when_stacked(tmp_path: Path) -> None:
    """Two bins 280 high with a stack step of 265 stand 545 high together, and that is no overlap."""
    bins = {"use": "bins/euro-600x400x280", "count": "2"}
    plan = plan_of(
        tmp_path, things={"c": bins}, arrangement={"c": {"rear": "0", "centre": "0", "grid": ["1", "1", "2"]}}
    )

    assert [p.box.z1 for p in plan.layout.placed["drive"]] == [280, 545]
    assert [f.rule for f in plan.findings if f.severity == "fail"] == []


def test_into_a_rack_fills_its_places(tmp_path: Path) -> None:
    """Bins put into a turned rack lie inside it and come out of its open side."""
    things = {
        "c": {"use": "bins/euro-400x300x280", "count": "4"},
        "rack": {"kind": "bin rack", "takes": "c", "columns": "2", "rows": "2", "sheet": "ply"},
    }
    arrangement = {"rack": {"rear": "500", "left": "wall", "turn": "-90"}, "c": {"into": "rack"}}
    sheets = {"ply": {"use": "sheets/birch-12"}}
    plan = plan_of(tmp_path, things=things, arrangement=arrangement, workshop={"sheets": sheets})
    rack = next(p for p in plan.layout.placed["drive"] if p.name == "rack").box

    assert [f.text for f in plan.findings if f.severity == "fail"] == []
    for placed in plan.layout.placed["drive"][:4]:
        x0, y0, x1, y1 = placed.box.bounds
        assert rack.bounds[0] < x0 < x1 < rack.bounds[2]
        assert rack.bounds[1] < y0 < y1 < rack.bounds[3]


def test_states_may_differ(tmp_path: Path) -> None:
    """A thing may stand elsewhere in one state and be outside in another."""
    position = {"rear": "0", "left": "wall", "states": {"sleep": {"front": "0", "left": "wall"}}, "outside": ["camp"]}
    plan = plan_of(tmp_path, things={"a": BOX}, arrangement={"a": position}, states=["drive", "sleep", "camp"])

    assert plan.layout.placed["drive"][0].box.bounds[0] == 0
    assert plan.layout.placed["sleep"][0].box.bounds[2] == 3000
    assert plan.layout.placed["camp"] == ()
    assert plan.layout.outside["camp"] == ("a",)


@pytest.mark.parametrize(
    ("arrangement", "words"),
    [
        ({"a": {"rear": "0", "front": "0", "left": "wall"}}, "rear and front contradict"),
        ({"a": {"at": ["0", "0", "0"], "left": "wall"}}, "at and left contradict"),
        ({"a": {"at": ["0", "0", "0"], "on": "b"}}, "at and on contradict"),
        ({"a": {"at": ["0", "0", "0"], "side": "left"}}, "at and side contradict"),
        ({"a": {"rear": "0", "left": "wall", "cell": "3"}}, "cell belongs to into"),
        ({"a": {"rear": "0", "left": "wall", "gap": "3"}}, "gap is kept to a neighbour"),
        ({"a": {"left": "wall"}}, "does not say where along"),
        ({"a": {"rear": "0"}}, "does not say where across"),
        ({"a": {"rear": "0", "beside": "b"}}, "beside needs a side"),
        ({"a": {"on": "bb"}}, "did you mean 'b'"),
        ({"a": {"on": "b"}, "b": {"on": "a"}}, "by way of itself"),
        ({"aa": {"rear": "0", "left": "wall"}}, "did you mean 'a'"),
        ({"a": {"rear": "0", "left": "wall", "outside": ["night"]}}, "there is no state 'night'"),
        (
            {"a": {"on": "b"}, "b": {"rear": "0", "left": "wall", "outside": ["sleep"]}},
            "does not stand anywhere in the state 'sleep'",
        ),
        ({"a": {"into": "b"}, "b": {"rear": "0", "left": "wall"}}, "'b' is no rack"),
    ],
)
def test_contradictions_are_errors_with_a_line(tmp_path: Path, arrangement: dict[str, object], words: str) -> None:
    """What contradicts itself or refers to nothing is an error that names the line."""
    with pytest.raises(InputError) as caught:
        plan_of(tmp_path, things={"a": BOX, "b": BOX}, arrangement=arrangement)

    fault = caught.value.faults[0]
    assert words in fault.text
    assert fault.line > 0
    assert fault.key.startswith("arrangement.")


def test_several_things_need_a_grid(tmp_path: Path) -> None:
    """Several equal things with one place are refused, with the two ways to say where they stand."""
    with pytest.raises(InputError, match="3 things, but room for 1; add grid"):
        plan_of(tmp_path, things={"a": {**BOX, "count": "3"}}, arrangement={"a": {"rear": "0", "left": "wall"}})


def test_a_state_may_name_a_form_alone(tmp_path: Path) -> None:
    """A thing that only folds in a state stays where it stands; a form without any place is no place."""
    things = {"t": {"kind": "box", "length": "500", "width": "400", "height": "500"}}
    forms = {"t": {"folded": {"height": "50"}}}
    folds = {"t": {"rear": "300", "centre": "0", "states": {"drive": {"form": "folded"}}}}
    plan = plan_of(tmp_path, things=things, forms=forms, arrangement=folds)
    [driven], [camped] = plan.layout.placed["drive"], plan.layout.placed["camp"]

    assert (driven.box.bounds, driven.box.z1) == (camped.box.bounds, 50)
    assert camped.box.z1 == 500
    assert plan_of(tmp_path, things=things, forms=forms, arrangement={"t": {"form": "folded"}}).layout.unplaced == (
        "t",
    )
