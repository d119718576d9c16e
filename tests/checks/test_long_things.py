"""The longest straight item, by arithmetic on bare floors."""

from math import atan2, cos, hypot, radians, sin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layout.checks import long_things
from layout.checks.long_things import RULE, longest_at
from layout.files.rules import read_rules
from layout.model.finding import Finding
from tests.bench.fit import room, spread
from tests.builders import BASE, plain_space
from tests.checks.one_rule import context_of, found

PADDED = 140.0  # 100 wide, 20 of padding on either side


def _room(length: float, width: float) -> dict[str, object]:
    return {"floor": {"length": str(length), "width": str(width)}, "roof": {"0": "1800"}}


def _in_a_box(length: float, width: float, wide: float = PADDED) -> float:
    """Return the longest rectangle `wide` wide in one of `length` x `width`: straight, or aslant by an angle.

    Aslant it touches all four sides: L cos + w sin = length and L sin + w cos = width; the angle is found by halving.
    """
    low, high = 0.0, atan2(width, length)
    for _ in range(60):
        angle = (low + high) / 2
        along = (length - wide * sin(angle)) / cos(angle)
        low, high = (angle, high) if along * sin(angle) + wide * cos(angle) < width else (low, angle)
    return max(length, (length - wide * sin(low)) / cos(low))


def _note(**more: object) -> Finding:
    [finding] = found("long-things", **more)
    return finding


def test_aslant_over_a_bare_floor() -> None:
    """On 3000 x 1700 an item of 140 lies aslant and is longer than the floor, if shorter than its diagonal of 3448."""
    note = _note()

    assert note.severity == "note"
    assert note.measured == pytest.approx(_in_a_box(3000, 1700) - 40, abs=0.5)
    assert 3000 < note.measured + 40 < hypot(3000, 1700)
    assert note.text.startswith(
        "the longest straight item of 100 mm by 100 mm that lies on the floor is 3290.5 mm, aslant"
    )


@settings(max_examples=25)
@given(length=st.integers(600, 4000), width=st.integers(400, 2200))
def test_any_bare_floor(length: int, width: int) -> None:
    """Whatever the floor, the answer is never longer than that of the equations, and no shorter than straight."""
    context = context_of(space=_room(length, width))
    item = longest_at(context.space, (), context.rules["long-things"], 0.0)
    exact = _in_a_box(max(length, width), min(length, width))

    assert item is not None
    assert max(length, width) - 0.05 <= item.length + 40 <= exact + 0.05
    assert item.length + 40 >= exact - PADDED


def test_the_line_that_is_drawn_is_the_item() -> None:
    """From end to end the line is as long as item and padding together, level, at the height that is told."""
    note = _note()
    (ax, ay, az), (bx, by, bz) = note.line

    assert note.measured is not None
    assert hypot(bx - ax, by - ay) == pytest.approx(note.measured + 40, abs=0.01)
    assert (az, bz) == (0, 0)


BED = {"kind": "box", "length": "3000", "width": "1200", "height": "600"}


def test_beside_a_bed_and_over_it() -> None:
    """Beside a bed of 1200 there are 500 by 3000, so an item lies nearly lengthwise; over it, all of the floor again."""
    note = _note(things={"bed": BED}, arrangement={"bed": {"rear": "0", "left": "wall"}})
    beside, over = _in_a_box(3000, 500) - 40, _in_a_box(3000, 1700) - 40

    assert f"that lies on the floor is {int(beside * 10) / 10:g} mm" in note.text
    assert f"at height 600 mm it is {int(over * 10) / 10:g} mm" in note.text
    assert note.line[0][2] == 600


def test_where_it_lies_is_said() -> None:
    """In a lane of 150 beside a thing all along, an item lies lengthwise on the right; across, at the front."""
    along = _note(
        things={"bed": {**BED, "width": "1550", "height": "1790"}},
        arrangement={"bed": {"rear": "0", "left": "wall"}},
    )  # fmt: skip
    across = _note(
        things={"bed": {**BED, "length": "2850", "width": "1700", "height": "1790"}},
        arrangement={"bed": {"rear": "0", "left": "wall"}},
    )  # fmt: skip

    assert along.text.endswith("lengthwise on the right")
    assert across.text.endswith("across, at the front")
    assert along.measured == pytest.approx(_in_a_box(3000, 150) - 40, abs=0.1)


def test_only_while_driving() -> None:
    """What stands inside by night only shortens nothing on the road; without a state drive every state is told of."""
    bed = {"things": {"bed": BED}, "arrangement": {"bed": {"rear": "0", "left": "wall", "outside": ["drive"]}}}
    night = {"things": {"bed": BED}, "arrangement": {"bed": {"rear": "0", "left": "wall", "outside": ["b"]}}}

    assert (_note(**bed).states, "at height" in _note(**bed).text) == (("drive",), False)
    assert {f.states for f in found("long-things", states=["a", "b"], **night)} == {("a",), ("b",)}


def test_a_wish() -> None:
    """A wish of 3100 holds on a floor of 3290 and not when a box takes 1000 of its length; the box is named as the cure."""
    block = {"things": {"block": {**BED, "length": "1000", "width": "1700", "height": "1790"}},
             "arrangement": {"block": {"front": "0", "centre": "0"}}, "rules": {"long-things": {"wanted": "3100"}}}  # fmt: skip
    warning = _note(**block)
    fits = _in_a_box(2000, 1700) - 40

    assert (warning.severity, warning.wanted) == ("warn", 3100)
    assert warning.short_by == pytest.approx(3100 - fits, abs=0.1)
    assert warning.text.endswith("3100 mm wanted")
    assert warning.cure.startswith("with block elsewhere 3290")
    assert _note(rules={"long-things": {"wanted": "3100"}}).severity == "note"


def test_a_wish_that_no_single_thing_stands_in_the_way_of() -> None:
    """A wish of 5000 in a room of 3000 is told to be carried outside."""
    warning = _note(rules={"long-things": {"wanted": "5000"}})

    assert "no single thing" in warning.cure


def test_closed_doors_take_their_part() -> None:
    """A closed rear door that reaches in by 100 over the item's height takes 100 of the length of a lane."""
    lane = {"things": {"bed": {**BED, "width": "1550", "height": "1790"}},
            "arrangement": {"bed": {"front": "0", "left": "wall"}}}  # fmt: skip
    leaves = {"width": "1700", "height": "1700", "kind": "two leaves", "reach_in": {"depth": "100", "z": ["0", "300"]}}
    shut = {**BASE["space"], "rear_door": leaves}  # type: ignore[dict-item]  # a group of the file
    rooms = (context_of(**lane), context_of(space=shut, **lane))
    items = [longest_at(c.space, c.layout.placed["drive"], c.rules["long-things"], 0.0) for c in rooms]

    assert [item and item.length for item in items] == pytest.approx([3000 - 40, 2900 - 40], abs=0.1)


@settings(max_examples=15)
@given(
    blocks=st.lists(st.tuples(st.integers(0, 2500), st.integers(-850, 350)), min_size=1, max_size=5),
    wider=st.integers(0, 200),
)
def test_less_room_and_wider_items_are_never_longer(blocks: list[tuple[int, int]], wider: int) -> None:
    """With one thing fewer an item gets no shorter, but by its own width at most; every answer really is free."""
    from shapely import LineString, Polygon

    things = {f"b{i}": {"kind": "box", "length": "500", "width": "500", "height": "300"} for i in range(len(blocks))}
    stood = {f"b{i}": {"at": [str(x), str(y + 250), "0"]} for i, (x, y) in enumerate(blocks)}
    context = context_of(things=things, arrangement=stood, rules={"long-things": {"width": str(100 + wider)}})
    rule, placed = context.rules["long-things"], context.layout.placed["drive"]
    item, more = (longest_at(context.space, those, rule, 0.0) for those in (placed, placed[1:]))

    if item is not None:
        body = LineString(item.line).buffer((140 + wider) / 2 - 0.05, cap_style="flat")
        assert not any(body.intersects(Polygon(p.box.outline)) for p in placed)
        assert more is not None
        assert more.length >= item.length - (140 + wider)


def test_direction() -> None:
    """A lane turned by a known angle is not needed: the angle of the bare floor's item is that of the equations."""
    note = _note()
    (ax, ay, _), (bx, by, _) = note.line
    angle = abs(atan2(by - ay, bx - ax))
    long = _in_a_box(3000, 1700)

    assert long * abs(cos(angle)) + PADDED * sin(angle) == pytest.approx(3000, abs=1)
    assert radians(20) < min(angle, 3.14159 - angle) < radians(35)


@pytest.mark.parametrize("seed", range(4))
def test_heights_that_are_left_out_hold_no_longer_item(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """In long rooms with many things the longest item is that of a search at every height, the floor's among them.

    Some heights are left out, since it is proven that no item there is longer.
    """
    rule, things, space = read_rules()[RULE], spread(12 + 12 * seed, seed).placed["drive"], room(12 + 12 * seed)
    quick = long_things._found(space, things, rule)
    monkeypatch.setattr(long_things, "may_hold", lambda *_: True)
    every = long_things._found(space, things, rule)

    def best(found: list[long_things.Item]) -> long_things.Item:
        return max(found, key=lambda item: (item.length, -item.z))

    assert len(quick) < len(every)
    assert best(quick) == best(every)
    assert [item for item in quick if item.z == 0] == [item for item in every if item.z == 0]
    assert all(long_things.longest_at(space, things, rule, item.z) == item for item in every)


def test_an_item_that_is_certainly_too_short_is_not_looked_for() -> None:
    """In a room 3000 by 1700 none of 100 is 3450 long: none is told then, and the longest of all where 3000 are asked."""
    rule, space = read_rules()[RULE], plain_space()

    assert long_things.longest_at(space, [], rule, 0.0, 3450.0) is None
    assert long_things.longest_at(space, [], rule, 0.0, 3000.0) == long_things.longest_at(space, [], rule, 0.0)
