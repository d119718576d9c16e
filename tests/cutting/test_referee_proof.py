"""The referee reckons the certificate of the bound anew: honest ones pass, every kind of lie is caught."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import combinations_with_replacement, product
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import layout.cutting
from layout.cutting import referee_verdict
from layout.cutting.effort import Effort
from layout.cutting.engine import plan_cuts
from layout.cutting.referee import referee
from layout.cutting.referee_choice import Offer, has_choice
from layout.cutting.referee_proof import proof_faults
from layout.cutting.referee_room import Worth, most_held
from layout.cutting.referee_verdict import verdicts
from layout.errors import NotEnoughSheetsError, PartTooLargeError
from layout.model.cutting import CutJob, CutPlan, Damage, EdgeTrim, Part, Proof, Shop, Stock
from tests.cutting.every_cut import frees

FULL = Stock(name="full", material="ply", length=1000, width=600, price=10.0)
HALF = Stock(name="half", material="ply", length=600, width=500, price=6.0)
DENTED = replace(FULL, damage=(Damage(x=990, y=590, length=10, width=10),))
_WORK = 100_000_000


def _parts(*sizes: tuple[float, float, int, Any]) -> tuple[Part, ...]:
    return tuple(
        Part(name="abcdef"[i], material="ply", length=length, width=width, count=count, grain=grain)
        for i, (length, width, count, grain) in enumerate(sizes)
    )


AREA = CutJob(parts=_parts((500, 300, 5, "free")), stocks=(FULL, HALF), kerf=0.0)
ROWS = CutJob(
    parts=_parts((360, 200, 2, "free"), (160, 200, 2, "free"), (360, 120, 4, "along"), (400, 360, 4, "free")),
    stocks=(FULL, HALF),
)
STEPS = CutJob(parts=_parts((440, 180, 2, "along"), (340, 440, 3, "free"), (500, 280, 1, "along")), stocks=(FULL,))
REFUTED = CutJob(
    parts=_parts((600, 200, 4, "along"), (540, 180, 4, "along"), (500, 120, 4, "along")), stocks=(FULL, HALF)
)
COUNTED = CutJob(
    parts=_parts(
        (400, 160, 2, "along"), (140, 140, 2, "free"), (220, 300, 1, "free"), (380, 200, 3, "along"),
        (460, 240, 4, "free"), (400, 220, 1, "free"),
    ),
    stocks=(DENTED,),
)  # fmt: skip
BY_HAND = CutJob(
    parts=_parts((500, 300, 1, "along"), (500, 200, 3, "along")), stocks=(replace(FULL, width=300),), kerf=0.0
)
SHORT = CutJob(parts=_parts((600, 400, 3, "along")), stocks=(replace(FULL, count=1), replace(HALF, count=1)))

_sides = st.one_of(st.integers(150, 900).map(float), st.integers(8, 50).map(lambda n: n * 19.05), st.floats(150, 900))
_some_parts = st.lists(
    st.builds(
        lambda length, width, count, grain: Part(
            name="", material="ply", length=length, width=width, count=count, grain=grain
        ),
        _sides, _sides, st.integers(1, 3), st.sampled_from(["along", "across", "free"]),
    ),
    min_size=2, max_size=6,
).map(lambda parts: tuple(replace(part, name=f"p{i}") for i, part in enumerate(parts)))  # fmt: skip
_some_stocks = st.lists(
    st.builds(
        lambda length, width, price, count, trim, damage: Stock(
            name="", material="ply", length=length, width=width, price=price, count=count, trim=trim, damage=damage
        ),
        st.sampled_from([2440.0, 1220.0]), st.sampled_from([1220.0, 1219.2, 610.0]),
        st.sampled_from([31.0, 40.0, 68.55]), st.sampled_from([None, None, 1, 2]),
        st.sampled_from([None, None, EdgeTrim(left=10, top=3.5)]),
        st.sampled_from([(), (), (), (Damage(x=300, y=0, length=50, width=80),)]),
    ),
    min_size=1, max_size=3,
).map(lambda stocks: tuple(replace(stock, name=f"s{i}") for i, stock in enumerate(stocks)))  # fmt: skip
_some_jobs = st.builds(
    lambda parts, stocks, kerf, trim, shop: CutJob(
        parts=parts, stocks=(*stocks, replace(FULL, name="plenty", length=2500, width=1250, price=75.0)), kerf=kerf,
        trim=trim, shop=shop,
    ),
    _some_parts, _some_stocks, st.sampled_from([0.0, 2.2, 3.175]), st.sampled_from([0.0, 5.0]),
    st.sampled_from([None, None, None, Shop(cuts=2, kerf=2.0), Shop(cuts=3, car=(1400, 1250))]),
)  # fmt: skip


@settings(max_examples=25)
@given(job=_some_jobs)
def test_honest_certificates_pass(job: CutJob) -> None:
    """Protects every user: no plan is refused for a certificate that is right."""
    try:
        plan = plan_cuts(job, Effort(level="quick"))
    except (PartTooLargeError, NotEnoughSheetsError):
        return
    assert referee(plan) == ()
    found = {verdict for each in verdicts(job, plan.materials[0]) for verdict in each.values()}
    plain = job.shop is None and not any(stock.damage for stock in job.stocks)
    assert found <= ({"holds"} if plain else {"holds", "open"})


JOBS = {"area": AREA, "rows": ROWS, "steps": STEPS, "refuted": REFUTED, "counted": COUNTED}


@pytest.fixture(scope="module")
def plans() -> dict[str, CutPlan]:
    """Return a plan for each kind of proof."""
    return {name: plan_cuts(job) for name, job in JOBS.items()} | {"by hand": _by_hand()}


def _by_hand() -> CutPlan:
    """Return a plan whose proof counts the one piece of a part: a sheet holds one a and one b, or two b."""
    proof = Proof(points=(("a", 3), ("b", 1)), room=(("full", 4),), counted=("a",))
    return _with(proof=(proof,))(plan_cuts(BY_HAND))


KINDS: dict[str, Callable[[Proof], bool]] = {
    "area": lambda proof: dict(proof.points) == {"a": 1} and dict(proof.room) == {"full": 4, "half": 2},
    "rows": lambda proof: dict(proof.points) == {"d": 1} and dict(proof.room) == {"full": 2, "half": 1},
    "steps": lambda proof: dict(proof.points) == {"b": 8, "c": 4} and dict(proof.room) == {"full": 16},
    "refuted": lambda proof: len(proof.points) == 3 and max(n for _, n in proof.points) > 1e6 and not proof.counted,
    "counted": lambda proof: proof.counted == ("b",),
    "by hand": lambda proof: proof.counted == ("a",),
}


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_of_proof_is_reckoned_anew(kind: str, plans: dict[str, CutPlan]) -> None:
    """Protects the claim that each bound is checked: of every kind of proof all rooms are found to be right."""
    job, material = plans[kind].job, plans[kind].materials[0]
    assert material.rests_on == "points"
    assert material.proven
    assert any(map(KINDS[kind], material.proof))
    assert referee(plans[kind]) == ()
    assert all(verdict == "holds" for each in verdicts(job, material) for verdict in each.values())


Change = Callable[[CutPlan], CutPlan]


def _with(**changes: Any) -> Change:
    return lambda plan: replace(plan, materials=(replace(plan.materials[0], **changes),))


def _proof(change: Callable[[Proof], Proof]) -> Change:
    """Return a change of every proof of a plan."""
    return lambda plan: _with(proof=tuple(map(change, plan.materials[0].proof)))(plan)


def _points(**points: Any) -> Change:
    return _proof(lambda proof: replace(proof, points=tuple((dict(proof.points) | points).items())))


def _room(by: Callable[[int], Any], *names: str) -> Change:
    """Return a change of the room of the stocks with those names."""
    return _proof(
        lambda proof: replace(proof, room=tuple((name, by(n) if name in names else n) for name, n in proof.room))
    )


LIES: dict[str, tuple[str, Change, str]] = {
    "an area one point too small": ("area", _room(lambda n: n - 1, "full"), "holds"),
    "a row one point too small": ("rows", _room(lambda n: n - 1, "half"), "holds"),
    "a step function one point too small": ("steps", _room(lambda n: n - 1, "full"), "holds"),
    "a refutation one point too small": ("refuted", _room(lambda n: n - 1, "full"), "holds more than"),
    "a small sheet one point too small": ("refuted", _room(lambda n: n - 1, "half"), "holds"),
    "with counted parts one point too small": ("by hand", _room(lambda n: n - 1, "full"), "holds"),
    "points of one part doubled": ("refuted", _points(c=10_108_570), "sheet 3 holds 26344140 points"),
    "points for a part that had none": ("steps", _points(a=8), "sheet 1 holds 32 points"),
    "more than the plan's own sheets hold": ("rows", _room(lambda n: 0, "full"), "sheet 1 holds 2 points, 'full' is said to hold 0"),
    "a stock left out": (
        "refuted", _proof(lambda proof: replace(proof, room=proof.room[:1])), "says nothing of 'half'",
    ),
    "a counted part counted no more": (
        "by hand", _proof(lambda proof: replace(proof, counted=())), "a sheet of 'full' holds more than 4 points",
    ),
    "the wrong part counted": (
        "by hand", _proof(lambda proof: replace(proof, counted=("b",))), "a sheet of 'full' holds more than 4 points",
    ),
    "a part that there is not": ("steps", _points(z=1), "points for 'z', which is nothing that it has"),
    "a stock that there is not": (
        "steps", _proof(lambda proof: replace(proof, room=(*proof.room, ("z", 1)))), "room for 'z', which is nothing",
    ),
    "a counted part that there is not": (
        "steps", _proof(lambda proof: replace(proof, counted=("z",))), "counts 'z', which is no part",
    ),
    "negative points": ("steps", _points(a=-1), "-1 points for 'a'"),
    "negative room": ("refuted", _room(lambda n: -n, "half"), "room for 'half'"),
    "half points": ("steps", _points(b=0.5), "0.5 points for 'b'"),
    "room without an end": ("steps", _room(lambda n: float("inf"), "full"), "inf room for 'full'"),
    "points that are true": ("steps", _points(b=True), "True points for 'b'"),
    "points said twice": (
        "steps", _proof(lambda proof: replace(proof, points=(*proof.points, ("b", 1)))), "points for 'b' twice",
    ),
    "room said twice": (
        "steps", _proof(lambda proof: replace(proof, room=(*proof.room, ("full", 16)))), "room for 'full' twice",
    ),
    "the proof removed": ("steps", _with(proof=()), "cost less than 20.0, which does not follow from the points"),
    "no points at all": (
        "steps", _proof(lambda proof: replace(proof, points=())), "cost less than 20.0, which does not follow",
    ),
    "points that prove less": ("steps", _points(b=4), "cost less than 20.0, which does not follow from the points"),
    "more room than there is": ("area", _room(lambda n: n + 1, "full"), "does not follow from the points"),
    "a least cost above what follows": ("area", _with(least_cost=16.01), "cost less than 16.01, which does not follow"),
    "a bound above what follows": ("refuted", _with(bound=5), "fewer than 5 sheets, which does not follow"),
    "a bound on something unheard of": ("steps", _with(rests_on="hope"), "the bound rests on 'hope'"),
}  # fmt: skip


@pytest.mark.parametrize("lie", LIES)
def test_every_kind_of_lie_is_caught(lie: str, plans: dict[str, CutPlan]) -> None:
    """Protects the word "proven": a certificate that is wrong, or claims that do not follow from it, are refused."""
    kind, change, said = LIES[lie]
    assert any(said in fault for fault in referee(change(plans[kind])))


@pytest.mark.parametrize("kind", ["area", "rows", "steps", "refuted", "by hand"])
def test_a_room_one_point_too_small_is_found_by_reckoning(kind: str, plans: dict[str, CutPlan]) -> None:
    """Protects bounds that the plan's own sheets do not contradict: the most that a sheet holds is found to the point."""
    plan = _room(lambda n: n - 1, "full")(plans[kind])
    assert verdicts(plan.job, plan.materials[0])[0]["full"] == "wrong"


def test_an_honest_plan_with_parts_missing_passes() -> None:
    """Protects plans for what is on hand: the bound may rule out every choice that there is."""
    plan = plan_cuts(SHORT)
    assert plan.unplaced
    assert referee(plan) == ()


def test_without_points_one_sheet_is_sure(plans: dict[str, CutPlan]) -> None:
    """Protects plans of a single sheet, which need no points: the cheapest sheet on which something fits."""
    material = replace(plans["refuted"].materials[0], proof=(), cost=6.0, least_cost=6.0, bound=1)
    assert tuple(proof_faults(REFUTED, material)) == ()
    small = replace(REFUTED, stocks=(*REFUTED.stocks, Stock(name="strip", material="ply", length=900, width=90)))
    assert tuple(proof_faults(small, material)) == ()
    assert len(tuple(proof_faults(REFUTED, replace(material, least_cost=6.01, bound=2)))) == 2


def test_a_bound_from_all_sets_need_not_follow_from_points(plans: dict[str, CutPlan]) -> None:
    """Protects bounds that rest on something else: the points are reckoned, but the cost need not follow from them."""
    weak = _points(b=4)(plans["steps"])
    assert referee(_with(rests_on="sets")(weak)) == ()
    small = _room(lambda n: n - 9, "full")(weak)
    assert referee(_with(rests_on="sets")(small)) != ()


def test_what_is_too_much_work_stays_open(plans: dict[str, CutPlan], monkeypatch: pytest.MonkeyPatch) -> None:
    """Protects large jobs: a room that cannot be reckoned in time is no fault, unless the plan's own sheets hold more."""
    monkeypatch.setattr(referee_verdict, "_WORK", 10)
    material = plans["refuted"].materials[0]
    assert {verdict for each in verdicts(REFUTED, material) for verdict in each.values()} == {"open"}
    assert referee(plans["refuted"]) == ()
    assert referee(_room(lambda n: n // 2, "full", "half")(plans["refuted"])) != ()


def test_ways_that_damage_may_not_leave_are_no_fault() -> None:
    """Protects honest plans of damaged sheets: a part counts as it can lie there, be it fewer ways than on a sound one."""
    part = Part(name="a", material="ply", length=600, width=250, count=4)
    job = CutJob(parts=(part,), stocks=(replace(FULL, damage=(Damage(x=10, y=590, length=900, width=10),)),), kerf=0.0)
    material = replace(plan_cuts(job).materials[0], sheets=(), proof=(Proof(points=(("a", 1),), room=(("full", 3),)),))
    assert verdicts(job, material) == ({"full": "open"},)
    sound = replace(job, stocks=(FULL,))
    assert verdicts(sound, material) == ({"full": "wrong"},)


_pieces = st.lists(
    st.builds(
        lambda length, width, count, turns, points: (length, width, count, turns, points),
        st.integers(2, 7), st.integers(2, 7), st.integers(1, 2), st.booleans(), st.integers(1, 9),
    ),
    min_size=1, max_size=3,
)  # fmt: skip


def _worths(pieces: Sequence[tuple[int, int, int, bool, int]], kerf: int, *, counted: bool) -> tuple[Worth, ...]:
    return tuple(
        Worth(
            points=points,
            ways=tuple({(a + kerf, b + kerf)} | ({(b + kerf, a + kerf)} if turns else set())),
            count=count if counted else 9,
            counted=counted,
        )
        for a, b, count, turns, points in pieces
    )


@settings(max_examples=60)
@given(pieces=_pieces, length=st.integers(3, 13), width=st.integers(3, 10), kerf=st.integers(0, 2))
def test_rooms_of_counted_parts_are_what_trying_all_cuts_finds(
    pieces: list[tuple[int, int, int, bool, int]], length: int, width: int, kerf: int
) -> None:
    """Protects the referee's programme: with every part counted, it finds the best of all edge-to-edge patterns."""
    best = 0
    for taken in product(*(range(count + 1) for _, _, count, _, _ in pieces)):
        if 0 < sum(taken) <= 4:
            laid = tuple((a, b, turns) for (a, b, _, turns, _), n in zip(pieces, taken, strict=True) for _ in range(n))
            points = sum(piece[4] * n for piece, n in zip(pieces, taken, strict=True))
            if points > best and frees(length, width, laid, kerf):
                best = points
    # No more than four pieces are tried, so no more may fit.
    if min(a * b for a, b, *_ in pieces) * 5 > length * width or sum(count for _, _, count, _, _ in pieces) <= 4:
        held = most_held(_worths(pieces, kerf, counted=True), [(length + kerf, width + kerf)], 1000, _WORK)
        assert (held.most, held.exact) == ((best,), True)


@settings(max_examples=60)
@given(pieces=_pieces, length=st.integers(3, 13), width=st.integers(3, 10), kerf=st.integers(0, 2))
def test_rooms_for_any_number_are_what_trying_all_cuts_finds(
    pieces: list[tuple[int, int, int, bool, int]], length: int, width: int, kerf: int
) -> None:
    """Protects the referee's programme: with any number of copies too, on two sheets at once, and on a coarser scale."""
    pieces = [piece for piece in pieces if piece[0] * piece[1] * 5 > length * width]
    if not pieces:
        return
    best = 0
    for number in range(1, 5):
        for taken in combinations_with_replacement(pieces, number):
            points = sum(piece[4] for piece in taken)
            if points > best and frees(length, width, tuple((a, b, turns) for a, b, _, turns, _ in taken), kerf):
                best = points
    sheet, worths = (length + kerf, width + kerf), _worths(pieces, kerf, counted=False)
    held = most_held(worths, [sheet, (sheet[0] // 2, sheet[1])], 1000, _WORK)
    assert (held.most[0], held.exact) == (best, True)
    assert held.most[1] == most_held(worths, [(sheet[0] // 2, sheet[1])], 1000, _WORK).most[0]
    coarse = most_held(worths, [sheet], 1000, 200)
    assert coarse.most[0] >= best


_offers = st.lists(
    st.builds(
        lambda price, left, room: Offer(price=price, left=left, room=room),
        st.sampled_from([Fraction(n, 2) for n in (0, 2, 4, 5, 9, 15)]), st.sampled_from([None, 0, 1, 3]),
        st.tuples(st.integers(0, 6), st.integers(0, 6)),
    ),
    min_size=1, max_size=3,
)  # fmt: skip


@settings(max_examples=200)
@given(offers=_offers, wanted=st.tuples(st.integers(0, 14), st.integers(0, 14)), below=st.integers(0, 40))
def test_choices_are_what_trying_all_finds(offers: list[Offer], wanted: tuple[int, int], below: int) -> None:
    """Protects the bound: whether a cheaper choice of sheets has room for everything is answered right."""
    numbers = (range((14 if offer.left is None else offer.left) + 1) for offer in offers)
    found = any(
        sum(offer.price * n for offer, n in zip(offers, choice, strict=True)) < Fraction(below, 2)
        and all(sum(o.room[k] * n for o, n in zip(offers, choice, strict=True)) >= wanted[k] for k in (0, 1))
        for choice in product(*numbers)
    )
    assert has_choice(offers, wanted, Fraction(below, 2)) == found


def test_the_referee_shares_no_code_with_the_search() -> None:
    """Protects the referee's independence: it imports the model, units and errors, and no slow library at once."""
    for file in Path(layout.cutting.__file__).parent.glob("referee*.py"):
        nodes = [node for node in ast.walk(ast.parse(file.read_text())) if isinstance(node, ast.ImportFrom)]
        names = [str(node.module) for node in nodes if str(node.module).startswith("layout")]
        allowed = ("layout.model", "layout.units", "layout.errors", "layout.cutting.referee")
        assert all(name.startswith(allowed) for name in names), file.name
    check = "import sys, layout.cutting.referee; sys.exit('numpy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", check], check=False).returncode == 0
