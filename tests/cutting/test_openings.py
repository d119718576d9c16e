"""Ways to open a sheet: whatever trims, damage, shop and car, what is cut from it passes the referee."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from layout.cutting.effort import Effort
from layout.cutting.engine import plan_cuts
from layout.cutting.openings import openings
from layout.cutting.referee import referee
from layout.errors import NotEnoughSheetsError, PartTooLargeError
from layout.model.cutting import CutJob, CutPlan, Damage, EdgeTrim, Part, Preference, Region, Shop, Stock
from tests.cutting.opened import all_sheets

SHEET = Stock(name="full", material="ply", length=2440, width=1220, price=50.0)
PART = Part(name="p", material="ply", length=600, width=400, count=20)
SHOP = Shop(cuts=6, narrowest=300, kerf=3.2, tolerance=2, trim=5, car=(1250, 950))
PREFERENCES: tuple[Preference, ...] = ("offcut", "settings", "breakdown")

_trim_mm = st.sampled_from([0.0, 1.0, 2.4, 3.0, 10.0, 12.7])
_trims = st.one_of(st.none(), st.builds(lambda a, b, c, d: EdgeTrim(left=a, right=b, bottom=c, top=d), *[_trim_mm] * 4))
_damage = st.builds(
    lambda x, y, length, width: Damage(x=x, y=y, length=length, width=width),
    st.integers(0, 1200), st.integers(0, 1190), st.sampled_from([0.5, 2.4, 4.0, 60.0, 500.0]), st.integers(1, 500),
)  # fmt: skip
_shops = st.builds(
    lambda cuts, narrowest, kerf, trim, car: Shop(cuts=cuts, narrowest=narrowest, kerf=kerf, trim=trim, car=car),
    st.integers(0, 6), st.sampled_from([0.0, 150.0, 300.0]), st.sampled_from([0.0, 3.2, 4.0]),
    st.sampled_from([2.0, 5.0]), st.sampled_from([None, (1250, 950), (800, 1100), (2500, 1300)]),
)  # fmt: skip
_stocks = st.lists(
    st.builds(
        lambda length, width, price, trim, damage, offcut, count: Stock(
            name="", material="ply", length=length, width=width, price=0.0 if offcut else price, trim=trim,
            damage=tuple(damage), offcut=offcut, count=count or (1 if offcut else None),
        ),
        st.sampled_from([2440.0, 2438.4, 1220.0]), st.sampled_from([1220.0, 1219.2]), st.sampled_from([40.0, 68.5]),
        _trims, st.lists(_damage, max_size=3), st.sampled_from([False, False, True]), st.sampled_from([None, 2]),
    ),
    min_size=1,
    max_size=2,
).map(lambda stocks: tuple(replace(stock, name=f"s{i}") for i, stock in enumerate(stocks)))  # fmt: skip
_parts = st.lists(
    st.builds(
        lambda length, width, count, grain: Part(
            name="", material="ply", length=length, width=width, count=count, grain=grain
        ),
        st.floats(60, 1300), st.integers(60, 900).map(float), st.integers(1, 4),
        st.sampled_from(["along", "across", "free"]),
    ),
    min_size=1,
    max_size=4,
).map(lambda parts: tuple(replace(part, name=f"p{i}") for i, part in enumerate(parts)))  # fmt: skip
_jobs = st.builds(
    lambda parts, stocks, shop, kerf, trim: CutJob(parts=parts, stocks=stocks, shop=shop, kerf=kerf, trim=trim),
    _parts, _stocks, st.one_of(st.none(), _shops), st.sampled_from([0.0, 2.4, 3.175]), st.sampled_from([0.0, 3.0]),
)  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(job=_jobs, prefer=st.sampled_from(PREFERENCES))
def test_every_opening_can_be_sawn(job: CutJob, prefer: Preference) -> None:
    """Protects the workshop: however a sheet is opened, its cuts keep every rule of the referee."""
    try:
        plans = all_sheets(job, prefer)
    except NotEnoughSheetsError:
        return
    assert [fault for plan in plans for fault in referee(plan)] == []


# A job takes up to a second to plan, so a failing one is shown as it is and not made smaller.
@settings(max_examples=25, deadline=None, phases=(Phase.explicit, Phase.generate))
@given(job=_jobs)
def test_any_job_gets_a_right_plan_or_a_plain_error(job: CutJob) -> None:
    """Protects every user: with trims, damage, shop and car there is a refereed plan, or an error says why not."""
    try:
        plan = plan_cuts(job, Effort(seconds=1.0))
    except (PartTooLargeError, NotEnoughSheetsError) as error:
        assert "ply" in str(error)
        return
    assert referee(plan) == ()


@settings(max_examples=30, deadline=None)
@given(job=_jobs)
def test_few_openings_each_once(job: CutJob) -> None:
    """Protects the search's time: at most 60 ways to open a sheet, none twice, the same ones again."""
    try:
        found = openings(job, "ply")
    except NotEnoughSheetsError:
        return
    for stock in job.stocks:
        assert len([opening for opening in found if opening.stock == stock]) <= 60
    assert len(set(found)) == len(found)
    assert found == openings(job, "ply")


def test_a_plain_sheet_has_one_opening() -> None:
    """Protects the plain job: its trims, one blank, and no choice to make."""
    (only,) = openings(CutJob(parts=(PART,), stocks=(SHEET,), trim=3), "ply")
    assert [(blank.length, blank.width) for blank in only.blanks] == [(2434 * 8000, 1214 * 8000)]


def test_damage_within_the_trim_costs_nothing() -> None:
    """Protects a bumped edge: what the trim takes off anyway is not cut around."""
    bumped = replace(SHEET, damage=(Damage(x=0, y=100, length=3, width=400),))
    plain, other = (openings(CutJob(parts=(PART,), stocks=(stock,), trim=3), "ply") for stock in (SHEET, bumped))
    assert [opening.blanks for opening in plain] == [opening.blanks for opening in other]


def test_a_sheet_at_home_does_not_go_through_the_shop() -> None:
    """Protects what is left from an earlier job: no shop, no car, no trims but its own."""
    left = replace(SHEET, offcut=True, count=1, price=0.0)
    (only,) = openings(CutJob(parts=(PART,), stocks=(left,), shop=SHOP), "ply")
    assert (len(only.blanks), only.forced) == (1, None)


def _leaves(plan: CutPlan) -> list[Region]:
    waiting, found = [sheet.root for material in plan.materials for sheet in material.sheets], []
    while waiting:
        region = waiting.pop()
        waiting += region.pieces
        found += [] if region.pieces else [region]
    return found


def test_a_large_rest_beside_damage_is_kept() -> None:
    """Protects the rack: what is sound beside damage is cut free as an offcut though no part lies on it."""
    part = replace(PART, count=1, grain="along")
    dented = replace(SHEET, damage=(Damage(x=1400, y=500, length=50, width=50),))
    job = CutJob(parts=(part,), stocks=(dented,), trim=3)
    for plan in all_sheets(job):
        assert referee(plan) == ()
        assert sum(leaf.length * leaf.width for leaf in _leaves(plan) if leaf.kind == "offcut") > 1_900_000


def test_an_empty_piece_is_not_trimmed() -> None:
    """Protects the sawyer: a piece from the shop on which no part lies is left as it is."""
    job = CutJob(parts=(replace(PART, count=1),), stocks=(SHEET,), trim=3, shop=replace(SHOP, trim=5))
    for plan in all_sheets(job):
        home = [region for region in _regions(plan) if region.cut and region.cut.by == "home"]
        # Four trims and at most two cuts that free the part.
        assert len(home) <= 6


def _regions(plan: CutPlan) -> list[Region]:
    waiting, found = [sheet.root for material in plan.materials for sheet in material.sheets], []
    while waiting:
        region = waiting.pop()
        waiting += region.pieces
        found.append(region)
    return found


@pytest.mark.parametrize("prefer", PREFERENCES)
def test_the_shop_saws_first(prefer: Preference) -> None:
    """Protects the errand: all of the shop's cuts are numbered before the first one at home."""
    for plan in all_sheets(CutJob(parts=(PART,), stocks=(SHEET,), trim=3, shop=SHOP), prefer):
        cuts = sorted((region.cut.number, region.cut.by) for region in _regions(plan) if region.cut)
        order = [by for _, by in cuts]
        assert order == ["shop"] * order.count("shop") + ["home"] * order.count("home")
        assert [number for number, _ in cuts] == list(range(1, len(cuts) + 1))


def test_the_largest_rest_stays_whole() -> None:
    """Protects the rack: with ``offcut`` the rest of a sheet is one piece, not two.

    By hand: 3 pieces of 600 × 400 in a row of 1206; beyond them 2440 - 1809 = 631 by 1220, or above them 2440 by
    1220 - 403 = 817, which is larger.
    """
    job = CutJob(parts=(replace(PART, count=3, grain="along"),), stocks=(SHEET,), kerf=3)
    largest = {}
    for prefer in PREFERENCES:
        (plan,) = all_sheets(job, prefer)
        assert referee(plan) == ()
        largest[prefer] = max(leaf.length * leaf.width for leaf in _leaves(plan) if leaf.kind == "offcut")
    assert largest["offcut"] >= max(largest.values())


def test_the_fence_stays_where_it_is() -> None:
    """Protects time at the saw: with ``settings`` there are no more fence distances than without."""
    parts = (PART, replace(PART, name="q", length=400, width=300, count=9))
    distances = {}
    for prefer in PREFERENCES:
        (plan,) = all_sheets(CutJob(parts=parts, stocks=(SHEET,), kerf=3), prefer)
        assert referee(plan) == ()
        distances[prefer] = len({region.cut.at for region in _regions(plan) if region.cut})
    assert distances["settings"] <= distances["breakdown"]


@pytest.mark.parametrize(
    ("damage", "part"),
    [
        (((1742, 928, 4, 1), (392, 95, 60, 300), (1037, 824, 1, 4), (247, 1020, 4, 4)), (906, 884)),
        (((1941, 569, 4, 300), (1146, 498, 4, 300), (698, 770, 400, 1), (2261, 62, 60, 1), (1861, 266, 4, 1)), (786, 703)),
    ],
)  # fmt: skip
def test_a_shabby_sheet_still_takes_a_large_part(
    damage: tuple[tuple[float, ...], ...], part: tuple[float, float]
) -> None:
    """Protects a part that fits in one place only: more damages than are told apart do not hide it."""
    shabby = replace(
        SHEET, damage=tuple(Damage(x=x, y=y, length=length, width=width) for x, y, length, width in damage)
    )
    large = Part(name="large", material="ply", length=part[0], width=part[1], grain="along")
    plans = all_sheets(CutJob(parts=(large,), stocks=(shabby,), kerf=3, trim=3))
    assert plans
    assert [fault for plan in plans for fault in referee(plan)] == []
