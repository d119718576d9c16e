"""What could be otherwise: each piece of advice on a job whose answer can be reasoned out by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from layout.cutting import what_if
from layout.cutting.advice import Advice, Wording, advice_json, advise, told
from layout.cutting.effort import Effort
from layout.cutting.engine import plan_cuts
from layout.model.cutting import CutJob, CutPlan, Part, Stock

FULL = Stock(name="full", material="ply", length=2440, width=1220, price=68)
HALF = Stock(name="half", material="ply", length=1220, width=1220, price=40)
EUR = Wording(currency="EUR")


def _plan(*parts: Part, stocks: tuple[Stock, ...] = (FULL,)) -> CutPlan:
    return plan_cuts(CutJob(parts=parts, stocks=stocks))


def _part(name: str, length: float, width: float, count: int, grain: str = "along") -> Part:
    return Part(name=name, material="ply", length=length, width=width, count=count, grain=grain)  # type: ignore[arg-type]


def _about(advice: tuple[Advice, ...], about: str) -> list[str]:
    return [one.text for one in advice if one.about == about]


def test_what_the_grain_costs() -> None:
    """Of panels 1200 × 800 along the grain a sheet holds two, turned it holds three: the third costs a sheet."""
    three, two = (advise(_plan(_part("door", 1200, 800, count)), EUR) for count in (3, 2))

    assert _about(three, "grain") == [
        "the grain rule costs 1 sheet, 68.00 EUR: 2 sheets, 136.00 EUR as it is,"
        " 1 sheet, 68.00 EUR if every part may be turned"
    ]
    assert _about(two, "grain") == ["the grain rule costs nothing, as far as was found"]


def test_parts_without_grain_have_no_grain_to_pay_for() -> None:
    """Where every part may lie either way, nothing is said of the grain."""
    assert _about(advise(_plan(_part("door", 600, 400, 2, "free"))), "grain") == []


def test_what_each_size_of_sheet_would_cost_alone() -> None:
    """One part 2000 long and one of 1200: both sizes are weighed, and a size that cannot hold a part is told."""
    plan = _plan(_part("long", 2000, 1200, 1), _part("short", 1200, 1200, 1), stocks=(FULL, HALF))

    assert plan.cost == 108
    assert _about(advise(plan, EUR), "sheet") == [
        "from 'full' alone: 2 sheets, 136.00 EUR, 28.00 EUR more than the plan",
        "'half' alone does not hold every part",
    ]


def test_one_size_of_sheet_leaves_no_choice() -> None:
    """With one size of sheet there is nothing to say of sizes."""
    assert _about(advise(_plan(_part("door", 600, 400, 2))), "sheet") == []


def test_the_smallest_shrink_that_saves_a_sheet() -> None:
    """Three strips and two kerfs of 3 mm must keep within 1220 mm: 404 mm wide they do, 405 they do not."""
    assert _about(advise(_plan(_part("shelf", 2440, 406, 3)), EUR), "size") == [
        "2 mm less on the width of 'shelf' (406 mm to 404 mm): 1 sheet, 68.00 EUR, saves 1 sheet, 68.00 EUR"
    ]
    assert _about(advise(_plan(_part("shelf", 2440, 404, 3)), EUR), "size") == []


@pytest.mark.parametrize(("less", "saves"), [(1.0, 0), (2.0, 1), (5.0, 1)])
def test_no_more_is_taken_than_was_said(less: float, saves: int) -> None:
    """The owner says how much smaller a part may become."""
    assert len(_about(advise(_plan(_part("shelf", 2440, 406, 3)), less=less), "size")) == saves


def test_parts_of_one_height_shrink_together() -> None:
    """Six strips of 408 mm in three lengths: no part alone saves, all together do, by the least that is enough."""
    parts = (_part("front", 2440, 408, 2), _part("back", 2430, 408, 2), _part("lid", 2420, 408, 2))
    [text] = _about(advise(_plan(*parts), EUR), "size")

    assert text.startswith("4 mm less on the width of 'front', 'back', 'lid' (408 mm to 404 mm): 2 sheets")


def test_no_advice_on_sizes_where_nothing_saves() -> None:
    """A part far from saving a sheet is not mentioned."""
    assert _about(advise(_plan(_part("shelf", 2440, 500, 3))), "size") == []


def test_what_the_areas_rule_out_is_not_searched(monkeypatch: pytest.MonkeyPatch) -> None:
    """Sheets that are full stay as many when parts lose 5 mm; that takes no search."""
    plan = _plan(_part("panel", 2400, 1200, 3))
    asked: list[CutJob] = []

    def counted(job: CutJob, effort: Effort) -> CutPlan:
        asked.append(job)
        return plan_cuts(job, effort)

    monkeypatch.setattr(what_if, "plan_cuts", counted)
    patience = what_if.Patience.of(Effort())
    assert what_if.shrinks(plan.job, plan.materials[0], 5.0, 1.0, patience) == what_if.Shrinks()
    assert asked == []


def test_a_person_who_stops_it_is_obeyed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Once a changed job was stopped by hand, no further one is begun."""
    plan = _plan(_part("shelf", 2440, 406, 3))
    asked: list[CutJob] = []

    def stopped(job: CutJob, effort: Effort) -> CutPlan:
        asked.append(job)
        return CutPlan(job=job, materials=(replace(plan.materials[0], ended="stopped"),))

    monkeypatch.setattr(what_if, "plan_cuts", stopped)
    assert [one.about for one in advise(plan)] == ["size", "spare"]
    assert len(asked) == 1


def test_time_that_is_up_ends_the_changed_jobs() -> None:
    """With next to no seconds nothing is searched, that is told, and what needs no search is still said."""
    advice = advise(_plan(_part("shelf", 2440, 406, 3)), effort=Effort(seconds=1e-9))

    assert (advice[0].about, advice[0].text) == ("size", "not every change was tried")
    assert advice[-1].about == "spare"


def test_used_up_tries_are_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where a large job leaves sizes untried, the advice says so."""
    monkeypatch.setattr(what_if, "_FEWEST_TRIES", 0)
    monkeypatch.setattr(what_if, "_MOST_TRIES", 0)

    assert _about(advise(_plan(_part("shelf", 2440, 406, 3))), "size") == ["not every change was tried"]


def test_whether_a_spare_sheet_is_wise() -> None:
    """A large part that no leftover could replace asks for a spare; a small one, or one with a leftover, does not."""
    large, small = _plan(_part("top", 2400, 1200, 1)), _plan(_part("shelf", 600, 300, 1))
    twice = _plan(_part("top", 1200, 1200, 1))

    assert "one spare sheet is wise: 'top' takes 97% of a sheet" in _about(advise(large), "spare")[0]
    assert "no part takes more than a quarter" in _about(advise(small), "spare")[0]
    assert "a leftover could replace" in _about(advise(twice), "spare")[0]


def test_a_plan_that_misses_parts_is_not_improved() -> None:
    """Where sheets are missing, the advice is to get some, not to shave parts."""
    plan = _plan(_part("shelf", 2440, 406, 3))
    short = replace(plan, materials=(replace(plan.materials[0], unplaced=("shelf",)),))

    assert {one.about for one in advise(short)} <= {"spare"}


def test_the_advice_in_words_and_for_programs() -> None:
    """Each line names its material; programs get the numbers too."""
    advice = (Advice(about="sheet", material="ply", text="so", cost=1.5, sheets=2),)

    assert told(advice) == "ply: so\n"
    assert told(()) == ""
    assert advice_json(advice) == [{"about": "sheet", "material": "ply", "text": "so", "cost": 1.5, "sheets": 2}]


def test_advice_is_said_in_inches() -> None:
    """In a project in inches sizes shrink by sixteenths: 406.4 mm must lose 2.4 mm, so an eighth does."""
    [text] = _about(advise(_plan(_part("shelf", 2440, 406.4, 3)), Wording(units="in"), less=6.35), "size")

    assert text.startswith('1/8" less on the width of \'shelf\' (16" to 15 7/8")')


def test_a_floor_under_the_cost_counts_whole_sheets() -> None:
    """The floor is a multiple of what divides all prices, never above a plan that there is."""
    assert what_if._floor(2 * 2440 * 1220.0, [(2440 * 1220.0, FULL)]) == 136
    assert what_if._floor(2.1 * 2440 * 1220.0, [(2440 * 1220.0, FULL)]) == 204
    assert what_if._floor(1.0, [(2440 * 1220.0, FULL), (1220 * 1220.0, HALF)]) == 4
    assert what_if._floor(1.0, [(2440 * 1220.0, replace(FULL, price=0))]) == 0
