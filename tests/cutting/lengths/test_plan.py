"""Plans of bars: published values, brute force on small jobs, and the referee's word on any job."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from layout.cutting.lengths.engine import plan_bars
from layout.cutting.lengths.referee import referee
from layout.errors import NotEnoughSheetsError, PartTooLargeError, ValueFaultError
from layout.model.lengths import Bar, BarJob, BarMaterial, BarPlan, Length

# P. C. Gilmore and R. E. Gomory, A linear programming approach to the cutting-stock problem, Operations Research 9
# (1961), as the worked example of V. Chvátal, Linear Programming (1983), chapter 13: rolls of 100 inches; the linear
# program gives 452.25, and 453 rolls do.
GILMORE_GOMORY = (100, ((45, 97), (36, 610), (31, 395), (14, 211)), 453)
# Wikipedia, "Cutting stock problem": rolls of 5600 mm; the bound is 72.7, and 73 rolls do.
ROLLS = (
    5600,
    (
        (1380, 22), (1520, 25), (1560, 12), (1710, 14), (1820, 18), (1880, 18), (1930, 20), (2000, 10), (2050, 12),
        (2100, 14), (2140, 16), (2150, 18), (2200, 20),
    ),
    73,
)  # fmt: skip
PUBLISHED = [pytest.param(GILMORE_GOMORY, id="Gilmore-Gomory"), pytest.param(ROLLS, id="rolls")]
Published = tuple[int, tuple[tuple[int, int], ...], int]


def _job(bar: float, pieces: tuple[tuple[float, int], ...], kerf: float = 0.0) -> BarJob:
    parts = tuple(Length(name=f"p{i}", material="m", length=mm, count=n) for i, (mm, n) in enumerate(pieces))
    return BarJob(parts=parts, bars=(Bar(name="bar", material="m", length=bar),), kerf=kerf)


def _only(plan: BarPlan) -> BarMaterial:
    (material,) = plan.materials
    return material


@pytest.mark.parametrize("case", PUBLISHED)
def test_published_jobs_take_the_published_number_of_bars_proven(case: Published) -> None:
    """Two published jobs come out at their published, proven optimum, with a proof."""
    bar, pieces, fewest = case
    material = _only(plan_bars(_job(bar, pieces)))

    assert (len(material.bars), material.fewest_bars, material.proven) == (fewest, fewest, True)


def test_a_kerf_between_the_rolls_takes_one_roll_more() -> None:
    """With a 3 mm kerf the rolls job needs 74: found by full enumeration of fillings and a second solver (own work)."""
    material = _only(plan_bars(_job(ROLLS[0], ROLLS[1], kerf=3)))

    assert (len(material.bars), material.proven) == (74, True)


@pytest.mark.parametrize("kerf", [1, 3, 9])
@pytest.mark.parametrize("case", PUBLISHED)
def test_sizes_times_ten_less_the_kerf_keep_the_number_of_bars(case: Published, kerf: int) -> None:
    """The pieces take n - 1 kerfs: sum(10 w - k) + (n - 1) k <= 10 W - k exactly when sum(w) <= W (own arithmetic)."""
    bar, pieces, fewest = case
    job = _job(10 * bar - kerf, tuple((10 * mm - kerf, n) for mm, n in pieces), kerf)
    material = _only(plan_bars(job))

    assert (len(material.bars), material.proven) == (fewest, True)


def _spread(lengths: tuple[int, ...], loads: tuple[int, ...], missing: int) -> Iterator[tuple[int, tuple[int, ...]]]:
    """Yield every way to group pieces into bars, or leave them out, as (missing, sums), by plain recursion."""
    if not lengths:
        yield missing, tuple(sorted(loads, reverse=True))
        return
    first, rest = lengths[0], lengths[1:]
    for i, load in enumerate(loads):
        if load not in loads[:i]:
            yield from _spread(rest, (*loads[:i], load + first, *loads[i + 1 :]), missing)
    yield from _spread(rest, (*loads, first), missing)
    yield from _spread(rest, loads, missing + 1)


def _cheapest(bars: list[tuple[int, Bar]], used: tuple[int, ...], loads: tuple[int, ...]) -> tuple[float, ...] | None:
    """Return the least (cost, bought, bars) to carry the loads, by trying every bar for each."""
    if not loads:
        return (0.0, 0, 0)
    best = None
    for i, (room, bar) in enumerate(bars):
        if room >= loads[0] and (bar.count is None or used[i] < bar.count):
            rest = _cheapest(bars, (*used[:i], used[i] + 1, *used[i + 1 :]), loads[1:])
            if rest is not None:
                found = (rest[0] + bar.price, rest[1] + (not bar.offcut), rest[2] + 1)
                best = found if best is None else min(best, found)
    return best


def _brute_force(job: BarJob) -> tuple[float, ...]:
    """Return the best (missing, cost, bought, bars) of all plans; whole millimetres only."""
    kerf, trim = int(job.kerf), int(job.trim)
    bars = [(int(bar.length) - 2 * trim + kerf, bar) for bar in job.bars]
    longest = max(room for room, _ in bars)
    lengths = tuple(int(part.length) + kerf for part in job.parts for _ in range(part.count))
    spreads = {spread for spread in _spread(lengths, (), 0) if max(spread[1], default=0) <= longest}
    best: tuple[float, ...] | None = None
    for missing, loads in sorted(spreads):
        if best is None or missing <= best[0]:
            found = _cheapest(bars, (0,) * len(bars), loads)
            if found is not None:
                best = (missing, *found) if best is None else min(best, (missing, *found))
    assert best is not None
    return best


_lengths = st.lists(st.tuples(st.integers(15, 70), st.integers(1, 2)), min_size=1, max_size=4).filter(
    lambda pieces: sum(n for _, n in pieces) <= 7
)
_prices = st.sampled_from([0.0, 1.0, 2.0, 3.5, 4.25])
_stock = st.one_of(
    st.builds(lambda mm, price: (mm, price, None, False), st.integers(70, 150), _prices),
    st.builds(lambda mm, price, n: (mm, price, n, False), st.integers(70, 150), _prices, st.integers(0, 3)),
    st.builds(lambda mm, n: (mm, 0.0, n, True), st.integers(30, 150), st.integers(0, 2)),
)


@st.composite
def _small_jobs(draw: st.DrawFn) -> BarJob:
    parts = tuple(Length(name=f"p{i}", material="m", length=mm, count=n) for i, (mm, n) in enumerate(draw(_lengths)))
    bars = tuple(
        Bar(name=f"b{i}", material="m", length=mm, price=price, count=count, offcut=offcut)
        for i, (mm, price, count, offcut) in enumerate(draw(st.lists(_stock, min_size=1, max_size=3)))
    )
    return BarJob(parts=parts, bars=bars, kerf=draw(st.sampled_from([0, 1, 3])), trim=draw(st.sampled_from([0, 0, 2])))


@settings(max_examples=150)
@given(_small_jobs())
def test_small_jobs_are_solved_exactly_and_proven(job: BarJob) -> None:
    """Up to 7 pieces on up to 3 bars with prices and counts: as good as trying everything, and said to be proven."""
    try:
        material = _only(plan_bars(job))
    except PartTooLargeError:
        assert max(part.length for part in job.parts) > max(bar.length - 2 * job.trim for bar in job.bars)
        return

    bought = sum(not bar.stock.offcut for bar in material.bars)
    found = (len(material.unplaced), material.cost, bought, len(material.bars))
    assert found == _brute_force(job)
    assert material.proven


_measures = st.one_of(
    st.integers(60, 1700).map(float),
    st.integers(200, 4000).map(lambda n: n * 0.396875),
    st.floats(60, 1700, allow_nan=False),
)
_jobs = st.builds(
    lambda pieces, more, kerf, trim: BarJob(
        parts=tuple(Length(name=f"p{i}", material="m", length=mm, count=n) for i, (mm, n) in enumerate(pieces)),
        bars=(
            Bar(name="long", material="m", length=2400, price=5.2, count=more[0]),
            Bar(name="longer", material="m", length=3048, price=6.95, count=more[1]),
            Bar(name="rest", material="m", length=1231.5, count=2, offcut=True),
        ),
        kerf=kerf,
        trim=trim,
    ),
    st.lists(st.tuples(_measures, st.integers(1, 5)), min_size=1, max_size=9),
    st.sampled_from([(None, None), (None, 2), (3, 3), (1, 0)]),
    st.sampled_from([0.0, 2.2, 3.0, 3.175]),
    st.sampled_from([0.0, 1.0, 12.7]),
)


@settings(max_examples=40)
@given(_jobs)
def test_every_plan_is_accepted_and_no_bound_is_above_it(job: BarJob) -> None:
    """Whatever the job, the referee accepts the plan, and every bound is at most what the plan has."""
    plan = plan_bars(job)
    material = _only(plan)

    assert referee(plan) == ()
    assert material.least_cost <= material.cost
    assert material.fewest_bars <= len(material.bars)
    assert material.fewest_missing <= len(material.unplaced)


def test_the_same_job_gives_the_same_plan() -> None:
    """Nothing depends on the clock or on chance, also where the linear program is used."""
    job = _job(ROLLS[0], ROLLS[1], kerf=3)

    assert plan_bars(job) == plan_bars(job)


def test_a_hard_job_ends_within_its_time_with_a_plan() -> None:
    """With no time at all there is still a plan, and nothing is claimed that was not proven."""
    material = _only(plan_bars(_job(ROLLS[0], ROLLS[1], kerf=3), seconds=0))

    assert material.bars
    assert material.fewest_bars <= 74 <= len(material.bars)


def test_kerfs_lie_between_pieces_only_when_the_last_ends_with_the_bar() -> None:
    """Three pieces of 330 and two kerfs of 5 fill 1000 exactly: one bar; with 331 two (arithmetic)."""
    assert len(_only(plan_bars(_job(1000, ((330, 3),), kerf=5))).bars) == 1
    assert len(_only(plan_bars(_job(1000, ((331, 3),), kerf=5))).bars) == 2


def test_a_remainder_no_longer_than_the_kerf_is_sawdust() -> None:
    """What is left beyond the last piece first pays for the last kerf; the trims stay out of it (arithmetic)."""

    def left(mm: float, trim: float = 0.0) -> float:
        job = replace(_job(1000, ((mm, 1),), kerf=4), trim=trim)
        return _only(plan_bars(job)).bars[0].leftover

    assert [left(1000), left(998), left(996), left(990), left(600, 10)] == [0, 0, 0, 6, 376]


def test_an_offcut_on_hand_is_used_before_a_bar_is_bought_even_without_prices() -> None:
    """Fewer bars to buy comes before fewer bars."""
    bars = (Bar(name="new", material="m", length=1000), Bar(name="old", material="m", length=420, count=2, offcut=True))
    job = BarJob(parts=(Length(name="p", material="m", length=400, count=2),), bars=bars)

    assert [bar.stock.name for bar in _only(plan_bars(job)).bars] == ["old", "old"]


def test_when_the_bars_run_out_the_plan_names_what_is_missing() -> None:
    """Fewest pieces missing, proven by the lengths: 2 × 1000 mm hold four of six pieces of 450 (arithmetic)."""
    job = replace(_job(1000, ((450, 6),)), bars=(Bar(name="bar", material="m", length=1000, count=2),))
    material = _only(plan_bars(job))

    assert material.unplaced == ("p0", "p0")
    assert (material.fewest_missing, material.proven) == (2, True)


def test_no_bar_on_hand_leaves_every_piece_missing() -> None:
    """A bar that is out of stock is no error, and the plan says that nothing can be cut."""
    job = replace(_job(1000, ((450, 2),)), bars=(Bar(name="bar", material="m", length=1000, count=0),))
    material = _only(plan_bars(job))

    assert (material.bars, material.unplaced, material.proven) == ((), ("p0", "p0"), True)


def test_leftovers_are_gathered_on_one_bar() -> None:
    """700 + 300 and 600, not 700 and 600 + 300: as many bars, and one leftover of 400 (arithmetic)."""
    material = _only(plan_bars(_job(1000, ((700, 1), (600, 1), (300, 1)))))

    assert sorted(bar.leftover for bar in material.bars) == [0, 400]


def test_materials_are_planned_apart_in_the_order_of_the_job() -> None:
    """A part is cut from its own material only."""
    parts = (Length(name="a", material="oak", length=500), Length(name="b", material="alu", length=400))
    bars = (Bar(name="1", material="alu", length=1000), Bar(name="1", material="oak", length=1000))
    plan = plan_bars(BarJob(parts=parts, bars=bars))

    assert [(each.material, each.bars[0].pieces[0].part) for each in plan.materials] == [("oak", "a"), ("alu", "b")]


def test_a_job_without_parts_is_an_empty_plan() -> None:
    """Nothing asked, nothing cut, no error."""
    assert plan_bars(BarJob(parts=(), bars=())).materials == ()


def test_a_piece_longer_than_every_bar_is_an_error_that_says_the_longest() -> None:
    """The message names the part, the bar and what the trim leaves of it."""
    job = replace(_job(1000, ((996, 1),)), trim=2.5)
    with pytest.raises(PartTooLargeError, match=r"'p0' is 996 mm.*'bar', yields 995 mm after a trim of 2.5 mm"):
        plan_bars(job)


def test_a_material_without_any_bar_is_an_error() -> None:
    """A forgotten bar is told, not answered with missing pieces."""
    with pytest.raises(NotEnoughSheetsError, match="no bar of 'm'"):
        plan_bars(BarJob(parts=(Length(name="p", material="m", length=1),), bars=()))


_BAR = Bar(name="bar", material="m", length=1000)
_PART = Length(name="p", material="m", length=100)


@pytest.mark.parametrize(
    ("change", "path"),
    [
        pytest.param({"kerf": -1.0}, "kerf", id="kerf below zero"),
        pytest.param({"trim": float("nan")}, "trim", id="trim not a number"),
        pytest.param({"parts": (replace(_PART, length=0.0),)}, "parts.p.length", id="part without length"),
        pytest.param({"parts": (replace(_PART, count=0),)}, "parts.p.count", id="no piece"),
        pytest.param({"parts": (_PART, _PART)}, "parts.p", id="two parts of one name"),
        pytest.param({"parts": (replace(_PART, count=10_001),)}, "parts", id="too many pieces"),
        pytest.param({"bars": (replace(_BAR, length=float("inf")),)}, "bars.bar.length", id="endless bar"),
        pytest.param({"bars": (replace(_BAR, price=-1.0),)}, "bars.bar.price", id="price below zero"),
        pytest.param({"bars": (replace(_BAR, count=-1),)}, "bars.bar.count", id="count below zero"),
        pytest.param({"bars": (_BAR, _BAR)}, "bars.bar", id="two bars of one name"),
        pytest.param({"bars": (replace(_BAR, offcut=True),)}, "bars.bar.count", id="uncounted offcut"),
        pytest.param({"bars": (replace(_BAR, offcut=True, count=1, price=2.0),)}, "bars.bar.price", id="priced offcut"),
    ],
)
def test_a_job_that_cannot_be_meant_is_refused_with_its_place(change: dict[str, object], path: str) -> None:
    """Every wrong value is told with its place in the project."""
    job = replace(BarJob(parts=(_PART,), bars=(_BAR,)), **change)  # type: ignore[arg-type]  # a table of changes
    with pytest.raises(ValueFaultError) as caught:
        plan_bars(job)
    assert ".".join(caught.value.path) == path


_QUICK = """
import sys
from layout.cutting.lengths.engine import plan_bars
from layout.model.lengths import Bar, BarJob, Length
bars = (Bar(name="b", material="m", length=1000),)
plan_bars(BarJob(parts=(Length(name="p", material="m", length=300, count=7),), bars=bars))
assert not {"highspy", "numpy"} & set(sys.modules)
"""


def test_an_easy_job_needs_no_slow_import() -> None:
    """Where simple rules and the bound meet, neither the solver nor numpy is loaded."""
    subprocess.run([sys.executable, "-c", _QUICK], check=True)


_SOLVED = """
from layout.cutting.lengths.engine import plan_bars
from layout.model.lengths import Bar, BarJob, Length
parts = tuple(Length(name=str(mm), material="m", length=mm, count=n)
              for mm, n in ((45, 97), (36, 610), (31, 395), (14, 211)))
plan_bars(BarJob(parts=parts, bars=(Bar(name="b", material="m", length=100),), kerf=0))
"""


def test_the_solver_writes_nothing() -> None:
    """The library never prints, and neither may the solver that it uses."""
    done = subprocess.run([sys.executable, "-c", _SOLVED], check=True, capture_output=True)

    assert (done.stdout, done.stderr) == (b"", b"")
