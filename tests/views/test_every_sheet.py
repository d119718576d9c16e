"""Every kind of sheet in the registry, of every example: a new kind is held to the same rules without a word here."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from layout.drawing.model import Drawing, Mark, Text
from layout.jobs.draw import Paper
from layout.jobs.load import load
from layout.jobs.making import Making
from layout.jobs.sheets import SHEETS, make_sheets, sheets_called
from tests.builders import EXAMPLES, ROOT
from tests.views.faults import faults_of, is_line

# Beside the examples: boxes that follow a wheel well, many small parts and labels, a roof with things on it.
OTHERS = tuple(
    ROOT / "tests" / name
    for name in ("things/wheel-well-box.yaml", "things/bin-rack.yaml", "checks/rules/roof-plan-good.yaml")
)
PLANS = (*EXAMPLES, *OTHERS)
NAMES = [sheet.name for sheet in SHEETS]
# Small paper, where there is least room: a few plans are enough.
SMALL = (("market-van", "A4"), ("high-roof-inches", "Letter"), ("bin-rack", "A4"))


@cache
def _making(path: Path) -> Making:
    return Making(plan=load(str(path)), anyway=True)


@cache
def _drawn(path: Path, kind: str, paper: str | None = None) -> tuple[Drawing, ...]:
    made = make_sheets(sheets_called([kind]), _making(path), Paper(name=paper))
    return tuple(drawing for one in made for drawing in one.drawings)


def _check(path: Path, kind: str, paper: str | None) -> None:
    bound = not sheets_called([kind])[0].group.loose
    for drawing in _drawn(path, kind, paper):
        assert faults_of(drawing, bound=bound) == [], drawing.name


@pytest.mark.parametrize("kind", NAMES)
@pytest.mark.parametrize("path", PLANS, ids=lambda p: p.stem)
def test_every_sheet_of_every_example_can_be_read(path: Path, kind: str) -> None:
    """No text overlaps another, leaves the sheet or is under 1.8 mm; lines are of the series and end on the paper."""
    _check(path, kind, None)


@pytest.mark.parametrize("kind", NAMES)
@pytest.mark.parametrize(("stem", "paper"), SMALL)
def test_every_sheet_can_be_read_on_small_paper(stem: str, paper: str, kind: str) -> None:
    """The same on the paper that people have at home."""
    _check(next(path for path in PLANS if path.stem == stem), kind, paper)


@pytest.mark.parametrize("kind", NAMES)
def test_every_kind_of_sheet_is_looked_at(kind: str) -> None:
    """Each kind is made of some plan above: a kind that none shows would be checked by nobody."""
    assert any(_drawn(path, kind) for path in PLANS)


def test_the_check_can_fail() -> None:
    """A text moved onto another, made too small or pushed off the sheet, and a line of another width, are told."""
    (drawing, *_) = _drawn(EXAMPLES[-1], "plan")
    one, other, *_ = [mark for mark in drawing.marks if isinstance(mark, Text)]
    line = next(mark for mark in drawing.marks if is_line(mark))
    assert not isinstance(line, Text)

    def said(*marks: Mark) -> str:
        spoilt = Drawing(name="a", title="a", width=drawing.width, height=drawing.height, scale=None, marks=marks)
        return "; ".join(faults_of(spoilt, bound=True))

    assert "overlaps" in said(one, Text(layer="a", at=one.at, text=other.text, height=one.height, anchor=one.anchor))
    assert "1.7 mm high" in said(Text(layer="a", at=(100, 100), text="x", height=1.7))
    assert "leaves the frame" in said(Text(layer="a", at=(15, 100), text="x", height=2.5))
    assert "a line of 0.3 mm" in said(type(line)(layer="a", points=line.points, pen=type(line.pen)(width=0.3)))
