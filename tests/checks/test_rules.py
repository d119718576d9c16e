"""Each rule with a layout that fails it and one that passes, by hand arithmetic."""

from pathlib import Path

import pytest

from layout.checks.run import checks
from layout.files.rules import read_rules
from layout.model.finding import Finding
from tests.builders import BASE, plan_of

BOX = {"kind": "box", "length": "500", "width": "300", "height": "400"}
PEOPLE = {"Ada": {"stature": "1780"}}
SPACE = BASE["space"]


def _found(folder: Path, rule: str, **more: object) -> list[Finding]:
    return [f for f in plan_of(folder, **more).findings if f.rule == rule]


def _fails(folder: Path, rule: str, **more: object) -> list[Finding]:
    return [f for f in _found(folder, rule, **more) if f.severity == "fail"]


def test_every_rule_has_its_page_and_its_check() -> None:
    """The catalogue of rules and the checks name the same rules, and every number has a source."""
    rules = read_rules()

    assert sorted(rules) == sorted(checks())
    assert all(number.source for rule in rules.values() for number in rule.numbers.values())


def test_inside(tmp_path: Path) -> None:
    """A box 23 beyond the left wall fails by 23 and is cured by moving it 23 to the right."""
    [finding] = _found(tmp_path, "inside", things={"a": BOX}, arrangement={"a": {"at": ["0", "723", "0"]}})

    assert finding.short_by == pytest.approx(23)
    assert "23 mm into the left wall" in finding.text
    assert finding.cure == "move it 23 mm right"
    assert not _found(tmp_path, "inside", things={"a": BOX}, arrangement={"a": {"at": ["0", "700", "0"]}})


def test_inside_says_roof_and_well(tmp_path: Path) -> None:
    """What a thing is in is named: the roof with how much to lower, a wheel well by its side."""
    tall = {**BOX, "height": "1830"}
    [roof] = _found(tmp_path, "inside", things={"a": tall}, arrangement={"a": {"rear": "0", "centre": "0"}})
    wells = {**SPACE, "wheel_wells": [{"x": ["600", "1400"], "width": "200", "height": "250"}]}  # type: ignore[dict-item]
    [well] = _found(tmp_path, "inside", space=wells, things={"a": BOX}, arrangement={"a": {"at": ["700", "520", "0"]}})

    assert (roof.cure, roof.short_by) == ("make it 30 mm lower", pytest.approx(30))
    assert "20 mm into the wheel well left" in well.text


def test_inside_says_how_much_too_wide(tmp_path: Path) -> None:
    """A box 1740 across a room of 1700 fits nowhere: 40 too much, and the cure says what fits."""
    wide = {**BOX, "width": "1740"}
    [finding] = _found(tmp_path, "inside", things={"a": wide}, arrangement={"a": {"rear": "0", "centre": "0"}})

    assert finding.short_by == pytest.approx(40)
    assert "40 mm smaller across: 1700 mm fit" in finding.cure


def test_overlap(tmp_path: Path) -> None:
    """Two boxes 60 into each other fail by 60 and are cured by moving one 60; touching ones pass."""
    things = {"a": BOX, "b": BOX}
    near = {"a": {"at": ["0", "0", "0"]}, "b": {"at": ["440", "0", "0"]}}
    touching = {**near, "b": {"at": ["500", "0", "0"]}}
    [finding] = _found(tmp_path, "overlap", things=things, arrangement=near)

    assert finding.short_by == pytest.approx(60)
    assert "60 mm forward" in finding.cure
    assert not _found(tmp_path, "overlap", things=things, arrangement=touching)


def test_the_move_that_cures_an_overlap_does(tmp_path: Path) -> None:
    """Doing what the cure says removes the finding and makes no new one."""
    things = {"a": BOX, "b": BOX}
    moved = {"a": {"at": ["0", "0", "0"]}, "b": {"at": ["500", "0", "0"]}}

    assert not [f for f in plan_of(tmp_path, things=things, arrangement=moved).findings if f.severity == "fail"]


def test_door_opening(tmp_path: Path) -> None:
    """A box that leaves 450 of a 1500 opening fails a wish for 500 by 50, and passes one for 450."""

    def space(wish: str) -> dict[str, object]:
        return {**SPACE, "rear_door": {"width": "1500", "height": "1700", "kind": "two leaves", "keep_clear": wish}}  # type: ignore[dict-item]

    wide = {**BOX, "width": "1100"}
    stood = {"things": {"a": wide}, "arrangement": {"a": {"at": ["10", "250", "0"]}}}
    [finding] = _fails(tmp_path, "door-opening", space=space("500"), **stood)

    assert (finding.measured, finding.short_by) == (pytest.approx(450), pytest.approx(50))
    assert not _fails(tmp_path, "door-opening", space=space("450"), **stood)


def test_no_way_in(tmp_path: Path) -> None:
    """A space whose only door is filled fails where people are inside, not while driving."""
    wall_to_wall = {**BOX, "width": "1700"}
    [finding] = _fails(
        tmp_path, "door-opening", things={"a": wall_to_wall}, arrangement={"a": {"rear": "0", "centre": "0"}}
    )

    assert finding.states == ("camp", "sleep")
    assert finding.short_by == pytest.approx(450)


BIN = {"use": "bins/euro-600x400x280"}


def test_bed_size(tmp_path: Path) -> None:
    """1780 tall wants 1780 + 70 of mattress: 1800 fails by 50, 1850 passes; two on 1000 fail by 160."""

    def bed(length: str, width: str, *names: str) -> dict[str, object]:
        made = {"kind": "mattress", "length": length, "width": width, "thickness": "100", "sleeps": list(names)}
        people = {**PEOPLE, "Bo": {"stature": "1700"}}
        return {"people": people, "things": {"m": made}, "arrangement": {"m": {"at": ["500", "0", "400"]}}}

    [short] = _found(tmp_path, "bed-size", **bed("1800", "700", "Ada"))
    [narrow] = _found(tmp_path, "bed-size", **bed("1850", "1000", "Ada", "Bo"))

    assert (short.short_by, short.cure) == (pytest.approx(50), "make it 50 mm longer")
    assert (narrow.short_by, narrow.cure) == (pytest.approx(160), "make it 160 mm wider")
    assert not _found(tmp_path, "bed-size", **bed("1850", "700", "Ada"))


@pytest.mark.parametrize(
    ("foot", "severity", "word"),
    [
        ("1200", "fail", "Ada lies"),
        ("1100", "warn", "Ada crawls"),
        ("980", "note", "Ada stoops"),
        ("700", "note", "Ada sits erect"),
    ],
)
def test_headroom(tmp_path: Path, foot: str, severity: str, word: str) -> None:
    """Under 1800: a 100 mattress on 1200 leaves 500, on 1100 600, on 980 720, on 700 1000 (erect: 0.523 x 1780 + 30 = 961)."""
    made = {"kind": "mattress", "length": "1850", "width": "700", "thickness": "100", "sleeps": ["Ada"]}
    [finding] = _found(
        tmp_path, "headroom", people=PEOPLE, things={"m": made}, arrangement={"m": {"at": ["500", "0", foot]}}
    )

    assert (finding.severity, finding.measured) == (severity, pytest.approx(1700 - float(foot)))
    assert word in finding.text


def test_placed(tmp_path: Path) -> None:
    """A thing without a position is warned of, and one with a position is not."""
    [finding] = _found(
        tmp_path, "placed", things={"a": BOX, "b": BOX}, arrangement={"a": {"rear": "0", "left": "wall"}}
    )

    assert (finding.severity, finding.things) == ("warn", ("b",))


def test_a_project_overrules_a_number(tmp_path: Path) -> None:
    """A number under rules: takes the place of the catalogue's."""
    made = {"kind": "mattress", "length": "1800", "width": "700", "thickness": "100", "sleeps": ["Ada"]}
    stood = {"people": PEOPLE, "things": {"m": made}, "arrangement": {"m": {"at": ["500", "0", "400"]}}}

    assert not _found(tmp_path, "bed-size", **stood, rules={"bed-size": {"longer": "2 cm"}})


def test_headroom_sees_fixed_obstacles(tmp_path: Path) -> None:
    """A locker of the body 200 above the mattress leaves 200, whatever the roof."""
    space = {**SPACE, "obstacles": {"locker": {"x": ["500", "1500"], "y": ["-300", "300"], "z": ["700", "1000"]}}}  # type: ignore[dict-item]
    made = {"kind": "mattress", "length": "1850", "width": "700", "thickness": "100", "sleeps": ["Ada"]}
    [finding] = _found(
        tmp_path,
        "headroom",
        space=space,
        people=PEOPLE,
        things={"m": made},
        arrangement={"m": {"at": ["300", "0", "400"]}},
    )

    assert (finding.severity, finding.measured) == ("fail", pytest.approx(200, abs=0.1))
    assert "locker" in finding.text


def test_headroom_sees_leaning_walls(tmp_path: Path) -> None:
    """Walls that close from 850 to 300 between 900 and 1400 are met by a head 150 inside the bed's edge, at 500."""
    space = {**SPACE, "walls": {"both": [{"x": "0", "profile": {"0": "850", "900": "850", "1400": "300"}}]}}  # type: ignore[dict-item]
    made = {"kind": "mattress", "length": "1850", "width": "1300", "thickness": "100", "sleeps": ["Ada"]}
    [finding] = _found(
        tmp_path,
        "headroom",
        space=space,
        people=PEOPLE,
        things={"m": made},
        arrangement={"m": {"at": ["300", "0", "400"]}},
    )

    assert finding.measured == pytest.approx(900 + 500 * (850 - 500) / 550 - 500, abs=0.1)
    assert "leaning wall" in finding.text


def test_door_opening_sees_obstacles_walls_and_steps_over_mats(tmp_path: Path) -> None:
    """A post 800 wide in a door of 1500 leaves 350; a door wider than the room leaves the room; a mat blocks nothing."""
    door = {"width": "1500", "height": "1700", "kind": "two leaves", "keep_clear": "1200"}
    post = {"post": {"x": ["0", "300"], "y": ["-400", "400"], "z": ["0", "1000"]}}
    [blocked] = _fails(tmp_path, "door-opening", space={**SPACE, "rear_door": door, "obstacles": post})[:1]  # type: ignore[dict-item]
    wide = {**door, "width": "3000", "keep_clear": "2800"}
    [beyond] = _fails(tmp_path, "door-opening", space={**SPACE, "rear_door": wide})  # type: ignore[dict-item]
    mat = {"kind": "box", "length": "300", "width": "900", "height": "20"}
    stood = {"things": {"mat": mat}, "arrangement": {"mat": {"at": ["0", "0", "0"]}}}

    assert blocked.measured == pytest.approx(350)
    assert beyond.measured == pytest.approx(1700)
    assert not _fails(tmp_path, "door-opening", space={**SPACE, "rear_door": door}, **stood)  # type: ignore[dict-item]


def test_door_cure_opens_the_door(tmp_path: Path) -> None:
    """The move that the door rule offers is one that leaves nothing to find."""
    door = {"width": "1500", "height": "1700", "kind": "two leaves", "keep_clear": "600"}
    said = {"space": {**SPACE, "rear_door": door}, "things": {"a": {**BOX, "width": "1000"}}}  # type: ignore[dict-item]
    [finding] = [
        f
        for f in _fails(tmp_path, "door-opening", **said, arrangement={"a": {"at": ["0", "0", "0"]}})
        if f.wanted == 600
    ]

    assert finding.cure in ("move a 350 mm left", "move a 350 mm right")
    assert not _fails(tmp_path, "door-opening", **said, arrangement={"a": {"at": ["0", "350", "0"]}})


def test_bins_that_only_lean_into_each_other_overlap(tmp_path: Path) -> None:
    """Equal bins nest only when one stands square on the other; set off by 300, 15 mm of each other is an overlap."""
    stood = {"c 1": {"at": ["0", "0", "0"]}, "c 2": {"at": ["300", "100", "265"]}}
    [finding] = _found(tmp_path, "overlap", things={"c": {**BIN, "count": "2"}}, arrangement=stood)

    assert finding.short_by == pytest.approx(15)


def test_a_cure_never_moves_a_thing_into_another(tmp_path: Path) -> None:
    """A box in the left wall with another close on its right is not told to move into that one."""
    things = {"a": BOX, "b": {**BOX, "length": "3000", "width": "1300", "height": "1000"}}
    stood = {"a": {"at": ["0", "750", "0"]}, "b": {"at": ["0", "-60", "0"]}}
    [finding] = _found(tmp_path, "inside", things=things, arrangement=stood)

    assert "right" not in finding.cure


def test_a_cure_takes_along_what_stands_on_the_thing(tmp_path: Path) -> None:
    """Two boxes overlap; the one that carries a third is moved only where the third fits too."""
    things = {"a": BOX, "b": {**BOX, "length": "400"}, "top": {**BOX, "length": "900"}}
    stood = {"a": {"at": ["1000", "0", "0"]}, "b": {"at": ["1450", "0", "0"]}, "top": {"at": ["800", "0", "400"]}}
    [finding] = _found(tmp_path, "overlap", things=things, arrangement=stood)

    assert finding.cure.startswith("move ")
    assert "50 mm" in finding.cure


def test_carried(tmp_path: Path) -> None:
    """A box at 900 in the air and one over a step well are warned of; one on another and one on the floor are not."""
    space = {**SPACE, "holes": {"step": {"x": ["0", "600"], "y": ["-850", "-400"], "depth": "100"}}}  # type: ignore[dict-item]
    stood = {
        "a": {"at": ["1000", "0", "0"]}, "b": {"on": "a"}, "air": {"at": ["2000", "0", "900"]}, "gone": {"at": ["50", "-600", "0"]},
    }  # fmt: skip
    found = _found(tmp_path, "carried", space=space, things=dict.fromkeys(stood, BOX), arrangement=stood)

    assert [(f.things, f.severity) for f in found] == [(("air",), "warn"), (("gone",), "warn")]


def test_below_the_floor_says_so(tmp_path: Path) -> None:
    """A box 100 under the floor is told to be lifted by 100."""
    [finding] = _found(tmp_path, "inside", things={"a": BOX}, arrangement={"a": {"at": ["500", "0", "-100"]}})

    assert "100 mm into the floor" in finding.text
    assert finding.cure == "lift it by 100 mm"


def test_far_outside_says_how_far(tmp_path: Path) -> None:
    """A box 6500 beyond the front is told the whole way back, not its own size."""
    [finding] = _found(tmp_path, "inside", things={"a": BOX}, arrangement={"a": {"at": ["9000", "0", "0"]}})

    assert finding.short_by == pytest.approx(6500)
    assert finding.cure == "move it 6500 mm back"


def test_a_cure_holds_in_every_state(tmp_path: Path) -> None:
    """A move that frees a thing by night but hits what stands there by day is not offered."""
    things = {"a": {**BOX, "width": "1700"}, "b": {**BOX, "width": "1700"}, "c": {**BOX, "width": "1700"}}
    stood = {
        "a": {"at": ["500", "0", "0"]}, "b": {"at": ["1050", "0", "0"], "outside": ["camp", "sleep"]},
        "c": {"at": ["300", "0", "0"], "outside": ["drive"]},
    }  # fmt: skip
    [finding] = _found(tmp_path, "overlap", things=things, arrangement=stood)

    assert finding.states == ("camp", "sleep")
    assert "move a 300 mm forward" not in finding.cure
