"""Removal orders, case by case."""

import random
from itertools import pairwise

import numpy as np
import pytest

from layout.checks.removal import ROOM, Removal, Removals
from layout.model.layout import Placed
from layout.model.solid import Solid, box
from layout.model.thing import TakeOut, Thing
from layout.placing.stand import placed
from layout.space.parts import Door, Obstacle
from layout.space.space import Space
from tests.builders import plain_space, wall

Span = tuple[float, float]
REAR = Door(name="rear door", side="rear", kind="two leaves", low=-750, high=750, sill=0, top=1700)
SIDE = Door(name="side door", side="right", kind="sliding", low=1800, high=2900, sill=0, top=1600)


def _thing(name: str, *boxes: tuple[Span, Span, Span], out: TakeOut | None = "any", **more: object) -> Placed:
    return _of_solids(name, tuple(box(name, *one) for one in boxes), out, **more)


def _of_solids(name: str, solids: tuple[Solid, ...], out: TakeOut | None, **more: object) -> Placed:
    said = {"group": name, "kind": "bin", **more}
    return placed(Thing(name=name, solids=solids, take_out=out, **said), solids, 0.0)  # type: ignore[arg-type]  # words of a test


def _room(*doors: Door, obstacles: tuple[Obstacle, ...] = (), **sizes: float) -> Space:
    return plain_space(obstacles=obstacles, doors=doors or (REAR,), **sizes)  # type: ignore[arg-type]  # sizes are floats


def _search(space: Space, *things: Placed, most: int = 8, sets: int = 3000) -> Removals:
    return Removals(space, things, hand=30, frame=150, most=most, sets=sets)


def _deck(x1: float, top: float, *uprights: tuple[Span, Span]) -> Placed:
    """Return a deck from the rear end on, 600 wide, with uprights under it."""
    return _thing("deck", ((0, x1), (-300, 300), (top, top + 18)), *((x, y, (0.0, top)) for x, y in uprights), out=None)


def _stalls(x1: float) -> Placed:
    """Return a deck with a wall on either side, 400 apart: what is under it leaves to the rear or the front."""
    return _deck(x1, 400, ((0, x1), (-218, -200)), ((0, x1), (200, 218)))


def test_a_bin_under_a_deck_comes_out_after_the_unit_before_it() -> None:
    """Between two walls under a deck, the bin behind a unit leaves after the unit, which leaves at once."""
    search = _search(
        _room(), _stalls(1300), _thing("bin", ((650, 1250), (-200, 200), (0, 320))),
        _thing("unit", ((0, 600), (-200, 200), (0, 350))), _thing("end", ((1300, 1400), (-300, 300), (0, 600)), out=None),
    )  # fmt: skip

    assert search.of("unit").first == ()
    assert search.of("bin").first == ("unit",)
    assert search.of("bin").door == "rear door"


def test_a_bin_behind_two_comes_out_after_both_nearest_first() -> None:
    """The third in a row leaves after the two before it, in the order in which they can leave, not in the file's."""
    boxes = {"third": 1200, "second": 600, "nearest": 0}
    things = [_thing(name, ((x, x + 600), (-200, 200), (0, 300))) for name, x in boxes.items()]
    end = _thing("end", ((1800, 1900), (-300, 300), (0, 600)), out=None)

    assert _search(_room(), _stalls(1800), end, *things).of("third").first == ("nearest", "second")


def test_a_bin_is_lifted_over_a_low_one() -> None:
    """A bin behind a low fixed chest between walls is lifted onto its top, exactly, and slides out over it."""
    walls = [_thing(f"wall {y}", ((0, 1300), (y, y + 18), (0, 1500)), out=None) for y in (-218, 200)]
    chest = _thing("chest", ((0, 600), (-200, 200), (0, 500)), out=None)
    found = _search(_room(), *walls, chest, _thing("bin", ((600, 1200), (-200, 200), (0, 320)))).of("bin")

    assert found.first == ()
    assert found.path == ((600, -200, 0), (600, -200, 500), (-600, -200, 500))


@pytest.mark.parametrize(
    ("sill", "top", "comes"), [(0, 320, True), (0, 319, False), (320, 640, True), (320, 630, False)]
)
def test_what_does_not_fit_between_sill_and_top_stays_in(sill: float, top: float, comes: bool) -> None:
    """A bin 320 high passes an opening 320 high at any height, and no lower one; then the room alone holds it."""
    door = Door(name="hatch", side="rear", kind="one leaf", low=-300, high=300, sill=sill, top=top)
    found = _search(_room(door), _thing("bin", ((600, 1200), (-200, 200), (0, 320)))).of("bin")

    assert found.possible == comes
    assert found.held_by == (() if comes else (ROOM,))


@pytest.mark.parametrize(("width", "comes"), [(600.0, True), (600.015, True), (600.1, False)])
def test_a_bin_just_as_wide_as_the_door_slides_through(width: float, comes: bool) -> None:
    """Touching on both sides is allowed, to a hundredth of a millimetre a side."""
    door = Door(name="door", side="rear", kind="one leaf", low=-300, high=300, sill=0, top=1000)
    found = _search(_room(door), _thing("bin", ((900, 1500), (100, 100 + width), (0, 320)))).of("bin")

    assert found.possible == comes


def test_a_bin_in_a_u_slides_aside_and_then_back() -> None:
    """Shut in by a wall behind it, and by a deck too low to lift it, a bin goes sideways first and then out."""
    low = _thing("deck", ((0, 2000), (-850, 850), (350, 368)), out=None)
    arms = [
        _thing("back", ((500, 550), (-400, 250), (0, 350)), out=None),
        _thing("arm", ((550, 1300), (-450, -400), (0, 350)), out=None),
        _thing("end", ((1300, 1350), (-450, 850), (0, 350)), out=None),
    ]
    found = _search(_room(), low, *arms, _thing("bin", ((600, 1200), (-300, 100), (0, 320)))).of("bin")

    assert found.first == ()
    assert found.door == "rear door"
    assert any(abs(b[1] - a[1]) > 500 for a, b in pairwise(found.path))
    _is_clear(found, (600, 400, 320), (low, *arms))


def _is_clear(found: Removal, size: tuple[float, float, float], others: tuple[Placed, ...]) -> None:
    """Assert that a box of `size` meets no box of the others on its path, sampled every 5 mm."""
    for a, b in pairwise(np.array(found.path)):
        for at in np.linspace(a, b, int(np.abs(b - a).max() // 5) + 2):
            for solid in (solid for other in others for solid in other.solids):
                x0, y0, x1, y1 = solid.bounds
                low, high = np.array([x0, y0, solid.z0]), np.array([x1, y1, solid.z1])
                assert (np.minimum(at + size, high) - np.maximum(at, low)).min() <= 0.021, (at, solid)


def test_what_carries_others_leaves_after_them() -> None:
    """A carrier with two riders, one of which carries a third, leaves last; the topmost goes first."""
    things = [
        _thing("carrier", ((0, 600), (-400, 400), (0, 300))), _thing("rider", ((0, 300), (-400, 0), (300, 500))),
        _thing("other", ((0, 300), (0, 400), (300, 500))), _thing("top", ((0, 300), (-400, 0), (500, 600))),
    ]  # fmt: skip
    search = _search(_room(), *things)

    assert search.of("carrier").first == ("other", "top", "rider")
    assert search.of("rider").first == ("top",)


def test_what_carries_something_fixed_never_leaves() -> None:
    """A bin on which a fixed fridge stands is held by the fridge."""
    fridge = _thing("fridge", ((0, 400), (-200, 200), (300, 800)), out=None)

    assert _search(_room(), _thing("bin", ((0, 600), (-200, 200), (0, 300))), fridge).of("bin").held_by == ("fridge",)


def test_what_holds_a_thing_for_good_is_named_and_nothing_else() -> None:
    """A bin shut in under a deck by a kitchen is held by both, not by the stove beside, nor by a bin that leaves."""
    kitchen = _thing("kitchen", ((0, 300), (-850, 850), (0, 900)), out=None)
    stove = _thing("stove", ((300, 700), (500, 850), (0, 900)), out=None)
    deck = _thing("deck", ((300, 3000), (-850, 850), (350, 368)), out=None)
    low = _thing("low deck", ((300, 3000), (-850, 850), (900, 918)), out=None)
    things = (kitchen, stove, deck, low, _thing("bin", ((800, 1400), (-200, 200), (0, 320))))
    found = _search(_room(), *things, _thing("neighbour", ((1400, 2000), (-200, 200), (0, 320)))).of("bin")

    assert (found.possible, found.door, found.first) == (False, None, ())
    assert found.held_by == ("kitchen", "deck")


def test_two_that_hold_each_other_are_named() -> None:
    """Two that must both be pulled toward each other never leave, and each is held by the other."""
    one = _thing("one", ((0, 600), (-200, 200), (0, 300)), out="front")
    two = _thing("two", ((600, 1200), (-200, 200), (0, 300)), out="rear")
    search = _search(_room(), one, two)

    assert (search.of("one").held_by, search.of("two").held_by) == (("two",), ("one",))


def test_what_stays_holds_itself() -> None:
    """A thing that does not come out is said to hold itself."""
    found = _search(_room(), _thing("stove", ((0, 400), (0, 400), (0, 400)), out=None)).of("stove")

    assert (found.possible, found.held_by) == (False, ("stove",))


@pytest.mark.parametrize(("above", "comes"), [(350, True), (349, False)])
def test_a_bin_that_comes_out_upward_needs_its_height_and_a_hand(above: float, comes: bool) -> None:
    """A bin 320 high that must be lifted needs 320 and 30 for the hand above it, though the way back is free."""
    shelf = _thing("shelf", ((500, 1300), (-300, 300), (320 + above, 700 + above)), out=None)
    search = _search(_room(), shelf, _thing("bin", ((600, 1200), (-200, 200), (0, 320)), out="up"))

    assert search.of("bin").possible == comes
    assert search.of("bin").held_by == (() if comes else ("shelf",))


@pytest.mark.parametrize(("gap", "first"), [(630, ()), (620, ("box",))])
def test_a_bin_that_comes_out_to_the_front_needs_its_length_and_a_hand(gap: float, first: tuple[str, ...]) -> None:
    """A bin 600 long that must be pulled forward needs 630 there, or what stands there out first."""
    ahead = _thing("box", ((1200 + gap, 1300 + gap), (-200, 200), (0, 320)))
    search = _search(_room(), ahead, _thing("bin", ((600, 1200), (-200, 200), (0, 320)), out="front"))

    assert search.of("bin").first == first


def test_a_nested_bin_is_lifted_out_of_the_rim_first() -> None:
    """A bin that stands 20 deep in the rim of its like goes up 20 before it slides."""
    nest = {"group": "tote", "stack_step": 300.0}
    lower = _thing("tote 1", ((0, 600), (-200, 200), (0, 320)), **nest)
    search = _search(_room(), lower, _thing("tote 2", ((0, 600), (-200, 200), (300, 620)), **nest))

    assert search.of("tote 2").path == ((0, -200, 300), (0, -200, 320), (-600, -200, 320))
    assert search.of("tote 1").first == ("tote 2",)


def test_a_nested_bin_under_a_deck_as_high_as_the_rim_is_held() -> None:
    """With less above it than it is deep in the rim, a nested bin is held by the deck."""
    nest = {"group": "tote", "stack_step": 300.0}
    lower = _thing("tote 1", ((0, 600), (-200, 200), (0, 320)), **nest)
    upper = _thing("tote 2", ((0, 600), (-200, 200), (300, 620)), **nest)

    assert _search(_room(), lower, upper, _deck(700, 630)).of("tote 2").held_by == ("deck",)
    assert _search(_room(), lower, upper, _deck(700, 641)).of("tote 2").possible


def test_a_mattress_is_folded_up_where_it_lies() -> None:
    """A mattress wider than the door is out once it can be lifted, by no door; a bin under it leaves after it."""
    mattress = _thing("mattress", ((0, 1900), (-800, 800), (320, 420)), out="up", kind="mattress")
    search = _search(_room(), mattress, _thing("bin", ((0, 600), (-200, 200), (0, 320))))

    assert (search.of("mattress").possible, search.of("mattress").door) == (True, None)
    assert search.of("bin").first == ("mattress",)


def test_a_door_that_is_opened_takes_its_leaf_along() -> None:
    """What a closed door takes of the room, and what lies in its frame, holds nothing; another obstacle there does."""
    leaf = Obstacle(name="closed rear door", outline=((0, -750), (90, -750), (90, 750), (0, 750)), z0=0, z1=1600)
    step = Obstacle(name="step", outline=((0, -750), (90, -750), (90, 750), (0, 750)), z0=0, z1=1700)
    bin_ = _thing("bin", ((100, 700), (-200, 200), (0, 320)))

    assert _search(_room(obstacles=(leaf,)), bin_).of("bin").possible
    assert _search(_room(obstacles=(step,)), bin_).of("bin").held_by == ("step",)


def test_the_frame_of_a_door_is_free_to_its_depth() -> None:
    """Round the corners of the floor a door as wide as the room is open as deep as its frame is, and no deeper."""
    corners = ((0.0, -700.0), (0.0, 700.0), (100.0, 850.0), (3000.0, 850.0), (3000.0, -850.0), (100.0, -850.0))
    upright = wall((0.0, 850.0))
    door = Door(name="door", side="rear", kind="ramp", low=-850, high=850, sill=0, top=1800)
    space = Space(outline=corners, left=upright, right=upright, roof=((0, 1800), (3000, 1800)), doors=(door,))
    wide = _thing("wide", ((200, 800), (-850, 850), (0, 300)))

    assert Removals(space, (wide,), hand=30, frame=100, most=8).of("wide").possible
    assert Removals(space, (wide,), hand=30, frame=90, most=8).of("wide").held_by == (ROOM,)


def test_a_thing_asked_for_by_one_door_lets_others_leave_by_any() -> None:
    """By the side door the stove leaves after the crate in that doorway, which is too high for that door."""
    crate = _thing("crate", ((1900, 2500), (-850, -450), (0, 1650)))
    things = (crate, _thing("stove", ((2000, 2400), (-400, 0), (0, 900)), out="right"))
    search = _search(_room(REAR, SIDE), *things)

    assert search.of("stove", frozenset({"side door"})) == Removal(
        thing="stove", first=("crate",), door="side door", path=((2000, -400, 0), (2000, -830, 0), (2000, -1250, 0))
    )
    assert search.of("crate", frozenset({"side door"})).held_by == (ROOM,)


def test_of_equally_few_the_first_of_the_file_are_taken() -> None:
    """A bin between two others of which either frees it leaves after the one that the file names first."""
    deck = _thing("deck", ((0, 3000), (-850, 850), (350, 368)), out=None)
    walls = [
        _thing("rear wall", ((500, 550), (-200, 200), (0, 350)), out=None),
        _thing("front wall", ((1200, 1250), (-850, 850), (0, 350)), out=None),
    ]
    left, right = (_thing(name, ((560, 1190), (y, y + 550), (0, 320))) for name, y in (("left", 200), ("right", -750)))
    bin_ = _thing("bin", ((560, 1190), (-200, 200), (0, 320)))

    assert _search(_room(), deck, *walls, bin_, left, right).of("bin").first == ("left",)
    assert _search(_room(), deck, *walls, right, bin_, left).of("bin").first == ("right",)


def test_the_answer_does_not_depend_on_what_was_asked_before() -> None:
    """Asked in any order, a loaded van gives the same answers, to the way points."""
    rng = random.Random(7)
    things = _load(rng)
    answers = {p.name: _search(_room(REAR, SIDE), *things).of(p.name) for p in things}
    for _ in range(3):
        search = _search(_room(REAR, SIDE), *things)
        asked = rng.sample(things, len(things))

        assert {p.name: search.of(p.name) for p in asked} == answers


def _load(rng: random.Random) -> list[Placed]:
    """Return three rows of two layers of bins under a deck, and loose ones before it."""
    things = [_deck(1900, 700)]
    for i, j, k in ((i, j, k) for i in range(4) for j in range(3) for k in range(2)):
        x, y, z = i * 600 + rng.randint(0, 4), j * 420 - 630, k * 320
        things.append(_thing(f"bin {i}{j}{k}", ((x, x + 590), (y, y + 410), (z, z + 320))))
    return things


def test_more_than_allowed_is_not_counted() -> None:
    """A bin behind four leaves after four if so many are allowed; with three allowed the search gives up."""
    end = _thing("end", ((1500, 1600), (-300, 300), (0, 600)), out=None)
    row = [_thing(f"bin {i}", ((300 * i, 300 * i + 300), (-200, 200), (0, 300))) for i in range(5)]

    assert _search(_room(), _stalls(1500), end, *row, most=4).of("bin 4").first == ("bin 0", "bin 1", "bin 2", "bin 3")
    found = _search(_room(), _stalls(1500), end, *row, most=3).of("bin 4")
    assert (found.possible, found.gave_up, found.first) == (True, True, ())


def test_more_sets_than_allowed_are_not_tried() -> None:
    """With no set of things allowed to be tried, the search gives up even on a bin that is free."""
    found = _search(_room(), _thing("bin", ((0, 600), (-200, 200), (0, 320))), sets=0).of("bin")

    assert (found.possible, found.gave_up) == (True, True)


@pytest.mark.parametrize(("corner", "comes"), [(-55.0, True), (-55.1, False)])
def test_a_cabinet_set_askew_is_met_where_it_is(corner: float, comes: bool) -> None:
    """A bin 400 wide passes between a bench and the corner of a cabinet set askew that leaves just 400."""
    askew = ((600.0, corner), (800.0, corner + 200), (600.0, corner + 400), (400.0, corner + 200))
    things = (
        _of_solids("cabinet", (Solid(name="cabinet", outline=askew, z0=0, z1=1800),), None),
        _thing("bench", ((0, 3000), (-850, -455), (0, 1800)), out=None),
        _thing("shelf", ((850, 3000), (-45, 850), (0, 1800)), out=None),
        _thing("bin", ((800, 1400), (-445, -45), (0, 320))),
    )
    found = _search(_room(Door(name="door", side="rear", kind="ramp", low=-850, high=850, sill=0, top=1700)), *things)

    assert found.of("bin").possible == comes
    assert set(found.of("bin").held_by) == (set() if comes else {"cabinet", "bench", "shelf"})


def test_a_round_wheel_well_lets_pass_what_is_above_its_round_top() -> None:
    """A bin rests against a well rounded at its rear as far forward as the top lets it at its own height."""
    well = Obstacle(
        name="well", outline=((700, 600), (1400, 600), (1400, 850), (700, 850)), z0=0, z1=300, top_radius=200
    )  # fmt: skip
    space = _room(obstacles=(well,))
    inset = 200 - (200**2 - 150**2) ** 0.5  # at height 250 of 300 the round top has drawn in this far

    def comes(x1: float) -> bool:
        shelf = _thing("shelf", ((0, 3000), (440, 850), (245, 250)), out=None)
        return _search(space, shelf, _thing("bin", ((x1 - 300, x1), (450, 850), (250, 550)))).of("bin").possible

    assert comes(700 + inset)
    assert not comes(700 + inset + 1)


def test_a_path_in_a_leaning_room_stays_inside() -> None:
    """Between walls that lean in, a tall bin against one of them comes out clear of both, by plain arithmetic."""
    lean = wall((0.0, 850.0), (1000.0, 850.0), (1800.0, 650.0))
    space = plain_space(
        left=lean, right=lean, doors=(Door(name="d", side="rear", kind="ramp", low=-700, high=700, sill=0, top=1700),)
    )
    chest = _thing("chest", ((0, 900), (-850, 500), (0, 300)), out=None)
    found = _search(space, chest, _thing("bin", ((1000, 1400), (-800, -400), (0, 1000)))).of("bin")

    assert found.first == ()
    _is_clear(found, (400, 400, 1000), (chest,))
    for a, b in pairwise(np.array(found.path)):
        for x, y, z in np.linspace(a, b, int(np.abs(b - a).max() // 5) + 2):
            top = 850 - max(z + 1000 - 1000, 0) * 200 / 800
            door = 700 if x < 149 else top
            assert max(y + 400, -y) <= max(top if x > 0 else 0, door if x < 151 else 0) + 0.02
            assert z + 1000 <= 1800.02


def test_unknown_names_are_refused() -> None:
    """A thing or a door that is not there is an error, not an answer."""
    search = _search(_room(), _thing("bin", ((0, 600), (-200, 200), (0, 320))))

    with pytest.raises(KeyError):
        search.of("bun")
    with pytest.raises(KeyError, match="no such door: trapdoor"):
        search.of("bin", frozenset({"trapdoor"}))
