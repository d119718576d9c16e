"""Warnings about a finished plan, and values of shop, trim and damage that cannot be meant."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layout.cutting.handling import handling
from layout.cutting.job_check import check_job
from layout.cutting.referee import referee
from layout.errors import ValueFaultError
from layout.model.cutting import CutJob, CutPlan, Damage, EdgeTrim, Part, Shop, Stock
from tests.cutting.opened import all_sheets

SHEET = Stock(name="full", material="ply", length=2440, width=1220)
STRIP = Part(name="strip", material="ply", length=400, width=50, count=4, grain="along")
SHOP = Shop(cuts=6, car=(1250, 950))


def _plan(**changes: object) -> CutPlan:
    return all_sheets(replace(CutJob(parts=(STRIP,), stocks=(SHEET,), kerf=3), **changes))[0]  # type: ignore[arg-type]


def test_nothing_to_beware_of() -> None:
    """Protects against idle warnings: what the owner did not give is not warned of."""
    assert handling(_plan()) == ()


def test_cuts_longer_than_the_guide() -> None:
    """Protects a straight edge: rips of 2440 mm along a guide of 1400 mm are named with their sheet and numbers."""
    (only,) = handling(_plan(longest_cut=1400))
    assert only.startswith("ply, sheet 1: cuts 1, 3, 5 and 7 are up to 2440 mm long, but the guide takes 1400 mm")
    assert handling(_plan(longest_cut=2440)) == ()


def test_a_cut_that_the_shop_makes_is_no_concern() -> None:
    """Protects against idle warnings: the shop's saw needs no guide, and no hands of the owner."""
    job = CutJob(parts=(STRIP,), stocks=(SHEET,), shop=SHOP, longest_cut=1250, smallest_hold=40)
    for plan in all_sheets(job):
        assert handling(plan) == ()


def test_pieces_too_small_to_hold() -> None:
    """Protects fingers: a strip of 50 mm sawn across is under 80 mm whatever comes first."""
    narrow = replace(SHEET, width=50)
    (only,) = handling(_plan(smallest_hold=80, stocks=(narrow,)))
    for words in (
        "ply, sheet 1: cuts 1, 2, 3 and 4 go",
        "down to 50 mm across",
        "under 80 mm",
        "clamp",
        "saw's manual",
    ):
        assert words in only
    assert handling(_plan(smallest_hold=50, stocks=(narrow,))) == ()


def test_small_pieces_are_avoided() -> None:
    """Protects fingers: strips in rows are cut across together, and only then ripped apart."""
    plan = _plan(smallest_hold=80)
    assert referee(plan) == ()
    assert handling(plan) == ()
    assert handling(replace(_plan(), job=replace(plan.job, smallest_hold=80))) != ()


def test_one_small_piece() -> None:
    """Protects the grammar of one."""
    (only,) = handling(_plan(smallest_hold=80, parts=(replace(STRIP, count=1),), stocks=(replace(SHEET, width=50),)))
    assert "cut 1 goes through a piece" in only


def test_a_missing_part_that_the_car_does_not_take() -> None:
    """Protects the reader: of the missing parts those too large for the car are named."""
    plan = _plan(shop=SHOP)
    long = Part(name="long", material="ply", length=1300, width=100, count=1)
    job = replace(plan.job, parts=(*plan.job.parts, long, replace(long, name="short", length=500)))
    plan = replace(plan, job=job, materials=(replace(plan.materials[0], unplaced=("long", "short")),))
    (only,) = handling(plan)
    assert only.startswith("part 'long' is 1300 × 100 mm and does not get into the car, which takes 1250 × 950 mm")
    assert handling(replace(plan, job=replace(job, shop=None))) == ()


GOOD = CutJob(
    parts=(STRIP,),
    stocks=(replace(SHEET, trim=EdgeTrim(left=3), damage=(Damage(x=0, y=0, length=5, width=5),), thickness=11.7),),
    shop=SHOP,
    longest_cut=1400,
    smallest_hold=80,
)


def _sheet(**changes: object) -> CutJob:
    return replace(GOOD, stocks=(replace(GOOD.stocks[0], **changes),))  # type: ignore[arg-type]


def test_a_job_that_makes_sense() -> None:
    """Protects the table below: what it breaks was whole."""
    check_job(GOOD)


@pytest.mark.parametrize(
    ("job", "path"),
    [
        (replace(GOOD, shop=replace(SHOP, cuts=-1)), "shop.cuts"),
        (replace(GOOD, shop=replace(SHOP, cuts=51)), "shop.cuts"),
        (replace(GOOD, shop=replace(SHOP, narrowest=-1)), "shop.narrowest"),
        (replace(GOOD, shop=replace(SHOP, kerf=float("nan"))), "shop.kerf"),
        (replace(GOOD, shop=replace(SHOP, tolerance=5.1)), "shop.tolerance"),
        (replace(GOOD, shop=replace(SHOP, trim=1.9)), "shop.tolerance"),
        (replace(GOOD, shop=replace(SHOP, trim=float("inf"))), "shop.trim"),
        (replace(GOOD, shop=replace(SHOP, car=(1250, 0))), "shop.car"),
        (replace(GOOD, shop=replace(SHOP, car=(float("nan"), 950))), "shop.car"),
        (replace(GOOD, longest_cut=-1), "longest_cut"),
        (replace(GOOD, smallest_hold=float("nan")), "smallest_hold"),
        (replace(GOOD, prefer=("offcut", "offcut")), "prefer"),
        (replace(GOOD, prefer=("speed",)), "prefer"),  # type: ignore[arg-type]
        (_sheet(trim=EdgeTrim(top=-1)), "sheets.full.trim.top"),
        (_sheet(damage=(Damage(x=-1, y=0, length=5, width=5),)), "sheets.full.damage.x"),
        (_sheet(damage=(Damage(x=0, y=1220, length=5, width=5),)), "sheets.full.damage.y"),
        (_sheet(damage=(Damage(x=0, y=0, length=0, width=5),)), "sheets.full.damage.length"),
        (_sheet(damage=(Damage(x=0, y=0, length=5, width=float("nan")),)), "sheets.full.damage.width"),
        (_sheet(thickness=0.0), "sheets.full.thickness"),
        (_sheet(offcut=True, price=5.0), "sheets.full.price"),
    ],
)
def test_a_job_that_makes_no_sense(job: CutJob, path: str) -> None:
    """Protects the search: a wrong value is named and never searched with."""
    with pytest.raises(ValueFaultError) as error:
        check_job(job)
    assert ".".join(error.value.path) == path
