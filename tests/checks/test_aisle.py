"""The rule aisle: by hand arithmetic, against a grid that knows nothing of erosion, and never wider by one more box."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, Polygon, box
from shapely.geometry.base import BaseGeometry

from layout.checks.context import Context
from layout.checks.run import run_checks
from layout.checks.walking.core import Trip, core, goes, widest
from layout.model.finding import Finding
from layout.model.spot import Spot
from layout.space.aisle import widest_way
from tests.builders import BASE
from tests.checks.one_rule import context_of, found, found_in, moved

RULE = "aisle"
SPACE = BASE["space"]
PEOPLE = {"Ada": {"stature": "1700"}}
Said = dict[str, dict[str, object]]
# The room is 3000 long, 1700 wide, 1800 high; the rear door 1500 wide. The bed fills the front third, 400 up.
BED: Said = {
    "things": {"bed": {"kind": "mattress", "length": "1000", "width": "1700", "thickness": "100", "sleeps": ["Ada"]}},
    "arrangement": {"bed": {"at": ["2000", "0", "400"]}},
}


def _box(length: float, width: float, height: float, **more: object) -> dict[str, object]:
    return {"kind": "box", "length": str(length), "width": str(width), "height": str(height), **more}


def _at(x: float, y: float, z: float = 0.0) -> dict[str, object]:
    return {"at": [str(x), str(y), str(z)]}


def _with(**more: tuple[dict[str, object], dict[str, object]]) -> dict[str, object]:
    """Return the project with the bed and with more things, each with its position."""
    return {
        "people": PEOPLE,
        "things": BED["things"] | {name: said for name, (said, _) in more.items()},
        "arrangement": BED["arrangement"] | {name: at for name, (_, at) in more.items()},
    }


def _one(**more: object) -> Finding:
    [finding] = found(RULE, **more)
    return finding


def test_a_cabinet_leaves_412_to_the_right_wall() -> None:
    """1700 less a cabinet 1288 wide at the left wall leaves 412: less than the 450 to squeeze past, by 38."""
    finding = _one(**_with(cabinet=(_box(500, 1288, 1700), _at(1000, 206))))

    assert (finding.severity, finding.states) == ("warn", ("camp", "sleep"))
    assert finding.text.startswith(
        "from the rear door to bed: 412 mm wide at the narrowest, between cabinet and the right wall"
    )
    assert (finding.measured, finding.wanted, finding.short_by) == (pytest.approx(412), 450, pytest.approx(38))
    assert finding.things == ("bed", "cabinet")
    ends = np.array(finding.line)
    assert sorted(ends[:, 1].tolist()) == pytest.approx([-850, -438])
    assert set(ends[:, 2]) == {0.0}


@pytest.mark.parametrize(
    ("left", "severity", "words"),
    [
        (299, "fail", "nobody passes"), (300, "warn", "too narrow to squeeze past"),
        (449, "warn", "too narrow to squeeze past"), (450, "note", "to squeeze past"), (500, "note", "to walk"),
        (600, "note", "to stand and bend"), (699, "note", "to stand and bend"), (700, "note", "for a drawer"),
    ],
)  # fmt: skip
def test_each_width_has_its_words(left: float, severity: str, words: str) -> None:
    """A cabinet at the left wall that leaves just a width of the rule, or 1 less, is told in the words of that."""
    finding = _one(**_with(cabinet=(_box(500, 1700 - left, 1700), _at(1000, left / 2))))

    assert (finding.severity, finding.measured) == (severity, pytest.approx(left))
    assert words in finding.text


def test_the_move_that_widens_is_just_what_is_missing_and_does() -> None:
    """A cabinet 850 wide in the middle leaves 425 on both sides: 25 to one side leave 450 on the other."""
    context = context_of(**_with(cabinet=(_box(500, 850, 1700), _at(1000, 0))))
    [finding] = found_in(context, RULE)

    assert finding.cure in ("move cabinet 25 mm left", "move cabinet 25 mm right")
    assert finding.does is not None
    assert (finding.does.things, abs(finding.does.shift[1])) == (("cabinet",), pytest.approx(25))
    before, after = run_checks(context), run_checks(moved(context, finding))
    assert {f.rule for f in after if f.severity == "fail"} == {f.rule for f in before if f.severity == "fail"}
    assert [f.severity for f in after if f.rule == RULE] == ["note"]


def test_a_move_takes_along_what_stands_on_the_thing() -> None:
    """The jug on the cabinet moves with it; a jug that would meet the wall keeps the cabinet where it is."""
    tall = _with(cabinet=(_box(500, 850, 900), _at(1000, 0)), jug=(_box(100, 100, 300), _at(1200, 0, 900)))
    both = _one(**tall)
    wide = _with(cabinet=(_box(500, 850, 900), _at(1000, 0)), jug=(_box(100, 1700, 300), _at(1200, 0, 900)))
    never = _one(**wide, rules={RULE: {"stoop": "850"}})

    assert both.does is not None
    assert set(both.does.things) == {"cabinet", "jug"}
    assert (never.measured, never.does) == (pytest.approx(425), None)
    assert "no move of one thing" in never.cure


def test_a_move_that_shuts_a_door_is_not_offered() -> None:
    """A locker at the door, 425 from a post, may go 25 left, unless the door keeps clear the 500 on its other side."""
    said = _with(
        post=(_box(300, 200, 1700), _at(100, -750)),
        locker=(_box(300, 475, 1700), _at(100, 12.5)),
        rest=(_box(300, 600, 1700), _at(400, 550)),
    )
    wish = {"width": "1500", "height": "1700", "kind": "two leaves", "keep_clear": "500"}
    free, kept = _one(**said), _one(**said, space={**SPACE, "rear_door": wish})  # type: ignore[dict-item]

    assert (free.measured, free.cure) == (pytest.approx(425), "move locker 25 mm left")
    assert (kept.measured, kept.does) == (pytest.approx(425), None)


def test_what_is_no_higher_than_a_step_is_stepped_over() -> None:
    """A box across the whole room bars the way at 201 high, and is no hindrance at 200."""
    low, high = (_one(**_with(sill=(_box(300, 1700, h), _at(1000, 0)))) for h in (200, 201))

    assert (low.severity, low.measured) == ("note", 700)
    assert (high.severity, high.measured, high.short_by) == ("fail", 0, 300)
    assert high.text == "no way from a door to bed: sill in the way"
    assert high.where is not None
    assert high.where.bounds == (2000, -850, 3000, 850)


def test_what_bars_the_way_is_told_to_move_as_little_as_does() -> None:
    """A box 1700 across, 210 high, at x 1000: slid forward until it is half under the bed, whose reach begins at 1700."""
    context = context_of(**_with(sill=(_box(500, 1700, 210), _at(1000, 0))))
    [finding] = found_in(context, RULE)

    assert finding.cure == "move sill 700 mm forward"
    assert [f.severity for f in found_in(moved(context, finding), RULE)] == ["note"]
    assert finding.does is not None
    less = replace(finding, does=replace(finding.does, shift=(699.0, 0.0, 0.0)))
    assert [f.severity for f in found_in(moved(context, less), RULE)] == ["fail"]


def test_who_cannot_walk_stooped_crawls() -> None:
    """A shelf across the room from 1000 up leaves the floor to hands and knees, which is told as a warning."""
    shelf = _one(**_with(shelf=(_box(500, 1700, 300), _at(1000, 0, 1000))))
    above = _one(**_with(shelf=(_box(500, 1700, 300), _at(1000, 0, 1300))))

    assert (shelf.severity, shelf.measured) == ("warn", 0)
    assert "700 mm wide or more; on hands and knees; stooped there is no way, shelf in the way" in shelf.text
    assert above.severity == "note"


def test_in_a_low_room_everybody_crawls() -> None:
    """Under a roof of 1250 nobody walks stooped at 1300: there the crawl is no warning."""
    space = {
        **SPACE,
        "roof": {"0": "1250", "3000": "1250"},
        "rear_door": {"width": "1500", "height": "1200", "kind": "lift up"},
    }  # type: ignore[dict-item]
    finding = _one(**_with(), space=space)

    assert (finding.severity, finding.measured) == ("note", 700)
    assert "on hands and knees" in finding.text


def test_the_door_itself_may_be_the_narrowest() -> None:
    """A rear door 460 wide into an empty room: the way is as wide as the door."""
    space = {**SPACE, "rear_door": {"width": "460", "height": "1700", "kind": "one leaf"}}  # type: ignore[dict-item]
    finding = _one(**_with(), space=space)

    assert finding.measured == pytest.approx(460)
    assert "460 mm wide at the narrowest, between both sides of the rear door; enough to squeeze past" in finding.text


def test_the_best_door_counts_and_is_named() -> None:
    """A cabinet wall to wall behind the rear door leaves the side door, 600 wide, on the left."""
    side = {"side": "left", "start": "1200", "width": "600", "height": "1600", "kind": "sliding"}
    space = {**SPACE, "side_doors": {"slider": side}}  # type: ignore[dict-item]
    finding = _one(**_with(cabinet=(_box(500, 1700, 1700), _at(500, 0))), space=space)

    assert finding.measured == pytest.approx(600)
    assert finding.text.startswith(
        "from the slider to bed: 600 mm wide at the narrowest, between both sides of the slider"
    )


def test_a_closed_door_bars_nobody() -> None:
    """A rear door that reaches 300 in when it is closed is open while people move; a fixed post of the same size is not."""
    reach = {"depth": "300", "z": ["0", "1500"]}
    closed = {**SPACE, "rear_door": {"width": "1500", "height": "1700", "kind": "two leaves", "reach_in": reach}}  # type: ignore[dict-item]
    post = {**SPACE, "obstacles": {"post": {"x": ["0", "300"], "y": ["-750", "750"], "z": ["0", "1500"]}}}  # type: ignore[dict-item]

    assert _one(**_with(), space=closed).severity == "note"
    assert _one(**_with(), space=post).severity == "fail"


def test_walls_that_lean_take_their_part() -> None:
    """Walls 850 from the middle up to 900, and 650 at 1300, leave 1300 less a box 900 wide at the left: 400 on the right."""
    space = {
        **SPACE,
        "walls": {"both": [{"x": "0", "profile": {"0": "850", "900": "850", "1300": "650", "1800": "650"}}]},
    }  # type: ignore[dict-item]
    finding = _one(**_with(cabinet=(_box(500, 900, 1300), _at(1000, 200))), space=space)

    assert finding.measured == pytest.approx(650 - 250)
    assert "between cabinet and the right wall" in finding.text or "between the right wall and cabinet" in finding.text


def test_a_step_well_is_free_to_stand_in() -> None:
    """A well 500 wide beside a cabinet is as good as floor; the hole changes nothing."""
    space = {**SPACE, "holes": {"step": {"x": ["900", "1600"], "y": ["-850", "-350"], "depth": "200"}}}  # type: ignore[dict-item]
    finding = _one(**_with(cabinet=(_box(500, 1200, 1700), _at(1000, 250))), space=space)

    assert finding.measured == pytest.approx(500)


def _behind_the_door(gap: float, **more: tuple[dict[str, object], dict[str, object]]) -> Finding:
    """Return what is said of a bed 1400 wide that begins `gap` behind the rear door, over a locker as high."""
    said = _with(**more)
    bed = {"kind": "mattress", "length": "1900", "width": "1400", "thickness": "100", "sleeps": ["Ada"]}
    locker = _box(max(gap - 1, 1), 1700, 500)
    return _one(
        people=PEOPLE, things={**said["things"], "bed": bed, "locker": locker},  # type: ignore[dict-item]
        arrangement={**said["arrangement"], "bed": _at(gap, 0, 400), "locker": _at(0, 0)},  # type: ignore[dict-item]
    )  # fmt: skip


def test_a_bed_right_behind_a_door_is_reached_straight_through_it() -> None:
    """With nothing but a locker no higher between, a bed 400 behind the door is reached over its 1400; one at 401 is not."""
    near, far = _behind_the_door(399), _behind_the_door(401)

    assert near.severity == "note"
    assert near.text.startswith("bed is reached straight through the rear door, 1400 mm wide there")
    assert far.severity == "fail"


def test_what_stands_on_a_bed_behind_a_door_narrows_the_way_in() -> None:
    """A box 1000 of the 1400 wide, on the rear end of the bed, leaves 400 of it."""
    bag = (_box(200, 1000, 300), _at(150, 200, 500))
    finding = _behind_the_door(100, bag=bag)

    assert (finding.severity, finding.measured) == ("warn", pytest.approx(400))
    assert "bag" in finding.things


def test_a_bed_that_hangs_is_not_reached_from_below() -> None:
    """A bunk 1250 up with cabinets at both sides is reached from its rear end; not with a board upright against that."""
    bed = {"bed": {"kind": "mattress", "length": "1000", "width": "1000", "thickness": "100", "sleeps": ["Ada"]}}
    stood = {"bed": _at(2000, 0, 1250)}
    walls = {"a": _box(1000, 340, 1790), "b": _box(1000, 340, 1790)}
    beside = {"a": _at(2000, 680), "b": _at(2000, -680)}
    free = _one(people=PEOPLE, things=bed | walls, arrangement=stood | beside)
    kept = _one(
        people=PEOPLE, things=bed | walls | {"board": _box(20, 1700, 800)},
        arrangement=stood | beside | {"board": _at(1979, 0, 990)},
    )  # fmt: skip

    assert free.severity == "note"
    assert kept.severity == "fail"


def _drawer(out: float, **rule: str) -> list[Finding]:
    """Return what is said of a cabinet and a locker 700 apart, with a drawer that comes so far out of the cabinet."""
    moving = {"top": {"does": "drawer", "face": "right", "out": str(out)}}
    said = _with(
        cabinet=(_box(900, 400, 1700, moving=moving), _at(800, 650)), locker=(_box(900, 600, 1700), _at(800, -550))
    )
    return found(RULE, **said, rules={RULE: {"squeeze": "450", **rule}})


@pytest.mark.parametrize(("out", "severity"), [(250, None), (251, "note"), (400, "note"), (401, "warn")])
def test_what_remains_with_a_drawer_out(out: float, severity: str | None) -> None:
    """Of 700 a drawer leaves 700 less its way: told below 450, a warning below 300."""
    whole, *rest = _drawer(out)

    assert (whole.severity, whole.measured) == ("note", pytest.approx(700))
    assert [f.severity for f in rest] == ([severity] if severity else [])
    assert [f.measured for f in rest] == ([pytest.approx(700 - out)] if severity else [])
    assert all(f"with top of cabinet out {700 - out} mm remain of the way" in f.text for f in rest)


def test_a_part_of_the_vehicle_counts_too() -> None:
    """A seat's back that leans into the room by night leaves 350 of 1700, and only then."""
    seat = {"x": ["900", "1400"], "y": ["-500", "850"], "z": ["0", "1400"], "states": ["sleep"]}
    space = {**SPACE, "comes_in": {"seat back": seat}}  # type: ignore[dict-item]
    note, part = found(RULE, **_with(), space=space)

    assert (note.states, part.states) == (("camp", "sleep"), ("sleep",))
    assert (part.severity, part.measured) == ("note", pytest.approx(350))


def test_a_stove_is_a_goal_unless_it_is_stowed() -> None:
    """A stove on a cabinet is to be reached; one with a deck 599 above it is stowed, one with a deck 600 above is not."""
    stove = _box(300, 300, 100, hazards=["flame"])
    deck = _box(400, 400, 20)

    def goals(*above: float) -> list[str]:
        things = {"stove": stove, "cabinet": _box(500, 500, 300)} | ({"deck": deck} if above else {})
        stood = {"cabinet": _at(2000, 600), "stove": _at(2100, 600, 300)}
        more = {"deck": _at(2050, 600, 400 + above[0])} if above else {}
        return [f.things[0] for f in found(RULE, things=things, arrangement=stood | more)]

    assert goals() == goals(600) == ["stove"]
    assert goals(599) == []


def _spots(*spots: Spot, **more: object) -> list[Finding]:
    context = context_of(**more)
    return found_in(replace(context, layout=replace(context.layout, spots=spots)), RULE)


def test_spots_are_goals() -> None:
    """A place to stand in front, behind a bench across the room, is not reached; a seat on the bench is, from 300 off."""
    said = {"things": {"bench": _box(600, 1700, 450)}, "arrangement": {"bench": _at(1000, 0)}}
    stand = Spot(name="cab", at=(2500.0, 0.0), does="stand")
    seat = Spot(name="seat", at=(1290.0, 0.0), does="sit", seat=450.0)
    cab, sat = _spots(stand, seat, **said)
    [deep] = _spots(replace(seat, at=(1310.0, 0.0)), **said, rules={RULE: {"near": "309"}})

    assert (cab.severity, cab.text) == ("fail", "no way from a door to cab: bench in the way")
    assert (sat.severity, sat.states) == ("note", ("camp", "sleep"))
    assert deep.severity == "fail"


def test_while_driving_nobody_walks() -> None:
    """Nothing is said of the state drive, whatever stands there."""
    assert all("drive" not in f.states for f in found(RULE, **_with(cabinet=(_box(500, 1700, 1700), _at(1000, 0)))))


# A grid that knows nothing of erosion: boxes as their four sides, plain distances, a flood.
STEP, MARGIN = 25.0, 25.0 * 2**0.5
ROOMS = range(40)
Array = NDArray[np.float64]
# What is beside the door's opening, and beyond the room's walls: x0, y0, x1, y1.
WALLS = np.array([
    (-9000, 750, 0, 9000), (-9000, -9000, 0, -750), (-50, 850, 9000, 9000), (-50, -9000, 9000, -850),
    (3000, -9000, 9000, 9000),
], dtype=float)  # fmt: skip


def _random_boxes(seed: int) -> Array:
    """Return 2 to 7 boxes between the door and the bed: x0, y0, x1, y1."""
    chance = np.random.default_rng(seed)
    count = int(chance.integers(2, 8))
    low = chance.uniform((100, -850), (1400, 700), (count, 2))
    return np.concatenate([low, np.minimum(low + chance.uniform(100, 800, (count, 2)), (1650, 850))], axis=1)


def _room(boxes: Array, **more: object) -> Context:
    things = {f"box {k}": _box(x1 - x0, y1 - y0, 1500) for k, (x0, y0, x1, y1) in enumerate(boxes)}
    stood = {f"box {k}": _at(x0, (y0 + y1) / 2) for k, (x0, y0, x1, y1) in enumerate(boxes)}
    return context_of(people=PEOPLE, things=BED["things"] | things, arrangement=BED["arrangement"] | stood, **more)


def _clearance(points: Array, boxes: Array) -> Array:
    x, y = points[:, None, 0], points[:, None, 1]
    dx = np.maximum(np.maximum(boxes[:, 0] - x, x - boxes[:, 2]), 0)
    dy = np.maximum(np.maximum(boxes[:, 1] - y, y - boxes[:, 3]), 0)
    return np.asarray(np.hypot(dx, dy).min(axis=1))


def _grid_passes(boxes: Array, width: float, slack: float) -> bool:
    """Return whether a disc goes over grid points from 700 outside to within its radius of x 1700, where the bed is."""
    xs, ys = np.arange(-750, 2001, STEP), np.arange(-1100, 1101, STEP)
    points = np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2)
    shape = (len(ys), len(xs))
    bed = np.array([(2000, -850, 3000, 850)], dtype=float)
    open_ = (_clearance(points, np.concatenate([boxes, WALLS, bed])) >= width / 2).reshape(shape)
    reached = open_ & (points[:, 0] <= -700).reshape(shape)
    goal = open_ & (points[:, 0] >= 1700 - width / 2 - slack).reshape(shape)
    while True:
        wide = np.pad(reached, 1)
        wider = open_ & np.any([wide[i : i + shape[0], j : j + shape[1]] for i in range(3) for j in range(3)], axis=0)
        if (wider == reached).all():
            return bool((reached & goal).any())
        reached = wider


@pytest.mark.parametrize("seed", ROOMS)
def test_the_width_is_what_a_grid_finds_to_within_its_step(seed: int) -> None:
    """A grid path exists for a disc narrower by the grid's skew, and none for one wider by as much."""
    boxes = _random_boxes(seed)
    [finding] = found_in(_room(boxes), RULE)
    width = finding.measured or 0.0
    if width < 700:
        assert not _grid_passes(boxes, max(width, 100) + MARGIN + 1, 0.0)
    if width:
        assert _grid_passes(boxes, width - MARGIN - 1, MARGIN)


def test_the_random_rooms_are_of_all_kinds() -> None:
    """Among them some are closed, some narrow, some wide: else the grid would be asked nothing."""
    severities = [found_in(_room(_random_boxes(seed)), RULE)[0].severity for seed in ROOMS]

    assert {severities.count(s) > 3 for s in ("fail", "warn", "note")} == {True}


@pytest.mark.parametrize("seed", ROOMS)
def test_one_more_box_never_widens_the_way(seed: int) -> None:
    """With the last box taken away the way is no narrower, and no graver."""
    boxes = _random_boxes(seed)
    [more], [less] = (found_in(_room(b), RULE) for b in (boxes, boxes[:-1]))
    order = ("fail", "warn", "note")

    assert (more.measured or 0) <= (less.measured or 0) + 1.0
    assert order.index(more.severity) <= order.index(less.severity)


@pytest.mark.parametrize("seed", range(12))
def test_a_greater_wish_never_takes_a_finding_away(seed: int) -> None:
    """With squeeze at 300, 450, 600 and 900 there are ever more that are no mere notes."""
    boxes = _random_boxes(seed)
    graver = [
        {(f.things[0], f.text.split(";")[0]) for f in found_in(_room(boxes, rules={RULE: {"squeeze": s}}), RULE)
         if f.severity != "note"}
        for s in ("300", "450", "600", "900")
    ]  # fmt: skip

    assert [len(each) for each in graver] == sorted(len(each) for each in graver)


@pytest.mark.parametrize("seed", ROOMS)
def test_every_move_that_is_offered_does(seed: int) -> None:
    """After it the way is as wide as wanted, and no failure is new."""
    context = _room(_random_boxes(seed))
    [finding] = found_in(context, RULE)
    if finding.does is None:
        return
    [after] = found_in(moved(context, finding), RULE)
    before, new = ({f.rule for f in run_checks(c) if f.severity == "fail"} for c in (context, moved(context, finding)))

    assert (after.measured or 0) >= (300 if after.severity != "note" else 450) - 0.1
    assert after.severity != finding.severity
    assert new <= before


def test_some_moves_are_offered() -> None:
    """Else the test above would look at nothing."""
    offered = [f for seed in ROOMS for f in found_in(_room(_random_boxes(seed)), RULE) if f.does is not None]

    assert len(offered) >= 5


@pytest.mark.parametrize("seed", range(60))
def test_the_quick_way_is_the_way(seed: int) -> None:
    """Over a floor that is eroded once the way is as wide as over the floor itself, and passes for the same discs."""
    chance = np.random.default_rng(seed)
    low = chance.uniform((0, 0), (2300, 1400), (14, 2))
    size = chance.uniform(60, 420, (14, 2))
    turn = chance.uniform(0, 90, 14) * (chance.random(14) < 0.4)
    solids = [
        shapely.affinity.rotate(box(*a, *(a + s)), t) for a, s, t in zip(low, size, turn, strict=True)
    ]  # fmt: skip
    free: BaseGeometry = box(0, 0, 2400, 1500).difference(shapely.union_all(solids))
    start, goal = LineString([(0, 200), (0, 1300)]), Polygon([(2390, 300), (2400, 300), (2400, 1200), (2390, 1200)])
    trip = Trip(free=free, core=core(free, 100.0, 700.0), start=start, goal=goal)
    quick, slow = widest(trip, 700.0), widest_way(free, start, goal, most=700.0)

    assert quick.width == pytest.approx(slow.width if slow.width > 101 else 0.0, abs=1.0)
    assert goes(trip, max(quick.width - 0.5, 101)) == (quick.width > 101)
    assert not goes(trip, quick.width + 1.5) or quick.limit == "most"
