"""Floors: the whole floor in panels that a person lifts, on battens or floating."""

from dataclasses import replace
from itertools import combinations
from pathlib import Path
from random import Random
from typing import Any

import pytest
import shapely

from layout.building.rebuild import faults
from layout.jobs.load import Plan, load
from layout.model.panel import Panel
from layout.model.thing import Thing
from layout.space.parts import Hole
from layout.space.space import Space
from layout.things.base import Shop
from layout.things.floor_panels import FloorPanels
from tests.things.built import bought
from tests.things.followed import by_chance, leaning, mass, refused, shop_in, thinner, union, volume


@pytest.fixture(scope="module")
def plan() -> Plan:
    """Return the dog breeder's van."""
    return load(str(Path(__file__).parent / "floor-panels.yaml"))


def _boards(plan: Plan) -> Thing:
    return next(thing for thing in plan.layout.things if thing.name == "boards")


def _spec(**more: Any) -> FloorPanels:
    return FloorPanels(**{"kind": "floor panels", "sheet": "ply", **more})


def _made(shop: Shop, **more: Any) -> Thing:
    return _spec(**more).make("boards", "boards", shop)


def _deep(space: Space) -> Space:
    return replace(space, floor_build_up=40.0)


def _in_room(thing: Thing, panel: Panel) -> shapely.Polygon:
    """Return the shape of a panel on the floor, its holes taken out."""
    assert thing.home is not None
    x, y = panel.at[0] + thing.home[0], panel.at[1] + thing.home[1]

    def placed(ring: tuple[tuple[float, float], ...]) -> list[tuple[float, float]]:
        return [(x + (u if panel.along == "x" else v), y + (v if panel.along == "x" else u)) for u, v in ring]

    return shapely.Polygon(placed(panel.outline), [placed(hole) for hole in panel.holes])


def _whole(space: Space, gap: float) -> shapely.Geometry:
    """Return the floor as it should be covered."""
    holes = shapely.union_all([shapely.Polygon(hole.outline) for hole in space.holes])
    return space.region(0.0).buffer(-gap, join_style="mitre").difference(holes)


def test_the_project_has_no_failing_finding(plan: Plan) -> None:
    """The floor lies in its build-up: no check misses its place, and the referee finds nothing."""
    assert [f.text for f in plan.findings if f.severity == "fail"] == []
    assert faults(_boards(plan)) == ()
    assert plan.layout.unplaced == ()


def test_its_panels_by_hand(plan: Plan) -> None:
    """A floor of 3100 x 1720 less 5 all round: 3090 x 1710. Sheets yield 2420 x 1200, one person lifts 20 kg.

    Rows of 1200 and 510. A row 1200 wide of 11.7 at 690 has 9.69 kg a metre, so at most 2064 long: two pieces. Battens
    of 44 every 380 at most: from 22 to 3068 nine fields of 338.44. The first row's joint lies on the batten nearest
    the middle, the fifth, at 22 + 4 x 338.44 = 1375.78; the second row's one batten on, 338 and so more than 300 away,
    leaves 1714.22.
    """
    boards = _boards(plan)

    assert [(round(p.length, 2), round(p.width, 2)) for p in boards.panels] == [
        (1375.78, 1200.0), (1714.22, 1200.0), (1714.22, 510.0), (1375.78, 510.0),
    ]  # fmt: skip
    # The first begins at 5 and ends at 1380.78; of it the right well takes from 695 on, and from 645 out to 855.
    areas = [p.area for p in boards.panels]
    assert areas[0] == pytest.approx(1375.7778 * 1200 - (1380.7778 - 695) * (855 - 645), abs=1.0)
    assert sum(areas) == pytest.approx(_whole(plan.project.space, 5.0).area, rel=1e-6)


def test_it_hangs_under_the_finished_floor(plan: Plan) -> None:
    """Panels of 11.7 on battens 18 deep: their tops at 0, their feet at -11.7, the battens' at -29.7."""
    boards = _boards(plan)
    assert boards.home is not None

    tops = {round(p.at[2] + boards.home[2] + p.sheet.thickness, 6) for p in boards.panels}
    feet = {round(b.solid.z0 + boards.home[2], 6) for b in boards.battens}
    assert tops == {0.0}
    assert feet == {-29.7}


def test_its_battens_by_hand(plan: Plan) -> None:
    """Ten battens from wall to wall, 1710 long, but where wells or the step stand: from well to well 2 x 645.

    The last is shortened by the rounded corners in front. Between the step at -690 and the left wall less 5 they are
    855 + 690 = 1545 long. Battens need a bolt at both ends and every 400.
    """
    boards = _boards(plan)
    long = [round(b.length) for b in boards.battens]

    assert len(long) == 10
    assert long[:6] == [1710, 1710, 1290, 1290, 1290, 1710]
    assert long[6:9] == [1545, 1545, 1545]
    assert 1580 < long[9] < 1710
    points = [6 if length > 1600 else 5 for length in (1710, 1710, 1290, 1290, 1290, 1710, 1545, 1545, 1545, long[9])]
    assert bought(boards) == {"insert-m8-body": sum(points), "bolt-m8x40": sum(points)}


@pytest.mark.parametrize("seed", range(25))
def test_it_covers_the_whole_floor_once(seed: int) -> None:
    """In rooms by chance: the panels cover the floor less the gap, none on another, each within what a person lifts."""
    space, dice = by_chance(seed), Random(seed)
    step = ((1000.0, -900.0), (1900.0, -900.0), (1900.0, -720.0), (1000.0, -720.0))
    hatch = ((1000.0, 0.0), (1250.0, 0.0), (1250.0, 250.0), (1000.0, 250.0))
    space = replace(
        space, holes=tuple(Hole(name=n, outline=o, depth=120.0) for n, o in (("step", step), ("hatch", hatch)))
    )
    t, heaviest = dice.choice([9.2, 11.6, 12.0, 17.7]), dice.uniform(8, 25)
    bar, lay = dice.choice([None, "batten"]), dice.choice(["along", "across"])
    thing = _made(shop_in(space, ply=t), gap=7.0, heaviest=heaviest, bar=bar, lay=lay, spacing=350.0)

    assert faults(thing) == ()
    assert union(thing) == pytest.approx(volume(thing), rel=1e-6)
    assert thing.mass_kg == pytest.approx(mass(thing))
    shapes = [_in_room(thing, panel) for panel in thing.panels]
    whole = _whole(space, 7.0)
    assert shapely.union_all(shapes).symmetric_difference(whole).area < 1.0
    assert max(a.intersection(b).area for a, b in combinations(shapes, 2)) < 1.0
    assert all(panel.mass_kg <= heaviest for panel in thing.panels)
    assert all(max(p.length, p.width) <= 2420 and min(p.length, p.width) <= 1200 for p in thing.panels)


@pytest.mark.parametrize("seed", range(12))
def test_joints_lie_on_battens_and_are_staggered(seed: int) -> None:
    """On battens, both panels of each end joint lie on one; joints of rows side by side are 300 apart, if they can be."""
    dice = Random(seed)
    space = _deep(leaning(floor={"length": str(dice.randint(2600, 4200)), "width": "1720"}))
    thing = _made(shop_in(space, ply=12.0), bar="batten", spacing=dice.uniform(250, 420), heaviest=14.0)
    battens = [shapely.box(*b.solid.bounds) for b in thing.battens]
    shapes = [shapely.Polygon([(p.at[0] + u, p.at[1] + v) for u, v in p.outline]) for p in thing.panels]

    ends = set()
    for a, b in combinations(shapes, 2):
        for edge in shapely.get_parts(a.intersection(b)):
            x0, y0, x1, y1 = edge.bounds
            if y1 - y0 > 1 and x1 - x0 < 1e-6:
                ends.add((round(x0, 3), round(y0), round(y1)))
                bearing = [[on.intersection(shape).area for on in battens if on.intersects(edge)] for shape in (a, b)]
                assert all(sum(areas) > 10 * (y1 - y0) for areas in bearing)
    assert ends
    for (x, low, high), (other, start, end) in combinations(sorted(ends), 2):
        if high == start or end == low:
            assert abs(x - other) >= 300


def test_the_thickness_of_the_sheet_changes_no_outline() -> None:
    """From 12 to 11.6 thick, with nothing too heavy, every panel has the same outline, its top at the same height."""
    shop = shop_in(_deep(leaning()), ply=12.0)
    things = [_made(s, bar="batten", heaviest=40.0) for s in (shop, thinner(shop, ply=11.6))]

    assert [p.outline for p in things[0].panels] == [p.outline for p in things[1].panels]
    tops = [thing.promise.outside.z1 + thing.home[2] for thing in things if thing.promise and thing.home]
    assert tops == pytest.approx([0.0, 0.0])


def test_no_strip_is_narrower_than_a_hand() -> None:
    """A floor 1250 wide in sheets of 1200 would leave 50: the two rows are 620 and 620, not 1200 and 40."""
    space = _deep(leaning(floor={"length": "3050", "width": "1286"}, walls={}, wheel_wells=[], obstacles={}))
    thing = _made(shop_in(space, ply=12.0))

    assert {round(p.width) for p in thing.panels} == {620}


def test_an_oversize_is_left_on_at_the_rim_and_off_the_sheet() -> None:
    """Sawn 10 larger, rows are 1190 at most, so that a sheet of 1200 yields them."""
    thing = _made(shop_in(_deep(leaning()), ply=12.0), oversize=10.0)

    assert {p.oversize for p in thing.panels} == {10.0}
    assert max(min(p.cut_length, p.cut_width) for p in thing.panels) == pytest.approx(1200.0)


@pytest.mark.parametrize(
    ("more", "key", "words"),
    [
        ({"count": 2}, "count", "one floor"),
        ({"bar": "batten"}, "sheet", "is 30 deep with what is under it, but space: build_up: floor: leaves it 25"),
        ({"piece": (2000.0, 100.0)}, "piece", "at least 150 wide"),
        ({"heaviest": 0.2}, "heaviest", "too little for any piece"),
        ({"sheet": "oak"}, "sheet", "no sheet 'oak'"),
    ],
)
def test_bad_sizes_are_refused(more: dict[str, Any], key: str, words: str) -> None:
    """Each refusal names the key and says what is wrong."""
    found, text = refused(_spec(**more), shop_in(leaning(), ply=12.0))

    assert words in text
    assert found == key


def test_battens_too_far_apart_are_refused() -> None:
    """Where pieces must be shorter than the battens are apart, no joint can lie on one."""
    found, text = refused(_spec(bar="batten", spacing=1500.0, heaviest=5.0), shop_in(_deep(leaning()), ply=12.0))

    assert (found, "bring spacing: down" in text) == ("spacing", True)


def test_a_floor_in_two_places_is_refused() -> None:
    """Where a well reaches across the whole room there are two floors."""
    space = _deep(leaning(obstacles={"tank": {"x": ["1000", "1200"], "y": ["-900", "900"], "z": ["0", "300"]}}))
    found, text = refused(_spec(), shop_in(space, ply=12.0))

    assert (found, "in 2 places" in text) == ("gap", True)
