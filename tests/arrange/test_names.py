"""Names of arrangements: short, telling, each its own; on made-up layouts and on what a search finds."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import pytest

from layout.arrange.aspects import Case, Setting, is_under, when
from layout.arrange.names import names, names_of
from layout.jobs.arrange import Options, try_project
from layout.model.layout import Layout, Placed
from layout.model.solid import box, outer_box
from layout.model.thing import Thing
from tests.builders import project_text, read

STATES = ("drive", "camp", "sleep")
ROOM = (0.0, -850.0, 3000.0, 850.0)
SETTING = Setting(states=STATES, room=ROOM)
KINDS = {"bed": "bed platform", "bike": "bicycle", "galley": "box", "bins": "bin"}
#: Length, width, height, mm.
SIZES = {"bed": (1850.0, 1250.0, 700.0), "bike": (1700.0, 300.0, 650.0), "galley": (900.0, 450.0, 850.0), "bins": (600.0, 400.0, 320.0)}  # fmt: skip
Where = Mapping[str, tuple[Any, ...]]


def placed(name: str, x: float, y: float, z: float = 0.0, *, across: bool = False) -> Placed:
    """Return a thing with its rear edge at x and its middle at y; its group is the first word of its name."""
    group = name.split(maxsplit=1)[0]
    long, wide, high = SIZES[group]
    dx, dy = (wide, long) if across else (long, wide)
    solid = box(name, (x, x + dx), (y - dy / 2, y + dy / 2), (z, z + high))
    own = box(name, (0.0, long), (-wide / 2, wide / 2), (0.0, high))
    step = 305.0 if KINDS[group] == "bin" else 0.0
    thing = Thing(name=name, group=group, kind=KINDS[group], solids=(own,), stack_step=step)
    return Placed(thing=thing, solids=(solid,), box=outer_box((solid,), name))


def case(
    *things: Placed, out: Mapping[str, Sequence[str]] | None = None, moved: Sequence[Placed] = (), **sizes: Any
) -> Case:
    """Return an arrangement; `out` tells which things are outside in which states, `moved` where others are at night."""
    out = out or {}
    at_night = {p.name: p for p in moved}
    stood = {
        state: tuple(
            at_night.get(p.name, p) if state == "sleep" else p for p in things if state not in out.get(p.name, ())
        )
        for state in STATES
    }
    layout = Layout(things=tuple(p.thing for p in things), people=(), placed=stood, outside={})
    return Case(layout=layout, sizes=sizes)


BED, ACROSS = placed("bed", 0, 0), placed("bed", 0, 0, across=True)
FRONT_BED = placed("bed", 1100, 0)
GALLEY = placed("galley", 2000, 600)


def test_what_lies_otherwise_is_told_by_that() -> None:
    """A bed across and one along are told apart by just that."""
    assert names([case(ACROSS, GALLEY), case(BED, GALLEY)], SETTING) == ("bed across", "bed along")


def test_end_side_and_outside_read_well() -> None:
    """The end has an at, the side has none, and the states have words that people use."""
    cases = [
        case(BED, GALLEY, placed("bike", 2400, 0)), case(FRONT_BED, GALLEY, placed("bike", 2400, 0)),
        case(BED, placed("galley", 2000, -600), placed("bike", 2400, 0)),
    ]  # fmt: skip

    assert names(cases[:2], SETTING) == ("bed at rear", "bed at front")
    assert names(cases[::2], SETTING) == ("galley left", "galley right")
    night = [case(BED, placed("bike", 2000, 0), out={"bike": s}) for s in ((), ("sleep",), ("camp", "sleep"))]
    assert names(night, SETTING) == ("bike kept inside", "bike outside at night", "bike outside when parked")


def test_equal_things_under_the_bed_are_told_together() -> None:
    """Both bicycles under the bed are one part of the name, by a word for both."""
    under = case(BED, placed("bike 1", 50, -200), placed("bike 2", 50, 200), GALLEY)
    beside = case(BED, placed("bike 1", 1200, -700), placed("bike 2", 1200, 700), GALLEY)
    one = case(BED, placed("bike 1", 50, -200), placed("bike 2", 1200, 700), GALLEY)

    assert is_under(under.layout.placed["drive"][1], BED)
    assert names([under, beside], SETTING)[0] == "bicycles under the bed"
    assert names([under, one], SETTING) == ("bicycles under the bed", "bicycles partly under the bed")


def test_which_of_equal_things_is_which_tells_nothing_apart() -> None:
    """Two bicycles that change places make no other arrangement in words: what else differs is told."""
    a = case(BED, placed("bike 1", 1200, -700), placed("bike 2", 1200, 700), GALLEY)
    b = case(BED, placed("bike 1", 1200, 700), placed("bike 2", 1200, -700), placed("galley", 2000, -600))

    assert names([a, b], SETTING) == ("galley left", "galley right")


def test_sizes_tell_apart_what_stands_alike() -> None:
    """Where all stands alike the size that is free tells, in the units of the project."""
    cases = [case(BED, GALLEY, bed={"deck": 660.4}), case(BED, GALLEY, bed={"deck": 711.2})]

    assert names(cases, SETTING) == ("bed deck 660 mm", "bed deck 711 mm")
    inches = Setting(states=STATES, room=ROOM, units="in")
    assert names(cases, inches) == ('bed deck 26"', 'bed deck 28"')


def test_what_the_search_told_apart_stays_apart_on_the_border_between_two_words() -> None:
    """Where polishing moves a thing by a millimetre over a border, the word of the search holds."""
    near = placed("bed", 214, 0)  # its middle is at 1139 mm: 1 mm short of amidships, where the search had it
    cases = [case(BED, GALLEY), replace(case(near, GALLEY), said={"bed": ("middle", "amidships")})]

    assert names(cases, SETTING) == ("bed at rear", "bed amidships")


def test_what_moves_for_the_night_is_told() -> None:
    """A thing that stands elsewhere at night is told by that where another stays."""
    moves = case(BED, placed("galley", 2000, 600), moved=[placed("galley", 2000, -600)])

    assert names([moves, case(BED, GALLEY)], SETTING) == ("galley moved at night", "galley never moved")


def test_without_a_word_that_differs_the_place_in_figures_tells() -> None:
    """Arrangements that differ by little are told apart by the place in figures; equal ones get a number."""
    near = [case(placed("bed", x, 0), GALLEY) for x in (0.0, 60.0)]

    assert names(near, SETTING) == ("bed 0 mm from the rear", "bed 60 mm from the rear")
    assert names([case(BED), case(BED)], SETTING) == ("as it stands (1)", "as it stands (2)")


def test_a_single_arrangement_says_how_its_bed_and_the_next_thing_stand() -> None:
    """With nothing to tell it apart from, a name says how the bed lies and where, and what next meets the eye."""
    assert names([case(ACROSS, placed("bike", 2400, 0), GALLEY)], SETTING) == ("bed across at rear, bike at front",)
    away = case(BED, placed("bike", 1200, 0), out={"bike": ("sleep",)})
    assert names([away], SETTING) == ("bed along at rear, bike outside at night",)


def test_the_bed_under_a_mattress_is_told_once() -> None:
    """A mattress on a bed is part of it; one on bins is the bed itself."""
    thing = Thing(name="mattress", group="mattress", kind="mattress", solids=BED.solids)
    lying = Placed(thing=thing, solids=BED.solids, box=BED.box)
    on_bins = [case(lying, GALLEY), case(Placed(thing=thing, solids=ACROSS.solids, box=ACROSS.box), GALLEY)]

    assert names([case(BED, lying, GALLEY), case(ACROSS, lying, GALLEY)], SETTING) == ("bed along", "bed across")
    assert names(on_bins, SETTING) == ("mattress along", "mattress across")


@pytest.mark.parametrize("seed", range(40))
def test_random_arrangements_have_short_names_of_their_own(seed: int) -> None:
    """No two names are alike, in whatever order; each is short enough to be said; the same input gives the same."""
    rng = random.Random(seed)
    cases = [_random_case(rng) for _ in range(rng.randint(1, 8))]
    made = names(cases, SETTING)
    order = list(range(len(cases)))
    rng.shuffle(order)

    assert len(set(made)) == len(made)
    assert names(cases, SETTING) == made
    assert max(len(name.split()) for name in made) <= 12
    assert all(name.strip() == name and name for name in made)
    assert len(set(names([cases[i] for i in order], SETTING))) == len(made)


def _random_case(rng: random.Random) -> Case:
    things = [placed("bed", rng.choice([0, 500, 1100]), 0, across=rng.random() < 0.3)]
    things += [placed(f"bike {i}", rng.randrange(0, 1300, 50), rng.choice([-500, 0, 500])) for i in (1, 2)]
    things += [placed("galley", rng.randrange(0, 2000, 100), rng.choice([-600, 600]))]
    things += [
        placed(f"bins {i}", rng.randrange(0, 2400, 50), rng.choice([-500, 0, 500]), rng.choice([0, 305]))
        for i in range(1, 5)
    ]
    out = {"bike 1": rng.choice([(), ("sleep",), ("camp", "sleep"), ("camp",)])}
    return case(*things, out=out, bed={"deck": rng.choice([660.0, 720.0])})


@pytest.mark.parametrize("seed", range(12))
def test_a_name_tells_the_truth_of_its_own_arrangement_only(seed: int) -> None:
    """What a name says holds for its arrangement, and all of it together for no other one of the list."""
    rng = random.Random(100 + seed)
    cases = [_random_case(rng) for _ in range(5)]
    alone = [tuple(_says(one)) for one in cases]

    for i, name in enumerate(names(cases, SETTING)):
        told = [word for word in ("bed across", "bed along", "bed at rear", "bed at front") if name.startswith(word)]
        assert all(word in alone[i] for word in told), (name, alone[i])


def _says(one: Case) -> list[str]:
    """Return what is true of the bed, worked out by plain arithmetic."""
    bed = one.layout.placed["drive"][0].box
    x0, y0, x1, y1 = bed.bounds
    middle = (x0 + x1) / 2
    end = "at rear" if middle < 1500 - 360 else "at front" if middle > 1500 + 360 else "amidships"
    return [f"bed {'along' if x1 - x0 > y1 - y0 else 'across'}", f"bed {end}"]


def test_words_for_states() -> None:
    """States that people made themselves are told by their own names."""
    assert when(("sleep",), STATES) == "at night"
    assert when(("drive", "sleep"), STATES) == "on the road and at night"
    assert when(STATES, STATES) == "always"
    assert when(("market",), ("road", "market")) == "in market"


def test_names_of_a_real_search_are_short_and_stable() -> None:
    """What a search finds is named by where its two boxes are, the same each time."""
    text = project_text(things={
        "chest": {"kind": "box", "length": "1500", "width": "700", "height": "500", "mass": "20"},
        "locker": {"kind": "box", "length": "900", "width": "500", "height": "900", "mass": "20"},
    })  # fmt: skip
    tried = try_project(read(text), Options(count=3, effort="quick"))
    made = names_of(tried.found)

    assert len(made) == len(set(made)) == len(tried.found.arrangements) >= 2
    assert made == tried.names == names_of(tried.found)
    assert all(2 <= len(name.split()) <= 8 for name in made), made
    assert all("chest" in name or "locker" in name for name in made), made
