"""Bicycles come out one by one, their wheels ride too, and bars that meet are set apart by the least that does."""

from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layout.checks.bicycle_order import order_of
from layout.checks.bicycle_stagger import free_rise, free_shift, turned_round
from layout.checks.bicycle_ways import Ways
from layout.checks.bicycles import _unmatched
from layout.checks.context import Context, meets
from layout.model.finding import Finding
from layout.model.layout import Placed
from layout.model.solid import Solid, box
from layout.model.thing import Thing
from tests.builders import BASE, plain_space
from tests.checks.one_rule import context_of, found, found_in, moved

BIKE = {"use": "bicycles/flat-bar-29", "bar_width": "780"}
SPACE = BASE["space"]
QUICK = {"bicycles": {"most": "0"}}  # no way out is sought


def _pair(
    apart: float, *, ahead: float = 0.0, turn: float = 0.0, both: dict[str, str] | None = None, **more: object
) -> Context:
    """Return two bicycles side by side, their middles `apart`; the second `ahead` of the first; what both or it are."""
    stood = {
        "a": {"at": ["300", str(-apart / 2), "0"]},
        "b": {"at": [str(300 + ahead), str(apart / 2), "0"], "turn": str(turn)},
    }
    return context_of(
        things={"a": {**BIKE, **(both or {})}, "b": {**BIKE, **(both or {}), **more}}, arrangement=stood, rules=QUICK
    )


def _hints(context: Context) -> list[Finding]:
    """Return what is told of pairs that meet."""
    return [f for f in found_in(context, "bicycles") if f.severity == "note" and f.things]


def test_bars_of_780_at_450_want_a_stagger() -> None:
    """Bars of 780 at 450 reach 780 - 450 = 330 into each other; they are 150 high and 200 deep: so much up or along frees.

    Head to tail the bars, from 930 up, come to the other's saddle, 85 from its middle and up to 980: 390 + 85 is too
    much.
    """
    [hint] = _hints(_pair(450))

    assert hint.text == "the bars of a and the bars of b meet"
    assert (hint.measured, hint.short_by) == (-150, 150)
    assert hint.cure == "set a 150 mm higher, or set a 200 mm further back"
    assert hint.does is not None
    assert (hint.does.things, hint.does.shift) == (("a",), (0.0, 0.0, pytest.approx(150)))


def test_780_apart_they_pass() -> None:
    """At 780 apart, head to tail at 475, and with both saddles down at 450, since 390 + 60 for the frame: all is free."""
    assert not _hints(_pair(780))
    assert not _hints(_pair(475, turn=180))
    assert _hints(_pair(474, turn=180))
    assert not _hints(_pair(450, turn=180, both={"saddle": "dropped"}))


def test_half_of_the_stagger_is_told_as_what_is_missing() -> None:
    """With the second 120 ahead, bars of 200 along want 80 more; the least of both ways is done."""
    [hint] = _hints(_pair(450, ahead=120))

    assert hint.does is not None
    assert hint.does.shift == (pytest.approx(80), 0.0, 0.0) or hint.does.shift == (pytest.approx(-80), 0.0, 0.0)
    assert "80 mm further" in hint.cure


def test_turned_by_a_right_angle_they_shift_along_themselves() -> None:
    """Two across the room shift across: along is along the bicycle, whichever way it stands."""
    stood = {"a": {"at": ["300", "0", "0"], "turn": "90"}, "b": {"at": ["750", "0", "0"], "turn": "90"}}
    wide = {**SPACE, "floor": {"length": "3000", "width": "2600"}}  # type: ignore[dict-item]
    context = context_of(space=wide, things={"a": BIKE, "b": BIKE}, arrangement=stood)
    [hint] = _hints(context)

    assert "set a 200 mm further left" in hint.cure


def test_in_a_tight_room_only_what_is_free_is_offered() -> None:
    """Where the roof is 100 above the bars and walls are 10 ahead and behind, turning round is all that is left."""
    tight = {"floor": {"length": "1960", "width": "1700"}, "roof": {"0": "1180", "1960": "1180"}}
    stood = {"a": {"at": ["10", "-225", "0"]}, "b": {"at": ["10", "225", "0"]}}
    low = {**BIKE, "saddle": "dropped"}
    [hint] = _hints(context_of(space=tight, things={"a": low, "b": low}, arrangement=stood))

    assert (hint.cure, hint.does) == ("turn b round", None)


@settings(max_examples=25)
@given(apart=st.floats(200, 780), ahead=st.floats(-150, 600), turn=st.sampled_from([0, 180]), bars=st.floats(430, 800))
def test_what_is_offered_frees_them(apart: float, ahead: float, turn: int, bars: float) -> None:
    """However two bicycles meet, the shift or lift that is offered leaves none of the two in anything, nor outside."""
    context = _pair(apart, ahead=ahead, turn=turn, bar_width=str(round(bars)))
    for hint in _hints(context):
        if hint.does is not None:
            after = moved(context, hint)
            a, b = after.layout.placed["drive"]
            assert not meets(a.solids, b.solids)
            assert all(after.space.holds(solid) for p in (a, b) for solid in p.solids)


boxes = st.builds(
    lambda x, y, z, sx, sy, sz: box("", (x, x + sx), (y, y + sy), (z, z + sz)),
    *[st.integers(-60, 60)] * 3, *[st.integers(5, 80)] * 3,
)  # fmt: skip


@settings(max_examples=40)
@given(one=st.lists(boxes, min_size=1, max_size=3), two=st.lists(boxes, min_size=1, max_size=3), back=st.booleans())
def test_the_least_shift_is_free_and_the_least(one: list[Solid], two: list[Solid], back: bool) -> None:
    """Tried millimetre by millimetre: no whole shift below the least is free, but for gaps under 3, and at it all are."""
    way = (-1.0, 0.0) if back else (1.0, 0.0)
    least = free_shift(one, two, way)
    free = [s for s in range(300) if not meets([solid.moved(way[0] * s, 0, 0) for solid in one], two)]

    assert not meets([solid.moved(way[0] * least, 0, 0) for solid in one], two)
    first = next(s for s in free if all(s + more in free for more in (1, 2)))
    assert least <= first < least + 1.0 + 1e-6


@settings(max_examples=40)
@given(one=st.lists(boxes, min_size=1, max_size=3), two=st.lists(boxes, min_size=1, max_size=3))
def test_the_least_rise_is_free_and_the_least(one: list[Solid], two: list[Solid]) -> None:
    """As along, so up."""
    least = free_rise(one, two)
    free = [s for s in range(300) if not meets([solid.moved(0, 0, s) for solid in one], two)]

    assert not meets([solid.moved(0, 0, least) for solid in one], two)
    first = next(s for s in free if all(s + more in free for more in (1, 2)))
    assert least <= first < least + 1.0 + 1e-6


def test_a_slanting_shift() -> None:
    """Squares of 100 on one another part after 100 / cos 45 = 141.4 along the diagonal, when their sides have passed."""
    square = box("", (0.0, 100.0), (0.0, 100.0), (0.0, 10.0))

    assert free_shift([square], [square], (2**-0.5, 2**-0.5)) == pytest.approx(141.4, abs=0.1)


def test_turned_round_twice_is_as_before() -> None:
    """Half a turn keeps the outer box, and two of them every solid."""
    [bike, _] = _pair(780).layout.placed["drive"]
    once = turned_round(bike)
    twice = turned_round(Placed(thing=bike.thing, solids=once, box=bike.box))

    assert min(s.bounds[0] for s in once) == pytest.approx(bike.box.bounds[0])
    assert [s.bounds for s in twice] == [pytest.approx(s.bounds) for s in bike.solids]
    assert once[0].bounds[0] > bike.solids[0].bounds[0]


def test_wheels_without_a_place() -> None:
    """Two ride without a wheel of 736; one loose wheel of that size is inside, and a child's of 500 does not count."""
    things = {
        "bike": {**BIKE, "front_wheel": "removed", "count": "2"},
        "wheel": {"use": "wheels/front-29"}, "small": {"use": "wheels/front-20"},
    }  # fmt: skip
    stood = {
        "bike 1": {"rear": "10", "left": "10"}, "bike 2": {"rear": "10", "right": "10"},
        "wheel": {"front": "0", "left": "0"}, "small": {"front": "0", "right": "0"},
    }  # fmt: skip
    [warning] = found("bicycles", things=things, arrangement=stood)

    assert (warning.severity, warning.things) == ("warn", ("bike 1", "bike 2"))
    assert warning.text == (
        "bike 1 and bike 2 ride without their front wheel, and loose wheels have no place: 1 of 736 mm across"
    )
    both = {**things, "wheel": {"use": "wheels/front-29", "count": "2"}}
    two = {**stood, "wheel": {"front": "0", "left": "0", "grid": ["1", "2", "1"]}}
    assert not found("bicycles", things=both, arrangement=two)


def test_a_wheel_that_stays_outside_is_missing_then() -> None:
    """A wheel that is inside by day only leaves its bicycle without one on the road; a bicycle outside wants none."""
    things = {"bike": {**BIKE, "front_wheel": "removed"}, "wheel": {"use": "wheels/front-29"}}
    stood = {"bike": {"rear": "10", "centre": "0", "outside": ["sleep"]},
             "wheel": {"front": "0", "left": "0", "outside": ["drive", "sleep"]}}  # fmt: skip
    [warning] = found("bicycles", things=things, arrangement=stood)

    assert warning.states == ("drive",)


@given(wanted=st.lists(st.integers(0, 4), max_size=4), wheels=st.lists(st.integers(0, 4), max_size=4))
def test_wheels_are_given_out_so_that_the_fewest_are_missing(wanted: list[int], wheels: list[int]) -> None:
    """Against every way to give wheels out: no other leaves fewer bicycles without one as large as theirs."""
    padded = [*wheels, *[-1] * len(wanted)]
    best = min(
        sum(have < want for want, have in zip(wanted, given_out, strict=False)) for given_out in permutations(padded)
    ) if wanted else 0  # fmt: skip

    assert len(_unmatched(sorted(map(float, wanted)), sorted(map(float, wheels)), 0.5)) == best


LANE = {
    "floor": {"length": "4200", "width": "700"}, "roof": {"0": "1800", "4200": "1800"},
    "rear_door": {"width": "660", "height": "1700", "kind": "two leaves"},
}  # fmt: skip


def test_one_behind_the_other() -> None:
    """In a lane 700 wide, two bicycles of 1120 + 706 = 1826, one behind the other: the front one waits for the rear one."""
    things = {"bike": {"use": "bicycles/city-28", "count": "2"}}
    stood = {"bike 1": {"rear": "100", "centre": "0"}, "bike 2": {"front": "100", "centre": "0"}}
    [warning] = found("bicycles", space=LANE, things=things, arrangement=stood)

    assert (warning.severity, warning.things) == ("warn", ("bike 2", "bike 1"))
    assert warning.text == "bike 2 comes out only after bike 1"
    assert warning.cure == "take bike 1 out first"


def test_with_its_bars_turned_either_comes_out() -> None:
    """Under a roof of 1200 nobody lifts bars of 1080 over others 150 high; in 1320 nobody passes beside them.

    Two side by side, 500 apart, bars of 780: the front one's bars do not come past the other's, 390 + 390 > 500;
    turned along the frame, 100 + 390, they do.
    """
    low = {"floor": {"length": "3000", "width": "1320"}, "roof": {"0": "1200"},
           "rear_door": {"width": "1320", "height": "1150", "kind": "two leaves"}}  # fmt: skip
    things = {"a": BIKE, "b": BIKE}
    stood = {"a": {"at": ["700", "-250", "0"]}, "b": {"at": ["400", "250", "0"]}}
    [warning] = found("bicycles", space=low, things=things, arrangement=stood)
    turned = {**things, "a": {**BIKE, "bars": "turned"}}

    assert warning.text == "a comes out only after b"
    assert warning.cure == "take b out first, or turn the bars of a along the frame"
    assert not found("bicycles", space=low, things=turned, arrangement=stood)


def _behind(gap: float, **more: object) -> list[Finding]:
    """Return what is found of a bicycle behind a cupboard of 900 that leaves `gap` beside it."""
    things = {"bike": {"use": "bicycles/flat-bar-29", **more},
              "cupboard": {"kind": "box", "length": "500", "width": str(1700 - gap), "height": "900"}}  # fmt: skip
    stood = {"bike": {"front": "20", "right": "60"}, "cupboard": {"front": "2000", "left": "wall"}}
    wide = {**SPACE, "rear_door": {"width": "1700", "height": "1700", "kind": "two leaves"}}  # type: ignore[dict-item]
    return found("bicycles", space=wide, things=things, arrangement=stood)


@pytest.mark.parametrize(
    ("gap", "more", "severity", "text"),
    [
        (420, {}, "fail", "no way out was found for bike, rolled, turned or lifted by up to 400 mm: held by cupboard"),
        (440, {}, "warn", "bike comes out only with its bars turned along the frame"),
        (440, {"bars": "turned"}, "", ""),
        (420, {"bars": "turned", "pedals": "removed"}, "", ""),
        (770, {}, "", ""),
    ],
)  # fmt: skip
def test_past_a_cupboard(gap: float, more: dict[str, str], severity: str, text: str) -> None:
    """Bars are 760 wide, pedals 430: of 420 free nothing passes but without pedals, of 440 with bars turned, of 770 all."""
    said = [(f.severity, f.text) for f in _behind(gap, **more)]

    assert said == ([(severity, text)] if severity else [])


def test_over_what_is_low_it_is_lifted() -> None:
    """Over a cupboard of 900 nobody lifts a bicycle; over one of 350, under the 400 of the rule, it goes."""
    things = {"bike": {"use": "bicycles/flat-bar-29"},
              "sill": {"kind": "box", "length": "500", "width": "1700", "height": "350"}}  # fmt: skip
    stood = {"bike": {"front": "20", "centre": "0"}, "sill": {"front": "2000", "centre": "0"}}

    assert not found("bicycles", things=things, arrangement=stood)
    [finding] = found("bicycles", things=things, arrangement=stood, rules={"bicycles": {"lift": "300"}})
    assert finding.severity == "fail"


def test_a_door_too_small_for_it() -> None:
    """Through a door of 400 by 1000 no bicycle of 1080 goes, however it is turned, and the door is what is told."""
    small = {**SPACE, "rear_door": {"width": "400", "height": "1000", "kind": "two leaves"}}  # type: ignore[dict-item]
    stood = {"bike": {"rear": "100", "centre": "0"}}
    [finding] = found("bicycles", space=small, things={"bike": BIKE}, arrangement=stood)

    assert finding.severity == "fail"
    assert finding.text.endswith("the room and its doors are too small for it")


def test_longer_than_the_door_is_wide() -> None:
    """Across the rear, 1200 + 368 + 40 = 1608 long for a door 1500 wide, in a bay 1500 deep: turned, it comes out."""
    things = {"bike": {"use": "bicycles/flat-bar-29", "front_wheel": "removed", "bars": "turned"},
              "wheel": {"use": "wheels/front-29"},
              "wall": {"kind": "box", "length": "20", "width": "1750", "height": "1500"}}  # fmt: skip
    stood = {"bike": {"rear": "5", "centre": "0", "turn": "90"}, "wall": {"rear": "1500", "centre": "0"},
             "wheel": {"front": "0", "centre": "0"}}  # fmt: skip
    wide = {**SPACE, "floor": {"length": "3000", "width": "1750"}}  # type: ignore[dict-item]

    assert not found("bicycles", space=wide, things=things, arrangement=stood)


def test_bins_and_mattresses_are_out_by_then() -> None:
    """Bins across the whole room behind a bicycle do not hold it: they come out themselves, and are told of by reach."""
    things = {"bike": BIKE, "bin": {"kind": "bin", "length": "600", "width": "1700", "height": "900"}}
    stood = {"bike": {"front": "20", "centre": "0"}, "bin": {"rear": "0", "centre": "0"}}

    assert not found("bicycles", things=things, arrangement=stood)


def test_many_are_not_followed() -> None:
    """Nine are more than the eight that are followed, and that is said."""
    things = {"bike": {"use": "bicycles/child-20", "count": "9"}}
    stood = {"bike": {"rear": "0", "centre": "0", "grid": ["3", "3", "1"]}}
    large = {**SPACE, "floor": {"length": "5000", "width": "2200"}, "roof": {"0": "1800"}}  # type: ignore[dict-item]
    [note] = found("bicycles", space=large, things=things, arrangement=stood)

    assert (note.severity, note.text[:10]) == ("note", "9 bicycles")


def _placed(name: str) -> Placed:
    """Return a thing with bars across it, at the origin; what comes out past what is told by `_Told`."""
    bars = box("bars", (0.0, 1.0), (-2.0, 2.0), (0.0, 1.0))
    return Placed(thing=Thing(name=name, group=name, kind="bicycle", solids=(bars,)), solids=(bars,), box=bars)


class _Told(Ways):
    """Ways that are told instead of sought: who is held by whom; "!" needs its bars turned too, "#" is too large."""

    def out(self, bicycle: Placed, others: list[Placed], *, turned: bool = False) -> bool | None:  # type: ignore[override]
        held = HELD[bicycle.name]
        if "?" in held:
            return None
        return not ({"#"} | {o.name for o in others}) & held and ("!" not in held or turned)


HELD: dict[str, set[str]] = {}


@pytest.mark.parametrize(
    ("held", "after", "turned", "stuck", "too_large"),
    [
        ({"a": set(), "b": {"a"}, "c": {"b"}}, {"b": ("a",), "c": ("b",)}, [], {}, []),
        ({"a": set(), "b": set(), "c": {"a", "b"}}, {"c": ("a", "b")}, [], {}, []),
        ({"a": {"b"}, "b": {"a"}, "c": set()}, {}, [], {"a": ("b",), "b": ("a",)}, []),
        ({"a": {"wall"}, "b": {"a"}, "c": {"!"}}, {}, ["c"], {"a": ("wall",), "b": ("a",)}, []),
        ({"a": {"#"}, "b": set(), "c": set()}, {}, [], {"a": ()}, ["a"]),
        ({"a": {"!"}, "b": {"a"}, "c": set()}, {"b": ("a",)}, ["a"], {}, []),
        ({"a": {"?"}, "b": {"a"}, "c": set()}, {}, [], {"b": ("a",)}, []),
    ],
)
def test_the_order(
    monkeypatch: pytest.MonkeyPatch,
    held: dict[str, set[str]],
    after: dict[str, tuple[str, ...]],
    turned: list[str],
    stuck: dict[str, tuple[str, ...]],
    too_large: list[str],
) -> None:
    """In turn: a chain, one behind two, two that hold each other, a wall, a door too small, bars turned first, no verdict."""
    monkeypatch.setitem(globals(), "HELD", held)
    ways = _Told(space=plain_space(), frame=80.0, lift=400.0)
    order = order_of(ways, [_placed(name) for name in held], [_placed("wall")])

    assert (order.after, order.turned, order.stuck, order.too_large) == (after, turned, stuck, too_large)
    assert not order.eased


@settings(max_examples=8)
@given(
    blocks=st.lists(
        st.tuples(st.integers(0, 1500), st.integers(-800, 600), st.integers(200, 700)), min_size=1, max_size=3
    )
)
def test_taking_something_away_never_holds_it(blocks: list[tuple[int, int, int]]) -> None:
    """Whatever stands about: who comes out past all of it comes out past less."""
    context = _pair(780)
    bike = context.layout.placed["drive"][0]
    ways = Ways(space=context.space, frame=80.0, lift=400.0)
    others = [
        Placed(thing=Thing(name=f"block {i}", group="block", kind="box", solids=(solid,)), solids=(solid,), box=solid)
        for i, (x, y, high) in enumerate(blocks)
        for solid in [box("block", (x, x + 250.0), (y, y + 250.0), (0.0, high))]
    ]
    if ways.out(bike, others):
        assert all(ways.out(bike, [o for o in others if o is not gone]) for gone in others)
