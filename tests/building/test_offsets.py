"""Offsets: a curved edge from its table is the edge itself."""

from itertools import pairwise
from random import Random

import pytest
import shapely

from layout.building.offsets import Offsets, offsets
from layout.files.rules import read_building
from layout.model.panel import Panel, Sheet
from layout.model.solid import Point
from layout.things.follow import end_outline
from layout.things.partition import Partition
from tests.things.followed import by_chance, leaning, shop_in

PLY = Sheet(material="ply", thickness=12.0, density_kg_m3=650.0)


def _panel(outline: tuple[Point, ...], oversize: float = 0.0) -> Panel:
    return Panel(name="end", sheet=PLY, outline=outline, at=(0.0, 0.0, 0.0), along="z", across="y", oversize=oversize)


def _told(table: Offsets, at: float) -> list[float]:
    """Return what the rows say of a place by straight lines between them: two values at a step."""
    return [
        a[1] + (b[1] - a[1]) * (at - a[0]) / (b[0] - a[0])
        for a, b in pairwise(table.rows)
        if a[0] <= at <= b[0] and a[0] < b[0]
    ]


def _real(panel: Panel, table: Offsets, at: float) -> float:
    """Return how far the edge is from the base line at a place, from the outline itself."""
    line = [(at, -9e3), (at, 9e3)] if table.along == "length" else [(-9e3, at), (9e3, at)]
    x0, y0, x1, y1 = shapely.Polygon(panel.outline).intersection(shapely.LineString(line)).bounds
    across = (y0, y1) if table.along == "length" else (x0, x1)
    return float(across[1] - table.base if table.side in ("top", "right") else table.base - across[0])


def test_the_end_of_a_tall_unit_by_hand() -> None:
    """From its upright front, every 50 up and at each bend: 387.83 at the foot, 407 at 575, 389, 317, 306.29 at 1500.

    Between foot and bend it grows by 20 in 600: at 100 it is 387.83 + 100 / 30 = 391.17.
    """
    end = end_outline(leaning(), (700.0, 1200.0), (0.0, 1500.0), 430.0, left=True, gap=25.0)
    tables = offsets(_panel(tuple((z, depth) for depth, z in end), oversize=10.0), read_building()["following"]["tick"])

    assert [(table.side, table.along, table.base, table.whole) for table in tables] == [("top", "length", 0.0, True)]
    rows = dict(tables[0].rows)
    assert sorted(rows) == sorted({*(50.0 * i for i in range(31)), 575.0, 975.0, 1475.0})
    assert [rows[z] for z in (0.0, 100.0, 575.0, 975.0, 1475.0, 1500.0)] == pytest.approx(
        [387.8333, 391.1667, 407.0, 389.0, 317.0, 306.2857], abs=1e-3
    )
    assert tables[0].note == "cut to fit, oversize by 10"


@pytest.mark.parametrize("seed", range(15))
def test_rows_are_the_edge_of_a_partition(seed: int) -> None:
    """For partitions in rooms by chance, in one piece and in two, the rows tell every edge to 0.2 mm, bends included."""
    dice = Random(seed)
    spec = Partition(
        kind="partition", x=dice.uniform(60, 1850), sheet="ply", gap=6.0, bar="batten", piece=(3000.0, 2500.0),
        heaviest=60.0, pieces=dice.choice([1, 2]),
    )  # fmt: skip
    thing = spec.make("wall", "wall", shop_in(by_chance(seed), ply=12.0))

    for panel in thing.panels:
        tables = offsets(panel, 50.0)
        assert tables
        for table in tables:
            assert table.whole
            assert all(b[0] - a[0] <= 50.0 + 1e-6 for a, b in pairwise(table.rows))
            for at in (
                *(p[0] for p in table.rows),
                *(dice.uniform(0.01, table.rows[-1][0] - 0.01) for _ in range(100)),
            ):
                inside = min(max(at, 1e-6), table.rows[-1][0] - 1e-6)
                assert min(abs(told - _real(panel, table, inside)) for told in _told(table, inside)) < 0.2


@pytest.mark.parametrize("seed", range(15))
def test_the_outline_can_be_built_again_from_the_rows(seed: int) -> None:
    """Base lines and rows alone give back the whole outline of a piece with one straight side."""
    spec = Partition(kind="partition", x=300.0, sheet="ply", gap=6.0, bar="batten", pieces=2)
    thing = spec.make("wall", "wall", shop_in(by_chance(seed), ply=12.0))

    for panel in thing.panels:
        tables = offsets(panel, 50.0)
        assert len(tables) == 1
        table = tables[0]
        sign = 1 if table.side in ("top", "right") else -1
        edge = [(at, table.base + sign * mm) for at, mm in table.rows]
        ring = [*edge, (table.rows[-1][0], table.base), (table.rows[0][0], table.base)]
        own = shapely.Polygon([p if table.along == "length" else p[::-1] for p in ring])
        assert own.symmetric_difference(shapely.Polygon(panel.outline)).area < 0.2 * panel.length


def test_a_step_has_two_rows_at_one_place() -> None:
    """An end notched 250 x 68 round a wheel well goes from 68 to 220 at 250: both stand in the table."""
    end = _panel(((0.0, 0.0), (250.0, 0.0), (400.0, 0.0), (400.0, 230.0), (250.0, 220.0), (250.0, 68.0), (0.0, 68.0)))

    (table,) = offsets(end, 50.0)

    assert [mm for at, mm in table.rows if at == 250.0] == [68.0, 220.0]


def test_both_edges_curved_are_told_from_the_middle() -> None:
    """A board that leans in on both sides has two tables, from one base line up its middle."""
    board = _panel(((0.0, 0.0), (1000.0, 100.0), (1000.0, 1500.0), (0.0, 1600.0)))

    tables = offsets(board, 50.0)

    assert [(t.side, t.base) for t in tables] == [("bottom", 800.0), ("top", 800.0)]
    assert [t.rows[-1] for t in tables] == [(1000.0, 700.0), (1000.0, 700.0)]
    assert tables[0].note == "cut to the line"


def test_a_doorway_is_told_along_the_width() -> None:
    """With a notch in its foot a board is in two stretches at that height, but in one at each place across: told so."""
    outline = ((0.0, 0.0), (1000.0, 0.0), (1000.0, 800.0), (0.0, 800.0), (0.0, 500.0), (300.0, 500.0), (300.0, 200.0),
               (0.0, 200.0))  # fmt: skip

    (table,) = offsets(_panel(outline), 50.0)

    assert (table.side, table.along, table.base, table.whole) == ("left", "width", 1000.0, True)
    assert [mm for at, mm in table.rows if at == 200.0] == [1000.0, 700.0]


def test_an_undercut_both_ways_says_that_it_is_not_whole() -> None:
    """With a notch in its top and another in its side no direction meets the board in one stretch: the table says so."""
    board = shapely.box(0, 0, 1000, 1000).difference(shapely.box(400, 500, 600, 1000))
    board = board.difference(shapely.box(800, 200, 1000, 300))
    outline = tuple((float(x), float(y)) for x, y in board.exterior.coords[:-1])

    assert {table.whole for table in offsets(_panel(outline), 50.0)} == {False}


def test_a_rectangle_has_no_table() -> None:
    """Straight edges need no offsets, nor does a corner in the middle of one."""
    assert offsets(_panel(((0.0, 0.0), (500.0, 0.0), (1000.0, 0.0), (1000.0, 300.0), (0.0, 300.0))), 50.0) == ()
