"""The referee on trims edge by edge, damage, the shop, the car, offcuts, missing parts and claims of cost."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from layout.cutting.referee import referee
from layout.cutting.referee_fit import can_be_carried, may_fit
from layout.model.cutting import (
    Cut,
    CutJob,
    CutPlan,
    CutSheet,
    Damage,
    EdgeTrim,
    MaterialPlan,
    Part,
    Region,
    Saws,
    Shop,
    Stock,
)
from tests.cutting.opened import all_sheets

TICK = 0.000125
TRIM = EdgeTrim(left=2, right=0, bottom=4, top=0)
DENT = Damage(x=940, y=450, length=60, width=50)
FULL = Stock(name="full", material="ply", length=1000, width=500, price=10.0, count=1, trim=TRIM, damage=(DENT,))
SHOP = Shop(cuts=1, narrowest=200, kerf=4, tolerance=1, trim=5, car=(500, 500))
A = Part(name="a", material="ply", length=400, width=200, count=2, grain="along")
JOB = CutJob(parts=(A,), stocks=(FULL,), kerf=3.0, shop=SHOP)

Box = tuple[float, float, float, float]
Change = Callable[[CutPlan], CutPlan]


def _cut(
    box: Box, number: int, across: Any, at: float, *pieces: Region, kerf: float = 3.0, by: Saws = "home"
) -> Region:
    cut = Cut(number=number, across=across, at=at, kerf=kerf, by=by)
    return Region(x=box[0], y=box[1], length=box[2], width=box[3], cut=cut, pieces=pieces)


def _leaf(box: Box, kind: Any, part: str = "") -> Region:
    return Region(x=box[0], y=box[1], length=box[2], width=box[3], kind=kind, part=part)


def _left() -> Region:
    """Return the piece at the factory's left edge: 2 mm skimmed off it, 5 mm off the shop's edge, 4 mm off below."""
    row = _cut((2, 4, 491, 200), 6, "length", 400,
               _leaf((2, 4, 400, 200), "part", "a"), _leaf((405, 4, 88, 200), "waste"))  # fmt: skip
    sound = _cut((2, 4, 491, 496), 5, "width", 200, row, _leaf((2, 207, 491, 293), "offcut"))
    below = _cut((2, 0, 491, 500), 4, "width", 1, _leaf((2, 0, 491, 1), "waste"), sound)
    beside = _cut((2, 0, 496, 500), 3, "length", 491, below, _leaf((496, 0, 2, 500), "waste"))
    return _cut((0, 0, 498, 500), 2, "length", 0, beside, kerf=2)


def _right() -> Region:
    """Return the other piece: 5 mm off the shop's edge, 4 mm off below, and cut below the dent at 450."""
    row = _cut((507, 4, 493, 200), 11, "length", 400,
               _leaf((507, 4, 400, 200), "part", "a"), _leaf((910, 4, 90, 200), "waste"))  # fmt: skip
    sound = _cut((507, 4, 493, 446), 10, "width", 200, row, _leaf((507, 207, 493, 243), "offcut"))
    clear = _cut((507, 4, 493, 496), 9, "width", 446, sound, _leaf((507, 453, 493, 47), "waste"))
    below = _cut((507, 0, 493, 500), 8, "width", 1, _leaf((507, 0, 493, 1), "waste"), clear)
    return _cut((502, 0, 498, 500), 7, "length", 2, _leaf((502, 0, 2, 500), "waste"), below)


def _good() -> CutPlan:
    root = _cut((0, 0, 1000, 500), 1, "length", 498, _left(), _right(), kerf=4, by="shop")
    sheet = CutSheet(number=1, stock=FULL, root=root)
    plan = MaterialPlan(material="ply", sheets=(sheet,), cost=10.0, bound=1, proven=True, least_cost=10.0)
    return CutPlan(job=JOB, materials=(plan,))


def _root(change: Callable[[Region], Region], *path: int) -> Change:
    def inside(region: Region, path: tuple[int, ...]) -> Region:
        if not path:
            return change(region)
        pieces = list(region.pieces)
        pieces[path[0]] = inside(pieces[path[0]], path[1:])
        return replace(region, pieces=tuple(pieces))

    def changed(plan: CutPlan) -> CutPlan:
        sheet = plan.materials[0].sheets[0]
        return _material(sheets=(replace(sheet, root=inside(sheet.root, path)),))(plan)

    return changed


def _put(*path: int, **changes: Any) -> Change:
    return _root(lambda region: replace(region, **changes), *path)


def _saw(*path: int, **changes: Any) -> Change:
    def change(region: Region) -> Region:
        assert region.cut is not None
        return replace(region, cut=replace(region.cut, **changes))

    return _root(change, *path)


def _material(**changes: Any) -> Change:
    return lambda plan: replace(plan, materials=(replace(plan.materials[0], **changes),))


def _job(**changes: Any) -> Change:
    return lambda plan: replace(plan, job=replace(plan.job, **changes))


def _shop(**changes: Any) -> Change:
    return _job(shop=replace(SHOP, **changes))


def _stock(**changes: Any) -> Change:
    """Return a change of the stock in the job and on the sheet alike."""

    def change(plan: CutPlan) -> CutPlan:
        sheet = plan.materials[0].sheets[0]
        stock = replace(sheet.stock, **changes)
        plan = replace(plan, job=replace(plan.job, stocks=(stock, *plan.job.stocks[1:])))
        return _material(sheets=(replace(sheet, stock=stock),))(plan)

    return change


def _dent(x: float, y: float, length: float, width: float) -> Change:
    return _stock(damage=(DENT, Damage(x=x, y=y, length=length, width=width)))


def _trim(**changes: float) -> Change:
    return _stock(trim=replace(TRIM, **changes))


_ONE_PIECE = _cut((0, 0, 1000, 500), 1, "length", 996, _leaf((0, 0, 996, 500), "offcut"), kerf=4, by="shop")

# What is changed, and words of the sentence that must say so.
BROKEN: dict[str, tuple[Change, str]] = {
    "the shop's kerf is the one at home": (_saw(kerf=3.0), "has a kerf of 3.0"),
    "the shop's saw takes more": (_shop(kerf=4.1), "takes 4.1 mm"),
    "the shop's cut is said to be made at home": (_saw(by="home"), "no cut"),
    "a cut at home is said to be the shop's": (_saw(0, 0, 0, 1, by="shop"), "comes after cut"),
    "a cut that nobody makes": (_saw(0, 0, 0, 1, by="robot"), "made by 'robot'"),
    "more cuts than the shop makes": (_shop(cuts=0), "makes 1 cuts, allowed are 0"),
    "a piece too narrow for the shop": (_shop(narrowest=498 + TICK), "saws nothing under"),
    "a car too short": (_shop(car=(499.9, 480)), "does not get into the car"),
    "a car too narrow": (_shop(car=(600, 498 - TICK)), "does not get into the car"),
    "a car that is narrower than it is long": (_shop(car=(498 - TICK, 600)), "does not get into the car"),
    "no shop at all": (_job(shop=None), "does not go through a shop"),
    "a sheet at home that the shop saws": (_stock(offcut=True, price=0.0), "does not go through a shop"),
    "a shop less exact than its trim": (_shop(tolerance=5.1), "lie within 5.1 mm"),
    "a cut of the shop that only skims": (_saw(0, by="shop"), "leaves 1 pieces"),
    "a cut of the shop that leaves one piece": (_root(lambda _: _ONE_PIECE), "leaves 1 pieces"),
    "a part too near to the shop's edge": (_shop(trim=5 + TICK), "trim of the left edge"),
    "a part too near to the left edge": (_trim(left=2 + TICK), "trim of the left edge"),
    "a part too near to the right edge": (_trim(right=93 + TICK), "trim of the right edge"),
    "a part too near to the lower edge": (_trim(bottom=4 + TICK), "trim of the bottom edge"),
    "a part too near to the upper edge": (_trim(top=296 + TICK), "trim of the top edge"),
    "the job's trim where the sheet has none of its own": (lambda p: _job(trim=3)(_stock(trim=None)(p)), "left edge"),
    "an edge skimmed by more than its trim": (_trim(left=1), "0 mm with a kerf of 2 mm is no cut"),
    "an edge skimmed that needs no trim": (_trim(left=0), "0 mm with a kerf of 2 mm is no cut"),
    "an edge within the sheet skimmed": (_saw(0, 0, 0, 1, at=0, kerf=2), "0 mm with a kerf of 2 mm is no cut"),
    "the shop's edge skimmed": (_saw(1, at=0, kerf=2), "0 mm with a kerf of 2 mm is no cut"),
    "damage under a part": (_dent(100, 100, 10, 10), "has damage of the sheet"),
    "damage a tick into a part from beyond": (_dent(907 - TICK, 0, 50, 100), "has damage of the sheet"),
    "damage a tick into a part from before": (_dent(402, 0, 105 + TICK, 100), "has damage of the sheet"),
    "damage a tick into a part from above": (_dent(600, 204 - TICK, 10, 100), "has damage of the sheet"),
    "damage in an offcut": (_dent(100, 300, 10, 10), "is called offcut, but is waste"),
    "an offcut smaller than is kept": (_job(smallest_offcut=243 + TICK), "is called offcut, but is waste"),
    "a kept rest called waste": (_job(smallest_offcut=90), "is called waste, but is offcut"),
    "a sheet on hand that costs something": (lambda p: _job(shop=None)(_stock(offcut=True)(p)), "earlier job, but costs"),
    "a least cost above the cost": (_material(least_cost=10.1), "this one costs 10.0"),
    "a negative least cost": (_material(least_cost=-1.0), "no plan costs less than -1.0"),
    "a least cost that is no number": (_material(least_cost=float("nan")), "no plan costs less than nan"),
    "proven above the least cost": (_material(least_cost=9.99), "only 9.99 is"),
    "not proven though nothing costs less": (_material(proven=False), "but it is not proven"),
    "fewer than no tries": (_material(tries=-1), "is no effort"),
    "less than no time": (_material(seconds=-0.1), "is no effort"),
    "a time that is no number": (_material(seconds=float("nan")), "is no effort"),
    "an end for no reason": (_material(ended="bored"), "which is no reason"),
    "a missing part that was cut": (_material(unplaced=("a",)), "said to be missing 1 times"),
    "a missing part that nobody asked for": (_material(unplaced=("z",)), "is no part of it"),
}  # fmt: skip


def test_the_right_plan_is_taken() -> None:
    """Protects the table below: what it breaks was whole."""
    assert referee(_good()) == ()


@pytest.mark.parametrize(("change", "words"), BROKEN.values(), ids=BROKEN.keys())
def test_a_broken_plan_is_refused(change: Change, words: str) -> None:
    """Protects the workshop: a plan with this fault is refused, by the rule that it breaks."""
    assert [fault for fault in referee(change(_good())) if words in fault]


@pytest.mark.parametrize(
    "change",
    [
        _job(trim=50),
        _shop(car=(498, 500)),
        _shop(car=(500, 498)),
        _shop(cuts=2, narrowest=498, tolerance=5),
        _trim(right=93, top=296),
        _dent(907, 0, 50, 500),
        _dent(402, 0, 3, 204),
        _material(least_cost=0.0),
        _material(least_cost=5.0, proven=False, tries=7, seconds=0.5, ended="time"),
    ],
    ids=["own trim", "car", "car turned", "shop", "far trims", "dent beside", "dent in waste", "unknown", "not proven"],
)  # fmt: skip
def test_what_is_just_right_is_taken(change: Change) -> None:
    """Protects plans that use all that is allowed: just at the limit is right."""
    assert [fault for fault in referee(change(_good())) if "offcut" not in fault] == []


def test_a_late_errand() -> None:
    """Protects the errand: of many cuts, the shop's last and the first at home swapped are refused."""
    sheet = Stock(name="full", material="ply", length=2440, width=1220)
    job = CutJob(parts=(replace(A, count=9),), stocks=(sheet,), shop=Shop(cuts=4, car=(1250, 950)))
    plan = all_sheets(job)[0]
    cuts = [region.cut for region in _regions(plan) if region.cut]
    last = max(cut.number for cut in cuts if cut.by == "shop")

    def swapped(region: Region) -> Region:
        number = {last: last + 1, last + 1: last}
        cut = region.cut and replace(region.cut, number=number.get(region.cut.number, region.cut.number))
        return replace(region, cut=cut, pieces=tuple(map(swapped, region.pieces)))

    assert referee(plan) == ()
    late = [fault for fault in referee(_root(swapped)(plan)) if "at home" in fault]
    assert late == [f"ply, sheet 1: the shop's cut {last + 1} comes after cut {last} at home"]


def _regions(plan: CutPlan) -> list[Region]:
    waiting, found = [sheet.root for material in plan.materials for sheet in material.sheets], []
    while waiting:
        region = waiting.pop()
        waiting += region.pieces
        found.append(region)
    return found


PLAIN = Stock(name="plain", material="ply", length=1000, width=500, price=10.0, count=1)
B = Part(name="b", material="ply", length=600, width=400, count=2)


def _short() -> CutPlan:
    """Return a plan that lacks one of two parts, since there is one sheet only."""
    row = _cut((0, 0, 1000, 400), 2, "length", 600,
               _leaf((0, 0, 600, 400), "part", "b"), _leaf((603, 0, 397, 400), "offcut"))  # fmt: skip
    root = _cut((0, 0, 1000, 500), 1, "width", 400, row, _leaf((0, 403, 1000, 97), "waste"))
    sheet = CutSheet(number=1, stock=PLAIN, root=root)
    plan = MaterialPlan(material="ply", sheets=(sheet,), cost=10.0, bound=2, proven=False, unplaced=("b",))
    return CutPlan(job=CutJob(parts=(B,), stocks=(PLAIN,)), materials=(plan,))


def _more(**changes: Any) -> Change:
    """Return a change that puts another sheet on offer."""
    return _job(stocks=(PLAIN, replace(PLAIN, **{"name": "more", **changes})))


SHORT: dict[str, tuple[Change, str]] = {
    "a part is missing and nobody says so": (_material(unplaced=(), bound=1), "is cut 1 times, wanted 2"),
    "a part is missing twice": (_material(unplaced=("b", "b")), "said to be missing 2 times, wanted 2"),
    "a sheet of the same size is left": (_stock(count=2), "'plain' is left and takes it"),
    "sheets of the same size are unlimited": (_stock(count=None), "'plain' is left and takes it"),
    "a sheet of another size is left": (_more(length=600, width=400), "'more' is left and takes it"),
    "a sheet is left that takes it turned": (_more(length=400, width=600), "'more' is left and takes it"),
    "a bound above what is used, nothing missing": (
        lambda p: _job(parts=(replace(B, count=1),))(_material(unplaced=())(p)), "but the bound is 2",
    ),
    "a cheaper sheet no smaller was left": (
        lambda p: _material(least_cost=10.0)(_more(price=9.0)(p)), "could be 'more', which costs less",
    ),
    "proven by the bound though a cheaper sheet was left": (
        lambda p: _material(proven=True, bound=1)(_more(price=9.0)(p)), "could be 'more', which costs less",
    ),
    "proven by the bound though a smaller, cheaper sheet would do": (
        lambda p: _material(proven=True, bound=1)(_more(price=9.0, length=600)(p)), "prove nothing",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("change", "words"), SHORT.values(), ids=SHORT.keys())
def test_a_part_is_missing_without_need(change: Change, words: str) -> None:
    """Protects the buyer: a part is left out only for want of sheets, and claims of cost hold."""
    assert [fault for fault in referee(change(_short())) if words in fault]


@pytest.mark.parametrize(
    "change",
    [
        lambda plan: plan,
        _more(length=599.9),
        _more(count=0),
        _more(trim=EdgeTrim(left=401)),
        _more(material="oak"),
        _more(damage=(Damage(x=450, y=0, length=100, width=500),)),
    ],
    ids=["one sheet", "too small", "none of it", "trimmed", "other", "damaged"],
)
def test_a_part_is_missing_for_want_of_sheets(change: Change) -> None:
    """Protects a plan for what is on hand: it may leave out what the sheets do not yield."""
    assert referee(change(_short())) == ()


@pytest.mark.parametrize(
    ("stock", "fits"),
    [
        (PLAIN, True),
        (replace(PLAIN, length=599), False),
        (replace(PLAIN, trim=EdgeTrim(left=200, right=200)), True),
        (replace(PLAIN, trim=EdgeTrim(left=200, right=201, bottom=50, top=51)), False),
        (replace(PLAIN, damage=(Damage(x=600, y=0, length=400, width=500),)), True),
        (replace(PLAIN, damage=(Damage(x=400, y=100, length=200, width=300),)), False),
        (replace(PLAIN, damage=(Damage(x=0, y=0, length=400, width=500),)), True),
        (replace(PLAIN, damage=(Damage(x=0, y=0, length=401, width=100), Damage(x=0, y=400, length=9, width=9))), True),
        (replace(PLAIN, damage=(Damage(x=0, y=0, length=401, width=101),)), False),
    ],
)
def test_whether_a_part_fits(stock: Stock, fits: bool) -> None:
    """Protects the proof: 600 × 400, straight only, on 1000 × 500 less its trims and damage."""
    part = replace(B, grain="along")
    assert may_fit(CutJob(parts=(part,), stocks=(stock,)), part, stock) is fits


@pytest.mark.parametrize(
    ("cuts", "car", "offcut", "carried"),
    [
        (0, (1000, 500), False, True),
        (0, (500, 1000), False, True),
        (0, (999, 600), False, False),
        (1, (500, 500), False, True),
        (1, (400, 500), False, False),
        (2, (400, 500), False, True),
        (0, (400, 500), True, True),
        (0, None, False, True),
    ],
)
def test_whether_a_sheet_can_be_carried(
    cuts: int, car: tuple[float, float] | None, offcut: bool, carried: bool
) -> None:
    """Protects the proof: a cheap sheet that cannot be got home does not make another one dear."""
    shop = Shop(cuts=cuts, car=car, kerf=3)
    stock = replace(PLAIN, offcut=offcut)
    assert can_be_carried(CutJob(parts=(B,), stocks=(stock,), shop=shop), stock) is carried
