"""Tables, JSON and words of a plan of bars say what stands in the plan."""

from __future__ import annotations

import json

from layout.cutting.lengths.as_json import as_json
from layout.cutting.lengths.engine import plan_bars
from layout.cutting.lengths.listing import bars_to_buy, cut_list, leftovers, parts_list
from layout.cutting.lengths.words import summary
from layout.model.lengths import Bar, BarJob, BarPlan, Length


def _plan(trim: float = 10.0, length: float = 900.0) -> BarPlan:
    parts = (
        Length(name="rail", material="ash", length=600, count=2, unit="bed"),
        Length(name="leg", material="ash", length=300),
    )
    bars = (
        Bar(name="new", material="ash", length=length, price=5.5),
        Bar(name="old", material="ash", length=340, count=1, offcut=True),
    )
    return plan_bars(BarJob(parts=parts, bars=bars, kerf=4, trim=trim, smallest_offcut=100))


def test_cuts_are_numbered_with_stop_and_mark() -> None:
    """The stop is the piece's length, the mark its far end from the bar's own end (arithmetic)."""
    header, rows = cut_list(_plan())

    assert header == ("material", "bar", "stock", "cut", "stop mm", "mark mm", "yields")
    assert rows == (
        ("ash", 1, "new", 1, "10", "10", "trim"),
        ("ash", 1, "new", 2, "600", "610", "rail 600 + leftover 276"),
        ("ash", 2, "new", 1, "10", "10", "trim"),
        ("ash", 2, "new", 2, "600", "610", "rail 600 + leftover 276"),
        ("ash", 3, "old", 1, "10", "10", "trim"),
        ("ash", 3, "old", 2, "300", "310", "leg 300 + leftover 16"),
    )


def test_the_last_piece_needs_no_cut_when_it_ends_with_the_bar() -> None:
    """600, a kerf of 4 and 300 are 904: one cut yields both; a bar of 600 is used whole (arithmetic)."""
    _, rows = cut_list(_plan(trim=0.0, length=904.0))
    assert rows[0] == ("ash", 1, "new", 1, "600", "600", "rail 600 + leg 300")

    _, rows = cut_list(_plan(trim=0.0, length=600.0))
    assert rows[0] == ("ash", 1, "new", "", "", "", "rail 600, the whole bar")


def test_inches_are_spoken_in_fractions() -> None:
    """A table in inches speaks inches, to the 64th."""
    header, rows = cut_list(_plan(), "in")

    assert header[4:6] == ("stop in", "mark in")
    assert rows[1][4] == '23 5/8"'


def test_offcuts_are_not_bought() -> None:
    """Only new bars are on the list for the shop."""
    assert bars_to_buy(_plan()) == (("material", "bar", "count", "price", "sum"), (("ash", "new", 2, 5.5, 11.0),))


def test_leftovers_worth_keeping_are_listed_longest_first() -> None:
    """A leftover below the smallest offcut is not worth a line."""
    assert leftovers(_plan())[1] == (("ash", 1, "new", "276"), ("ash", 2, "new", "276"))


def test_parts_say_what_is_missing() -> None:
    """Every part once, with what the bars on hand do not yield."""
    job = BarJob(
        parts=(Length(name="leg", material="ash", length=300, count=4),),
        bars=(Bar(name="old", material="ash", length=340, count=3, offcut=True),),
    )
    plan = plan_bars(job)

    assert parts_list(plan)[1] == (("leg", "", "ash", 4, "300", 1),)
    assert "Not cut, since the bars on hand do not do: 1 × leg." in summary(plan)


def test_json_is_plain_and_whole() -> None:
    """Everything of the plan goes through json and back, the proof included."""
    plan = _plan()
    text = json.dumps(as_json(plan))
    (material,) = json.loads(text)["materials"]

    assert (material["bars_used"], material["proven"], material["cost"]) == (3, True, 11.0)
    assert material["bars"][0]["pieces"] == [{"part": "rail", "at": 10, "length": 600}]
    assert set(material["proof"]) == {"weights", "tried"}


def test_the_summary_says_bars_cost_and_why_no_fewer_do() -> None:
    """One sentence a material; 2400 mm of pieces need more than two bars of 1000 (arithmetic)."""
    parts = (Length(name="a", material="ash", length=300, count=8),)
    job = BarJob(parts=parts, bars=(Bar(name="new", material="ash", length=1000, price=2.0),), kerf=0)

    assert summary(plan_bars(job)) == (
        "ash: 3 bars (3 × new, 6.00 in all); fewer than 3 is impossible because the pieces with a kerf each take"
        " 2400 mm and 2 bars with a kerf each hold at most 2000 mm."
    )


def test_nothing_to_cut_is_said() -> None:
    """An empty plan has a sentence too."""
    assert summary(BarPlan(job=BarJob(parts=(), bars=()), materials=())) == "Nothing is to be cut to length."
