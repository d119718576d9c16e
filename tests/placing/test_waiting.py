"""Things that have no place yet, and what stands by way of them."""

from __future__ import annotations

from layout.model.solid import box
from layout.model.thing import Thing
from layout.placing.position import Position
from layout.placing.waiting import settled


def _thing(name: str, group: str = "", *, home: tuple[float, float, float] | None = None) -> Thing:
    body = box(name, (0, 100), (-50, 50), (0, 100))
    return Thing(name=name, group=group or name, kind="box", solids=(body,), home=home)


def test_what_stands_on_a_thing_without_a_place_waits_too() -> None:
    """A mattress on a bed without a place, and a pillow on the mattress, wait; a stove by the wall does not."""
    things = (_thing("bed"), _thing("mattress"), _thing("pillow"), _thing("stove"))
    stove = Position(rear=0.0, left="wall")
    arrangement = {"pillow": Position(on="mattress"), "mattress": Position(on="bed"), "stove": stove}
    assert settled(things, arrangement) == {"stove": stove}


def test_a_group_of_which_one_thing_has_a_place_can_be_stood_by() -> None:
    """One of two bins has a place; what stands beside the group keeps its line."""
    things = (_thing("bin 1", "bin"), _thing("bin 2", "bin"), _thing("stove"))
    arrangement = {"bin 1": Position(rear=0.0, centre=0.0), "stove": Position(in_front_of="bin")}
    assert settled(things, arrangement) == arrangement


def test_what_knows_its_own_place_does_not_wait() -> None:
    """A shelf on a wall box that follows the room keeps its line, since the box has a home."""
    things = (_thing("wall box", home=(0.0, 0.0, 0.0)), _thing("shelf"))
    arrangement = {"shelf": Position(on="wall box")}
    assert settled(things, arrangement) == arrangement
