"""Quick answers about ways for people, against the whole search: the findings are the same."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest
from shapely.geometry import LineString, MultiPolygon, box
from shapely.geometry.base import BaseGeometry

import layout.checks.walking.cure as cures
from layout.checks.context import Context, by_places
from layout.checks.moves import shifted
from layout.checks.run import checks
from layout.checks.walking.core import Core, Trip, core, goes, widest
from layout.checks.walking.doorways import opened
from layout.checks.walking.floors import floor
from layout.checks.walking.scene import measures
from layout.checks.walking.site import Site
from layout.files.rules import read_rules
from layout.model.finding import Finding
from layout.model.layout import Layout, Placed
from tests.bench.fit import room, spread
from tests.checks.chance import layout_of, stood, thing_of
from tests.space.test_spanned import aisle

LONG = 90


def _contexts() -> list[Context]:
    """Return layouts with beds in a long room, a few of the things shifted into the aisle."""
    found = []
    for seed in (9, 16):
        layout = spread(LONG, seed)
        camp = tuple(
            shifted(p, (0.0, 90.0, 0.0)) if k % 7 == 3 and p.thing.kind == "box" else p
            for k, p in enumerate(layout.placed["camp"])
        )
        placed = {"drive": layout.placed["drive"], "camp": camp, "sleep": layout.placed["sleep"]}
        found.append(Context(space=room(LONG), layout=replace(layout, placed=placed), rules=read_rules()))
    return found


def _said(rule: str) -> list[list[Finding]]:
    return [list(checks()[rule](context)) for context in _contexts()]


def test_moves_that_are_hopeless_are_known_to_be(monkeypatch: pytest.MonkeyPatch) -> None:
    """The rule aisle says the same when each move is tried that could not help, since another place bars the way too."""
    seen = Counter[bool]()
    known = cures._Try.hopeless

    def counted(one: cures._Try, wanted: float) -> bool:
        seen[known(one, wanted)] += 1
        return known(one, wanted)

    monkeypatch.setattr(cures._Try, "hopeless", counted)
    quick = _said("aisle")
    monkeypatch.setattr(cures._Try, "hopeless", lambda *_: False)
    assert quick == _said("aisle")
    assert seen[True] > 0
    assert any(f.severity != "note" for findings in quick for f in findings)


@pytest.mark.parametrize(("rule", "quick"), [("aisle", "is_barred"), ("aisle", "fails"), ("night-exit", "fails")])
def test_what_is_barred_at_little_cost_is_barred(rule: str, quick: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The findings are the same when no floor is looked at roughly first, nor the one that it is a part of."""
    seen = Counter[bool]()
    known = getattr(Trip, quick)

    def counted(trip: Trip, width: float) -> bool:
        answer = bool(known(trip, width))
        seen[answer] += 1
        return answer

    monkeypatch.setattr(Trip, quick, counted)
    told = _said(rule)
    monkeypatch.setattr(Trip, quick, lambda *_: False)
    assert told == _said(rule)
    assert seen[True] > 0


@pytest.mark.parametrize("seed", range(4))
def test_a_rough_look_never_says_no_where_somebody_passes(seed: int) -> None:
    """Over random floors: whoever fails at a rough look does not pass; that happens, and so does passing."""
    trip = _trip(aisle(seed))
    trip = replace(trip, core=replace(trip.core, floor=trip.free))
    answers = Counter((trip.fails(width), trip.probe(width).joined) for width in range(220, 1900, 60))
    assert answers[True, True] == 0
    assert answers[True, False] > 0


@pytest.mark.parametrize("seed", range(4))
def test_what_is_left_of_a_part_is_what_is_left_of_the_whole_less_what_is_gone(seed: int) -> None:
    """A floor without a bed, or without a yard for middles, is left the same whether it is eroded itself or taken off."""
    chance = np.random.default_rng(seed)
    whole = core(aisle(seed), 100.0, 2000.0)
    x, y = chance.uniform((500, -900), (5000, 300))
    bed = box(x, y, x + 1500, y + 700)
    for part in (whole.less(bed), whole.shut(bed)):
        alone = Core(make=lambda room=part.room: room, thin=part.thin, taken=part.taken)  # type: ignore[misc]  # bound now
        for width in (160.0, 330.0, 700.0):
            one, other = part.left(width), alone.left(width)
            assert one.reach == other.reach
            apart = one.room.symmetric_difference(other.room)
            assert apart.buffer(-0.2).is_empty
            assert apart.area < 1e-3 * whole.room.area


def test_a_floor_is_worked_out_once_for_the_same_bodies() -> None:
    """Two rules that ask for a floor at the same heights get the same one; at other heights, or in another room, not."""
    context = _contexts()[0]
    space, rule = opened(context.space), context.rules["aisle"]
    site = Site(space=space, bodies=context.bodies("camp"))
    first = floor(site, (100.0, 700.0), space.doors, measures(rule))
    assert floor(site, (100.0, 700.0), list(space.doors), measures(rule)) is first
    assert floor(site, (100.0, 900.0), space.doors, measures(rule)) is not first
    assert (
        floor(replace(site, space=replace(space, rake_deg=1.0)), (100.0, 700.0), space.doors, measures(rule))
        is not first
    )


def test_a_way_without_its_route_is_as_wide() -> None:
    """Where no route is asked for, the way is the same but for that."""
    for seed in range(3):
        trip = _trip(aisle(seed))
        with_route, without = widest(trip, 900.0), widest(trip, 900.0, routed=False)
        assert without == replace(with_route, route=())
        assert with_route.route


@pytest.mark.parametrize("seed", range(6))
def test_what_bars_a_way_bars_it_whatever_is_free_elsewhere(seed: int) -> None:
    """With all of the room free that is farther from a bar than half the width, nobody that wide gets through yet."""
    free = aisle(seed)
    x0, y0, x1, y1 = free.bounds
    trip = _trip(free)
    for width in (400.0, 700.0, 1000.0, 1300.0, 1600.0):
        bars = trip.bars(width)
        assert not (bars and goes(trip, width))
        for low, high in bars[:3]:
            near = (low - width / 2 - 10, high + width / 2 + 10)
            kept = free.union(box(x0, y0, max(near[0], x0), y1)).union(box(min(near[1], x1), y0, x1, y1))
            assert not goes(_trip(kept), width)


def _trip(free: BaseGeometry) -> Trip:
    """Return the trip from one end of a floor to the other."""
    x0, y0, x1, y1 = free.bounds
    start, goal = (LineString([(x, y0 + 1), (x, y1 - 1)]) for x in (x0 + 1, x1 - 1))
    return Trip(free=free, core=core(free, 100.0, 2000.0), start=start, goal=goal)


def test_a_bar_is_found_where_a_gap_is_too_narrow() -> None:
    """Two walls leave gaps of 400 and 500: both bar somebody 600 wide, the first also one 450 wide, none one of 390."""
    walls = [box(3000, y, 3100, z) for y, z in ((-900, 0), (400, 900))]
    walls += [box(6000, y, 6100, z) for y, z in ((-900, -100), (400, 900))]
    trip = _trip(box(0, -900, 9000, 900).difference(MultiPolygon(walls)))

    def barred(width: float, x: float) -> bool:
        return any(low - width / 2 <= x <= high + width / 2 for low, high in trip.bars(width))

    assert (barred(600, 3050), barred(600, 6050), barred(600, 4500)) == (True, True, False)
    assert (barred(450, 3050), barred(450, 6050)) == (True, False)
    assert not trip.bars(390)


def test_the_widest_way_is_worked_out_once_for_the_same_zones() -> None:
    """Asked again, a core gives the way that it gave; for other zones it works one out anew."""
    free = aisle(3)
    trip = _trip(free)
    first = widest(trip, 700.0)
    assert widest(trip, 700.0) is first
    other = widest(replace(trip, goal=trip.start), 700.0)
    assert other.limit == "most"
    assert (
        widest(replace(trip, core=Core(make=lambda: trip.core.room, thin=100.0, taken=trip.core.taken)), 700.0) == first
    )


def test_states_with_the_same_things_are_judged_once() -> None:
    """Of three states two are alike: two judgements, and each state its finding."""
    a = stood(thing_of("a", *spread(1, 3).placed["drive"][0].thing.solids), (0.0, 0.0, 0.0))
    layout: Layout = layout_of([a], ("drive", "camp", "sleep"))
    moved = (shifted(a, (5.0, 0.0, 0.0)),)
    layout = replace(layout, placed={**layout.placed, "camp": moved})
    asked: list[str] = []

    def judge(state: str, things: tuple[Placed, ...]) -> list[Finding]:
        asked.append(state)
        return [Finding(rule="r", severity="note", things=(), states=(state,), text=f"{things[0].box.bounds[0]:g}")]

    found = list(by_places(Context(space=room(1), layout=layout, rules=read_rules()), judge))
    assert asked == ["drive", "camp"]
    assert [(f.states, f.text) for f in found] == [(("drive",), "0"), (("camp",), "5"), (("sleep",), "0")]
