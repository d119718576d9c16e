"""What moves, and whoever uses it, has room: by hand arithmetic, by cures carried out, and on random layouts."""

import random
from collections.abc import Iterable
from dataclasses import replace
from math import asin, degrees
from typing import Any

import pytest
from shapely.geometry import Polygon

from layout.checks.carry_out import carried_out
from layout.checks.context import Context
from layout.model.finding import Finding
from layout.model.solid import Solid
from tests.builders import BASE
from tests.checks.one_rule import context_of, found, found_in

SPACE: Any = BASE["space"]
RULES = ("inside", "overlap", "door-opening", "sweep", "lids", "air-gap")


def _box(length: float, width: float, height: float, **more: object) -> dict[str, object]:
    return {"kind": "box", "length": str(length), "width": str(width), "height": str(height), **more}


def _at(x: float, y: float, z: float = 0) -> dict[str, object]:
    return {"at": [str(x), str(y), str(z)]}


def _failing(**more: object) -> Finding:
    [finding] = [f for f in found("sweep", **more) if f.severity == "fail"]
    return finding


DRAWER = {"drawer": {"does": "drawer", "out": "500"}}
GALLEY = {"galley": _box(400, 600, 800, moving=DRAWER), "bed": _box(600, 1200, 500)}


def test_a_drawer_meets_the_bed() -> None:
    """A galley from 500 to 900 and a bed from 1210 leave 310 for a drawer of 500: 190 short, and the bed moves by that."""
    finding = _failing(things=GALLEY, arrangement={"galley": _at(500, 0), "bed": _at(1210, 0)})

    assert finding.text == "the drawer of galley comes out 310 of 500 mm; bed is in the way"
    assert (finding.measured, finding.wanted, finding.short_by) == (310, 500, 190)
    assert finding.things == ("galley", "bed")
    assert finding.cure == "move bed 190 mm forward"
    assert not found("sweep", things=GALLEY, arrangement={"galley": _at(500, 0), "bed": _at(1400, 0)})


def test_a_part_is_used_while_people_are_there_unless_the_file_says_when() -> None:
    """A drawer is not pulled on the road; one that says states: [sleep] only then."""
    stood = {"galley": _at(500, 0), "bed": _at(1210, 0)}
    at_night = {**GALLEY, "galley": _box(400, 600, 800, moving={"drawer": {**DRAWER["drawer"], "states": ["sleep"]}})}

    assert _failing(things=GALLEY, arrangement=stood).states == ("camp", "sleep")
    assert _failing(things=at_night, arrangement=stood).states == ("sleep",)


def test_inches_are_spoken_to_the_sixteenth_below() -> None:
    """A drawer of 20 in with 12.2 in before it comes out 12 3/16 of 20: what is said to fit fits."""
    space = {
        "floor": {"length": "120", "width": "70"}, "roof": {"0": "70"},
        "rear_door": {"width": "60", "height": "60", "kind": "two leaves"},
    }  # fmt: skip
    things = {"a": _box(16, 20, 30, moving={"drawer": {"does": "drawer", "out": "20"}}), "b": _box(20, 40, 20)}
    finding = _failing(units="in", space=space, things=things, arrangement={"a": _at(20, 0), "b": _at(48.2, 0)})

    assert 'comes out 12 3/16" of 20"' in finding.text


DOOR = {"door": {"does": "door", "hinge": "left"}}


def test_a_door_opens_as_far_as_its_tip_is_short_of_the_bed() -> None:
    """A leaf of 400 whose bed stands 200 before it opens to asin(200 / 400) = 30 degrees."""
    things = {"cupboard": _box(600, 400, 800, moving=DOOR), "bed": _box(600, 1200, 500)}
    finding = _failing(things=things, arrangement={"cupboard": _at(500, 0), "bed": _at(1300, 0)})

    assert finding.text == "the door of cupboard opens to 30 of 90 degrees; bed is in the way"
    assert finding.cure == "move bed 200 mm forward"
    assert not found("sweep", things=things, arrangement={"cupboard": _at(500, 0), "bed": _at(1500, 0)})


@pytest.mark.parametrize("gap", [60, 137, 263, 391])
def test_the_angle_of_a_door_is_that_of_the_leaf(gap: int) -> None:
    """At any gap the angle is at most one degree under asin(gap / leaf), and never over it."""
    things = {"cupboard": _box(600, 400, 800, moving=DOOR), "bed": _box(600, 1200, 500)}
    text = _failing(things=things, arrangement={"cupboard": _at(500, 0), "bed": _at(1100 + gap, 0)}).text
    said = int(text.split("opens to ")[1].split(" ")[0])

    assert degrees(asin(gap / 400)) - 1.1 <= said <= degrees(asin(gap / 400)) + 0.02


def test_a_door_that_cannot_be_freed_by_a_move_is_hung_on_the_other_side() -> None:
    """In a lane of 400 nothing can move. A post 250 before the last 50 at the hinge's side stops the leaf of 400.

    It stops at atan(250 / 50) = 78.7 degrees; hung on the right, the leaf is hypot(350, 250) = 430 from it.
    """
    things = {
        "cupboard": _box(1100, 400, 800, moving=DOOR), "post": _box(1650, 50, 800), "filler": _box(1500, 350, 800),
        "left": _box(3000, 650, 800), "right": _box(3000, 650, 800),
    }  # fmt: skip
    stood = {
        "cupboard": _at(0, 0), "post": _at(1350, 175), "filler": _at(1500, -25), "left": _at(0, 525), "right": _at(0, -525),
    }  # fmt: skip
    finding = _failing(things=things, arrangement=stood)

    assert "opens to 78 of 90 degrees; post is in the way" in finding.text
    assert finding.cure == "hang it on its other edge, hinge: right: there it opens all the way"
    assert finding.does is None
    rehung = {**things, "cupboard": _box(1100, 400, 800, moving={"door": {"does": "door", "hinge": "right"}})}
    assert not found("sweep", things=rehung, arrangement=stood)


def test_a_drawer_stops_at_the_wall_as_it_is_at_its_height() -> None:
    """Walls that lean from 850 to 650 over 0 .. 1000 leave a drawer at 400 .. 500 up, from y 300 on, 750 - 300 = 450."""
    space = {**SPACE, "walls": {"both": [{"x": "0", "profile": {"0": "850", "1000": "650"}}]}}
    moving = {"drawer": {"does": "drawer", "face": "left", "out": "500", "z": ["400", "500"]}}
    finding = _failing(space=space, things={"c": _box(600, 400, 600, moving=moving)}, arrangement={"c": _at(500, 100)})

    assert finding.text == "the drawer of c comes out 450 of 500 mm; the left wall is in the way"
    assert finding.cure == "move c 50 mm right"


def test_a_kitchen_opens_out_of_the_rear_door_but_not_on_the_road() -> None:
    """Drawers 1000 wide come out of a rear opening of 1500 in camp; wanted on the road too they have the 10 to the door."""
    moving = {"drawer": {"does": "drawer", "face": "rear"}}
    both = {"drawer": {**moving["drawer"], "states": ["drive", "camp"]}}
    stood = {"c": _at(10, 0)}

    assert not found("sweep", things={"c": _box(600, 1000, 800, moving=moving)}, arrangement=stood)
    finding = _failing(things={"c": _box(600, 1000, 800, moving=both)}, arrangement=stood)
    assert (finding.states, finding.measured) == (("drive",), 10)


def test_a_part_comes_out_only_within_the_opening() -> None:
    """1600 do not pass an opening of 1500, nor 800 up one of 700; a side door takes what is between its posts."""
    moving = {"drawer": {"does": "drawer", "face": "rear"}}
    low = {**SPACE, "rear_door": {"width": "1500", "height": "700", "kind": "two leaves"}}
    side = {
        **SPACE,
        "side_doors": {"side": {"side": "right", "start": "1000", "width": "800", "height": "1500", "kind": "sliding"}},
    }
    out = {"drawer": {"does": "drawer", "face": "right"}}

    assert _failing(things={"c": _box(600, 1600, 800, moving=moving)}, arrangement={"c": _at(10, 0)}).measured == 10
    assert (
        _failing(space=low, things={"c": _box(600, 900, 800, moving=moving)}, arrangement={"c": _at(10, 0)}).measured
        == 10
    )
    stood = {"c": _at(1100, -500)}
    assert not found("sweep", space=side, things={"c": _box(600, 600, 800, moving=out)}, arrangement=stood)
    beside = {"c": _at(1300, -500)}
    assert _failing(space=side, things={"c": _box(600, 600, 800, moving=out)}, arrangement=beside).measured == 50


def test_a_closed_door_that_reaches_in_is_open_in_camp() -> None:
    """A rear door that reaches 60 in when shut stops a drawer 10 behind it on the road, not in camp."""
    door = {"width": "1500", "height": "1700", "kind": "two leaves", "reach_in": {"depth": "60", "z": ["0", "1000"]}}
    moving = {"drawer": {"does": "drawer", "face": "rear", "states": ["drive", "camp"]}}
    finding = _failing(
        space={**SPACE, "rear_door": door},
        things={"c": _box(600, 1000, 800, moving=moving)},
        arrangement={"c": _at(70, 0)},
    )

    assert (finding.states, finding.measured) == (("drive",), 10)
    assert "closed rear door is in the way" in finding.text


SLIDE = {"slide": {"does": "drawer", "out": "450", "person": "500"}}


def test_a_sliding_fridge_and_whoever_opens_it() -> None:
    """A fridge from 500 to 950 that slides out by 450 leaves from 1400 to the bed at 1650 half of the 500 for a person."""
    things = {"fridge": _box(450, 400, 600, moving=SLIDE), "bed": _box(600, 1200, 500)}
    finding = _failing(things=things, arrangement={"fridge": _at(500, 0), "bed": _at(1650, 0)})

    assert finding.text == "whoever uses the slide of fridge has 250 of 500 mm to stand; bed is in the way"
    assert (finding.short_by, finding.cure) == (250, "move bed 250 mm forward")
    assert not found("sweep", things=things, arrangement={"fridge": _at(500, 0), "bed": _at(1900, 0)})


def test_a_person_steps_over_what_is_low_and_leans_over_nothing_else() -> None:
    """A mat of 100 is stepped on and a shelf at 900 is leaned under; at 101 and at 899 they are in the way."""
    things = {"fridge": _box(450, 400, 600, moving=SLIDE), "mat": _box(600, 1200, 100), "shelf": _box(600, 1200, 100)}
    moving = {"slide": {**SLIDE["slide"], "z": ["200", "500"]}}
    things["fridge"] = _box(450, 400, 600, moving=moving)

    def who(mat: float, shelf: float) -> list[str]:
        made = {**things, "mat": _box(600, 1200, mat)}
        stood = {"fridge": _at(500, 0), "mat": _at(1450, 0), "shelf": _at(1450, 0, shelf)}
        return [f.things[1] for f in found("sweep", things=made, arrangement=stood)]

    assert who(100, 900) == []
    assert who(101, 900) == ["mat"]
    assert who(100, 899) == ["shelf"]


def test_whoever_opens_a_lid_stands_before_it() -> None:
    """A bench up to 900 with a box at 1200 leaves 300 of the 500 for whoever lifts its lid, wherever the lid goes."""
    moving = {"lid": {"does": "lid", "hinge": "rear", "person": "500"}}
    things = {"bench": _box(400, 600, 450, moving=moving), "box": _box(400, 1200, 450)}
    finding = _failing(things=things, arrangement={"bench": _at(500, 0), "box": _at(1200, 0)})

    assert finding.text == "whoever uses the lid of bench has 300 of 500 mm to stand; box is in the way"
    assert finding.cure == "move bench 200 mm back"


def test_somebody_at_a_rear_kitchen_stands_outside() -> None:
    """The person at a drawer that comes out of the rear door stands before the vehicle, where the doors are open."""
    moving = {"drawer": {"does": "drawer", "face": "rear", "out": "500", "person": "600"}}

    assert not found("sweep", things={"c": _box(600, 1000, 800, moving=moving)}, arrangement={"c": _at(10, 0)})


def test_a_drawer_left_out_traps_the_door_behind_it() -> None:
    """The drawer ends at 1400, 250 before a door of 500 at 1650: it opens to asin(250 / 500) = 30 degrees, if at all."""
    things = {
        "a": _box(450, 400, 600, moving={"drawer": {"does": "drawer", "out": "450"}}),
        "b": _box(450, 500, 600, moving={"door": {"does": "door", "face": "rear", "hinge": "left"}}),
    }  # fmt: skip
    stood = {"a": _at(500, 0), "b": _at(1650, 0)}
    [finding] = found("sweep", things=things, arrangement=stood)

    assert (finding.severity, finding.things) == ("warn", ("a", "b"))
    assert finding.text == "while the drawer of a is open, the door of b opens to 30 of 90 degrees"
    assert "one after the other" in finding.cure
    alone = {**things, "a": _box(450, 400, 600, moving={"drawer": {"does": "drawer", "out": "450", "alone": "yes"}})}
    assert not found("sweep", things=alone, arrangement=stood)


def test_of_two_things_only_the_worst_pair_is_told() -> None:
    """Two drawers over each other meet one opposite, 800 apart: 450 and 600 out leave 350 and 200, and 200 is told."""
    two = {
        "low": {"does": "drawer", "out": "450", "z": ["0", "300"]},
        "high": {"does": "drawer", "out": "600", "z": ["300", "600"]},
    }
    things = {
        "a": _box(400, 400, 600, moving=two),
        "b": _box(400, 500, 600, moving={"drawer": {"does": "drawer", "face": "rear", "out": "500"}}),
    }
    [finding] = found("sweep", things=things, arrangement={"a": _at(500, 0), "b": _at(1700, 0)})

    assert finding.text == "while the high of a is open, the drawer of b comes out 200 of 500 mm"
    assert finding.measured == 200


def test_whoever_uses_one_part_meets_another_left_open() -> None:
    """A leaf of 500, open square at 1650, stands to 1150, in the 600 from 950 to 1550 of the person: 200 are left."""
    things = {
        "a": _box(450, 400, 600, moving={"drawer": {"does": "drawer", "out": "1", "person": "600"}}),
        "b": _box(450, 500, 600, moving={"door": {"does": "door", "face": "rear", "hinge": "left"}}),
    }
    [finding] = found("sweep", things=things, arrangement={"a": _at(499, 250), "b": _at(1650, 0)})

    assert finding.severity == "warn"
    assert finding.text == "while the door of b is open, whoever uses the drawer of a has 200 of 600 mm to stand"


def test_a_drawer_behind_a_door_of_the_same_thing_is_meant_so() -> None:
    """The drawer stands 20 clear of the hinge side: with the door square it comes out, so that nothing is said."""
    moving = {"drawer": {"does": "drawer", "out": "400", "part": ["-180", "180"]}, **DOOR}

    assert not found("sweep", things={"a": _box(450, 400, 600, moving=moving)}, arrangement={"a": _at(500, 0)})


def test_two_parts_of_one_thing_that_trap_each_other_are_told() -> None:
    """A drawer over the whole face behind a leaf at 90 runs into the leaf's thickness, and shuts it in when it is out."""
    moving = {"drawer": {"does": "drawer", "out": "400"}, **DOOR}
    [finding] = found("sweep", things={"a": _box(450, 400, 600, moving=moving)}, arrangement={"a": _at(500, 0)})

    assert finding.severity == "warn"


def test_what_rides_on_a_sliding_tray_comes_along() -> None:
    """Under a beam at 300 a tray of 30 passes; the fridge on it, 50 short of the tray's end, stops 150 before the beam."""
    tray = {"slide": {"does": "drawer", "out": "450", "carries": "yes"}}
    things = {
        "tray": _box(450, 400, 30, moving=tray), "fridge": _box(400, 380, 500), "beam": _box(100, 800, 100),
        "legs": _box(100, 100, 300, count="2"),
    }  # fmt: skip
    stood = {
        "tray": _at(500, 0),
        "fridge": {"on": "tray"},
        "beam": _at(1050, 0, 300),
        "legs 1": _at(1050, 300),
        "legs 2": _at(1050, -300),
    }
    finding = _failing(things=things, arrangement=stood)
    left = {**things, "tray": _box(450, 400, 30, moving={"slide": {"does": "drawer", "out": "450"}})}

    assert finding.measured == 150
    assert finding.does is not None
    assert set(finding.does.things) == {"tray", "fridge"}
    assert not found("sweep", things=left, arrangement=stood)


def test_a_chest_that_slides_out_before_its_lid_opens() -> None:
    """Under a shelf the lid has no way; after the slide, by its whole depth, it has, and the two do not trap each other."""
    shelf = {"shelf": _box(600, 800, 40), "sides": _box(600, 50, 650, count="2")}
    stood = {"chest": _at(500, 0), "shelf": _at(500, 0, 650), "sides 1": _at(500, 375), "sides 2": _at(500, -375)}
    slide = {"does": "drawer", "out": "650"}
    under = {"slide": slide, "lid": {"does": "lid", "hinge": "rear"}}
    after = {"slide": slide, "lid": {"does": "lid", "hinge": "rear", "after": "slide"}}

    assert found("lids", things={"chest": _box(600, 500, 450, moving=under), **shelf}, arrangement=stood)
    for rule in ("lids", "sweep"):
        assert not found(rule, things={"chest": _box(600, 500, 450, moving=after), **shelf}, arrangement=stood)


def test_a_hatch_behind_a_chest_that_is_out_does_not_trap_its_slide() -> None:
    """Out by 800, a chest 400 deep opens at its rear, where its slide passed: that comes after, so it is no warning."""
    slide = {"does": "drawer", "out": "800"}
    hatch = {"does": "door", "face": "rear", "hinge": "left"}
    stood = {"chest": _at(500, 0)}

    after = {"slide": slide, "hatch": {**hatch, "after": "slide"}}
    assert not found("sweep", things={"chest": _box(400, 300, 450, moving=after)}, arrangement=stood)


def test_a_folding_table_opens_its_flap_only_where_it_is_used() -> None:
    """A leaf of 560 folded up at 700 swings down over a bed 740 high that begins 280 out: it meets its edge at atan 7.

    At an angle a from upright the leaf is 280 / tan a above its hinge over the bed's edge: 40 at 81.9 degrees, told at
    most 1.8 % of the leaf, 10, too soon: at 50 above, 79.9 degrees. By night the leaf is out, in another form.
    """
    table = _box(40, 700, 560, moving={"leaf": {"does": "flap", "hinge": "bottom", "states": ["camp"]}})
    things = {"table": table, "bed": _box(900, 1200, 740)}
    forms = {"table": {"out": {"length": "560", "height": "40"}}}
    night = {"table": {"at": ["500", "0", "700"], "form": "out"}, "bed": _at(1300, 0)}
    stood = {
        name: {**_at(*at), "states": {"sleep": night[name]}}
        for name, at in (("table", (500, 0, 700)), ("bed", (820, 0)))
    }
    finding = _failing(things=things, forms=forms, arrangement=stood)

    assert finding.states == ("camp",)
    assert finding.text in (f"the leaf of table opens to {told} of 90 degrees; bed is in the way" for told in (80, 81))
    clear = {**stood, "bed": {**_at(1100, 0), "states": {"sleep": _at(1300, 0)}}}
    assert not found("sweep", things=things, forms=forms, arrangement=clear)


def test_a_seat_leans_back_into_the_room_on_the_road_only() -> None:
    """A seat back that comes to 2700 meets a box up to 2950 by 250, in drive; in camp the seat is upright."""
    space = {
        **SPACE,
        "comes_in": {
            "seat back": {"x": ["2700", "3000"], "y": ["200", "700"], "z": ["300", "900"], "states": ["drive"]}
        },
    }
    finding = _failing(space=space, things={"c": _box(600, 400, 800)}, arrangement={"c": _at(2350, 500)})

    assert finding.text == "the seat back of the vehicle comes 250 mm into c"
    assert (finding.states, finding.short_by, finding.cure) == (("drive",), 250, "move c 250 mm back")
    assert not found("sweep", space=space, things={"c": _box(600, 400, 250)}, arrangement={"c": _at(2350, 500)})


def test_a_thing_that_turns_on_the_spot_needs_its_circle() -> None:
    """A seat 600 x 500 turns in a circle of 390.5: 100 to a box on its left are not enough, 145 are."""
    things = {"seat": _box(600, 500, 700, moving={"turn": {"does": "turn"}}), "box": _box(600, 100, 700)}

    assert (
        "has no room to move" in _failing(things=things, arrangement={"seat": _at(500, 0), "box": _at(500, 400)}).text
    )
    assert not found("sweep", things=things, arrangement={"seat": _at(500, 0), "box": _at(500, 445)})


def test_a_move_that_takes_the_air_of_a_third_thing_is_not_offered() -> None:
    """The bed could move 190 forward, were it not for a fridge there that keeps 300 free behind it: the galley moves."""
    things = {**GALLEY, "fridge": _box(300, 400, 600, clear={"rear": "300"})}
    stood = {"galley": _at(500, 0), "bed": _at(1210, 0), "fridge": _at(2200, 0)}

    assert _failing(things=things, arrangement=stood).cure == "move galley 190 mm back"


def test_what_stands_on_a_thing_and_is_in_its_way_is_not_moved_away_with_it() -> None:
    """A board on a chest juts out before its drawer's user: moving the chest takes the board along, so it is no cure."""
    moving = {"drawer": {"does": "drawer", "out": "10", "z": ["0", "200"], "person": "400"}}
    things = {"chest": _box(400, 400, 540, moving=moving), "board": _box(700, 300, 100), "box": _box(300, 400, 300)}
    stood = {"chest": _at(500, 0), "board": _at(500, 0, 540), "box": _at(905, 0)}
    finding = _failing(things=things, arrangement=stood)

    assert finding.text == "the drawer of chest comes out 5 of 10 mm; box is in the way"
    assert finding.does is None


MOVES: list[dict[str, object]] = [
    {"does": "drawer"}, {"does": "drawer", "out": "300", "person": "400"}, {"does": "door", "hinge": "left"},
    {"does": "door", "face": "left", "hinge": "rear", "angle": "120"}, {"does": "lid", "hinge": "rear"},
    {"does": "flap", "hinge": "top", "face": "rear"}, {"does": "flap", "hinge": "bottom", "face": "right"},
    {"does": "turn"}, {"does": "lift off"},
]  # fmt: skip


def _random(rng: random.Random) -> dict[str, Any]:
    """Return a random layout: boxes, some on each other, with parts that move and air to keep, between leaning walls."""
    profile = {"0": "850", "900": str(rng.randint(700, 850)), "1800": str(rng.randint(500, 800))}
    space = {**SPACE, "walls": {"both": [{"x": "0", "profile": profile}]},
             "wheel_wells": [{"x": ["600", "1400"], "width": "200", "height": "250"}]}  # fmt: skip
    things, stood = {}, {}
    for i in range(rng.randint(3, 6)):
        more: dict[str, object] = {}
        if rng.random() < 0.7:
            more["moving"] = {"part": rng.choice(MOVES)}
        if rng.random() < 0.3:
            more["clear"] = {rng.choice(["front", "left", "right", "top"]): str(rng.randint(10, 120))}
        if rng.random() < 0.3:
            more["take_out"] = "any"
        size = [rng.randint(150, 700) for _ in range(3)]
        things[f"t{i}"] = _box(*size, **more)
        # Not so near the walls that the rule inside has most to say.
        stood[f"t{i}"] = {
            **_at(rng.randint(0, 2200), rng.randint(-450, 450)),
            "turn": str(rng.choice([0, 90, 180, 270])),
        }
        kind = rng.random()
        if i and kind < 0.2:
            stood[f"t{i}"] = {"on": f"t{i - 1}"}
        elif kind < 0.4:  # hung, as an overhead locker is
            stood[f"t{i}"] = {**_at(rng.randint(0, 2200), rng.randint(-450, 450), rng.randint(400, 1000))}
    return {"space": space, "things": things, "arrangement": stood}


Key = tuple[str, str, str]


def _key(finding: Finding) -> Key:
    """Return what a finding is about, however far it is from right: rule, thing, part or side."""
    text = finding.text.removeprefix("whoever uses ").removeprefix("before ")
    for word in (" comes out", " opens", " has ", " lifts", " keeps"):
        text = text.split(word)[0]
    side = finding.text.split(" free ")[-1].split(" (")[0] if finding.rule == "air-gap" else ""
    thing = finding.things[0] if finding.rule in RULES[3:] else ""
    return finding.rule, thing, side or text if finding.rule in RULES[2:] else str(finding.things)


def _fails(context: Context, rules: Iterable[str] = RULES) -> set[Key]:
    return {_key(f) for rule in rules for f in found_in(context, rule) if f.severity == "fail"}


@pytest.mark.parametrize("block", range(6))
def test_every_move_that_is_offered_ends_its_finding_and_makes_none(block: int) -> None:
    """On random layouts each cure is carried out: its finding is gone, and none of six rules has a new failure.

    In each block of five layouts there are at least two such cures, so that the test says something.
    """
    offered = 0
    for seed in range(5 * block, 5 * block + 5):
        context = context_of(**_random(random.Random(seed)))
        before = _fails(context)
        for finding in (f for rule in ("sweep", "lids", "air-gap") for f in found_in(context, rule)):
            if finding.does is not None:
                offered += 1
                after = _fails(replace(context, layout=carried_out(context.layout, finding)))
                assert _key(finding) not in after, (finding.text, finding.cure)
                assert after <= before, (finding.text, finding.cure, after - before)

    assert offered >= 2


@pytest.mark.parametrize("seed", range(15))
def test_opening_further_or_keeping_more_free_never_mends_anything(seed: int) -> None:
    """With every drawer, door and gap a third larger, whatever thing had a failing part or side still has one.

    Without people: whoever stands beyond a drawer stands elsewhere when it comes out further.
    """
    said = _random(random.Random(1000 + seed))
    for thing in said["things"].values():
        for part in thing.get("moving", {}):
            thing["moving"] = {part: {k: v for k, v in thing["moving"][part].items() if k != "person"}}
    small, large = context_of(**said), context_of(**_grown(said))
    for rule in ("sweep", "lids", "air-gap"):
        assert _things(small, rule) <= _things(large, rule)


def _things(context: Context, rule: str) -> set[tuple[str, str]]:
    return {(f.things[0], state) for f in found_in(context, rule) if f.severity == "fail" for state in f.states}


def _grown(said: dict[str, Any]) -> dict[str, Any]:
    things = {}
    for name, thing in said["things"].items():
        moving = {part: _further(spec, float(thing["length"])) for part, spec in thing.get("moving", {}).items()}
        clear = {side: str(float(gap) * 4 / 3) for side, gap in thing.get("clear", {}).items()}
        things[name] = {**thing, "moving": moving, "clear": clear}
    return {**said, "things": things}


def _further(spec: dict[str, object], depth: float) -> dict[str, object]:
    if spec["does"] == "drawer":
        return {**spec, "out": str(float(str(spec.get("out", depth))) * 4 / 3)}
    if spec["does"] in ("door", "lid", "flap"):
        return {**spec, "angle": str(float(str(spec.get("angle", 90))) * 4 / 3)}
    return {**spec, "out": "40"} if spec["does"] == "lift off" else spec


@pytest.mark.parametrize("seed", range(15))
def test_what_a_part_sweeps_against_points(seed: int) -> None:
    """A part passes exactly when no point of a fine grid in its swept room lies in another thing, but for a millimetre."""
    context = context_of(**_random(random.Random(2000 + seed)))
    failing = {(f.things[0], state) for f in found_in(context, "sweep") if f.severity == "fail" for state in f.states}
    for state, things in context.states:
        for placed in things:
            swept = [s for m in placed.motions if m.used_in(state) and not m.lifted for s in m.swept]
            others = [s for other in things if other.name != placed.name for s in other.solids]
            if any(_deep(a, b, 1.0) for a in swept for b in others):
                assert (placed.name, state) in failing


def _deep(a: Solid, b: Solid, by: float) -> bool:
    shared = Polygon(a.outline).intersection(Polygon(b.outline))
    return min(a.z1, b.z1) - max(a.z0, b.z0) > by and not shared.buffer(-by).is_empty
