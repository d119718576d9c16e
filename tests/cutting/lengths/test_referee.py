"""The referee of bars takes a right plan and refuses every kind of wrong one, and every claim without proof."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from layout.cutting.lengths.engine import plan_bars
from layout.cutting.lengths.referee import referee, require
from layout.errors import RefereeError
from layout.model.lengths import (
    Bar,
    BarJob,
    BarMaterial,
    BarPlan,
    BarProof,
    CutBar,
    CutPiece,
    Length,
    TriedBars,
    Weights,
)

LONG = Bar(name="long", material="m", length=1000, price=5.0)
SHORT = Bar(name="short", material="m", length=500, price=3.0, count=1)
OTHER = Bar(name="other", material="oak", length=1000, price=5.0)
JOB = BarJob(
    parts=(Length(name="a", material="m", length=600, count=2), Length(name="b", material="m", length=300, count=3)),
    bars=(LONG, SHORT, OTHER),
    kerf=4,
    trim=10,
)
# By hand: a and b on two long bars, the last b on the short one: 13.0. 2100 mm and 5 kerfs of 4 take more than
# 984 + 984, so two bars do not do, and three cost at least 5 + 5 + 3, since only one short one is on hand.
_WEIGHTS = Weights(
    worth=(("a", 604), ("b", 304)),
    most=(("long", 984), ("short", 484)),
)


def _bar(number: int, stock: Bar, *pieces: tuple[str, float, float], leftover: float) -> CutBar:
    made = tuple(CutPiece(part=part, at=at, length=mm) for part, at, mm in pieces)
    return CutBar(number=number, stock=stock, pieces=made, leftover=leftover)


def _good() -> BarPlan:
    full = (("a", 10.0, 600.0), ("b", 614.0, 300.0))
    bars = (
        _bar(1, LONG, *full, leftover=72),
        _bar(2, LONG, *full, leftover=72),
        _bar(3, SHORT, ("b", 10, 300), leftover=176),
    )
    material = BarMaterial(
        material="m",
        bars=bars,
        cost=13.0,
        least_cost=13.0,
        fewest_bars=3,
        proven=True,
        proof=BarProof(weights=(_WEIGHTS,)),
    )
    return BarPlan(job=JOB, materials=(material,))


Change = Callable[[BarPlan], BarPlan]


def _material(**changes: Any) -> Change:
    return lambda plan: replace(plan, materials=(replace(plan.materials[0], **changes),))


def _bar_changed(i: int, **changes: Any) -> Change:
    def change(plan: BarPlan) -> BarPlan:
        bars = list(plan.materials[0].bars)
        bars[i] = replace(bars[i], **changes)
        return _material(bars=tuple(bars))(plan)

    return change


def _piece_changed(i: int, j: int, **changes: Any) -> Change:
    def change(plan: BarPlan) -> BarPlan:
        pieces = list(plan.materials[0].bars[i].pieces)
        pieces[j] = replace(pieces[j], **changes)
        return _bar_changed(i, pieces=tuple(pieces))(plan)

    return change


def _weights(**changes: Any) -> Change:
    return _material(proof=BarProof(weights=(replace(_WEIGHTS, **changes),)))


def _job(**changes: Any) -> Change:
    return lambda plan: replace(plan, job=replace(plan.job, **changes))


def _one_bar_more(plan: BarPlan) -> BarPlan:
    """Put the last b on a long bar of its own: sound, but dearer."""
    bar = _bar(3, LONG, ("b", 10, 300), leftover=676)
    return _material(bars=(*plan.materials[0].bars[:2], bar), cost=15.0)(plan)


_SAWING: list[tuple[str, Change, str]] = [
    ("a piece too few", _bar_changed(0, pieces=(CutPiece(part="a", at=10, length=600),), leftover=376), "cut 2 times"),
    ("a piece of no part", _piece_changed(2, 0, part="c"), "none of this material"),
    ("a piece too short", _piece_changed(2, 0, length=299.9), "299.9 mm long, wanted 300"),
    ("the kerf left out", _piece_changed(0, 1, at=610.0), "starts at 610.0 mm, not at 614.0"),
    ("the trim left out", _piece_changed(2, 0, at=0.0), "starts at 0.0 mm, not at 10.0"),
    ("beyond the good length", _bar_changed(1, stock=replace(LONG, length=900)), "the good length at 890.0"),
    ("a wrong leftover", _bar_changed(0, leftover=76.0), "leftover is 76.0 mm, not 72.0"),
    ("a number off the grid", _piece_changed(2, 0, at=10.00003), "off the grid"),
    ("an endless number", _bar_changed(2, leftover=float("inf")), "off the grid"),
    ("an empty bar", _bar_changed(2, pieces=(), leftover=476), "nothing is cut"),
    ("bars misnumbered", _bar_changed(2, number=4), "numbered [1, 2, 4]"),
    ("a wrong cost", _material(cost=12.0), "cost 13.0, the plan says 12.0"),
    ("too many short bars", _bar_changed(1, stock=SHORT), "used 2 times, but 1 are on hand"),
    ("a bar of another material", _bar_changed(1, stock=OTHER), "is a bar of oak"),
    ("a bar not in the job", _bar_changed(1, stock=replace(LONG, price=0.0)), "is not in the job"),
    ("missing and yet cut", _material(unplaced=("b",)), "cut 3 times and missing 1 times"),
    ("a stranger missing", _material(unplaced=("c",)), "are no parts of it"),
    ("a material left out", lambda plan: replace(plan, materials=()), "the job asks for ['m']"),
]
_CLAIMS: list[tuple[str, Change, str]] = [
    ("no proof", _material(proof=BarProof()), "called the best"),
    ("a dearer plan", _one_bar_more, "called the best"),
    (
        "a least cost too high",
        lambda plan: _material(least_cost=14.0, proven=False)(_one_bar_more(plan)),
        "less than 14.0",
    ),
    ("a least cost below zero", _material(least_cost=-1.0, proven=False), "less than -1.0"),
    ("too many bars claimed", _material(fewest_bars=4), "fewer than 4 bars"),
    ("missing claimed", _material(fewest_missing=1), "1 pieces are said"),
    ("too little room in the proof", _weights(most=(("long", 900), ("short", 484))), "'long' is worth more than 900"),
    ("points below zero", _weights(worth=(("a", -1), ("b", 304))), "whole numbers"),
    ("broken points", _weights(worth=(("a", 604.5), ("b", 304))), "whole numbers"),
    ("points for no part", _weights(worth=(("a", 604), ("c", 304))), "whole numbers"),
    ("points twice", _weights(worth=(("a", 604), ("a", 604), ("b", 304))), "whole numbers"),
    ("a bar without points", _weights(most=(("long", 984),)), "whole numbers"),
    (
        "tried, yet possible",
        _material(proof=BarProof(tried=(TriedBars(bars=(("long", 3), ("short", 0))),))),
        "can be laid on {'long': 3, 'short': 0}",
    ),
    ("tried on no bar", _material(proof=BarProof(tried=(TriedBars(bars=(("long", 2),)),))), "other bars than the job"),
    ("more bars in the job", _job(bars=(LONG, replace(SHORT, price=0.5), OTHER)), "called the best"),
]


def test_a_right_plan_is_taken() -> None:
    """A plan made by hand, with its hand-made proof, breaks no rule."""
    assert referee(_good()) == ()


@pytest.mark.parametrize(("change", "words"), [pytest.param(c, w, id=name) for name, c, w in _SAWING + _CLAIMS])
def test_each_kind_of_wrong_plan_is_refused(change: Change, words: str) -> None:
    """Every rule has a plan that breaks it, and the sentence says what is wrong."""
    faults = referee(change(_good()))

    assert any(words in fault for fault in faults), faults


def test_a_refused_plan_raises_with_every_fault() -> None:
    """The error carries all broken rules, since it is a defect of the program."""
    with pytest.raises(RefereeError, match=r"(?s)numbered.*the plan says 12.0"):
        require(_material(cost=12.0)(_bar_changed(2, number=4)(_good())))


def test_a_proof_by_trying_all_ways_is_checked_again() -> None:
    """52 + 34 leaves 14, and 20 + 16 does not fit beside 52 twice: four bars, which lengths alone do not prove."""
    pieces = ((20, 2), (16, 2), (52, 3), (34, 2))
    parts = tuple(Length(name=str(mm), material="m", length=mm, count=n) for mm, n in pieces)
    plan = plan_bars(BarJob(parts=parts, bars=(Bar(name="bar", material="m", length=100),), kerf=0))
    (material,) = plan.materials

    assert (len(material.bars), material.proven, bool(material.proof.tried)) == (4, True, True)
    assert referee(plan) == ()
    assert referee(replace(plan, materials=(replace(material, proof=BarProof()),))) != ()
