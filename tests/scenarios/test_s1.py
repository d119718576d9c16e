"""A bell founder of 1830 and an organist of 1680 who want to lie across a lined van: every figure reckoned by hand.

Half-widths on bare metal: 870 up to 300, 888 at 600, 868 at 1000, straight between; floor 24, walls 18, ceiling 30. A deck
whose top is 805 over the bare floor is at 781 over the finished one. The mattress of 100 is then between 805 and 905:
888 - 20 x 205 / 400 = 877.75 and 888 - 20 x 305 / 400 = 872.75, so 1755.5 and 1745.5 of bare metal, less 36 of lining.
"""

from __future__ import annotations

import re
from functools import cache
from math import hypot
from pathlib import Path

import pytest

from layout.checks.bed_line import longest_body
from layout.checks.bed_size import sleepers_on
from layout.checks.context import Context
from layout.checks.moves import shifted
from layout.jobs.load import Plan, load
from layout.model.finding import Finding

HERE = Path(__file__).parent


@cache
def _plan(name: str) -> Plan:
    return load(str(HERE / name))


def _changed(folder: Path, name: str, *changes: tuple[str, str]) -> Plan:
    """Return the plan of a scenario with some of its text replaced."""
    text = (HERE / name).read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return load(str(path))


def _of(plan: Plan, rule: str) -> list[Finding]:
    return [f for f in plan.findings if f.rule == rule]


def test_across_neither_of_them_fits() -> None:
    """Protects both sleepers: 1709.5 is lain on, where Agnes wants 1830 + 70 and Teo, much shorter, 1680 + 70."""
    [finding] = _of(_plan("s1-across.yaml"), "bed-size")

    assert (finding.severity, finding.measured, finding.short_by) == ("fail", 1709.5, 190.5)
    assert "Agnes (1830 mm) lies on 1709.5 mm of 1900 mm wanted" in finding.text
    assert "Teo (1680 mm) lies on 1709.5 mm of 1750 mm wanted" in finding.text
    assert "for people up to 1639.5 mm tall" in finding.cure


def test_the_lining_takes_what_the_bare_metal_promised(tmp_path: Path) -> None:
    """Protects the measure at the thing's own height: 1719.5 to 1709.5 clear, against 1755.5 to 1745.5 on metal."""
    lined = _plan("s1-across.yaml").project.space
    bare = _changed(tmp_path, "s1-across.yaml", ("walls: 18", "walls: 0"))

    assert [lined.clear_width(700.0, z) for z in (781.0, 881.0)] == pytest.approx([1719.5, 1709.5])
    assert [bare.project.space.clear_width(700.0, z) for z in (781.0, 881.0)] == pytest.approx([1755.5, 1745.5])
    assert _of(bare, "bed-size")[0].measured == pytest.approx(1745.5)


def test_no_deck_height_rescues_it() -> None:
    """Protects from a rebuilt deck: the widest line is 2 x 888 - 36 = 1740, 600 above the bare floor.

    A mattress of 100 never has all of that: from 600 - a to 700 - a it is narrowest at both ends alike where the wall rises
    by 18 / 300 and falls by 20 / 400 to the mm: 0.06 a = 0.05 (100 - a), a = 45.45. That takes 2.73 off either side, so
    1734.5 is the most, on a deck 554.5 above the bare floor, 530.5 above the finished one.
    """
    [finding] = _of(_plan("s1-across.yaml"), "bed-size")

    assert "no deck height rescues it: the widest is 1740 mm at height 576 mm" in finding.text
    assert "over the mattress's thickness 1734.5 mm, on a deck at 530.5 mm" in finding.text


def test_the_bed_at_any_height_is_too_short_for_both() -> None:
    """Protects the claim itself: laid on a deck at every 5 mm of height, no line on it is as long as 1735."""
    plan = _plan("s1-across.yaml")
    [bed] = [p for p in plan.layout.placed["sleep"] if p.name == "mattress"]
    context = Context(space=plan.project.space, layout=plan.layout, rules=plan.project.rules)
    lines = [
        sleeper.line.length
        for deck in range(0, 1130, 5)
        for sleeper in sleepers_on(context, shifted(bed, (0.0, 0.0, deck - bed.box.z0)))
    ]

    assert len(lines) == 452
    assert max(lines) == pytest.approx(1734.5, abs=0.1)


def test_lying_at_an_angle_does_not_help() -> None:
    """Protects from the diagonal: corners of 1720 x 1300 are 2156 apart, but a body 550 broad finds 1720, straight.

    Turned by some 29.5 degrees the most is 1665: 1720 sin t - 1300 cos t + 550 cos 2t = 0, L = (1720 - 550 sin t) / cos t.
    """
    [finding] = _of(_plan("s1-across.yaml"), "bed-size")

    assert round(hypot(1720, 1300)) == 2156
    assert longest_body(1720.0, 1300.0, 550.0) == (1720, 0)
    assert "nor does lying at an angle: 1709.5 mm" in finding.text


def test_it_is_told_to_lie_along() -> None:
    """Protects the way out: the room holds 1900 x 1300 along the van, at the same height."""
    [finding] = _of(_plan("s1-across.yaml"), "bed-size")

    assert finding.cure.startswith("lay it lengthwise: at this height the room holds 1900 mm × 1300 mm so")


def test_along_it_fits_from_the_closed_doors_on(tmp_path: Path) -> None:
    """Protects the bed that is built: from x 45, where the closed doors end, to 1945; 10 further back it is in them."""
    plan = _plan("s1-along.yaml")
    [bed] = [p for p in plan.layout.placed["sleep"] if p.name == "mattress"]
    back = _changed(tmp_path, "s1-along.yaml", ("mattress: {at: [45, 0, 781]}", "mattress: {at: [35, 0, 781]}"))
    [inside] = _of(back, "inside")

    assert (bed.box.bounds[0], bed.box.bounds[2]) == (45, 1945)
    assert not [f for rule in ("bed-size", "inside", "overlap", "carried") for f in _of(plan, rule)]
    assert (inside.things, inside.short_by) == (("mattress",), pytest.approx(10))
    assert "closed rear door" in inside.text


def _kept(plan: Plan) -> float:
    """Return how much of the wanted 1200 the side door keeps, mm."""
    return min([1200.0, *(f.measured or 0.0 for f in _of(plan, "door-opening") if f.severity == "fail")])


def test_it_covers_175_of_the_side_door(tmp_path: Path) -> None:
    """Protects the door: it begins at 1770 and the bed ends at 1945, 175 further on.

    The opening ends at 2970, and from 1000 upward the partition is at 2900; so the bare room keeps 1130 of 1200 over the
    whole height, and the bed leaves 955.
    """
    plan = _plan("s1-along.yaml")
    empty = _changed(
        tmp_path, "s1-along.yaml", ("  cheek 1: {at: [45, 637.5, 0]}\n  cheek 2: {at: [45, -637.5, 0]}\n", ""),
        ("  deck: {at: [45, 0, 724]}\n  mattress: {at: [45, 0, 781]}\n", ""),
    )  # fmt: skip
    [finding] = [f for f in _of(plan, "door-opening") if f.severity == "fail"]

    assert _kept(empty) - _kept(plan) == pytest.approx(175)
    assert _kept(plan) == pytest.approx(955)
    assert "mattress" in finding.things


def _terms(text: str) -> list[tuple[str, float]]:
    """Return the terms of the sum that a finding tells, with the total at the end."""
    *terms, last = re.split(r" \+ | = ", text.rsplit("; ", 1)[1])
    return [*((t.rsplit(" ", 1)[0], float(t.rsplit(" ", 1)[1])) for t in terms), ("total", float(last.split()[0]))]


def test_the_stack_from_floor_to_roof() -> None:
    """Protects the height: 24 + 640 + 84 + 57 is the deck at 805, and with 100 + 925 + 30 the roof at 1860."""
    [finding] = _of(_plan("s1-along.yaml"), "headroom")

    assert _terms(finding.text) == [
        ("floor", 24), ("totes", 640), ("free", 84), ("deck", 57), ("mattress", 100), ("free", 925), ("ceiling", 30),
        ("total", 1860),
    ]  # fmt: skip
    # Agnes sits 957 high: slumped in 917, erect in 987; Teo erect in 909.
    assert "Agnes sits; Teo sits erect" in finding.text


@pytest.mark.parametrize("spare", [30, 0])
def test_totes_two_high_go_under_a_deck_of_751(spare: int, tmp_path: Path) -> None:
    """Protects the totes: with 30 for the fingers 24 + 640 + 30 + 57 = 751, which is less than 805; 30 lower none is left.

    The deck of 57 has its foot at 751 - 24 - 57 = 670 over the finished floor.
    """
    foot = 640 + spare
    changes = (
        ("deck: {at: [45, 0, 724]}", f"deck: {{at: [45, 0, {foot}]}}"),
        ("mattress: {at: [45, 0, 781]}", f"mattress: {{at: [45, 0, {foot + 57}]}}"),
        ("height: 724", f"height: {foot}"),
    )
    plan = _changed(tmp_path, "s1-along.yaml", *changes)
    [finding] = _of(plan, "headroom")
    under = [size for name, size in _terms(finding.text)[: 4 if spare else 3]]

    assert sum(under) == 24 + 640 + spare + 57
    assert not _of(plan, "overlap")


def test_a_deck_lower_still_is_in_the_totes(tmp_path: Path) -> None:
    """Protects from a sum that always works out: with its foot at 639 the deck is 1 in the upper totes."""
    plan = _changed(
        tmp_path,
        "s1-along.yaml",
        ("deck: {at: [45, 0, 724]}", "deck: {at: [45, 0, 639]}"),
        ("height: 724", "height: 639"),
    )

    assert {f.short_by for f in _of(plan, "overlap")} == {1}


def test_nobody_of_1830_stands_under_1806() -> None:
    """Protects the wish to cook standing: 1860 less 24 and 30 is 1806, and Agnes wants 1830 + 25 + 10 = 1865."""
    [finding] = _of(_plan("s1-along.yaml"), "standing")

    assert finding.measured == 1806
    assert "Agnes stoops by 59 mm; Teo stands" in finding.text
