"""What is called impossible: the reason that is given is the true one, and without any part of it the rest goes in."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from layout.arrange.ask import Ask
from layout.arrange.conflict import Conflict, conflict
from layout.arrange.reduced import left_without
from layout.arrange.shortfall import shortfalls
from layout.arrange.solve import Budget
from layout.arrange.units_of import split
from layout.checks.context import Context
from layout.checks.run import run_checks
from tests.arrange.answers import searched
from tests.arrange.small import ask_from


def _box(length: int, width: int, height: int, **more: Any) -> dict[str, Any]:
    return {"kind": "box", "length": length, "width": width, "height": height, "mass": 10, **more}


def _room(length: int, width: int, height: int, keep_clear: int = 0, **more: Any) -> dict[str, Any]:
    door: dict[str, Any] = {"width": width - 100, "height": height - 100, "kind": "two leaves"}
    door |= {"keep_clear": keep_clear} if keep_clear else {}
    return {"floor": {"length": length, "width": width}, "roof": {0: height}, "rear_door": door, **more}


_BINS = {"kind": "bin", "length": 600, "width": 400, "height": 300, "count": 7}
_WELLS = {"wheel_wells": [{"x": [400, 1400], "inner": 450, "height": 300}]}
_FRIDGES = _box(600, 500, 700, count=2, clear={"left": 450, "right": 450})
#: Each project with why it cannot be, and what cannot all be had.
CASES: dict[str, tuple[dict[str, Any], set[str]]] = {
    # 1900 across 1700.
    "a bed too long across": (
        {"space": _room(3000, 1700, 1800), "things": {"bed": _box(1900, 1300, 500), "chest": _box(800, 400, 400)},
         "free": {"bed": {"turn": [90]}}}, {"bed"}),
    # 1350 under a roof of 1300.
    "a cupboard too tall": (
        {"space": _room(2000, 1500, 1300), "things": {"cupboard": _box(600, 500, 1350), "chest": _box(800, 400, 400)}},
        {"cupboard"}),
    # On 1300 x 700 stand three across, 3 x 400 = 1200; two lengthwise; one of each leaves 700 - 400 < 400. Two high: six.
    "one bin too many": (
        {"space": _room(1300, 700, 900), "things": {"bins": _BINS, "lamp": _box(100, 100, 100)}}, {"bins"}),
    # The door is open from -750 to 750; the cabinet leaves -750 to 100 of it, 850 of 1200.
    "a door kept clear of what stands": (
        {"space": _room(2500, 1600, 1500, 1200), "things": {"cabinet": _box(800, 700, 900), "chest": _box(700, 400, 400)},
         "arrangement": {"cabinet": {"at": [0, 450, 0]}}}, {"cabinet", "rear door kept clear"}),
    # 1900 of 2000 leave 100 behind the door, where 400 are kept free; beside it are 550 of 1000.
    "a door kept clear of a bed": (
        {"space": _room(2000, 1600, 1500, 1000), "things": {"bed": _box(1900, 1000, 500), "chest": _box(300, 300, 300)},
         "free": {"bed": {"turn": [0]}}}, {"bed", "rear door kept clear"}),
    # Side by side 450 + 500 + 450 + 500 + 450 = 2350 of 1700; one before the other 1200 of 1100.
    "two fridges and their air": (
        {"space": _room(1100, 1700, 1500), "things": {"fridge": _FRIDGES}, "free": {"fridge": {"turn": [0]}}},
        {"fridge 1", "fridge 2"}),
    # Each wants its whole length of a room 600 wide, no two pass each other: 700 + 720 + 740 = 2160 of 2000.
    "three in a row": (
        {"space": _room(2000, 600, 1000),
         "things": {"a": _box(700, 500, 500), "b": _box(720, 520, 500), "c": _box(740, 540, 500)}}, {"a", "b", "c"}),
    # The stove is to stand between 500 and 1400 on the left, where the cabinet has 700 to 1700 and 200 to 800 across.
    "where the owner wants it something stands": (
        {"space": _room(2500, 1600, 1500), "things": {"cabinet": _box(1000, 600, 900), "stove": _box(600, 500, 400), "chest": _box(400, 300, 300)},
         "arrangement": {"cabinet": {"at": [700, 500, 0]}}, "free": {"stove": {"x": [500, 1400], "y": [0, 800]}}},
        {"stove", "cabinet"}),
    # 720 on a top of 700.
    "a top too small": (
        {"space": _room(2500, 1600, 1500), "things": {"table": _box(700, 500, 600), "stove": _box(720, 400, 200)},
         "free": {"stove": {"on": ["table"]}}}, {"table", "stove"}),
    # Between the wells are 900 of 950, before and behind them 600 and 400 of its 950, turned; across
    # it is 1900 of 1500.
    "wheel wells": (
        {"space": _room(2000, 1500, 1300, **_WELLS), "things": {"bed": _box(1900, 950, 400), "chest": _box(500, 400, 400)}},
        {"bed"}),
    # The roof falls from 1300 at 1000 to 800 at 2000: 1250 high stand up to 1100, 1200 up to 1200. Side by side at least
    # 810 + 710 of 1500, one before the other 810 + 710 of 1200.
    "a roof that falls": (
        {"space": _room(2000, 1500, 1300) | {"roof": {0: 1300, 1000: 1300, 2000: 800}},
         "things": {"cupboard": _box(810, 1000, 1250), "larder": _box(710, 900, 1200), "chest": _box(500, 300, 400)}},
        {"cupboard", "larder"}),
}  # fmt: skip


@cache
def _ask(name: str) -> Ask:
    return ask_from(**CASES[name][0])


@cache
def _conflict(name: str) -> Conflict | None:
    return conflict(_ask(name), Budget(work=3.0))


def _without(ask: Ask, member: str) -> Ask:
    """Return the question without a thing, or with a door that need not be kept clear."""
    if any(member in (t.name, t.group) for t in ask.things):
        return left_without(ask, [member, *(key for key, free in ask.free.items() if set(free.on) == {member})])
    doors = tuple(replace(d, keep_clear=None) if member.startswith(d.name) else d for d in ask.space.doors)
    assert doors != ask.space.doors, member
    return replace(ask, space=replace(ask.space, doors=doors))


@pytest.mark.parametrize("name", CASES)
def test_it_is_called_impossible_for_its_reason(name: str) -> None:
    """Protects from a wrong culprit: the sum beside each case says what cannot all be had, and just that is named."""
    found = _conflict(name)

    assert found is not None
    assert set(found.members) == CASES[name][1]
    assert found.minimal
    assert not searched(_ask(name)).arrangements


@pytest.mark.parametrize(("name", "member"), [(name, member) for name in CASES for member in sorted(CASES[name][1])])
def test_without_any_part_of_the_reason_the_rest_goes_in(name: str, member: str) -> None:
    """Protects from a reason that is too long: each thing or door in it dropped, what is left passes all checks."""
    less = _without(_ask(name), member)
    [one] = searched(less).arrangements
    context = Context(space=less.space, layout=one.layout, rules=less.rules, units=less.units)

    assert not [f for f in run_checks(context) if f.severity == "fail"]
    assert {p.name for p in one.layout.placed["drive"]} == {t.name for t in less.things}


@pytest.mark.parametrize(
    ("name", "axis", "less"),
    [("a bed too long across", "across", 200), ("a cupboard too tall", "up", 50), ("wheel wells", "across", 50)],
)
def test_how_much_too_large(name: str, axis: str, less: float) -> None:
    """Protects the figure that people saw by: 1900 in 1700, 1350 in 1300, 950 between wells 900 apart."""
    ask = _ask(name)
    [unit] = [u for u in split(ask).units if u.key in CASES[name][1]]
    found = [one for one in shortfalls(ask, unit) if one.axis == axis]

    assert found
    assert min(one.less for one in found) == pytest.approx(less, abs=1)


def test_nothing_is_ruled_out_that_goes_in() -> None:
    """Protects from a proof that proves too much: each case made just large enough is no conflict any more."""
    enough: dict[str, dict[str, Any]] = {
        "a bed too long across": {"space": _room(3000, 1905, 1800)},
        "a cupboard too tall": {"space": _room(2000, 1500, 1355)},
        "one bin too many": {"space": _room(1300, 805, 900)},
        "a door kept clear of what stands": {"space": _room(2500, 1600, 1500, 845)},
        "two fridges and their air": {"space": _room(1205, 1700, 1500)},
        "three in a row": {"space": _room(2165, 600, 1000)},
        "where the owner wants it something stands": {"free": {"stove": {"x": [95, 1400], "y": [0, 800]}}},
        "a top too small": {"things": {"table": _box(725, 500, 600), "stove": _box(720, 400, 200)}},
        "a roof that falls": {"space": _room(2000, 1525, 1300) | {"roof": {0: 1300, 1000: 1300, 2000: 800}}},
    }
    found = {name: conflict(ask_from(**CASES[name][0] | more), Budget(work=3.0)) for name, more in enough.items()}

    assert found == dict.fromkeys(enough)
