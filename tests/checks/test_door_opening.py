"""The rule door-opening: width and height that stay free of each door, by hand arithmetic, and the moves that free it."""

from __future__ import annotations

import numpy as np
import pytest

from layout.checks.context import Context
from layout.model.finding import Finding
from tests.builders import BASE
from tests.checks.one_rule import context_of, found, found_in, moved

RULE = "door-opening"
SPACE = BASE["space"]
Said = dict[str, object]


def _space(**more: object) -> Said:
    return {**SPACE, **more}  # type: ignore[dict-item]


def _rear(**more: str) -> Said:
    return {"width": "1500", "height": "1700", "kind": "two leaves", **more}


def _side(**more: str) -> Said:
    return {"side": "right", "start": "1000", "width": "1200", "height": "1600", "kind": "sliding", **more}


def _box(length: float, width: float, height: float) -> Said:
    return {"kind": "box", "length": str(length), "width": str(width), "height": str(height)}


def _at(x: float, y: float, z: float = 0.0) -> Said:
    return {"at": [str(x), str(y), str(z)]}


def _notes(findings: list[Finding]) -> list[str]:
    return [f.text for f in findings if f.severity == "note"]


def test_an_empty_door_stays_free_whole() -> None:
    """All 1500 of the width and 1700 of the height, in every state."""
    [note] = found(RULE)

    assert (note.severity, note.states, note.things) == ("note", ("drive", "camp", "sleep"), ())
    assert note.text == "rear door: 1500 mm of 1500 mm wide, 1700 mm of 1700 mm high stay free"


def test_width_and_height_that_stay_free() -> None:
    """A cabinet takes 380 of the left; beside it a mat of 60 and a lamp 40 under the top leave 1120 by 1600."""
    things = {"cabinet": _box(300, 480, 1700), "mat": _box(300, 1000, 60), "lamp": _box(100, 100, 100)}
    stood = {"cabinet": _at(50, 610), "mat": _at(50, -200), "lamp": _at(100, -300, 1660)}
    [note] = found(RULE, things=things, arrangement=stood)

    assert note.measured == pytest.approx(1120)
    assert note.text == "rear door: 1120 mm of 1500 mm wide, 1600 mm of 1700 mm high stay free"
    assert note.things == ("cabinet",)


@pytest.mark.parametrize(("foot", "wide", "high"), [(1550, 1500, 1550), (1549, 700, 1700)])
def test_what_hangs_low_is_not_ducked_under(foot: float, wide: float, high: float) -> None:
    """A rack 800 wide in the right of the door narrows its height from 1550 up, its width when 1 lower."""
    [note] = found(RULE, things={"rack": _box(300, 800, 200)}, arrangement={"rack": _at(0, -350, foot)})

    assert f"{wide} mm of 1500 mm wide, {high} mm of 1700 mm high" in note.text


@pytest.mark.parametrize(("x", "free"), [(400, 1500), (399, 800)])
def test_only_what_stands_in_the_step_behind_counts(x: float, free: float) -> None:
    """A cabinet across 700 of the door's left counts from less than 400 behind it."""
    [note] = found(RULE, things={"cabinet": _box(300, 700, 1700)}, arrangement={"cabinet": _at(x, 400)})

    assert note.measured == pytest.approx(free)


def test_a_low_door_is_not_all_step() -> None:
    """A hatch 300 high: at most 100 of it is stepped over, so a box of 110 narrows it."""
    hatch = _space(side_doors={"hatch": _side(height="300")})
    said = {"arrangement": {"box": _at(1200, -700)}}
    high, low = (found(RULE, space=hatch, things={"box": _box(500, 300, h)}, **said) for h in (110, 100))

    assert [f.measured for f in high if "hatch" in f.text] == [pytest.approx(500)]
    assert [f.measured for f in low if "hatch" in f.text] == [pytest.approx(1200)]


def test_above_a_bed_the_opening_that_is_left_is_told() -> None:
    """Over a bed 1600 wide and 700 high at the rear door nobody walks in: 1500 by 1000 stay free above it."""
    notes = _notes(found(RULE, things={"bed": _box(1900, 1600, 700)}, arrangement={"bed": _at(50, 0)}))

    assert notes == ["rear door: 0 mm of 1500 mm wide stay free; above bed 1500 mm wide, 1000 mm high"]


def test_a_wish_that_is_not_kept_fails_by_what_is_missing() -> None:
    """A cabinet leaves 380 of a side door for which 500 are wished: 120 short; moved 120 forward it passes."""
    space = _space(side_doors={"slider": _side(keep_clear="500")})
    said = {"space": space, "things": {"cabinet": _box(820, 400, 900)}}
    [fail] = [f for f in found(RULE, **said, arrangement={"cabinet": _at(1380, -650)}) if f.severity == "fail"]
    after = found(RULE, **said, arrangement={"cabinet": _at(1500, -650)})

    assert (fail.measured, fail.wanted, fail.short_by) == (pytest.approx(380), 500, pytest.approx(120))
    assert fail.text == "the slider keeps only 380 mm of 1200 mm free, wanted 500 mm"
    assert fail.cure == "move cabinet 120 mm forward"
    assert fail.does is not None
    assert fail.does.shift == (pytest.approx(120), 0, 0)
    assert not [f for f in after if f.severity == "fail"]


def test_the_room_is_measured_where_the_door_is() -> None:
    """A side door 1000 to 2200 in a room whose front leans in to 2000 over 1450: 1000 wide, and the floor's end tells.

    Below 1450, which is what is walked of a door 1600 high, the front stands at 3000 - 1000 x 1450 / 1450.
    """
    space = _space(front={"0": "3000", "1450": "2000", "1800": "2000"}, side_doors={"slider": _side()})
    [slider] = [t for t in _notes(found(RULE, space=space)) if t.startswith("slider")]

    assert slider.startswith("slider: 1000 mm of 1200 mm wide")


def test_leaning_walls_do_not_bar_a_side_door() -> None:
    """A wall that leans in by 150 up to the door's top takes nothing of its width, and what leans on it does."""
    lean = {"both": [{"x": "0", "profile": {"0": "850", "1800": "700"}}]}
    space = _space(walls=lean, side_doors={"slider": _side()})
    free = found(RULE, space=space)
    box = found(RULE, space=space, things={"box": _box(400, 300, 900)}, arrangement={"box": _at(1000, -550)})

    assert any(t.startswith("slider: 1200 mm of 1200 mm wide") for t in _notes(free))
    assert any(t.startswith("slider: 800 mm of 1200 mm wide") for t in _notes(box))


def test_leaning_walls_narrow_a_rear_door_at_its_top() -> None:
    """Walls 850 at the floor and 700 at 1800 are 850 - 150 x 1550 / 1800 from the middle where one ducks: under 750."""
    lean = {"both": [{"x": "0", "profile": {"0": "850", "1800": "700"}}]}
    [note] = found(RULE, space=_space(walls=lean))

    assert note.measured == pytest.approx(2 * (850 - 150 * 1550 / 1800), abs=0.01)


def test_a_rear_end_aslant_is_still_a_way_in() -> None:
    """A floor whose rear edge runs from x 0 on the right to 80 on the left leaves the door whole."""
    corners = [["0", "-850"], ["3000", "-850"], ["3000", "850"], ["80", "850"]]
    [note] = found(RULE, space={**SPACE, "floor": {"corners": corners}})  # type: ignore[dict-item]

    assert note.measured == pytest.approx(1500)


def test_a_closed_door_does_not_bar_itself() -> None:
    """What a closed door reaches in is gone when it is open; a fixed post stays."""
    closed = _space(rear_door=_rear() | {"reach_in": {"depth": "200", "z": ["0", "1500"]}})
    post = _space(obstacles={"post": {"x": ["0", "300"], "y": ["-400", "400"], "z": ["0", "1000"]}})

    assert [f.measured for f in found(RULE, space=closed)] == [pytest.approx(1500)]
    assert {(f.severity, round(f.measured or 0)) for f in found(RULE, space=post)} == {("fail", 350), ("note", 350)}


WALL_TO_WALL = {"things": {"a": _box(300, 1700, 400)}, "arrangement": {"a": _at(0, 0)}}


def test_no_way_in_fails_but_while_driving() -> None:
    """A box from wall to wall at the only door leaves nothing of it; another door makes up for that."""
    findings = found(RULE, **WALL_TO_WALL)
    [fail] = [f for f in findings if f.severity == "fail"]
    other = found(RULE, **WALL_TO_WALL, space=_space(side_doors={"slider": _side()}))

    assert (fail.states, fail.short_by) == (("camp", "sleep"), pytest.approx(450))
    assert fail.text == "no way in: the rear door keeps only 0 mm of 1500 mm free, wanted 450 mm"
    assert not [f for f in other if f.severity == "fail"]


def _bed(top: float, **sleeps: list[str]) -> list[Finding]:
    made = {"kind": "mattress", "length": "1900", "width": "1700", "thickness": "100", **sleeps}
    people = {"Ada": {"stature": "1700"}}
    return found(RULE, people=people, things={"m": made}, arrangement={"m": _at(100, 0, top - 100)})


def test_over_a_bed_one_climbs_in() -> None:
    """A mattress across the only door is a way in for those who sleep on it, while 400 of the opening are above it."""
    assert not [f for f in _bed(1300, sleeps=["Ada"]) if f.severity == "fail"]
    assert [f.severity for f in _bed(1301, sleeps=["Ada"]) if f.severity == "fail"] == ["fail"]
    assert [f.severity for f in _bed(500) if f.severity == "fail"] == ["fail"]


def test_without_doors_they_are_asked_for() -> None:
    """A space that says no door is told so once."""
    space = {key: value for key, value in SPACE.items() if key != "rear_door"}  # type: ignore[attr-defined]
    [note] = found(RULE, space=space)

    assert (note.severity, note.text) == ("note", "the space has no door; add its openings")


ROOMS = range(30)


def _random_room(seed: int, less: int = 0) -> Context:
    """Return a room with a rear and a side door that keep 700 clear, and 2 to 5 boxes about, the last `less` left out."""
    chance = np.random.default_rng(seed)
    count = int(chance.integers(2, 6))
    size = chance.uniform((200, 200, 100), (900, 900, 1700), (count, 3))
    low = chance.uniform((0, -850), (2100, -50), (count, 2))
    things = {f"box {k}": _box(*size[k]) for k in range(count - less)}
    stood = {
        f"box {k}": _at(low[k][0], min(low[k][1] + size[k][1] / 2, 850 - size[k][1] / 2)) for k in range(count - less)
    }
    space = _space(rear_door=_rear(keep_clear="700"), side_doors={"slider": _side(keep_clear="700")})
    return context_of(space=space, things=things, arrangement=stood)


def _fails(context: Context) -> list[Finding]:
    return [f for f in found_in(context, RULE) if f.severity == "fail"]


@pytest.mark.parametrize("seed", ROOMS)
def test_one_more_box_never_opens_a_door(seed: int) -> None:
    """With the last box left out each door is as wide or wider, and no wish that was kept fails."""
    widths = [
        {
            f.text.split(":")[0]: f.measured or 0.0
            for f in found_in(_random_room(seed, less), RULE)
            if f.severity == "note"
        }
        for less in (0, 1)
    ]

    assert all(widths[0][door] <= widths[1][door] for door in widths[0])
    assert len(_fails(_random_room(seed, 1))) <= len(_fails(_random_room(seed)))


@pytest.mark.parametrize("seed", ROOMS)
def test_every_move_that_is_offered_opens_the_door(seed: int) -> None:
    """After it that finding is gone, and there is no other failure that was not there."""
    context = _random_room(seed)
    before = {f.text for f in _fails(context)}
    for finding in _fails(context):
        if finding.does is not None:
            after = _fails(moved(context, finding))
            assert all(
                f.wanted != finding.wanted or f.text.split(" keeps")[0] != finding.text.split(" keeps")[0]
                for f in after
            )
            assert len(after) < len(before)


def test_some_moves_are_offered() -> None:
    """Else the test above would look at nothing."""
    assert sum(f.does is not None for seed in ROOMS for f in _fails(_random_room(seed))) >= 5
