"""The referee takes a right plan and refuses every kind of wrong one."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

import pytest

from layout.cutting.engine import plan_cuts
from layout.cutting.referee import referee, require
from layout.errors import RefereeError
from layout.model.cutting import Cut, CutJob, CutPlan, CutSheet, MaterialPlan, Part, Region, Stock

TICK = 0.000125
FULL = Stock(name="full", material="ply", length=1000, width=500, price=10.0, count=2)
OTHER = Stock(name="other", material="oak", length=1000, width=500, price=10.0)
A = Part(name="a", material="ply", length=600, width=200, count=2, grain="along")
B = Part(name="b", material="ply", length=200, width=150, count=1, grain="across")
JOB = CutJob(parts=(A, B), stocks=(FULL, OTHER), kerf=3.0, smallest_offcut=100)


def _cut(box: tuple[float, ...], number: int, across: Any, at: float, pieces: tuple[Region, ...]) -> Region:
    cut = Cut(number=number, across=across, at=at, kerf=3.0)
    return Region(x=box[0], y=box[1], length=box[2], width=box[3], cut=cut, pieces=pieces)


def _leaf(box: tuple[float, ...], kind: Any, part: str = "", turned: bool = False) -> Region:
    return Region(x=box[0], y=box[1], length=box[2], width=box[3], kind=kind, part=part, turned=turned)


def _root() -> Region:
    lower = _cut(
        (0, 0, 1000, 200), 2, "length", 600,
        (_leaf((0, 0, 600, 200), "part", "a"), _leaf((603, 0, 397, 200), "offcut")),
    )  # fmt: skip
    end = _cut(
        (603, 203, 397, 200), 5, "length", 150,
        (_leaf((603, 203, 150, 200), "part", "b", True), _leaf((756, 203, 244, 200), "offcut")),
    )  # fmt: skip
    upper = _cut((0, 203, 1000, 200), 4, "length", 600, (_leaf((0, 203, 600, 200), "part", "a"), end))
    rest = _cut((0, 203, 1000, 297), 3, "width", 200, (upper, _leaf((0, 406, 1000, 94), "waste")))
    return _cut((0, 0, 1000, 500), 1, "width", 200, (lower, rest))


def _good() -> CutPlan:
    sheet = CutSheet(number=1, stock=FULL, root=_root())
    plan = MaterialPlan(material="ply", sheets=(sheet,), cost=10.0, bound=1, proven=True)
    return CutPlan(job=JOB, materials=(plan,))


def _at(plan: CutPlan, path: tuple[int, ...], change: Callable[[Region], Region]) -> CutPlan:
    """Return the plan with the region at `path` of its first sheet changed."""

    def inside(region: Region, path: tuple[int, ...]) -> Region:
        if not path:
            return change(region)
        pieces = list(region.pieces)
        pieces[path[0]] = inside(pieces[path[0]], path[1:])
        return replace(region, pieces=tuple(pieces))

    sheet = plan.materials[0].sheets[0]
    return _sheets(plan, (replace(sheet, root=inside(sheet.root, path)), *plan.materials[0].sheets[1:]))


def _sheets(plan: CutPlan, sheets: tuple[CutSheet, ...], **changes: Any) -> CutPlan:
    return replace(plan, materials=(replace(plan.materials[0], sheets=sheets, **changes), *plan.materials[1:]))


def _put(path: tuple[int, ...], **changes: Any) -> Callable[[CutPlan], CutPlan]:
    return lambda plan: _at(plan, path, lambda region: replace(region, **changes))


def _put_cut(path: tuple[int, ...], **changes: Any) -> Callable[[CutPlan], CutPlan]:
    def change(region: Region) -> Region:
        assert region.cut is not None
        return replace(region, cut=replace(region.cut, **changes))

    return lambda plan: _at(plan, path, change)


def _material(**changes: Any) -> Callable[[CutPlan], CutPlan]:
    return lambda plan: replace(plan, materials=(replace(plan.materials[0], **changes),))


def _job(**changes: Any) -> Callable[[CutPlan], CutPlan]:
    return lambda plan: replace(plan, job=replace(plan.job, **changes))


def _part(part: Part, **changes: Any) -> Callable[[CutPlan], CutPlan]:
    return _job(parts=tuple(replace(part, **changes) if part is each else each for each in JOB.parts))


def _stock(**changes: Any) -> Callable[[CutPlan], CutPlan]:
    """Return a change of the stock in the job and on the sheet alike."""

    def change(plan: CutPlan) -> CutPlan:
        stock = replace(FULL, **changes)
        plan = replace(plan, job=replace(plan.job, stocks=(stock, OTHER)))
        return _sheets(plan, tuple(replace(sheet, stock=stock) for sheet in plan.materials[0].sheets))

    return change


def _second(**changes: Any) -> Callable[[CutPlan], CutPlan]:
    """Return a change that adds a second, uncut sheet."""
    root = Region(x=0, y=0, length=1000, width=500, kind="offcut")
    sheet = replace(CutSheet(number=2, stock=FULL, root=root), **changes)
    return lambda plan: _sheets(plan, (*plan.materials[0].sheets, sheet), cost=20.0, proven=False)


def _waste_cut(at: float, kerf: float, *pieces: tuple[float, ...]) -> Callable[[CutPlan], CutPlan]:
    """Return a change that makes one more cut across the width of the 94 mm waste strip."""
    cut = Cut(number=6, across="width", at=at, kerf=kerf)
    leaves = tuple(_leaf(box, "waste") for box in pieces)
    return _put((1, 1), kind=None, cut=cut, pieces=leaves)


_SWAP_LEAVES = _put((0,), pieces=(_root().pieces[0].pieces[1], _root().pieces[0].pieces[0]))

BROKEN: dict[str, Callable[[CutPlan], CutPlan]] = {
    "a part is missing": _put((0, 0), kind="offcut", part=""),
    "a part is cut once too often": _part(A, count=1),
    "a part nobody asked for": _job(parts=(A,)),
    "an unknown part": _put((0, 0), part="z"),
    "another part's name": _put((0, 0), part="b"),
    "a part is too short": _part(A, length=601),
    "a part is a tick too long": _part(A, length=600 - TICK),
    "a part is too wide": _part(A, width=199),
    "a part said to be turned": _put((0, 0), turned=True),
    "a turned part said to lie straight": _put((1, 0, 1, 0), turned=False),
    "the grain along is crossed": _part(B, grain="along"),
    "the grain across is not crossed": _part(A, grain="across"),
    "the kerf of one cut is thinner": _put_cut((0,), kerf=2.0),
    "the kerf of one cut is wider": _put_cut((0,), kerf=4.0),
    "the kerf of one cut is none": _put_cut((0,), kerf=0.0),
    "the kerf of one cut is negative": _put_cut((0,), kerf=-3.0),
    "the saw's kerf is another": _job(kerf=3.2),
    "the cut lies elsewhere": _put_cut((0,), at=599),
    "the cut runs the other way": _put_cut((0,), across="width"),
    "the cut runs no known way": _put_cut((0,), across="depth"),
    "the cut lies outside": _put_cut((0,), at=1200),
    "the cut lies on the low edge": _put_cut((0,), at=0),
    "the cut lies at a negative distance": _put_cut((0,), at=-5),
    "the cut lies on the high edge": _put_cut((0,), at=1000),
    "the pieces leave a gap": _put((0, 1), x=604, length=396),
    "the pieces overlap": _put((0, 1), x=602, length=398),
    "a piece reaches over the edge": _put((0, 1), length=398),
    "a piece is lower than its parent": _put((0, 1), width=199),
    "a piece is missing": lambda plan: _at(plan, (0,), lambda r: replace(r, pieces=r.pieces[:1])),
    "a piece is there twice": lambda plan: _at(plan, (0,), lambda r: replace(r, pieces=(*r.pieces, r.pieces[1]))),
    "the pieces are swapped": _SWAP_LEAVES,
    "pieces without a cut": _put((0,), cut=None),
    "a cut without pieces": _put((0,), pieces=()),
    "a region neither cut nor a leaf": _put((1, 1), kind=None),
    "a leaf of no known kind": _put((1, 1), kind="scrap"),
    "a leaf that is also cut": _put((1, 1), cut=Cut(number=6, across="width", at=50, kerf=3)),
    "a cut region called a part": _put((0,), kind="part", part="a"),
    "a cut region called waste": _put((0,), kind="waste"),
    "a cut region that is turned": _put((0,), turned=True),
    "waste called an offcut": _put((1, 1), kind="offcut"),
    "an offcut called waste": _put((0, 1), kind="waste"),
    "waste with a part's name": _put((1, 1), part="a"),
    "waste that is turned": _put((1, 1), turned=True),
    "a cut number twice": _put_cut((0,), number=3),
    "a cut number left out": _put_cut((1, 0, 1), number=6),
    "cut numbers from 0": _put_cut((), number=0),
    "a child cut before its parent": lambda plan: _put_cut((1,), number=4)(_put_cut((1, 0), number=3)(plan)),
    "the sheet is larger than its stock": _stock(length=990),
    "the sheet is smaller than its stock": _stock(width=501),
    "the sheet does not begin at its corner": _put((), x=5),
    "a stock not in the job": _job(stocks=(OTHER,)),
    "more sheets than on hand": _stock(count=0),
    "a second sheet beyond those on hand": lambda plan: _second(stock=replace(FULL, count=1))(_stock(count=1)(plan)),
    "sheets numbered from 2": lambda plan: _sheets(plan, (replace(plan.materials[0].sheets[0], number=2),)),
    "a sheet of another material": _second(stock=OTHER),
    "the cost does not add up": _material(cost=9.0),
    "the cost is no number": _material(cost=float("nan")),
    "the bound is more than was used": _material(bound=2),
    "the bound is negative": _material(bound=-1, proven=False),
    "proven without a bound that proves": _material(bound=0),
    "proven though a cheaper sheet exists": _job(stocks=(FULL, replace(FULL, name="cheap", price=9.0))),
    "a material is missing": lambda plan: replace(plan, materials=()),
    "a material nobody asked for": lambda plan: replace(plan, materials=(*plan.materials, plan.materials[0])),
    "the parts are of another material": _material(material="oak"),
    "a part lies in the trim": _job(trim=1.0),
    "a number off the grid": _put((0, 1), length=397.00005),
    "a number that is none": _put((0, 1), length=float("nan")),
    "an endless number": _put((0, 1), length=float("inf")),
    "a blade's rest kept as a piece": _waste_cut(92, 3, (0, 406, 1000, 92), (0, 501, 1000, -1)),
    "a kerf wider than what is left": _waste_cut(92, 3, (0, 406, 1000, 92)),
    "a kerf thinner than what is left": _waste_cut(92, 1, (0, 406, 1000, 92)),
    "a rest wider than the kerf not kept": _waste_cut(90, 3, (0, 406, 1000, 90)),
    "a rest wider than the kerf lost": _waste_cut(90, 4, (0, 406, 1000, 90)),
    "an edge skimmed without trim": _waste_cut(0, 3, (0, 409, 1000, 91)),
}


def test_the_right_plan_is_taken() -> None:
    """Protects the table below: what it breaks was whole."""
    assert referee(_good()) == ()


@pytest.mark.parametrize("change", BROKEN.values(), ids=BROKEN.keys())
def test_a_broken_plan_is_refused(change: Callable[[CutPlan], CutPlan]) -> None:
    """Protects the workshop: no plan with this fault ever reaches the saw."""
    broken = change(_good())
    assert referee(broken)
    with pytest.raises(RefereeError):
        require(broken)


@pytest.mark.parametrize(
    "change",
    [
        _waste_cut(92, 2, (0, 406, 1000, 92)),
        _waste_cut(91, 3, (0, 406, 1000, 91)),
        _waste_cut(90, 3, (0, 406, 1000, 90), (0, 499, 1000, 1)),
    ],
    ids=["less than the kerf is left", "just the kerf is left", "more than the kerf is left"],
)
def test_the_last_of_a_strip(change: Callable[[CutPlan], CutPlan]) -> None:
    """Protects the convention of the kerf: the blade takes at most what is there, and no more than the kerf."""
    assert referee(change(_good())) == ()


def _paths(region: Region, path: tuple[int, ...] = ()) -> Iterator[tuple[tuple[int, ...], Region]]:
    yield path, region
    for i, piece in enumerate(region.pieces):
        yield from _paths(piece, (*path, i))


@pytest.mark.parametrize("trim", [0.0, 2.0, 3.0, 10.0])
@pytest.mark.parametrize("by", [TICK, -TICK, 1.0])
def test_every_number_matters(trim: float, by: float) -> None:
    """Protects against a number that nobody checks: each one moved by a tick breaks a rule."""
    plan = plan_cuts(CutJob(parts=(A, B), stocks=(replace(FULL, length=1040, width=560),), trim=trim))
    for path, region in _paths(plan.materials[0].sheets[0].root):
        for key in ("x", "y", "length", "width"):
            assert referee(_put(path, **{key: getattr(region, key) + by})(plan)), (path, key)
        for key in ("at", "kerf", "number") if region.cut else ():
            assert referee(_put_cut(path, **{key: getattr(region.cut, key) + by})(plan)), (path, key)


@pytest.mark.parametrize("trim", [2.0, 3.0, 10.0])
def test_a_part_nearer_to_the_edge_than_the_trim(trim: float) -> None:
    """Protects the trim: a plan made with less trim is refused, by a tick."""
    plan = plan_cuts(
        CutJob(parts=(A,), stocks=(replace(FULL, length=600 + 2 * trim, width=420 + 2 * trim),), trim=trim)
    )
    assert referee(replace(plan, job=replace(plan.job, trim=trim + TICK)))


def test_a_deep_tree_is_judged() -> None:
    """Protects against Python's limit of recursion: a thousand strips off one sheet are judged."""
    strip = Part(name="strip", material="ply", length=1000, width=0.4, count=990, grain="along")
    plan = plan_cuts(CutJob(parts=(strip,), stocks=(FULL,), kerf=0.1))
    assert referee(plan) == ()
