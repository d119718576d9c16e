"""What the shop saws for a builder with a small car. The figures are the tests' own, reckoned by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layout.cutting.engine import plan_cuts
from layout.cutting.openings import openings
from layout.cutting.shop import least_cuts
from layout.cutting.shop_choice import most_of
from layout.cutting.shop_sides import ShopRules, equal_parts
from layout.cutting.values import Forced, Opening, Way
from layout.errors import NotEnoughSheetsError, PartTooLargeError
from layout.model.cutting import CutJob, CutPlan, Grain, Part, Region, Shop, Stock
from tests.cutting.opened import most_cut, one_sheet

TICKS = 8000
SHEET = Stock(name="full", material="12", length=2440, width=1220, price=50.0)
SHOP = Shop(cuts=6, narrowest=300, kerf=3.2, tolerance=2, trim=5, car=(1250, 950))
SIDE = Part(name="side", material="12", length=600, width=400, count=20)


def _job(grain: Grain = "free", high: float = 400, shop: Shop = SHOP, count: int = 20) -> CutJob:
    side = replace(SIDE, grain=grain, width=high, count=count)
    return CutJob(parts=(side,), stocks=(SHEET,), kerf=2.4, trim=3, shop=shop)


def _pieces(opening: Opening) -> list[tuple[float, float]]:
    """Return the sizes in mm of what the shop sends home, from the shop's cuts alone."""
    found, waiting = [], [(opening.length, opening.width, opening.forced)]
    while waiting:
        length, width, forced = waiting.pop()
        if forced is None or forced.by == "home":
            found.append((length / TICKS, width / TICKS))
            continue
        waiting += _both(length, width, forced)
    return sorted(found)


def _both(length: int, width: int, cut: Forced) -> list[tuple[int, int, Forced | None]]:
    if cut.axis:
        return [(length, cut.at, cut.low), (length, width - cut.at - cut.kerf, cut.high)]
    return [(cut.at, width, cut.low), (length - cut.at - cut.kerf, width, cut.high)]


def _quarters(job: CutJob) -> Opening:
    """Return the opening with one crosscut at mid-length and one rip each: (2440 - 3.2) / 2, (1220 - 3.2) / 2."""
    return next(opening for opening in openings(job, "12") if _pieces(opening) == [(1218.4, 608.4)] * 4)


def test_four_quarters() -> None:
    """Protects the arithmetic of an opening: 5 mm off what the shop sawed, 3 mm off the factory edges."""
    blanks = [(b.x / TICKS, b.y / TICKS, b.length / TICKS, b.width / TICKS) for b in _quarters(_job()).blanks]
    assert sorted(blanks) == [
        (3.0, 3.0, 1210.4, 600.4),
        (3.0, 616.6, 1210.4, 600.4),
        (1226.6, 3.0, 1210.4, 600.4),
        (1226.6, 616.6, 1210.4, 600.4),
    ]


@pytest.mark.parametrize(
    ("grain", "high", "each"),
    [
        # 3 × 400 + 2 × 2.4 = 1204.8 goes into 1218.4 - 5 - 3 = 1210.4; 600 goes into 608.4 - 5 - 3 = 600.4.
        ("across", 400, 12),
        # Locked along: 2 × 600 + 2.4 = 1202.4 by 400.
        ("along", 400, 8),
        # 3 × 405 + 2 × 2.4 = 1219.8 does not go into 1210.4: a row is lost.
        ("across", 405, 8),
    ],
)
def test_sides_from_four_quarters(grain: Grain, high: float, each: int) -> None:
    """Protects the trims of a blank from the shop: what goes on four quarters of a sheet, by hand."""
    job = _job(grain, high)
    assert sum(part.count for part in one_sheet(job, _quarters(job)).job.parts) == each


@pytest.mark.parametrize(
    ("grain", "high", "at_least"),
    [
        ("across", 400, 12),
        # Cut unevenly a sheet yields more than its quarters do: 608 and 610 by the full width with 3 sides each
        # (3 × 400 + 2 × 2.4 = 1204.8 of 1214), and the rest of 1215.6 ripped in two with 2 each, 10 in all.
        ("along", 400, 10),
        # 3 × 405 + 2 × 2.4 + 8 = 1227.8 goes into the car, and two go into the other 1209: 5 columns of 2.
        ("across", 405, 10),
    ],
)
def test_places_that_a_person_would_ask_for(grain: Grain, high: float, at_least: int) -> None:
    """Protects the choice of places: those that just leave room for rows of the part are among the openings."""
    assert most_cut(_job(grain, high)) >= at_least


@pytest.mark.parametrize(("grain", "sheets"), [("free", 2), ("across", 2), ("along", 2)])
def test_twenty_sides_are_planned(grain: Grain, sheets: int) -> None:
    """Protects the builder with a small car: 12 sides a sheet, or 10 with the grain locked, so two sheets do."""
    plan = plan_cuts(_job(grain))
    assert len(plan.materials[0].sheets) == sheets
    assert all(len(_shop_cuts(sheet.root)) <= 6 for sheet in plan.materials[0].sheets)


def test_twelve_sides_take_one_sheet() -> None:
    """Protects the figure of the scenario: a sheet yields twelve sides."""
    assert len(plan_cuts(_job("across", count=12)).materials[0].sheets) == 1


def _shop_cuts(root: Region) -> list[Region]:
    waiting, found = [root], []
    while waiting:
        region = waiting.pop()
        waiting += region.pieces
        found += [region] if region.cut and region.cut.by == "shop" else []
    return found


def test_every_piece_gets_into_the_car() -> None:
    """Protects the way home: each piece fits the car either way round and is no narrower than the shop saws."""
    found = openings(_job(), "12")
    for length, width in (piece for opening in found for piece in _pieces(opening)):
        assert max(length, width) <= 1250
        assert 300 <= min(length, width) <= 950


def test_a_sheet_that_needs_no_shop() -> None:
    """Protects the free way: a sheet that gets into the car whole can do all that its pieces can."""
    found = openings(_job(shop=replace(SHOP, car=(2500, 1250))), "12")
    assert [_pieces(opening) for opening in found] == [[(2440.0, 1220.0)]]


def test_no_cuts_allowed() -> None:
    """Protects a shop that only sells: with 0 cuts the sheet goes home whole, or not at all."""
    shop = replace(SHOP, cuts=0, car=(2500, 1250))
    assert [_pieces(opening) for opening in openings(_job(shop=shop), "12")] == [[(2440.0, 1220.0)]]


@pytest.mark.parametrize(
    ("shop", "words"),
    [
        ({"cuts": 1}, ["1250 × 950", "at most 1 cut a sheet", "'full' (2440 × 1220 mm) 2 would do"]),
        ({"cuts": 0}, ["at most 0 cuts a sheet", "2 would do"]),
        ({"car": (500, 500)}, ["500 × 500", "at most 6 cuts", "14 would do"]),
        ({"car": (280, 280)}, ["no number of cuts does while no piece may be narrower than 300 mm"]),
    ],
)
def test_a_sheet_that_does_not_get_into_the_car(shop: dict[str, object], words: list[str]) -> None:
    """Protects the reader of the error: it says what the car takes and how many cuts would do."""
    with pytest.raises(NotEnoughSheetsError) as error:
        openings(_job(shop=replace(SHOP, **shop)), "12")  # type: ignore[arg-type]
    assert [word for word in words if word not in str(error.value)] == []


def test_a_part_larger_than_the_car() -> None:
    """Protects the reader of the error: a part that no piece from the shop holds is named, with the car."""
    large = replace(SIDE, length=1300, width=500, count=1)
    with pytest.raises(PartTooLargeError) as error:
        plan_cuts(replace(_job(), parts=(large,)))
    assert [word for word in ("'side'", "1250 × 950", "home", "6 cuts") if word not in str(error.value)] == []


def test_a_part_as_large_as_the_car_allows() -> None:
    """Protects a large part: 1242 × 942 and 8 mm of trims each way are just the car's 1250 × 950.

    Beside it 1220 - 950 - 3.2 = 266.8 mm are left: for a shop that saws nothing under 300 that is too narrow, and
    the part may have 1220 - 300 - 3.2 - 8 = 908.8 mm at most.
    """
    large = replace(SIDE, length=1242, width=942, count=1, grain="along")
    thin = _job(shop=replace(SHOP, narrowest=250))
    assert _held(replace(thin, parts=(large,)))
    assert not _held(replace(thin, parts=(replace(large, length=1242.1),)))
    assert not _held(replace(_job(), parts=(large,)))
    assert _held(replace(_job(), parts=(replace(large, width=908.8),)))
    assert not _held(replace(_job(), parts=(replace(large, width=908.9),)))


def _held(job: CutJob) -> bool:
    """Return whether the one part of a job, grain along, fits on some opening."""
    part = job.parts[0]
    way = Way(length=round(part.length * TICKS), width=round(part.width * TICKS), turned=False)
    return any(opening.holds(way) for opening in openings(job, part.material))


def test_a_single_part_among_many() -> None:
    """Protects a part of which one is wanted: with many others to cut, some opening still holds it."""
    many = tuple(
        replace(SIDE, name=f"s{i}", length=700 - 9 * i, width=300 + 7 * i, count=9, grain="along") for i in range(25)
    )
    large = replace(SIDE, name="large", length=1242, width=900, count=1, grain="along")
    found = openings(replace(_job(), parts=(*many, large)), "12")
    way = Way(length=1242 * TICKS, width=900 * TICKS, turned=False)
    assert any(opening.holds(way) for opening in found)
    assert len(found) <= 62


def test_few_cuts_are_preferred() -> None:
    """Protects the errand: where two cuts yield as much as three, two are offered first."""
    first = _pieces(openings(_job("across", count=12), "12")[0])
    assert len(first) == 3


@pytest.mark.parametrize(
    ("car", "cuts", "least"),
    [((1250, 950), 3.2, 2), ((1250, 1250), 3.2, 1), ((2440, 1220), 3.2, 0), ((620, 620), 0, 7), ((10, 10), 0, None)],
)
def test_least_cuts(car: tuple[float, float], cuts: float, least: int | None) -> None:
    """Protects the figure in the error: k by r equal pieces take k * r - 1 cuts."""
    rules = ShopRules.of(Shop(cuts=6, kerf=cuts, car=car, narrowest=20), _job())
    assert least_cuts(2440 * TICKS, 1220 * TICKS, rules) == least


def test_equal_parts() -> None:
    """Protects what is asked of the shop: tenths of a millimetre, nothing lost."""
    assert equal_parts(2440 * TICKS, 3, 32 * TICKS // 10) == (8112 * TICKS // 10,) * 3
    sizes = equal_parts(1000 * TICKS, 3, 0)
    assert (sizes[0], sum(sizes)) == (3333 * TICKS // 10, 1000 * TICKS)


def test_rows_laid_both_ways() -> None:
    """Protects the estimate by which openings are chosen: 2 of 3 × 2 across and 1 along fill 7 × 3 in the end."""
    ways = (Way(length=3, width=2, turned=False), Way(length=2, width=3, turned=True))
    assert most_of(7, 3, ways, 0) == 3
    assert most_of(7, 3, ways[:1], 0) == 2
    assert most_of(1, 1, ways, 0) == 0


def test_a_plan_numbers_the_shop_first() -> None:
    """Protects the two lists, one for the shop and one for home."""
    plan: CutPlan = plan_cuts(_job())
    for sheet in plan.materials[0].sheets:
        numbers = sorted(region.cut.number for region in _shop_cuts(sheet.root) if region.cut)
        assert numbers == list(range(1, len(numbers) + 1))
