"""The order of build: nothing too early, every piece and every screw once, and pieces that can still get in."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace
from itertools import chain

import pytest

from layout.building.assembly import assembly
from layout.building.fixings import fixings
from layout.building.order import build_order, runs
from layout.building.order_check import order_faults
from layout.building.prism import HAIR, of_panel, of_solid
from layout.files.rules import read_building
from layout.model.building import Hardware, Step
from layout.model.panel import Panel
from layout.model.solid import box
from layout.model.thing import Thing
from tests.building.kinds import units
from tests.building.made import flat, joint, shelf_unit, whole

RULES = read_building()


def _named(name: str, kind: str = "shelf unit", scale: float = 1.0) -> Thing:
    unit = shelf_unit()
    grown = box("all", (0, 400 * scale), (-300, 300), (0, 800)) if scale > 1 else None
    return replace(unit, name=name, group=name, kind=kind, solids=(*unit.solids, grown) if grown else unit.solids)


def test_floor_lining_and_large_units_come_first() -> None:
    """Floor, lining and partition are built in that order, then units by their size; the trial load ends it."""
    things = [_named("small"), _named("large", scale=2), _named("wall", "partition"), _named("skin", "lining"),
              _named("boards", "floor panels")]  # fmt: skip
    steps = build_order(things, RULES)
    placed = [step.name for step in steps if step.name.endswith("into its place")]

    assert placed == [f"{name}: into its place" for name in ("boards", "skin", "wall", "large", "small")]
    assert [step.name for step in (*steps[:2], steps[-1])] == ["holes and cables", "measure again", "trial load"]
    assert order_faults(steps, things, RULES) == ()


def test_what_carries_comes_before_what_it_carries() -> None:
    """A large unit that stands on a small one waits for it; a ring of units goes by size."""
    things = [_named("small"), _named("large", scale=2)]
    stacked = build_order(things, RULES, {"large": ["small"]})
    ring = build_order(things, RULES, {"large": ["small"], "small": ["large"]})

    assert [step.name for step in stacked].index("small: into its place") < [s.name for s in stacked].index(
        "large: dry fit"
    )
    assert [step.name for step in ring].index("large: into its place") < [s.name for s in ring].index(
        "small: into its place"
    )
    assert order_faults(stacked, things, RULES) == order_faults(ring, things, RULES) == ()


def test_a_unit_is_glued_in_the_workshop_while_others_are_placed() -> None:
    """Putting together needs only the dry fit; standing at its place needs what stands before it."""
    steps = {step.name: step for step in build_order([_named("a"), _named("b")], RULES)}

    assert steps["b: dry fit"].after == ("measure again",)
    assert steps["b: put together"].after == ("b: dry fit",)
    assert steps["b: into its place"].after == ("b: put together", "a: into its place")
    assert [step.name for step in steps.values() if step.dry] == ["a: dry fit", "b: dry fit"]


def test_equal_units_are_built_together() -> None:
    """Two bins of a group are one set of steps, with the pieces of one and the hardware of both."""
    two = [replace(shelf_unit(), name=f"bin {i}", group="bin") for i in (1, 2)]
    steps = build_order(two, RULES)
    together = next(step for step in steps if step.name == "bin: put together")

    assert Counter(together.pieces) == Counter(
        ["side", "side", "bottom", "top", "shelf", "back", "kick", "lipping", "cleat"]
    )
    assert {h.item: h.count for h in together.hardware}["screw-4x40"] == 2 * 22
    assert "all 2 bin" in together.does
    assert order_faults(steps, two, RULES) == ()


def test_a_kind_may_give_its_own_steps() -> None:
    """Steps of a kind keep their order; pieces and hardware that they do not name go with the last that takes pieces."""
    own = (
        Step(name="frame", does="screw the frame", pieces=("side", "bottom", "top")),
        Step(name="skin", does="glue the back in", after=("frame",), pieces=("back",)),
        Step(name="stand it", does="stand it up", after=("skin",)),
    )
    thing = replace(_named("shed"), steps=own)
    steps = build_order([thing, _named("yard")], RULES)
    by_name = {step.name: step for step in steps}

    assert order_faults(steps, [thing, _named("yard")], RULES) == ()
    assert by_name["shed: frame"].after == ("measure again",)
    assert by_name["shed: stand it"].after == ("shed: skin",)
    assert by_name["yard: into its place"].after[-1] == "shed: stand it"
    assert set(by_name["shed: skin"].pieces) == {"back", "shelf", "kick", "lipping", "cleat"}
    assert by_name["shed: skin"].hardware == fixings([thing], RULES)


def test_no_units_no_steps() -> None:
    """A plan without furniture has no order of build."""
    assert build_order([replace(shelf_unit(), panels=(), battens=())], RULES) == ()


def test_a_false_order_is_told() -> None:
    """A step too early, a piece twice or never, hardware forgotten, and glue before the dry fit are all told."""
    things = [_named("a"), _named("b")]
    good = list(build_order(things, RULES))
    at = {step.name: i for i, step in enumerate(good)}

    def changed(name: str, **more: object) -> tuple[str, ...]:
        steps = list(good)
        steps[at[name]] = replace(steps[at[name]], **more)  # type: ignore[arg-type]  # fields of a step
        return order_faults(steps, things, RULES)

    swapped = [good[1], good[0], *good[2:]]
    undry = [step for step in good if step.name != "b: dry fit"]
    pieces, hardware = good[at["a: put together"]].pieces, good[at["a: put together"]].hardware
    more = (*hardware, Hardware(item="hinge-butt-60", count=1, why="?"))

    assert "measure again comes before holes and cables, which it needs" in order_faults(swapped, things, RULES)
    assert "b is not put together dry before it is glued" in order_faults(undry, things, RULES)
    assert changed("a: put together", pieces=pieces[1:]) == (f"a: {pieces[0]} is put in 0 times, not 1",)
    assert changed("a: put together", pieces=(*pieces, "side")) == ("a: side is put in 3 times, not 2",)
    assert changed("a: into its place", pieces=("side",)) == ("a: side is put in 3 times, not 2",)
    assert changed("a: put together", hardware=hardware[1:]) == ("a: 0 slides-pair are taken, not 2",)
    assert changed("a: put together", hardware=more) == ("a: 1 hinge-butt-60 are taken, not 0",)
    assert "two steps are called trial load" in order_faults([*good, good[-1]], things, RULES)


@pytest.mark.parametrize("seed", range(20))
def test_random_plans_hold(seed: int) -> None:
    """Any set of units of the projects, carrying each other at random, has an order that holds."""
    rng = random.Random(seed)
    kinds = list(units().values())
    things = [replace(rng.choice(kinds), name=f"u{i}", group=f"u{i}") for i in range(rng.randint(1, 5))]
    below = {t.group: [rng.choice(things).group] for t in things if rng.random() < 0.5}
    steps = build_order(things, RULES, below)

    assert order_faults(steps, things, RULES) == ()
    assert build_order(things, RULES, below) == steps


def test_a_back_in_grooves_goes_in_before_the_last_side() -> None:
    """A back that lies in grooves all round and a shelf in housings are in before the second side closes them in."""
    (order,) = assembly(shelf_unit())
    last_side = len(order) - 1 - order[::-1].index("side")

    assert sorted(order) == sorted(["side", "side", "bottom", "top", "shelf", "back", "kick", "lipping", "cleat"])
    assert {order.index("back"), order.index("shelf"), order.index("bottom")} < set(range(last_side))


def test_what_comes_apart_is_made_by_itself() -> None:
    """A box, its loose lid with a cleat, and a bolted rail are three parts, the largest first."""
    panels = (
        flat("lid", "xy", (0, 0, 318), (400, 300), joint("loose", "wall"), joint("butt", "cleat")),
        flat("floor", "xy", (0, 0, 0), (400, 300)),
        flat("wall", "xz", (0, 0, 18), (400, 300), joint("butt", "floor", "bottom")),
        flat("wall", "xz", (0, 282, 18), (400, 300), joint("butt", "floor", "bottom")),
        flat("cleat", "xy", (0, 18, 300), (400, 40)),
        flat("rail", "xz", (0, 300, 18), (400, 300), joint("bolt", "wall")),
    )
    parts = assembly(whole(panels, (), None))

    assert [sorted(part) for part in parts] == [["floor", "wall", "wall"], ["cleat", "lid"], ["rail"]]


@pytest.mark.parametrize("name", units())
def test_every_piece_can_be_put_in(name: str) -> None:
    """In the order told, each piece of a part that is put on slides straight to its place past those that are there.

    Told by other arithmetic than the order is found by: a box is pushed off by its own length in small steps.
    """
    thing = units()[name]
    boxes = _boxes(thing)
    for part in assembly(thing):
        there: list[str] = []
        left = {word: list(of) for word, of in boxes.items()}
        stood: list[tuple[tuple[float, float], ...]] = []
        for word in part:
            there.append(word)
            assert any(_slides(one, stood) for one in left[word]), (word, there)
            stood.append(next(one for one in left[word] if _slides(one, stood)))
            left[word].remove(stood[-1])


def _boxes(thing: Thing) -> dict[str, list[tuple[tuple[float, float], ...]]]:
    found: dict[str, list[tuple[tuple[float, float], ...]]] = {}
    for piece in (*thing.panels, *thing.battens):
        prism = of_panel(piece) if isinstance(piece, Panel) else of_solid(piece.solid)
        found.setdefault(piece.name, []).append(prism.box)
    return found


def _slides(one: tuple[tuple[float, float], ...], stood: list[tuple[tuple[float, float], ...]]) -> bool:
    """Return whether a box comes straight from 5 m away along some axis without passing into others deeper than it ends."""
    for axis in range(3):
        for way in (1, -1):
            if not any(_hits(one, other, axis, way) for other in stood):
                return True
    return False


def _hits(one: tuple[tuple[float, float], ...], other: tuple[tuple[float, float], ...], axis: int, way: int) -> bool:
    def reach(by: float) -> float:
        moved = [(low + by * (i == axis), high + by * (i == axis)) for i, (low, high) in enumerate(one)]
        sizes = [min(a[1], b[1]) - max(a[0], b[0]) for a, b in zip(moved, other, strict=True)]
        return sizes[axis] if all(size > HAIR for i, size in enumerate(sizes) if i != axis) else 0.0

    return any(reach(way * by) > max(reach(0.0), 0.0) + HAIR for by in chain(range(1, 100, 3), range(100, 5000, 17)))


@pytest.mark.parametrize(
    ("names", "told"),
    [
        ("end end side end", "2 × end, side, end"),
        ("lid a b b a b b a b b c", "lid, 3 × (a, 2 × b), c"),
        ("a b a b", "2 × (a, b)"),
        ("a a a a", "4 × a"),
        ("a b c", "a, b, c"),
        ("", ""),
    ],
)
def test_names_in_a_row_are_told_once(names: str, told: str) -> None:
    """Names, and stretches of names, that follow each other stand once with their count."""
    assert ", ".join(runs(names.split())) == told


def _said(thing: Thing | list[Thing]) -> str:
    group = thing if isinstance(thing, list) else [thing]
    return " | ".join(step.does for step in build_order(group, RULES) if step.name.startswith(group[0].group))


def test_steps_name_only_hardware_that_the_unit_has() -> None:
    """A unit with slides says slides and no hinges; without any of its own it says nothing of them; nor of latches."""
    slides = Hardware(item="slides-pair", count=1, why="carries the drawer")
    with_slides, bare = replace(_named("a"), hardware=(slides,)), replace(_named("b"), hardware=())
    load = [build_order([one], RULES)[-1].does for one in (with_slides, replace(bare, hardware=(_LATCH,)))]

    assert "then put on slides (" in _said(with_slides)
    assert "hinges" not in _said(with_slides)
    assert "then put on" not in _said(bare)
    assert ["latch" in text for text in load] == [False, True]


_LATCH = Hardware(item="latch-push", count=1, why="keeps the door shut")
_BOLTS = tuple(Hardware(item=item, count=4, why="holds it to the body") for item in ("insert-m8-body", "bolt-m8x40"))


def test_what_comes_out_is_not_fastened_to_the_body() -> None:
    """Inserts for the body are taken when the unit stands at its place; a bin has none and says that it comes out."""
    fixed = replace(_named("a"), hardware=_BOLTS)
    steps = {step.name: step for step in build_order([fixed], RULES)}
    bins = [replace(_named("bin"), name=f"bin {i}", group="bin", take_out="up", hardware=()) for i in (1, 2)]

    assert {h.item for h in steps["a: into its place"].hardware} == {"insert-m8-body", "bolt-m8x40"}
    assert "insert-m8-body" not in {h.item for h in steps["a: put together"].hardware}
    assert "fasten it to the body with 4 × insert-m8-body" in steps["a: into its place"].does
    assert "they come out again, so nothing holds them to the body" in _said(bins)
    assert "where they will stand" in _said(bins)
    assert "see to that" in _said(replace(_named("c"), hardware=()))


def test_loose_pieces_are_not_put_together() -> None:
    """Linings that only lie side by side have a dry fit and their place, each piece and screw in the latter."""
    loose = (flat("lining 1", "xy", (0, 0, 0), (400, 300)), flat("lining 2", "xy", (400, 0, 0), (400, 300)))
    screws = Hardware(item="screw-3.5x30", count=8, why="lining to ribs")
    unit = replace(whole(loose, (), None), name="skin", group="skin", hardware=(screws,))
    steps = build_order([unit], RULES)

    assert [s.name for s in steps if s.name.startswith("skin")] == ["skin: dry fit", "skin: into its place"]
    assert steps[-2].pieces == ("lining 1", "lining 2")
    assert steps[-2].hardware == (screws,)
    assert order_faults(steps, [unit], RULES) == ()
    assert not any(word in _said(unit) for word in ("glue", "clamps", "hinges"))


def test_parts_that_come_apart_are_named() -> None:
    """A box with a loose lid says its two parts by their pieces."""
    panels = (
        flat("lid", "xy", (0, 0, 318), (400, 300), joint("loose", "wall")),
        flat("floor", "xy", (0, 0, 0), (400, 300)),
        flat("wall", "xz", (0, 0, 18), (400, 300), joint("butt", "floor", "bottom")),
        flat("wall", "xz", (0, 282, 18), (400, 300), joint("butt", "floor", "bottom")),
    )
    said = _said(replace(whole(panels, (), None), name="box", group="box"))

    assert "it comes apart into 2 parts, each made by itself: (floor, 2 × wall), lid" in said


@pytest.mark.parametrize("name", units())
def test_no_step_speaks_of_what_is_not_there(name: str) -> None:
    """Of every unit of the projects: hinges, latches, slides, straps, glue and the body are named only with hardware."""
    thing = replace(units()[name], name="unit", group="unit")
    said, items = _said(thing).replace("without glue", ""), [h.item for h in fixings([thing], RULES)]
    for word, begins in (("hinges", "hinge-"), ("latches", "latch-"), ("slides", "slides-"), ("straps", "strap-"),
                         ("glue", "glue"), ("to the body with", "insert-m8-body"), ("lid stays", "stay-")):  # fmt: skip
        assert (word in said) == any(item.startswith(begins) for item in items), word
